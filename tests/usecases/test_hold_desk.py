"""Holds: raised at once by whoever may log, lifted only on what each asks for."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy.orm import Session

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode, Origin
from app.coaching.readiness import Illness
from app.coaching.reasons import Refused
from app.coaching.screening import Intensity, YesNo
from app.coaching.weeks import day_words
from app.storage import clients, illness, intake, safety, session_logs
from app.storage.audit import trail_of
from app.usecases import hold_desk, readiness
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.hold_desk import LiftGiven
from app.usecases.readiness import ReadinessEntry
from tests import factories, seed
from tests import safety_scenes as scenes
from tests.conftest import Browser
from tests.safety_scenes import actor_of
from tests.seed import NOW, TODAY, People

SURE = LiftGiven(because="The clinician agrees.", password_confirmed=True)


@pytest.fixture
def db(coach: Browser) -> Iterator[Session]:
    """A writing transaction on this test's own file."""
    with coach.db(write=True) as session:
        yield session


def raise_one(db: Session, people: People, **changes: object) -> int:
    given = {
        "actor": actor_of(people.coach),
        "client_id": people.client.id,
        "kind": HoldKind.COACH,
        "stops": Stops.HARD,
        "mode": None,
        "cause": "A hard week at home",
        "began_on": TODAY,
        "now": NOW,
    }
    return hold_desk.raise_hold(db, **(given | changes))  # type: ignore[arg-type]


def fields_of(problems: list[tuple[str, str]]) -> set[str]:
    return {field for field, _ in problems}


def test_a_raised_hold_is_open_and_traced(db: Session, people: People) -> None:
    hold_id = raise_one(db, people)

    hold = safety.hold(db, hold_id=hold_id)
    assert hold is not None
    assert hold.lifted_at is None
    assert trail_of(db, client_id=people.client.id)[0].action == "raise_hold"


def test_a_stand_in_raises_but_does_not_lift(db: Session, people: People) -> None:
    actor = actor_of(people.stand_in)
    hold_id = raise_one(db, people, actor=actor, client_id=people.handed_client.id)

    with pytest.raises(NotAllowed):
        hold_desk.lift(db, actor=actor, hold_id=hold_id, given=SURE, now=NOW)


def test_a_stranger_finds_neither_client_nor_hold(db: Session, people: People) -> None:
    hold_id = raise_one(db, people)

    with pytest.raises(NotYours):
        raise_one(db, people, actor=actor_of(people.other_coach))
    with pytest.raises(NotYours):
        hold_desk.lift(db, actor=actor_of(people.other_coach), hold_id=hold_id, given=SURE, now=NOW)


def test_a_symptom_stops_everything(db: Session, people: People) -> None:
    with pytest.raises(Refused, match="everything stops"):
        raise_one(db, people, kind=HoldKind.SYMPTOM, stops=Stops.HARD)


def test_a_hold_of_tomorrow_is_refused(db: Session, people: People) -> None:
    with pytest.raises(Refused, match="not come yet"):
        raise_one(db, people, began_on=TODAY + timedelta(days=1))


def test_one_way_of_moving_has_to_be_named(db: Session, people: People) -> None:
    with pytest.raises(Refused, match="which way of moving"):
        raise_one(db, people, kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD)


@pytest.mark.parametrize("who", ["coach", "head"])
def test_nobody_lifts_a_symptom_hold_without_a_paper(db: Session, people: People, who: str) -> None:
    hold_id = scenes.hold_back(db, client=people.client, person_id=people.coach.id)

    problems = hold_desk.lift(db, actor=actor_of(getattr(people, who)), hold_id=hold_id, given=SURE, now=NOW)

    assert fields_of(problems) == {"clearance"}
    assert safety.hold(db, hold_id=hold_id).lifted_at is None  # type: ignore[union-attr]


def test_a_paper_of_the_symptoms_own_day_does_not_lift_it(db: Session, people: People) -> None:
    hold_id = scenes.hold_back(db, client=people.client, person_id=people.coach.id)
    scenes.clear(db, client=people.client, person_id=people.coach.id, days_ago=3)

    problems = hold_desk.lift(db, actor=actor_of(people.head), hold_id=hold_id, given=SURE, now=NOW)

    assert any("dated after" in sentence for _, sentence in problems)


def test_a_telephone_call_alone_does_not_lift_a_symptom_hold(db: Session, people: People) -> None:
    hold_id = scenes.hold_back(db, client=people.client, person_id=people.coach.id)
    scenes.clear(db, client=people.client, person_id=people.coach.id, how_seen="telephone")

    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=SURE, now=NOW)

    assert any("telephone call alone" in sentence for _, sentence in problems)


def test_a_later_paper_without_the_password_does_not_lift(db: Session, people: People) -> None:
    hold_id = scenes.hold_back(db, client=people.client, person_id=people.coach.id)
    scenes.clear(db, client=people.client, person_id=people.coach.id)

    given = replace(SURE, password_confirmed=False)
    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    assert fields_of(problems) == {"own_password"}


def test_a_later_paper_with_password_and_reason_lifts_and_is_named(db: Session, people: People) -> None:
    hold_id = scenes.hold_back(db, client=people.client, person_id=people.coach.id)
    paper_id = scenes.clear(db, client=people.client, person_id=people.coach.id, scope=Intensity.LIGHT_MODERATE)

    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=SURE, now=NOW)

    hold = safety.hold(db, hold_id=hold_id)
    assert problems == []
    assert hold is not None
    assert (hold.lifted_by, hold.clearance_id) == (people.coach.id, paper_id)
    newest = trail_of(db, client_id=people.client.id)[0]
    assert (newest.action, newest.reason) == ("lift_hold", "The clinician agrees.")


def test_an_injury_asks_for_a_talk_and_a_logged_pain_free_session(db: Session, people: People) -> None:
    hold_id = scenes.injure(db, client=people.client, person_id=people.coach.id)
    actor, yesterday = actor_of(people.coach), TODAY - timedelta(days=1)

    bare = hold_desk.lift(db, actor=actor, hold_id=hold_id, given=LiftGiven(because="Fine on the stairs."), now=NOW)
    talked = LiftGiven(because="Fine on the stairs.", talk="No pain on stairs.", pain_free_easy_on=yesterday)
    unlogged = hold_desk.lift(db, actor=actor, hold_id=hold_id, given=talked, now=NOW)
    session_logs.add(db, log=factories.log(client_id=people.client.id, done_on=yesterday, person_id=people.coach.id))
    done = hold_desk.lift(db, actor=actor, hold_id=hold_id, given=talked, now=NOW)

    assert fields_of(bare) == {"talk", "pain_free_easy_on"}
    assert fields_of(unlogged) == {"pain_free_easy_on"}
    assert done == []
    assert clients.contacts(db, client_id=people.client.id)[0].text == "No pain on stairs."


def fever(db: Session, people: People) -> int:
    return raise_one(
        db, people, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause="Fever", began_on=TODAY - timedelta(days=6)
    )


def test_hard_work_waits_on_after_fever(db: Session, people: People) -> None:
    seed.add_answers(db, client=people.client)
    hold_id = fever(db, people)

    given = LiftGiven(because="Well again.", well_since_on=TODAY - timedelta(days=3))
    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    still = [one for one in safety.holds_of(db, client_id=people.client.id) if one.lifted_at is None]
    assert problems == []
    assert [(one.kind, one.stops) for one in still] == [(HoldKind.ILLNESS, Stops.HARD)]
    kept = illness.returns_of(db, client_id=people.client.id)
    assert [(one.days_lost, one.well_since_on, one.advice_from) for one in kept] == [
        (6, TODAY - timedelta(days=3), None)
    ]


def test_with_a_risk_the_way_back_asks_who_gave_advice_and_when(db: Session, people: People) -> None:
    seed.add_answers(db, client=people.client, disease=YesNo.YES)
    hold_id, well = fever(db, people), TODAY - timedelta(days=3)

    def lift(**advice: object) -> list[tuple[str, str]]:
        given = LiftGiven(because="Well again.", well_since_on=well, **advice)  # type: ignore[arg-type]
        return hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    before_it_began = lift(advice_from="Dr. Sohl", advice_on=TODAY - timedelta(days=7))
    nobody = lift(advice_from=" ", advice_on=TODAY)
    done = lift(advice_from="Dr. Sohl, general practitioner", advice_on=TODAY - timedelta(days=1))

    assert fields_of(before_it_began) == fields_of(nobody) == {"advice_from"}
    assert done == []
    assert illness.returns_of(db, client_id=people.client.id)[0].advice_on == TODAY - timedelta(days=1)
    assert "way_back_after_illness" in [one.action for one in trail_of(db, client_id=people.client.id)]


def test_a_disease_named_and_not_sent_asks_for_advice_before_the_way_back(db: Session, people: People) -> None:
    seed.add_answers(db, client=people.client)
    hold_id = fever(db, people)
    intake.keep(db, client_id=people.client.id, question="heart", answer={"reply": "yes"}, at=NOW)

    given = LiftGiven(because="Well again.", well_since_on=TODAY - timedelta(days=3))
    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    assert fields_of(problems) == {"advice_from"}


def test_a_renewed_fever_is_kept_beside_the_hold_and_the_way_back_counts_from_it(db: Session, people: People) -> None:
    seed.add_answers(db, client=people.client)
    hold_id, actor, ill_on = fever(db, people), actor_of(people.coach), TODAY - timedelta(days=3)
    again = ReadinessEntry(noted_on=ill_on, illness=Illness.FEVER_OR_BELOW)
    readiness.keep(db, actor=actor, client_id=people.client.id, entry=again, origin=Origin.TOLD_BY_PHONE, now=NOW)

    given = LiftGiven(because="Well again.", well_since_on=TODAY - timedelta(days=5))
    too_early = hold_desk.lift(db, actor=actor, hold_id=hold_id, given=given, now=NOW)

    assert hold_desk.open_hold(db, actor=actor, hold_id=hold_id, now=NOW).last_ill_on == ill_on
    assert too_early == [("well_since_on", f"Ill on {day_words(ill_on)}: the first well day comes after it.")]
    trail = [one for one in trail_of(db, client_id=people.client.id) if one.action == "illness_goes_on"]
    assert [one.subject_id for one in trail] == [hold_id]


def test_two_days_well_are_too_few(db: Session, people: People) -> None:
    seed.add_answers(db, client=people.client)
    hold_id = fever(db, people)

    given = LiftGiven(because="Well again.", well_since_on=TODAY - timedelta(days=2))
    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=given, now=NOW)

    assert fields_of(problems) == {"well_since_on"}


def test_a_medicine_change_asks_for_the_heart_rate_source(db: Session, people: People) -> None:
    hold_id = raise_one(db, people, kind=HoldKind.MEDICINE_CHANGE)

    problems = hold_desk.lift(
        db, actor=actor_of(people.coach), hold_id=hold_id, given=LiftGiven(because="Ok, talked over."), now=NOW
    )

    assert fields_of(problems) == {"heart_rate_source_reviewed"}


def test_a_lift_without_a_reason_is_refused(db: Session, people: People) -> None:
    hold_id = raise_one(db, people)

    problems = hold_desk.lift(db, actor=actor_of(people.coach), hold_id=hold_id, given=LiftGiven(), now=NOW)

    assert fields_of(problems) == {"because"}


def test_a_lift_taken_back_raises_the_same_hold_again(db: Session, people: People) -> None:
    hold_id = raise_one(db, people, kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN, cause="Knee")
    safety.lift_hold(db, hold_id=hold_id, because="Fine.", clearance_id=None, person_id=people.coach.id, at=NOW)

    again = hold_desk.undo_lift(db, actor=actor_of(people.coach), hold_id=hold_id, now=NOW + timedelta(hours=1))

    hold = safety.hold(db, hold_id=again.hold_id)
    assert hold is not None
    assert hold.lifted_at is None
    assert (hold.kind, hold.stops, hold.mode, hold.began_on) == (
        HoldKind.INJURY,
        Stops.MODE_AND_HARD,
        Mode.RUN,
        TODAY,
    )
    assert trail_of(db, client_id=people.client.id)[0].action == "undo_lift"


def test_a_lift_is_not_taken_back_twice_or_the_next_day(db: Session, people: People) -> None:
    hold_id = raise_one(db, people)
    safety.lift_hold(db, hold_id=hold_id, because="Fine.", clearance_id=None, person_id=people.coach.id, at=NOW)

    with pytest.raises(Refused, match="its own day"):
        hold_desk.undo_lift(db, actor=actor_of(people.coach), hold_id=hold_id, now=NOW + timedelta(days=1))
    hold_desk.undo_lift(db, actor=actor_of(people.coach), hold_id=hold_id, now=NOW)
    with pytest.raises(Refused, match="taken back already"):
        hold_desk.undo_lift(db, actor=actor_of(people.coach), hold_id=hold_id, now=NOW)
