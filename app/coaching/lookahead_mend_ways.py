"""What could mend each kind of finding, tried in a fixed order: the nearest and mildest first."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations

from app.coaching.done_work import is_endurance
from app.coaching.easy_version import eased
from app.coaching.effort import Band
from app.coaching.entry_ramp import doing_now
from app.coaching.hard_work import FORTNIGHT_DAYS
from app.coaching.lookahead_mend_hard import GAP_WAYS, fewer_rounds
from app.coaching.lookahead_mend_rest import REST_WAYS
from app.coaching.lookahead_mend_room import free_days, has_room
from app.coaching.lookahead_mend_values import Ahead, Changes, Tries, Way
from app.coaching.lookahead_values import DAYS_OFF, HARD_WEEK, PAPER_ENDS, Breach
from app.coaching.lookahead_volume import longest_allowed, longest_before, week_step
from app.coaching.plan_changes import Change, taken_away
from app.coaching.planned_effort import band_of_plan, is_hard_or_middle
from app.coaching.planner_intervals import EASY_VERSION_MIN
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.session_shapes import Shape, steady_content
from app.coaching.session_steps import easy_version
from app.coaching.shorter import resized
from app.coaching.week_spread import SHORTEST_OUTING_MIN
from app.coaching.weeks import week_start

#: Sessions that are swapped lie at most so many days apart.
SWAPPED_MOST_DAYS = 6
#: Shortened sessions last a multiple of so many minutes, as people plan them.
_ROUND_MIN = 5
#: More hard sessions than this are not made easy in one go to get under a ceiling.
_EASED_TOGETHER_MOST = 3
#: Weeks that rise one from the other are shortened together, up to so many.
_FITTED_TOGETHER_MOST = 8


def tries_for(kind: str) -> tuple[tuple[Way, Tries], ...]:
    """The ways a kind of finding may be mended, each with its changes in the order they are tried."""
    return _WAYS.get(kind, ())


def _moves(plan: Ahead, sessions: Sequence[PlannedSession]) -> Iterator[Changes]:
    found = [
        (abs((day - one.planned_on).days), n, one, day)
        for n, one in _numbered(plan, sessions)
        for day in free_days(plan, one)
    ]
    for _far, _n, one, day in sorted(found, key=lambda it: (it[0], it[1], -it[3].toordinal())):
        yield (Change(one, replace(one, planned_on=day)),)


def _swaps(plan: Ahead, sessions: Sequence[PlannedSession]) -> Iterator[Changes]:
    for _n, one in _numbered(plan, sessions):
        others = [s for s in plan.sessions if _may_swap(plan, one, s)]
        for other in sorted(others, key=lambda s: (abs((s.planned_on - one.planned_on).days), s.planned_on, s.id)):
            yield _swapped(one, other)


def _may_swap(plan: Ahead, one: PlannedSession, other: PlannedSession) -> bool:
    apart = abs((other.planned_on - one.planned_on).days)
    if not plan.may_change(other) or not 0 < apart <= SWAPPED_MOST_DAYS or is_endurance(one) != is_endurance(other):
        return False
    return has_room(plan, one, other.planned_on) and has_room(plan, other, one.planned_on)


def _swapped(one: PlannedSession, other: PlannedSession) -> Changes:
    return (
        Change(one, replace(one, planned_on=other.planned_on)),
        Change(other, replace(other, planned_on=one.planned_on)),
    )


def _numbered(plan: Ahead, sessions: Sequence[PlannedSession]) -> list[tuple[int, PlannedSession]]:
    return list(enumerate(one for one in sessions if plan.may_change(one)))


# What a finding is about.


def _on_its_days(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    days = {breach.on for breach in group}
    return [one for one in plan.sessions if one.planned_on in days]


def _hard_near(plan: Ahead, group: Sequence[Breach], before: int, after: int) -> list[PlannedSession]:
    """Hard sessions from some days before to some days after what was found, the latest first."""
    first = min(one.on for one in group) - timedelta(days=before)
    last = max(one.on for one in group) + timedelta(days=after)
    near = [one for one in plan.sessions if one.is_hard and first <= one.planned_on <= last]
    return near[::-1]


def _in_its_week(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    mondays = {week_start(breach.on) for breach in group}
    found = [one for one in plan.sessions if week_start(one.planned_on) in mondays and is_endurance(one)]
    return sorted(found, key=lambda one: (-one.minutes, one.planned_on, one.id))


def _crowded(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    return _hard_near(plan, group, FORTNIGHT_DAYS - 1, FORTNIGHT_DAYS - 1)


def _hard_in_its_week(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    """The week's hard sessions, the latest first."""
    mondays = {week_start(breach.on) for breach in group}
    return [one for one in plan.sessions if one.is_hard and week_start(one.planned_on) in mondays][::-1]


def _pair(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    return _hard_near(plan, group, 3, 0)


def _after_the_gap(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    return _hard_near(plan, group, 0, 0)


def _strength_and_hard(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    days = {one.on - timedelta(days=n) for one in group for n in (0, 1)}
    near = [one for one in plan.sessions if one.planned_on in days]
    return sorted((one for one in near if one.is_hard or not is_endurance(one)), key=lambda one: one.is_hard)


Involved = Callable[[Ahead, Sequence[Breach]], list[PlannedSession]]


def _move(involved: Involved) -> tuple[Way, Tries]:
    return Way.MOVE, lambda plan, group: _moves(plan, involved(plan, group))


def _swap(involved: Involved) -> tuple[Way, Tries]:
    return Way.SWAP, lambda plan, group: _swaps(plan, involved(plan, group))


def _take_out(involved: Involved) -> tuple[Way, Tries]:
    def tries(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
        for _n, one in _numbered(plan, involved(plan, group)):
            yield (taken_away(one),)

    return Way.TAKE_OUT, tries


def _ease(involved: Involved) -> tuple[Way, Tries]:
    """One after the other, then the latest two or three together; the minutes stay."""

    def tries(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
        harder = [one for _n, one in _numbered(plan, involved(plan, group)) if is_hard_or_middle(one)]
        for count in range(1, _EASED_TOGETHER_MOST + 1):
            for chosen in combinations(harder, count):
                yield tuple(Change(one, _easy_throughout(plan, one)) for one in chosen)

    return Way.EASE, tries


def _easy_throughout(plan: Ahead, session: PlannedSession) -> PlannedSession:
    content = steady_content(Shape.EASY, session.mode, session.minutes, plan.rules)
    return replace(
        session,
        kind=content.kind,
        title=content.title,
        purpose=content.purpose,
        hard_minutes=0.0,
        is_hard=False,
        rounds=0,
        steps_json=content.steps_json,
        easy_version=None,
    )


def _ease_all(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    """All of them in their agreed easy version: what stops hard work wants no long session in its place."""
    harder = [one for one in _on_its_days(plan, group) if is_hard_or_middle(one)]
    if harder and all(plan.may_change(one) for one in harder):
        yield tuple(Change(one, eased(one)) for one in harder)


def _fit_slot(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    slots = {one.weekday: one.minutes for one in plan.history.available}
    for one in _on_its_days(plan, group):
        yield from _shorter(plan, one, slots.get(one.planned_on.weekday(), 0))


def _fit_longest(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    planned = [one for one in plan.sessions if is_endurance(one)]
    for one in _on_its_days(plan, group):
        before = longest_before(plan.history, planned, one.planned_on, plan.today)
        most = longest_allowed(before, doing_now(plan.history, plan.today), plan.rules)
        yield from _shorter(plan, one, most or 0)


def _shorter(plan: Ahead, session: PlannedSession, most: int) -> Iterator[Changes]:
    minutes = most - most % _ROUND_MIN
    if plan.may_change(session) and SHORTEST_OUTING_MIN <= minutes < session.minutes:
        try:
            yield (Change(session, resized(session, minutes, plan.rules)),)
        except DomainError:
            return


def _fit_week(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    """The week's longest easy sessions a little shorter, until it keeps the step; then weeks that rose from it."""
    changes: Changes = ()
    for n in range(_FITTED_TOGETHER_MOST):
        monday = group[0].on + timedelta(weeks=n)
        made = _fitted(plan.changed(changes), monday)
        if not made:
            return
        changes = (*changes, *made)
        yield changes


def _fitted(plan: Ahead, monday: date) -> Changes:
    """What makes one week keep the step; nothing when it does already or cannot."""
    over = math.ceil(week_step(plan.history, _endurance_around(plan), monday, plan.today, plan.rules).over)
    week = [one for one in plan.sessions if week_start(one.planned_on) == monday and is_endurance(one)]
    changes: list[Change] = []
    for one in sorted(week, key=lambda s: (-s.minutes, s.planned_on, s.id)):
        if over > 0 and plan.may_change(one) and band_of_plan(one) is Band.EASY:
            made = [change for (change,) in _shorter(plan, one, max(SHORTEST_OUTING_MIN, one.minutes - over))]
            changes += made
            over -= sum(one.minutes - change.after.minutes for change in made)
    return tuple(changes) if over <= 0 else ()


def _endurance_around(plan: Ahead) -> list[PlannedSession]:
    """Everything planned for endurance, also what lies behind the days looked at."""
    looked_at = {one.id for one in plan.sessions}
    behind = [one for one in plan.history.planned if one.id not in looked_at]
    return [one for one in (*behind, *plan.sessions) if is_endurance(one)]


def _give_words(plan: Ahead, group: Sequence[Breach]) -> Iterator[Changes]:
    bare = [one for one in _on_its_days(plan, group) if one.is_hard and not one.easy_version]
    if bare and all(plan.may_change(one) for one in bare):
        yield tuple(
            Change(one, replace(one, easy_version=easy_version(min(EASY_VERSION_MIN, one.minutes), one.mode)))
            for one in bare
        )


def _tests_on_its_days(plan: Ahead, group: Sequence[Breach]) -> list[PlannedSession]:
    return [one for one in _on_its_days(plan, group) if one.kind is SessionKind.TEST]


_SETTLED_EASY = ((Way.EASE, _ease_all),)
_WAYS: dict[str, tuple[tuple[Way, Tries], ...]] = {
    "past": (_take_out(_on_its_days),),
    "ceiling": (_move(_crowded), _ease(_crowded), _take_out(_crowded)),
    HARD_WEEK: (_move(_hard_in_its_week), _ease(_hard_in_its_week), _take_out(_hard_in_its_week)),
    "spacing": (_move(_pair), _swap(_pair), _ease(_pair), _take_out(_pair)),
    "gap": (_move(_after_the_gap), _swap(_after_the_gap), *GAP_WAYS),
    DAYS_OFF: (_move(_on_its_days), _swap(_on_its_days), _ease(_on_its_days)),
    "rounds": ((Way.ROUNDS, fewer_rounds), _ease(_on_its_days)),
    "rest": REST_WAYS,
    "strength": (_move(_strength_and_hard), _swap(_strength_and_hard)),
    "step": ((Way.SHORTEN, _fit_week), _move(_in_its_week), _take_out(_in_its_week)),
    "longest": ((Way.SHORTEN, _fit_longest),),
    "easy_share": (_ease(_in_its_week),),
    "slot": (_move(_on_its_days), _swap(_on_its_days), (Way.SHORTEN, _fit_slot)),
    "day": (_move(_on_its_days), _take_out(_on_its_days)),
    "leave": (_move(_on_its_days), _take_out(_on_its_days)),
    "early_test": (_take_out(_tests_on_its_days),),
    "easy_version": ((Way.WORDS, _give_words),),
    "phase": _SETTLED_EASY,
    "hold": _SETTLED_EASY,
    "stopped": _SETTLED_EASY,
    "no_leave": _SETTLED_EASY,
    PAPER_ENDS: _SETTLED_EASY,
}
