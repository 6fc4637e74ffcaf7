"""Signals about load: a week that grew too fast, an outing too long, a heavy and even week, the year's course."""

from __future__ import annotations

import statistics
from collections import defaultdict
from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.hard_work import hard_done
from app.coaching.outings import outings_of
from app.coaching.phases import INTERVAL_PHASES
from app.coaching.planner import longest_after, rise_step
from app.coaching.reasons import Provenance
from app.coaching.session_logs import SessionLog
from app.coaching.signals_values import Act, Scene, Signal, key_of, to_plan, why
from app.coaching.weeks import week_days, week_start
from app.coaching.words import minutes_words, percent, short_day
from app.physiology.load import monotony_sample_foster_1998, session_load_foster_2001
from app.physiology.values import Missing

#: The two weeks before, so that the week after an easier one is no large step (house choice).
WEEKS_COMPARED = 2
LONGEST_DAYS = 30
#: A long outing stays news for so long (house choice).
NEWS_DAYS = 7
#: Weeks a client's own load is held against, and the fewest of them with every day known (house choice).
OWN_WEEKS = 8
OWN_WEEKS_LEAST = 4
#: Spreads above the own mean from which a week counts as heavy (house choice).
HEAVY_SPREADS = 1.0
YEAR = timedelta(weeks=52)
#: With fewer planned than these a share of the year says nothing (house choice).
YEAR_LEAST = 12
_SLOWER = (Act.PLAN, Act.CONTACT, Act.PUT_OFF)


def volume_step(scene: Scene) -> Signal | None:
    """The last whole week was over the larger of the two before it by more than a rise may be."""
    last = week_start(scene.today) - timedelta(weeks=1)
    minutes = [_week_minutes(scene, last - timedelta(weeks=n)) for n in range(WEEKS_COMPARED + 1)]
    done, before = minutes[0], max(minutes[1:])
    allowed = max(rise_step(before, scene.rules), before * scene.rules.large_step_fraction)
    if before <= 0 or done <= before + allowed:
        return None
    newest = max(_logs_in(scene, last), key=lambda log: (log.done_on, log.id))
    reasons = why(
        "A week over the larger of the two before it by more than 15 %, and by more than a rise may be, is a large "
        "step. One thing at a time.",
        ("last week", minutes_words(done)),
        ("the larger of the two before", minutes_words(before)),
        ("the most", minutes_words(before + allowed)),
        would_change="A week no longer than that.",
    )
    sentence = (
        f"A large step: {minutes_words(done)} in the week of {short_day(last)}, {minutes_words(before)} before."
    )
    return to_plan(
        scene,
        "volume_step",
        sentence,
        reasons,
        key=key_of("volume_step", [last], scene.rules.large_step_fraction),
        acts=_SLOWER,
        evidence_on=newest.done_on,
    )


def long_outing(scene: Scene) -> Signal | None:
    """The newest outing of the last week that went too far beyond the longest of the 30 days before it."""
    first = scene.today - timedelta(days=NEWS_DAYS + LONGEST_DAYS)
    outings = [log for log in outings_of(scene.history) if log.done_on > first]
    outings.sort(key=lambda log: (log.done_on, log.id))
    fresh = [log for log in outings if log.done_on > scene.today - timedelta(days=NEWS_DAYS)]
    found = [
        (log, before)
        for log in fresh
        if (before := _longest_before(outings, log)) and _is_too_long(scene, log, before)
    ]
    if not found:
        return None
    log, before = found[-1]
    reasons = why(
        f"No outing over {percent(scene.rules.longest_fraction)} of the longest of the {LONGEST_DAYS} days before. "
        "In recreational runners a longer one went with more injuries, a longer week did not.",
        ("outing", minutes_words(done_minutes(log))),
        (f"longest of {LONGEST_DAYS} days before", minutes_words(before)),
        ("the most", minutes_words(longest_after(before, scene.rules))),
        provenance=Provenance.PUBLISHED_READ,
        source="Frandsen et al. 2025, distances of runners; minutes and other ways of moving are a house choice",
        would_change="The next long outing no longer than that.",
    )
    return to_plan(
        scene,
        "long_outing",
        f"{minutes_words(done_minutes(log))} on {short_day(log.done_on)}; the longest of the {LONGEST_DAYS} days "
        f"before was {minutes_words(before)}.",
        reasons,
        key=key_of("long_outing", [log.id], scene.rules.longest_fraction),
        acts=_SLOWER,
        evidence_on=log.done_on,
    )


def heavy_even_week(scene: Scene) -> Signal | None:
    """The last whole week was heavy against the own weeks, and even: only where the practice watches it."""
    if not scene.rules.load_watched:
        return None
    last = week_start(scene.today) - timedelta(weeks=1)
    loads = [_week_load(scene, last - timedelta(weeks=n)) for n in range(OWN_WEEKS + 1)]
    own = [sum(week) for week in loads[1:] if week is not None and sum(week) > 0]
    if loads[0] is None or len(own) < OWN_WEEKS_LEAST:
        return None
    even, total = monotony_sample_foster_1998(daily_load_au=loads[0]), sum(loads[0])
    heavy_from = statistics.fmean(own) + HEAVY_SPREADS * statistics.stdev(own)
    if isinstance(even, Missing) or even <= scene.rules.monotony_highest or total <= heavy_from:
        return None
    reasons = why(
        "Load is rated effort times minutes; monotony its daily mean over its spread. Each alone says little: a "
        "small regular week is even as well. No cut-off is validated for recreational people.",
        ("load of the week", f"{total:.0f} AU"),
        ("own weeks", f"{statistics.fmean(own):.0f} AU, give or take {statistics.stdev(own):.0f}, {len(own)} weeks"),
        ("monotony", f"{even:.1f}, over {scene.rules.monotony_highest:g}"),
        provenance=Provenance.PUBLISHED_SECOND_HAND,
        source="Foster 1998",
        formulae=(monotony_sample_foster_1998.__name__,),
        would_change="An easier week, with days that differ.",
    )
    return to_plan(
        scene,
        "heavy_even_week",
        f"The week of {short_day(last)} was heavier than usual and its days alike: {total:.0f} AU, monotony "
        f"{even:.1f}.",
        reasons,
        key=key_of("heavy_even_week", [last], scene.rules.monotony_highest),
        acts=_SLOWER,
        evidence_on=last + timedelta(days=6),
    )


def year_course(scene: Scene) -> Signal | None:
    """Hard sessions of the last 52 weeks against the client's own plan of them; said once a quarter."""
    history = scene.history
    if history.phase not in INTERVAL_PHASES:
        return None
    first = scene.today - YEAR
    planned = [s for s in history.planned if first <= s.planned_on < scene.today and s.is_hard and not s.is_cancelled]
    if len(planned) < YEAR_LEAST:
        return None
    done = [day for day in hard_done(history, scene.rules, facts=scene.facts) if first <= day.on < scene.today]
    if len(done) >= scene.rules.year_share * len(planned):
        return None
    quarter = f"{scene.today.year}-{(scene.today.month - 1) // 3 + 1}"
    reasons = why(
        "The year is held against the client's own planned course, never against somebody else's.",
        ("hard sessions done", str(len(done))),
        ("planned in the same 52 weeks", str(len(planned))),
        ("speaks under", percent(scene.rules.year_share)),
        would_change="A course that fits the year as it is.",
    )
    return to_plan(
        scene,
        "year_course",
        f"{len(done)} hard sessions in 52 weeks; their own course had {len(planned)}. Does the course still fit?",
        reasons,
        key=key_of("year_course", [quarter], scene.rules.year_share),
        acts=(Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        evidence_on=max((day.on for day in done), default=first),
    )


def _week_minutes(scene: Scene, monday: date) -> float:
    return sum(done_minutes(log) for log in _logs_in(scene, monday))


def _logs_in(scene: Scene, monday: date) -> list[SessionLog]:
    last = monday + timedelta(days=6)
    return [
        log
        for log in scene.history.logs
        if monday <= log.done_on <= last and is_endurance(log) and done_minutes(log) > 0
    ]


def _longest_before(outings: Sequence[SessionLog], log: SessionLog) -> float:
    first = log.done_on - timedelta(days=LONGEST_DAYS)
    return max((done_minutes(one) for one in outings if first <= one.done_on < log.done_on), default=0.0)


def _is_too_long(scene: Scene, log: SessionLog, before: float) -> bool:
    return done_minutes(log) > longest_after(before, scene.rules)


def _week_load(scene: Scene, monday: date) -> list[float] | None:
    """Seven daily loads, rest days 0; None when an effort was not said or a planned session not logged."""
    by_day: dict[date, float] = defaultdict(float)
    for log in _logs_in(scene, monday):
        if log.effort is None:
            return None
        by_day[log.done_on] += session_load_foster_2001(effort=log.effort, minutes=done_minutes(log))
    days = week_days(monday)
    answered = scene.facts.pairing.log_of
    if any(s.planned_on in days and s.id not in answered for s in scene.history.planned if not s.is_cancelled):
        return None
    return [by_day[day] for day in days]


LOAD_RULES = (volume_step, long_outing, heavy_even_week, year_course)
