"""Something felt wrong: reported by the client, or by the coach as told; it pauses training at once."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.falls import sign_with_thinners
from app.coaching.holds import DOUBTED_FROM, Hold, SymptomReport
from app.coaching.people import Client, Mode, Origin
from app.coaching.reasons import Refused
from app.coaching.symptoms import sign_of
from app.coaching.weeks import day_words, local_day
from app.storage import felt_wrong, history, safety
from app.usecases.gate import NotYours, open_record

CLIENT_DAYS_BACK = 30


@dataclass(frozen=True, slots=True)
class Report:
    """What felt wrong, as told. It cannot be withdrawn; more can be added."""

    sign: str
    felt_on: date
    mode: Mode | None = None
    text: str | None = None
    #: The phone's own clock when it was confirmed there, and the id it is sent under; neither from a coach.
    entered_at: datetime | None = None
    request_id: str | None = None


@dataclass(frozen=True, slots=True)
class ReportedHold:
    """A hold with the reports that stand behind it."""

    client: Client
    hold: Hold
    reports: tuple[SymptomReport, ...]


def report(db: Session, *, actor: Actor, client_id: int, report: Report, origin: Origin, now: datetime) -> int:
    """Keep a report and raise the hold of its family in one step. Returns the hold's id.

    The same report sent again is the one that is kept. A phone's clock ahead of the desk's counts as the desk's. A
    fall counts as one on blood thinners where the last answers name them, whichever fall was chosen.

    Raises: Refused for a day that has not come, or over 30 days before it was entered by the client.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if report.request_id is not None:
        before = safety.hold_of_request(db, client_id=client_id, request_id=report.request_id)
        if before is not None:
            return before
    entered_at = min(report.entered_at or now, now)
    entered_on = local_day(entered_at, client.zone)
    if report.felt_on > entered_on:
        raise Refused("This day has not come yet.")
    if not actor.is_coach and report.felt_on < entered_on - timedelta(days=CLIENT_DAYS_BACK):
        raise Refused("This is over 30 days back. Tell your coach in person; your coach can enter it.")
    today = local_day(now, client.zone)
    if now - entered_at > DOUBTED_FROM:
        report = _as_of(today, report)
    [known] = history.load(db, client_ids=[client_id], from_on=today, until_on=today)
    recorded = felt_wrong.record(
        db,
        client_id=client_id,
        sign=sign_of(sign_with_thinners(report.sign, known)),
        felt_on=report.felt_on,
        mode=report.mode,
        text=report.text,
        origin=origin,
        person_id=actor.person_id,
        at=now,
        sent=felt_wrong.Sent(entered_at, report.request_id) if report.entered_at else None,
    )
    return recorded.hold_id


def _as_of(today: date, report: Report) -> Report:
    # A clock that may be wrong must not date a sign: a paper from before the report would then seem to come after it.
    said = f"Said to be of {day_words(report.felt_on)}; counts as {day_words(today)}."
    return replace(report, felt_on=today, text=f"{report.text} ({said})" if report.text else said)


def reported_hold(db: Session, *, actor: Actor, hold_id: int, now: datetime) -> ReportedHold:
    """A hold with its reports. Raises: NotYours for a stranger's hold, or one no report stands behind."""
    found = safety.hold(db, hold_id=hold_id)
    if found is None:
        raise NotYours("There is no such hold here.")
    client = open_record(db, actor=actor, client_id=found.client_id, action=Action.READ, now=now)
    reports = [one for one in safety.symptoms_of(db, client_id=client.id) if one.hold_id == hold_id]
    if not reports:
        raise NotYours("There is no such hold here.")
    return ReportedHold(client, found, tuple(reports))


def past_reports(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[ReportedHold, ...]:
    """A client's open holds that came from reports, newest first."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    reports = safety.symptoms_of(db, client_id=client_id)
    holds = [one for one in safety.holds_of(db, client_id=client_id) if one.lifted_at is None]
    found = [ReportedHold(client, hold, tuple(r for r in reports if r.hold_id == hold.id)) for hold in holds]
    return tuple(one for one in reversed(found) if one.reports)
