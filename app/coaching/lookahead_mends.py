"""One-click mends: changes that take a finding away, add nothing that refuses or asks, and say what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence
from datetime import date
from itertools import islice

from app.coaching.done_work import is_endurance
from app.coaching.lookahead_mend_values import Ahead, Mend, Way, is_mended, news
from app.coaching.lookahead_mend_ways import Changes, Tries, tries_for
from app.coaching.lookahead_values import Breach, Level
from app.coaching.plan_changes import Change
from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day

#: So many changes are tried for each way before it is given up.
TRIED_MOST = 14
#: A finding about more sessions than this is not mended one after the other.
MENDED_TOGETHER_MOST = 12
#: Kinds that are true of sessions one by one.
_EACH = frozenset({"day", "leave", "past"})
#: More sessions than this are counted, not named.
_NAMED_MOST = 3
#: The client reads it.
_REASONS = {
    "ceiling": "so that a fortnight holds no more hard sessions than agreed",
    "spacing": "so that hard days lie far enough apart",
    "gap": "so that hard days do not lie too far apart",
    "strength": "so that strength and hard work do not meet",
    "step": "so that the week grows gently",
    "longest": "so that the longest outing grows gently",
    "easy_share": "so that most of the week stays easy",
    "slot": "so that it fits the time you have that day",
    "day": "so that it falls on one of your days",
    "leave": "since you are away",
    "early_test": "since some good hard sessions come first",
    "easy_version": "so that it says what to do on a poor day",
    "phase": "since hard work is not due yet",
}


def mends(plan: Ahead, group: Sequence[Breach], whole: Sequence[Breach]) -> tuple[Mend, ...]:
    """What mends one finding, at most one mend a way, in a fixed order.

    group: the finding, the same thing on every day it is true of; whole: everything found in the plan.
    """
    if not group:
        return ()
    made = (_mend(plan, group, whole, way, tries) for way, tries in tries_for(group[0].kind))
    return tuple(mend for mend in made if mend is not None)


def _mend(plan: Ahead, group: Sequence[Breach], whole: Sequence[Breach], way: Way, tries: Tries) -> Mend | None:
    kind = group[0].kind
    changes = _in_turn(plan, group, way, tries) if kind in _EACH else _first_that_helps(plan, group, way, tries)
    if not changes:
        return None
    after = plan.changed(changes).found()
    if not _is_right(way, whole, after, group):
        return None
    return _told(way, changes, kind, news(whole, after))


def _in_turn(plan: Ahead, group: Sequence[Breach], way: Way, tries: Tries) -> Changes:
    """One session after the other, each in the plan the one before left; nothing when one cannot be mended."""
    if len(group) > MENDED_TOGETHER_MOST:
        return ()
    changes: Changes = ()
    for breach in group:
        more = _first_that_helps(plan.changed(changes), [breach], way, tries)
        if not more:
            return ()
        changes = (*changes, *more)
    return changes if len({change.after.id for change in changes}) == len(changes) else ()


def _first_that_helps(plan: Ahead, group: Sequence[Breach], way: Way, tries: Tries) -> Changes:
    """The first changes that mend it as far as the days around can tell."""
    for changes in islice(tries(plan, group), TRIED_MOST):
        near = plan.around([*_days(changes), *(one.on for one in group)])
        if _is_right(way, near.found(), near.changed(changes).found(), group):
            return changes
    return ()


def _is_right(way: Way, before: Sequence[Breach], after: Sequence[Breach], group: Sequence[Breach]) -> bool:
    """A session that moves breaks nothing at all where it goes; what it leaves behind may be something to know."""
    is_clean = way not in (Way.MOVE, Way.SWAP) or not news(before, after)
    return is_clean and is_mended(before, after, group)


def _days(changes: Changes) -> list[date]:
    return [day for one in changes for day in (_before(one).planned_on, one.after.planned_on)]


def _told(way: Way, changes: Changes, kind: str, new: Sequence[Breach]) -> Mend:
    because = _REASONS.get(kind, "since it is paused for now")
    said = [_costs(changes), *(one.sentence for one in new if one.level is Level.SAYS)]
    return Mend(way, changes, _words(way, changes), " ".join(said), f"{_DONE[way]} {because}.")


_DONE = {
    Way.MOVE: "Moved",
    Way.SWAP: "Swapped",
    Way.SHORTEN: "Made shorter",
    Way.EASE: "Made easy",
    Way.WORDS: "Written more fully",
    Way.TAKE_OUT: "Taken out",
}


def _words(way: Way, changes: Changes) -> str:
    if way is Way.MOVE:
        return f"Move {_moved_all(changes)}"
    if way is Way.SWAP:
        return f"Swap {_named(changes[0])} with {_named(changes[1])}"
    if way is Way.SHORTEN:
        return f"Shorten {_and(f'{_named(one)} to {one.after.minutes} min' for one in changes)}"
    if way is Way.WORDS:
        return f"Write its easy version into {_named_all(changes)}"
    return f"Take out {_named_all(changes)}" if way is Way.TAKE_OUT else f"Make {_named_all(changes)} easy"


def _moved_all(changes: Changes) -> str:
    if len(changes) <= _NAMED_MOST:
        return _and(f"{_named(one)} to {short_day(one.after.planned_on)}" for one in changes)
    return f"{_named_all(changes)}, each to its nearest free day"


def _named_all(changes: Changes) -> str:
    if len(changes) <= _NAMED_MOST:
        return _and(_named(one) for one in changes)
    days = sorted(_before(one).planned_on for one in changes)
    return f"all {len(changes)} from {short_day(days[0])} to {short_day(days[-1])}"


def _named(change: Change) -> str:
    return f"{_before(change).title} on {short_day(_before(change).planned_on)}"


def _and(parts: Iterable[str]) -> str:
    return " and ".join(parts)


def _costs(changes: Changes) -> str:
    """Where the minutes go, week by week, and how many hard sessions fewer."""
    weeks = _by_week([_before(one) for one in changes], -1)
    weeks.update(_by_week([one.after for one in changes], 1))
    lost = -sum(weeks.values())
    hard = sum(_before(one).is_hard for one in changes) - sum(_is_hard(one.after) for one in changes)
    parts = [f"{counted(hard, 'hard session')} fewer."] if hard > 0 else []
    return " ".join([_minutes_told(weeks, lost, changes), *parts])


def _minutes_told(weeks: dict[date, int], lost: int, changes: Changes) -> str:
    fewer = {monday: -by for monday, by in sorted(weeks.items()) if by < 0}
    more = {monday: by for monday, by in sorted(weeks.items()) if by > 0}
    if lost > 0:
        where = _and(f"{by} in the week of {short_day(monday)}" for monday, by in fewer.items())
        return f"{lost} min fewer: {where}."
    if fewer and more:
        (to, by), (since, _) = next(iter(more.items())), next(iter(fewer.items()))
        return f"No minutes are lost; {by} go from the week of {short_day(since)} to that of {short_day(to)}."
    strength = [one for one in changes if one.after.is_cancelled]
    return f"{_before(strength[0]).minutes} min of strength fewer." if strength else "No minutes are lost."


def _by_week(sessions: Sequence[PlannedSession], sign: int) -> Counter[date]:
    found: Counter[date] = Counter()
    for one in sessions:
        if is_endurance(one) and not one.is_cancelled:
            found[week_start(one.planned_on)] += sign * one.minutes
    return found


def _is_hard(session: PlannedSession) -> bool:
    return session.is_hard and not session.is_cancelled


def _before(change: Change) -> PlannedSession:
    # A mend only changes what stands; a change always knows what was there.
    return change.before or change.after
