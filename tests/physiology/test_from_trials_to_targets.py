"""From trials to targets: a fit of the reference rows goes into the solver with its own errors."""

import numpy as np
import pytest

from app.physiology.critical_power import critical_power_work_time_moritani_1981
from app.physiology.critical_speed import critical_speed_galbraith_2014
from app.physiology.even_targets import even_power_for_reserve, even_speed_for_reserve
from app.physiology.least_squares import correlation_of
from tests.physiology.adapters.reading import numbers
from tests.physiology.reference_rows import rows

ROWS = {row.id: row for row in rows()}


def power_fit(key):
    inputs = ROWS[key].inputs
    return critical_power_work_time_moritani_1981(durations_s=numbers(inputs["t"]), powers_w=numbers(inputs["power"]))


def test_two_trials_come_back_as_single_rounds_without_reserve():
    fit, inputs = power_fit("CP-01"), ROWS["CP-01"].inputs

    found = [
        even_power_for_reserve(
            critical_power_w=fit.critical_power_w,
            w_prime_j=fit.w_prime_j,
            rounds=1,
            work_s=time_s,
            recovery_s=60,
            recovery_power_w=50,
            reserve_fraction=0,
        ).value
        for time_s in numbers(inputs["t"])
    ]

    assert found == pytest.approx(numbers(inputs["power"]))
    assert fit.correlation is None


def test_three_trials_bring_their_errors_and_correlation_into_the_range():
    fit, times = power_fit("CP-10"), np.array(numbers(ROWS["CP-10"].inputs["t"]))
    asked = {
        "critical_power_w": fit.critical_power_w,
        "w_prime_j": fit.w_prime_j,
        "rounds": 1,
        "work_s": 300,
        "recovery_s": 60,
        "recovery_power_w": 50,
        "reserve_fraction": 0,
        "critical_power_se_w": fit.critical_power_error_w,
        "w_prime_se_j": fit.w_prime_error_j,
        "correlation": fit.correlation,
    }

    found = even_power_for_reserve(**asked)

    # The correlation of slope and start of a straight line follows from the times alone.
    assert fit.correlation == pytest.approx(-times.mean() / np.sqrt((times**2).mean()))
    variance = fit.critical_power_error_w**2 + (fit.w_prime_error_j / 300) ** 2 + 2 * fit.covariance_w_j / 300
    assert found.error == pytest.approx(np.sqrt(variance))


def test_three_runs_come_back_as_single_rounds_within_their_misfit():
    inputs = ROWS["CS-01"].inputs
    distances, times = numbers(inputs["distance"]), numbers(inputs["time"])
    fit = critical_speed_galbraith_2014(distances_m=distances, durations_s=times)

    found = [
        even_speed_for_reserve(
            critical_speed_m_per_s=fit.critical_speed_m_per_s,
            d_prime_m=fit.d_prime_m,
            rounds=1,
            work_s=time_s,
            recovery_s=60,
            recovery_speed_m_per_s=1,
            reserve_fraction=0,
            critical_speed_se_m_per_s=fit.critical_speed_error_m_per_s,
            d_prime_se_m=fit.d_prime_error_m,
            correlation=fit.correlation,
        )
        for time_s in times
    ]

    ran = [one.value * time_s for one, time_s in zip(found, times, strict=True)]
    assert ran == pytest.approx([d - m for d, m in zip(distances, fit.distance_misfits_m, strict=True)])
    assert all(one.range[0] < one.value < one.range[1] for one in found)
    assert -1 < fit.correlation < -0.8


@pytest.mark.parametrize(
    ("covariance", "first", "second", "correlation"),
    [(-6.0, 2.0, 4.0, -0.75), (-8.1, 2.0, 4.0, -1.0), (None, 2.0, 4.0, None), (0.0, 0.0, 4.0, None)],
)
def test_a_correlation_stays_within_one_and_is_none_without_errors(covariance, first, second, correlation):
    assert correlation_of(covariance, first, second) == correlation
