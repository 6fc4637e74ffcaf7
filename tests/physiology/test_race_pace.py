"""Races into each other: there and back, monotone, and root finding as a second opinion."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import race_pace as race
from app.physiology.values import OutOfRange

optimize = pytest.importorskip("scipy.optimize")

INDEXES, DISTANCES = st.floats(25, 80), st.floats(3000, 42_195)


@given(st.floats(900, 6000), st.floats(3000, 21_000), st.floats(3000, 21_000))
def test_to_another_distance_and_back_is_the_same_time(time_s, raced, wanted):
    there = race.race_time_riegel_1981(time_s, raced, wanted).value
    if not 210 <= there <= 13_800:
        return

    assert race.race_time_riegel_1981(there, wanted, raced).value == pytest.approx(time_s)


@given(INDEXES, DISTANCES)
def test_an_index_comes_back_from_its_time(index, distance):
    time = race.race_time_for_index_daniels_gilbert_1979(index, distance).value

    assert race.race_index_daniels_gilbert_1979(distance, time / 60).value == pytest.approx(index)


@given(st.floats(10, 90))
def test_a_speed_comes_back_from_its_cost(vo2):
    speed = race.speed_for_vo2_daniels_gilbert_1979(vo2).value

    assert race.vo2_cost_daniels_gilbert_1979(speed).value == pytest.approx(vo2)


@given(st.tuples(INDEXES, INDEXES), DISTANCES)
def test_a_higher_index_is_never_slower(indexes, distance):
    low, high = sorted(indexes)

    times = [race.race_time_for_index_daniels_gilbert_1979(index, distance).value for index in (high, low)]
    assert times == sorted(times)


@given(st.floats(3.5, 600), st.floats(3.5, 600))
def test_a_longer_race_is_never_run_at_a_larger_share(one, other):
    short, long = sorted((one, other))

    shares = [race.vo2max_fraction_daniels_gilbert_1979(time).value for time in (long, short)]
    assert shares == sorted(shares)


def test_root_finding_finds_the_same_time():
    def off(minutes):
        return race.race_index_daniels_gilbert_1979(10_000, minutes).value - 40

    found = race.race_time_for_index_daniels_gilbert_1979(40, 10_000).value
    assert found == pytest.approx(60 * optimize.brentq(off, 25, 150))


@pytest.mark.parametrize(
    ("wanted", "marks"),
    [(21_097.5, 0), (21_098, 1), (42_195, 1), (800, 1), (100_000, 2)],
)
def test_an_answer_past_what_the_rule_was_drawn_from_is_marked(wanted, marks):
    assert len(race.race_time_riegel_1981(2500, 10_000, wanted).notes) == marks


def test_an_index_past_four_hours_is_marked_and_never_called_a_measured_one():
    inside, past = (race.race_index_daniels_gilbert_1979(42_195, minutes) for minutes in (240, 241))

    assert "not a measured VO2max" in inside.notes[0]
    assert len(past.notes) == len(inside.notes) + 1


@pytest.mark.parametrize(
    "refused",
    [
        lambda: race.race_time_riegel_1981(209, 1000, 5000),
        lambda: race.race_time_riegel_1981(1500, 5000, 700),
        lambda: race.race_time_riegel_1981(1500, 5000, 10_000, 0.9),
        lambda: race.race_index_daniels_gilbert_1979(5000, 3),
        lambda: race.race_index_daniels_gilbert_1979(5000, 400),
        lambda: race.race_time_for_index_daniels_gilbert_1979(19, 5000),
        lambda: race.race_time_for_index_daniels_gilbert_1979(85, 1000),
        lambda: race.speed_for_vo2_daniels_gilbert_1979(4),
    ],
)
def test_what_no_race_is_made_of_is_refused(refused):
    with pytest.raises(OutOfRange):
        refused()
