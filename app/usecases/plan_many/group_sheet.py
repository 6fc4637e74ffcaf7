"""The group sheet of a day: who may be on it, and the sheet of those chosen."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.group_sheet import GroupSheet, Member, group_sheet
from app.coaching.heat import HeatNote, by_effort_in_heat, caution_on
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Client, ClientState
from app.coaching.prescriptions import PlannedSession
from app.coaching.printed_work import may_be_printed
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history, illness, plan_window
from app.usecases.gate import clients_for


@dataclass(frozen=True, slots=True)
class GroupChoice:
    """One client who may be on the sheet, and whether hard rounds are published for the day."""

    client: Client
    has_rounds: bool


def sheet_choices(db: Session, *, actor: Actor, day: date, now: datetime) -> tuple[GroupChoice, ...]:
    """Everybody a person may read who has not left; those with hard rounds on the day first."""
    people = _people(db, actor, now)
    published = plan_window.published_between(db, client_ids=[one.id for one in people], from_on=day, until_on=day)
    last = {one.id: one for one in published}
    with_rounds = {one.client_id for one in last.values() if one.planned_on == day and _has_rounds(one)}
    found = [GroupChoice(one, one.id in with_rounds) for one in people]
    return tuple(sorted(found, key=lambda choice: not choice.has_rounds))


def open_sheet(
    db: Session, *, actor: Actor, day: date, client_ids: Collection[int], rules: Rules, now: datetime
) -> GroupSheet:
    """The sheet of those chosen, by name; clients of others are passed over."""
    chosen = [one.id for one in _people(db, actor, now) if one.id in client_ids]
    until = max(day, now.date()) + FORTNIGHT
    known = history.load(db, client_ids=chosen, from_on=min(day, now.date() - WHOLE_BASE), until_on=until)
    note = illness.heat_on(db, day=day)
    return group_sheet([_member(one, day, rules, now, note) for one in known])


def _people(db: Session, actor: Actor, now: datetime) -> list[Client]:
    found = clients_for(db, actor=actor, action=Action.READ, now=now)
    return [one for one in found if one.state is not ClientState.LEFT]


def _member(known: History, day: date, rules: Rules, now: datetime, note: HeatNote | None) -> Member:
    today = local_day(now, known.client.zone)
    stopped = stopped_now(known, today, rules)
    session = _session(known.planned, day)
    is_all = bool(stopped.all_because)
    if session is None:
        return Member(known.client, None, is_all or bool(stopped.hard_because), is_all)
    heat = caution_on(known, note, day)
    is_hot = heat is not None and heat.is_hot
    given = by_effort_in_heat(session, heat)
    return Member(
        known.client, given, may_be_printed(known, stopped, session, today, rules).is_paused, is_all, is_hot
    )


def _session(planned: Sequence[PlannedSession], day: date) -> PlannedSession | None:
    return next((one for one in planned if one.planned_on == day and _has_rounds(one)), None)


def _has_rounds(session: PlannedSession) -> bool:
    return not session.is_cancelled and session.rounds > 0
