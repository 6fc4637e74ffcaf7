"""The days today's session may go to, ready to print: what stands on each, and what speaks against it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.lookahead_values import Level
from app.coaching.move_days import MoveDay, offered, stands_words
from app.coaching.words import short_day


@dataclass(frozen=True, slots=True)
class MoveView:
    """The choice of days."""

    #: The day put into the form, and what is said against it; empty when it breaks nothing.
    first: str
    against: tuple[str, ...]
    #: Each day with what stands there and what speaks against it.
    days: tuple[tuple[str, str], ...]
    #: Whether the first asks for a reason of its own.
    asks: bool
    #: Whether the first holds something already, so that the two may rather change places.
    holds: bool


def move_view(days: Sequence[MoveDay]) -> MoveView:
    """The choice for one session of today, from what breaks least on."""
    best = days[0]
    return MoveView(
        first=short_day(best.on),
        against=tuple(one.sentence for one in best.against),
        days=tuple((short_day(one.on), _said(one)) for one in offered(days)),
        asks=any(one.level is Level.ASKS for one in best.against),
        holds=bool(best.stands),
    )


def _said(one: MoveDay) -> str:
    """What is said of a day: free or what it holds, then what speaks against it."""
    holds = f"Holds {stands_words(one.stands)} already; both would stand there" if one.stands else "Free"
    asks = "asks for a reason: " if any(each.level is Level.ASKS for each in one.against) else ""
    said = " ".join(each.sentence for each in (*one.against, *one.says))
    return f"{holds}. {asks.capitalize()}{said}".rstrip(". ") + "."
