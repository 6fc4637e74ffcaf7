"""Training load from rated effort: a session, a day, a week, and how even and how heavy the week was.

A rest day is 0; a day nobody knows about is None, and a statistic over it is not defined. Loads of different kinds
are never added.
"""

from __future__ import annotations

import math
import statistics
from collections.abc import Sequence

from app.physiology.values import Missing, WrongLength, check_range

DAYS_IN_A_WEEK = 7
HIGHEST_LOAD_AU = 20_000.0
#: Repeated measures of session load in recreational people differ by this much ([wallace2014]).
SESSION_LOAD_ERROR_PERCENT = 28.1
LONGEST_SESSION_MIN = 1440.0


def session_load_foster_2001(*, effort: float, minutes: float) -> float:
    """Load of one session: rated effort times minutes.

    effort: rating of the whole session, no unit, 0 to 10.
    minutes: length of the session, min, 0 to 1440.
    Returns: load, AU.
    Raises: OutOfRange outside these limits.
    Limits: asked about 30 min after; from 1 min to 14 d later ratings were the same [foster2021].
    Error: test against test differs by 28.1 % in recreational people [wallace2014].
    Source: [foster2001]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic session-RPE load.
    """
    check_range("The effort", effort, 0, 10)
    check_range("The minutes", minutes, 0, LONGEST_SESSION_MIN, "min")
    return effort * minutes


def day_load_foster_2001(*, session_loads_au: Sequence[float]) -> float:
    """Load of one day: its sessions added, in any order, before any weekly statistic.

    session_loads_au: loads of the day's sessions, AU, 0 to 20000; none on a rest day.
    Returns: load, AU.
    Raises: OutOfRange outside these limits.
    Limits: loads of one kind only.
    Error: that of the sessions.
    Source: [foster2001]; published, second-hand.
    Checked in tests/reference/load_intervals_readiness.csv, topic session-RPE load.
    """
    for load in session_loads_au:
        check_range("The load of a session", load, 0, HIGHEST_LOAD_AU, "AU")
    return math.fsum(session_loads_au)


def weekly_load_foster_1998(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Load of one week: seven days added.

    daily_load_au: seven days in order, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: load, AU; Missing with an unknown day.
    Raises: OutOfRange for a load outside these limits; WrongLength unless seven days.
    Limits: loads of one kind only.
    Error: that of the sessions.
    Source: [foster1998].
    Checked in tests/reference/load_intervals_readiness.csv, topic weekly load.
    """
    week = _week(daily_load_au)
    return week if isinstance(week, Missing) else math.fsum(week)


def monotony_sample_foster_1998(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Evenness of one week: mean daily load divided by its sample standard deviation (n - 1).

    daily_load_au: seven days in order, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: ratio, no unit; Missing when all days are equal or one is unknown.
    Raises: OutOfRange for a load outside these limits; WrongLength unless seven days.
    Limits: one person's week; says nothing of its size, so load stands beside it. No validated cut-off.
    Error: not found.
    Source: [foster1998]; sample spread is a house choice, the paper does not say which.
    Checked in tests/reference/load_intervals_readiness.csv, topic monotony (sample SD).
    """
    week = _uneven_week(daily_load_au)
    return week if isinstance(week, Missing) else statistics.fmean(week) / statistics.stdev(week)


def monotony_population_foster_1998(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Evenness of one week with the population standard deviation (n): 1.080 times the sample form.

    daily_load_au: seven days in order, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: ratio, no unit; Missing when all days are equal or one is unknown.
    Raises: OutOfRange for a load outside these limits; WrongLength unless seven days.
    Limits: for comparing with figures made that way; never beside the sample form without a word.
    Error: not found.
    Source: [foster1998].
    Checked in tests/reference/load_intervals_readiness.csv, topic monotony (population SD).
    """
    week = _uneven_week(daily_load_au)
    return week if isinstance(week, Missing) else statistics.fmean(week) / statistics.pstdev(week)


def strain_foster_1998(*, daily_load_au: Sequence[float | None]) -> float | Missing:
    """Load of one week times its monotony (sample form).

    daily_load_au: seven days in order, AU, 0 to 20000; rest days 0, unknown days none.
    Returns: strain, AU; Missing when all days are equal or one is unknown.
    Raises: OutOfRange for a load outside these limits; WrongLength unless seven days.
    Limits: one person against their own weeks; illness followed individual, not general, limits.
    Error: not found.
    Source: [foster1998]; sample spread is a house choice.
    Checked in tests/reference/load_intervals_readiness.csv, topic strain (sample SD).
    """
    week = _uneven_week(daily_load_au)
    if isinstance(week, Missing):
        return week
    return math.fsum(week) * statistics.fmean(week) / statistics.stdev(week)


def known_days(daily_load_au: Sequence[float | None]) -> list[float] | Missing:
    """The days as they are, or why a statistic over them is not defined."""
    known = [load for load in daily_load_au if load is not None]
    for load in known:
        check_range("The load of a day", load, 0, HIGHEST_LOAD_AU, "AU")
    unknown = len(daily_load_au) - len(known)
    if unknown:
        return Missing(f"{unknown} of {len(daily_load_au)} days are unknown, and unknown is not rest")
    return known


def _week(daily_load_au: Sequence[float | None]) -> list[float] | Missing:
    if len(daily_load_au) != DAYS_IN_A_WEEK:
        raise WrongLength(f"A week has seven days; {len(daily_load_au)} were given.")
    return known_days(daily_load_au)


def _uneven_week(daily_load_au: Sequence[float | None]) -> list[float] | Missing:
    week = _week(daily_load_au)
    if isinstance(week, Missing):
        return week
    if max(week) == 0:
        return Missing("an empty week has no monotony")
    if max(week) == min(week):
        return Missing("all days are equal, so there is no spread to divide by")
    return week
