"""The practice's conditions for hard work. A coach may override them with a reason that is kept."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from itertools import pairwise

from app.coaching.base_weeks import (
    HALVES_AFTER_WEEKS,
    STARTS_AGAIN_AFTER_WEEKS,
    HeldCount,
    adherence,
    band_figures,
    count_held,
    easy_share_over,
    held_base_weeks,
    week_figures,
)
from app.coaching.condition import Condition, Group, State
from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.effort import Band, band_of_session
from app.coaching.facts import Facts, facts_of
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.heart_rate_trust import HeartRateTrust, trust_of
from app.coaching.history import History
from app.coaching.pairing import Pairing
from app.coaching.people import ORIGIN_WORDS, Client, HeartRateUse, age_on
from app.coaching.readiness_rules import ReadinessLevel, is_down
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.told_spans import longest_off_days
from app.coaching.training_weeks import Held, WeekFacts
from app.coaching.transition import Transition
from app.coaching.weeks import day_words, weeks_back
from app.coaching.words import counted, figure_beside, percent, percent_beside

#: From this age, or with the birth date unknown, the coach sets the base between the two limits.
OLDER_FROM_YEARS = 60
BASE_WEEKS_LOWEST = 13

_EIGHT = 8
#: What stands in place of a share while there is nothing to count.
NOTHING_PLANNED = "nothing planned"
_FOUR = 4
_SIX_WEEKS_DAYS = 42
_GAP_RULE = "Counted between outings, and from the last one to today; days off as told count whatever is logged."
#: The loop counts as worse beyond these (common practice, no published source).
_LOOP_HEART_RATE_BPM = 5
_LOOP_TIME_FRACTION = 0.05
_SAME_LOOP_FRACTION = 0.02


@dataclass(frozen=True, slots=True)
class _Line:
    """What a condition is called, asks for, and rests on."""

    key: str
    title: str
    limit: str
    rule: str


@dataclass(frozen=True, slots=True)
class _Found:
    """What was found for it; how far short counts only while it is not met."""

    state: State
    value: str
    figures: tuple[Figure, ...] = ()
    would_change: str | None = None
    short_fraction: float | None = None
    short_weeks: int | None = None


def practice_conditions(
    history: History, today: date, rules: Rules, *, facts: Facts | None = None, beside: Sequence[Condition] = ()
) -> tuple[Condition, ...]:
    """Every practice condition in the order they are shown.

    beside: those of `conditions_beside_weeks`, where they were looked at already.
    """
    known = facts or facts_of(history, today, rules)
    no_gap, *others = beside or conditions_beside_weeks(history, today, rules, facts=known)
    count, weeks = held_base_weeks(history, today, rules, facts=known)
    counted = [week for week in weeks if week.held is not Held.AWAY]
    return (
        _base_weeks(base_weeks_for(history.client, today, rules), count, weeks),
        _held_of_eight(counted[-_EIGHT:], rules),
        _recent_weeks(counted[-_FOUR:], rules),
        no_gap,
        _easy_share(counted[-_FOUR:], rules),
        *others,
    )


def conditions_beside_weeks(
    history: History, today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[Condition, ...]:
    """The practice conditions that need no look at every week of the base, in the order they are shown."""
    known = facts or facts_of(history, today, rules)
    return (
        _no_gap(history, today, rules),
        _adherence(history, known.pairing, today, rules),
        _easy_outing(history, known.transition, today, rules),
        _readiness(history, today, rules),
        _loop(history, today, rules),
        _heart_rate(history.client, trust_of(history, today)),
    )


def base_weeks_for(client: Client, today: date, rules: Rules) -> int:
    """Held base weeks asked of a client before the first hard session.

    From age 60, or with the birth date unknown, the coach's word counts from 13 weeks up; below 60 it can only ask
    for more than the practice does.
    Source: common practice, no published source.
    """
    asked = client.base_weeks_asked
    if asked is None:
        return rules.base_weeks
    age = age_on(client.born_on, today)
    is_older = age is None or age >= OLDER_FROM_YEARS
    return max(asked, BASE_WEEKS_LOWEST if is_older else rules.base_weeks)


def _base_weeks(asked: int, count: HeldCount, weeks: Sequence[WeekFacts]) -> Condition:
    unknown = sum(week.held is Held.UNKNOWN for week in weeks)
    best = count_held([Held.HELD if week.held is Held.UNKNOWN else week.held for week in weeks])
    line = _Line(
        "base_weeks",
        "Weeks in base",
        f"{asked} held weeks",
        f"Held weeks count. 3 not held in a row: 2 held weeks before the count goes on; {HALVES_AFTER_WEEKS}: it "
        f"halves; {STARTS_AGAIN_AFTER_WEEKS}: it starts again. Away neither counts nor breaks.",
    )
    figures = (
        Figure("weeks looked at", str(len(weeks))),
        Figure("held", str(sum(week.held is Held.HELD for week in weeks))),
        Figure("unknown", str(unknown)),
        Figure("brought in from a file", str(sum(week.has_brought_in for week in weeks))),
        Figure("held weeks before the count goes on", str(count.owed)),
    )
    short = asked - count.weeks + count.owed
    state = _state(is_met=count.weeks >= asked, could_be=best.weeks >= asked)
    change = f"{counted(short, 'more held week')}."
    return _practice(line, _Found(state, _weeks_held(count.weeks), figures, change, short_weeks=short))


def _held_of_eight(weeks: Sequence[WeekFacts], rules: Rules) -> Condition:
    asked = rules.held_of_last_eight
    held = sum(week.held is Held.HELD for week in weeks)
    unknown = sum(week.held is Held.UNKNOWN for week in weeks)
    line = _Line("held_of_eight", "Held weeks of the last eight", f"at least {asked}", "Weeks away are passed over.")
    state = _state(is_met=held >= asked, could_be=held + unknown >= asked)
    change = f"{counted(asked - held, 'more held week')}."
    value = f"{held} of {len(weeks)}"
    return _practice(line, _Found(state, value, week_figures(weeks), change, short_weeks=asked - held))


def _recent_weeks(weeks: Sequence[WeekFacts], rules: Rules) -> Condition:
    days, minutes = rules.base_recent_sessions, rules.base_recent_minutes
    line = _Line(
        "recent_weeks",
        "The last four weeks",
        f"each {days} sessions on different days, {minutes:.0f} min a week on average",
        "Endurance minutes, strength apart.",
    )
    figures = tuple(
        Figure(f"week of {day_words(week.monday)}", f"{week.days} days, {week.done_minutes:.0f} min")
        for week in weeks
    )
    if len(weeks) < _FOUR:
        return _practice(line, _Found(State.UNKNOWN, _weeks_logged(len(weeks)), figures, "Four whole weeks."))
    fewest = min(week.days for week in weeks)
    average = sum(week.done_minutes for week in weeks) / len(weeks)
    is_met = fewest >= days and average >= minutes
    state = _state(is_met=is_met, could_be=any(week.not_logged for week in weeks))
    short = max((days - fewest) / days, (minutes - average) / minutes)
    least = f"at least {counted(fewest, 'day')}" if fewest else "no outing in one of them"
    value = f"{least}, {figure_beside(average, minutes)} min on average" if average else "no outing yet"
    return _practice(line, _Found(state, value, figures, "Outings on more days, or longer ones.", short))


def _weeks_held(weeks: int) -> str:
    return counted(weeks, "held week") if weeks else "none held yet"


def _weeks_logged(weeks: int) -> str:
    return f"only {counted(weeks, 'week')} logged" if weeks else "no week logged yet"


def _no_gap(history: History, today: date, rules: Rules) -> Condition:
    line = _Line("no_gap", "No long gap in six weeks", f"under {rules.base_gap_days} days between outings", _GAP_RULE)
    start = today - timedelta(days=_SIX_WEEKS_DAYS)
    told = longest_off_days(history, start, today)
    said = (Figure("longest days off as told", counted(told, "day")),) if told else ()
    change = "Six weeks without a long gap."
    if told >= rules.base_gap_days:
        return _practice(line, _Found(State.NOT_MET, f"{counted(told, 'day')} off, as told", said, change))
    days = sorted({log.done_on for log in history.logs if done_minutes(log) > 0 and is_endurance(log)})
    inside = [day for day in days if start <= day <= today]
    if not inside:
        return _practice(line, _Found(State.UNKNOWN, "no outing logged in six weeks", said, "Log the outings."))
    longest = max((later - earlier).days for earlier, later in pairwise([start, *inside, today]))
    state = State.MET if longest < rules.base_gap_days else State.NOT_MET
    figures = (Figure("outings in six weeks", str(len(inside))), Figure("last outing", day_words(inside[-1])), *said)
    return _practice(line, _Found(state, f"longest {longest} days", figures, change))


def _easy_share(weeks: Sequence[WeekFacts], rules: Rules) -> Condition:
    line = _Line(
        "easy_share",
        "Easy share over four weeks",
        f"at least {percent(rules.easy_share)} of minutes",
        "Easy minutes against minutes of known effort; not defined when over a quarter is unknown.",
    )
    share = easy_share_over(weeks, rules)
    figures = (Figure("unknown effort", f"{percent(share.unknown_fraction)}"), *band_figures(weeks))
    if share.fraction is None:
        found = _Found(State.UNKNOWN, share.missing or "not defined", figures, "Talk answers or effort in the logs.")
        return _practice(line, found)
    state = State.MET if share.fraction >= rules.easy_share else State.NOT_MET
    short = (rules.easy_share - share.fraction) / rules.easy_share
    value = percent_beside(share.fraction, rules.easy_share)
    return _practice(line, _Found(state, value, figures, "More of the week at easy effort.", short))


def _adherence(history: History, pairing: Pairing, today: date, rules: Rules) -> Condition:
    line = _Line(
        "adherence",
        "Done against planned over eight weeks",
        f"at least {percent(rules.adherence_least)}",
        "Done minutes, capped at planned, against planned; days on hold or leave left out.",
    )
    found = adherence(history, weeks_back(today, _EIGHT), today, pairing=pairing)
    figures = (
        Figure("planned", f"{found.planned_minutes:.0f} min"),
        Figure("done", f"{found.done_minutes:.0f} min"),
        Figure("planned, not logged", f"{found.not_logged_minutes:.0f} min"),
    )
    if found.fraction is None:
        return _practice(line, _Found(State.UNKNOWN, NOTHING_PLANNED, figures, "Weeks planned here and logged."))
    best = found.best_fraction or 0.0
    state = _state(is_met=found.fraction >= rules.adherence_least, could_be=best >= rules.adherence_least)
    short = (rules.adherence_least - found.fraction) / rules.adherence_least
    change = "More of the plan done, or a plan that fits the real week."
    value = percent_beside(found.fraction, rules.adherence_least)
    return _practice(line, _Found(state, value, figures, change, short))


def _easy_outing(history: History, transition: Transition, today: date, rules: Rules) -> Condition:
    asked = rules.easy_minutes_without_distress
    line = _Line(
        "easy_outing",
        f"{asked:.0f} min easy without distress",
        f"one outing of {asked:.0f} min in six weeks",
        "Easy by talk answer or effort, with no symptom that day.",
    )
    distressed = {report.felt_on for report in history.symptoms}
    start = today - timedelta(days=_SIX_WEEKS_DAYS)
    recent = [log for log in history.logs if start <= log.done_on <= today and is_endurance(log)]
    calm = [log for log in recent if log.done_on not in distressed]
    easy = [log for log in calm if _said_band(log, transition, rules) is Band.EASY]
    longest = max((done_minutes(log) for log in easy), default=0.0)
    unsaid = any(done_minutes(log) >= asked and _said_band(log, transition, rules) is None for log in calm)
    figures = (Figure("longest easy outing", f"{longest:.0f} min"), Figure("outings looked at", str(len(recent))))
    state = _state(is_met=longest >= asked, could_be=unsaid or not recent)
    short = (asked - longest) / asked
    return _practice(line, _Found(state, f"{longest:.0f} min", figures, "One easy outing that long.", short))


def _said_band(log: SessionLog, transition: Transition, rules: Rules) -> Band | None:
    after = transition.is_over_on(log.done_on)
    said = band_of_session(talk=log.talk, effort=log.effort, after_transition=after, rules=rules)
    return said.band if said else None


def _readiness(history: History, today: date, rules: Rules) -> Condition:
    judged = is_down(history.readiness, today, rules)
    states = {
        ReadinessLevel.USUAL: State.MET,
        ReadinessLevel.DOWN: State.NOT_MET,
        ReadinessLevel.UNKNOWN: State.UNKNOWN,
    }
    line = _Line("readiness", "Readiness not down", "not down", judged.why.rule)
    found = _Found(states[judged.level], judged.level.value, judged.why.figures, "The next notes, as usual.")
    return _practice(line, found)


def _loop(history: History, today: date, rules: Rules) -> Condition:
    line = _Line(
        "standard_loop",
        "Standard loop steady or better",
        "the last one against the one before",
        f"Worse: over {_LOOP_HEART_RATE_BPM} beats higher without being faster, or over "
        f"{percent(_LOOP_TIME_FRACTION)} slower. Heart rate is passed over when it is not reliable, and across a "
        "medicine change.",
    )
    loops = sorted(
        (one for one in history.tests if one.protocol is Protocol.STANDARD_LOOP and one.tested_on <= today),
        key=lambda one: (one.tested_on, one.id),
    )
    pair = _last_alike(loops)
    heart_rate = trust_of(history, today)
    figures = tuple(Figure(day_words(one.tested_on), _loop_words(one, heart_rate)) for one in loops[-2:])
    change = f"A standard loop, same route, same talk (every {rules.loop_weeks} weeks)."
    if pair is None:
        return _practice(line, _Found(State.UNKNOWN, "fewer than two alike", figures, change))
    earlier, later = pair
    age_weeks = (today - later.tested_on).days / 7
    if age_weeks > 2 * rules.loop_weeks:
        return _practice(line, _Found(State.UNKNOWN, f"the last is {age_weeks:.0f} weeks old", figures, change))
    is_worse = _is_loop_worse(earlier, later, heart_rate)
    if is_worse is None:
        return _practice(line, _Found(State.UNKNOWN, "time or heart rate missing", figures, change))
    state = State.NOT_MET if is_worse else State.MET
    return _practice(line, _Found(state, "worse" if is_worse else "steady or better", figures, change))


def _last_alike(loops: Sequence[FitnessTest]) -> tuple[FitnessTest, FitnessTest] | None:
    if not loops:
        return None
    later = loops[-1]
    alike = [one for one in loops[:-1] if _is_same_loop(one, later)]
    return (alike[-1], later) if alike else None


def _is_same_loop(one: FitnessTest, other: FitnessTest) -> bool:
    if one.mode is not other.mode:
        return False
    if one.distance_m is None or other.distance_m is None:
        return one.distance_m is other.distance_m
    return abs(one.distance_m - other.distance_m) <= _SAME_LOOP_FRACTION * other.distance_m


def _is_loop_worse(earlier: FitnessTest, later: FitnessTest, heart_rate: HeartRateTrust) -> bool | None:
    if earlier.duration_s is None or later.duration_s is None:
        return None
    if later.duration_s > earlier.duration_s * (1 + _LOOP_TIME_FRACTION):
        return True
    if not heart_rate.may_compare(earlier.tested_on, later.tested_on):
        return False
    if earlier.heart_rate_bpm is None or later.heart_rate_bpm is None:
        return None
    is_higher = later.heart_rate_bpm - earlier.heart_rate_bpm > _LOOP_HEART_RATE_BPM
    return is_higher and later.duration_s >= earlier.duration_s


def _loop_words(loop: FitnessTest, heart_rate: HeartRateTrust) -> str:
    time = f"{loop.duration_s / 60:.1f} min" if loop.duration_s else "no time"
    rate = heart_rate.beside(f"{loop.heart_rate_bpm} bpm") if loop.heart_rate_bpm else "no heart rate"
    return f"{time}, {rate}, {ORIGIN_WORDS[loop.origin]}"


def _heart_rate(client: Client, heart_rate: HeartRateTrust) -> Condition:
    line = _Line(
        "heart_rate",
        "How effort is steered",
        "heart-rate source recorded, or “not reliable” with an effort plan",
        "A number without a known source steers nobody.",
    )
    figures = (
        Figure("heart rate", heart_rate.use.value.replace("_", " ")),
        Figure("source", client.heart_rate_source or "not recorded"),
        Figure("effort plan", client.effort_plan or "none"),
        *(Figure("because", words) for words in heart_rate.because),
    )
    change = "Record the source, or write how effort is steered without it."
    if heart_rate.use is HeartRateUse.UNKNOWN:
        return _practice(line, _Found(State.UNKNOWN, "not recorded", figures, change))
    word = client.effort_plan if heart_rate.is_off else client.heart_rate_source
    has_word = bool((word or "").strip())
    value = figures[0].text if has_word else f"{figures[0].text}, nothing written beside it"
    return _practice(line, _Found(State.MET if has_word else State.NOT_MET, value, figures, change))


def _state(*, is_met: bool, could_be: bool) -> State:
    if is_met:
        return State.MET
    return State.UNKNOWN if could_be else State.NOT_MET


def _practice(line: _Line, found: _Found) -> Condition:
    is_met = found.state is State.MET
    why = Why(found.figures, line.rule, Provenance.COMMON_PRACTICE)
    return Condition(
        key=line.key,
        group=Group.PRACTICE,
        title=line.title,
        state=found.state,
        value=found.value,
        limit=line.limit,
        why=why if is_met else replace(why, would_change=found.would_change),
        short_fraction=None if is_met else found.short_fraction,
        short_weeks=None if is_met else found.short_weeks,
    )
