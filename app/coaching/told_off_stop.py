"""What days off that were told stop: at once, until the coach has answered, and from two weeks on until rebuilt."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from app.coaching.days_off import Run, row_for, run_told
from app.coaching.gap_rules import GAP_DAYS, Gap, gap_stop, held_since
from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.rules import Rules
from app.coaching.told_away import AwayAnswer, ToldAway
from app.coaching.weeks import day_words
from app.coaching.words import counted, short_day

#: Fewer than a gap's days off that ended so long ago no longer make today easy (house choice).
SHORT_RUN_COUNTS = timedelta(days=GAP_DAYS)


def told_off_stop(history: History, today: date, rules: Rules) -> ComputedStop | None:
    """Hard work waits after a gap's days off, until they are answered and held weeks have followed; else None.

    The person's word counts, whatever entries stand in those days and whatever was answered: accepting or declining
    settles the plan, and neither brings back what was lost. Days ahead are no days off yet.
    Source: 14 days and more off: base only (house choice); held weeks (common practice, no published source).
    """
    run = _longest_open(history, today)
    if run is not None and run.days >= GAP_DAYS:
        return _stop(run)
    gap = told_gap(history, today)
    # The gap in the log says it already where it asks for as much.
    if gap is None or gap_stop(history, today, rules) is not None:
        return None
    return _until_rebuilt(history, gap, today, rules)


def told_gap(history: History, today: date) -> Gap | None:
    """The last days off of a gap's length that were told and not taken back, as far as the days looked at reach."""
    said = (one for one in history.told_away if one.answer is not AwayAnswer.TAKEN_BACK and one.from_on <= today)
    runs = [run for one in said if (run := _so_far(history, one, today)) is not None and run.days >= GAP_DAYS]
    seen = [run for run in runs if run.back_on > history.from_on]
    last = max(seen, key=lambda run: run.last_on, default=None)
    if last is None:
        return None
    return Gap(last.first_on - timedelta(days=1), last.back_on if last.back_on <= today else None, last.days)


def _until_rebuilt(history: History, gap: Gap, today: date, rules: Rules) -> ComputedStop | None:
    asked = gap.held_weeks_asked
    held = 0 if gap.back_on is None else held_since(history, gap.back_on, today, rules, at_most=asked)
    if held >= asked:
        return None
    until = "still going on" if gap.back_on is None else f"until {day_words(gap.back_on)}"
    sentence = (
        f"{gap.days} days off were told, {until}: easy work only until {asked} weeks are held "
        f"({held or 'none'} so far)."
    )
    return ComputedStop(Stops.HARD, sentence)


def told_off_easy(history: History, today: date) -> ComputedStop | None:
    """After fewer days off, from the table's first row on, what is given is easy until the coach has answered.

    No stop of the records: what the coach sends after them, fewer rounds among it, goes out with the answer.
    Source: days off, the table (common practice, no published source); easy until answered is a house choice.
    """
    run = _longest_open(history, today)
    if run is None or run.days >= GAP_DAYS or row_for(run.days) is None:
        return None
    return _stop(run) if today < run.back_on + SHORT_RUN_COUNTS else None


def _stop(run: Run) -> ComputedStop:
    days = f"{short_day(run.first_on)} to {short_day(run.last_on)}"
    told = f"{counted(run.days, 'day')} off were told, {days}"
    return ComputedStop(Stops.HARD, f"{told}: easy work only until your coach has answered.")


def _longest_open(history: History, today: date) -> Run | None:
    """The longest run of days off so far that holds something the coach has not answered."""
    begun = (one for one in history.told_away if one.is_open and one.from_on <= today)
    runs = [run for one in begun if (run := _so_far(history, one, today)) is not None]
    return max(runs, key=lambda run: (run.days, run.last_on), default=None)


def _so_far(history: History, told: ToldAway, today: date) -> Run | None:
    run = run_told(history, told)
    return None if run is None else replace(run, last_on=min(run.last_on, today))
