"""Today's session exchanged with another of the coming days: with which it may be, and what speaks against each."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.facts import FactsOnDemand
from app.coaching.history import History
from app.coaching.lookahead import Breach, Level, breaches
from app.coaching.lookahead_mend_values import news
from app.coaching.lookahead_values import OF_ITSELF, OF_THE_WEEK
from app.coaching.plan_weeks import is_answered
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.taking_back import is_more

#: So many days ahead a session is exchanged with (house choice: the week the client has in mind).
SWAP_DAYS = 7


@dataclass(frozen=True, slots=True)
class SwapOption:
    """A session that today's could change places with, and what that would break."""

    session: PlannedSession
    #: What refuses it, whether or not it stood against the plan before; nobody overrides these.
    refused: tuple[Breach, ...]
    #: What asks for a reason, which is kept; as when a session is moved, also where it stood so before.
    asks: tuple[Breach, ...]
    #: What it brings that is only said.
    says: tuple[Breach, ...]


def swapped(one: PlannedSession, other: PlannedSession) -> tuple[PlannedSession, PlannedSession]:
    """Both sessions, each on the other's day."""
    return replace(one, planned_on=other.planned_on), replace(other, planned_on=one.planned_on)


def swap_options(known: History, session: PlannedSession, today: date, rules: Rules) -> tuple[SwapOption, ...]:
    """Everything published for the next days that today's session may change places with, by day.

    Left out: what is entered already, and what has a change waiting that the client has not seen.
    """
    facts = FactsOnDemand(known, today, rules)
    return tuple(_option(facts, known, (session, other), today, rules) for other in _others(known, session, today))


def _option(
    facts: FactsOnDemand, known: History, pair: tuple[PlannedSession, PlannedSession], today: date, rules: Rules
) -> SwapOption:
    other = pair[1]
    before = breaches(known, pair, today, rules, facts=facts)
    after = breaches(known, swapped(*pair), today, rules, facts=facts)
    new = news(before, after)
    asking = [one for one in after if one.level is Level.ASKS and one.kind not in OF_ITSELF]
    return SwapOption(
        other,
        refused=tuple(one for one in after if one.level is Level.REFUSES),
        asks=tuple(one for one in asking if one.kind != OF_THE_WEEK or one in new),
        says=tuple(one for one in new if one.level is Level.SAYS),
    )


def _others(known: History, session: PlannedSession, today: date) -> Sequence[PlannedSession]:
    waiting = {draft.id for draft in known.drafts}
    last = today + timedelta(days=SWAP_DAYS)
    found = (
        one
        for one in known.planned
        if today < one.planned_on <= last and not one.is_cancelled and one.id not in waiting and one.id != session.id
    )
    return sorted((one for one in found if not is_answered(known, one.id)), key=lambda one: (one.planned_on, one.id))


def brings_more_today(now: PlannedSession, before: PlannedSession) -> bool:
    """Whether taking a swap back gives today more work than it has now: then it is swapped again, looking ahead."""
    return is_more(before, now)
