"""Other populations on choice, medians at the threshold, decline with age, and risk as information only."""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.norms import NormMode, table_rows
from app.physiology.values import Estimate, Missing, OutOfRange, Sex, check_range
from app.physiology.vo2max import ML_PER_KG_MIN, check_sex


@dataclass(frozen=True, slots=True)
class Population:
    """A population on choice: its source, who they are, and by what they were tested."""

    source: str
    name: str
    who: str


@dataclass(frozen=True, slots=True)
class PopulationFigure:
    """One figure of a population: a mean (with its spread where known) or a percentile."""

    source: str
    sex: str
    age_from_years: int
    age_until_years: int | None
    statistic: str
    vo2max_ml_per_kg_min: float
    sd_ml_per_kg_min: float | None


@dataclass(frozen=True, slots=True)
class Association:
    """A figure from watching people, worded as what goes with what; never a promise to one client."""

    sentence: str
    value: float
    unit: str
    source: str


POPULATIONS: tuple[Population, ...] = (
    Population("aspenes2011", "Norway, 20 and over", "fit volunteers on the treadmill; higher than the US registry"),
    Population("loe2013", "Norway, 20 to 29", "volunteers on the treadmill"),
    Population("sagat2025", "Central Europe, 60 and over", "older adults on the treadmill"),
    Population("almeida2019", "Brazil, 50 to 69", "adults referred for a test"),
    Population("international2020", "International registry", "medians of the youngest and the oldest only"),
)

DECLINE: tuple[Association, ...] = (
    Association("Between people, a decade goes with 13.5 % less (treadmill).", 13.5, "%", "kaminsky2022"),
    Association("Between people, a decade goes with 16.4 % less (cycle).", 16.4, "%", "kaminsky2022"),
    Association("Followed for years, people lost 3 to 6 % a decade in their 20s and 30s.", 3.0, "%", "fleg2005"),
    Association("Followed for years, people lost over 20 % a decade from their 70s.", 20.0, "%", "fleg2005"),
    Association("Active older men lost about 14 % in ten years.", 14.0, "%", "stathokostas2004"),
    Association("Active older women lost about 7 % in ten years.", 7.0, "%", "stathokostas2004"),
    Association("In Norway a decade goes with 3.5 mL/kg/min less.", 3.5, ML_PER_KG_MIN, "loe2013"),
)

_WATCHED = "in people who were watched, not treated"
MORTALITY: tuple[Association, ...] = (
    Association(
        f"1 MET more fitness goes with a relative risk of dying of 0.87 (0.84 to 0.90), {_WATCHED}.",
        0.87,
        "relative risk",
        "kodama2009",
    ),
    Association(
        f"1 MET more fitness goes with a relative risk of heart disease of 0.85 (0.82 to 0.88), {_WATCHED}.",
        0.85,
        "relative risk",
        "kodama2009",
    ),
    Association(
        f"A later pooling: 1 MET more goes with 0.89 (0.86 to 0.92), {_WATCHED}.",
        0.89,
        "relative risk",
        "laukkanen2022",
    ),
    Association(
        f"The least fit against the most fit: hazard ratio 5.04 (from memory, unchecked), {_WATCHED}.",
        5.04,
        "hazard ratio",
        "mandsager2018",
    ),
)

_YEARLY = {"M": -0.43, "F": -0.19}


def population_figures(*, source: str, sex: Sex, age_years: float) -> tuple[PopulationFigure, ...] | Missing:
    """What a population shows for a person's sex and age; Missing where it has nobody like that.

    Raises: OutOfRange for a population that is not on the list, or a sex other than F or M.
    """
    check_sex(sex)
    if source not in {one.source for one in POPULATIONS}:
        raise OutOfRange(f"There is no population named {source}.")
    check_range("Age", age_years, 0, 120, "years")
    found = tuple(one for one in FIGURES if one.source == source and one.sex == sex and _is_of_age(one, age_years))
    return found or Missing("this population has nobody of that age")


def threshold_median_vainshelboim_2020(*, age_years: float, sex: Sex, mode: NormMode) -> Estimate:
    """The median VO2 at the ventilatory threshold for an age, sex and mode.

    age_years: age, years, 20 to 79.
    sex: F or M.
    mode: treadmill or cycle; the two are never converted.
    Returns: VO2, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: US registry; a median of a decade, not a person's threshold.
    Error: spread not found.
    Source: [vainshelboim2020] Vainshelboim et al. 2020; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic norms_vt.
    """
    check_sex(sex)
    decade = int(age_years // 10 * 10) if 20 <= age_years < 80 else None
    value = THRESHOLD_MEDIANS.get((mode, sex, decade))
    if value is None:
        raise OutOfRange("Age must be from 20 to 79 completed years, and the mode treadmill or cycle.")
    return Estimate(value, ML_PER_KG_MIN, None, "spread not found", "vainshelboim2020")


def usual_change_stathokostas_2004(*, years: float, sex: Sex) -> Estimate:
    """How far VO2max usually moves over years in active older adults.

    years: time between two tests, years, 0 to 10.
    sex: F or M.
    Returns: change, mL/kg/min, below zero.
    Raises: OutOfRange outside these.
    Limits: active older adults followed for ten years; a client who holds level is ahead, by less than test error.
    Error: not found.
    Source: [stathokostas2004] Stathokostas et al. 2004; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic decline.
    """
    check_range("The time between", years, 0, 10, "years")
    check_sex(sex)
    return Estimate(_YEARLY[sex] * years, ML_PER_KG_MIN, None, "error not found", "stathokostas2004")


def _is_of_age(one: PopulationFigure, age_years: float) -> bool:
    until = one.age_until_years
    return one.age_from_years <= age_years and (until is None or age_years < until + 1)


def _figure(row: dict[str, str]) -> PopulationFigure:
    return PopulationFigure(
        row["source"],
        row["sex"],
        int(row["age_from_years"]),
        int(row["age_until_years"]) if row["age_until_years"] else None,
        row["statistic"],
        float(row["vo2max_ml_per_kg_min"]),
        float(row["sd_ml_per_kg_min"]) if row["sd_ml_per_kg_min"] else None,
    )


#: Both read once, when the desk starts.
FIGURES: tuple[PopulationFigure, ...] = tuple(map(_figure, table_rows("vo2max_other_populations.csv")))
THRESHOLD_MEDIANS: dict[tuple[str, str, int | None], float] = {
    (row["mode"], row["sex"], int(row["age_from_years"])): float(row["vo2_ml_per_kg_min"])
    for row in table_rows("threshold_medians_2020.csv")
}
