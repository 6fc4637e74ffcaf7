"""Ladders of running rounds: the shares of the 5-km pace, miles, splits, and what is refused."""

from __future__ import annotations

import csv
from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching import ladders
from app.physiology.units import MILE_M
from app.physiology.values import Missing, OutOfRange

#: 25:00 over 5 km: 300 s a kilometre.
TIME_S = 1500.0
REFERENCE = Path(__file__).parents[1] / "reference" / "load_intervals_readiness.csv"


def reference(row_id: str) -> tuple[float, float]:
    """The expected value of a reference row and how near it must be met."""
    rows = csv.DictReader(REFERENCE.read_text(encoding="utf-8").splitlines())
    found = next(row for row in rows if row["id"] == row_id)
    return float(found["expected"]), float(found["tolerance"])


def test_four_rounds_are_run_at_103_100_99_and_98_percent():
    assert ladders.percent_ladder(five_km_time_s=TIME_S, rounds=4) == pytest.approx((309, 300, 297, 294))


@pytest.mark.parametrize(
    ("rounds", "fractions"),
    [(1, (1.03,)), (2, (1.03, 1.0)), (3, (1.03, 1.0, 0.99)), (6, (1.03, 1.0, 0.995, 0.99, 0.985, 0.98))],
)
def test_fewer_rounds_leave_out_the_quickest_and_more_spread_the_way(rounds, fractions):
    assert ladders.ladder_fractions(rounds) == pytest.approx(fractions)


def test_a_first_session_begins_15_seconds_slower_and_ends_at_5_km_pace():
    assert ladders.first_session_ladder(five_km_time_s=TIME_S, rounds=4) == pytest.approx((315, 310, 305, 300))
    assert ladders.first_session_ladder(five_km_time_s=TIME_S, rounds=1) == pytest.approx((315,))


def test_the_last_mile_is_the_reference_mile_at_5_km_pace():
    expected, tolerance = reference("PACE-18")

    times = ladders.mile_round_times(five_km_time_s=TIME_S, rounds=4)

    assert times[-1] == pytest.approx(expected, abs=tolerance)
    assert [later - earlier for earlier, later in pairwise(times)] == pytest.approx([-5] * 3)


def test_the_first_of_four_miles_is_no_gentler_than_10_km_pace():
    expected, tolerance = reference("PACE-19")

    assert ladders.mile_round_times(five_km_time_s=TIME_S, rounds=4)[0] <= expected + tolerance


def test_a_mile_slower_than_8_30_becomes_six_minutes():
    just_inside = ladders.mile_round_times(five_km_time_s=510 * 5000 / MILE_M, rounds=3)
    refused = ladders.mile_round_times(five_km_time_s=511 * 5000 / MILE_M, rounds=3)

    assert just_inside[-1] == pytest.approx(510)
    assert isinstance(refused, Missing)
    assert "six minutes" in refused.reason


def test_miles_stop_at_eight_kilometres():
    assert len(ladders.mile_round_times(five_km_time_s=1000, rounds=5)) == 5
    refused = ladders.mile_round_times(five_km_time_s=1000, rounds=6)

    assert isinstance(refused, Missing)
    assert "9.7 km" in refused.reason


@pytest.mark.parametrize(("mile_s", "usual"), [(380, 5), (390, 4), (464, 4), (465, 3), (509, 3)])
def test_slower_runners_get_three_miles_and_the_quickest_five(mile_s, usual):
    assert ladders.usual_miles(mile_s * 5000 / MILE_M) == usual


@pytest.mark.parametrize(("mile_s", "walks"), [(509, False), (511, True)])
def test_slow_runners_walk_between_rounds(mile_s, walks):
    assert ladders.walks_between(mile_s * 5000 / MILE_M) is walks


def test_a_mile_is_split_at_each_lap_and_at_its_end():
    found = ladders.splits(300, every_m=400, distance_m=MILE_M)

    assert [one.distance_m for one in found] == pytest.approx([400, 800, 1200, 1600, MILE_M])
    assert [one.time_s for one in found] == pytest.approx([120, 240, 360, 480, 482.8032])


def test_a_round_that_ends_on_a_lap_has_no_split_of_nothing():
    assert [one.distance_m for one in ladders.splits(300, every_m=400, distance_m=800)] == [400, 800]
    assert len(ladders.splits(300, every_m=100, distance_m=800)) == 8


def test_a_round_shorter_than_a_lap_has_its_end_only():
    assert [one.distance_m for one in ladders.splits(300, every_m=400, distance_m=120)] == [120]


@settings(max_examples=50, deadline=None)
@given(st.floats(720, 3600), st.integers(2, ladders.MOST_ROUNDS))
def test_no_round_of_a_ladder_is_slower_than_the_one_before_it(time_s, rounds):
    for made in (ladders.percent_ladder, ladders.first_session_ladder):
        found = made(five_km_time_s=time_s, rounds=rounds)
        assert list(found) == sorted(found, reverse=True)
        assert found[-1] >= 0.98 * time_s / 5 - 1e-6


@settings(max_examples=50, deadline=None)
@given(st.floats(200, 900), st.floats(60, 3000), st.sampled_from((100.0, 400.0)))
def test_splits_rise_and_end_with_the_round(pace, distance_m, every_m):
    found = ladders.splits(pace, every_m=every_m, distance_m=distance_m)

    assert found[-1].distance_m == pytest.approx(distance_m)
    assert found[-1].time_s == pytest.approx(distance_m * pace / 1000)
    assert [one.time_s for one in found] == sorted(one.time_s for one in found)


@pytest.mark.parametrize("time_s", [719, 3601])
def test_a_5_km_time_nobody_runs_is_refused(time_s):
    with pytest.raises(OutOfRange):
        ladders.percent_ladder(five_km_time_s=time_s, rounds=4)


@pytest.mark.parametrize(("seconds", "said"), [(482.8, "8:03"), (59.6, "1:00"), (600, "10:00")])
def test_the_clock_counts_whole_seconds(seconds, said):
    assert ladders.clock(seconds) == said
