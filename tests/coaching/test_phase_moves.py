"""Which decision may follow which phase."""

from __future__ import annotations

import pytest

from app.coaching.phase_moves import Looks, move_to, moves_from
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind, Phase


@pytest.mark.parametrize("phase", list(Phase))
def test_one_may_stay_in_every_phase_and_every_promotion_is_looked_at(phase: Phase) -> None:
    moves = moves_from(phase)

    assert (moves[-1].kind, moves[-1].phase) == (DecisionKind.STAY, phase)
    assert all((move.looks is not Looks.NOTHING) == (move.kind is DecisionKind.PROMOTE) for move in moves)


@pytest.mark.parametrize("phase", [Phase.AEROBIC_BASE, Phase.RETURNING, None])
def test_no_hard_work_begins_unlooked_at(phase: Phase | None) -> None:
    unlooked = {move.phase for move in moves_from(phase) if move.looks is Looks.NOTHING}

    assert not unlooked & HARD_WORK_PHASES


def test_two_a_week_follows_only_one_a_week() -> None:
    ways = [phase for phase in Phase if move_to(phase, DecisionKind.PROMOTE, Phase.INTERVAL_TWO)]

    assert ways == [Phase.INTERVAL_ONE]


def test_before_the_first_phase_there_is_no_move() -> None:
    assert moves_from(None) == ()
