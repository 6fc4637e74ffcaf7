"""What today's session may be swapped with, ready to print, and what was swapped today."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.swaps import SwapOption
from app.coaching.words import minutes_words, short_day
from app.usecases.plan_sessions.swapping import Swap, SwappedToday, seen_of


@dataclass(frozen=True, slots=True)
class SwapView:
    """The choice: what may be taken, and what is refused with its reasons."""

    session_id: int
    title: str
    #: Number, words and what is said of each that may be chosen.
    options: tuple[tuple[int, str, str], ...]
    #: The name and value by which each says which state of it was looked at.
    seen: tuple[tuple[str, str], ...]
    refused: tuple[tuple[str, str], ...]
    asks: bool


@dataclass(frozen=True, slots=True)
class SwappedView:
    """One exchange of today with its way back."""

    client_id: int
    name: str
    sentence: str
    address: str
    #: Where it is swapped again when it cannot simply be taken back.
    again: str
    brings_more: bool


def swap_view(found: Swap) -> SwapView:
    """The choice for one session of today."""
    free = [one for one in found.options if not one.refused]
    return SwapView(
        session_id=found.session.id,
        title=found.session.title,
        options=tuple((one.session.id, _words(one), _against(one)) for one in free),
        seen=tuple((f"seen{one.session.id}", seen_of(found.session, one.session)) for one in free),
        refused=tuple(
            (_words(one), " ".join(said.sentence for said in one.refused)) for one in found.options if one.refused
        ),
        asks=any(one.asks for one in free),
    )


def swapped_view(one: SwappedToday, name: str) -> SwappedView:
    """What was swapped, in a sentence."""
    today, other = one.titles
    brought_id = one.versions[1][0]
    return SwappedView(
        client_id=one.client_id,
        name=name,
        sentence=f"“{other}” stands today, “{today}” on {short_day(one.other_on)}.",
        address=f"/swapped/undo?of={one.entry_id}",
        again=f"/morning/{one.client_id}/swap?session={brought_id}",
        brings_more=one.brings_more,
    )


def _words(one: SwapOption) -> str:
    session = one.session
    return f"{short_day(session.planned_on)}: {session.title}, {minutes_words(session.minutes)}"


def _against(one: SwapOption) -> str:
    asks = " ".join(said.sentence for said in one.asks)
    says = " ".join(said.sentence for said in one.says)
    if asks:
        return f"Asks for a reason: {asks} {says}".strip()
    return says or "Breaks nothing."
