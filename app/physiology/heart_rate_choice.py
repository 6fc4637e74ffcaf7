"""Which predicted maximum is shown first, which beside it, and how far the equations lie apart."""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.heart_rate import (
    hrmax_fox_1971,
    hrmax_gellish_2007_rounded,
    hrmax_gulati_2010,
    hrmax_nes_2013,
    hrmax_sydo_2014,
    hrmax_tanaka_2001,
)
from app.physiology.values import Estimate, OutOfRange, Sex


@dataclass(frozen=True, slots=True)
class HrmaxOpinions:
    """The default, a second opinion, and every equation that may speak for this age and sex."""

    default: Estimate
    second: Estimate
    all: tuple[Estimate, ...]

    @property
    def lowest_bpm(self) -> float:
        """The lowest of them."""
        return min(one.value for one in self.all)

    @property
    def highest_bpm(self) -> float:
        """The highest of them."""
        return max(one.value for one in self.all)

    @property
    def spread_bpm(self) -> float:
        """Highest less lowest: how little age alone says."""
        return self.highest_bpm - self.lowest_bpm


def hrmax_opinions(age_years: float, sex: Sex | None = None) -> HrmaxOpinions:
    """What the equations say side by side; a measured maximum beats them all.

    age_years: age, years, 19 to 89.
    sex: sex, no unit, F or M, or left out when not known.
    Returns: predicted maxima side by side, bpm; the default (Tanaka), a second opinion (Gulati for women, else Nes)
        and all that apply.
    Raises: OutOfRange outside 19 to 89 years.
    Limits: no heart disease, no medicine that slows the heart. Equations whose ages do not fit stay silent.
    Error: SD 10 to 12 bpm for each of them; the spread between them comes on top.
    Source: [tanaka2001] the default from 50 up; using it below 50 and Nes as the second opinion is a house choice.
    Checked in tests/reference/intensity_and_vo2max.csv, topic hrmax.
    """
    second = hrmax_nes_2013(age_years)
    default = hrmax_tanaka_2001(age_years)
    speaking = [hrmax_fox_1971(age_years), default, hrmax_gellish_2007_rounded(age_years), second]
    if sex is Sex.FEMALE:
        second = hrmax_gulati_2010(age_years)
        speaking.append(second)
    if sex is not None:
        speaking.extend(_sydo(age_years, sex))
    return HrmaxOpinions(default, second, tuple(speaking))


def _sydo(age_years: float, sex: Sex) -> tuple[Estimate, ...]:
    try:
        return (hrmax_sydo_2014(age_years, sex),)
    except OutOfRange:
        return ()
