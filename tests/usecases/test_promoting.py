"""Phase decisions: the evidence, the refusals nobody can override, and what is kept."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta

import pytest
from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.condition import Group, evidence_from
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.coaching.promotion import CONDITION_KEYS, unmet
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.storage import phases
from app.storage.audit import trail_of
from app.usecases import promoting
from app.usecases.gate import NotAllowed, NotYours
from tests import safety_scenes as scenes
from tests.conftest import Browser
from tests.safety_scenes import actor_of
from tests.seed import NOW, TODAY, People


@pytest.fixture
def db(coach: Browser) -> Iterator[Session]:
    """A writing transaction on this test's own file."""
    with coach.db(write=True) as session:
        yield session


@pytest.fixture
def ready(db: Session, people: People) -> int:
    """Ilse Brandt, ready for one hard session a week."""
    scenes.make_ready(db, client=people.client, person_id=people.coach.id)
    return people.client.id


def promote(db: Session, actor: Actor, client_id: int, override: str | None = None, **changes: object) -> int:
    given = {
        "kind": DecisionKind.PROMOTE,
        "phase": Phase.INTERVAL_ONE,
        "since_on": TODAY,
        "reason": "Steady for half a year.",
        "override_reason": override,
        "now": NOW,
    }
    return promoting.decide(db, actor=actor, client_id=client_id, **(given | changes))  # type: ignore[arg-type]


def test_a_ready_client_meets_every_condition(db: Session, people: People, ready: int) -> None:
    way = promoting.on_the_way(db, actor=actor_of(people.coach), client_id=ready, rules=Rules(), now=NOW)

    assert {one.key for one in way.conditions} == set(CONDITION_KEYS)
    assert [f"{one.key}: {one.value}" for one in unmet(way.conditions)] == []


def test_a_promotion_keeps_every_condition_as_it_stood(db: Session, people: People, ready: int) -> None:
    decision_id = promote(db, actor_of(people.coach), ready)

    kept = phases.decision(db, decision_id=decision_id)
    assert kept is not None
    assert kept.phase is Phase.INTERVAL_ONE
    assert {one.key for one in evidence_from(kept.evidence_json)} == set(CONDITION_KEYS)
    assert kept.person_id == people.coach.id


def test_a_promotion_leaves_a_trace(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)

    newest = trail_of(db, client_id=ready)[0]
    change = json.loads(newest.change_json)
    assert (newest.action, newest.subject, newest.reason) == ("promote", "phase", "Steady for half a year.")
    assert (change["before"]["phase"], change["after"]["phase"]) == ("aerobic_base", "interval_one")


@pytest.mark.parametrize("who", ["coach", "head"])
def test_an_open_hold_refuses_everybody_whatever_the_reason(
    db: Session, people: People, ready: int, who: str
) -> None:
    scenes.hold_back(db, client=people.client, person_id=people.coach.id)

    with pytest.raises(Refused, match="Nobody can override"):
        promote(db, actor_of(getattr(people, who)), ready, override="She is fine.")

    assert current_phase(phases.of_client(db, client_id=ready)).phase is Phase.AEROBIC_BASE  # type: ignore[union-attr]


def test_an_old_reading_is_a_safety_condition(db: Session, people: People) -> None:
    client = people.client
    scenes.start_base(db, client=client, person_id=people.coach.id)
    scenes.answer_questions(db, client=client, person_id=people.coach.id)
    scenes.agree(db, client=client, person_id=people.coach.id)
    scenes.measure(db, client=client, person_id=people.coach.id, days_ago=194)

    with pytest.raises(Refused, match="Blood pressure"):
        promote(db, actor_of(people.coach), client.id, override="It was fine in May.")


def test_eight_weeks_of_base_are_refused_by_the_transition(db: Session, people: People) -> None:
    client = people.client
    scenes.start_base(db, client=client, person_id=people.coach.id, weeks=8)
    scenes.answer_questions(db, client=client, person_id=people.coach.id)
    scenes.agree(db, client=client, person_id=people.coach.id)
    scenes.measure(db, client=client, person_id=people.coach.id)

    with pytest.raises(Refused, match="Transition weeks of all easy work: 8 weeks"):
        promote(db, actor_of(people.coach), client.id, override="Impatient.")


def test_an_open_practice_condition_asks_for_a_reason_and_keeps_it(db: Session, people: People) -> None:
    client = people.client
    scenes.start_base(db, client=client, person_id=people.coach.id)
    scenes.answer_questions(db, client=client, person_id=people.coach.id)
    scenes.agree(db, client=client, person_id=people.coach.id)
    scenes.measure(db, client=client, person_id=people.coach.id)

    with pytest.raises(Refused, match="with a reason that is kept"):
        promote(db, actor_of(people.coach), client.id)
    decision_id = promote(db, actor_of(people.coach), client.id, override="The loop is closed for works.")

    kept = phases.decision(db, decision_id=decision_id)
    assert json.loads(kept.evidence_json)["override_reason"] == "The loop is closed for works."  # type: ignore[union-attr]
    assert "loop is closed" in trail_of(db, client_id=client.id)[0].change_json


def test_a_reason_is_not_kept_as_an_override_when_nothing_was_open(db: Session, people: People, ready: int) -> None:
    decision_id = promote(db, actor_of(people.coach), ready, override="Just in case.")

    kept = phases.decision(db, decision_id=decision_id)
    assert json.loads(kept.evidence_json)["override_reason"] is None  # type: ignore[union-attr]


def test_two_a_week_never_follows_the_base(db: Session, people: People, ready: int) -> None:
    with pytest.raises(Refused, match="two come after that"):
        promote(db, actor_of(people.coach), ready, override="Raced once.", phase=Phase.INTERVAL_TWO)


def test_two_a_week_waits_for_eight_weeks_on_one(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)

    with pytest.raises(Refused, match="Weeks on one a week"):
        promote(db, actor_of(people.coach), ready, phase=Phase.INTERVAL_TWO)


def test_two_a_week_is_refused_while_a_hold_is_open(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)
    scenes.injure(db, client=people.client, person_id=people.coach.id)

    with pytest.raises(Refused, match="No open hold"):
        promote(db, actor_of(people.coach), ready, override="She wants it.", phase=Phase.INTERVAL_TWO)


def test_a_promotion_cannot_be_back_dated(db: Session, people: People, ready: int) -> None:
    with pytest.raises(Refused, match="counts from today"):
        promote(db, actor_of(people.coach), ready, since_on=TODAY - timedelta(days=7))


def test_keeping_asks_for_an_end(db: Session, people: People, ready: int) -> None:
    with pytest.raises(Refused, match="until which day"):
        promote(db, actor_of(people.coach), ready, phase=Phase.KEEPING)


def test_stepping_back_works_with_a_hold_open(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)
    scenes.injure(db, client=people.client, person_id=people.coach.id)

    promote(db, actor_of(people.coach), ready, kind=DecisionKind.STEP_BACK, phase=Phase.AEROBIC_BASE)

    assert current_phase(phases.of_client(db, client_id=ready)).phase is Phase.AEROBIC_BASE  # type: ignore[union-attr]


def test_staying_keeps_the_evidence_too(db: Session, people: People, ready: int) -> None:
    decision_id = promote(db, actor_of(people.coach), ready, kind=DecisionKind.STAY, phase=Phase.AEROBIC_BASE)

    kept = phases.decision(db, decision_id=decision_id)
    assert any(one.group is Group.SAFETY for one in evidence_from(kept.evidence_json))  # type: ignore[union-attr]


def test_a_promotion_is_taken_back_on_its_day(db: Session, people: People, ready: int) -> None:
    before = current_phase(phases.of_client(db, client_id=ready))
    promote(db, actor_of(people.coach), ready)

    promoting.undo_promotion(db, actor=actor_of(people.coach), client_id=ready, now=NOW + timedelta(hours=2))

    now = current_phase(phases.of_client(db, client_id=ready))
    assert now is not None
    assert before is not None
    assert (now.kind, now.phase, now.since_on) == (DecisionKind.UNDO, Phase.AEROBIC_BASE, before.since_on)
    assert trail_of(db, client_id=ready)[0].action == "undo"


def test_a_promotion_of_yesterday_is_not_taken_back(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)

    with pytest.raises(Refused, match="Step back instead"):
        promoting.undo_promotion(db, actor=actor_of(people.coach), client_id=ready, now=NOW + timedelta(days=1))


def test_a_step_back_is_never_undone(db: Session, people: People, ready: int) -> None:
    promote(db, actor_of(people.coach), ready)
    promote(db, actor_of(people.coach), ready, kind=DecisionKind.STEP_BACK, phase=Phase.AEROBIC_BASE)

    with pytest.raises(Refused, match="Step back instead"):
        promoting.undo_promotion(db, actor=actor_of(people.coach), client_id=ready, now=NOW)


def test_a_stranger_sees_no_such_client(db: Session, people: People, ready: int) -> None:
    with pytest.raises(NotYours):
        promote(db, actor_of(people.other_coach), ready)


def test_a_stand_in_does_not_decide(db: Session, people: People) -> None:
    with pytest.raises(NotAllowed):
        promote(db, actor_of(people.stand_in), people.handed_client.id)


def test_the_base_is_not_begun_here(db: Session, people: People) -> None:
    with pytest.raises(Refused, match="begins with the aerobic base"):
        promote(db, actor_of(people.coach), people.client.id, kind=DecisionKind.START, phase=Phase.AEROBIC_BASE)
