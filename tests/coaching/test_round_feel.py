"""How a round should feel: its stretches follow its length, its cue the way of moving."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.people import Mode
from app.coaching.round_feel import round_feel, technique_cue


def whens(work_s: int, mode: Mode = Mode.RUN) -> list[str]:
    return [one.when for one in round_feel(work_s, mode, first_of_phase=False)]


def test_four_minutes_have_a_silly_easy_start_a_third_minute_and_a_last_minute_and_a_half():
    assert whens(240) == [
        "First 30 seconds",
        "Minute 0:30 to 2:00",
        "The third minute",
        "Last 90 seconds",
        "Right after the last",
        "Hold on to",
    ]


def test_eight_minutes_have_a_stretch_between_the_third_minute_and_the_end():
    assert "Minute 3:00 to 6:30" in whens(480)


def test_two_minutes_have_no_third_minute():
    assert whens(120)[:3] == ["First 30 seconds", "The middle", "Last 60 seconds"]


def test_thirty_seconds_are_told_round_by_round():
    assert whens(30)[:3] == ["The first rounds", "The middle rounds", "The last rounds"]


def test_first_sessions_end_a_step_lower():
    first = round_feel(240, Mode.RUN, first_of_phase=True)
    later = round_feel(240, Mode.RUN, first_of_phase=False)

    assert any("effort 6, never above 8" in one.say for one in first)
    assert any("effort 7, never above 8" in one.say for one in later)


@pytest.mark.parametrize(("mode", "dips"), [(Mode.INDOOR_RIDE, True), (Mode.RUN, False)])
def test_the_dip_of_the_third_minute_is_told_where_power_is_seen(mode, dips):
    assert any("dip" in one.say for one in round_feel(240, mode, first_of_phase=False)) is dips


def test_a_swimmer_holds_the_rail_and_nobody_else_does():
    assert "rail" in round_feel(210, Mode.SWIM, first_of_phase=False)[-2].say
    assert "upright and keep moving" in round_feel(210, Mode.ROW, first_of_phase=False)[-2].say


@settings(max_examples=50, deadline=None)
@given(st.integers(10, 1200), st.sampled_from(list(Mode)), st.booleans())
def test_every_round_says_how_it_ends_and_what_to_hold(work_s, mode, first):
    found = round_feel(work_s, mode, first_of_phase=first)

    assert found[-1].say == technique_cue(mode)
    assert len({one.when for one in found}) == len(found)
    assert not any("effort 9" in one.say or "effort 10" in one.say for one in found)
