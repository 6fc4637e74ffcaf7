"""Typed words become sessions and stay what they are; what is missing or unknown is asked about by its word."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape
from app.coaching.shorter import resized
from app.coaching.typed_content import place_of, typed_content, typed_of
from app.coaching.typed_session import (
    MODE_NAMES,
    SHAPE_NAMES,
    TypedRounds,
    TypedSteady,
    day_words,
    parse_day,
    words,
)
from app.coaching.typed_values import NotUnderstood
from tests import factories

STEADY = st.builds(
    TypedSteady,
    minutes=st.integers(1, 600),
    shape=st.sampled_from(sorted(SHAPE_NAMES)),
    mode=st.sampled_from(sorted(MODE_NAMES)),
    is_uphill=st.booleans(),
)
STRENGTH = st.builds(
    TypedSteady, minutes=st.integers(1, 600), shape=st.just(Shape.STRENGTH), mode=st.just(Mode.STRENGTH)
)
ROUNDS = st.builds(
    TypedRounds,
    rounds=st.integers(1, 12),
    work_s=st.integers(1, 240),
    recovery_s=st.integers(1, 1200),
    mode=st.sampled_from(sorted(MODE_NAMES)),
    is_uphill=st.booleans(),
)
MIDDLE_ROUNDS = st.builds(
    TypedRounds,
    rounds=st.integers(2, 12),
    work_s=st.integers(1, 450),
    recovery_s=st.integers(1, 1200),
    mode=st.sampled_from(sorted(MODE_NAMES)),
    is_uphill=st.booleans(),
    band=st.just(Band.MIDDLE),
)
FAR = (
    st.tuples(STEADY, st.integers(100, 300_000), st.sampled_from((Shape.EASY, Shape.LONGEST, Shape.LOOP)))
    .map(lambda one: replace(one[0], distance_m=one[1], shape=one[2]))
    .filter(lambda one: 0.5 <= one.distance_m / one.minutes * 0.06 <= 70)
)
DAYS = st.lists(st.one_of(STEADY, STRENGTH, ROUNDS, MIDDLE_ROUNDS, FAR), max_size=4).map(tuple)


@given(DAYS)
def test_words_of_a_day_give_the_same_day_back(day):
    assert parse_day(day_words(day)) == day


@given(st.text(alphabet="0123456789:x;, hardesywlkmin4", max_size=40))
@example("8 km in 52 easy walk")
def test_whatever_is_typed_is_understood_once_and_for_all_or_refused(text):
    try:
        day = parse_day(text)
    except NotUnderstood:
        return

    assert parse_day(day_words(day)) == day


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("45 easy walk", TypedSteady(45, Shape.EASY, Mode.WALK)),
        ("easy walk 45", TypedSteady(45, Shape.EASY, Mode.WALK)),
        ("1:10 easy ride", TypedSteady(70, Shape.EASY, Mode.RIDE)),
        ("1h10 easy ride", TypedSteady(70, Shape.EASY, Mode.RIDE)),
        ("1.5 h longest walk", TypedSteady(90, Shape.LONGEST, Mode.WALK)),
        ("60 min middle running", TypedSteady(60, Shape.MIDDLE, Mode.RUN)),
        ("40 easy indoor ride", TypedSteady(40, Shape.EASY, Mode.INDOOR_RIDE)),
        ("30 easy treadmill", TypedSteady(30, Shape.EASY, Mode.TREADMILL)),
        ("50 easy uphill walk", TypedSteady(50, Shape.EASY, Mode.WALK, is_uphill=True)),
        ("30 standard loop walk", TypedSteady(30, Shape.LOOP, Mode.WALK)),
        ("Strength 30", TypedSteady(30, Shape.STRENGTH, Mode.STRENGTH)),
        ("4 x 4 min hard, 4 easy, uphill walk", TypedRounds(4, 240, 240, Mode.WALK, is_uphill=True)),
        ("4x4 hard, 4 easy between, run", TypedRounds(4, 240, 240, Mode.RUN)),
        ("10 × 30 s hard, 30 s easy, ride", TypedRounds(10, 30, 30, Mode.RIDE)),
        ("4 x 5 min middle, 2 easy, ride", TypedRounds(4, 300, 120, Mode.RIDE, band=Band.MIDDLE)),
        ("8 km at 6:30 a km easy run", TypedSteady(52, Shape.EASY, Mode.RUN, distance_m=8000)),
        ("8 km at 6:30/km easy run", TypedSteady(52, Shape.EASY, Mode.RUN, distance_m=8000)),
        ("1500 m at 2:40 a 100 m easy swim", TypedSteady(40, Shape.EASY, Mode.SWIM, distance_m=1500)),
        ("20 km at 18 km/h easy ride", TypedSteady(67, Shape.EASY, Mode.RIDE, distance_m=20000)),
        ("6 km easy row at 2:30 per 500 m", TypedSteady(30, Shape.EASY, Mode.ROW, distance_m=6000)),
        ("8,5 km in 1:05 longest run", TypedSteady(65, Shape.LONGEST, Mode.RUN, distance_m=8500)),
        ("1500 metres 40 min easy swim", TypedSteady(40, Shape.EASY, Mode.SWIM, distance_m=1500)),
    ],
)
def test_plain_words_are_understood(typed, meant):
    assert parse_day(typed) == (meant,)


def test_rest_is_a_day_without_sessions_and_two_sessions_are_put_apart():
    assert parse_day(" Rest ") == ()
    assert [words(one) for one in parse_day("45 easy walk; strength 20")] == ["45 easy walk", "strength 20"]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("", "Nothing is written here"),
        ("45 walk", "Say how hard: easy or middle"),
        ("45 easy", "Say how: walk, run"),
        ("easy walk", "Say how long"),
        ("45 easy wlak", "“wlak” is not a word known here"),
        ("45 hard run", "Hard work is written as rounds"),
        ("45 easy middle walk", "“easy middle” does not go together"),
        ("45 easy walk run", "“walk” and “run” are two ways to move"),
        ("45 30 easy walk", "More than one time stands here"),
        ("4 rounds of 4 min", "Rounds are written with an x: write 4 x 4 min hard, 4 min easy, walk."),
        ("4 times 4 min hard run", "Rounds are written with an x: write 4 x 4 min hard, 4 min easy, walk."),
        ("banana sprint lots", "“banana”, “sprint”, “lots” are not words known here; write it such as 45 easy walk."),
        ("45 30 easy wlak", "“wlak” is not a word known here"),
        ("1.5 easy walk", "“1.5” may be minutes or hours"),
        ("45 s easy walk", "whole minutes"),
        ("1:75 easy walk", "is no time"),
        ("11:00 easy walk", "1 to 600 minutes"),
        ("hard strength 30", "“hard” does not go with strength"),
        ("indoor walk 30 easy", "“indoor” goes with indoor ride here"),
        ("rest; 45 easy walk", "“rest” stands alone"),
        ("5 easy walk; 5 easy run; 5 easy row; 5 easy swim; 5 easy ride", "At most 4 sessions"),
        ("4 x 4 min, 4 easy, walk", "Say how hard the rounds are"),
        ("4 x 4 min hard, walk", "Say how long the easy time"),
        ("4 x 4 min hard, 4 off, walk", "Say how long the easy time"),
        ("4 x 4 min hard, 4 easy", "Say how: walk, run"),
        ("4 x 4 min hard, 4 easy, snowy walk", "“snowy” is not a word known here"),
        ("30 x 4 min hard, 4 easy, walk", "1 to 20 rounds"),
        ("20 x 5 min hard, 4 easy, walk", "all rounds together up to 48"),
        ("x 4 min hard", "how many first"),
        ("4 x 5 min middle ride", "Say how long the easy time between"),
        ("3 x 50 min middle, 5 easy, walk", "At middle effort a round takes up to 45 min"),
        ("4 x 400 m hard, 2 easy, run", "“400 m” is a length; rounds are written in time here"),
        ("8 km easy run", "8 km becomes minutes by a pace only; say it, such as 8 km at 6:30 a km easy run"),
        ("1500 metres easy swim", "1500 metres becomes minutes by a pace only"),
        ("1500 m easy swim", "“1500 m” may be minutes or metres"),
        ("8 km at 6:30 easy run", "Say what 6:30 is for"),
        ("8 km 6:30 easy run", "“6:30” may be hours or a pace"),
        ("8 km in 5 easy run", "8 km in that time is 96.0 km/h"),
        ("8 km at 6:30 a mile easy run", "Say what 6:30 is for"),
        ("8 km 5 km in 40 easy run", "More than one distance or time"),
        ("8 km in 52 middle run", "A distance goes with easy sessions here"),
        ("45 at 6:30 a km easy run", "A pace needs a distance"),
        ("900 km in 600 easy ride", "100 m to 300 km"),
        ("45 easy walk!", "“!” is not a word known here"),
        ("٤٥ easy walk", "“٤٥” is no time"),
    ],
)
def test_what_is_not_understood_is_named(typed, says):
    with pytest.raises(NotUnderstood) as refusal:
        parse_day(typed)

    assert says in str(refusal.value)


def test_the_rounds_proposed_in_place_of_words_are_understood():
    with pytest.raises(NotUnderstood) as refusal:
        parse_day("4 rounds of 4 min")

    proposed = str(refusal.value).partition("write ")[2].rstrip(".")
    assert parse_day(proposed) == (TypedRounds(4, 240, 240, Mode.WALK),)


SAID_WHOLE = st.one_of(
    STEADY.filter(lambda one: one.minutes >= 26),
    STRENGTH,
    ROUNDS.filter(lambda one: one.rounds > 1),
    MIDDLE_ROUNDS,
    FAR,
)


@given(SAID_WHOLE)
def test_a_session_made_of_words_reads_as_the_same_words(typed):
    content = typed_content(typed, age=50, first_of_phase=False, rules=Rules())
    session = factories.planned(
        kind=content.kind, mode=typed.mode, title=content.title, minutes=content.minutes, is_hard=content.is_hard,
        rounds=content.rounds, steps_json=content.steps_json, place=place_of(typed),
    )  # fmt: skip

    assert typed_of(session) == typed


def test_rounds_the_library_knows_take_its_name_and_words():
    content = typed_content(parse_day("2 x 4 hard, 4 easy, walk")[0], age=50, first_of_phase=True, rules=Rules())

    assert (content.kind, content.title, content.rounds) == (SessionKind.INTERVALS, "2 × 4 min, introductory", 2)
    assert content.is_hard
    assert content.easy_version is not None


def test_middle_stretches_are_no_hard_rounds():
    content = typed_content(
        parse_day("4 x 5 min middle, 2 easy, ride")[0], age=50, first_of_phase=False, rules=Rules()
    )

    assert (content.kind, content.title) == (SessionKind.MIDDLE, "Middle effort 4 × 5 min, ride")
    assert (content.minutes, content.hard_minutes, content.is_hard, content.rounds) == (46, 0, False, 0)


def test_a_distance_is_told_to_the_client_and_the_talk_goes_before_the_clock():
    content = typed_content(parse_day("8 km at 6:30 a km easy run")[0], age=50, first_of_phase=False, rules=Rules())

    assert (content.title, content.minutes) == ("Easy run: 8 km", 52)
    assert "About 8 km; the talk decides, not the clock." in content.purpose
    session = factories.planned(
        title=content.title, purpose=content.purpose, minutes=52, steps_json=content.steps_json, mode=Mode.RUN
    )
    shorter = resized(session, 40, Rules())
    assert (shorter.title, shorter.purpose) == ("Easy run", "Build the base at a talking effort.")


def test_a_session_with_a_title_of_its_own_is_not_said_in_words():
    assert typed_of(factories.planned(title="Round the lake with Jo")) is None
