"""What is stopped for a client, as it stands on top of the coach's pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Hold, HoldKind, SymptomReport, words_of
from app.web.coach import client_words as words


@dataclass(frozen=True, slots=True)
class HoldView:
    """One open hold in a sentence, with what the client said; safety may shout."""

    id: int
    sentence: str
    lifted_by: str
    is_alarm: bool
    own_words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StoppedView:
    """What is stopped without a hold, and why."""

    sentence: str
    is_alarm: bool


def hold_views(holds: Sequence[Hold], symptoms: Sequence[SymptomReport]) -> tuple[HoldView, ...]:
    """Every open hold in words."""
    return tuple(
        HoldView(
            one.id,
            words.hold_stops(one),
            words.hold_lifted_by(one),
            one.kind is HoldKind.SYMPTOM,
            words_of(one, symptoms),
        )
        for one in holds
    )


def stopped_views(beside_holds: StoppedWork) -> tuple[StoppedView, ...]:
    """What is stopped beside the holds, all training first."""
    every = [StoppedView(f"All training is stopped: {_inside(one)}", True) for one in beside_holds.all_because]
    hard = [
        StoppedView(f"Hard and middle work is stopped: {_inside(one)}", False) for one in beside_holds.hard_because
    ]
    return tuple(every or hard)


def _inside(reason: str) -> str:
    return reason[:1].lower() + reason[1:]
