"""The invented practice the browser tests look at: one client with everything, one held, one bare, one gone quiet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Role
from app.coaching.people import Client, ContactKind, Mode, Origin, Visibility
from app.coaching.phases import DecisionKind, Phase
from app.coaching.session_logs import Posture
from app.coaching.steps import Repeat, to_json
from app.coaching.symptoms import sign_of
from app.storage import accounts, clients, conversations, felt_wrong, prescriptions, safety
from app.usecases.passwords import Passwords
from app.web.security import token_sha256
from tests import factories, safety_scenes, seed
from tests.seed import NOW, TODAY, People

LINK = "a-personal-link-of-the-browser-tests"
NEWCOMER = "token-of-a-coach-without-clients"
READY = "token-of-a-client-on-the-way-to-hard-work"
HELD = "token-of-a-client-on-hold"
BARE = "token-of-a-client-without-anything"
FEED = "a-secret-of-the-feed"
REGULAR = TODAY - timedelta(weeks=39)


@dataclass(frozen=True)
class Stage:
    """Who is on it, by identity; the records fill the addresses of a coach's and a client's pages."""

    client_id: int
    ready_id: int
    held_id: int
    bare_id: int
    #: Was brought in; nobody has confirmed the phase yet.
    brought_id: int
    records: dict[str, object]
    phone_records: dict[str, object]


def set_stage(db: Session, people: People) -> Stage:
    """Fill the tests' practice."""
    ilse_records = _interval_client(db, people)
    ready = _client(db, people, "Ansgar Vole", READY)
    safety_scenes.make_ready(db, client=ready, person_id=people.coach.id)
    held = _client(db, people, "Maud Ellery", HELD)
    safety_scenes.make_ready(db, client=held, person_id=people.coach.id)
    hold_id = report(db, client_id=held.id, person_id=people.coach.id)
    seed.add_planned_hard(db, client=held)
    bare = _client(db, people, "Odd Fennimore", BARE)
    quiet = _client(db, people, "Tilde Marsh", "token-of-a-quiet-client")
    seed.add_answers(db, client=quiet)
    seed.add_phase(db, client=quiet)
    brought = _client(db, people, "Ebbe Lund", "token-of-a-client-brought-in")
    seed.add_phase(db, client=brought, kind=DecisionKind.BROUGHT_IN, attested_by="a diary", confirmed_at=None)
    newcomer = seed.add_coach(
        db,
        "Nils Aker",
        "nils@birchway.example",
        role=Role.COACH,
        password_hash=Passwords(quick=True).hash(seed.PASSWORD),
    )
    seed.add_login(db, person=newcomer, token=NEWCOMER)
    invite(db, client_id=bare.id, coach_id=people.coach.id)
    conversations.add_feed(db, person_id=people.coach.id, token_sha256=token_sha256(FEED), at=NOW)
    records = ilse_records | {"hold_id": hold_id, "secret": FEED, "quiet_id": quiet.id}
    return Stage(people.client.id, ready.id, held.id, bare.id, brought.id, records, ilse_records)


def _client(db: Session, people: People, name: str, token: str) -> Client:
    made = seed.add_client(db, coach_id=people.coach.id, name=name)
    seed.add_login(db, person=seed.client_person(db, made), token=token)
    return made


def make_hard_work_allowed(db: Session, people: People) -> int:
    """The client stands in the interval phase, papers in order, and has four rounds today; the session's identity."""
    ilse, coach_id = people.client, people.coach.id
    clients.change(db, client_id=ilse.id, revision=1, values={"regularly_active_confirmed_on": REGULAR})
    seed.make_calm(db, client=ilse)
    safety_scenes.measure(db, client=ilse, person_id=coach_id)
    safety_scenes.agree(db, client=ilse, person_id=coach_id)
    safety_scenes.clear(db, client=ilse, person_id=coach_id)
    warm_up, work, rest, *_others, cool_down = factories.interval_steps()
    steps = (warm_up, Repeat(4, (work, rest)), cool_down)
    return seed.add_planned_hard(db, client=ilse, title="Four hill rounds", steps_json=to_json(steps))


def sleep_badly(db: Session, people: People) -> None:
    """Four hours, so that today's rounds are in doubt."""
    seed.add_readiness(db, client=people.client, slept_h=4.0)


def report(db: Session, *, client_id: int, person_id: int, sign: str = "chest", days_ago: int = 3) -> int:
    """Something felt wrong some days ago, and the hold it raised; the hold's identity."""
    made = felt_wrong.record(
        db,
        client_id=client_id,
        sign=sign_of(sign),
        felt_on=TODAY - timedelta(days=days_ago),
        mode=None,
        text="On the hill.",
        origin=Origin.TOLD_BY_PHONE,
        person_id=person_id,
        at=NOW - timedelta(days=days_ago),
    )
    return made.hold_id


def _interval_client(db: Session, people: People) -> dict[str, object]:
    """Everything a client can have: the values of the addresses under the client."""
    ilse, coach_id = people.client, people.coach.id
    old_hold = report(db, client_id=ilse.id, person_id=coach_id, sign="too_hard", days_ago=90)
    safety.lift_hold(
        db, hold_id=old_hold, because="Spoke about pacing; the next two went well.", clearance_id=None,
        person_id=coach_id, at=NOW - timedelta(days=80),
    )  # fmt: skip
    seed.add_phase(db, client=ilse)
    planned_id = make_hard_work_allowed(db, people)
    sleep_badly(db, people)
    safety_scenes.walk_loops(db, client=ilse, person_id=coach_id)
    _plan_ahead(db, people)
    _write_down(db, people)
    rounds = tuple(factories.work_round(number=n, power_w=180.0, heart_rate_end_bpm=150 + n) for n in range(1, 5))
    log_id = seed.add_log(
        db, client=ilse, done_on=TODAY - timedelta(days=2), talk=None, effort=7.0, rounds=rounds,
        posture=Posture.STOOD, note="Windy, but good.",
    )  # fmt: skip
    seed.add_recording(db, client=ilse, log_id=log_id, levels=(214.0, 207.0, 197.0, 184.0))
    easy_log_id = seed.add_log(db, client=ilse, done_on=TODAY - timedelta(days=5), mode=Mode.INDOOR_RIDE)
    seed.add_recording(db, client=ilse, log_id=easy_log_id, levels=(112.0,))
    person = seed.client_person(db, ilse)
    clearance_id = seed.add_clearance(db, client=ilse)
    return {
        "clearance_id": clearance_id,
        "scan_id": seed.add_scan(db, client=ilse, clearance_id=clearance_id),
        "incident_id": seed.add_incident(db, client=ilse),
        "template_id": seed.add_template(db, client=ilse),
        "protocol_key": seed.add_own_protocol(db, client=ilse),
        "hill_id": seed.add_hill(db, person_id=coach_id),
        "client_id": ilse.id,
        "planned_session_id": planned_id,
        "log_id": log_id,
        "easy_log_id": easy_log_id,
        "hold_id": old_hold,
        "away_id": seed.add_told_away(
            db, client=ilse, from_on=TODAY + timedelta(days=9), until_on=TODAY + timedelta(days=15)
        ),
        "request_id": seed.add_data_request(db, client=ilse),
        "login_id": accounts.logins_of(db, person_id=person.id, now=NOW)[0].id,
        "person_id": people.stand_in.id,
        "setting": "base_weeks",
        "month": "2026-11",
        "question": "chest",
    }


def _plan_ahead(db: Session, people: People) -> None:
    ilse = people.client
    monday = TODAY - timedelta(days=TODAY.weekday())
    block_id = prescriptions.add_block(
        db, client_id=ilse.id, phase=Phase.INTERVAL_ONE, aim="One hard session a week", starts_on=monday, weeks=6,
        is_introductory=True, wishes_json="{}", person_id=people.coach.id, at=NOW,
    )  # fmt: skip
    for week in range(6):
        prescriptions.keep_week(
            db, client_id=ilse.id, starts_on=monday + timedelta(weeks=week), block_id=block_id,
            is_easier=week == 3, target_minutes=150, note="Hills when it is dry." if week == 0 else None,
        )  # fmt: skip
    for days in (1, 3, 8):
        seed.add_planned(db, client=ilse, planned_on=TODAY + timedelta(days=days), publish=days < 8)
    seed.add_planned(db, client=ilse, planned_on=TODAY - timedelta(days=3))
    clients.replace_available_days(
        db, client_id=ilse.id, days=[factories.available(client_id=ilse.id, weekday=n) for n in (1, 3, 5)]
    )


def _write_down(db: Session, people: People) -> None:
    ilse = people.client
    clients.add_goal(
        db, client_id=ilse.id, text="Up the chapel hill without a stop", why="With my granddaughter", confidence=7,
        due_on=TODAY + timedelta(weeks=20), agreed_on=TODAY - timedelta(weeks=40),
    )  # fmt: skip
    clients.add_leave(
        db, client_id=ilse.id, from_on=TODAY + timedelta(days=20), until_on=TODAY + timedelta(days=26), reason="Sea"
    )
    clients.add_contact(
        db, client_id=ilse.id, contact_on=TODAY - timedelta(days=9), kind=ContactKind.VISIT,
        text="Walked the loop together.", person_id=people.coach.id,
    )  # fmt: skip
    for visibility in Visibility:
        seed.add_note(db, client=ilse, visibility=visibility, text=f"A note, {visibility.value}.")
    clients.keep_month_remark(
        db, client_id=ilse.id, month="2026-11", text="A steady month.", person_id=people.coach.id, at=NOW
    )


def invite(db: Session, *, client_id: int, coach_id: int, token: str = LINK) -> None:
    """A personal link for a client, good for a week."""
    person = accounts.person_of_client(db, client_id=client_id)
    assert person is not None
    accounts.add_invite(
        db,
        person_id=person.id,
        token_sha256=token_sha256(token),
        created_by=coach_id,
        at=NOW,
        ends_at=NOW + timedelta(days=7),
    )
