"""Every limit that a docstring names: the limit itself is let in, the next number beyond it is refused."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

import pytest

from app.physiology import (
    change,
    critical_power,
    critical_power_three,
    critical_speed,
    load,
    load_averages,
    load_series,
    percent_change,
    w_balance,
)
from app.physiology.values import OutOfRange


@dataclass(frozen=True)
class Limit:
    """One argument of a function, its limits, and other arguments it can be called with."""

    function: Callable[..., object]
    name: str
    low: float
    high: float
    others: Mapping[str, object]
    #: For a series: what stands behind the value.
    behind: tuple[float, ...] = ()
    #: What comes after a whole number; nothing for the next number of the machine.
    step: float | None = None

    def call(self, value: float) -> object:
        given = (value, *self.behind) if self.behind else value
        return self.function(**{**self.others, self.name: given})

    def __str__(self) -> str:
        return f"{self.function.__name__}-{self.name}"


CAPACITY = {"critical_power_w": 200.0, "w_prime_j": 15_000.0}
TRIALS = {"durations_s": (180.0, 420.0, 900.0), "powers_w": (300.0, 260.0, 240.0)}
FITS = (
    critical_power.critical_power_work_time_moritani_1981,
    critical_power.critical_power_inverse_time_moritani_1981,
    critical_power.critical_power_hyperbola_monod_1965,
)
THREE = {**CAPACITY, "p_max_w": 900.0, "power_w": 400.0}
SHORT_TRIALS = {"durations_s": (60.0, 180.0, 420.0, 900.0), "powers_w": (420.0, 300.0, 260.0, 240.0)}
SWIMS = {"short_m": 200.0, "short_s": 150.0, "long_m": 400.0, "long_s": 320.0}
RUN = {"critical_speed_m_per_s": 4.0, "d_prime_m": 200.0, "distance_m": 2400.0}
RECORDING = {**CAPACITY, "powers_w": (250.0, 100.0)}
BALANCES = (w_balance.w_balance_differential_skiba_2015, w_balance.w_balance_half_time_ferguson_2010)
INTEGRAL = {**RECORDING, "tau_s": 400.0}
WEEKLY = (
    load.weekly_load_foster_1998,
    load.monotony_sample_foster_1998,
    load.monotony_population_foster_1998,
    load.strain_foster_1998,
)
SIX_DAYS = (0.0, 300.0, 0.0, 240.0, 0.0, 600.0)
MONTH = (100.0,) * 27
RATIOS = (
    load_averages.acute_against_chronic_coupled_windt_2019,
    load_averages.acute_against_chronic_uncoupled_windt_2019,
    load_averages.acute_against_chronic_exponential_williams_2017,
)
TESTS = {"typical_error": 2.0, "tests_before": 1, "tests_after": 1}
PAIR = {"before": 300.0, "after": 310.0}


def repeat_of_chorley(name: str, low: float, high: float) -> Limit:
    return Limit(w_balance.recovered_percent_chorley_2022, name, low, high, {"rest_s": 60.0})


LIMITS = (
    *(Limit(fit, "durations_s", 120, 1200, TRIALS, (420.0, 900.0)) for fit in FITS),
    *(Limit(fit, "powers_w", 1, 2500, TRIALS, (260.0, 240.0)) for fit in FITS),
    Limit(critical_power.power_for_time_monod_1965, "critical_power_w", 1, 2500, CAPACITY | {"duration_s": 300.0}),
    Limit(critical_power.power_for_time_monod_1965, "w_prime_j", 1, 100_000, CAPACITY | {"duration_s": 300.0}),
    Limit(critical_power.power_for_time_monod_1965, "duration_s", 120, 1200, CAPACITY),
    Limit(critical_power.time_for_power_monod_1965, "power_w", 0, 2500, CAPACITY),
    Limit(critical_power.time_for_power_monod_1965, "critical_power_w", 1, 2500, CAPACITY | {"power_w": 300.0}),
    Limit(critical_power.time_for_power_monod_1965, "w_prime_j", 1, 100_000, CAPACITY | {"power_w": 300.0}),
    Limit(
        critical_power.power_for_repetition_monod_1965, "repetition_s", 10, 1200, CAPACITY | {"spent_fraction": 0.5}
    ),
    Limit(critical_power.power_for_repetition_monod_1965, "spent_fraction", 0, 1, CAPACITY | {"repetition_s": 180.0}),
    Limit(
        critical_power_three.time_for_power_morton_1996,
        "critical_power_w",
        1,
        300,
        THREE | {"p_max_w": 300.0, "power_w": 250.0},
    ),
    Limit(critical_power_three.time_for_power_morton_1996, "w_prime_j", 1, 100_000, THREE),
    Limit(critical_power_three.time_for_power_morton_1996, "p_max_w", 400, 3000, THREE),
    Limit(critical_power_three.time_for_power_morton_1996, "power_w", 0, 900, THREE),
    Limit(
        critical_power_three.critical_power_morton_1996, "durations_s", 10, 1200, SHORT_TRIALS, (180.0, 420.0, 900.0)
    ),
    Limit(critical_power_three.critical_power_morton_1996, "powers_w", 1, 2500, SHORT_TRIALS, (300.0, 260.0, 240.0)),
    Limit(
        critical_speed.critical_speed_galbraith_2014,
        "distances_m",
        1,
        10_000,
        {"durations_s": (240.0, 500.0)},
        (2400.0,),
    ),
    Limit(
        critical_speed.critical_speed_galbraith_2014,
        "durations_s",
        120,
        1200,
        {"distances_m": (1200.0, 2400.0)},
        (500.0,),
    ),
    *(
        Limit(function, name, 50, 10_000, SWIMS)
        for function in (
            critical_speed.critical_speed_swimming_wakayoshi_1992,
            critical_speed.d_prime_swimming_wakayoshi_1992,
        )
        for name in ("short_m", "long_m")
    ),
    Limit(critical_speed.critical_speed_swimming_wakayoshi_1992, "short_s", 120, 1200, SWIMS),
    Limit(critical_speed.critical_speed_swimming_wakayoshi_1992, "long_s", 120, 1200, SWIMS),
    Limit(critical_speed.pace_per_100_m, "speed_m_per_s", 0.1, 12, {}),
    Limit(critical_speed.time_for_distance_galbraith_2014, "critical_speed_m_per_s", 0.1, 12, RUN),
    Limit(critical_speed.time_for_distance_galbraith_2014, "d_prime_m", 0, 2000, RUN),
    Limit(critical_speed.time_for_distance_galbraith_2014, "distance_m", 1, 10_000, RUN),
    *(Limit(form, "powers_w", 0, 2500, RECORDING, (100.0,)) for form in BALANCES),
    *(Limit(form, "critical_power_w", 1, 2500, RECORDING) for form in BALANCES),
    *(Limit(form, "w_prime_j", 1, 100_000, RECORDING) for form in BALANCES),
    *(Limit(form, "step_s", 0.001, 3600, RECORDING) for form in BALANCES),
    *(Limit(form, "start_j", -100_000, 15_000, RECORDING) for form in BALANCES),
    Limit(w_balance.w_balance_integral_skiba_2012, "tau_s", 10, 2000, INTEGRAL),
    Limit(w_balance.w_balance_integral_skiba_2012, "step_s", 0.001, 3600, INTEGRAL),
    Limit(w_balance.recovery_tau_skiba_2012, "below_critical_power_w", 0, 1000, {}),
    Limit(w_balance.recovery_tau_bartram_2018, "below_critical_power_w", 10, 1000, {}),
    Limit(w_balance.mean_power_below_w, "powers_w", 0, 2500, {"critical_power_w": 200.0}, (100.0,)),
    Limit(w_balance.mean_power_below_w, "critical_power_w", 1, 2500, {"powers_w": (0.0, 100.0)}),
    Limit(w_balance.recovered_percent_chorley_2022, "rest_s", 0, 3600, {}),
    repeat_of_chorley("fast_percent", 0, 100),
    repeat_of_chorley("slow_percent", 0, 100),
    repeat_of_chorley("fast_tau_s", 1, 2000),
    repeat_of_chorley("slow_tau_s", 1, 2000),
    Limit(load.session_load_foster_2001, "effort", 0, 10, {"minutes": 60.0}),
    Limit(load.session_load_foster_2001, "minutes", 0, 1440, {"effort": 4.0}),
    Limit(load.day_load_foster_2001, "session_loads_au", 0, 20_000, {}, (100.0,)),
    *(Limit(function, "daily_load_au", 0, 20_000, {}, SIX_DAYS) for function in WEEKLY),
    *(Limit(function, "daily_load_au", 0, 20_000, {}, MONTH) for function in RATIOS),
    Limit(load_averages.coupled_from_uncoupled_lolli_2019, "uncoupled", 0, 1000, {}),
    Limit(load_averages.exponential_weight_williams_2017, "days", 1, 365, {}),
    Limit(load_averages.exponential_half_life_days, "days", 1.001, 365, {}),
    Limit(load_averages.exponential_average_williams_2017, "days", 1, 365, {"daily_load_au": (100.0, 0.0)}),
    Limit(load_averages.longest_session_change_frandsen_2025, "today", 0, 20_000, {"earlier_days": (60.0,) * 30}),
    Limit(load_series.rolling_means, "days", 1, 365, {"daily_load_au": SIX_DAYS}, step=1),
    Limit(load_series.weekly_loads, "daily_load_au", 0, 20_000, {}, SIX_DAYS),
    Limit(load_series.exponential_averages, "days", 1, 365, {"daily_load_au": SIX_DAYS}),
    Limit(load_series.weighted_averages, "weight", 0, 1, {"daily_load_au": SIX_DAYS}),
    Limit(change.typical_error_weir_2005, "differences", -1e6, 1e6, {}, (2.0,)),
    Limit(change.typical_error_from_percent, "value", math.ulp(0), 1e6, {"error_percent": 5.0}),
    Limit(change.typical_error_from_percent, "error_percent", math.ulp(0), 50, {"value": 45.0}),
    Limit(change.typical_error_vickers_2003, "vo2max_ml_per_kg_min", 10, 90, {}),
    Limit(change.typical_error_from_retest, "retest_see", math.ulp(0), 1e6, {"correlation": 0.9}),
    Limit(change.typical_error_from_retest, "correlation", 0, 1, {"retest_see": 2.0}),
    Limit(change.typical_error_twelve_minute_run_alvero_2017, "typical_error_m", math.ulp(0), 500, {}),
    Limit(change.smallest_clear_change_weir_2005, "z", 0.1, 5, TESTS),
    Limit(change.smallest_clear_change_weir_2005, "typical_error", math.ulp(0), 1e6, TESTS),
    Limit(change.smallest_clear_change_weir_2005, "tests_before", 1, 20, TESTS, step=1),
    Limit(change.smallest_clear_change_weir_2005, "tests_after", 1, 20, TESTS, step=1),
    Limit(change.chance_of_true_change_weir_2005, "observed_change", -1e6, 1e6, TESTS),
    Limit(change.chance_of_true_change_weir_2005, "wanted_change", -1e6, 1e6, TESTS | {"observed_change": 3.0}),
    Limit(percent_change.change_percent, "before", 0, 1e6, PAIR),
    Limit(percent_change.change_percent, "after", 0, 1e6, PAIR),
    Limit(percent_change.response_montero_2017, "typical_error_percent", 0.1, 50, PAIR),
)


@pytest.mark.parametrize("limit", LIMITS, ids=str)
def test_both_limits_are_let_in(limit):
    limit.call(limit.low)
    limit.call(limit.high)


@pytest.mark.parametrize("limit", LIMITS, ids=str)
def test_the_next_number_below_is_refused(limit):
    below = math.nextafter(limit.low, -math.inf) if limit.step is None else limit.low - limit.step

    with pytest.raises(OutOfRange):
        limit.call(below)


@pytest.mark.parametrize("limit", LIMITS, ids=str)
def test_the_next_number_above_is_refused(limit):
    above = math.nextafter(limit.high, math.inf) if limit.step is None else limit.high + limit.step

    with pytest.raises(OutOfRange):
        limit.call(above)
