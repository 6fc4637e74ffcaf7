"""One-click mends: changes that take a finding away, add nothing that refuses or asks, and say what they cost."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from datetime import date
from itertools import islice

from app.coaching.done_work import is_endurance
from app.coaching.lookahead_mend_values import Ahead, Changes, Mend, Tries, Way, is_mended, news
from app.coaching.lookahead_mend_ways import tries_for
from app.coaching.lookahead_values import DAYS_OFF, HARD_WEEK, PAPER_ENDS, STOPS_HARD_WORK, Breach, Level
from app.coaching.plan_changes import Change
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day, short_days

#: So many changes are tried for each way before it is given up.
TRIED_MOST = 14
#: A finding about more sessions than this is not mended one after the other.
MENDED_TOGETHER_MOST = 12
#: Kinds that are true of sessions one by one.
_EACH = frozenset({"day", "leave", "past"})
#: More sessions than this are counted, not named.
_NAMED_MOST = 3
#: What is done whole or not at all: it brings nothing new to know, not even what publishing would only say.
_CLEAN = frozenset({Way.MOVE, Way.SWAP, Way.SHARE, Way.HARDEN, Way.ADD})
#: The client reads it.
_REASONS = {
    "ceiling": "so that a fortnight holds no more hard sessions than agreed",
    "spacing": "so that hard days lie far enough apart",
    HARD_WEEK: "so that a week holds no more hard sessions than agreed",
    "gap": "so that hard days do not lie too far apart",
    DAYS_OFF: "so that easy days come first after days off",
    "strength": "so that strength and hard work do not meet",
    "step": "so that the week grows gently",
    "longest": "so that the longest outing grows gently",
    "easy_share": "so that most of the week stays easy",
    "slot": "so that it fits the time you have that day",
    "day": "so that it falls on one of your days",
    "leave": "since you are away",
    "early_test": "since some good hard sessions come first",
    "easy_version": "so that it says what to do on a poor day",
    "rounds": "so that rounds grow one at a time",
    "rest": "so that the week has a day of rest",
    PAPER_ENDS: "since the clearance ends before it",
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
    if not _is_right(way, whole, after, group) or _is_hard_refused(way, changes, after):
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
        after = near.changed(changes).found()
        if _is_right(way, near.found(), after, group) and not _is_hard_refused(way, changes, after):
            return changes
    return ()


def _is_right(way: Way, before: Sequence[Breach], after: Sequence[Breach], group: Sequence[Breach]) -> bool:
    """What comes to another day breaks nothing at all there; what is left behind may be something to know."""
    is_clean = way not in _CLEAN or not news(before, after)
    return is_clean and is_mended(before, after, group)


def _is_hard_refused(way: Way, changes: Changes, after: Sequence[Breach]) -> bool:
    """Whether hard work would be put, or left in another shape, where hard work is stopped.

    Where a session is made hard or added, anything that refuses one counts, also where one stood before.
    """
    is_new = way in (Way.HARDEN, Way.ADD)
    days = {one.after.planned_on for one in changes if is_new or _stays_hard(one.after)}
    refused = [one for one in after if one.level is Level.REFUSES and one.on in days]
    return any(is_new or one.kind in STOPS_HARD_WORK for one in refused)


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
    Way.SHARE: "Put onto other days",
    Way.ROUNDS: "Made fewer rounds",
    Way.HARDEN: "Made a hard session",
    Way.ADD: "Added",
    Way.EASE: "Made easy",
    Way.WORDS: "Written more fully",
    Way.TAKE_OUT: "Taken out",
}


def _words(way: Way, changes: Changes) -> str:
    if way is Way.SHARE:
        return f"Free {_shared(changes)}"
    if way is Way.ROUNDS:
        return f"Fewer rounds: {_and(map(_fewer, changes))}"
    return " ".join(part for part in _WORDS[way](changes) if part)


_WORDS: dict[Way, Callable[[Changes], tuple[str, ...]]] = {
    Way.MOVE: lambda changes: ("Move", _moved_all(changes)),
    Way.SWAP: lambda changes: ("Swap", _named(changes[0]), "with", _named(changes[1])),
    Way.SHORTEN: lambda changes: ("Shorten", _and(f"{_named(one)} to {one.after.minutes} min" for one in changes)),
    Way.HARDEN: lambda changes: (_and(f"{one.after.title} in place of {_named(one)}" for one in changes),),
    Way.ADD: lambda changes: ("Add", _and(map(_named, changes))),
    Way.WORDS: lambda changes: ("Write its easy version into", _named_all(changes)),
    Way.TAKE_OUT: lambda changes: ("Take out", _named_all(changes)),
    Way.EASE: lambda changes: ("Make", _named_all(changes), "easy"),
}


def _shared(changes: Changes) -> str:
    """Which day is freed, and where its minutes go; the days are told where there are few."""
    freed = [one.after.planned_on for one in changes if one.after.is_cancelled]
    grown = [one.after.planned_on for one in changes if not one.after.is_cancelled]
    if len(freed) > 1:
        return f"{short_days(freed)}: the minutes go to other days of each week"
    return f"{short_days(freed)}: its minutes go to {short_days(grown)}"


def _fewer(change: Change) -> str:
    before = _before(change)
    return f"{change.after.rounds} instead of {before.rounds} on {short_day(before.planned_on)}"


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
    were = [one.before for one in changes if one.before is not None]
    weeks = _by_week(were, -1)
    weeks.update(_by_week([one.after for one in changes], 1))
    lost = -sum(weeks.values())
    hard = sum(one.is_hard for one in were) - sum(_is_hard(one.after) for one in changes)
    parts = [f"{counted(abs(hard), 'hard session')} {'fewer' if hard > 0 else 'more'}."] if hard else []
    return " ".join([_minutes_told(weeks, lost, changes), *parts])


def _minutes_told(weeks: dict[date, int], lost: int, changes: Changes) -> str:
    fewer = {monday: -by for monday, by in sorted(weeks.items()) if by < 0}
    more = {monday: by for monday, by in sorted(weeks.items()) if by > 0}
    if lost < 0:
        where = _and(f"{by} in the week of {short_day(monday)}" for monday, by in more.items())
        return f"{-lost} min more: {where}."
    if lost > 0:
        where = _and(f"{by} in the week of {short_day(monday)}" for monday, by in fewer.items())
        return f"{lost} min fewer: {where}."
    if fewer and more:
        (to, by), (since, _) = next(iter(more.items())), next(iter(fewer.items()))
        return f"No minutes are lost; {by} go from the week of {short_day(since)} to that of {short_day(to)}."
    strength = [one for one in changes if one.after.is_cancelled and not is_endurance(one.after)]
    return f"{_before(strength[0]).minutes} min of strength fewer." if strength else "No minutes are lost."


def _by_week(sessions: Sequence[PlannedSession], sign: int) -> Counter[date]:
    found: Counter[date] = Counter()
    for one in sessions:
        if is_endurance(one) and not one.is_cancelled:
            found[week_start(one.planned_on)] += sign * one.minutes
    return found


def _stays_hard(session: PlannedSession) -> bool:
    return is_hard_or_middle(session) and not session.is_cancelled


def _is_hard(session: PlannedSession) -> bool:
    return session.is_hard and not session.is_cancelled


def _before(change: Change) -> PlannedSession:
    # What is new is named by what it will be.
    return change.before or change.after
