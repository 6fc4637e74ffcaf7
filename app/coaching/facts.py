"""What many rules need of one history on one day, worked out once and passed down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.history import History
from app.coaching.pairing import Pairing, pairing_of
from app.coaching.rules import Rules
from app.coaching.transition import Transition, transition_of


@dataclass(frozen=True, slots=True)
class Facts:
    """A history's pairs of plan and entry, and how far its transition is. Goes with one history and one day only."""

    pairing: Pairing
    transition: Transition


def facts_of(history: History, today: date, rules: Rules) -> Facts:
    """The facts of a history; whoever asks several rules about it passes them on."""
    pairing = pairing_of(history, today)
    return Facts(pairing, transition_of(history, pairing, today, rules))
