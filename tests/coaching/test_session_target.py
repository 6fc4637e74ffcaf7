"""A session's target as it is kept: there and back, gentler, for fewer rounds, and what is no target."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.reasons import DomainError, Figure, Provenance, Why
from app.coaching.session_target import (
    UNITS,
    SessionTarget,
    TargetForm,
    fewer_rounds,
    lowered,
    target_from_json,
    target_to_json,
)

WHY = Why((Figure("critical power", "250 W"),), "The lowest of the forms.", Provenance.HOUSE, "a", "b", ("c",))
POWER = SessionTarget(TargetForm.POWER, 260.0, 250.0, 270.0, (), None, "critical power of 2 March", WHY)
LADDER = SessionTarget(TargetForm.PACE, None, None, None, (309.0, 300.0, 297.0), 1609.344, "a 5-km race", WHY)


def test_every_part_comes_back():
    assert target_from_json(target_to_json(POWER)) == POWER
    assert target_from_json(target_to_json(LADDER)) == LADDER
    assert target_from_json(target_to_json(None)) is None


@pytest.mark.parametrize(
    "text",
    [
        "",
        "[]",
        "{}",
        "7",
        '{"form":"moonlight"}',
        "x" * 30_000,
        "[" * 9000,
        target_to_json(POWER).replace("260.0", "NaN"),
    ],
    ids=range(8),
)
def test_what_is_no_target_is_refused(text):
    with pytest.raises(DomainError):
        target_from_json(text)


@pytest.mark.parametrize(
    "changes",
    [
        {"value": 2000.0},
        {"low": None},
        {"low": 280.0},
        {"basis": ""},
        {"value": float("nan")},
    ],
    ids=lambda changes: next(iter(changes)),
)
def test_a_target_nobody_means_is_refused(changes):
    raw = json.loads(target_to_json(POWER)) | changes

    with pytest.raises(DomainError):
        target_from_json(json.dumps(raw))


def test_fewer_rounds_keep_the_gentlest_of_a_ladder():
    assert fewer_rounds(LADDER, 2).rounds == (309.0, 300.0)
    assert fewer_rounds(POWER, 2) == POWER
    assert fewer_rounds(None, 2) is None


def test_a_tenth_lower_is_less_power_and_more_seconds():
    assert lowered(POWER, 0.1).value == pytest.approx(234)
    assert lowered(POWER, 0.1).high == pytest.approx(243)
    assert lowered(LADDER, 0.1).rounds[0] == pytest.approx(309 / 0.9)


def test_each_round_has_its_figure():
    assert [LADDER.of_round(number) for number in (1, 3, 9)] == [309.0, 297.0, 297.0]
    assert POWER.of_round(4) == 260.0


@settings(max_examples=50, deadline=None)
@given(st.data())
def test_no_lowering_makes_a_target_harder(data):
    form = data.draw(st.sampled_from(list(TargetForm)))
    _unit, least, most = UNITS[form]
    value = data.draw(st.floats(least, most))
    target = SessionTarget(form, value, None, None, (), None, "typed", WHY)

    gentler = lowered(target, data.draw(st.floats(0, 0.5)))

    assert gentler.value >= value if form is TargetForm.PACE else gentler.value <= value
    assert target_from_json(target_to_json(gentler)) == gentler
