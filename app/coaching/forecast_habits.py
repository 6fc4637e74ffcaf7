"""What a forecast starts from: the weeks that are over, the client's habits, and the plan as it goes on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

import numpy as np
from numpy.typing import NDArray

from app.coaching.base_weeks import adherence
from app.coaching.done_work import done_minutes, is_endurance, minutes_by_band
from app.coaching.facts import Facts, facts_of
from app.coaching.forecast_weeks import AWAY, HELD, NOT_HELD, Floats, Weeks
from app.coaching.history import History
from app.coaching.people import age_on
from app.coaching.planner import BaseWishes, base_block, easier_every
from app.coaching.prescriptions import PlannedSession
from app.coaching.promotion_practice import base_weeks_for
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.training_weeks import Held, WeekFacts, all_week_facts, away_days, logged_mondays
from app.coaching.week_drafts import WeekDraft
from app.coaching.weeks import DAYS_IN_WEEK, week_start

#: How many weeks ahead a forecast looks, and the whole weeks it needs behind it.
WEEKS_AHEAD = 78
WEEKS_NEEDED = 4

# All of these are house choices. The middle is the 75-80 % that the practice calls normal; the two shapes of a beta
# distribution give that middle with a spread of 0.12 between people.
USUAL_DONE, USUAL_MISSED = 8.7, 2.6
#: A session counts half as much after so many weeks.
HALF_LIFE_WEEKS = 26
#: Days within which an unanswered session may still be told of; its chance of having been done.
STILL_TOLD_DAYS = 7
STILL_TOLD_CHANCE = 0.5
#: Stretches on leave or on hold a year, and the years this guess counts for.
USUAL_SPELLS_A_YEAR, USUAL_SPELL_YEARS = 3.0, 1.0
#: What a usual client's done sessions were: a share of the planned minutes each.
USUAL_SHARES = (*((1.0,) * 7), 0.7)
USUAL_EASY_SESSIONS = 8
USUAL_EXTRAS_A_WEEK, USUAL_EXTRA_WEEKS, USUAL_EXTRA_MIN = 0.1, 4.0, 30.0

_HELD_CODES = {Held.HELD: HELD, Held.AWAY: AWAY}
_LONGEST_LOOK_BACK_DAYS = 30
_WEEKS_A_YEAR = 52


@dataclass(frozen=True, slots=True)
class SessionFelt:
    """One done session: the easy and the known share of its minutes, and whether it was hard."""

    easy: float
    known: float
    is_hard: bool = False


@dataclass(frozen=True, slots=True)
class Habits:
    """What is known of how a client answers a plan, mixed with what is usual."""

    done: float
    missed: float
    #: Shares of planned minutes, smallest first.
    shares: tuple[float, ...]
    #: Sessions as they felt, hardest first.
    felt: tuple[SessionFelt, ...]
    extras_a_week: float
    extra_minutes: float
    spells: float
    spell_years: float

    @property
    def completion(self) -> float:
        """The middle of what is thought of the share of sessions done."""
        return self.done / (self.done + self.missed)


@dataclass(frozen=True, slots=True)
class Ahead:
    """The running week and those to come, seven days each."""

    minutes: Floats
    is_easier: NDArray[np.bool_]
    #: A factor on the chance of each day's session: 1 to come, 0 answered.
    open: Floats
    #: What the running week's entries say already: minutes a day, then easy, known and hard sessions of them.
    done_minutes: Floats
    done_easy: float
    done_known: float
    done_hard: int
    is_away: NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Start:
    """Everything a forecast is reckoned from."""

    today: date
    monday: date
    weeks: Weeks
    has_record: tuple[bool, ...]
    planned_weeks: int
    #: Held base weeks asked for on each Monday to come.
    asked: tuple[int, ...]
    habits: Habits
    ahead: Ahead

    @property
    def weeks_over(self) -> int:
        """Whole weeks behind."""
        return len(self.has_record)


def start_from(history: History, today: date, rules: Rules, *, facts: Facts | None = None) -> Start:
    """What a forecast is reckoned from, as known on a day.

    history: needs the logs and plans of the whole base.
    """
    known = facts or facts_of(history, today, rules)
    monday = week_start(today)
    mondays = logged_mondays(history, today)
    weeks = all_week_facts(history, mondays, today, rules, facts=known)
    to_come = [monday + timedelta(weeks=n) for n in range(1, WEEKS_AHEAD + 1)]
    has_plan = [week.planned_minutes is not None for week in weeks]
    return Start(
        today=today,
        monday=monday,
        weeks=_weeks_over(history, weeks, today, known),
        has_record=tuple(plan or week.sessions > 0 for plan, week in zip(has_plan, weeks, strict=True)),
        planned_weeks=sum(has_plan),
        asked=tuple(base_weeks_for(history.client, day, rules) for day in to_come),
        habits=_habits(history, today, rules, known),
        ahead=_ahead(history, weeks, today, rules, known),
    )


def one_session_more(start: Start) -> Start:
    """The same with one more outing in every week to come that has a free day."""
    minutes = start.ahead.minutes.copy()
    for week in range(1, len(minutes)):
        free, busy = (np.flatnonzero(found).tolist() for found in (minutes[week] == 0, minutes[week] > 0))
        if free and busy:
            minutes[week, _farthest(free, busy)] = minutes[week, busy].mean()
    return replace(start, ahead=replace(start.ahead, minutes=minutes))


def _farthest(free: list[int], busy: list[int]) -> int:
    """The free weekday that lies farthest from the busy ones, the week taken as a ring; the later of two."""

    def distance(day: int) -> int:
        return min(min((day - other) % DAYS_IN_WEEK, (other - day) % DAYS_IN_WEEK) for other in busy)

    return max(free, key=lambda day: (distance(day), day))


def _weeks_over(history: History, weeks: Sequence[WeekFacts], today: date, facts: Facts) -> Weeks:
    first = weeks[0].monday if weeks else week_start(today)
    outings = np.zeros((1, DAYS_IN_WEEK * len(weeks)), dtype=np.bool_)
    for log in history.logs:
        day = (log.done_on - first).days
        if 0 <= day < outings.shape[1] and is_endurance(log) and done_minutes(log) > 0:
            outings[0, day] = True
    parts = [adherence(history, (week.monday,), today, pairing=facts.pairing) for week in weeks]
    held = [_HELD_CODES.get(week.held, NOT_HELD) for week in weeks]
    return Weeks(
        held=np.array([held], dtype=np.int16),
        days=_row([week.days for week in weeks]),
        minutes=_row([week.done_minutes for week in weeks]),
        easy=_row([week.by_band.easy for week in weeks]),
        known=_row([week.by_band.known for week in weeks]),
        planned_counted=_row([part.planned_minutes for part in parts]),
        done_counted=_row([part.done_minutes for part in parts]),
        outings=outings,
    )


def _row(values: Sequence[float]) -> Floats:
    return np.array([values], dtype=np.float64)


def _habits(history: History, today: date, rules: Rules, facts: Facts) -> Habits:
    asked = [one for one in history.planned if is_endurance(one) and not one.is_cancelled]
    away = away_days(history, sorted({one.planned_on for one in asked}))
    settled = sorted((one for one in asked if _is_settled(one, today, facts)), key=lambda one: one.id)
    counted = [one for one in settled if one.planned_on not in away]
    done, missed = USUAL_DONE, USUAL_MISSED
    for one in counted:
        weight = 0.5 ** ((today - one.planned_on).days / DAYS_IN_WEEK / HALF_LIFE_WEEKS)
        log = facts.pairing.log_of.get(one.id)
        is_done = log is not None and done_minutes(log) > 0
        done, missed = done + weight * is_done, missed + weight * (not is_done)
    pairs = [(one, facts.pairing.log_of[one.id]) for one in counted if one.id in facts.pairing.log_of]
    shares = [done_minutes(log) / one.minutes for one, log in pairs if done_minutes(log) > 0 and one.minutes > 0]
    felt = [_felt(log, facts, rules) for log in history.logs if is_endurance(log) and done_minutes(log) > 0]
    usual = (SessionFelt(1.0, 1.0),) * USUAL_EASY_SESSIONS
    extras = [log for log in history.logs if _is_extra(log, facts) and log.done_on < today]
    weeks = max(1.0, (today - min((one.planned_on for one in asked), default=today)).days / DAYS_IN_WEEK)
    spells, years = _spells(history, today)
    return Habits(
        done=done,
        missed=missed,
        shares=tuple(sorted([*USUAL_SHARES, *shares])),
        felt=tuple(sorted([*usual, *felt], key=lambda one: (not one.is_hard, one.easy, one.known))),
        extras_a_week=(USUAL_EXTRAS_A_WEEK * USUAL_EXTRA_WEEKS + len(extras)) / (USUAL_EXTRA_WEEKS + weeks),
        extra_minutes=(USUAL_EXTRA_MIN + sum(done_minutes(log) for log in extras)) / (1 + len(extras)),
        spells=spells,
        spell_years=years,
    )


def _is_settled(one: PlannedSession, today: date, facts: Facts) -> bool:
    """Whether it is known, or no longer to be told, what became of a session."""
    if one.id in facts.pairing.log_of:
        return True
    return one.planned_on < today - timedelta(days=STILL_TOLD_DAYS)


def _is_extra(log: SessionLog, facts: Facts) -> bool:
    return is_endurance(log) and done_minutes(log) > 0 and log.id not in facts.pairing.plan_of


def _felt(log: SessionLog, facts: Facts, rules: Rules) -> SessionFelt:
    after = facts.transition.is_over_on(log.done_on)
    bands = minutes_by_band(log, facts.pairing.plan_of.get(log.id), after_transition=after, rules=rules)
    return SessionFelt(bands.easy / bands.total, bands.known / bands.total, log.id in facts.hard)


def _spells(history: History, today: date) -> tuple[float, float]:
    """Stretches away so far, and the years they were counted over, both with the usual mixed in."""
    first = max(history.from_on, history.client.joined_on)
    days = [first + timedelta(days=n) for n in range(max(0, (today - first).days))]
    away = away_days(history, days)
    begun = sum(day in away and day - timedelta(days=1) not in away for day in days)
    years = len(days) / DAYS_IN_WEEK / _WEEKS_A_YEAR
    return USUAL_SPELLS_A_YEAR * USUAL_SPELL_YEARS + begun, USUAL_SPELL_YEARS + years


def _ahead(history: History, weeks: Sequence[WeekFacts], today: date, rules: Rules, facts: Facts) -> Ahead:
    monday = week_start(today)
    days = [monday + timedelta(days=n) for n in range(DAYS_IN_WEEK * WEEKS_AHEAD)]
    away = away_days(history, days)
    minutes, is_easier = _plan_ahead(history, weeks, today, rules)
    is_away = np.array([day in away for day in days]).reshape(WEEKS_AHEAD, DAYS_IN_WEEK)
    # The coach plans nothing on agreed leave.
    minutes[1:][is_away[1:]] = 0.0
    is_open = np.ones((WEEKS_AHEAD, DAYS_IN_WEEK))
    for one in _planned_from(history, monday):
        if one.id in facts.pairing.log_of and one.planned_on in days[:DAYS_IN_WEEK]:
            is_open[0, one.planned_on.weekday()] = 0.0
    is_open[0, : today.weekday()] *= STILL_TOLD_CHANCE
    here = [log for log in history.logs if log.done_on >= monday and is_endurance(log) and done_minutes(log) > 0]
    done = np.zeros(DAYS_IN_WEEK)
    for log in here:
        done[log.done_on.weekday()] += done_minutes(log)
    felt = [(done_minutes(log), _felt(log, facts, rules)) for log in here]
    return Ahead(
        minutes=minutes,
        is_easier=is_easier,
        open=is_open,
        done_minutes=done,
        done_easy=sum(one.easy * size for size, one in felt),
        done_known=sum(one.known * size for size, one in felt),
        done_hard=sum(one.is_hard for _, one in felt),
        is_away=is_away,
    )


def _planned_from(history: History, monday: date) -> list[PlannedSession]:
    """Every session from a Monday on as the coach has it now, drafts in place of what they change."""
    newest = {one.id: one for one in (*history.planned, *history.drafts)}
    return [one for one in newest.values() if one.planned_on >= monday and is_endurance(one) and not one.is_cancelled]


def _plan_ahead(
    history: History, weeks: Sequence[WeekFacts], today: date, rules: Rules
) -> tuple[Floats, NDArray[np.bool_]]:
    """Minutes a day: the plan as far as it is written, then as the planner would go on."""
    monday = week_start(today)
    minutes = np.zeros((WEEKS_AHEAD, DAYS_IN_WEEK))
    written = _planned_from(history, monday)
    for one in written:
        week, weekday = divmod((one.planned_on - monday).days, DAYS_IN_WEEK)
        if week < WEEKS_AHEAD:
            minutes[week, weekday] += one.minutes
    marked = {one.starts_on for one in history.weeks if one.is_easier}
    is_easier = np.array([monday + timedelta(weeks=n) in marked for n in range(WEEKS_AHEAD)])
    until = max((week_start(one.planned_on) for one in written), default=monday - timedelta(weeks=1))
    first = min(WEEKS_AHEAD, (until - monday).days // DAYS_IN_WEEK + 1)
    pattern = _pattern(history, weeks, until)
    block = _block_after(history, until + timedelta(weeks=1), pattern.sum(), WEEKS_AHEAD - first, rules)
    if block is None:
        minutes[first:] = pattern
        return minutes, is_easier
    for number, draft in enumerate(block, first):
        is_easier[number] = draft.is_easier
        for outing in draft.outings:
            minutes[number, outing.weekday] += outing.minutes
    return minutes, is_easier


def _block_after(
    history: History, starts_on: date, full: float, weeks: int, rules: Rules
) -> tuple[WeekDraft, ...] | None:
    """The base block the planner would lay out next over the client's real days; None where it cannot."""
    since = starts_on - timedelta(days=_LONGEST_LOOK_BACK_DAYS)
    asked = [one.minutes for one in history.planned if one.planned_on >= since and is_endurance(one)]
    modes = Counter(one.mode for one in history.planned if is_endurance(one))
    try:
        wishes = BaseWishes(
            start_volume_min=round(full),
            target_min=max(round(rules.target_minutes), round(full)),
            weeks=weeks,
            every=easier_every(age_on(history.client.born_on, starts_on), rules),
            starts_on=starts_on,
            mode=modes.most_common(1)[0][0],
            longest_before_min=max(asked, default=None),
        )
        return base_block(wishes, days=history.available, rules=rules)
    except (DomainError, IndexError):
        return None


def _pattern(history: History, weeks: Sequence[WeekFacts], until: date) -> Floats:
    """The minutes of the last week planned whole, by day."""
    newest = {one.id: one for one in (*history.planned, *history.drafts)}
    shapes: dict[date, Floats] = {}
    for one in newest.values():
        if is_endurance(one) and not one.is_cancelled and week_start(one.planned_on) <= until:
            row = shapes.setdefault(week_start(one.planned_on), np.zeros(DAYS_IN_WEEK))
            row[one.planned_on.weekday()] += one.minutes
    easier = {one.starts_on for one in history.weeks if one.is_easier}
    cut = {week.monday for week in weeks if week.away_days}
    whole = {day: row for day, row in shapes.items() if day not in easier | cut} or shapes
    return whole[max(whole)] if whole else np.zeros(DAYS_IN_WEEK)
