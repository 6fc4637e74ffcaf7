"""One sentence for everything it is true of, and what a published plan breaks as it stands."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

from app.coaching.history import History
from app.coaching.lookahead import breaches
from app.coaching.lookahead_gathered import as_it_stands, gathered
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.words import short_days
from tests import factories as make

TODAY = make.TODAY
RULES = Rules()


def _client(phase: Phase, **records: Any) -> History:
    """Someone regularly active and screened, in a phase for some weeks."""
    decided = make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=TODAY - timedelta(weeks=20))
    given: dict[str, Any] = {
        "client": make.client(regularly_active_confirmed_on=TODAY - timedelta(weeks=40)),
        "decisions": (decided,),
        "screening": (make.answers(),),
    }
    return make.history(**(given | records))


def _hard(days: int) -> PlannedSession:
    return make.planned_hard(id=100 + days, planned_on=TODAY + timedelta(days=days))


def _told(history: History, kind: str) -> list[str]:
    return [one.sentence for one in as_it_stands(history, TODAY, RULES) if one.kind == kind]


def test_sessions_nobody_may_train_for_are_told_once() -> None:
    history = _client(Phase.AEROBIC_BASE, screening=())
    drafts = [make.planned(id=n, planned_on=TODAY + timedelta(days=n)) for n in range(1, 31)]

    told = [one for one in gathered(breaches(history, drafts, TODAY, RULES), 30) if one.kind == "unasked"]

    assert [(one.sentence, one.count) for one in told] == [
        ("None of the 30 sessions can be published: the safety questions are not answered yet.", 30)
    ]


def test_four_hard_sessions_that_stand_already_are_said_once_with_their_days() -> None:
    history = _client(Phase.INTERVAL_ONE, planned=tuple(_hard(days) for days in (1, 4, 8, 11)))

    assert _told(history, "ceiling") == [
        "4 hard sessions in 14 days ("
        + short_days(TODAY + timedelta(days=days) for days in (1, 4, 8, 11))
        + "); 3 is full."
    ]


def test_hard_work_that_stands_outside_its_phase_is_told_with_its_days() -> None:
    history = _client(Phase.AEROBIC_BASE, planned=(_hard(1), _hard(8)))

    days = short_days(TODAY + timedelta(days=days) for days in (1, 8))
    assert _told(history, "phase") == [
        f"2 published sessions ({days}): hard work, and the client is in: aerobic base."
    ]


def test_a_gap_the_drafts_will_fill_is_not_said_of_the_plan_as_it_stands() -> None:
    history = _client(Phase.INTERVAL_ONE, planned=(_hard(1), _hard(15)))
    filled = replace(history, drafts=(replace(_hard(8), published_at=None),))

    assert len(_told(history, "gap")) == 1
    assert _told(filled, "gap") == []
