"""The power offered for rounds: the lowest form, under a ceiling, with every form shown."""

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.cli import main
from app.coaching.even_power_proposal import proposed_even_power
from app.physiology.even_targets import even_power_for_reserve
from app.physiology.values import OutOfRange
from app.physiology.w_balance import RecoveryModel

RIDER = {"critical_power_w": 250.0, "w_prime_j": 20_000.0, "recovery_power_w": 100.0}
FOUR = {"rounds": 4, "work_s": 240.0, "recovery_s": 240.0}
SHORT_REST = {"rounds": 6, "work_s": 240.0, "recovery_s": 120.0}


def test_every_form_is_shown_with_what_it_gives():
    found = proposed_even_power(**RIDER, **FOUR)

    alone = [
        even_power_for_reserve(**RIDER, **FOUR, reserve_fraction=0.3, model=model).value for model in RecoveryModel
    ]
    assert [one.model for one in found.forms] == list(RecoveryModel)
    assert [one.value for one in found.forms] == alone
    assert all(one.says and one.range is None and len(one.reserve_after_rounds) == 4 for one in found.forms)


def test_the_lowest_is_proposed_where_the_ceiling_does_not_hold_it():
    found = proposed_even_power(**RIDER, **SHORT_REST)

    assert found.value == min(one.value for one in found.forms)
    assert found.value < found.ceiling == pytest.approx(280)
    assert "lowest" in found.decided_by


def test_few_rounds_are_held_at_112_percent_of_critical_power():
    found = proposed_even_power(**RIDER, **{**FOUR, "rounds": 2})

    assert min(one.value for one in found.forms) > 280
    assert found.value == found.ceiling == pytest.approx(280)
    assert "112 %" in found.decided_by


def test_own_rounds_that_show_more_lift_the_ceiling_to_what_they_showed():
    found = proposed_even_power(**RIDER, **{**FOUR, "rounds": 1}, shown_by_own_rounds_w=290)

    assert found.value == found.ceiling == 290
    assert "have shown" in found.decided_by


@pytest.mark.parametrize("shown_w", [200, 280])
def test_own_rounds_that_show_less_change_nothing(shown_w):
    two = {**RIDER, **FOUR, "rounds": 2}

    assert proposed_even_power(**two, shown_by_own_rounds_w=shown_w) == proposed_even_power(**two)


def test_a_first_session_stays_within_103_percent_whatever_was_shown():
    found = proposed_even_power(**RIDER, **FOUR, is_first_session=True, shown_by_own_rounds_w=300)

    assert found.value == pytest.approx(257.5)
    assert "103 %" in found.decided_by


def test_a_form_beyond_its_reach_is_shown_with_its_reason_and_not_counted():
    # Within a round the integral form gives back so much that it alone passes its reach.
    found = proposed_even_power(**RIDER, **{**FOUR, "rounds": 1, "work_s": 125}, reserve_fraction=0)

    by_model = {one.model: one for one in found.forms}
    assert by_model[RecoveryModel.INTEGRAL].value is None
    assert "2 min" in by_model[RecoveryModel.INTEGRAL].says
    assert found.value == pytest.approx(280)


def test_no_form_no_power_and_it_says_why():
    found = proposed_even_power(**{**RIDER, "recovery_power_w": 260.0}, **FOUR)

    assert found.value is None
    assert "nothing comes back" in found.decided_by


def test_the_errors_of_the_fit_give_every_form_its_range():
    found = proposed_even_power(**RIDER, **FOUR, critical_power_se_w=4, w_prime_se_j=1500, correlation=-0.8)

    assert all(one.range[0] < one.value < one.range[1] for one in found.forms)


@given(st.integers(1, 8), st.floats(130, 600), st.floats(30, 600), st.floats(0, 0.9), st.booleans())
def test_it_never_passes_the_ceiling_nor_any_form(rounds, work_s, recovery_s, reserve, first):
    found = proposed_even_power(
        **RIDER,
        rounds=rounds,
        work_s=work_s,
        recovery_s=recovery_s,
        reserve_fraction=reserve,
        is_first_session=first,
    )

    assert found.value <= found.ceiling
    assert all(one.value is None or found.value <= one.value for one in found.forms)


@pytest.mark.parametrize("shown_w", [0, 2501])
def test_a_shown_power_outside_is_refused(shown_w):
    with pytest.raises(OutOfRange):
        proposed_even_power(**RIDER, **FOUR, shown_by_own_rounds_w=shown_w)


def test_the_command_line_tells_the_proposal(capsys):
    words = (
        "proposed_even_power critical_power_w=250 w_prime_j=20000 rounds=2 work_s=240 recovery_s=240 "
        "recovery_power_w=100 --json"
    )
    assert main(["workings", *words.split()]) == 0

    told = json.loads(capsys.readouterr().out)
    assert told["value"] == pytest.approx(280)
    assert [one["model"] for one in told["forms"]] == ["differential", "integral", "conservative"]
