"""What days off that were told stop at once, before the coach has answered what becomes of the plan."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

from app.coaching.days_off import Run, row_for, run_told
from app.coaching.gap_rules import GAP_DAYS
from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.time_away import Possible
from app.coaching.told_away import ToldAway
from app.coaching.words import counted, short_day

#: Fewer than a gap's days off that ended so long ago no longer make today easy (house choice).
SHORT_RUN_COUNTS = timedelta(days=GAP_DAYS)


def told_off_stop(history: History, today: date) -> ComputedStop | None:
    """Hard work waits after a gap's days off until the coach has answered them; None when nothing waits.

    The person's word counts, whatever entries stand in those days. Days ahead are no days off yet.
    Source: 14 days and more off: base only (house choice).
    """
    run = _longest_open(history, today)
    return None if run is None or run.days < GAP_DAYS else _stop(run)


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
    if told.possible is not Possible.NOTHING:
        return None
    run = run_told(history, told)
    return None if run is None else replace(run, last_on=min(run.last_on, today))
