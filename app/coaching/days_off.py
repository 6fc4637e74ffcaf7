"""What days off ask of the plan after them: the table, how a run of days is counted, and what each row says to do."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.gap_rules import GAP_DAYS, LONG_GAP_DAYS
from app.coaching.history import History
from app.coaching.people import Leave
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.time_away import WAY_BACK, Possible
from app.coaching.told_away import ToldAway
from app.coaching.told_spans import span_off
from app.coaching.words import counted, percent, short_day

#: Over twelve weeks off somebody begins as new.
AS_NEW_FROM_DAYS = 12 * 7 + 1


@dataclass(frozen=True, slots=True)
class DaysOffRow:
    """One row of the table of days off."""

    least: int
    #: The last number of days it is for; None: no end.
    most: int | None
    #: Easy sessions that come before anything hard.
    easy_first: int
    #: The share of the last full week that each of the first weeks takes.
    shares: tuple[float, ...]
    #: At most so many rounds in the hard sessions that follow, one after the other.
    rounds: tuple[int, ...]
    #: Rounds fewer than planned in the first hard session that follows.
    fewer: int
    #: How much lower the target of those rounds is.
    target_off: float
    #: Screening again, base only, and nobody can leave it out.
    is_base_only: bool
    #: Rounds are planned afresh after a retest, so none that stands is kept.
    is_afresh: bool
    #: In sentences, what is to be done.
    to_do: tuple[str, ...]


def _shares(days: int) -> tuple[float, ...]:
    """The shares the planner gives the weeks after so many days off, without weeks that only do not rise."""
    return tuple(share for share in dict(WAY_BACK)[days] if share < 1)


#: Days off, as asked. Common practice, no published source; base only from 14 days on is a house choice.
TABLE = (
    DaysOffRow(
        5, 9, 2, (), (), 1, 0.0, is_base_only=False, is_afresh=False,
        to_do=("Two easy sessions first.", "Then the next hard session with one round fewer."),
    ),
    DaysOffRow(
        10, 13, 0, _shares(10), (2, 3), 0, 0.05, is_base_only=False, is_afresh=False,
        to_do=("An easy week at 75 % of the last full one.", "Then two, then three rounds, the target 5 % lower."),
    ),
    DaysOffRow(
        GAP_DAYS, 27, 0, _shares(14), (2, 3, 4), 0, 0.10, is_base_only=True, is_afresh=False,
        to_do=(
            "The health questions again, and base only.",
            "Two held weeks, 50 % and 75 % of the last full one.",
            "Then two, three, four rounds, the target 10 % lower; they wait as drafts until the weeks are held.",
        ),
    ),
    DaysOffRow(
        LONG_GAP_DAYS, AS_NEW_FROM_DAYS - 1, 0, _shares(28), (), 0, 0.0, is_base_only=True, is_afresh=True,
        to_do=(
            "The health questions again, and base only.",
            "At least four held weeks.",
            "Then a retest, and rounds planned afresh from it.",
        ),
    ),
    DaysOffRow(
        AS_NEW_FROM_DAYS, None, 0, _shares(28), (), 0, 0.0, is_base_only=True, is_afresh=True,
        to_do=(
            "As new: the health questions, the safety page and the transition weeks begin again.",
            "Write a new base block; what stands is only made small and easy until then.",
            "Rounds are planned afresh after the base.",
        ),
    ),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Run:
    """Unbroken days off: what was told, and what adjoins it."""

    first_on: date
    last_on: date

    @property
    def days(self) -> int:
        """How many days it is."""
        return (self.last_on - self.first_on).days + 1

    @property
    def back_on(self) -> date:
        """The first day after it."""
        return self.last_on + timedelta(days=1)


def row_for(days: int) -> DaysOffRow | None:
    """The row for so many days off; None under five, which change nothing.

    Source: common practice, no published source.
    """
    return next((row for row in reversed(TABLE) if days >= row.least), None)


def run_of(told: ToldAway, others: Sequence[ToldAway], leaves: Sequence[Leave]) -> Run | None:
    """The unbroken days without training that what is told belongs to; None when something was possible."""
    span = span_off(told, others, leaves)
    return None if span is None else Run(*span)


def run_told(history: History, told: ToldAway) -> Run | None:
    """The run of one client's days off around what was told."""
    return run_of(told, history.told_away, history.leaves)


def entered_in(history: History, told: ToldAway) -> tuple[date, ...]:
    """Days of outings that were told as off; a journey may hold some."""
    if told.possible is not Possible.NOTHING:
        return ()
    done = {log.done_on for log in history.logs if is_endurance(log) and done_minutes(log) > 0}
    return tuple(sorted(day for day in done if told.from_on <= day <= told.until_on))


def days_off_why(run: Run, row: DaysOffRow) -> Why:
    """Why the plan changes after a run of days off."""
    until = f"{row.most}" if row.most is not None else "more"
    figures = [
        Figure("days off", f"{run.days}, {short_day(run.first_on)} to {short_day(run.last_on)}"),
        Figure("row of days off", f"{row.least} to {until} days"),
    ]
    if row.shares:
        figures.append(Figure("weeks after them", ", ".join(percent(share) for share in row.shares)))
    return Why(
        tuple(figures),
        "Days off are asked, never guessed from silence: 5-9, 10-13, 14-27, from 28, and over 12 weeks.",
        Provenance.COMMON_PRACTICE,
        None,
        "Other days than were told. Fever rules come on top.",
    )


def because_words(run: Run) -> str:
    """The head of every reason: "After 8 days off"."""
    return f"After {counted(run.days, 'day')} off"
