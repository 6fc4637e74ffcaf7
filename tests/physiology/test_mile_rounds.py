"""Rounds of a mile: between 10-km and 5-km pace."""

import itertools

import pytest

from app.physiology import mile_rounds
from app.physiology.values import OutOfRange, WrongLength


def test_the_pace_of_25_minutes_is_5_minutes_a_kilometre():
    assert mile_rounds.five_km_pace(1500) == 300


@pytest.mark.parametrize("rounds", [3, 4, 6])
def test_a_ladder_falls_in_even_steps_from_the_gentle_to_the_quick_end(rounds):
    times = [one.value for one in mile_rounds.mile_ladder(1500, rounds)]

    steps = [before - after for before, after in itertools.pairwise(times)]
    assert len(times) == rounds
    assert times[0] == pytest.approx(503.306, abs=0.2)
    assert times[-1] == pytest.approx(482.803, abs=0.001)
    assert steps == pytest.approx([steps[0]] * len(steps))
    assert steps[0] > 0


@pytest.mark.parametrize("rounds", [2, 7])
def test_a_ladder_of_another_length_is_refused(rounds):
    with pytest.raises(WrongLength, match="3 to 6 rounds"):
        mile_rounds.mile_ladder(1500, rounds)


@pytest.mark.parametrize("time_s", [719, 3601, float("nan")])
def test_a_time_that_is_no_5_km_is_refused(time_s):
    with pytest.raises(OutOfRange, match="Time for 5 km"):
        mile_rounds.five_km_pace(time_s)
