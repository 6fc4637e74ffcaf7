"""VO2max from cycle ergometers and graded treadmills."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from app.physiology.units import KGM_PER_MIN_PER_W
from app.physiology.values import Sex, check_range
from app.physiology.vo2max import (
    HEAVIEST_KG,
    L_PER_MIN,
    LIGHTEST_KG,
    ML_PER_KG_MIN,
    ML_PER_MIN,
    VO2max,
    check_mass,
    check_sex,
    positive,
)

_ONE_LOAD = "one-load cycle test"
_AGE_FACTORS: tuple[tuple[float, float], ...] = (
    (15, 1.10),
    (25, 1.00),
    (35, 0.87),
    (40, 0.83),
    (45, 0.78),
    (50, 0.75),
    (55, 0.71),
    (60, 0.68),
    (65, 0.65),
)
_BRUCE = "Bruce treadmill"


def cycle_one_load_astrand_1954(
    *, power_w: float, heart_rate_bpm: float, age_years: float, mass_kg: float | None = None
) -> VO2max:
    """VO2max from the heart rate in six minutes of cycling at one load, age inside the formula.

    power_w: the load, W, 25 to 250.
    heart_rate_bpm: in the sixth minute, beats a minute, 125 to 170.
    age_years: age, years, 15 to 80.
    mass_kg: body mass, kg, 30 to 250; only for the form per kilogram.
    Returns: VO2max, L/min.
    Raises: OutOfRange outside these.
    Limits: steady heart rate of 125 to 170 that no medicine steers; leans on a maximum predicted from age.
    Error: SEE 0.42 L/min (5.7 mL/kg/min) in 40 men, 0.48 L/min in a later study; both with age factors.
    Source: [astrand1954] Åstrand & Ryhming 1954, error from [cink1981]; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic astrand.
    """
    _check_one_load(power_w, heart_rate_bpm, mass_kg)
    check_range("Age", age_years, 15, 80, "years")
    value = _oxygen_at_load(power_w) * ((220 - age_years) - 72) / (heart_rate_bpm - 72)
    return VO2max(
        value,
        L_PER_MIN,
        0.42,
        "standard error of estimate 0.42 L/min in 40 men, 0.48 in a later study",
        "astrand1954",
        f"{_ONE_LOAD}, age in the formula",
        "cycle",
        mass_kg,
        ("The error was measured on the form with age factors.",),
    )


def cycle_one_load_astrand_1960(
    *, power_w: float, heart_rate_bpm: float, age_years: float, sex: Sex, mass_kg: float | None = None
) -> VO2max:
    """VO2max from the heart rate in six minutes of cycling at one load, lowered by a factor for age.

    power_w: the load, W, 25 to 250.
    heart_rate_bpm: in the sixth minute, beats a minute, 125 to 170.
    age_years: age, years, 15 to 65.
    sex: F or M.
    mass_kg: body mass, kg, 30 to 250; only for the form per kilogram.
    Returns: VO2max, L/min.
    Raises: OutOfRange outside these.
    Limits: steady heart rate of 125 to 170 that no medicine steers; up to 11 % under the other form.
    Error: SEE 0.42 L/min (5.7 mL/kg/min) in 40 men, 0.48 L/min in a later study.
    Source: [astrand1960] Åstrand 1960, error from [cink1981]; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic astrand.
    """
    _check_one_load(power_w, heart_rate_bpm, mass_kg)
    check_sex(sex)
    oxygen = _oxygen_at_load(power_w)
    unscaled = oxygen * 134 / (heart_rate_bpm - 61) if sex == "M" else oxygen * 126 / (heart_rate_bpm - 72)
    return VO2max(
        unscaled * age_factor_astrand_1960(age_years=age_years),
        L_PER_MIN,
        0.42,
        "standard error of estimate 0.42 L/min in 40 men, 0.48 in a later study",
        "astrand1960",
        f"{_ONE_LOAD}, age factor",
        "cycle",
        mass_kg,
        ("Constants and age factors from memory, unchecked.",),
    )


def age_factor_astrand_1960(*, age_years: float) -> float:
    """The share by which age lowers the one-load estimate.

    age_years: age, years, 15 to 65.
    Returns: factor, no unit; straight between the printed ages (house choice).
    Raises: OutOfRange outside these.
    Limits: 15 to 65.
    Error: not found.
    Source: [astrand1960] Åstrand 1960; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic astrand.
    """
    check_range("Age", age_years, _AGE_FACTORS[0][0], _AGE_FACTORS[-1][0], "years for the age factor")
    return _straight_between(_AGE_FACTORS, age_years)


def cycle_ramp_storer_1990(*, peak_power_w: float, mass_kg: float, age_years: float, sex: Sex) -> VO2max:
    """VO2max from the last power of a maximal cycle ramp of 15 W a minute.

    peak_power_w: highest power reached, W, 40 to 450.
    mass_kg: body mass, kg, 30 to 250.
    age_years: age, years, 20 to 70.
    sex: F or M.
    Returns: VO2max, mL/min.
    Raises: OutOfRange outside these.
    Limits: sedentary adults of 20 to 70; 15 W a minute; a maximal test.
    Error: SEE 212 (M), 147 (F) mL/min.
    Source: [storer1990] Storer, Davis & Caiozzo 1990; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic storer.
    """
    check_range("Peak power", peak_power_w, 40, 450, "W")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    check_range("Age", age_years, 20, 70, "years for the cycle ramp")
    check_sex(sex)
    if sex == "M":
        value, error = 10.51 * peak_power_w + 6.35 * mass_kg - 10.49 * age_years + 519.3, 212.0
    else:
        value, error = 9.39 * peak_power_w + 7.7 * mass_kg - 5.88 * age_years + 136.7, 147.0
    return VO2max(
        positive(value),
        ML_PER_MIN,
        error,
        f"standard error of estimate {error:g} mL/min",
        "storer1990",
        "cycle ramp of 15 W a minute",
        "cycle",
        mass_kg,
        ("Made on sedentary adults.",),
    )


def cycle_maximal_kokkinos_2018(*, peak_power_w: float, mass_kg: float) -> VO2max:
    """VO2max from the last power of a maximal cycle test.

    peak_power_w: highest power reached, W, 20 to 600.
    mass_kg: body mass, kg, 30 to 250.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 5,100 adults of a US registry; a maximal test.
    Error: mean bias 0.5 %; SEE not found.
    Source: [kokkinos2018] Kokkinos et al. 2018; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic cycle_registry.
    """
    check_range("Peak power", peak_power_w, 20, 600, "W")
    check_range("Body mass", mass_kg, LIGHTEST_KG, HEAVIEST_KG, "kg")
    return VO2max(
        1.74 * peak_power_w * KGM_PER_MIN_PER_W / mass_kg + 3.5,
        ML_PER_KG_MIN,
        None,
        "mean bias 0.5 %, error for one person not found",
        "kokkinos2018",
        "maximal cycle test",
        "cycle",
        mass_kg,
    )


def treadmill_maximal_kokkinos_2017(
    *, speed_m_per_min: float, grade_fraction: float, mass_kg: float | None = None
) -> VO2max:
    """VO2max from the last speed and grade of a maximal treadmill test.

    speed_m_per_min: belt speed of the last stage, m/min, 25 to 350.
    grade_fraction: rise over run, no unit, 0 to 0.3.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: adults of a US registry; a maximal test, rail not held.
    Error: not found.
    Source: [kokkinos2017] Kokkinos et al. 2017; from memory, unchecked.
    Checked in tests/reference/intensity_and_vo2max.csv, topic treadmill_registry.
    """
    check_range("Speed", speed_m_per_min, 25, 350, "m/min")
    check_range("Grade", grade_fraction, 0, 0.3, "as a share")
    check_mass(mass_kg)
    return VO2max(
        speed_m_per_min * (0.17 + 0.79 * grade_fraction) + 3.5,
        ML_PER_KG_MIN,
        None,
        "error not found",
        "kokkinos2017",
        "maximal treadmill test",
        "treadmill",
        mass_kg,
        ("Coefficients from memory, unchecked.",),
    )


def bruce_men_foster_1984(*, duration_s: float, mass_kg: float | None = None) -> VO2max:
    """VO2max of a man from his time on the Bruce treadmill protocol.

    duration_s: time to exhaustion, s, 180 to 1260.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: men, rail not held (holding it adds about 2 min); a maximal test. A first try counts as practice.
    Error: SEE 3.35 mL/kg/min, from memory.
    Source: [foster1984] Foster et al. 1984; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic bruce.
    """
    check_range("The time on the treadmill", duration_s, 180, 1260, "s")
    check_mass(mass_kg)
    minutes = duration_s / 60
    return VO2max(
        14.8 - 1.379 * minutes + 0.451 * minutes**2 - 0.012 * minutes**3,
        ML_PER_KG_MIN,
        3.35,
        "standard error of estimate 3.35 mL/kg/min (from memory, unchecked)",
        "foster1984",
        f"{_BRUCE}, men",
        "treadmill",
        mass_kg,
        ("Rail not held; a first try counts as practice.",),
    )


def bruce_women_pollock_1982(*, duration_s: float, mass_kg: float | None = None) -> VO2max:
    """VO2max of a woman from her time on the Bruce treadmill protocol.

    duration_s: time to exhaustion, s, 180 to 1260.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: 49 women, rail not held (holding it adds about 2 min); a maximal test. A first try counts as practice.
    Error: SEE 2.7 mL/kg/min. Runs above the men's line at equal time: never in one chart with it.
    Source: [pollock1982] Pollock et al. 1982; published, second-hand.
    Checked in tests/reference/intensity_and_vo2max.csv, topic bruce.
    """
    check_range("The time on the treadmill", duration_s, 180, 1260, "s")
    check_mass(mass_kg)
    return VO2max(
        4.38 * duration_s / 60 - 3.9,
        ML_PER_KG_MIN,
        2.7,
        "standard error of estimate 2.7 mL/kg/min",
        "pollock1982",
        f"{_BRUCE}, women",
        "treadmill",
        mass_kg,
        ("Rail not held; a first try counts as practice.",),
    )


def treadmill_hands_free_foster_1996(*, estimated_vo2_ml_per_kg_min: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from the oxygen cost of the last treadmill stage, hands free.

    estimated_vo2_ml_per_kg_min: cost of the last stage by the handbook's equation, mL/kg/min, 10 to 90.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: population not noted; corrects an equation that reads high near the maximum.
    Error: SEE 4.8 mL/kg/min.
    Source: [foster1996] Foster et al. 1996; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic bruce.
    """
    return _corrected(estimated_vo2_ml_per_kg_min, mass_kg, (0.869, -0.07, 4.8), "hands free")


def treadmill_rail_held_foster_1996(*, estimated_vo2_ml_per_kg_min: float, mass_kg: float | None = None) -> VO2max:
    """VO2max from the oxygen cost of the last treadmill stage, holding the rail.

    estimated_vo2_ml_per_kg_min: cost of the last stage by the handbook's equation, mL/kg/min, 10 to 90.
    mass_kg: body mass, kg, 30 to 250; only for the form in L/min.
    Returns: VO2max, mL/kg/min.
    Raises: OutOfRange outside these.
    Limits: population not noted; corrects an equation that reads high near the maximum.
    Error: SEE 4.4 mL/kg/min.
    Source: [foster1996] Foster et al. 1996; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic bruce.
    """
    return _corrected(estimated_vo2_ml_per_kg_min, mass_kg, (0.694, 3.33, 4.4), "rail held")


def _corrected(estimated: float, mass_kg: float | None, line: tuple[float, float, float], how: str) -> VO2max:
    check_range("The estimated oxygen cost", estimated, 10, 90, ML_PER_KG_MIN)
    check_mass(mass_kg)
    slope, start, error = line
    return VO2max(
        slope * estimated + start,
        ML_PER_KG_MIN,
        error,
        f"standard error of estimate {error:g} mL/kg/min",
        "foster1996",
        f"last treadmill stage, {how}",
        "treadmill",
        mass_kg,
    )


def _check_one_load(power_w: float, heart_rate_bpm: float, mass_kg: float | None) -> None:
    check_range("The load", power_w, 25, 250, "W")
    check_range("Heart rate", heart_rate_bpm, 125, 170, "beats a minute for the one-load test")
    check_mass(mass_kg)


def _oxygen_at_load(power_w: float) -> float:
    """Litres a minute at a steady load."""
    return 0.012 * power_w + 0.3


def _straight_between(points: Sequence[tuple[float, float]], at: float) -> float:
    (x0, y0), (x1, y1) = next((low, high) for low, high in pairwise(points) if at <= high[0])
    return y0 + (y1 - y0) * (at - x0) / (x1 - x0)
