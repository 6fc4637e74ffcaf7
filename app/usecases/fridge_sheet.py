"""A client's published week on paper, and what of it is paused today."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.client_voice import client_voice
from app.coaching.clinician_limit import ClinicianLimit, clinician_limit
from app.coaching.heat import HeatCaution, by_effort_in_heat, caution_on
from app.coaching.hills import Hill
from app.coaching.hold_rules import MayTrain, StoppedWork
from app.coaching.leave_to_train import stopped_now
from app.coaching.matching import is_on_leave
from app.coaching.people import Client
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.printed_work import may_be_printed
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, week_days
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import hills, history, illness
from app.usecases.gate import open_record


@dataclass(frozen=True, slots=True)
class SheetSession:
    """One published session; `paused` says why it must not be done and what to do instead, None when it may."""

    session: PlannedSession
    paused: MayTrain | None
    hill: Hill | None
    #: What heat asks of hard or middle work on its day; None when nothing.
    heat: HeatCaution | None = None


@dataclass(frozen=True, slots=True)
class SheetDay:
    """One day of the sheet."""

    on: date
    sessions: tuple[SheetSession, ...]
    is_leave: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """A week to stick on the fridge."""

    client: Client
    days: tuple[SheetDay, ...]
    limit: ClinicianLimit | None
    #: What is paused now, in the client's words, where no session of the week says it; empty when nothing is.
    paused_beside: tuple[str, ...]


def open_sheet(db: Session, *, actor: Actor, client_id: int, monday: date, rules: Rules, now: datetime) -> Sheet:
    """The published sessions of a week, day by day."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    known = history.load(
        db,
        client_ids=[client_id],
        from_on=min(monday, today - WHOLE_BASE),
        until_on=max(monday + timedelta(days=6), today) + FORTNIGHT,
    )[0]
    stopped = stopped_now(known, today, rules, voice=client_voice(known, today, rules))
    on_hills = hills.of_sessions(db, sessions=known.planned)
    heats = {day: caution_on(known, illness.heat_on(db, day=day), day) for day in week_days(monday)}
    return Sheet(
        client,
        tuple(
            SheetDay(
                day,
                tuple(
                    _sheet_session(one, may_be_printed(known, stopped, one, today, rules), on_hills, heats[day])
                    for one in known.planned
                    if one.planned_on == day
                ),
                is_on_leave(known.leaves, day),
            )
            for day in week_days(monday)
        ),
        clinician_limit(known, today),
        _paused_beside(stopped) if not any(one.planned_on in week_days(monday) for one in known.planned) else (),
    )


def _paused_beside(stopped: StoppedWork) -> tuple[str, ...]:
    """A sheet without sessions still says what is paused: nobody reads seven days of rest as leave for more."""
    if stopped.all_because:
        return tuple(f"All training is paused: {words}" for words in dict.fromkeys(stopped.all_because))
    return tuple(f"No hard work now: {words}" for words in dict.fromkeys(stopped.hard_because))


def _sheet_session(
    session: PlannedSession, may: MayTrain, on_hills: Mapping[int, Hill], heat: HeatCaution | None
) -> SheetSession:
    """A session as it may be printed now. A day that is over is no exception: paper is read and done later too."""
    hill = on_hills.get(session.hill_id or 0)
    asks = heat if is_hard_or_middle(session) else None
    return SheetSession(by_effort_in_heat(session, asks), may if may.is_paused else None, hill, asks)
