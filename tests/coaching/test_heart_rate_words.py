"""Planned sessions said without heart rate."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.effort import Band
from app.coaching.heart_rate_words import BY_EFFORT, by_effort, names_heart_rate, session_by_effort
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_shapes import Shape, shape_of
from app.coaching.session_steps import easy_steps, long_steps, standard_loop_steps
from app.coaching.steps import Part, Repeat, Step, flatten, from_json, to_json
from tests import factories as make


@pytest.mark.parametrize(
    "text",
    [
        "Keep your heart rate at 143.",
        "Heart-rate 143 to 148.",
        "143 bpm at most.",
        "HR 143",
        "hr under 143",
        "Stay below 88 % of your measured maximum.",
        "85-92 % of max in the last 90 s.",
        "143 beats a minute.",
        "143 beats per minute",
        "Pulse of 143.",
        "Near your HRmax.",
        "No heart rate above 143.",
    ],
)
def test_texts_that_name_heart_rate(text):
    assert names_heart_rate(text)
    assert by_effort(text, "Chat.") == "Chat."


@pytest.mark.parametrize(
    "text",
    [
        "Walk 1 hr easily.",
        "Talk in whole sentences.",
        "Whole lengths; effort and stroke count, no heart rate.",
        "By talk, without heart rate.",
        "On impulse.",
        "88 % of the hill.",
        "Stop at once for chest, breath or dizziness.",
    ],
)
def test_texts_that_do_not_stay_as_they_are(text):
    assert by_effort(text, "Chat.") == text


def test_the_other_sentences_stay_but_for_a_figure_that_looks_like_a_rate():
    text = "Uphill for 4 min. Hold it at 143-148. Heart rate from the strap; then 150 m flat."

    assert by_effort(text, "By talk.") == "Uphill for 4 min. then 150 m flat. By talk."


def test_the_loop_is_compared_by_distance():
    steps = standard_loop_steps(45, Mode.WALK)
    session = make.planned(
        kind=SessionKind.TEST,
        purpose="Same route, same talk: compare distance and heart rate with last time.",
        steps_json=to_json(steps),
    )

    said = session_by_effort(session)

    assert said.purpose == "Same route, same talk: compare distance with last time."
    assert list(flatten(from_json(said.steps_json)))[1].say.endswith("Note distance.")


@pytest.mark.parametrize(
    ("title", "expected"),
    [
        ("Easy walk, HR under 131", "Easy walk"),
        ("Easy walk (143 bpm)", "Easy walk"),
        ("HR 131", "Easy"),
        ("River loop", "River loop"),
    ],
)
def test_a_title_loses_the_part_about_heart_rate(title, expected):
    assert session_by_effort(make.planned(title=title)).title == expected


def test_every_text_and_step_of_a_session_is_said_by_effort():
    hard = Step(Part.WORK, 240, Band.HARD, "The last 90 s at heart rate 171.")
    rest = Step(Part.RECOVERY, 240, Band.EASY, "Until your pulse is under 117.")
    session = make.planned_hard(
        title="Hill rounds, 171 bpm",
        purpose="Reach 90 % of max.",
        easy_version="30 min walk, HR below 119.",
        reason="Your heart rate was 173 last time.",
        steps_json=to_json((Repeat(4, (hard, rest)), hard)),
    )

    said = session_by_effort(session)

    assert (said.title, said.purpose) == ("Hill rounds", BY_EFFORT[Band.HARD])
    assert (said.easy_version, said.reason) == (BY_EFFORT[Band.EASY], "Changed by your coach.")
    assert {step.say for step in flatten(from_json(said.steps_json))} == {BY_EFFORT[Band.HARD], BY_EFFORT[Band.EASY]}
    assert [step.duration_s for step in flatten(from_json(said.steps_json))] == [240] * 9


@pytest.mark.parametrize(("steps", "shape"), [(easy_steps, Shape.EASY), (long_steps, Shape.LONGEST)])
def test_a_session_without_heart_rate_is_the_same_value(steps, shape):
    session = make.planned(minutes=45, steps_json=to_json(steps(45, Mode.WALK)))

    assert session_by_effort(session) == session
    assert shape_of(session_by_effort(session)) is shape


def test_steps_that_cannot_be_read_are_left():
    assert session_by_effort(make.planned(steps_json="[1]")).steps_json == "[1]"


PIECES = st.sampled_from(
    [
        "Heart rate 143.",
        "Easy walk.",
        "HR 151 or so",
        "no heart rate",
        "distance and heart rate",
        "pulse",
        "145",
        "\n",
    ]
)


@given(st.lists(PIECES, max_size=6).map(" ".join))
def test_what_is_said_never_names_heart_rate_and_saying_it_twice_changes_nothing(text):
    said = by_effort(text, BY_EFFORT[Band.EASY])

    assert not names_heart_rate(said)
    assert "143" not in said
    assert "151" not in said
    assert by_effort(said, BY_EFFORT[Band.EASY]) == said
