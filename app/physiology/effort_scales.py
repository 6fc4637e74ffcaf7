"""Between an effort rated from 6 to 20 and a 0-10 number, for records that come from elsewhere."""

from __future__ import annotations

from app.physiology.values import OutOfRange

LOWEST_RPE = 6.0
HIGHEST_RPE = 20.0
HIGHEST_RATIO = 10.0
#: The 0-10 scale is open at the top; no record of more than this was met.
_HIGHEST_RATIO_READ = 11.0

# The published curve: RPE = 6 + 2.8 (CR10 - 0.3)^0.79.
_FACTOR = 2.8
_SHIFT = 0.3
_EXPONENT = 0.79


class OffTheScale(OutOfRange):
    """A rating outside its scale."""


def ratio_effort_from_rpe_borg_2001(rpe: float) -> float:
    """An effort of 0 to 10 for a rating of 6 to 20.

    rpe: rating, no unit, 6 to 20.
    Returns: CR10 = 0.3 + ((RPE - 6) / 2.8)^(1 / 0.79) and 0 for the very lowest rating ("none"), no unit.
    Raises: OffTheScale outside 6 to 20, NaN included.
    Limits: the two scales differ in meaning; the highest rating gives 8, since the curve leaves the 6-20 scale
        there. Keep the rating itself beside the number.
    Error: not found.
    Source: [borg2001] E. Borg 2001; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic rpe_map.
    """
    if not LOWEST_RPE <= rpe <= HIGHEST_RPE:
        raise OffTheScale(f"{rpe:g} is not on the scale from 6 to 20")
    if rpe == LOWEST_RPE:
        return 0.0
    effort: float = _SHIFT + ((rpe - LOWEST_RPE) / _FACTOR) ** (1 / _EXPONENT)
    return min(HIGHEST_RATIO, effort)


def rpe_from_ratio_effort_borg_2001(ratio_effort: float) -> float:
    """A rating of 6 to 20 for an effort of 0 to 10.

    ratio_effort: effort, no unit, 0 to 11.
    Returns: RPE = 6 + 2.8 (CR10 - 0.3)^0.79 and 6 below 0.3 and never over 20, no unit.
    Raises: OffTheScale outside 0 to 11, NaN included.
    Limits: the two scales differ in meaning; from 8 on the curve leaves the 6-20 scale and is cut off at 20.
    Error: not found.
    Source: [borg2001] E. Borg 2001; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic rpe_map.
    """
    if not 0.0 <= ratio_effort <= _HIGHEST_RATIO_READ:
        raise OffTheScale(f"{ratio_effort:g} is not an effort from 0 to {_HIGHEST_RATIO_READ:g}")
    if ratio_effort <= _SHIFT:
        return LOWEST_RPE
    rating: float = LOWEST_RPE + _FACTOR * (ratio_effort - _SHIFT) ** _EXPONENT
    return min(HIGHEST_RPE, rating)
