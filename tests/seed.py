"""Records for page tests, written through the storage floor: the practice's people and one client's training."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any

import numpy as np
from sqlalchemy.orm import Session

from app.coaching import recording_about
from app.coaching.access import Person, Role
from app.coaching.effort import Talk
from app.coaching.hills import Surface
from app.coaching.people import Client, Origin, Visibility
from app.coaching.phases import Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocol_library import own_draft
from app.coaching.protocol_values import OWN_KEY
from app.coaching.protocols import protocol_of
from app.coaching.recordings import Recording
from app.coaching.week_templates import template_session
from app.files.kept_series import SERIES_FORMAT, pack
from app.storage import (
    accounts,
    clients,
    data_requests,
    hills,
    incidents,
    measured,
    phases,
    prescriptions,
    protocols,
    readiness,
    recordings,
    safety,
    scans,
    session_logs,
    signals,
    told_away,
    week_templates,
)
from app.storage.recordings import KeptRecording
from app.usecases.accounts import begin_login, create_coach
from app.usecases.passwords import Passwords
from app.web.security import token_sha256
from tests import factories

#: Wednesday 25 November 2026, 07:00 UTC: eight in the morning in the practice.
NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
TODAY = date(2026, 11, 25)
ZONE = "Europe/Berlin"
PASSWORD = "four mild rainy mornings"
#: The smallest file that passes for a PDF.
SCAN = b"%PDF-1.4\n%%EOF\n"


@dataclass(frozen=True)
class People:
    """Who works at the tests' practice and who trains there."""

    head: Person
    coach: Person
    other_coach: Person
    stand_in: Person
    #: Trains with `coach`, has a signed-in phone.
    client: Client
    #: Trains with `other_coach`.
    other_client: Client
    #: Trains with the head coach, handed over to `stand_in` for these weeks, private notes not included.
    handed_client: Client


def add_people(db: Session, *, now: datetime = NOW) -> People:
    """Four on the coach's side and three clients."""
    password_hash = Passwords(quick=True).hash(PASSWORD)
    head = create_coach(db, name="Greta Alm", email="greta@birchway.example", password_hash=password_hash, now=now)
    coach = add_coach(db, "Jonah Pell", "jonah@birchway.example", role=Role.COACH, password_hash=password_hash)
    other = add_coach(db, "Sunniva Oates", "sunniva@birchway.example", role=Role.COACH, password_hash=password_hash)
    stand_in = add_coach(db, "Piet Lund", "piet@birchway.example", role=Role.STAND_IN, password_hash=password_hash)
    ilse = add_client(db, coach_id=coach.id, name="Ilse Brandt")
    ruben = add_client(db, coach_id=other.id, name="Ruben Castor")
    hanne = add_client(db, coach_id=head.id, name="Hanne Weidel")
    accounts.add_handover(
        db,
        client_id=hanne.id,
        person_id=stand_in.id,
        from_on=TODAY - timedelta(days=5),
        until_on=TODAY + timedelta(days=10),
        with_private_notes=False,
    )
    return People(head, coach, other, stand_in, ilse, ruben, hanne)


def add_coach(db: Session, name: str, email: str, *, role: Role, password_hash: str, now: datetime = NOW) -> Person:
    """Somebody on the coach's side."""
    person_id = accounts.add_person(
        db, name=name, email=email, role=role, password_hash=password_hash, client_id=None, at=now
    )
    return _person(db, person_id)


def add_client(db: Session, *, coach_id: int, now: datetime = NOW, **changes: Any) -> Client:
    """A client (factories.client with changes) and the person who signs in as the client."""
    wished = factories.client(
        coach_id=coach_id,
        joined_on=changes.pop("joined_on", TODAY - timedelta(weeks=40)),
        emergency_confirmed_on=changes.pop("emergency_confirmed_on", TODAY - timedelta(days=20)),
        **changes,
    )
    kept = clients.add(db, client=wished, at=now)
    accounts.add_person(
        db, name=kept.name, email=None, role=Role.CLIENT, password_hash=None, client_id=kept.id, at=now
    )
    return kept


def _person(db: Session, person_id: int) -> Person:
    found = accounts.person(db, person_id=person_id)
    assert found is not None
    return found


def client_person(db: Session, client: Client) -> Person:
    """The person who signs in as a client."""
    found = accounts.person_of_client(db, client_id=client.id)
    assert found is not None
    return found


def add_login(db: Session, *, person: Person, token: str, now: datetime = NOW) -> None:
    """A signed-in browser of a person."""
    begin_login(db, person=person, token_sha256=token_sha256(token), device="test browser", now=now)


def add_log(db: Session, *, client: Client, **changes: Any) -> int:
    """A session log of the client's own (factories.log with changes), today unless `done_on` says otherwise."""
    wished = factories.log(**({"client_id": client.id, "done_on": TODAY} | changes))
    return session_logs.add(db, log=replace(wished, person_id=client_person(db, client).id))


def add_base_weeks(db: Session, *, client: Client, count: int, minutes: float = 45) -> None:
    """Three easy walks in each of the weeks before this one."""
    person_id = client_person(db, client).id
    for one in factories.base_weeks(count, before=TODAY, minutes=minutes):
        session_logs.add(db, log=replace(one, client_id=client.id, person_id=person_id))


def add_planned(db: Session, *, client: Client, publish: bool = True, **changes: Any) -> int:
    """A planned session (factories.planned with changes), published a week before its day; returns its identity."""
    return _keep_planned(db, client, factories.planned(**({"planned_on": TODAY} | changes)), publish)


def add_planned_hard(db: Session, *, client: Client, publish: bool = True, **changes: Any) -> int:
    """A planned hard session (factories.planned_hard with changes); returns its identity."""
    return _keep_planned(db, client, factories.planned_hard(**({"planned_on": TODAY} | changes)), publish)


def _keep_planned(db: Session, client: Client, wished: PlannedSession, publish: bool) -> int:
    values = {f.name: getattr(wished, f.name) for f in fields(prescriptions.VersionDraft)}
    return prescriptions.add_session(
        db,
        client_id=client.id,
        draft=prescriptions.VersionDraft(**values),
        person_id=client.coach_id,
        at=wished.created_at,
        publish=publish,
    )


def add_measured(db: Session, *, client: Client, **changes: Any) -> int:
    """A measured figure (factories.measured with changes): critical power of the indoor bike, a month ago."""
    on = changes.pop("measured_on", TODAY - timedelta(days=30))
    wished = factories.measured(measured_on=on, client_id=client.id, person_id=client.coach_id, **changes)
    return measured.add(db, measured=wished)


def add_template(db: Session, *, client: Client, name: str = "Three easy walks") -> int:
    """A week template with one easy walk on each of three days, kept by a client's coach."""
    days = [TODAY - timedelta(days=TODAY.weekday()) + timedelta(days=n) for n in (0, 2, 4)]
    sessions = [template_session(factories.planned(planned_on=day)) for day in days]
    return week_templates.add(db, name=name, sessions=sessions, person_id=client.coach_id, at=NOW)


def add_hill(db: Session, *, person_id: int, **changes: Any) -> int:
    """A hill of the practice."""
    values = {
        "name": "Quarry hill", "length_m": 1250.0, "slope_fraction": 0.062, "surface": Surface.ORDINARY,
        "has_room_to_turn": True, "is_exposed": True, "is_lit": False, "for_riding": True, "for_running": True,
        "for_walking": True, "note": "Turn in the yard.",
    }  # fmt: skip
    return hills.add(db, values=values | changes, person_id=person_id, at=NOW)


def add_own_protocol(db: Session, *, client: Client, name: str = "Mill lane fours") -> str:
    """A session of the practice's own, copied by a client's coach; returns its key."""
    draft = own_draft(protocol_of("four_by_four"), name=name)
    kept = protocols.add(db, draft=draft, copied_from="four_by_four", person_id=client.coach_id, at=NOW)
    return f"{OWN_KEY}{kept}"


def add_recording(
    db: Session, *, client: Client, log_id: int, levels: Sequence[float], first_30_above_w: float = 0.0
) -> int:
    """A recording by power: 15 min easy, a round of four minutes at each level with as much rest, 10 min easy.

    first_30_above_w: so much above its level each round begins with.
    """
    parts = [np.full(900, 110.0)]
    for level in levels:
        parts += [np.full(30, level + first_30_above_w), np.full(210, level), np.full(240, 90.0)]
    power = np.concatenate([*parts, np.full(600, 105.0)])
    made = Recording(np.arange(power.size, dtype=float), power_w=power, heart_rate_bpm=120 + 0.2 * power)
    said = recording_about.to_json(recording_about.About(made.channels, (), (), None))
    kept = KeptRecording(
        id=0, client_id=client.id, session_log_id=log_id, origin=Origin.CLIENT, file_kind="csv",
        file_sha256=f"{log_id:064d}", file_bytes=1000, started_at=None, duration_s=int(made.duration_s),
        has_places=False, about_json=said, series_bytes=0, series_format=SERIES_FORMAT, reading_version=1,
        edges_json=None, edges_at=None, edges_by=None, added_at=NOW, person_id=client.coach_id, removed_at=None,
        removed_by=None,
    )  # fmt: skip
    return recordings.add(db, recording=kept, series=pack(made, {}))


def add_data_request(db: Session, *, client: Client, **changes: Any) -> int:
    """A request about data (factories.data_request with changes): a copy, asked for by the client today."""
    person_id = changes.pop("person_id", client_person(db, client).id)
    wished = factories.data_request(**({"asked_on": TODAY, "recorded_at": NOW} | changes))
    return data_requests.add(db, request=replace(wished, client_id=client.id, person_id=person_id))


def add_told_away(db: Session, *, client: Client, **changes: Any) -> int:
    """Days away (factories.told_away with changes): eight days off up to yesterday, told by the client today."""
    person_id = changes.pop("person_id", client_person(db, client).id)
    days = {"from_on": TODAY - timedelta(days=8), "until_on": TODAY - timedelta(days=1), "told_at": NOW}
    wished = factories.told_away(**(days | changes))
    return told_away.add(db, told=replace(wished, client_id=client.id, person_id=person_id))


def add_phase(db: Session, *, client: Client, **changes: Any) -> int:
    """A phase decision (factories.decision with changes): the start of the base forty weeks ago."""
    day = changes.pop("since_on", TODAY - timedelta(weeks=40))
    wished = factories.decision(since_on=day, **changes)
    return phases.decide(
        db,
        client_id=client.id,
        kind=wished.kind,
        phase=wished.phase,
        since_on=wished.since_on,
        reason=wished.reason,
        evidence_json=wished.evidence_json,
        person_id=client.coach_id,
        at=wished.decided_at,
        attested_by=wished.attested_by,
        confirmed_at=wished.confirmed_at,
    )


def add_readiness(db: Session, *, client: Client, **changes: Any) -> int:
    """A readiness note of the client's own (factories.readiness with changes), today unless `noted_on` is given."""
    wished = factories.readiness(**({"client_id": client.id, "noted_on": TODAY} | changes))
    return readiness.add(db, note=replace(wished, person_id=client_person(db, client).id))


def add_clearance(db: Session, *, client: Client, **changes: Any) -> int:
    """A clearance for vigorous work (factories.clearance with changes), recorded by the client's coach."""
    wished = factories.clearance(**changes)
    return safety.add_clearance(
        db,
        client_id=client.id,
        state=wished.state,
        scope=wished.scope,
        requested_on=wished.requested_on,
        given_on=wished.given_on,
        ends_on=wished.ends_on,
        signer=wished.signer,
        profession=wished.profession,
        how_seen=wished.how_seen,
        limits=wished.limits,
        person_id=client.coach_id,
        at=wished.recorded_at,
    )


def add_scan(db: Session, *, client: Client, clearance_id: int, content: bytes = SCAN) -> int:
    """A small scan beside a clearance."""
    return scans.add(
        db,
        client_id=client.id,
        clearance_id=clearance_id,
        media_type="application/pdf",
        name="letter.pdf",
        sha256=hashlib.sha256(content).hexdigest(),
        content=content,
        person_id=client.coach_id,
        at=NOW,
    )


def add_hold(db: Session, *, client: Client, **changes: Any) -> int:
    """An open hold (factories.hold with changes), raised by the client yesterday."""
    wished = factories.hold(**({"began_on": TODAY - timedelta(days=1)} | changes))
    return safety.raise_hold(
        db,
        client_id=client.id,
        kind=wished.kind,
        stops=wished.stops,
        mode=wished.mode,
        cause=wished.cause,
        began_on=wished.began_on,
        person_id=client_person(db, client).id,
        at=wished.raised_at,
    )


def add_incident(db: Session, *, client: Client, days_ago: int = 0, **changes: Any) -> int:
    """An open incident without a hold, written down on its day by the client's coach."""
    given: dict[str, Any] = {
        "happened_on": TODAY - timedelta(days=days_ago),
        "about_when": "about 18:40",
        "activity": "Second round of the hill walk",
        "place": "Quarry path",
        "symptoms": "Turned an ankle, could walk on",
        "action_taken": "Sat down, walked home with her sister",
        "outcome": "A little swollen, no doctor seen",
        "hold_id": None,
    }
    at = NOW - timedelta(days=days_ago)
    return incidents.add(db, client_id=client.id, person_id=client.coach_id, at=at, **(given | changes))


def add_note(db: Session, *, client: Client, visibility: Visibility = Visibility.PRIVATE, text: str = "") -> int:
    """A note by the client's coach, private unless said otherwise."""
    return clients.add_note(
        db,
        client_id=client.id,
        text=text or "Knees fine so far.",
        visibility=visibility,
        person_id=client.coach_id,
        at=NOW,
    )


def add_answers(db: Session, *, client: Client, **changes: Any) -> int:
    """Screening answers of the client's own (factories.answers with changes), given ten days ago."""
    wished = factories.answers(**({"answered_on": TODAY - timedelta(days=10)} | changes))
    return safety.add_screening(
        db,
        client_id=client.id,
        answered_on=wished.answered_on,
        active=wished.active,
        disease=wished.disease,
        symptoms=wished.symptoms,
        pregnant=wished.pregnant,
        heart_rate_medicine=wished.heart_rate_medicine,
        details_json=wished.details_json,
        origin=wished.origin,
        person_id=client_person(db, client).id,
        at=wished.entered_at,
    )


def add_contact(db: Session, *, client: Client, **changes: Any) -> int:
    """A contact of the client's coach (factories.contact with changes), three days ago."""
    wished = factories.contact(**({"contact_on": TODAY - timedelta(days=3)} | changes))
    return clients.add_contact(
        db,
        client_id=client.id,
        contact_on=wished.contact_on,
        kind=wished.kind,
        text=wished.text,
        person_id=client.coach_id,
    )


def add_calm_client(db: Session, *, coach_id: int, spoken_days_ago: int = 3, **changes: Any) -> Client:
    """A client of forty nothing waits for: screened, on one hard session a week, spoken with, entered yesterday."""
    wished = {"born_on": date(1986, 3, 2), "regularly_active_confirmed_on": TODAY - timedelta(weeks=39)} | changes
    client = add_client(db, coach_id=coach_id, **wished)
    make_calm(db, client=client, spoken_days_ago=spoken_days_ago)
    return client


def make_calm(db: Session, *, client: Client, spoken_days_ago: int = 3) -> None:
    """The records of a client nothing waits for; whether hard work needs a transition is the client's own matter."""
    add_phase(db, client=client, since_on=TODAY - timedelta(days=20), phase=Phase.INTERVAL_ONE)
    add_answers(db, client=client)
    add_contact(db, client=client, contact_on=TODAY - timedelta(days=spoken_days_ago))
    hard = TODAY - timedelta(days=4)
    add_log(db, client=client, done_on=hard, entered_at=factories.at(hard, 18), talk=Talk.FEW_WORDS)
    easy = TODAY - timedelta(days=1)
    add_log(db, client=client, done_on=easy, entered_at=factories.at(easy, 18))


def add_handled(db: Session, *, client: Client, signal: str = "quiet", key: str = "quiet:joined:0") -> int:
    """A morning line of a client, handled by the client's coach this morning."""
    return signals.keep(
        db, client_id=client.id, signal=signal, key=key, until_on=None, person_id=client.coach_id, at=NOW
    )
