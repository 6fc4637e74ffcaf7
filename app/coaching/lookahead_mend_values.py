"""What a mend of a plan is, and the plan it is looked for in."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from enum import StrEnum

from app.coaching.facts import FactsOnDemand
from app.coaching.history import History
from app.coaching.lookahead import as_if_sent, breaches
from app.coaching.lookahead_values import UNASKED, Breach, Level
from app.coaching.plan_changes import Change
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules

#: A change reaches no further than this: a fortnight's ceiling, two weeks of rise, 30 days of longest outings.
REACH = timedelta(days=35)
#: Found about a session wherever it stands, so that moving it neither mends nor adds it.
_OF_THE_SESSION = frozenset(
    {"hold", "stopped", "no_leave", UNASKED, "phase", "early_test", "easy_version", "longest", "strength"}
)

Key = tuple[str, date | None]


class Way(StrEnum):
    """What a mend does."""

    MOVE = "move"
    SWAP = "swap"
    SHORTEN = "shorten"
    SHARE = "share"
    ROUNDS = "rounds"
    HARDEN = "harden"
    ADD = "add"
    EASE = "ease"
    WORDS = "words"
    TAKE_OUT = "take_out"


@dataclass(frozen=True, slots=True)
class Mend:
    """Changes that take one finding away, in words, and what they cost."""

    way: Way
    changes: tuple[Change, ...]
    words: str
    costs: str
    #: Kept with each version; the client reads it once it is published.
    reason: str

    @property
    def key(self) -> str:
        """What it does to which versions, to find it again."""
        return " ".join([self.way, *(_key(change.after) for change in self.changes)])


@dataclass(frozen=True, slots=True)
class Ahead:
    """A plan with its drafts standing as published: what is looked at in it, and what of that may be changed."""

    history: History
    sessions: tuple[PlannedSession, ...]
    changeable: frozenset[int]
    today: date
    rules: Rules
    #: Of the history, which no mend changes.
    facts: FactsOnDemand = field(compare=False)

    def may_change(self, session: PlannedSession) -> bool:
        """Whether a mend may touch a session: never today's, which the client has."""
        return session.id in self.changeable and session.planned_on > self.today

    def around(self, days: Sequence[date]) -> Ahead:
        """The part of the plan some days can have to do with."""
        first, last = min(days) - REACH, max(days) + REACH
        return replace(self, sessions=tuple(s for s in self.sessions if first <= s.planned_on <= last))

    def changed(self, changes: Sequence[Change]) -> Ahead:
        """The plan with some changes made."""
        after = {change.after.id: change.after for change in changes}
        there = {session.id for session in self.sessions}
        new = (one for one in after.values() if one.id not in there)
        return replace(self, sessions=(*(after.get(s.id, s) for s in self.sessions), *new))

    def found(self) -> tuple[Breach, ...]:
        """Everything the plan breaks."""
        return breaches(self.history, self.sessions, self.today, self.rules, facts=self.facts)


Changes = tuple[Change, ...]
#: For a plan and a finding: changes that may mend it, in the order they are tried.
Tries = Callable[[Ahead, Sequence[Breach]], Iterator[Changes]]


def ahead_of(known: History, changeable: frozenset[int], today: date, rules: Rules) -> Ahead:
    """A client's plan from a day on; what is entered already is not looked at."""
    whole = as_if_sent(known, today)
    answered = {log.planned_session_id for log in whole.logs}
    going = [s for s in whole.planned if s.planned_on >= today and not s.is_cancelled and s.id not in answered]
    return Ahead(whole, tuple(going), changeable, today, rules, FactsOnDemand(whole, today, rules))


def is_mended(before: Sequence[Breach], after: Sequence[Breach], group: Sequence[Breach]) -> bool:
    """Whether a finding is gone and nothing else refuses or asks that did not before."""
    was, left = _counts(before), _counts(after)
    is_gone = all(left[key] + count <= was[key] for key, count in _counts(group).items())
    return is_gone and not _more(before, after, _REFUSING) and not _more(before, after, _ASKING)


def news(before: Sequence[Breach], after: Sequence[Breach]) -> tuple[Breach, ...]:
    """What is found after and was not before, whatever its level."""
    more = _more(before, after, frozenset(Level))
    return tuple(one for one in after if key_of(one) in more)


def key_of(breach: Breach) -> Key:
    """What tells a finding from another one of its kind."""
    return breach.kind, None if breach.kind in _OF_THE_SESSION else breach.on


_REFUSING = frozenset({Level.REFUSES})
_ASKING = frozenset({Level.REFUSES, Level.ASKS})


def _counts(found: Sequence[Breach]) -> Counter[Key]:
    return Counter(key_of(one) for one in found)


def _more(before: Sequence[Breach], after: Sequence[Breach], levels: frozenset[Level]) -> frozenset[Key]:
    was = _counts([one for one in before if one.level in levels])
    left = _counts([one for one in after if one.level in levels])
    return frozenset(key for key, count in left.items() if count > was[key])


def _key(session: PlannedSession) -> str:
    what = "out" if session.is_cancelled else f"{session.kind.value}.{session.minutes}"
    return f"{session.id}.{session.version}.{session.planned_on.isoformat()}.{what}"
