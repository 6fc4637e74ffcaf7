"""Where today's session may go: free days first, each with what stands there and what the look ahead says of it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.facts import FactsOnDemand
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.lookahead_mend_values import news
from app.coaching.lookahead_values import OF_ITSELF, OF_THE_WEEK
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.windows import FORTNIGHT
from app.coaching.words import minutes_words

#: Hard work moves by at least two days when somebody is worn (common practice, no published source).
MOVED_AHEAD_LEAST = 2
#: So many days are offered (house choice: a choice that is read at a glance).
DAYS_OFFERED = 4
#: What the look ahead says of a day that is not one of the client's.
_NOT_THEIRS = ("leave", "day", "slot")


@dataclass(frozen=True, slots=True)
class MoveDay:
    """A day a session may go to, what stands on it already, and what is said against it."""

    on: date
    stands: tuple[PlannedSession, ...]
    #: What refuses the day or asks for a reason; empty when it breaks nothing.
    against: tuple[Breach, ...]
    #: What makes it no day of the client's: leave, a weekday or minutes they do not have.
    says: tuple[Breach, ...]


def move_days(known: History, session: PlannedSession, today: date, rules: Rules) -> tuple[MoveDay, ...]:
    """Days from two days on, within a fortnight, what breaks least first.

    In this order: what refuses, what asks for a reason, agreed time off, a day that holds something already (its
    minutes are taken), a day that is none of the client's, the date. `known` reaches a fortnight past the last.
    """
    facts = FactsOnDemand(known, today, rules)
    before = breaches(known, [session], today, rules, facts=facts)
    days = (today + timedelta(days=n) for n in range(MOVED_AHEAD_LEAST, FORTNIGHT.days))
    looked = [(day, breaches(known, [replace(session, planned_on=day)], today, rules, facts=facts)) for day in days]
    return tuple(sorted((_day(known, session, day, before, said) for day, said in looked), key=_weight))


def offered(days: Sequence[MoveDay]) -> tuple[MoveDay, ...]:
    """The few of them that are shown, none that is refused, by date."""
    free = [one for one in days if not any(breach.level is Level.REFUSES for breach in one.against)]
    return tuple(sorted(free[:DAYS_OFFERED], key=lambda one: one.on))


def stands_on(known: History, session: PlannedSession, day: date) -> tuple[PlannedSession, ...]:
    """What else is planned for a day, published or still a draft."""
    found = {one.id: one for one in (*known.drafts, *known.planned) if one.planned_on == day and not one.is_cancelled}
    return tuple(one for number, one in sorted(found.items()) if number != session.id)


def stands_words(stands: Sequence[PlannedSession]) -> str:
    """What stands on a day, for a sentence: "“Easy walk”, 40 min"."""
    return " and ".join(f"“{one.title}”, {minutes_words(one.minutes)}" for one in stands)


def asking(before: Sequence[Breach], found: Sequence[Breach], *, is_published: bool) -> tuple[Breach, ...]:
    """What asks for a reason on another day; `before` is what was found of the session on its own.

    What a published session was sent with in spite of goes along with it unasked; so does a large week that a move
    inside it makes no larger.
    """
    asks = [breach for breach in found if breach.level is Level.ASKS]
    if not is_published:
        return tuple(asks)
    new = news(before, found)
    return tuple(one for one in asks if one.kind not in OF_ITSELF and (one.kind != OF_THE_WEEK or one in new))


def _day(
    known: History, session: PlannedSession, day: date, before: Sequence[Breach], said: Sequence[Breach]
) -> MoveDay:
    refused = [breach for breach in said if breach.level is Level.REFUSES]
    asks = asking(before, said, is_published=session.published_at is not None)
    not_theirs = [breach for breach in said if breach.level is Level.SAYS and breach.kind in _NOT_THEIRS]
    return MoveDay(day, stands_on(known, session, day), (*refused, *asks), tuple(not_theirs))


def _weight(one: MoveDay) -> tuple[int, int, bool, bool, int, date]:
    """What speaks against a day, the heaviest first."""
    levels = Counter(breach.level for breach in one.against)
    is_off = any(breach.kind == "leave" for breach in one.says)
    return levels[Level.REFUSES], levels[Level.ASKS], is_off, bool(one.stands), len(one.says), one.on
