"""Blocks in their order: in force, next, overtaken."""

from __future__ import annotations

from datetime import date, timedelta

from app.coaching.block_order import block_on, next_block, overtaken_block
from app.coaching.phases import Phase
from tests import factories as make

MONDAY = date(2026, 11, 2)
BASE = make.block(id=1, starts_on=MONDAY, weeks=8)
LATER = MONDAY + timedelta(weeks=5)


def _history(*blocks, week_on=MONDAY):
    return make.history(blocks=blocks, weeks=(make.planned_week(starts_on=week_on, block_id=1),))


def test_the_block_in_force_and_the_next_one() -> None:
    following = make.block(id=2, starts_on=LATER, weeks=4)

    assert block_on((BASE, following), MONDAY + timedelta(weeks=1)) == BASE
    assert next_block((BASE, following), MONDAY + timedelta(weeks=1)) == following
    assert next_block((BASE, following), LATER) is None


def test_a_block_of_another_phase_overtakes_every_week_of_the_one_before() -> None:
    hard = make.block(id=2, phase=Phase.INTERVAL_ONE, starts_on=LATER, weeks=4)

    assert overtaken_block(_history(BASE, hard), MONDAY) == BASE


def test_a_block_of_the_same_phase_overtakes_from_its_start_on() -> None:
    again = make.block(id=2, starts_on=LATER, weeks=2)
    behind = LATER + timedelta(weeks=2)

    assert overtaken_block(_history(BASE, again), MONDAY) is None
    assert overtaken_block(_history(BASE, again, week_on=behind), behind) == BASE


def test_a_week_of_no_block_is_never_overtaken() -> None:
    assert overtaken_block(make.history(blocks=(BASE,)), MONDAY) is None
