"""How long the arithmetic of a recording and of a whole practice takes, against an empty Python loop."""

import timeit

import numpy as np
import pytest

from app.physiology import load_series
from app.physiology import w_balance as balance
from app.physiology.even_effort import NODES, Rounds, even_efforts
from app.physiology.repetitions import repetition_figures

SECONDS = 3 * 3600
CLIENTS, DAYS = 500, 5 * 365 + 1
LARGEST_RATIO = 3

RANDOM = np.random.default_rng(4)
POWERS = RANDOM.uniform(0, 500, SECONDS)
STARTS = np.arange(600, SECONDS - 300, 420)
LOADS = np.where(RANDOM.random((CLIENTS, DAYS)) < 0.05, np.nan, RANDOM.integers(0, 900, (CLIENTS, DAYS)))
CAPACITY = {"critical_power_w": 250.0, "w_prime_j": 20_000.0}

OVER_A_RECORDING = {
    "differential": lambda: balance.w_balance_differential_skiba_2015(powers_w=POWERS, **CAPACITY),
    "integral": lambda: balance.w_balance_integral_skiba_2012(powers_w=POWERS, tau_s=500, **CAPACITY),
    "half-time": lambda: balance.w_balance_half_time_ferguson_2010(powers_w=POWERS, **CAPACITY),
    "round figures": lambda: repetition_figures(samples=POWERS, starts=STARTS, ends=STARTS + 240),
}
OVER_A_PRACTICE = {
    "weekly loads": lambda: load_series.weekly_loads(LOADS),
    "monotonies": lambda: load_series.monotonies(LOADS),
    "strains": lambda: load_series.strains(LOADS),
    "rolling means": lambda: load_series.rolling_means(LOADS, days=28),
    "coupled ratios": lambda: load_series.coupled_ratios(LOADS),
    "uncoupled ratios": lambda: load_series.uncoupled_ratios(LOADS),
    "exponential averages": lambda: load_series.exponential_averages(LOADS, days=28),
}


def empty_loop(times):
    for _ in range(times):
        pass


def fastest(call, number=10):
    """Seconds of one call: the least disturbed of many."""
    return min(timeit.repeat(call, number=number, repeat=15)) / number


@pytest.mark.parametrize("name", OVER_A_RECORDING)
def test_three_hours_at_one_sample_a_second(name):
    loop = fastest(lambda: empty_loop(SECONDS))

    ratio = fastest(OVER_A_RECORDING[name]) / loop

    print(f"\n{name}: {ratio:.2f} times an empty loop over {SECONDS} samples ({loop * 1e6:.0f} us)")
    assert ratio <= LARGEST_RATIO


def test_a_day_and_more_costs_as_much_a_sample_as_an_hour():
    day = RANDOM.uniform(0, 500, 30 * 3600)
    hour_s = fastest(lambda: balance.w_balance_differential_skiba_2015(powers_w=day[:3600], **CAPACITY))

    day_s = fastest(lambda: balance.w_balance_differential_skiba_2015(powers_w=day, **CAPACITY), number=2)

    print(f"\n30 hours: {day_s / hour_s / 30:.2f} times an hour of them")
    assert day_s <= LARGEST_RATIO * 30 * hour_s


@pytest.mark.parametrize("name", OVER_A_PRACTICE)
def test_five_years_of_500_clients_in_one_call(name):
    loop = fastest(lambda: empty_loop(CLIENTS * DAYS), number=1)

    taken = timeit.timeit(OVER_A_PRACTICE[name], number=1)

    print(f"\n{name}: {taken * 1e3:.0f} ms, {taken / loop:.2f} times an empty loop over {CLIENTS * DAYS} days")
    assert OVER_A_PRACTICE[name]().shape == LOADS.shape


def test_an_even_power_with_its_range_for_500_clients_in_one_call():
    rounds = Rounds(count=4, work_s=240, recovery_s=240)
    clients = {
        "critical": RANDOM.uniform(150, 300, CLIENTS),
        "capacity": RANDOM.uniform(9000, 22_000, CLIENTS),
        "recovery": RANDOM.uniform(40, 110, CLIENTS),
        "critical_se": RANDOM.uniform(2, 6, CLIENTS),
        "capacity_se": RANDOM.uniform(600, 1500, CLIENTS),
        "correlation": RANDOM.uniform(-0.95, -0.6, CLIENTS),
    }
    # A sample is one round or one recovery of one client at one place of the quadrature.
    samples = CLIENTS * NODES * (2 * rounds.count - 1)
    powers = RANDOM.uniform(0, 500, samples)
    one_pass = fastest(lambda: balance.w_balance_differential_skiba_2015(powers_w=powers, **CAPACITY))

    def solved():
        return even_efforts(**clients, rounds=rounds, reserve_fraction=0.3, model=balance.RecoveryModel.DIFFERENTIAL)

    ratio = fastest(solved) / one_pass

    print(f"\n{CLIENTS} clients: {ratio:.2f} times one pass over {samples} samples ({one_pass * 1e3:.2f} ms)")
    assert np.isfinite(solved().low).all()
    assert ratio <= LARGEST_RATIO
