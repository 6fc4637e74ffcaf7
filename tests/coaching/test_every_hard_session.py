"""Every hard session carries its easy version and its warm-up rule, however it came to be planned."""

from __future__ import annotations

import pytest

from app.coaching.people import Mode
from app.coaching.protocols import PROTOCOLS, protocol_of
from app.coaching.rules import Rules
from app.coaching.session_shapes import SessionContent, Shape, protocol_content, steady_content
from app.coaching.session_steps import WARM_UP_RULE
from app.coaching.smaller_session import with_rounds
from app.coaching.steps import flatten, from_json, work_rounds
from app.coaching.week_templates import template_session
from tests import factories as make

RULES = Rules()
WAYS = [(one.key, mode, n) for one in PROTOCOLS.values() for mode in one.modes for n in (1, one.rounds_most)]


def says_warm_up_rule(steps_json: str) -> bool:
    return any(WARM_UP_RULE in step.say for step in flatten(from_json(steps_json)))


def carries_both(content: SessionContent) -> bool:
    return bool(content.easy_version) and says_warm_up_rule(content.steps_json)


@pytest.mark.parametrize(("key", "mode", "rounds"), WAYS)
def test_every_way_to_do_rounds_carries_both(key, mode, rounds):
    content = protocol_content(protocol_of(key), mode, rounds, age=64, first_of_phase=True, rules=RULES)

    assert content.is_hard
    assert carries_both(content)


@pytest.mark.parametrize("shape", [Shape.TEST, Shape.RACE])
@pytest.mark.parametrize("mode", [Mode.WALK, Mode.RUN, Mode.RIDE, Mode.SWIM])
def test_tests_and_races_carry_both(shape, mode):
    assert carries_both(steady_content(shape, mode, 60, RULES))


def test_a_template_keeps_the_easy_version():
    assert template_session(make.planned_hard()).easy_version == make.planned_hard().easy_version


def test_a_session_with_fewer_rounds_keeps_both():
    content = protocol_content(protocol_of("four_by_four"), Mode.RIDE, 4, age=50, first_of_phase=False, rules=RULES)
    session = make.planned_hard(steps_json=content.steps_json, easy_version=content.easy_version)

    smaller = with_rounds(session, 2)

    assert smaller
    assert smaller.easy_version == content.easy_version
    assert says_warm_up_rule(smaller.steps_json)


@pytest.mark.parametrize(("rounds", "kept"), [(39, 39), (30, 26), (13, 13), (5, 5)])
def test_a_session_in_sets_gives_up_whole_sets_first_and_is_named_by_what_is_left(rounds, kept):
    content = protocol_content(
        protocol_of("thirty_fifteen_sets"), Mode.RUN, 39, age=30, first_of_phase=False, rules=Rules()
    )
    session = make.planned_hard(title=content.title, rounds=39, steps_json=content.steps_json, mode=Mode.RUN)

    smaller = with_rounds(session, rounds)

    assert smaller.rounds == work_rounds(from_json(smaller.steps_json)) == kept
    assert smaller.title == f"30 s on and 15 s off in sets of 13: {kept} rounds"
    assert smaller.hard_minutes == kept / 2
