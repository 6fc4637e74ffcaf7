"""Change in per cent, and whether it passes the typical error of the test."""

from __future__ import annotations

from enum import StrEnum

from app.physiology.values import Missing, check_range

#: Typical error of peak power in the study of [montero2017], %.
PEAK_POWER_ERROR_PERCENT = 3.96
_HIGHEST = 1e6


class Response(StrEnum):
    """What a change in a test is called against its typical error."""

    WITHIN_ERROR = "within error"
    UP = "up beyond error"
    DOWN = "down beyond error"


def change_percent(*, before: float, after: float) -> float | Missing:
    """How much a figure changed against what it was before.

    before: earlier figure, in the unit of the value, 0 or more.
    after: later figure, in the unit of the value, 0 or more.
    Returns: change, %; Missing after nothing, where there is no comparison.
    Raises: OutOfRange for a negative value.
    Limits: says nothing about whether the change is clear.
    Error: that of the two figures.
    Source: definition; house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic percent change.
    """
    check_range("The earlier figure", before, 0, _HIGHEST)
    check_range("The later figure", after, 0, _HIGHEST)
    if before == 0:
        return Missing("no comparison: there was nothing before")
    return 100 * (after - before) / before


def response_montero_2017(
    *, before: float, after: float, typical_error_percent: float = PEAK_POWER_ERROR_PERCENT
) -> Response | Missing:
    """Whether a change passes the typical error of the test, as responders were told from others.

    before: earlier result, in the unit of the value, 0 or more.
    after: later result, in the unit of the value, 0 or more.
    typical_error_percent: typical error of the test, %, 0.1 to 50.
    Returns: word for the change, no unit; Missing after nothing, where there is no comparison.
    Raises: OutOfRange outside these limits.
    Limits: one typical error is a weak sign: a third of unchanged people pass it either way by chance.
    Error: that of the test.
    Source: [montero2017].
    Checked in tests/reference/load_intervals_readiness.csv, topic response rule.
    """
    check_range("The typical error", typical_error_percent, 0.1, 50, "%")
    change = change_percent(before=before, after=after)
    if isinstance(change, Missing):
        return change
    if abs(change) <= typical_error_percent:
        return Response.WITHIN_ERROR
    return Response.UP if change > 0 else Response.DOWN
