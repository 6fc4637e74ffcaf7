"""A personal link as text and as a code a phone's camera reads, and how far it reaches."""

from __future__ import annotations

from dataclasses import dataclass
from urllib.parse import urlsplit

import segno

from app.web.deps import Desk

ONLY_THIS_MACHINE = frozenset({"127.0.0.1", "localhost", "::1"})


@dataclass(frozen=True, slots=True)
class LinkCard:
    """What is shown once, right after a link was made: only its hash is kept."""

    link: str
    code: str
    #: How far it reaches, in a sentence; None when it works everywhere.
    reach: str | None


def link_card(desk: Desk, token: str) -> LinkCard:
    """Draw the card of a link under the address that phones use."""
    public = desk.practice.public_url or desk.house.settings.public_url
    base = (public or str(desk.request.base_url)).rstrip("/")
    link = f"{base}/join/{token}"
    return LinkCard(
        link, segno.make(link, error="m").svg_data_uri(scale=5, border=4, light="#ffffff"), _reach(base, public)
    )


def _reach(base: str, public: str | None) -> str | None:
    if public is not None:
        return None
    host = urlsplit(base).hostname or ""
    if host in ONLY_THIS_MACHINE:
        return (
            "This link works on this machine only, because the desk was opened under an address that no phone can "
            "reach. Set the public address under Practice, or start the desk for your network."
        )
    return f"This link works only where {host} can be reached, usually inside your own network."
