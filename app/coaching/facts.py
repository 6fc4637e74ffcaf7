"""What many rules need of one history on one day, worked out once and passed down."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property

from app.coaching.done_work import is_hard
from app.coaching.history import History
from app.coaching.last_asked import kept_for_last
from app.coaching.pairing import Pairing, pairing_of
from app.coaching.rules import Rules
from app.coaching.transition import Transition, transition_of


@dataclass(frozen=True, slots=True)
class Facts:
    """A history's pairs of plan and entry, its hard work and its transition. Goes with one history and day only."""

    pairing: Pairing
    #: The ids of every entry that was hard.
    hard: frozenset[int]
    transition: Transition


@kept_for_last
def facts_of(history: History, today: date, rules: Rules) -> Facts:
    """The facts of a history; whoever asks several rules about it passes them on.

    Those of the history asked about last are kept, so that rules which do not pass them on get the same ones.
    """
    pairing = pairing_of(history, today)
    plan_of = pairing.plan_of
    hard = frozenset(log.id for log in history.logs if is_hard(log, plan_of.get(log.id), rules))
    return Facts(pairing, hard, transition_of(history, hard, today, rules))


class FactsOnDemand:
    """A history's facts for a look ahead, each worked out when it is first asked for and only then."""

    def __init__(self, history: History, today: date, rules: Rules) -> None:
        self._history, self._today, self._rules = history, today, rules

    @cached_property
    def now(self) -> Facts:
        """As the records stand today: what is ahead is answered on its day only."""
        return facts_of(self._history, self._today, self._rules)

    @cached_property
    def judged(self) -> Facts:
        """With every entry paired as if all days were over, which finds more of what was done hard."""
        return facts_of(self._history, date.max, self._rules)
