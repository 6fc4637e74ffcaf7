"""A target in the client's words: one or two sentences, and a line for each round of a run."""

from __future__ import annotations

import pytest

from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_words import round_lines, short_target, target_words
from tests.coaching.test_session_target import LADDER, POWER, WHY


def target(form: TargetForm, value: float | None = None, low: float | None = None, high: float | None = None):
    return SessionTarget(form, value, low, high, (), None, "typed", WHY)


@pytest.mark.parametrize(
    ("one", "says"),
    [
        (target(TargetForm.EFFORT, 6.0), "from effort 4 to 6, never above 8"),
        (target(TargetForm.HEART_RATE, None, 136.0, 147.0), "between 136 and 147 in the last 90 seconds"),
        (POWER, "Hold 260 W in each round, flat from start to end. Between 250 and 270 is fine."),
        (LADDER, "each a little quicker than the one before, from 5:09 to 4:57 a km"),
        (target(TargetForm.PACE, 300.0), "5:00 a km"),
        (target(TargetForm.INCLINE, 6.0), "Incline 6 %. Speed stays as it is"),
        (target(TargetForm.POOL, 150.0), "Swim 150 m in each round"),
    ],
    ids=lambda one: one.form.value if isinstance(one, SessionTarget) else "",
)
def test_each_form_says_what_to_aim_for(one, says):
    assert says in " ".join(target_words(one, 240))


def test_a_heart_rate_target_on_rounds_too_short_for_it_says_effort():
    words = " ".join(target_words(target(TargetForm.HEART_RATE, None, 136.0, 147.0), 60))

    assert "136" not in words
    assert "effort" in words


@pytest.mark.parametrize(
    ("form", "says"),
    [
        (TargetForm.POWER, "270 W at once, a tenth less"),
        # 300 s a km at a tenth less speed are 333.
        (TargetForm.PACE, "about 35 seconds a kilometre slower, a tenth less speed"),
        (TargetForm.EFFORT, "clearly easier at once"),
    ],
)
def test_a_target_comes_with_what_to_do_when_it_is_wrong_in_its_own_unit(form, says):
    assert says in " ".join(target_words(target(form, 7.0 if form is TargetForm.EFFORT else 300.0), 240))


def test_a_ladder_by_the_mile_has_a_line_and_lap_splits_for_each_round():
    lines = round_lines(LADDER, 3, 450)

    assert [(one.number, one.pace, one.distance) for one in lines] == [
        (1, "5:09 a km", "1 mile"),
        (2, "5:00 a km", "1 mile"),
        (3, "4:57 a km", "1 mile"),
    ]
    assert lines[1].time == "8:03"
    assert [round(one.time_s) for one in lines[1].splits] == [120, 240, 360, 480, 483]


def test_rounds_by_time_say_about_how_far_they_go():
    one = round_lines(target(TargetForm.PACE, 300.0), 2, 240)[1]

    assert (one.distance, one.time) == ("about 800 m", "4:00")
    assert [split.distance_m for split in one.splits] == [400]


def test_short_rounds_are_split_every_hundred_metres():
    one = round_lines(target(TargetForm.PACE, 300.0), 1, 60)[0]

    assert [split.distance_m for split in one.splits] == [100]


def test_only_runs_have_lines():
    assert round_lines(POWER, 4, 240) == ()


def test_a_table_has_room_for_few_words():
    assert short_target(POWER, 240) == "260 W"
    assert short_target(LADDER, 240) == "5:09, 5:00, 4:57 a km"
    assert short_target(target(TargetForm.INCLINE, 6.0), 240) == "incline 6 %"
