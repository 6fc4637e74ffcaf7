"""Rows about heart rate, intensity, effort, speech, oxygen cost, energy and race pace."""

from __future__ import annotations

from collections.abc import Mapping

from app.physiology import (
    effort_scales,
    energy,
    heart_rate_reserve,
    intensity,
    mile_rounds,
    race_pace,
    talk_test,
    units,
)
from app.physiology import heart_rate as hr
from app.physiology import oxygen_cost as cost
from app.physiology import oxygen_cost_inverse as inverse
from app.physiology.heart_rate_choice import hrmax_opinions
from app.physiology.values import Estimate, Sex

Inputs = Mapping[str, str]

_HRMAX = {
    "fox1971": hr.hrmax_fox_1971,
    "tanaka2001": hr.hrmax_tanaka_2001,
    "gellish2007_rounded": hr.hrmax_gellish_2007_rounded,
    "gellish2007_unrounded": hr.hrmax_gellish_2007_unrounded,
    "gellish2007_quadratic": hr.hrmax_gellish_2007_curved,
    "nes2013": hr.hrmax_nes_2013,
    "gulati2010": hr.hrmax_gulati_2010,
    "zhu2010": hr.hrmax_zhu_2010,
    "brawner2004": hr.hrmax_brawner_2004,
}


def hrmax(inputs: Inputs) -> float:
    age = float(inputs["age"])
    if "set" in inputs:
        return hrmax_opinions(age, Sex(inputs["sex"])).spread_bpm
    if inputs["equation"] == "sydo2014":
        return hr.hrmax_sydo_2014(age, Sex(inputs["sex"])).value
    return _HRMAX[inputs["equation"]](age).value


def hrr(inputs: Inputs) -> float:
    given = {name: float(value) for name, value in inputs.items() if name not in {"solve", "want"}}
    if inputs.get("want") == "target_sd":
        return heart_rate_reserve.target_heart_rate_sd(given["hrmax_sd"], given["hrrest_sd"], given["fraction"])
    if inputs.get("solve") == "fraction":
        return heart_rate_reserve.reserve_fraction_karvonen_1957(given["hrmax"], given["hrrest"], given["hr"])
    return heart_rate_reserve.target_heart_rate_karvonen_1957(given["hrmax"], given["hrrest"], given["fraction"])


def vo2r(inputs: Inputs) -> float:
    return heart_rate_reserve.target_vo2_reserve(float(inputs["vo2max"]), float(inputs["fraction"]))


_HRR_VO2 = {
    ("cycle", "pct_vo2max"): heart_rate_reserve.hrr_percent_from_vo2max_percent_swain_1997,
    ("cycle", "pct_vo2r"): heart_rate_reserve.hrr_percent_from_vo2_reserve_percent_swain_1997,
    ("treadmill", "pct_vo2max"): heart_rate_reserve.hrr_percent_from_vo2max_percent_swain_1998,
    ("treadmill", "pct_vo2r"): heart_rate_reserve.hrr_percent_from_vo2_reserve_percent_swain_1998,
}


def hrr_vo2(inputs: Inputs) -> float:
    name = next(key for key in inputs if key.startswith("pct_"))
    value = float(inputs[name])
    if inputs["want"] == "pct_hrmax":
        return heart_rate_reserve.hrmax_percent_from_vo2max_percent_swain_1994(value).value
    return _HRR_VO2[inputs["mode"], name](value).value


_CLASS = {
    "pct_hrr": intensity.intensity_from_reserve_garber_2011,
    "pct_hrmax": intensity.intensity_from_hrmax_garber_2011,
    "pct_vo2max": intensity.intensity_from_vo2max_garber_2011,
    "rpe_6_20": intensity.intensity_from_rpe_garber_2011,
    "met": intensity.intensity_from_met_garber_2011,
}


def intensity_class(inputs: Inputs) -> str:
    ((name, value),) = inputs.items()
    return str(_CLASS[name](float(value)))


def rpe_map(inputs: Inputs) -> float:
    if inputs["want"] == "cr10":
        return effort_scales.ratio_effort_from_rpe_borg_2001(float(inputs["rpe_6_20"]))
    return effort_scales.rpe_from_ratio_effort_borg_2001(float(inputs["cr10"]))


_STAGES = {
    "last_positive_minus_1": talk_test.TalkStage.ONE_BELOW_LAST_COMFORTABLE,
    "last_positive": talk_test.TalkStage.LAST_COMFORTABLE,
    "equivocal": talk_test.TalkStage.NOT_SURE,
}
_THRESHOLDS = {"vt1_range": talk_test.Threshold.FIRST, "vt2_range": talk_test.Threshold.SECOND}


def talk(inputs: Inputs) -> float | str:
    if inputs["want"] in _THRESHOLDS:
        return talk_test.speech_difficulty_at_threshold_orizola_2021(_THRESHOLDS[inputs["want"]]).words
    stage = _STAGES[inputs["stage"]]
    if inputs["want"] == "pct_hrmax":
        return talk_test.hrmax_percent_at_talk_stage_foster_2009(stage).value
    return talk_test.effort_at_talk_stage_foster_2009(stage).value


def _speed(inputs: Inputs) -> float:
    if "speed_mph" in inputs:
        return units.speed_from_mph(float(inputs["speed_mph"]))
    return float(inputs["speed_m_min"])


def _vo2(inputs: Inputs) -> float:
    return units.vo2_from_met(float(inputs["met"])) if "met" in inputs else float(inputs["vo2"])


def walk(inputs: Inputs) -> float:
    return cost.vo2_walking_bushman_2020(_speed(inputs), float(inputs["grade"])).value


def run(inputs: Inputs) -> float:
    if inputs.get("want") == "grade_pct":
        return inverse.running_grade_for_vo2_bushman_2020(_vo2(inputs), _speed(inputs)).value * 100
    return cost.vo2_running_bushman_2020(_speed(inputs), float(inputs["grade"])).value


def cycle(inputs: Inputs) -> float:
    power = float(inputs["watts"]) if "watts" in inputs else units.power_from_kgm_per_min(float(inputs["kgm_min"]))
    return cost.vo2_leg_cycling_bushman_2020(power, float(inputs["mass_kg"])).value


def step(inputs: Inputs) -> float:
    return cost.vo2_stepping_bushman_2020(float(inputs["steps_per_min"]), float(inputs["height_m"])).value


def backwards(inputs: Inputs) -> float:
    vo2, want = _vo2(inputs), inputs["want"]
    if inputs["mode"] == "cycle":
        power = inverse.cycling_power_for_vo2_bushman_2020(vo2, float(inputs["mass_kg"])).value
        return power if want == "watts" else units.kgm_per_min_from_power(power)
    if want == "grade_pct":
        return inverse.walking_grade_for_vo2_bushman_2020(vo2, _speed(inputs)).value * 100
    is_walk = inputs["mode"] == "walk"
    speed_for = inverse.walking_speed_for_vo2_bushman_2020 if is_walk else inverse.running_speed_for_vo2_bushman_2020
    speed = speed_for(vo2, float(inputs["grade"])).value
    return units.speed_mph_from_m_per_min(speed) if want == "speed_mph" else speed


def kcal(inputs: Inputs) -> float:
    mass = float(inputs["mass_kg"])
    if "met" in inputs:
        return energy.energy_rate_from_met(float(inputs["met"]), mass).value
    return energy.energy_of_distance(
        cost.Gait(inputs["mode"]),
        float(inputs["distance_m"]),
        float(inputs["speed_m_s"]) * 60,
        mass,
        kcal_per_litre=float(inputs["kcal_per_l"]),
    ).value


def race_vo2(inputs: Inputs) -> float:
    given = {name: float(value) for name, value in inputs.items() if name != "want"}
    match inputs["want"]:
        case "vo2_cost":
            answer = race_pace.vo2_cost_daniels_gilbert_1979(given["velocity_m_min"])
        case "fraction":
            answer = race_pace.vo2max_fraction_daniels_gilbert_1979(given["minutes"])
        case "index":
            answer = race_pace.race_index_daniels_gilbert_1979(given["distance_m"], given["minutes"])
        case "velocity_m_min":
            answer = race_pace.speed_for_vo2_daniels_gilbert_1979(given["vo2"])
        case _:
            answer = race_pace.race_time_for_index_daniels_gilbert_1979(given["index"], given["distance_m"])
    return answer.value


def race_prediction(inputs: Inputs) -> float:
    if inputs.get("want") == "time_ratio":
        return race_pace.race_time_ratio_riegel_1981(float(inputs["distance_ratio"]), float(inputs["k"]))
    return _riegel(inputs, "t1_s", "d1_m", "d2_m", "k")


def race_equivalence(inputs: Inputs) -> float:
    return _riegel(inputs, "t1", "d1", "d2", "exponent")


def _riegel(inputs: Inputs, time: str, raced: str, wanted: str, exponent: str) -> float:
    power = float(inputs[exponent]) if exponent in inputs else race_pace.EXPONENT
    return race_pace.race_time_riegel_1981(
        float(inputs[time]), float(inputs[raced]), float(inputs[wanted]), power
    ).value


def five_km_fraction(inputs: Inputs) -> float:
    return race_pace.vo2max_fraction_daniels_gilbert_1979(float(inputs["minutes"])).value


def five_km_index(inputs: Inputs) -> float:
    return race_pace.race_index_daniels_gilbert_1979(mile_rounds.FIVE_KM_M, float(inputs["minutes"])).value


def unit_change(inputs: Inputs) -> float:
    return units.pace_per_mile_from_pace_per_km(float(inputs["pace"].removesuffix(" s/km")))


def mile_quick(inputs: Inputs) -> float:
    return mile_rounds.mile_time_at_five_km_pace(float(inputs["t5k"]))


def mile_gentle(inputs: Inputs) -> float:
    return mile_rounds.mile_time_at_ten_km_pace(float(inputs["t5k"])).value


def _on_foot(equation, inputs: Inputs) -> float:
    speed = float(inputs["speed"].removesuffix(" m/min"))
    answer: Estimate = equation(speed, float(inputs["grade"]))
    return answer.value


def running(inputs: Inputs) -> float:
    return _on_foot(cost.vo2_running_bushman_2020, inputs)


def walking_uphill(inputs: Inputs) -> float:
    return _on_foot(cost.vo2_walking_bushman_2020, inputs)


ADAPTERS = {
    "hrmax": hrmax,
    "hrr": hrr,
    "vo2r": vo2r,
    "hrr_vo2": hrr_vo2,
    "intensity_class": intensity_class,
    "rpe_map": rpe_map,
    "talk_test": talk,
    "acsm_walk": walk,
    "acsm_run": run,
    "acsm_cycle": cycle,
    "acsm_step": step,
    "acsm_inverse": backwards,
    "energy": kcal,
    "race_vo2": race_vo2,
    "race_prediction": race_prediction,
    "race equivalence": race_equivalence,
    "fraction of VO2max at 5 km": five_km_fraction,
    "VO2max from 5 km": five_km_index,
    "unit change": unit_change,
    "mile repetition at 5-km pace": mile_quick,
    "mile repetition at predicted 10-km pace": mile_gentle,
    "VO2 of running": running,
    "VO2 of uphill walking": walking_uphill,
}

UNMOVED = {
    ("HRM-BRA-60", "betablocker"): "a mark of whom the equation is for, not a number it uses",
    ("HRM-BRA-60", "chd"): "a mark of whom the equation is for, not a number it uses",
    ("VO2 of running", "VO2"): "the equation itself, written out in the row",
    ("VO2 of uphill walking", "VO2"): "the equation itself, written out in the row",
    ("mile repetition at predicted 10-km pace", "exponent"): "the published exponent is built into the function",
}
