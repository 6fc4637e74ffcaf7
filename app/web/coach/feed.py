"""The morning as an Atom feed: one entry a day, how many lines wait, and a way to the desk."""

from __future__ import annotations

from datetime import datetime, time
from xml.etree.ElementTree import Element, SubElement, tostring
from zoneinfo import ZoneInfo

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.words import counted
from app.usecases import feeds
from app.usecases.feeds import Feed
from app.web.deps import CoachDesk, Desk, PublicDesk
from app.web.render import render, see_other
from app.web.security import new_token, token_sha256

router = APIRouter()

ATOM = "http://www.w3.org/2005/Atom"


@router.get("/practice/feed")
def show(desk: CoachDesk) -> Response:
    """Whether there is an address, and what stands behind it."""
    return _page(desk, "")


@router.post("/practice/feed")
def make(desk: CoachDesk) -> Response:
    """Make an address; it is shown once."""
    token = new_token()
    feeds.make_address(desk.db, actor=desk.person, token_sha256=token_sha256(token), now=desk.now)
    desk.remember("/practice/feed")
    return _page(desk, f"{_base(desk)}/feeds/{token}")


@router.post("/practice/feed/revoke")
def revoke(desk: CoachDesk) -> Response:
    """Let the address stop working."""
    feeds.revoke(desk.db, actor=desk.person, now=desk.now)
    return see_other(desk, "/practice/feed", flash="The address no longer works.")


@router.get("/feeds/{secret}")
def atom(secret: str, desk: PublicDesk) -> Response:
    """The feed itself: counts and a link, no name and nothing about anybody's health."""
    found = feeds.feed(desk.db, token_sha256=token_sha256(secret), rules=desk.rules, now=desk.now)
    return Response(_atom(desk, found), media_type="application/atom+xml", headers={"cache-control": "no-store"})


def _page(desk: Desk, address: str) -> Response:
    return render(desk, "practice/feed.html", found=feeds.address(desk.db, actor=desk.person), address=address)


def _base(desk: Desk) -> str:
    return (desk.practice.public_url or str(desk.request.base_url)).rstrip("/")


def _atom(desk: Desk, found: Feed) -> str:
    day = desk.now.astimezone(ZoneInfo(desk.zone)).date()
    begins = datetime.combine(day, time(0), ZoneInfo(desk.zone)).isoformat()
    root = Element("feed", {"xmlns": ATOM})
    SubElement(root, "id").text = f"urn:foothill:morning:{found.person_id}"
    SubElement(root, "title").text = f"The morning, {desk.practice.name}"
    SubElement(root, "updated").text = begins
    author = SubElement(root, "author")
    SubElement(author, "name").text = desk.practice.name
    entry = SubElement(root, "entry")
    SubElement(entry, "id").text = f"urn:foothill:morning:{found.person_id}:{day}:{found.today}-{found.planning}"
    SubElement(entry, "title").text = _title(found)
    SubElement(entry, "updated").text = begins
    SubElement(entry, "link", {"href": f"{_base(desk)}/morning"})
    SubElement(entry, "summary").text = "Names and reasons stand in the desk only."
    return f'<?xml version="1.0" encoding="utf-8"?>\n{tostring(root, encoding="unicode")}'


def _title(found: Feed) -> str:
    if not found.today and not found.planning and not found.waiting:
        return "Nobody waits for a decision this morning"
    waiting = f", {counted(found.waiting, 'client')} waiting for questions" if found.waiting else ""
    return f"{counted(found.today, 'line')} before anyone trains, {found.planning} to plan{waiting}"
