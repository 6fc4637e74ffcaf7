"""Days off as told, run together: the unbroken stretches without training, by the person's own word."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.people import Leave
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, ToldAway


def span_off(told: ToldAway, others: Sequence[ToldAway], leaves: Sequence[Leave]) -> tuple[date, date] | None:
    """The first and the last of the unbroken days without training that what is told belongs to; None when something
    was possible.

    Other days that were told as off, and agreed leave, are counted along when they overlap or adjoin. Declining
    leaves the plan as it is; the days were off all the same.
    """
    if told.possible is not Possible.NOTHING:
        return None
    off = [one for one in others if one.possible is Possible.NOTHING and one.answer is not AwayAnswer.TAKEN_BACK]
    spans = [(one.from_on, one.until_on) for one in off]
    spans += [(leave.from_on, leave.until_on) for leave in leaves]
    first, last = told.from_on, told.until_on
    for _ in spans:
        touching = [span for span in spans if _touch(span, first, last)]
        first = min([first, *(span[0] for span in touching)])
        last = max([last, *(span[1] for span in touching)])
    return first, last


def spans_off_so_far(history: History, today: date) -> tuple[tuple[date, date], ...]:
    """Every such stretch that has begun and was not taken back, up to today, as far as the days looked at reach.

    The person's word counts, whatever entries stand in those days. Days ahead are no days off yet.
    """
    said = (one for one in history.told_away if one.answer is not AwayAnswer.TAKEN_BACK and one.from_on <= today)
    spans = (span_off(one, history.told_away, history.leaves) for one in said)
    so_far = {(first, min(last, today)) for first, last in filter(None, spans)}
    return tuple(sorted(span for span in so_far if span[1] >= history.from_on))


def longest_off_days(history: History, start: date, today: date) -> int:
    """The most days off on end that were told of since a day, up to today; 0 when none were."""
    spans = ((max(first, start), last) for first, last in spans_off_so_far(history, today))
    return max(((last - first).days + 1 for first, last in spans if last >= start), default=0)


def _touch(span: tuple[date, date], first: date, last: date) -> bool:
    day = timedelta(days=1)
    return span[0] <= last + day and span[1] >= first - day
