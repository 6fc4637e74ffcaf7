"""Holds that a copy brought back lacked, as the morning says them."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.weeks import day_words
from app.usecases.morning.lost_holds import LostHold


@dataclass(frozen=True, slots=True)
class LostView:
    """One such hold in words."""

    entry_id: int
    sentence: str
    #: Where it is raised again; "" when the client is not in the copy.
    address: str


def lost_words(one: LostHold) -> LostView:
    """What is missing, since when, and what to do."""
    said = f"The {one.kind.replace('_', ' ')} hold of {one.client}, since {day_words(one.began_on)},"
    begun = f"A copy of the practice was brought back on {day_words(one.restored_at.date())}. {said} is not in it"
    if one.client_id is None:
        return LostView(one.entry_id, f"{begun}, nor is the client: add them, and raise it before they train.", "")
    return LostView(
        one.entry_id, f"{begun}: raise it again before they train.", f"/clients/{one.client_id}/holds/new"
    )
