"""What is measured of a client: fitted from trials, the newest that counts, and too old for a target."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.measured import (
    MODES,
    UNITS,
    WAYS,
    MeasuredKind,
    Trial,
    fit_trials,
    is_too_old,
    newest_measured,
    trials_from_json,
    trials_to_json,
)
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.physiology.values import Missing
from tests import factories as make
from tests.coaching.target_scenes import TODAY, ago, measured

#: On the hyperbola of 250 W and 20 kJ, to the joule.
EXACT = (Trial(180, 250 + 20_000 / 180), Trial(420, 250 + 20_000 / 420), Trial(900, 250 + 20_000 / 900))
POWER, SPEED = MeasuredKind.CRITICAL_POWER, MeasuredKind.CRITICAL_SPEED


def test_trials_on_a_hyperbola_give_it_back_with_no_error_left():
    found = fit_trials(POWER, EXACT)

    assert found.value == pytest.approx(250)
    assert found.capacity == pytest.approx(20_000)
    assert found.value_error == pytest.approx(0, abs=1e-6)
    assert "the three forms of the relation give 250 to 250 W" in found.notes


def test_trials_off_the_line_have_errors_that_go_against_each_other():
    found = fit_trials(POWER, (EXACT[0], Trial(420, 300), EXACT[2]))

    assert found.value_error > 0
    assert found.covariance < 0
    assert max(abs(one) for one in found.misfits) > 0


def test_two_trials_have_no_error_and_say_so():
    found = fit_trials(POWER, EXACT[::2])

    assert found.value_error is None
    assert any("two trials always fit" in one for one in found.notes)


def test_runs_give_critical_speed_and_the_distance_above_it():
    found = fit_trials(SPEED, (Trial(300, 1200 + 150), Trial(600, 2400 + 150), Trial(750, 3000 + 150)))

    assert found.value == pytest.approx(4)
    assert found.capacity == pytest.approx(150)


@pytest.mark.parametrize(
    ("trials", "says"),
    [(EXACT[:1], "Two trials of different length"), ((Trial(60, 400), Trial(600, 280)), "2 to 20 min")],
)
def test_trials_that_fit_no_hyperbola_are_refused_in_words(trials, says):
    with pytest.raises(DomainError, match=says):
        fit_trials(POWER, trials)


def test_power_that_rises_with_time_gives_nothing():
    assert isinstance(fit_trials(POWER, (Trial(180, 200), Trial(600, 260))), Missing)


def test_a_heart_rate_is_not_fitted():
    with pytest.raises(DomainError):
        fit_trials(MeasuredKind.HIGHEST_HEART_RATE, EXACT)


def test_the_newest_counts_and_one_set_aside_does_not():
    old, new = measured(id=1, measured_on=ago(60)), measured(id=2, measured_on=ago(10))
    aside = measured(id=3, measured_on=ago(1), set_aside_at=make.at(TODAY), set_aside_by=1)

    assert newest_measured((old, new, aside), POWER, Mode.INDOOR_RIDE, TODAY) is new
    assert newest_measured((old, new, aside), POWER, Mode.INDOOR_RIDE, ago(20)) is old


def test_riding_shares_its_figures_and_rowing_does_not():
    indoors, outside = measured(id=1, measured_on=ago(5)), measured(id=2, mode=Mode.RIDE, measured_on=ago(50))

    assert newest_measured((indoors,), POWER, Mode.RIDE, TODAY) is indoors
    assert newest_measured((indoors, outside), POWER, Mode.RIDE, TODAY) is outside
    assert newest_measured((indoors,), POWER, Mode.ROW, TODAY) is None


def test_half_a_year_is_the_limit():
    assert not is_too_old(measured(measured_on=TODAY - timedelta(weeks=26)), TODAY)
    assert is_too_old(measured(measured_on=TODAY - timedelta(weeks=26, days=1)), TODAY)


def test_trials_come_back_from_their_text():
    assert trials_from_json(trials_to_json(EXACT)) == EXACT
    with pytest.raises(DomainError):
        trials_from_json('{"a": 1}')


def test_every_kind_has_its_ways_units_and_modes():
    assert set(WAYS) == set(UNITS) == set(MODES) == set(MeasuredKind)
    assert measured().correlation == pytest.approx(-0.75)
