"""What a kept test says about VO2max: the estimate with its error, where it stands among others, and why."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from app.coaching.fitness_errors import is_relative_vo2max
from app.coaching.fitness_standing import NEWEST, standing
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.people import Client, HeartRateUse, Mode, Sex, age_on
from app.coaching.reasons import Figure, Provenance, Why
from app.physiology.sources import SOURCES
from app.physiology.units import MILE_M
from app.physiology.values import Missing, OutOfRange
from app.physiology.vo2max import ML_PER_KG_MIN, VO2max
from app.physiology.vo2max_runs import twelve_minute_run_cooper_1968
from app.physiology.vo2max_walks import one_mile_walk_kline_1987, six_minute_walk_sagat_2023

#: A mile is a mile, and six minutes are six, within this share (house choice).
SAME_FRACTION = 0.02
SIX_MINUTES_S, TWELVE_MINUTES_S = 360.0, 720.0
_HEART_RATE_UNKNOWN = "Heart rate is not known to be reliable for this client."
_RULE = (
    "An estimate is wrong by about its error, in the same direction each time: it places a person roughly and judges "
    "no change. A change is judged on the test's own figures. People on the ground are set beside the treadmill "
    "table (a choice of our own); cycle and treadmill are never converted."
)


@dataclass(frozen=True, slots=True)
class FitnessEstimate:
    """VO2max in words no finer than the test can tell, its place, and what opens behind it."""

    said: str
    stands: str
    why: Why


@dataclass(frozen=True, slots=True)
class _Person:
    """What the equations ask of a person."""

    age_years: int | None
    sex: Sex | None
    heart_rate: HeartRateUse


def estimate_of(test: FitnessTest, client: Client, table: str = NEWEST) -> FitnessEstimate | Missing | None:
    """The VO2max a test stands for, set beside a table; Missing with the reason, None for tests that tell none."""
    found = vo2max_of(test, client)
    return _worded(found, test, _person(test, client), table) if isinstance(found, VO2max) else found


def vo2max_of(test: FitnessTest, client: Client) -> VO2max | Missing | None:
    """The VO2max a test stands for as a figure; Missing with the reason, None for tests that tell none."""
    read = _READERS.get(test.protocol)
    if read is None:
        return None
    try:
        return read(test, _person(test, client))
    except OutOfRange as refusal:
        return Missing(str(refusal))


def _person(test: FitnessTest, client: Client) -> _Person:
    return _Person(age_on(client.born_on, test.tested_on), client.sex, client.heart_rate_use)


def _mile(test: FitnessTest, person: _Person) -> VO2max | Missing:
    if test.mode is not Mode.WALK:
        return Missing("the one-mile walk counts on flat ground only")
    if person.heart_rate is HeartRateUse.NOT_RELIABLE:
        return Missing("heart rate is not reliable for this client")
    if test.distance_m is not None and not _is_about(test.distance_m, MILE_M):
        return Missing(f"the distance is no mile (1609 m): {test.distance_m:g} m")
    if test.duration_s is None or test.heart_rate_bpm is None or test.weight_kg is None:
        return _lacking(time=test.duration_s, heart_rate=test.heart_rate_bpm, weight=test.weight_kg)
    if person.age_years is None or person.sex is None:
        return _lacking(birth_date=person.age_years, sex=person.sex)
    return one_mile_walk_kline_1987(
        duration_s=test.duration_s,
        heart_rate_bpm=test.heart_rate_bpm,
        mass_kg=test.weight_kg,
        age_years=person.age_years,
        sex=person.sex,
    )


def _six_minutes(test: FitnessTest, person: _Person) -> VO2max | Missing:
    if test.mode is not Mode.WALK:
        return Missing("the six-minute walk counts in a corridor or on flat ground only")
    if test.duration_s is not None and not _is_about(test.duration_s, SIX_MINUTES_S):
        return Missing("the time is not six minutes")
    if test.distance_m is None or test.weight_kg is None or test.height_cm is None:
        return _lacking(distance=test.distance_m, weight=test.weight_kg, height=test.height_cm)
    if person.age_years is None or person.sex is None:
        return _lacking(birth_date=person.age_years, sex=person.sex)
    return six_minute_walk_sagat_2023(
        distance_m=test.distance_m,
        bmi_kg_per_m2=test.weight_kg / (test.height_cm / 100) ** 2,
        age_years=person.age_years,
        sex=person.sex,
        mass_kg=test.weight_kg,
    )


def _twelve_minutes(test: FitnessTest, _person: _Person) -> VO2max | Missing:
    if test.mode not in (Mode.RUN, Mode.WALK):
        return Missing("the 12-minute run counts on flat ground only")
    if test.duration_s is not None and not _is_about(test.duration_s, TWELVE_MINUTES_S):
        return Missing("the time is not twelve minutes")
    if test.distance_m is None:
        return _lacking(distance=test.distance_m)
    return twelve_minute_run_cooper_1968(distance_m=test.distance_m, mass_kg=test.weight_kg)


def _laboratory(test: FitnessTest, _person: _Person) -> VO2max | Missing:
    if test.value is None or not is_relative_vo2max(test.unit):
        return Missing("only a value in mL/kg/min is set beside the tables")
    error_words = "as typed with the result" if test.error else "no error was typed"
    return VO2max(
        test.value, ML_PER_KG_MIN, test.error, error_words, "", "laboratory", test.mode.value, test.weight_kg
    )


_READERS: dict[Protocol, Callable[[FitnessTest, _Person], VO2max | Missing]] = {
    Protocol.ONE_MILE_WALK: _mile,
    Protocol.SIX_MINUTE_WALK: _six_minutes,
    Protocol.TWELVE_MINUTE_RUN: _twelve_minutes,
    Protocol.LABORATORY: _laboratory,
}


_EQUATIONS = {
    Protocol.ONE_MILE_WALK: one_mile_walk_kline_1987,
    Protocol.SIX_MINUTE_WALK: six_minute_walk_sagat_2023,
    Protocol.TWELVE_MINUTE_RUN: twelve_minute_run_cooper_1968,
}


def _worded(found: VO2max, test: FitnessTest, person: _Person, table: str) -> FitnessEstimate:
    place = standing(found, mode=test.mode, age_years=person.age_years, sex=person.sex, table=table)
    figures = [Figure("VO2max", _said(found)), Figure("error", found.error_words)]
    if not isinstance(found.absolute_l_per_min, Missing):
        figures.append(Figure("for the whole body", f"{found.absolute_l_per_min:.1f} L/min"))
    figures += [Figure("mind", note) for note in found.notes]
    if test.protocol is Protocol.ONE_MILE_WALK and person.heart_rate is not HeartRateUse.RELIABLE:
        figures.append(Figure("mind", _HEART_RATE_UNKNOWN))
    figures += [Figure("table", place.table)] if place.table else []
    named = [SOURCES[key] for key in (found.source, place.source) if key in SOURCES]
    equation = _EQUATIONS.get(test.protocol)
    why = Why(
        tuple(figures),
        _RULE,
        named[0].provenance if named else Provenance.HOUSE,
        "; ".join(one.short for one in named) or None,
        "A measured value in a laboratory beats every equation." if equation else None,
        tuple(name for name in (equation and equation.__name__, place.formula) if name),
    )
    return FitnessEstimate(_said(found), place.said, why)


def _said(found: VO2max) -> str:
    error = f" ± {_half(found.error):g}" if found.error else ", error not known"
    about = "" if found.protocol == "laboratory" else "about "
    return f"{about}{_half(found.value):g}{error} mL/kg/min"


def _half(value: float) -> float:
    return round(value * 2) / 2


def _is_about(value: float, wanted: float) -> bool:
    return abs(value - wanted) <= SAME_FRACTION * wanted


def _lacking(**inputs: object) -> Missing:
    names = [name.replace("_", " ") for name, value in inputs.items() if value is None]
    return Missing(f"for an estimate of VO2max {' and '.join(names)} {'is' if len(names) == 1 else 'are'} missing")
