"""From an effort rated on the 6-20 scale to a 0-10 number, for records that come from elsewhere."""

from __future__ import annotations

LOWEST_RPE = 6.0
HIGHEST_RPE = 20.0
HIGHEST_RATIO = 10.0

# The published curve: RPE = 6 + 2.8 (CR10 - 0.3)^0.79.
_FACTOR = 2.8
_SHIFT = 0.3
_EXPONENT = 0.79


class OffTheScale(ValueError):
    """A rating outside 6 to 20."""


def ratio_effort_from_rpe(rpe: float) -> float:
    """An effort of 0 to 10 for a rating of 6 to 20.

    rpe: rating, no unit, 6 to 20.
    Returns: CR10 = 0.3 + ((RPE - 6) / 2.8)^(1 / 0.79), no unit; 0 for the very lowest rating ("none").
    Raises: OffTheScale outside 6 to 20, NaN included.
    Limits: the two scales differ in meaning; the highest rating gives 8, since the curve leaves the 6-20 scale
    there. Keep the rating itself beside the number.
    Source: [borg2001] E. Borg 2001, published, read.
    Checked in tests/reference/effort_scales.csv.
    """
    if not LOWEST_RPE <= rpe <= HIGHEST_RPE:
        raise OffTheScale(f"{rpe:g} is not on the scale from 6 to 20")
    if rpe == LOWEST_RPE:
        return 0.0
    effort: float = _SHIFT + ((rpe - LOWEST_RPE) / _FACTOR) ** (1 / _EXPONENT)
    return min(HIGHEST_RATIO, effort)
