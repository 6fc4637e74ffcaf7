"""From reference rows about VO2max tests to the public functions: names and units, no expected value."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from app.physiology import vo2max_ergometer as ergometer
from app.physiology import vo2max_heart_rate as heart_rate
from app.physiology import vo2max_questionnaire as questionnaire
from app.physiology import vo2max_runs as runs
from app.physiology import vo2max_walks as walks
from app.physiology.units import KG_PER_LB, M_PER_IN, M_PER_MIN_PER_KM_PER_H, M_PER_MIN_PER_MPH

Row = Mapping[str, str]

_NAMES = {
    "age": "age_years",
    "bmi": "bmi_kg_per_m2",
    "mass_kg": "mass_kg",
    "height_cm": "height_cm",
    "waist_cm": "waist_cm",
    "fat_pct": "fat_percent",
    "hr": "heart_rate_bpm",
    "hrrest": "resting_heart_rate_bpm",
    "metres": "distance_m",
    "last_half_stage": "last_half_stage",
    "speed_m_min": "speed_m_per_min",
    "grade": "grade_fraction",
    "pfa": "perceived_ability",
    "par": "activity_rating",
}
_SCALED = {
    "mass_lb": ("mass_kg", KG_PER_LB),
    "height_in": ("height_cm", 100 * M_PER_IN),
    "time_min": ("duration_s", 60.0),
    "minutes": ("duration_s", 60.0),
    "speed_mph": ("speed_m_per_min", M_PER_MIN_PER_MPH),
    "speed_kmh": ("speed_m_per_min", M_PER_MIN_PER_KM_PER_H),
    "maximal_aerobic_speed_kmh": ("maximal_speed_m_per_min", M_PER_MIN_PER_KM_PER_H),
}


def _inputs(row: Row, **renamed: str) -> dict[str, float | str]:
    """The row's inputs under our names, in our units."""
    given: dict[str, float | str] = {}
    for key, text in row.items():
        if key in renamed:
            given[renamed[key]] = float(text)
        elif key in _NAMES:
            given[_NAMES[key]] = float(text)
        elif key in _SCALED:
            name, factor = _SCALED[key]
            given[name] = float(text) * factor
        elif key in ("sex", "mode"):
            given[key] = text
    return given


def walk_mile(row: Row) -> float:
    by = {"relative": walks.one_mile_walk_kline_1987, "absolute": walks.one_mile_walk_absolute_kline_1987}
    return by[row["output"]](**_inputs(row)).value


def treadmill_walk(row: Row) -> float:
    return walks.treadmill_walk_ebbeling_1991(**_inputs(row)).value


def six_min_walk(row: Row) -> float:
    if row["equation"] == "ross2010_group":
        return walks.six_minute_walk_group_ross_2010(**_inputs(row, metres="mean_distance_m")).value
    by = {
        "sagat2023": walks.six_minute_walk_sagat_2023,
        "burr2011": walks.six_minute_walk_burr_2011,
        "enright1998": walks.six_minute_walk_distance_enright_1998,
    }
    return by[row["equation"]](**_inputs(row)).value


def cooper(row: Row) -> float:
    if row.get("want") == "metres":
        return runs.twelve_minute_run_distance_cooper_1968(**_inputs(row, vo2max="vo2max_ml_per_kg_min")).value
    return runs.twelve_minute_run_cooper_1968(**_inputs(row)).value


def george(row: Row) -> float:
    by = {
        "submax_1mile_jog": runs.one_mile_jog_george_1993,
        "1.5mile_run": runs.one_and_half_mile_run_george_1993,
        "1.5mile_run_acsm": runs.one_and_half_mile_run_acsm_2006,
        "treadmill_jog": runs.treadmill_jog_george_1993,
    }
    return by[row["test"]](**_inputs(row)).value


def shuttle(row: Row) -> float:
    by = {
        None: runs.shuttle_leger_1988,
        "leger1989": runs.shuttle_leger_1989,
        "leger1982_2min": runs.shuttle_two_minute_leger_1982,
        "stickland2003": runs.shuttle_stickland_2003,
    }
    return by[row.get("equation")](**_inputs(row)).value


def astrand(row: Row) -> float:
    by = {
        "age_in_formula": ergometer.cycle_one_load_astrand_1954,
        "constant_then_age_factor": ergometer.cycle_one_load_astrand_1960,
    }
    return by[row["form"]](**_inputs(row, watts="power_w")).value


def storer(row: Row) -> float:
    return ergometer.cycle_ramp_storer_1990(**_inputs(row, watts="peak_power_w")).value


def cycle_registry(row: Row) -> float:
    return ergometer.cycle_maximal_kokkinos_2018(**_inputs(row, watts="peak_power_w")).value


def treadmill_registry(row: Row) -> float:
    return ergometer.treadmill_maximal_kokkinos_2017(**_inputs(row)).value


def bruce(row: Row) -> float:
    if "handrail" in row:
        by_hand = {"0": ergometer.treadmill_hands_free_foster_1996, "1": ergometer.treadmill_rail_held_foster_1996}
        return by_hand[row["handrail"]](**_inputs(row, acsm_estimate="estimated_vo2_ml_per_kg_min")).value
    by_sex = {"M": ergometer.bruce_men_foster_1984, "F": ergometer.bruce_women_pollock_1982}
    given = _inputs(row)
    del given["sex"]
    return by_sex[row["sex"]](**given).value


def hr_ratio(row: Row) -> float:
    if row["equation"] == "wicks2016":
        return heart_rate.heart_rate_index_wicks_2016(**_inputs(row, hrmax="heart_rate_bpm")).value
    by = {
        "uth2004": heart_rate.heart_rate_ratio_uth_2004,
        "voutilainen2020_ratio": heart_rate.heart_rate_ratio_voutilainen_2020,
        "voutilainen2020_linear": heart_rate.heart_rate_ratio_line_voutilainen_2020,
    }
    return by[row["equation"]](**_inputs(row, hrmax="maximal_heart_rate_bpm")).value


def nonexercise(row: Row) -> float:
    by = {
        "jackson1990_bmi": (questionnaire.no_exercise_bmi_jackson_1990, "activity_code"),
        "jackson1990_fat": (questionnaire.no_exercise_fat_jackson_1990, "activity_code"),
        "bradshaw2005": (questionnaire.no_exercise_bradshaw_2005, ""),
        "nes2011_bmi": (questionnaire.no_exercise_bmi_nes_2011, "activity_index"),
        "nes2011_waist": (questionnaire.no_exercise_waist_nes_2011, "activity_index"),
        "jurca2005": (questionnaire.no_exercise_jurca_2005, ""),
        "registry2017": (questionnaire.usual_vo2max_myers_2017, ""),
        "registry2018": (questionnaire.usual_vo2max_souza_2018, ""),
    }
    function, activity = by[row["equation"]]
    return function(**_inputs(row, pa=activity, pa_level="activity_level")).value


ADAPTERS: dict[str, Callable[[Row], float | str]] = {
    one.__name__: one
    for one in (
        astrand,
        bruce,
        cooper,
        cycle_registry,
        george,
        hr_ratio,
        nonexercise,
        shuttle,
        six_min_walk,
        storer,
        treadmill_registry,
        treadmill_walk,
        walk_mile,
    )
}
