"""One client's page: everything a person may see of the record, read once."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.clinician_limit import ClinicianLimit, clinician_limit
from app.coaching.done_work import is_hard
from app.coaching.forecast_kept import KeptForecast
from app.coaching.heart_rate_trust import HeartRateTrust, trust_of
from app.coaching.history import History
from app.coaching.hold_rules import MayTrain, StoppedWork, stops_everything
from app.coaching.leave_to_train import may_train_now, stopped_beside_holds
from app.coaching.matching import Status, WeekComparison, compare_weeks
from app.coaching.morning import is_dealt_with
from app.coaching.people import Client, Note, Visibility
from app.coaching.prescriptions import PlannedSession
from app.coaching.quiet import Silence, silence
from app.coaching.readiness_rules import ReadinessJudgement, is_down
from app.coaching.ribbon import Ribbon, ribbon
from app.coaching.rules import Rules
from app.coaching.screening_decision import Screening, screening_due, screening_of
from app.coaching.session_logs import SessionLog
from app.coaching.signals import Signal, signals
from app.coaching.trail import TrailEntry, trail_entry
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import PLAN_SHOWN, WHOLE_BASE
from app.storage import accounts, forecasts, history
from app.storage.audit import leave_trace, trail_of
from app.usecases.gate import NotAllowed, allowed_actions, open_record


@dataclass(frozen=True, slots=True)
class ClientHead:
    """Who a page is about, and what the acting person may do here."""

    client: Client
    today: date
    may: frozenset[Action]

    @property
    def may_decide(self) -> bool:
        """Whether the person plans and decides for this client."""
        return Action.DECIDE in self.may

    @property
    def may_log(self) -> bool:
        """Whether the person enters, speaks with and eases for this client."""
        return Action.LOG in self.may

    @property
    def may_read_private(self) -> bool:
        """Whether the person reads and writes private notes."""
        return Action.READ_PRIVATE in self.may


@dataclass(frozen=True, slots=True)
class TodaysSession:
    """A session planned for today, how it stands, and what may be done of it."""

    planned: PlannedSession
    status: Status
    may: MayTrain


@dataclass(frozen=True, slots=True)
class ExtraToday:
    """An entry of today that answers nothing planned."""

    log: SessionLog
    is_hard: bool


@dataclass(frozen=True, slots=True)
class ClientFile:
    """What the client's page is made of. Private notes are left out of the history unless they may be read."""

    head: ClientHead
    history: History
    names: Mapping[int, str]
    silence: Silence
    ribbon: Ribbon
    this_week: WeekComparison
    next_week: WeekComparison
    screening: Screening
    readiness: ReadinessJudgement
    heart_rate: HeartRateTrust
    todays: tuple[TodaysSession, ...]
    #: Why the health questions are due.
    due: str | None
    #: Whether a note would be read on a phone.
    is_signed_in: bool
    #: When training will likely be ready for the decision, as last reckoned.
    forecast: KeptForecast | None
    #: What is stopped by anything else than an open hold.
    beside_holds: StoppedWork
    limit: ClinicianLimit | None
    #: What the morning asks about the client and nobody has dealt with.
    asked: tuple[Signal, ...]
    #: Entries of today that were not planned.
    extra_today: tuple[ExtraToday, ...]

    @property
    def is_all_stopped(self) -> bool:
        """Whether no training is allowed today."""
        return bool(self.beside_holds.all_because) or any(map(stops_everything, self.history.open_holds))

    def name_of(self, person_id: int | None) -> str:
        """Who it was, in words."""
        return "the desk" if person_id is None else self.names.get(person_id, "somebody who has left")


def open_head(
    db: Session, *, actor: Actor, client_id: int, now: datetime, action: Action = Action.READ
) -> ClientHead:
    """The client for a page of the coach's side. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    if not actor.is_coach:
        raise NotAllowed("This page belongs to the coach's side of the desk.")
    return ClientHead(client, local_day(now, client.zone), allowed_actions(db, actor=actor, client=client, now=now))


def open_file(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> ClientFile:
    """Everything on a client's page. Raises: NotYours."""
    head = open_head(db, actor=actor, client_id=client_id, now=now)
    today = head.today
    full = history.load(
        db,
        client_ids=[client_id],
        from_on=today - WHOLE_BASE,
        until_on=today + PLAN_SHOWN,
    )[0]
    shown = full if head.may_read_private else replace(full, notes=_without_private(full))
    monday = week_start(today)
    this_week, next_week = compare_weeks(full, (monday, monday + timedelta(weeks=1)), today, rules)
    return ClientFile(
        head=head,
        history=shown,
        names=accounts.names_of(db, person_ids=set(_people_in(shown))),
        silence=silence(full, today, rules),
        ribbon=ribbon(full, today, rules),
        this_week=this_week,
        next_week=next_week,
        screening=screening_of(full, today, rules),
        readiness=is_down(full.readiness, today, rules),
        heart_rate=trust_of(full, today),
        todays=_todays(full, this_week, today, rules),
        due=screening_due(full, today, rules),
        is_signed_in=is_signed_in(db, client_id=client_id, now=now),
        forecast=forecasts.kept(db, client_id=client_id, rules=rules),
        beside_holds=stopped_beside_holds(full, today, rules),
        limit=clinician_limit(full, today),
        asked=_asked(full, today, rules),
        extra_today=_extra_today(this_week, today, rules),
    )


def is_signed_in(db: Session, *, client_id: int, now: datetime) -> bool:
    """Whether a client has a phone signed in; the caller has opened the record."""
    return bool(accounts.clients_signed_in(db, client_ids=[client_id], now=now))


def _todays(one: History, this_week: WeekComparison, today: date, rules: Rules) -> tuple[TodaysSession, ...]:
    return tuple(
        TodaysSession(pair.planned, pair.status, may_train_now(one, pair.planned, today, rules))
        for pair in this_week.pairs
        if pair.planned is not None and pair.planned.planned_on == today
    )


def _asked(one: History, today: date, rules: Rules) -> tuple[Signal, ...]:
    """The lines of the morning about one client, what comes first first."""
    zone = one.client.zone
    return tuple(s for s in signals(one, today, rules) if not is_dealt_with(s, one.handled, today, zone))


def _extra_today(this_week: WeekComparison, today: date, rules: Rules) -> tuple[ExtraToday, ...]:
    return tuple(
        ExtraToday(pair.log, is_hard(pair.log, None, rules))
        for pair in this_week.pairs
        if pair.planned is None and pair.log is not None and pair.log.done_on == today and pair.log.minutes
    )


def trail(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[ClientHead, tuple[TrailEntry, ...]]:
    """The audit trail of a client's record, newest first. Raises: NotYours."""
    head = open_head(db, actor=actor, client_id=client_id, now=now)
    return head, tuple(
        trail_entry(at=one.at, who=one.person_name, action=one.action, change_json=one.change_json, reason=one.reason)
        for one in trail_of(db, client_id=client_id)
    )


def emergency_card(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> ClientFile:
    """What is needed when something happens. The caller notes the access by `note_card_opened`."""
    return open_file(db, actor=actor, client_id=client_id, rules=rules, now=now)


def note_card_opened(db: Session, *, actor: Actor, client_id: int, now: datetime) -> None:
    """Leave a trace that the emergency card was looked at; runs in the journal's own transaction."""
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="open_emergency_card",
        subject="client",
        subject_id=client_id,
    )


def coaches_by_id(db: Session) -> dict[int, str]:
    """Everyone who may be a client's coach."""
    return {person.id: person.name for person in accounts.coaches(db) if person.is_active}


def _without_private(full: History) -> tuple[Note, ...]:
    return tuple(note for note in full.notes if note.visibility is not Visibility.PRIVATE)


def _people_in(records: History) -> Iterable[int]:
    yield records.client.coach_id
    yield from (one.person_id for one in records.decisions)
    yield from (one.person_id for one in records.holds)
    yield from (one.person_id for one in records.notes)
    yield from (one.person_id for one in records.contacts)
    yield from (one.person_id for one in records.tests)
