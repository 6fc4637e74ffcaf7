"""Opening one planned session: what it says, its versions, and what it breaks as it stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.easy_version import eased
from app.coaching.heat import HeatCaution, by_effort_in_heat, caution_on
from app.coaching.hills import Hill
from app.coaching.history import History
from app.coaching.hold_rules import MayTrain
from app.coaching.leave_to_train import may_train_now
from app.coaching.lookahead import Breach, Level, as_if_sent, breaches
from app.coaching.lookahead_fit import before_sending
from app.coaching.people import Client, ClientState
from app.coaching.plan_weeks import Standing, entries_of, is_answered
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import accounts, hills, illness, prescriptions
from app.usecases.gate import allowed_actions, open_planned_session, open_record, readable_clients
from app.usecases.plan_sessions.changing import may_take_easy_back
from app.usecases.plan_sessions.judged import judged_before
from app.usecases.plan_sessions.keeping import history_around


@dataclass(frozen=True, slots=True)
class VersionLine:
    """One version with its author's name."""

    session: PlannedSession
    author: str
    #: The version that stood when its day began, which a later one does not hide.
    is_start_of_day: bool


@dataclass(frozen=True, slots=True)
class SessionPage:
    """One planned session with everything its page shows."""

    client: Client
    session: PlannedSession
    standing: Standing
    versions: tuple[VersionLine, ...]
    today: date
    is_over: bool
    is_answered: bool
    may_plan: bool
    #: Whether today's session was made easy and can be brought back as it was.
    may_take_easy_back: bool
    #: Why not even the easy version of today's hard session may be sent; empty when it may, or when it is not asked.
    easy_refused: tuple[str, ...]
    #: Whether the client may do it as it stands now; None when its day is over or it is entered.
    may: MayTrain | None
    found: tuple[Breach, ...]
    #: Other clients a copy may go to, by name.
    others: tuple[Client, ...]
    #: The hill its rounds are given for; None without.
    hill: Hill | None
    #: What heat asks of it on its day; None when nothing, or when it is over.
    heat: HeatCaution | None

    @property
    def given(self) -> PlannedSession:
        """The session as the client has it: by effort alone on a hot day."""
        return by_effort_in_heat(self.session, self.heat)

    @property
    def zone(self) -> ZoneInfo:
        """The client's zone."""
        return ZoneInfo(self.client.zone)

    @property
    def may_change(self) -> bool:
        """Whether the session may still be changed at all."""
        return not self.is_over and not self.is_answered

    @property
    def stopped(self) -> str:
        """Why it is not to be done as it stands, in the coach's words; "" when it may be."""
        return self.may.for_coach if self.may is not None and self.may.is_paused else ""

    @property
    def is_sent_at_once(self) -> bool:
        """Whether a change reaches the client at once: today's session, already published."""
        return self.session.planned_on == self.today and self.standing is not Standing.DRAFT


def open_session(
    db: Session, *, actor: Actor, planned_session_id: int, action: Action, rules: Rules, now: datetime
) -> SessionPage:
    """One planned session, for reading or for what is going to be done with it, and what it breaks as it stands."""
    client, session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=action, now=now
    )
    today = local_day(now, client.zone)
    versions = prescriptions.versions(db, planned_session_id=session.id)
    entries = entries_of([session], [one for one in versions if one.published_at is not None])
    known = history_around(db, client.id, session.planned_on, today)
    given_on = entries[0].frozen_on if entries else None
    is_ahead = min(session.planned_on, given_on or session.planned_on) >= today
    is_entered = is_answered(known, session.id)
    return SessionPage(
        client=client,
        session=session,
        standing=entries[0].standing if entries else Standing.DROPPED,
        versions=_version_lines(db, versions, client.zone),
        today=today,
        is_over=not is_ahead,
        is_answered=is_entered,
        may_plan=Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now),
        may_take_easy_back=may_take_easy_back(versions, today),
        easy_refused=_easy_refused(known, session, today, rules),
        may=may_train_now(known, session, today, rules) if is_ahead and not is_entered else None,
        found=_found(db, known, session, rules, now) if is_ahead else (),
        others=tuple(
            one
            for one in readable_clients(db, actor=actor, now=now)
            if one.id != client.id and one.state is not ClientState.LEFT
        ),
        hill=hills.of_sessions(db, sessions=[session]).get(session.hill_id or 0),
        heat=_heat(db, known, session) if is_ahead and not is_entered else None,
    )


def _heat(db: Session, known: History, session: PlannedSession) -> HeatCaution | None:
    if not is_hard_or_middle(session):
        return None
    return caution_on(known, illness.heat_on(db, day=session.planned_on), session.planned_on)


def _found(db: Session, known: History, session: PlannedSession, rules: Rules, now: datetime) -> tuple[Breach, ...]:
    """What it breaks, and before the client has it also whether it suits them."""
    today = local_day(now, known.client.zone)
    sent = as_if_sent(known, today)
    if session.published_at is not None:
        return breaches(sent, [session], today, rules)
    judged = judged_before(db, [(known, [session])], rules=rules, now=now)
    return before_sending(sent, [session], today, rules, judged=judged)


def open_for_adding(db: Session, *, actor: Actor, client_id: int, now: datetime) -> Client:
    """The client a session is to be added for."""
    return open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)


def _easy_refused(known: History, session: PlannedSession, today: date, rules: Rules) -> tuple[str, ...]:
    if session.planned_on != today or not session.is_hard:
        return ()
    found = breaches(known, [eased(session)], today, rules)
    return tuple(one.sentence for one in found if one.level is Level.REFUSES)


def _version_lines(db: Session, versions: Sequence[PlannedSession], zone: str) -> tuple[VersionLine, ...]:
    names: dict[int, str] = {}
    for one in versions:
        if one.person_id not in names:
            person = accounts.person(db, person_id=one.person_id)
            names[one.person_id] = person.name if person else "unknown"
    standing = _start_of_day_version(versions, zone)
    return tuple(
        VersionLine(one, names[one.person_id], standing is not None and one.version == standing) for one in versions
    )


def _start_of_day_version(versions: Sequence[PlannedSession], zone: str) -> int | None:
    """The last version published before its own day began; None when there is none, or the day is still to come."""
    newest = versions[-1]
    if newest.published_at is None or local_day(newest.published_at, zone) < newest.planned_on:
        return None
    before = [
        one.version
        for one in versions
        if one.published_at is not None and local_day(one.published_at, zone) < one.planned_on
    ]
    return before[-1] if before else None
