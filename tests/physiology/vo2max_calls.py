"""Every estimator of VO2max with one plain call and the limits its docstring states."""

from __future__ import annotations

from app.physiology import vo2max_ergometer as ergometer
from app.physiology import vo2max_heart_rate as heart_rate
from app.physiology import vo2max_questionnaire as questionnaire
from app.physiology import vo2max_runs as runs
from app.physiology import vo2max_walks as walks

MASS, AGE30 = ("mass_kg", 30, 250), ("age_years", 30, 69)
BMI, REST = ("bmi_kg_per_m2", 14, 60), ("resting_heart_rate_bpm", 30, 120)
HARD, MAXIMAL = ("heart_rate_bpm", 60, 220), ("maximal_heart_rate_bpm", 60, 220)
MILE = {"duration_s": 900, "heart_rate_bpm": 130, "mass_kg": 75, "age_years": 50, "sex": "F"}
AT_SIX = ("distance_m", 200, 1000)
SHUTTLE = ("speed_m_per_min", 133, 310)
BRUCE = ("duration_s", 180, 1260)

#: (function, a plain call, limits of its numbers). Every refusal and every mark below starts from the plain call.
CALLS = [
    (walks.one_mile_walk_kline_1987, MILE, [("duration_s", 480, 1800), HARD, MASS, AGE30]),
    (walks.one_mile_walk_absolute_kline_1987, MILE, [("duration_s", 480, 1800), HARD, MASS, AGE30]),
    (
        walks.treadmill_walk_ebbeling_1991,
        {"speed_m_per_min": 94, "heart_rate_bpm": 130, "age_years": 50, "sex": "F", "mass_kg": 70},
        [("speed_m_per_min", 50, 125), HARD, ("age_years", 20, 59), MASS],
    ),
    (
        walks.six_minute_walk_sagat_2023,
        {"distance_m": 600, "bmi_kg_per_m2": 26, "age_years": 66, "sex": "M", "mass_kg": 70},
        [AT_SIX, BMI, ("age_years", 60, 80), MASS],
    ),
    (
        walks.six_minute_walk_burr_2011,
        {"distance_m": 600, "mass_kg": 80, "resting_heart_rate_bpm": 65, "age_years": 50, "sex": "M"},
        [AT_SIX, MASS, REST, ("age_years", 18, 80)],
    ),
    (
        runs.twelve_minute_run_cooper_1968,
        {"distance_m": 2400, "mass_kg": 70},
        [("distance_m", 1000, 4500), MASS],
    ),
    (
        runs.one_mile_jog_george_1993,
        {"duration_s": 600, "heart_rate_bpm": 150, "mass_kg": 70, "sex": "F", "age_years": 25},
        [("duration_s", 540, 1200), ("heart_rate_bpm", 60, 180), MASS, ("age_years", 18, 29)],
    ),
    (
        runs.treadmill_jog_george_1993,
        {"speed_m_per_min": 160, "heart_rate_bpm": 150, "mass_kg": 70, "sex": "M", "age_years": 25},
        [("speed_m_per_min", 115, 201.2), ("heart_rate_bpm", 60, 180), MASS, ("age_years", 18, 29)],
    ),
    (
        runs.one_and_half_mile_run_george_1993,
        {"duration_s": 720, "mass_kg": 70, "sex": "M", "age_years": 25},
        [("duration_s", 420, 1500), MASS, ("age_years", 18, 29)],
    ),
    (
        runs.one_and_half_mile_run_acsm_2006,
        {"duration_s": 720, "mass_kg": 70},
        [("duration_s", 420, 1500), MASS],
    ),
    (
        runs.shuttle_leger_1988,
        {"speed_m_per_min": 190, "age_years": 12, "mass_kg": 40},
        [SHUTTLE, ("age_years", 8, 50), MASS],
    ),
    (
        runs.shuttle_leger_1989,
        {"maximal_speed_m_per_min": 190, "mass_kg": 70},
        [("maximal_speed_m_per_min", 133, 310), MASS],
    ),
    (runs.shuttle_two_minute_leger_1982, {"speed_m_per_min": 190, "mass_kg": 70}, [SHUTTLE, MASS]),
    (
        runs.shuttle_stickland_2003,
        {"last_half_stage": 7.5, "sex": "F", "mass_kg": 70},
        [("last_half_stage", 1, 21), MASS],
    ),
    (
        ergometer.cycle_one_load_astrand_1954,
        {"power_w": 100, "heart_rate_bpm": 140, "age_years": 50, "mass_kg": 70},
        [("power_w", 25, 250), ("heart_rate_bpm", 125, 170), ("age_years", 15, 80), MASS],
    ),
    (
        ergometer.cycle_one_load_astrand_1960,
        {"power_w": 100, "heart_rate_bpm": 140, "age_years": 48, "sex": "M", "mass_kg": 70},
        [("power_w", 25, 250), ("heart_rate_bpm", 125, 170), ("age_years", 15, 65), MASS],
    ),
    (
        ergometer.cycle_ramp_storer_1990,
        {"peak_power_w": 180, "mass_kg": 70, "age_years": 50, "sex": "F"},
        [("peak_power_w", 40, 450), MASS, ("age_years", 20, 70)],
    ),
    (
        ergometer.cycle_maximal_kokkinos_2018,
        {"peak_power_w": 180, "mass_kg": 70},
        [("peak_power_w", 20, 600), MASS],
    ),
    (
        ergometer.treadmill_maximal_kokkinos_2017,
        {"speed_m_per_min": 90, "grade_fraction": 0.1, "mass_kg": 70},
        [("speed_m_per_min", 25, 350), ("grade_fraction", 0, 0.3), MASS],
    ),
    (ergometer.bruce_men_foster_1984, {"duration_s": 540, "mass_kg": 70}, [BRUCE, MASS]),
    (ergometer.bruce_women_pollock_1982, {"duration_s": 540, "mass_kg": 70}, [BRUCE, MASS]),
    (
        ergometer.treadmill_hands_free_foster_1996,
        {"estimated_vo2_ml_per_kg_min": 40, "mass_kg": 70},
        [("estimated_vo2_ml_per_kg_min", 10, 90), MASS],
    ),
    (
        ergometer.treadmill_rail_held_foster_1996,
        {"estimated_vo2_ml_per_kg_min": 40, "mass_kg": 70},
        [("estimated_vo2_ml_per_kg_min", 10, 90), MASS],
    ),
    (
        heart_rate.heart_rate_ratio_uth_2004,
        {"maximal_heart_rate_bpm": 170, "resting_heart_rate_bpm": 60, "mass_kg": 70},
        [MAXIMAL, REST, MASS],
    ),
    (
        heart_rate.heart_rate_ratio_voutilainen_2020,
        {"maximal_heart_rate_bpm": 170, "resting_heart_rate_bpm": 60, "mass_kg": 70},
        [MAXIMAL, REST, MASS],
    ),
    (
        heart_rate.heart_rate_ratio_line_voutilainen_2020,
        {"maximal_heart_rate_bpm": 170, "resting_heart_rate_bpm": 60, "mass_kg": 70},
        [MAXIMAL, REST, MASS],
    ),
    (heart_rate.heart_rate_index_wicks_2016, {"heart_rate_bpm": 170, "resting_heart_rate_bpm": 60}, [HARD, REST]),
    (
        questionnaire.no_exercise_bmi_jackson_1990,
        {"age_years": 50, "bmi_kg_per_m2": 26, "activity_code": 3, "sex": "F", "mass_kg": 70},
        [("age_years", 20, 70), BMI, ("activity_code", 0, 7), MASS],
    ),
    (
        questionnaire.no_exercise_fat_jackson_1990,
        {"age_years": 50, "fat_percent": 28, "activity_code": 3, "sex": "F", "mass_kg": 70},
        [("age_years", 20, 70), ("fat_percent", 3, 60), ("activity_code", 0, 7), MASS],
    ),
    (
        questionnaire.no_exercise_bradshaw_2005,
        {
            "age_years": 50,
            "bmi_kg_per_m2": 26,
            "perceived_ability": 12,
            "activity_rating": 4,
            "sex": "F",
            "mass_kg": 70,
        },
        [("age_years", 18, 65), BMI, ("perceived_ability", 2, 26), ("activity_rating", 0, 10), MASS],
    ),
    (
        questionnaire.no_exercise_bmi_nes_2011,
        {
            "age_years": 50,
            "height_cm": 170,
            "mass_kg": 70,
            "resting_heart_rate_bpm": 60,
            "activity_index": 8,
            "sex": "M",
        },
        [("age_years", 19, 89), ("height_cm", 120, 230), MASS, REST, ("activity_index", 0, 45)],
    ),
    (
        questionnaire.no_exercise_waist_nes_2011,
        {
            "age_years": 50,
            "waist_cm": 90,
            "resting_heart_rate_bpm": 60,
            "activity_index": 8,
            "sex": "M",
            "mass_kg": 70,
        },
        [("age_years", 19, 89), ("waist_cm", 50, 180), REST, ("activity_index", 0, 45), MASS],
    ),
    (
        questionnaire.no_exercise_jurca_2005,
        {
            "age_years": 50,
            "bmi_kg_per_m2": 26,
            "resting_heart_rate_bpm": 60,
            "activity_level": 3,
            "sex": "M",
            "mass_kg": 70,
        },
        [("age_years", 20, 70), BMI, REST, ("activity_level", 1, 5), MASS],
    ),
    (
        questionnaire.usual_vo2max_myers_2017,
        {"age_years": 50, "mass_kg": 70, "sex": "F"},
        [("age_years", 20, 79), MASS],
    ),
    (
        questionnaire.usual_vo2max_souza_2018,
        {"age_years": 50, "mass_kg": 70, "height_cm": 170, "sex": "F", "mode": "cycle"},
        [("age_years", 20, 79), MASS, ("height_cm", 120, 230)],
    ),
]
