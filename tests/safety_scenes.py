"""One client on the way to hard work, written through the storage floor: ready, unless a test changes something."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Person
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Client, Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.storage import fitness_tests, phases, prescriptions, readiness, safety, session_logs
from tests import factories
from tests.seed import NOW, TODAY

WEEKS_OF_BASE = 29


def actor_of(person: Person) -> Actor:
    """The acting person."""
    return Actor(person.id, person.name, person.role, person.client_id)


def start_base(db: Session, *, client: Client, person_id: int, weeks: int = WEEKS_OF_BASE) -> None:
    """The base began some weeks ago and every week was held; the last eight were planned here."""
    since = TODAY - timedelta(weeks=weeks)
    phases.decide(
        db,
        client_id=client.id,
        kind=DecisionKind.START,
        phase=Phase.AEROBIC_BASE,
        since_on=since,
        reason="Starts with the base.",
        evidence_json="{}",
        person_id=person_id,
        at=NOW - timedelta(weeks=weeks),
    )
    for log in factories.base_weeks(weeks, before=TODAY, minutes=50):
        planned_id = None
        if log.done_on > TODAY - timedelta(weeks=9):
            planned_id = plan_walk(db, client_id=client.id, on=log.done_on, person_id=person_id)
        session_logs.add(
            db, log=replace(log, client_id=client.id, person_id=person_id, planned_session_id=planned_id)
        )


def plan_walk(db: Session, *, client_id: int, on: date, person_id: int) -> int:
    """An easy walk of 50 min, published a week before."""
    walk = factories.planned(client_id=client_id, planned_on=on, minutes=50)
    draft = prescriptions.draft_from(walk)
    return prescriptions.add_session(
        db, client_id=client_id, draft=draft, person_id=person_id, at=NOW - timedelta(weeks=10), publish=True
    )


def answer_questions(db: Session, *, client: Client, person_id: int, **changes: Any) -> int:
    """Active, no disease, no symptoms, asked twelve days ago."""
    given: dict[str, Any] = {
        "answered_on": TODAY - timedelta(days=12),
        "active": YesNo.YES,
        "disease": YesNo.NO,
        "symptoms": YesNo.NO,
        "pregnant": YesNo.NO,
        "heart_rate_medicine": YesNo.NO,
        "details_json": "{}",
        "origin": Origin.CLIENT,
    }
    return safety.add_screening(db, client_id=client.id, person_id=person_id, at=NOW, **(given | changes))


def measure(
    db: Session, *, client: Client, person_id: int, days_ago: int = 7, high: int = 128, low: int = 78
) -> None:
    """A seated reading some days ago."""
    safety.add_pressure(
        db,
        client_id=client.id,
        measured_on=TODAY - timedelta(days=days_ago),
        systolic_mmhg=high,
        diastolic_mmhg=low,
        resting_heart_rate_bpm=62,
        origin=Origin.COACH,
        person_id=person_id,
        at=NOW,
    )


def agree(db: Session, *, client: Client, person_id: int) -> None:
    """Consent for the interval phase and the stop signs, nine days ago, on paper."""
    agree_to(db, client=client, person_id=person_id, kinds=(ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS))


def agree_to(db: Session, *, client: Client, person_id: int, kinds: tuple[ConsentKind, ...]) -> None:
    """Some consents, nine days ago, on paper."""
    for kind in kinds:
        text = CONSENT_TEXTS[kind]
        safety.add_consent(
            db,
            client_id=client.id,
            kind=kind,
            text_version=text.version,
            text_sha256=text.sha256,
            text_as_shown=text.text,
            language=text.language,
            given_on=TODAY - timedelta(days=9),
            method=Origin.FROM_PAPER,
            witness=None,
            person_id=person_id,
            at=NOW - timedelta(days=9),
        )


def walk_loops(db: Session, *, client: Client, person_id: int) -> None:
    """The standard loop eight and two weeks ago, steady."""
    for weeks in (8, 2):
        loop = factories.standard_loop(client_id=client.id, tested_on=TODAY - timedelta(weeks=weeks))
        fitness_tests.add(db, test=replace(loop, person_id=person_id))


def write_notes(db: Session, *, client: Client, person_id: int) -> None:
    """Twenty usual readiness notes up to today."""
    for days in range(20, 0, -1):
        note = factories.readiness(client_id=client.id, noted_on=TODAY - timedelta(days=days), sleep=3 + days % 2)
        readiness.add(db, note=replace(note, person_id=person_id))


def make_ready(db: Session, *, client: Client, person_id: int) -> None:
    """Every condition on the way to hard work is met."""
    start_base(db, client=client, person_id=person_id)
    answer_questions(db, client=client, person_id=person_id)
    measure(db, client=client, person_id=person_id)
    agree(db, client=client, person_id=person_id)
    walk_loops(db, client=client, person_id=person_id)
    write_notes(db, client=client, person_id=person_id)


def hold_back(
    db: Session, *, client: Client, person_id: int, kind: HoldKind = HoldKind.SYMPTOM, **changes: Any
) -> int:
    """An open hold since three days ago."""
    given: dict[str, Any] = {
        "stops": Stops.ALL if kind is HoldKind.SYMPTOM else Stops.HARD,
        "mode": None,
        "cause": "Pressure in the chest on the hill",
        "began_on": TODAY - timedelta(days=3),
    }
    return safety.raise_hold(
        db, client_id=client.id, kind=kind, person_id=person_id, at=NOW - timedelta(days=3), **(given | changes)
    )


def injure(db: Session, *, client: Client, person_id: int) -> int:
    """A sore knee since three days ago: no running, nothing hard."""
    return hold_back(
        db,
        client=client,
        person_id=person_id,
        kind=HoldKind.INJURY,
        stops=Stops.MODE_AND_HARD,
        mode=Mode.RUN,
        cause="Sore knee",
    )


def clear(db: Session, *, client: Client, person_id: int, days_ago: int = 1, **changes: Any) -> int:
    """A signed paper for vigorous work, dated yesterday."""
    given: dict[str, Any] = {
        "state": ClearanceState.GRANTED,
        "scope": Intensity.VIGOROUS,
        "requested_on": None,
        "given_on": TODAY - timedelta(days=days_ago),
        "ends_on": TODAY + timedelta(days=300),
        "signer": "Dr. Amrei Sohl",
        "profession": "general practitioner",
        "how_seen": "paper",
        "limits": None,
    }
    return safety.add_clearance(db, client_id=client.id, person_id=person_id, at=NOW, **(given | changes))
