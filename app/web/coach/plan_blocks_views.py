"""A block's preview ready to print: its weeks, the plans to choose from, and what was agreed before."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.interval_plans import PLAN_TITLES, IntervalPlan, days_words
from app.coaching.people import AvailableDay, Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.prescriptions import SessionKind
from app.coaching.session_steps import NOUNS
from app.coaching.time_away import POSSIBLE_WORDS, Stretch
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.coaching.words import counted, short_day


@dataclass(frozen=True, slots=True)
class DraftWeekView:
    """One week of a block's preview."""

    monday: date
    is_easier: bool
    minutes: int
    hard: str
    days: str
    #: Strength beside it; "" without any.
    strength: str
    said: tuple[str, ...]


def draft_weeks(weeks: Sequence[WeekDraft]) -> tuple[DraftWeekView, ...]:
    """The weeks of a block's preview, ready to print; a way of moving is named where it is not the usual one."""
    modes = [one.mode for week in weeks for one in week.outings]
    usual = max(sorted(set(modes)), key=modes.count, default=None)
    return tuple(
        DraftWeekView(
            monday=week.starts_on,
            is_easier=week.is_easier,
            minutes=week.minutes,
            hard=", ".join(
                f"{WEEKDAYS[one.weekday][:3]} {counted(one.rounds, 'round')}" for one in week.sessions if one.is_hard
            ),
            days=", ".join(_day_words(one, usual) for one in week.outings),
            strength=", ".join(
                WEEKDAYS[one.weekday][:3] for one in week.sessions if one.kind is SessionKind.STRENGTH
            ),
            said=week.said,
        )
        for week in weeks
    )


def _day_words(session: SessionDraft, usual: Mode | None) -> str:
    mode = "" if session.mode is usual else f" {NOUNS[session.mode]}"
    return f"{WEEKDAYS[session.weekday][:3]} {session.minutes}{mode}"


def plan_options(plans: Sequence[IntervalPlan]) -> tuple[tuple[str, str, str], ...]:
    """The plans to choose from, with what each gives up; none when a single one meets every wish."""
    if not any(plan.gives_up for plan in plans):
        return ()
    return tuple((plan.key.value, PLAN_TITLES[plan.key], _plan_words(plan)) for plan in plans)


def _plan_words(plan: IntervalPlan) -> str:
    gives_up = f"Gives up: {'; '.join(plan.gives_up)}." if plan.gives_up else "Gives up nothing else."
    return " ".join((gives_up, *plan.because, f"Hard: {days_words(plan.weeks)}."))


def place_words(day: AvailableDay) -> str:
    """Where and with what a day is trained; "" when nothing is known."""
    return ", ".join(word for word in (day.place, day.kit) if word)


def away_words(stretch: Stretch) -> str:
    """Agreed days away in a line."""
    return f"{days_off_words(stretch)}: {POSSIBLE_WORDS[stretch.possible]}"


def days_off_words(stretch: Stretch) -> str:
    """The days of a stretch, from the first to the last."""
    return f"{short_day(stretch.from_on)} to {short_day(stretch.until_on)}"
