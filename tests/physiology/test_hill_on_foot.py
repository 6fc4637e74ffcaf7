"""The hill a round needs on foot: published costs turned round, two opinions, and the way back."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.gradient_cost import equal_effort_pace_minetti_2002
from app.physiology.hill_on_foot import hill_for_round_on_foot
from app.physiology.oxygen_cost import Gait, vo2_running_bushman_2020, vo2_walking_bushman_2020
from app.physiology.values import OutOfRange
from tests.physiology.adapters.reading import first_number
from tests.physiology.reference_rows import rows

WALK = {"gait": Gait.WALK, "vo2_ml_per_kg_min": 25.0, "work_s": 240.0, "slope": 0.08}
RUN = {"gait": Gait.RUN, "vo2_ml_per_kg_min": 42.0, "work_s": 240.0, "slope": 0.05}
COSTS = {Gait.WALK: vo2_walking_bushman_2020, Gait.RUN: vo2_running_bushman_2020}


@pytest.mark.parametrize(("key", "gait"), [("RUN-26", Gait.RUN), ("RUN-27", Gait.WALK)])
def test_a_published_cost_gives_its_published_speed_back(key, gait):
    row = next(row for row in rows() if row.id == key)

    found = hill_for_round_on_foot(
        gait=gait, vo2_ml_per_kg_min=float(row.expected), work_s=60, slope=float(row.inputs["grade"])
    )

    assert found.value == pytest.approx(first_number(row.inputs["speed"]), rel=1e-3)
    assert found.speed_m_per_min == found.by_oxygen_m == found.value


@given(st.floats(55, 130), st.floats(0, 0.12), st.sampled_from(Gait))
def test_the_length_is_where_the_cost_is_met(walked, slope, gait):
    speed = {Gait.WALK: walked, Gait.RUN: 2 * walked}[gait]

    found = hill_for_round_on_foot(
        gait=gait, vo2_ml_per_kg_min=COSTS[gait](speed, slope).value, work_s=240, slope=slope
    )

    assert found.value == pytest.approx(speed * 4)


UPHILL = [row for row in rows() if row.topic == "running energy cost" and float(row.inputs["gradient"]) >= 0]


@pytest.mark.parametrize("row", UPHILL, ids=lambda row: row.id)
def test_the_second_opinion_rests_on_the_published_cost_of_a_metre(row):
    found = hill_for_round_on_foot(**{**RUN, "slope": float(row.inputs["gradient"]), "work_s": 60})

    assert found.by_energy_m * float(row.expected) == pytest.approx((42 - 3.5) * 5 * 4.184, rel=2e-3)


def test_uphill_the_second_opinion_slows_down_as_the_pace_of_equal_effort():
    flat, up = (hill_for_round_on_foot(**{**RUN, "slope": slope}).by_energy_m for slope in (0.0, 0.06))

    row = next(row for row in rows() if row.topic == "equal-effort pace")
    pace = float(row.inputs["flat_pace_s_per_km"])
    assert flat / up == pytest.approx(float(row.expected) / pace, abs=1e-3)
    assert flat / up == pytest.approx(equal_effort_pace_minetti_2002(flat_pace_s_per_km=pace, slope=0.06) / pace)


@pytest.mark.parametrize("round_", [WALK, RUN], ids=["walk", "run"])
def test_the_range_holds_both_opinions(round_):
    found = hill_for_round_on_foot(**round_)

    assert found.range == (min(found.by_oxygen_m, found.by_energy_m), max(found.by_oxygen_m, found.by_energy_m))
    assert found.by_oxygen_m == pytest.approx(found.by_energy_m, rel=0.35)


def test_climb_pace_and_the_way_back_follow_from_the_length():
    found = hill_for_round_on_foot(**WALK, recovery_s=300)

    assert found.climb_m == pytest.approx(found.value * math.sin(math.atan(0.08)))
    assert found.pace_s_per_km == pytest.approx(240 * 1000 / found.value)
    assert found.back_s == pytest.approx(found.value / 80 * 60)
    assert found.back_fits is True


def test_a_short_recovery_does_not_hold_the_way_back():
    assert hill_for_round_on_foot(**RUN, recovery_s=120).back_fits is False
    assert hill_for_round_on_foot(**RUN).back_fits is None


@given(st.floats(0, 0.05), st.floats(0.005, 0.02))
def test_a_steeper_hill_is_a_shorter_one(slope, steeper):
    usual, steep = (hill_for_round_on_foot(**{**RUN, "slope": s}) for s in (slope, slope + steeper))

    assert steep.value < usual.value
    assert steep.by_energy_m < usual.by_energy_m


def test_what_must_be_said_of_a_quick_walk_is_said():
    notes = hill_for_round_on_foot(**{**WALK, "slope": 0.02, "vo2_ml_per_kg_min": 18.5}).notes

    assert any("truly a walk" in note for note in notes)
    assert any("talk test" in note for note in notes)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *(("work_s", value) for value in (9, 1201)),
        *(("slope", value) for value in (-0.01, 0.41)),
        *(("vo2_ml_per_kg_min", value) for value in (3, 101, 90)),
        *(("recovery_s", value) for value in (4, 3601)),
        *(("back_speed_m_per_min", value) for value in (19, 135)),
    ],
)
def test_values_outside_are_refused(name, value):
    with pytest.raises(OutOfRange):
        hill_for_round_on_foot(**{**WALK, name: value})


def test_a_cost_that_no_walk_reaches_is_refused_with_the_speed_it_would_take():
    with pytest.raises(OutOfRange, match="walking speed this takes"):
        hill_for_round_on_foot(**{**WALK, "slope": 0.0})
