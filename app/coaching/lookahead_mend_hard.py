"""Mends of hard work: fewer rounds where they come too soon, another session where a gap is too long."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations, pairwise

from app.coaching.first_rounds import is_long, rounds_breaches, rounds_so_far
from app.coaching.lookahead_hard import hard_days_with
from app.coaching.lookahead_mend_room import has_room
from app.coaching.lookahead_mend_values import Ahead, Changes, Tries, Way
from app.coaching.lookahead_values import Breach
from app.coaching.phases import Phase
from app.coaching.plan_changes import Change
from app.coaching.planner_intervals import FIRST_ROUNDS
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.smaller_session import with_rounds
from app.coaching.weeks import week_start

#: A gap is closed by up to so many sessions; a longer one is a plan to be written anew.
_ADDED_MOST = 2

_Put = Callable[[Ahead, date, PlannedSession], Change | None]


def fewer_rounds(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    """From the first session with too many on: as many rounds as come next, then those that rose from them."""
    first = min(one.on for one in group)
    changes: Changes = ()
    for session in sorted(plan.sessions, key=lambda one: (one.planned_on, one.id)):
        if session.planned_on < first or not is_long(session) or not _is_too_many(plan.changed(changes), session):
            continue
        change = _fitted(plan.changed(changes), session) if plan.may_change(session) else None
        if change is None:
            return
        changes = (*changes, change)
        yield changes


def _is_too_many(plan: Ahead, session: PlannedSession) -> bool:
    hard = [one for one in plan.sessions if one.is_hard and not one.is_cancelled]
    found = rounds_breaches(plan.history, hard, plan.today, plan.rules, facts=plan.facts.judged)
    return any(one.on == session.planned_on for one in found)


def _fitted(plan: Ahead, session: PlannedSession) -> Change | None:
    """The most rounds that come next; nothing under the two a hard session has."""
    for rounds in range(session.rounds - 1, FIRST_ROUNDS - 1, -1):
        made = _with(session, rounds)
        if made is not None and not _is_too_many(plan.changed([Change(session, made)]), made):
            return Change(session, made)
    return None


def _with(session: PlannedSession, rounds: int) -> PlannedSession | None:
    """The session with just so many rounds; nothing when its steps do not tell them apart."""
    made = with_rounds(session, rounds)
    return made if made is not None and made.rounds == rounds else None


def filling(put: _Put) -> Tries:
    """Hard sessions within a gap so that no part of it is too long, the most even first.

    None where one a week is new and none was done yet: how the first ones go decides what follows them.
    """

    def tries(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
        if _is_first_block(plan):
            return
        end = group[0].on
        hard = hard_days_with(plan.history, plan.sessions, plan.today, plan.rules, facts=plan.facts)
        start = max((day for day in hard if day < end), default=end)
        count = math.ceil((end - start).days / plan.rules.hard_gap_days) - 1
        like = _nearest_hard(plan, start, end)
        if like is None or not 0 < count <= _ADDED_MOST:
            return
        for days in _evenly(plan, start, end, count):
            changes = [put(plan, day, _dose(plan, like, day)) for day in days]
            if all(changes):
                yield tuple(change for change in changes if change is not None)

    return tries


def _is_first_block(plan: Ahead) -> bool:
    """Whether the plan is one a week for somebody with no hard session done, here or where they came from."""
    so_far = rounds_so_far(plan.history, plan.today, plan.today, plan.rules)
    return plan.history.phase is Phase.INTERVAL_ONE and not so_far.done and not so_far.is_brought_in


def _evenly(plan: Ahead, start: date, end: date, count: int) -> list[tuple[date, ...]]:
    inside = [start + timedelta(days=n) for n in range(1, (end - start).days)]
    ways = [days for days in combinations(inside, count) if _longest((start, *days, end)) <= plan.rules.hard_gap_days]
    return sorted(ways, key=lambda days: (_longest((start, *days, end)), days))


def _longest(days: Sequence[date]) -> int:
    return max((later - earlier).days for earlier, later in pairwise(days))


def _nearest_hard(plan: Ahead, start: date, end: date) -> PlannedSession | None:
    """The hard session it is written after: the last before the gap, else the first after it; no test and no race."""
    there = {one.id for one in plan.sessions}
    behind = [one for one in plan.history.planned if one.id not in there]
    rounds = [one for one in (*behind, *plan.sessions) if one.kind is SessionKind.INTERVALS and one.is_hard]
    known = [one for one in rounds if not one.is_cancelled]
    before = [one for one in known if one.planned_on <= start]
    after = [one for one in known if one.planned_on >= end]
    if before:
        return max(before, key=lambda one: (one.planned_on, one.id))
    return min(after, key=lambda one: (one.planned_on, one.id), default=None)


def _dose(plan: Ahead, like: PlannedSession, day: date) -> PlannedSession:
    """The session in full, or with half its rounds in an easier week."""
    easier = {one.starts_on for one in plan.history.weeks if one.is_easier}
    half = max(FIRST_ROUNDS, math.ceil(like.rounds / 2))
    if week_start(day) not in easier or half >= like.rounds:
        return like
    return _with(like, half) or like


def added(plan: Ahead, day: date, like: PlannedSession) -> Change | None:
    """A new session on a day that holds nothing."""
    is_free = all(one.planned_on != day for one in plan.sessions) and day > plan.today
    if not is_free or not has_room(plan, like, day):
        return None
    number = day.toordinal()
    new = replace(
        like,
        id=-number,
        version_id=-number,
        version=0,
        planned_on=day,
        reason=None,
        published_at=None,
        seen_at=None,
    )
    return Change(None, new)


def made_hard(plan: Ahead, day: date, like: PlannedSession) -> Change | None:
    """The only easy outing of a day becomes the hard session."""
    here = [one for one in plan.sessions if one.planned_on == day]
    if len(here) != 1 or here[0].kind is not SessionKind.EASY or not plan.may_change(here[0]):
        return None
    if not has_room(plan, like, day):
        return None
    harder = replace(
        here[0],
        kind=like.kind,
        mode=like.mode,
        title=like.title,
        purpose=like.purpose,
        minutes=like.minutes,
        hard_minutes=like.hard_minutes,
        is_hard=like.is_hard,
        rounds=like.rounds,
        steps_json=like.steps_json,
        easy_version=like.easy_version,
        place=like.place,
    )
    return Change(here[0], harder)


#: One session instead of another asks less of the week than one more.
GAP_WAYS: tuple[tuple[Way, Tries], ...] = ((Way.HARDEN, filling(made_hard)), (Way.ADD, filling(added)))
