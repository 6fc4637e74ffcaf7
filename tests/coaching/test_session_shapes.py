"""Shapes of a session: what each makes, and what it refuses."""

from __future__ import annotations

import pytest

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.protocols import protocol_of
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape, protocol_content, shape_of, steady_content
from app.coaching.session_steps import easy_steps, long_steps, measured_steps
from app.coaching.steps import from_json, minutes_in_band, to_json
from tests import factories as make

RULES = Rules()


@pytest.mark.parametrize(
    ("shape", "kind", "is_hard"),
    [
        (Shape.EASY, SessionKind.EASY, False),
        (Shape.LONGEST, SessionKind.EASY, False),
        (Shape.LOOP, SessionKind.TEST, False),
        (Shape.MIDDLE, SessionKind.MIDDLE, False),
        (Shape.TEST, SessionKind.TEST, True),
        (Shape.RACE, SessionKind.RACE, True),
        (Shape.STRENGTH, SessionKind.STRENGTH, False),
    ],
)
def test_each_shape_makes_a_session_of_the_minutes_asked(shape, kind, is_hard):
    content = steady_content(shape, Mode.WALK, 50, RULES)

    assert (content.kind, content.minutes, content.is_hard) == (kind, 50, is_hard)


@pytest.mark.parametrize("shape", [one for one in Shape if one is not Shape.INTERVALS])
def test_a_session_is_recognised_by_its_shape(shape):
    content = steady_content(shape, Mode.WALK, 50, RULES)

    session = make.planned(
        kind=content.kind, minutes=50, is_hard=content.is_hard, steps_json=content.steps_json, mode=Mode.WALK
    )

    assert shape_of(session) is shape


def test_middle_effort_has_easy_ends():
    steps = from_json(steady_content(Shape.MIDDLE, Mode.RUN, 45, RULES).steps_json)

    assert minutes_in_band(steps, Band.MIDDLE) == 25
    assert minutes_in_band(steps, Band.EASY) == 20


@pytest.mark.parametrize(("shape", "minutes"), [(Shape.MIDDLE, 24), (Shape.RACE, 25), (Shape.TEST, 10)])
def test_too_few_minutes_are_refused(shape, minutes):
    with pytest.raises(DomainError):
        steady_content(shape, Mode.WALK, minutes, RULES)


def test_rounds_do_not_come_without_the_library():
    with pytest.raises(DomainError, match="library"):
        steady_content(Shape.INTERVALS, Mode.WALK, 45, RULES)


def test_a_single_round_is_planned_as_hard_though_it_is_under_eight_minutes():
    content = protocol_content(
        protocol_of("two_by_four"), Mode.INDOOR_RIDE, 1, age=63, first_of_phase=True, rules=RULES
    )

    assert (content.hard_minutes, content.is_hard, content.rounds) == (4, True, 1)
    assert content.title == "1 × 4 min, introductory"


def test_hard_sessions_carry_an_easy_version_and_easy_ones_none():
    hard = protocol_content(protocol_of("four_by_four"), Mode.WALK, 4, age=40, first_of_phase=False, rules=RULES)

    assert "It counts as kept." in (hard.easy_version or "")
    assert steady_content(Shape.EASY, Mode.WALK, 30, RULES).easy_version is None


def test_a_swimmer_is_told_of_talk_at_the_walls_and_of_none_on_the_way() -> None:
    for steps in (easy_steps(40, Mode.SWIM), long_steps(60, Mode.SWIM), measured_steps(40, Mode.SWIM, "All of it.")):
        said = to_json(steps)
        assert "wall you could talk" in said or "able to chat at every wall" in said
        assert "chatting" not in said
        assert "the whole way" not in said
