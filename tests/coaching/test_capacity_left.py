"""What is left of W' or D' under a set: the worked series, the errors of the fit, and where nothing says it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import numpy as np
import pytest

from app.coaching.capacity_left import capacity_left
from app.coaching.measured import MeasuredKind
from app.coaching.people import Mode
from app.coaching.recordings import Recording, SpeedSource
from app.coaching.round_figures import figures_of_rounds
from app.coaching.rounds import find_rounds
from app.coaching.rounds_values import RoundEdges
from app.physiology.values import Missing
from tests import factories
from tests.seed import TODAY

EDGES = tuple(RoundEdges(600 + 420 * n, 840 + 420 * n) for n in range(4))
CRITICAL = factories.measured()


def worked(scale=1.0) -> np.ndarray:
    """The worked series of tests/reference: 4 rounds of 240 s at 300 W, 180 s at 150 W, after ten minutes easy."""
    return scale * np.concatenate([np.full(600, 110.0), *([np.full(240, 300.0), np.full(180, 150.0)] * 4)])


def powered() -> Recording:
    power = worked()
    return Recording(np.arange(power.size, dtype=float), power_w=power)


def left_under(recording, *measured, mode=Mode.INDOOR_RIDE, day=TODAY):
    rounds = figures_of_rounds(recording, find_rounds(recording, mode=mode, asked=None, by_hand=EDGES), mode=mode)[1]
    return capacity_left(recording, rounds, measured, mode=mode, day=day)


def test_what_is_left_after_each_round_is_that_of_the_worked_series():
    found = left_under(powered(), CRITICAL)

    assert found.after_rounds[0] == pytest.approx(8000 / 20_000, abs=1e-3)
    assert found.left_fraction[840 + 180 - 1] == pytest.approx(15_121 / 20_000, abs=1e-3)
    assert found.after_rounds[3] == found.least_fraction == pytest.approx(331 / 20_000, abs=1e-3)
    assert found.amount_words(found.after_rounds[0]) == "8.0 kJ"


def test_the_form_that_refills_more_slowly_is_told_beside_it():
    """12 kJ a round; of the deficit 2^(-180/234) = 0.5867 is still there after each of three rests."""
    kept = 2 ** (-180 / 234)

    found = left_under(powered(), CRITICAL)

    assert found.careful_least == pytest.approx(1 - 0.6 * (1 + kept + kept**2 + kept**3), abs=1e-3)


def test_the_error_after_the_first_round_is_that_of_the_fit_by_hand():
    """1 - t (P - CP) / W': by CP t / W' = 0.012 a watt, by W' 12000 / W'^2 = 0.00003 a joule, times their errors.

    Four watts and 2000 J with a correlation of -0.75 give sqrt(0.048^2 + 0.06^2 - 2 x 0.75 x 0.048 x 0.06).
    """
    found = left_under(powered(), CRITICAL)

    by_hand = (0.048**2 + 0.06**2 - 2 * 0.75 * 0.048 * 0.06) ** 0.5
    assert found.errors_after[0] == pytest.approx(by_hand, rel=0.02)


def test_without_the_errors_of_the_fit_there_is_no_band():
    found = left_under(powered(), replace(CRITICAL, covariance=None))

    assert found.error_fraction is None
    assert found.errors_after == (None,) * 4


def test_speed_and_d_prime_follow_the_same_equation_as_power():
    """A hundredth of the watts as m/s, and of the joules as m: the shares are the same."""
    speed = worked(0.01)
    recording = Recording(np.arange(speed.size, dtype=float), speed_m_per_s=speed, speed_source=SpeedSource.WHEEL)
    critical = factories.measured(
        MeasuredKind.CRITICAL_SPEED, mode=Mode.RUN, value=2.5, capacity=200.0, value_error=None, covariance=None
    )

    found = left_under(recording, critical, mode=Mode.RUN)

    assert found.name == "D'"
    assert found.after_rounds == pytest.approx(left_under(powered(), CRITICAL).after_rounds, abs=1e-9)
    assert found.amount_words(0.4) == "80 m"


@pytest.mark.parametrize(
    ("recording", "measured", "words"),
    [
        (Recording(np.arange(2280.0), heart_rate_bpm=np.full(2280, 130.0)), (CRITICAL,), "needs power or speed"),
        (powered(), (), "no critical power was measured"),
        (powered(), (replace(CRITICAL, measured_on=TODAY - timedelta(weeks=27)),), "over half a year before"),
        (powered(), (replace(CRITICAL, measured_on=TODAY + timedelta(days=1)),), "no critical power was measured"),
    ],
)
def test_where_nothing_says_it_the_reason_is_told(recording, measured, words):
    found = capacity_left(recording, (), measured, mode=Mode.INDOOR_RIDE, day=TODAY)

    assert isinstance(found, Missing)
    assert words in found.reason
