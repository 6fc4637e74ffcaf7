"""The library of hard sessions: the list, and one entry's card."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.session_steps import NOUNS
from app.usecases import library as use
from app.web.coach import library_views as views
from app.web.deps import CoachDesk
from app.web.render import render

router = APIRouter()


@router.get("/plan/library")
def library_page(desk: CoachDesk) -> Response:
    """Every entry: the practice's own, then those that come with the desk; retired ones last."""
    own = [one for one in desk.library.own if one.retired_at is None]
    return render(
        desk,
        "library/page.html",
        own=[views.entry_line(one.protocol) for one in own],
        groups=views.groups(one for one in desk.library.offered.values() if not one.is_own),
        retired=[views.entry_line(one.protocol) for one in desk.library.own if one.retired_at is not None],
        may_write=use.may_write(desk.person),
    )


@router.get("/plan/library/{protocol_key}")
def card_page(desk: CoachDesk, protocol_key: str) -> Response:
    """One entry on a card to print."""
    entry = use.entry_of(desk.library, protocol_key)
    own = desk.library.own_of(protocol_key)
    origin = desk.library.named(own.copied_from) if own else None
    return render(
        desk,
        "library/card.html",
        entry=entry,
        own=own,
        origin=origin,
        rounds=views.rounds_words(entry),
        facts=views.facts(entry),
        why_value=views.evidence_why(entry),
        neighbours=views.neighbours(entry, desk.library),
        rows=views.step_rows(views.example_steps(entry)),
        by=NOUNS[entry.modes[0]],
        may_write=use.may_write(desk.person),
    )
