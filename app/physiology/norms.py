"""Where a VO2max stands among people of the same age and sex: one registry's percentiles, by edition and mode."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from importlib.resources import files
from itertools import pairwise
from typing import Literal

from app.physiology.values import Estimate, OutOfRange, Sex, check_range
from app.physiology.vo2max import ML_PER_KG_MIN, check_sex

NormMode = Literal["treadmill", "cycle"]

_ESTIMATED = "Made on measured VO2max; an estimate carries its own error into the percentile."
_REPRINT = "The grid was read in a co-author's reprint."


@dataclass(frozen=True, slots=True)
class Band:
    """One row of a grid: printed percentiles and their values, rising, for one mode, sex and span of ages."""

    mode: str
    sex: str
    age_from_years: int
    age_until_years: int
    percentiles: tuple[float, ...]
    values_ml_per_kg_min: tuple[float, ...]

    def holds(self, mode: str, sex: str, age_years: float) -> bool:
        """Whether a person belongs here, by completed years."""
        in_years = self.age_from_years <= age_years < self.age_until_years + 1
        return in_years and (self.mode, self.sex) == (mode, sex)


@dataclass(frozen=True, slots=True)
class PercentileRank:
    """A place in a grid. Outside the printed columns there is no number, only the side."""

    value: float | None
    outside: Literal["", "below", "above"]
    source: str
    edition: int
    mode: str
    sex: str
    age_from_years: int
    age_until_years: int
    lowest_percentile: float
    highest_percentile: float
    unit: str = "percentile"
    error: None = None
    error_words: str = _ESTIMATED
    notes: tuple[str, ...] = (_REPRINT,)

    @property
    def words(self) -> str:
        """As it is said: 64th percentile, below 5th, above 95th."""
        if self.outside == "below":
            return f"below {_ordinal(self.lowest_percentile)}"
        if self.value is None:
            return f"above {_ordinal(self.highest_percentile)}"
        return f"{_ordinal(self.value)} percentile"


def percentile_kaminsky_2022(
    *, vo2max_ml_per_kg_min: float, age_years: float, sex: Sex, mode: NormMode
) -> PercentileRank:
    """The percentile of a VO2max among US adults who went to exhaustion, the newest edition.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, 3 to 100.
    age_years: age, years, 20 to 89.
    sex: F or M.
    mode: treadmill or cycle; the two are never converted.
    Returns: percentile, no unit, straight between the printed ones; outside them only "below 5th" or "above 95th".
    Raises: OutOfRange outside these.
    Limits: US registry of measured tests, 16,278 treadmill and 6,101 cycle. Straight lines are our convention.
    Error: that of the VO2max itself; none is printed for the grid.
    Source: [kaminsky2022] Kaminsky et al. 2022; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic percentile_rank.
    """
    return _rank(2022, vo2max_ml_per_kg_min, age_years, sex, mode)


def percentile_kaminsky_2017(*, vo2max_ml_per_kg_min: float, age_years: float, sex: Sex) -> PercentileRank:
    """The percentile of a VO2max on the cycle among US adults, edition of 2017.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, 3 to 100.
    age_years: age, years, 20 to 79.
    sex: F or M.
    Returns: percentile, no unit, straight between the printed ones; outside them only "below 5th" or "above 95th".
    Raises: OutOfRange outside these.
    Limits: US registry of measured tests, 4,494 on the cycle. Straight lines are our convention.
    Error: that of the VO2max itself; none is printed for the grid.
    Source: [kaminsky2017] Kaminsky et al. 2017; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic norms_2017.
    """
    return _rank(2017, vo2max_ml_per_kg_min, age_years, sex, "cycle")


def percentile_kaminsky_2015(*, vo2max_ml_per_kg_min: float, age_years: float, sex: Sex) -> PercentileRank:
    """The percentile of a VO2max on the treadmill among US adults, edition of 2015.

    vo2max_ml_per_kg_min: VO2max, mL/kg/min, 3 to 100.
    age_years: age, years, 20 to 79.
    sex: F or M.
    Returns: percentile, no unit, straight between the printed ones; outside them only "below 5th" or "above 95th".
    Raises: OutOfRange outside these.
    Limits: US registry of measured tests, 7,783 on the treadmill. Straight lines are our convention.
    Error: that of the VO2max itself; none is printed for the grid.
    Source: [kaminsky2015] Kaminsky et al. 2015; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic norms_2015.
    """
    return _rank(2015, vo2max_ml_per_kg_min, age_years, sex, "treadmill")


def vo2max_at_percentile_kaminsky_2022(*, percentile: float, age_years: float, sex: Sex, mode: NormMode) -> Estimate:
    """The VO2max that stands at a percentile among US adults, the newest edition.

    percentile: place, percentile, 5 to 95.
    age_years: age, years, 20 to 89.
    sex: F or M.
    mode: treadmill or cycle; the two are never converted.
    Returns: VO2max, mL/kg/min, straight between the printed percentiles.
    Raises: OutOfRange outside these.
    Limits: US registry of measured tests, 16,278 treadmill and 6,101 cycle. Straight lines are our convention.
    Error: none is printed for the grid.
    Source: [kaminsky2022] Kaminsky et al. 2022; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic norms_2022.
    """
    band = grid_band(edition=2022, mode=mode, sex=sex, age_years=age_years)
    check_range("The percentile", percentile, band.percentiles[0], band.percentiles[-1])
    value = _straight(band.percentiles, band.values_ml_per_kg_min, percentile)
    return Estimate(value, ML_PER_KG_MIN, None, "none is printed for the grid", "kaminsky2022", (_REPRINT,))


def vo2max_at_percentile_kaminsky_2017(*, percentile: float, age_years: float, sex: Sex) -> Estimate:
    """The VO2max that stands at a percentile among US adults on the cycle, edition of 2017.

    percentile: place, percentile, 5 to 95.
    age_years: age, years, 20 to 79.
    sex: F or M.
    Returns: VO2max, mL/kg/min, straight between the printed percentiles.
    Raises: OutOfRange outside these.
    Limits: US registry of measured tests, 4,494 on the cycle. Straight lines are our convention.
    Error: none is printed for the grid.
    Source: [kaminsky2017] Kaminsky et al. 2017; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic norms_2017.
    """
    band = grid_band(edition=2017, mode="cycle", sex=sex, age_years=age_years)
    check_range("The percentile", percentile, band.percentiles[0], band.percentiles[-1])
    value = _straight(band.percentiles, band.values_ml_per_kg_min, percentile)
    return Estimate(value, ML_PER_KG_MIN, None, "none is printed for the grid", "kaminsky2017", (_REPRINT,))


def grid_band(*, edition: int, mode: str, sex: str, age_years: float) -> Band:
    """The row of printed percentiles of an edition for a mode, sex and age.

    Raises: OutOfRange for an edition, mode, sex or age that has none.
    """
    check_sex(sex)
    if edition not in GRIDS:
        raise OutOfRange("The editions are 2015 (treadmill), 2017 (cycle) and 2022 (both).")
    grid = GRIDS[edition]
    if mode not in {band.mode for band in grid}:
        raise OutOfRange(f"The edition of {edition} has no table for {mode}; the modes are never converted.")
    found = next((band for band in grid if band.holds(mode, sex, age_years)), None)
    if found is None:
        raise OutOfRange(
            f"Age must be from 20 to {grid[-1].age_until_years} completed years in the edition of {edition}."
        )
    return found


def table_rows(name: str) -> tuple[dict[str, str], ...]:
    """The rows of one of this floor's own tables."""
    text = (files("app.physiology") / "tables" / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(text.splitlines()))


def _grid(edition: int) -> tuple[Band, ...]:
    cells: dict[tuple[str, str, int, int], list[tuple[float, float]]] = {}
    for row in table_rows(f"vo2max_registry_{edition}.csv"):
        key = (row["mode"], row["sex"], int(row["age_from_years"]), int(row["age_until_years"]))
        cells.setdefault(key, []).append((float(row["percentile"]), float(row["vo2max_ml_per_kg_min"])))
    return tuple(
        Band(*key, tuple(place for place, _ in sorted(row)), tuple(value for _, value in sorted(row)))
        for key, row in sorted(cells.items())
    )


def _rank(edition: int, vo2max: float, age_years: float, sex: Sex, mode: NormMode) -> PercentileRank:
    check_range("VO2max", vo2max, 3, 100, ML_PER_KG_MIN)
    band = grid_band(edition=edition, mode=mode, sex=sex, age_years=age_years)
    values = band.values_ml_per_kg_min
    outside: Literal["", "below", "above"] = ""
    if vo2max < values[0]:
        outside = "below"
    elif vo2max > values[-1]:
        outside = "above"
    return PercentileRank(
        None if outside else _straight(values, band.percentiles, vo2max),
        outside,
        f"kaminsky{edition}",
        edition,
        mode,
        sex,
        band.age_from_years,
        band.age_until_years,
        band.percentiles[0],
        band.percentiles[-1],
    )


def _straight(xs: tuple[float, ...], ys: tuple[float, ...], at: float) -> float:
    """Straight between two printed points; `at` lies within them."""
    (x0, y0), (x1, y1) = next((low, high) for low, high in pairwise(zip(xs, ys, strict=True)) if at <= high[0])
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0)


def _ordinal(place: float) -> str:
    whole = int(place + 0.5)
    ending = {1: "st", 2: "nd", 3: "rd"}.get(whole % 10, "th") if whole % 100 not in (11, 12, 13) else "th"
    return f"{whole}{ending}"


#: Read once, when the desk starts.
GRIDS: dict[int, tuple[Band, ...]] = {edition: _grid(edition) for edition in (2015, 2017, 2022)}
