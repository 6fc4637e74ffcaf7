"""One client's safety page: what screening says, what is held, which papers and readings there are, what is due."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import ComputedStop
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Client, Origin, age_on
from app.coaching.pressure_limits import LimitsInForce
from app.coaching.pressure_rules import limits_for, pressure_stop_of
from app.coaching.promotion import base_weeks_for
from app.coaching.promotion_practice import BASE_WEEKS_LOWEST, OLDER_FROM_YEARS
from app.coaching.reasons import REASON_ASKED, Refused, StaleEdit, is_reason
from app.coaching.regularly_active import ActiveReading, read_activity
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind, YesNo
from app.coaching.screening_decision import (
    Screening,
    denies_signs_and_disease,
    diabetes_alternative_applies,
    newest_answers,
    screening_due,
    screening_of,
    waits_by_stricter_diabetes_rule,
)
from app.coaching.weeks import local_day
from app.coaching.windows import PLAN_SHOWN, WHOLE_BASE
from app.storage import accounts, clients, felt_wrong, history, safety, scans
from app.storage.audit import RULE_CHANGED, leave_trace, newest_of_practice
from app.usecases.gate import allowed_actions, open_record

#: Long enough before intake for the thirteen weeks that are read there.
DAYS_BEFORE_INTAKE = timedelta(days=100)
#: Bounds of a believable seated reading; the file refuses others too.
SYSTOLIC_MMHG = (60, 300)
DIASTOLIC_MMHG = (30, 200)
HEART_RATE_BPM = (25, 240)
BASE_WEEKS_MOST_OLDER = 26
BASE_WEEKS_MOST = 52
CONSENT_METHODS = (Origin.FROM_PAPER, Origin.COACH)


@dataclass(frozen=True, slots=True)
class SafetyFile:
    """Everything the safety page shows."""

    history: History
    today: date
    names: Mapping[int, str]
    screening: Screening
    due: str | None
    stopped: StoppedWork
    pressure: ComputedStop | None
    #: What the two published readings of diabetes alone mean here; None when they do not differ for this client.
    diabetes: DiabetesChoice | None
    #: The limits that count for this client today.
    limits: LimitsInForce
    at_intake: ActiveReading
    lately: ActiveReading
    base_weeks: int
    may: frozenset[Action]
    #: Whether a note would be read on a phone.
    is_signed_in: bool
    #: Papers of which a scan is kept.
    scanned: frozenset[int]

    @property
    def client(self) -> Client:
        """Whose page it is."""
        return self.history.client

    @property
    def may_decide(self) -> bool:
        """Whether the person lifts holds, records papers and confirms."""
        return Action.DECIDE in self.may

    @property
    def may_log(self) -> bool:
        """Whether the person raises holds and enters readings."""
        return Action.LOG in self.may

    def name_of(self, person_id: int | None) -> str:
        """Who it was, in words."""
        return "nobody" if person_id is None else self.names.get(person_id, "somebody who has left")


@dataclass(frozen=True, slots=True)
class Reading:
    """A seated resting reading as it was typed in."""

    measured_on: date
    systolic_mmhg: int
    diastolic_mmhg: int
    resting_heart_rate_bpm: int | None
    origin: Origin


@dataclass(frozen=True, slots=True)
class DiabetesChoice:
    """Diabetes alone, read by the practice: whether it lets the client begin, and who chose that, when and why."""

    lets_begin: bool
    who: str | None
    at: datetime | None
    reason: str | None


def safety_file(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> SafetyFile:
    """A client's safety records with what follows from them. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    one = _load(db, client, today)
    screening = screening_of(one, today, rules)
    pressure = pressure_stop_of(one, today, rules)
    return SafetyFile(
        history=one,
        today=today,
        names=accounts.names_of(db, person_ids=_people_in(one)),
        screening=screening,
        due=screening_due(one, today, rules),
        stopped=stopped_now(one, today, rules),
        pressure=pressure,
        limits=limits_for(one, today, rules),
        diabetes=_diabetes(db, one, today, rules),
        at_intake=read_activity(one, client.joined_on),
        lately=read_activity(one, today),
        base_weeks=base_weeks_for(client, today, rules),
        may=allowed_actions(db, actor=actor, client=client, now=now),
        is_signed_in=bool(accounts.clients_signed_in(db, client_ids=[client_id], now=now)),
        scanned=frozenset(scan.clearance_id for scan in scans.of_client(db, client_id=client_id)),
    )


def add_pressure(
    db: Session, *, actor: Actor, client_id: int, reading: Reading, rules: Rules, now: datetime
) -> ComputedStop | None:
    """Keep a reading and say what the newest ones stop.

    Raises: NotYours, NotAllowed; Refused for an impossible one.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if reading.measured_on > local_day(now, client.zone):
        raise Refused("This day has not come yet.")
    if reading.diastolic_mmhg >= reading.systolic_mmhg:
        raise Refused("The upper number is the higher one. Perhaps they were swapped?")
    reading_id = safety.add_pressure(
        db,
        client_id=client.id,
        measured_on=reading.measured_on,
        systolic_mmhg=reading.systolic_mmhg,
        diastolic_mmhg=reading.diastolic_mmhg,
        resting_heart_rate_bpm=reading.resting_heart_rate_bpm,
        origin=reading.origin,
        person_id=actor.person_id,
        at=now,
    )
    _trace(
        db,
        actor=actor,
        client_id=client.id,
        action="add_pressure",
        subject=("blood pressure", reading_id),
        change={"after": {"measured_on": reading.measured_on, "origin": reading.origin}},
        now=now,
    )
    today = local_day(now, client.zone)
    return pressure_stop_of(_load(db, client, today), today, rules)


def add_consent(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    kind: ConsentKind,
    given_on: date,
    method: Origin,
    now: datetime,
    witness: str | None = None,
) -> int:
    """Keep a consent the client gave on paper or in person, to the text as it is now. Returns its id.

    Raises: NotYours, NotAllowed; Refused for a day to come.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    _refuse_impossible(given_on, method, today=local_day(now, client.zone))
    text = CONSENT_TEXTS[kind]
    consent_id = safety.add_consent(
        db,
        client_id=client.id,
        kind=kind,
        text_version=text.version,
        text_sha256=text.sha256,
        text_as_shown=text.text,
        language=text.language,
        given_on=given_on,
        method=method,
        witness=witness,
        person_id=actor.person_id,
        at=now,
    )
    _trace(
        db,
        actor=actor,
        client_id=client.id,
        action="add_consent",
        subject=("consent", consent_id),
        change={"after": {"kind": kind, "version": text.version, "given_on": given_on, "method": method}},
        now=now,
    )
    return consent_id


def _refuse_impossible(given_on: date, method: Origin, *, today: date) -> None:
    if given_on > today:
        raise Refused("This day has not come yet.")
    if method not in CONSENT_METHODS:
        raise Refused("A consent is given on paper or in person.")


def withdraw_consent(db: Session, *, actor: Actor, client_id: int, kind: ConsentKind, now: datetime) -> None:
    """Note that a client took a consent back; it stays on record, and in a phase for it hard work pauses at once.

    Raises: NotYours, NotAllowed.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    safety.withdraw_consents(db, client_id=client.id, kind=kind, on=today, at=now)
    _trace(
        db,
        actor=actor,
        client_id=client.id,
        action="withdraw_consent",
        subject=("consent", None),
        change={"after": {"kind": kind, "withdrawn_on": today}},
        now=now,
    )
    felt_wrong.pause_without_consent(db, client_id=client.id, kind=kind, on=today, person_id=actor.person_id, at=now)


def confirm_regularly_active(db: Session, *, actor: Actor, client_id: int, reason: str, now: datetime) -> None:
    """Confirm that a client was regularly active at intake, so that no transition is asked for.

    Raises: NotYours, NotAllowed; Refused when neither the answers nor the entries say so, or when disease or symptoms
    are not answered no.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    one = _load(db, client, today)
    answers = newest_answers(one)
    if not is_reason(reason):
        raise Refused(f"Say how you know; the reason is kept. {REASON_ASKED}")
    if answers is None:
        raise Refused("Ask the screening questions first.")
    if not denies_signs_and_disease(one):
        raise Refused("Only who answers no to disease and symptoms begins without the transition weeks.")
    at_intake = read_activity(one, client.joined_on)
    says_so = any(answer.active is YesNo.YES for answer in one.screening)
    if not (says_so or at_intake.is_strict or at_intake.is_by_practice):
        raise Refused("Neither the answers nor the entries from before intake say so.")
    _change_client(
        db,
        actor=actor,
        client=client,
        values={"regularly_active_confirmed_on": today},
        action="confirm_regularly_active",
        reason=reason.strip(),
        now=now,
    )


def take_active_back(db: Session, *, actor: Actor, client_id: int, now: datetime) -> None:
    """Take the confirmation back; the transition weeks are asked for again at once. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    _change_client(
        db,
        actor=actor,
        client=client,
        values={"regularly_active_confirmed_on": None},
        action="take_regularly_active_back",
        reason="Taken back.",
        now=now,
    )


def set_base_weeks(
    db: Session, *, actor: Actor, client_id: int, weeks: int, reason: str, rules: Rules, now: datetime
) -> None:
    """Set the held base weeks asked of one client before hard work.

    Raises: NotYours, NotAllowed; Refused outside the range for the client's age, or without a reason.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    lowest, highest = base_weeks_range(client, local_day(now, client.zone), rules)
    if not lowest <= weeks <= highest:
        raise Refused(f"Between {lowest} and {highest} weeks.")
    if not is_reason(reason):
        raise Refused(f"Say why; the reason is kept. {REASON_ASKED}")
    _change_client(
        db,
        actor=actor,
        client=client,
        values={"base_weeks_asked": weeks},
        action="set_base_weeks",
        reason=reason.strip(),
        now=now,
    )


def base_weeks_range(client: Client, today: date, rules: Rules) -> tuple[int, int]:
    """From 60, or with the birth date unknown, a coach sets 13 to 26; below it only more than the practice asks."""
    age = age_on(client.born_on, today)
    if age is None or age >= OLDER_FROM_YEARS:
        return BASE_WEEKS_LOWEST, BASE_WEEKS_MOST_OLDER
    return rules.base_weeks, BASE_WEEKS_MOST


def _change_client(
    db: Session,
    *,
    actor: Actor,
    client: Client,
    values: dict[str, date | int | None],
    action: str,
    reason: str,
    now: datetime,
) -> None:
    if not clients.change(db, client_id=client.id, revision=client.revision, values=dict(values)):
        raise StaleEdit("Somebody changed this client's record a moment ago. Look again.")
    before = {name: getattr(client, name) for name in values}
    _trace(
        db,
        actor=actor,
        client_id=client.id,
        action=action,
        subject=("client", client.id),
        change={"before": before, "after": values},
        reason=reason,
        now=now,
    )


def _trace(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    action: str,
    subject: tuple[str, int | None],
    change: Mapping[str, object],
    now: datetime,
    reason: str | None = None,
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject=subject[0],
        subject_id=subject[1],
        change=change,
        reason=reason,
    )


def _diabetes(db: Session, one: History, today: date, rules: Rules) -> DiabetesChoice | None:
    if waits_by_stricter_diabetes_rule(one, today, rules):
        return DiabetesChoice(False, None, None, None)
    if not diabetes_alternative_applies(one, today, rules):
        return None
    chosen = newest_of_practice(db, action=RULE_CHANGED, subject="diabetes_alternative")
    by = (chosen.person_name, chosen.at, chosen.reason) if chosen else (None, None, None)
    return DiabetesChoice(True, *by)


def _load(db: Session, client: Client, today: date) -> History:
    return history.load(
        db,
        client_ids=[client.id],
        from_on=min(today - WHOLE_BASE, client.joined_on - DAYS_BEFORE_INTAKE),
        until_on=today + PLAN_SHOWN,
    )[0]


def _people_in(one: History) -> set[int]:
    found = {hold.person_id for hold in one.holds} | {paper.person_id for paper in one.clearances}
    found |= {hold.lifted_by for hold in one.holds if hold.lifted_by is not None}
    found |= {answers.person_id for answers in one.screening} | {reading.person_id for reading in one.pressures}
    found |= {limit.person_id for limit in one.pressure_limits}
    return found | {report.person_id for report in one.symptoms}
