"""What speaks for a second hard session a week: time on one, sessions, the last three, volume, spacing, fortnight.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import date, timedelta
from itertools import combinations, takewhile
from operator import attrgetter

from app.coaching.condition import STATE_WORDS, Condition, Group, State
from app.coaching.done_work import complete_rounds
from app.coaching.facts import facts_of
from app.coaching.hard_work import HardDay, hard_lately
from app.coaching.history import History
from app.coaching.people import age_on
from app.coaching.phases import Phase
from app.coaching.planner_intervals import ceiling_of
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import REASON_ASKED, Figure, Provenance, Why, is_reason
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, Posture, SessionLog
from app.coaching.training_weeks import HELD_WORDS, Held, all_week_facts
from app.coaching.weeks import DAYS_IN_WEEK, day_words, weeks_back
from app.coaching.words import counted

WEEKS_ON_ONE = 8
SESSIONS_DONE = 6
GOOD_IN_A_ROW = 3
END_EFFORT_HIGHEST = 8
#: From this age hard sessions stand further apart.
OLDER_FROM_YEARS = 60
#: From this age staying at one is a good end.
ONE_IS_ENOUGH_FROM_YEARS = 70

SECOND_WEEK_KEYS = ("weeks_on_one", "sessions_done", "last_three", "volume_held", "spacing_fits", "fortnight_fits")

_HOURS_A_DAY = 24
_WEEKS_LOOKED_AT = 8


def second_week_conditions(history: History, today: date, rules: Rules) -> tuple[Condition, ...]:
    """What speaks for a second hard session a week, as it stands on a day.

    Judged by effort at the end, posture and rounds; steadiness within a round is not looked at here.
    Source: common practice, no published source.
    """
    return tuple(_one_by_one(history, today, rules))


def all_speak_for_second(history: History, today: date, rules: Rules) -> tuple[Condition, ...]:
    """The same conditions when every one is met; empty as soon as one is not, the rest is then not looked at."""
    found = tuple(takewhile(lambda one: one.is_met, _one_by_one(history, today, rules)))
    return found if len(found) == len(SECOND_WEEK_KEYS) else ()


def _one_by_one(history: History, today: date, rules: Rules) -> Iterator[Condition]:
    sessions = _rounds_done(history, today, rules)
    yield _weeks_on_one(history, today)
    yield _sessions_done(sessions)
    yield _last_three(sessions)
    yield _volume(history, today, rules)
    yield _spacing(history, today, rules)
    yield _fortnight(history, today, rules)


def may_take_second(found: Sequence[Condition], override_reason: str | None = None) -> tuple[str, ...]:
    """Why a second hard session may not begin, as sentences; empty when a coach may decide it.

    found: the safety conditions and the second week's. Safety is never overridden.
    """
    keys = {one.key for one in found}
    if not keys >= set(SECOND_WEEK_KEYS) or not any(one.group is Group.SAFETY for one in found):
        return ("Not every condition was looked at; look at the whole list again.",)
    short = [one for one in found if not one.is_met]
    refusals = [
        f"{one.title}: {one.value} ({STATE_WORDS[one.state]}). Nobody can override this. {one.would_change or ''}"
        for one in short
        if one.group is Group.SAFETY
    ]
    practice = [one for one in short if one.group is Group.PRACTICE]
    if practice and not is_reason(override_reason):
        titles = ", ".join(one.title for one in practice)
        refusals.append(
            f"Not met: {titles}. You may go ahead all the same with a reason that is kept. {REASON_ASKED}"
        )
    return tuple(one.strip() for one in refusals)


def _rounds_done(history: History, today: date, rules: Rules) -> list[tuple[SessionLog, PlannedSession | None]]:
    """Sessions of rounds since the one-a-week phase began, with their plans, oldest first; spoilt ones left out."""
    since = history.phase_since_on if history.phase is Phase.INTERVAL_ONE else None
    if since is None:
        return []
    facts = facts_of(history, today, rules)
    rounds = [
        log
        for log in history.logs
        if since <= log.done_on <= today
        and log.kind is SessionKind.INTERVALS
        and log.spoilt_by is None
        and log.id in facts.hard
    ]
    return [(log, facts.pairing.plan_of.get(log.id)) for log in sorted(rounds, key=attrgetter("done_on", "id"))]


def _weeks_on_one(history: History, today: date) -> Condition:
    since = history.phase_since_on if history.phase is Phase.INTERVAL_ONE else None
    if since is None:
        return _line(
            "weeks_on_one", "Weeks on one a week", State.NOT_MET, "not on one a week", f"{WEEKS_ON_ONE} weeks"
        )
    weeks = (today - since).days // DAYS_IN_WEEK
    found = _line(
        "weeks_on_one",
        "Weeks on one a week",
        State.MET if weeks >= WEEKS_ON_ONE else State.NOT_MET,
        f"{weeks} weeks",
        f"{WEEKS_ON_ONE} weeks",
        figures=(Figure("on one a week since", day_words(since)),),
        change=f"{counted(max(0, WEEKS_ON_ONE - weeks), 'more week')}.",
    )
    return replace(found, short_weeks=max(0, WEEKS_ON_ONE - weeks) or None)


def _sessions_done(sessions: Sequence[tuple[SessionLog, PlannedSession | None]]) -> Condition:
    done = len(sessions)
    return _line(
        "sessions_done",
        "Hard sessions done on one a week",
        State.MET if done >= SESSIONS_DONE else State.NOT_MET,
        f"{done} sessions",
        f"at least {SESSIONS_DONE}",
        figures=tuple(Figure(day_words(log.done_on), _session_words(log, plan)) for log, plan in sessions[-8:]),
        change=f"{max(0, SESSIONS_DONE - done)} more.",
    )


def _last_three(sessions: Sequence[tuple[SessionLog, PlannedSession | None]]) -> Condition:
    last = sessions[-GOOD_IN_A_ROW:]
    judged = [went_well(log, plan) for log, plan in last]
    if False in judged:
        state = State.NOT_MET
    else:
        state = State.MET if len(judged) == GOOD_IN_A_ROW and None not in judged else State.UNKNOWN
    return _line(
        "last_three",
        "The last three went well",
        state,
        f"{sum(one is True for one in judged)} of {len(judged)}",
        f"all rounds, effort at the end {END_EFFORT_HIGHEST} at most, stood and walked on",
        figures=tuple(Figure(day_words(log.done_on), _session_words(log, plan)) for log, plan in last),
        change="Three in a row that end standing, with all rounds and something left.",
    )


def went_well(log: SessionLog, plan: PlannedSession | None) -> bool | None:
    """Whether a set of rounds went well: all of them, an end effort of 8 at most, stood; None when not said."""
    asked = plan.rounds if plan is not None else 0
    has_all = complete_rounds(log) >= asked if log.rounds and asked else log.answer is Answer.AS_PLANNED
    effort = end_effort(log)
    if not has_all or (effort is not None and effort > END_EFFORT_HIGHEST):
        return False
    if log.posture is not None and log.posture is not Posture.STOOD:
        return False
    return None if effort is None or log.posture is None else True


def end_effort(log: SessionLog) -> float | None:
    """Effort of the last round if it was said, else of the session."""
    efforts = [one.effort for one in sorted(log.rounds, key=lambda one: one.number) if one.effort is not None]
    return efforts[-1] if efforts else log.effort


def _session_words(log: SessionLog, plan: PlannedSession | None) -> str:
    effort = end_effort(log)
    rounds = (
        f"{complete_rounds(log)} of {plan.rounds} rounds" if plan is not None else f"{complete_rounds(log)} rounds"
    )
    said = f"effort {effort:g}" if effort is not None else "effort not said"
    posture = log.posture.value.replace("_", " ") if log.posture else "posture not said"
    return f"{rounds if log.rounds else log.answer.value.replace('_', ' ')}, {said}, {posture}"


def _volume(history: History, today: date, rules: Rules) -> Condition:
    weeks = all_week_facts(history, weeks_back(today, _WEEKS_LOOKED_AT), today, rules)
    held = sum(week.held is Held.HELD for week in weeks)
    unknown = sum(week.held is Held.UNKNOWN for week in weeks)
    away = sum(week.held is Held.AWAY for week in weeks)
    asked = min(rules.held_of_last_eight, _WEEKS_LOOKED_AT - away)
    state = State.UNKNOWN if held + unknown >= asked else State.NOT_MET
    return _line(
        "volume_held",
        "Volume held",
        State.MET if held >= asked > 0 else state,
        f"{held} of {len(weeks) - away} weeks",
        f"at least {asked} held weeks of the last {_WEEKS_LOOKED_AT}, weeks away left out",
        figures=tuple(
            Figure(f"week of {day_words(week.monday)}", "; ".join((HELD_WORDS[week.held], *week.because)))
            for week in weeks
        ),
        change="The easy outings kept beside the hard one.",
    )


def _spacing(history: History, today: date, rules: Rules) -> Condition:
    age = age_on(history.client.born_on, today)
    is_older = age is None or age >= OLDER_FROM_YEARS
    hours = rules.spacing_first_weeks_h if is_older else rules.spacing_h
    days = sorted({one.weekday for one in history.available})
    fits = any(_apart(pair) * _HOURS_A_DAY >= hours for pair in combinations(days, 2))
    state = State.UNKNOWN if not days else (State.MET if fits else State.NOT_MET)
    names = ", ".join(_weekday(day) for day in days) or "not recorded"
    return _line(
        "spacing_fits",
        "Two hard days fit the real week",
        state,
        "fits" if fits else ("no days recorded" if not days else "does not fit"),
        f"two days at least {hours:.0f} h apart, around the week's end too",
        figures=(Figure("days there are", names), Figure("age", "unknown" if age is None else str(age))),
        change="The days there really are, recorded, with two far enough apart.",
    )


def _fortnight(history: History, today: date, rules: Rules) -> Condition:
    """No more hard work lately than one a week allows, planned or not: the 14 days up to the newest of the week."""
    inside, most = hard_lately(history, today, rules), ceiling_of(Phase.INTERVAL_ONE, rules)
    plan_of = facts_of(history, today, rules).pairing.plan_of
    return _line(
        "fortnight_fits",
        "Hard sessions of the last fortnight",
        State.MET if len(inside) <= most else State.NOT_MET,
        f"{counted(len(inside), 'hard session')} in 14 days",
        f"at most {most} in 14 days, planned or not",
        figures=tuple(Figure(day_words(day.on), _hard_day_words(day, plan_of.get(day.record_id))) for day in inside),
        change=f"A fortnight with at most {most} hard sessions, those nobody planned among them.",
    )


def _hard_day_words(day: HardDay, plan: PlannedSession | None) -> str:
    if plan is not None and plan.is_hard:
        return day.title
    said = "not planned" if plan is None else "planned as something else"
    return f"{day.title}, {said}: {'; '.join(day.because)}"


def _apart(pair: tuple[int, int]) -> int:
    """Days between two weekdays the shorter way round."""
    return min(pair[1] - pair[0], DAYS_IN_WEEK - (pair[1] - pair[0]))


def _weekday(day: int) -> str:
    return f"{date(2024, 1, 1) + timedelta(days=day):%A}"


def _line(
    key: str,
    title: str,
    state: State,
    value: str,
    limit: str,
    *,
    figures: tuple[Figure, ...] = (),
    change: str | None = None,
) -> Condition:
    why = Why(figures, f"{title}: {limit}.", Provenance.COMMON_PRACTICE)
    opened = why if state is State.MET else replace(why, would_change=change)
    return Condition(key, Group.PRACTICE, title, state, value, limit, opened)
