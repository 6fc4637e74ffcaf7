"""What switches heart-rate targets off, and what only makes them uncertain."""

import pytest

from app.physiology.heart_rate_targets import HeartFact, heart_rate_worth

UNCERTAIN = {HeartFact.RAISING_MEDICINE, HeartFact.MAXIMUM_NOT_MEASURED}


def test_with_nothing_against_it_heart_rate_may_steer():
    worth = heart_rate_worth([])

    assert (worth.may_steer, worth.is_uncertain, worth.reasons) == (True, False, ())


@pytest.mark.parametrize("fact", sorted(set(HeartFact) - UNCERTAIN))
def test_a_heart_that_does_not_follow_effort_switches_targets_off(fact):
    worth = heart_rate_worth({fact, HeartFact.MAXIMUM_NOT_MEASURED})

    assert not worth.may_steer
    assert not worth.is_uncertain
    assert len(worth.reasons) == 2


@pytest.mark.parametrize("fact", sorted(UNCERTAIN))
def test_a_guess_or_a_medicine_that_raises_only_makes_it_uncertain(fact):
    worth = heart_rate_worth({fact})

    assert worth.may_steer
    assert worth.is_uncertain
    assert len(worth.reasons) == 1
