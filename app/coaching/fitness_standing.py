"""Where a VO2max stands among other people: an edition of one registry, or another population on choice."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.coaching.people import Mode, Sex
from app.physiology.norms import (
    NormMode,
    PercentileRank,
    percentile_kaminsky_2015,
    percentile_kaminsky_2017,
    percentile_kaminsky_2022,
)
from app.physiology.populations import (
    DECLINE,
    MORTALITY,
    POPULATIONS,
    Association,
    Population,
    PopulationFigure,
    population_figures,
)
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES
from app.physiology.values import Missing, OutOfRange
from app.physiology.vo2max import VO2max

NEWEST = "kaminsky2022"
#: The lowest VO2max that the tables take.
_LOWEST = 3.0
_MODES: dict[Mode, NormMode] = {
    Mode.WALK: "treadmill",
    Mode.RUN: "treadmill",
    Mode.TREADMILL: "treadmill",
    Mode.RIDE: "cycle",
    Mode.INDOOR_RIDE: "cycle",
}
_NOT_CONVERTED = "no figures by cycle in this table; cycle and treadmill are never converted"
_NOT_BY_TREADMILL = "no figures by treadmill in this table; cycle and treadmill are never converted"


@dataclass(frozen=True, slots=True)
class Standing:
    """A place in words; the table, its source and its card where there is one."""

    said: str
    table: str = ""
    source: str | None = None
    formula: str | None = None


@dataclass(frozen=True, slots=True)
class Background:
    """A figure about people in general, with its source."""

    sentence: str
    source: str
    provenance: Provenance


@dataclass(frozen=True, slots=True)
class _Edition:
    """One printed table of the registry."""

    year: int
    words: str
    mode: NormMode | None
    formula: Callable[..., PercentileRank]


_EDITIONS = {
    NEWEST: _Edition(2022, "US registry, 2022", None, percentile_kaminsky_2022),
    "kaminsky2017": _Edition(2017, "US registry, 2017, cycle", "cycle", percentile_kaminsky_2017),
    "kaminsky2015": _Edition(2015, "US registry, 2015, treadmill", "treadmill", percentile_kaminsky_2015),
}
#: What a result may be set beside, by the key of its source; the first is used unless another is chosen.
TABLES: tuple[tuple[str, str], ...] = (
    *((key, edition.words) for key, edition in _EDITIONS.items()),
    *((one.source, f"{one.name}: {one.who}") for one in POPULATIONS),
)


def standing(found: VO2max, *, mode: Mode, age_years: int | None, sex: Sex | None, table: str = NEWEST) -> Standing:
    """Where a VO2max stands in a table; the sentence says why where it stands nowhere.

    Source: that of the table; setting people on the ground beside the treadmill table is a house choice.
    """
    norm_mode = _MODES.get(mode)
    if norm_mode is None:
        return Standing("no table for this mode")
    if age_years is None or sex is None:
        return Standing("the tables need birth date and sex")
    try:
        if table in _EDITIONS:
            return _in_edition(_EDITIONS[table], found, norm_mode, age_years, sex)
        return _in_population(table, found, norm_mode, age_years, sex)
    except OutOfRange as refusal:
        return Standing(str(refusal))


def decline() -> tuple[Background, ...]:
    """How VO2max goes with age, as background."""
    return tuple(map(_background, DECLINE))


def mortality() -> tuple[Background, ...]:
    """What goes with fitness in groups that were watched: information, and no promise to anybody."""
    return tuple(map(_background, MORTALITY))


def _background(one: Association) -> Background:
    source = SOURCES[one.source]
    return Background(one.sentence, source.short, source.provenance)


def _in_edition(edition: _Edition, found: VO2max, mode: NormMode, age_years: int, sex: Sex) -> Standing:
    if edition.mode not in (None, mode):
        return Standing(_NOT_CONVERTED if mode == "cycle" else _NOT_BY_TREADMILL)
    given = {"age_years": age_years, "sex": sex} | ({} if edition.mode else {"mode": mode})
    error = found.error or 0.0
    values = (max(found.value - error, _LOWEST), found.value, found.value + error)
    low, middle, high = (edition.formula(vo2max_ml_per_kg_min=value, **given) for value in values)
    within = f"; with the error, {_place(low)} to {_place(high)}" if error else ""
    who = f"{_folk(sex)} of {middle.age_from_years} to {middle.age_until_years}"
    percentile = "" if middle.value is None else " percentile"
    return Standing(
        f"{_place(middle)}{percentile} of {who}{within}",
        f"US registry, edition of {edition.year}, {mode}, {who}",
        f"kaminsky{edition.year}",
        edition.formula.__name__,
    )


def _in_population(table: str, found: VO2max, mode: NormMode, age_years: int, sex: Sex) -> Standing:
    population = next((one for one in POPULATIONS if one.source == table), None)
    if population is None:
        raise OutOfRange("This table is not on the list.")
    if mode == "cycle":
        return Standing(_NOT_CONVERTED)
    figures = population_figures(source=table, sex=sex, age_years=age_years)
    if isinstance(figures, Missing):
        return Standing(f"{population.name}: {figures.reason}")
    return Standing(_against(found, figures, sex), _table_words(population, figures[0], sex), table)


def _against(found: VO2max, figures: Sequence[PopulationFigure], sex: Sex) -> str:
    if len(figures) > 1:
        return f"{_between(found.value, figures)} of {_folk(sex)} {_ages(figures[0])}"
    one = figures[0]
    what = "median" if one.statistic == "p50" else "mean"
    beside = f"the {what} of {one.vo2max_ml_per_kg_min:g}{_spread(one)} of {_folk(sex)} {_ages(one)}"
    apart = round((found.value - one.vo2max_ml_per_kg_min) * 2) / 2
    if not apart:
        return f"at {beside}"
    within = ", which is less than the error" if found.error and abs(apart) < found.error else ""
    return f"{abs(apart):g} {'above' if apart > 0 else 'below'} {beside}{within}"


def _spread(one: PopulationFigure) -> str:
    return f" (SD {one.sd_ml_per_kg_min:g})" if one.sd_ml_per_kg_min else ""


def _between(value: float, figures: Sequence[PopulationFigure]) -> str:
    """Between which printed percentiles a value lies."""
    rising = sorted(figures, key=lambda one: one.vo2max_ml_per_kg_min)
    under = [one for one in rising if one.vo2max_ml_per_kg_min <= value]
    if not under:
        return f"below the {_printed(rising[0])} percentile"
    if len(under) == len(rising):
        return f"at or above the {_printed(rising[-1])} percentile"
    return f"{_printed(under[-1])} to {_printed(rising[len(under)])} percentile"


def _printed(one: PopulationFigure) -> str:
    return f"{one.statistic.removeprefix('p')}th"


def _table_words(population: Population, one: PopulationFigure, sex: Sex) -> str:
    return f"{population.name}, {population.who}, {_folk(sex)} {_ages(one)}"


def _ages(one: PopulationFigure) -> str:
    until = one.age_until_years
    return f"from {one.age_from_years}" if until is None else f"of {one.age_from_years} to {until}"


def _folk(sex: Sex) -> str:
    return "men" if sex is Sex.MALE else "women"


def _place(rank: PercentileRank) -> str:
    """To the next five: no finer than the estimate behind it."""
    return rank.words if rank.value is None else f"{round(rank.value / 5) * 5}th"
