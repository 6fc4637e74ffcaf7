"""Looking ahead at volume: how fast weeks and longest outings grow, and how much of a week stays easy."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.done_work import MinutesByBand, done_minutes, is_endurance, planned_minutes_by_band
from app.coaching.entry_ramp import DoingNow, doing_now
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.planner import (
    FIRST_LONGEST_MIN,
    LOOK_BACK_WEEKS,
    START_RISE_MIN,
    WEEKS_COMPARED,
    longest_after,
    rise_step,
)
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.time_away import from_leaves
from app.coaching.told_away import told_stretches
from app.coaching.training_weeks import easy_share_of
from app.coaching.way_back_steps import back_week
from app.coaching.week_spread import SHORTEST_OUTING_MIN
from app.coaching.weeks import DAYS_IN_WEEK, week_start
from app.coaching.words import counted, percent, percent_beside, short_day, short_days

LONGEST_DAYS = 30


def volume_breaches(
    history: History,
    standing: Sequence[PlannedSession],
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
) -> list[Breach]:
    """Weeks that rise too fast, outings too long for what came before, weeks with too little easy work."""
    planned = [s for s in (*standing, *drafts) if is_endurance(s)]
    going = [draft for draft in drafts if is_endurance(draft)]
    return [
        *_steps(history, planned, going, today, rules),
        *_longest(history, planned, going, today, rules),
        *_easy_shares(planned, going, rules),
        *_without_rest(history, (*standing, *drafts), going, today),
    ]


@dataclass(frozen=True, slots=True)
class WeekStep:
    """How a week stands to the two before it, in minutes."""

    week: float
    before: float
    #: The most it may add to the weeks before it.
    allowed: float
    #: The most a first week may hold whatever was before; None: there is nothing to hold it against.
    first_week: float | None
    #: The most it may hold on the way back from days off, and after how many; None where it is not on one.
    way_back: float | None = None
    days_off: int = 0

    @property
    def most(self) -> float | None:
        """The most it may hold; None when there is nothing to hold it against."""
        risen = self.before + self.allowed if self.before > 0 else None
        return max((one for one in (risen, self.first_week, self.way_back) if one is not None), default=None)

    @property
    def is_back(self) -> bool:
        """Whether days off say what it may hold."""
        return self.way_back is not None and self.most == self.way_back

    @property
    def is_first(self) -> bool:
        """Whether it is held against what the client does now, not against the weeks before."""
        return self.before <= 0 or self.most != self.before + self.allowed

    @property
    def over(self) -> float:
        """Minutes above the most it may hold; nothing or less when it keeps to that."""
        return self.week - self.most if self.most is not None else 0.0


def week_step(
    history: History,
    planned: Sequence[PlannedSession],
    monday: date,
    today: date,
    rules: Rules,
    *,
    now: DoingNow | None = None,
) -> WeekStep:
    """The step of one week from the larger of the two before it; `planned` are the endurance sessions around it."""
    week = _week_minutes(history, planned, monday, today)
    before = max(
        _week_minutes(history, planned, monday - timedelta(weeks=n), today) for n in range(1, WEEKS_COMPARED + 1)
    )
    now = now or doing_now(history, today)
    # What the answers say of being active counts until weeks done or planned say more.
    first_week = now.first_week_min if before <= 0 or now.is_new else float(START_RISE_MIN)
    first_week_or_none = first_week if before > 0 or now.has_short_history else None
    allowed = rise_step(before, rules) if before > 0 else 0.0
    back = back_week(history, planned, monday, today)
    if back is None:
        return WeekStep(week, before, allowed, first_week_or_none)
    weeks = (back.last_week_on, back.last_week_on - timedelta(weeks=1))
    full = max(_week_minutes(history, planned, one, today) for one in weeks)
    return WeekStep(week, before, allowed, first_week_or_none, full * back.share, back.days_off)


def _steps(
    history: History, planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], today: date, rules: Rules
) -> list[Breach]:
    found, now = [], doing_now(history, today)
    for monday in sorted({week_start(draft.planned_on) for draft in drafts}):
        step = week_step(history, planned, monday, today, rules, now=now)
        if step.over > 0:
            fuller = _fuller_before(history, planned, monday, today, rules)
            found.append(_told(step, monday, now, rules, fuller))
    return found


def _told(step: WeekStep, monday: date, now: DoingNow, rules: Rules, fuller: str) -> Breach:
    if step.is_back:
        return _back(step, monday)
    return _first_week(step, monday, now) if step.is_first else _step(step, monday, rules, fuller)


def _fuller_before(
    history: History, planned: Sequence[PlannedSession], monday: date, today: date, rules: Rules
) -> str:
    """Which of the last four weeks was fuller than the two compared with, and what cut those; "" for none."""
    mondays = [monday - timedelta(weeks=n) for n in range(1, LOOK_BACK_WEEKS + 1)]
    minutes = [_week_minutes(history, planned, one, today) for one in mondays]
    lately = minutes[:WEEKS_COMPARED]
    fullest, on = max(zip(minutes, mondays, strict=True))
    if fullest <= max(lately) + rise_step(max(lately), rules):
        return ""
    cut = _away_in(history, mondays[WEEKS_COMPARED - 1], monday)
    held = " and ".join(f"{one:.0f}" for one in reversed(lately))
    return f"The two weeks before held {held} min{cut}; the week of {short_day(on)} held {fullest:.0f}."


def _away_in(history: History, first: date, end: date) -> str:
    """Days away from a day to before another, agreed or told, as the rest of a sentence; "" without any."""
    stretches = {*from_leaves(history.leaves), *told_stretches(history.told_away, first)}
    spans = sorted({(one.from_on, one.until_on) for one in stretches if one.from_on < end and one.until_on >= first})
    said = ", ".join(f"{short_day(one)} to {short_day(last)}" for one, last in spans)
    return f", with days away ({said})" if said else ""


def _back(step: WeekStep, monday: date) -> Breach:
    most = math.floor(step.most or 0.0)
    why = Why(
        (Figure("this week", f"{step.week:.0f} min"), Figure("days off", str(step.days_off))),
        "After 10 to 13 days off a week at 75 %; after 14 to 27 two at 50 and 75 %; after 28 or more four that grow.",
        Provenance.COMMON_PRACTICE,
    )
    sentence = (
        f"Week of {short_day(monday)}: {step.week:.0f} min; after {step.days_off} days off {most} are the most."
    )
    return Breach(Level.ASKS, "step", monday, sentence, why)


def _first_week(step: WeekStep, monday: date, now: DoingNow) -> Breach:
    most = step.most or 0.0
    why = Why(
        (
            Figure("this week", f"{step.week:.0f} min"),
            Figure("now", now.words),
            Figure("the most", f"{most:.0f} min"),
        ),
        f"Without much of a history a client begins with what they do now and {START_RISE_MIN} min a week, in "
        f"outings of {SHORTEST_OUTING_MIN} to {FIRST_LONGEST_MIN} min.",
        Provenance.COMMON_PRACTICE,
    )
    sentence = (
        f"Week of {short_day(monday)}: {step.week:.0f} min. {now.words}, and {START_RISE_MIN} min more are where to "
        f"begin: {most:.0f} is the most."
    )
    return Breach(Level.ASKS, "step", monday, sentence, why)


def _step(step: WeekStep, monday: date, rules: Rules, fuller: str) -> Breach:
    is_large = step.week > step.before * (1 + rules.large_step_fraction)
    why = Why(
        (
            Figure("this week", f"{step.week:.0f} min"),
            Figure("before", f"{step.before:.0f} min, the larger of two weeks"),
            *((Figure("fuller before", fuller),) if fuller else ()),
        ),
        "A week adds at most a tenth or 15 min, whichever is more, and never over 20; over 15 % is a large step.",
        Provenance.COMMON_PRACTICE,
    )
    sentence = (
        f"Week of {short_day(monday)}: {step.week:.0f} min, {step.week - step.before:.0f} more than before; "
        f"{step.allowed:.0f} is the most{'. A large step' if is_large else ''}.{f' {fuller}' if fuller else ''}"
    )
    return Breach(Level.ASKS, "step", monday, sentence, why)


def _week_minutes(history: History, planned: Sequence[PlannedSession], monday: date, today: date) -> float:
    """Minutes done in a week that is over, else what is planned or already done, whichever is more."""
    end = monday + timedelta(days=7)
    done = sum(done_minutes(log) for log in history.logs if monday <= log.done_on < end and is_endurance(log))
    asked = float(sum(s.minutes for s in planned if monday <= s.planned_on < end))
    return done if end <= today else max(done, asked)


def longest_before(history: History, planned: Sequence[PlannedSession], day: date, today: date) -> float:
    """Minutes of the longest outing in the 30 days before a day, done or planned for an earlier week; 0 without any.

    What stands in the same week and is not done yet is no base to grow from.
    """
    first = day - timedelta(days=LONGEST_DAYS)
    done = [done_minutes(e) for e in history.logs if first <= e.done_on < day and is_endurance(e)]
    ahead = [float(s.minutes) for s in planned if max(first, today) <= s.planned_on < week_start(day)]
    return max([*done, *ahead], default=0.0)


def longest_allowed(before: float, now: DoingNow, rules: Rules) -> int | None:
    """The longest outing after the longest of 30 days; None: nothing is known to hold it against."""
    return longest_after(before, rules) if before > 0 else now.first_outing_min


def _longest(
    history: History, planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], today: date, rules: Rules
) -> list[Breach]:
    found, now = [], doing_now(history, today)
    for draft in drafts:
        before = longest_before(history, planned, draft.planned_on, today)
        most, behind = longest_allowed(before, now, rules), "nothing in the 30 days before"
        if before > 0:
            behind = f"the longest in the 30 days before is {before:.0f}"
        elif most is None:
            most, behind = _beside(planned, draft, today, rules)
        if most is None or draft.minutes <= most:
            continue
        known = f"{before:.0f} min" if before > 0 else "nothing done, nor planned for a week before"
        why = Why(
            (Figure("planned", f"{draft.minutes} min"), Figure("longest in 30 days", known)),
            "The longest outing grows by at most a tenth over the last 30 days' longest; outings of up to "
            f"{FIRST_LONGEST_MIN} min are where everybody may begin.",
            Provenance.COMMON_PRACTICE,
        )
        sentence = (
            f"{draft.title} on {short_day(draft.planned_on)}: {draft.minutes} min; {behind}, so {most} is the most."
        )
        found.append(Breach(Level.ASKS, "longest", draft.planned_on, sentence, why))
    return found


def _beside(
    planned: Sequence[PlannedSession], draft: PlannedSession, today: date, rules: Rules
) -> tuple[int | None, str]:
    """Where nothing was done, an outing is held against those before it in its own week, and that is said."""
    monday = week_start(draft.planned_on)
    there = [s.minutes for s in planned if max(monday, today) <= s.planned_on < draft.planned_on]
    if not there:
        return None, ""
    said = f"nothing in the 30 days before to compare with, and the week begins with {max(there)}"
    return longest_after(max(there), rules), said


def full_weeks(
    history: History, planned: Sequence[PlannedSession], mondays: Sequence[date], today: date
) -> list[date]:
    """Those of some weeks that have something planned or entered on each of their days."""
    days: dict[date, set[date]] = {monday: set() for monday in mondays}
    for day in {one.planned_on for one in planned if not one.is_cancelled} | {
        log.done_on for log in history.logs if log.done_on <= today
    }:
        days.get(week_start(day), set()).add(day)
    return [monday for monday in mondays if len(days[monday]) == DAYS_IN_WEEK]


def _without_rest(
    history: History, planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], today: date
) -> list[Breach]:
    """Weeks with something on each of their days, strength and what is done already included; told once."""
    full = full_weeks(history, planned, sorted({week_start(draft.planned_on) for draft in drafts}), today)
    if not full:
        return []
    why = Why((Figure("weeks", short_days(full)),), "A week has a day of rest.", Provenance.COMMON_PRACTICE)
    more = f" and {counted(len(full) - 1, 'more week')}" if len(full) > 1 else ""
    sentence = f"Week of {short_day(full[0])}{more}: a session on each day; no day of rest is left."
    return [Breach(Level.SAYS, "rest", full[0], sentence, why)]


def _easy_shares(planned: Sequence[PlannedSession], drafts: Sequence[PlannedSession], rules: Rules) -> list[Breach]:
    """Weeks whole enough to be held in which too much is planned above easy."""
    found = []
    for monday in sorted({week_start(draft.planned_on) for draft in drafts}):
        week = [s for s in planned if week_start(s.planned_on) == monday]
        by_band = sum((planned_minutes_by_band(s) for s in week), MinutesByBand())
        share = easy_share_of(by_band, rules).fraction
        is_whole = len({s.planned_on for s in week}) >= rules.held_days and by_band.total >= rules.held_minutes
        if not is_whole or share is None or share >= rules.easy_share:
            continue
        above = by_band.middle + by_band.hard
        why = Why(
            (Figure("above easy", f"{above:.0f} of {by_band.known:.0f} min"), Figure("easy", percent(share))),
            f"About {percent(rules.easy_share)} of the week stays at easy effort.",
            Provenance.COMMON_PRACTICE,
        )
        said = percent_beside(share, rules.easy_share)
        sentence = (
            f"Week of {short_day(monday)}: {said} of the minutes are easy; {percent(rules.easy_share)} is the aim."
        )
        found.append(Breach(Level.SAYS, "easy_share", monday, sentence, why))
    return found
