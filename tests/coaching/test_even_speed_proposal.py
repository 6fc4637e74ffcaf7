"""The speed offered for rounds: the lowest form, under the ceiling, with every form shown."""

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.even_speed_proposal import proposed_even_speed
from app.physiology.even_targets import even_speed_for_reserve
from app.physiology.values import OutOfRange
from app.physiology.w_balance import RecoveryModel

RUNNER = {"critical_speed_m_per_s": 3.5, "d_prime_m": 180.0, "recovery_speed_m_per_s": 1.8}
FOUR = {"rounds": 4, "work_s": 240.0, "recovery_s": 180.0}


def test_two_forms_are_shown_and_the_lowest_is_proposed():
    found = proposed_even_speed(**RUNNER, **FOUR)

    alone = [
        even_speed_for_reserve(**RUNNER, **FOUR, reserve_fraction=0.3, model=model).value
        for model in (RecoveryModel.DIFFERENTIAL, RecoveryModel.CONSERVATIVE)
    ]
    assert [one.value for one in found.forms] == alone
    assert found.value == min(alone)


def test_a_first_session_stays_within_103_percent():
    found = proposed_even_speed(**RUNNER, **{**FOUR, "rounds": 2}, is_first_session=True)

    assert found.value == found.ceiling == pytest.approx(1.03 * 3.5)
    assert "103 %" in found.decided_by


def test_few_rounds_are_held_at_112_percent():
    found = proposed_even_speed(**{**RUNNER, "d_prime_m": 400.0}, **{**FOUR, "rounds": 1})

    assert found.value == pytest.approx(1.12 * 3.5)


def test_a_recovery_as_fast_as_critical_speed_gives_no_speed():
    found = proposed_even_speed(**{**RUNNER, "recovery_speed_m_per_s": 3.5}, **FOUR)

    assert found.value is None
    assert "must be easier" in found.decided_by


def test_nonsense_is_refused():
    with pytest.raises(OutOfRange):
        proposed_even_speed(**{**RUNNER, "critical_speed_m_per_s": 40}, **FOUR)


@settings(max_examples=40, deadline=None)
@given(st.integers(1, 8), st.floats(0.1, 0.7), st.floats(60, 400))
def test_more_rounds_or_reserve_or_less_rest_never_raise_the_speed(rounds, reserve, rest_s):
    here = proposed_even_speed(**RUNNER, rounds=rounds, work_s=240, recovery_s=rest_s, reserve_fraction=reserve).value
    harder = proposed_even_speed(
        **RUNNER, rounds=rounds + 1, work_s=240, recovery_s=rest_s * 0.8, reserve_fraction=reserve + 0.05
    ).value

    assert harder <= here + 1e-9
