"""Logging a session: by the client, or by the coach on the client's behalf, alone or for a whole group."""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.effort import Talk
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.look_twice import Doubt, clients_doubts, doubts_about
from app.coaching.people import Client, ClientState, Mode, Origin
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, Posture, RoundDone, SessionLog, SpoiltBy, WhyNot
from app.coaching.weeks import day_words, local_day, start_of_day, week_days, week_start
from app.coaching.windows import RECENT
from app.storage import heart_rate as trusts
from app.storage import phases, plan_window, prescriptions, recordings, session_logs
from app.storage.audit import leave_trace
from app.storage.reading import grouped
from app.usecases.gate import NotYours, open_record, readable_clients

CLIENT_DAYS_BACK = 30
FROM_MEMORY_AFTER = timedelta(hours=48)
#: How far back the coach's own choice of planned sessions reaches; a day further back is typed.
COACH_DAYS_BACK = 120


@dataclass(frozen=True, slots=True)
class LogEntry:
    """What somebody says about one session. Kind and mode are taken from the plan unless given."""

    done_on: date
    answer: Answer
    planned_session_id: int | None = None
    kind: SessionKind | None = None
    mode: Mode | None = None
    minutes: float | None = None
    effort: float | None = None
    talk: Talk | None = None
    felt_all_out: bool = False
    posture: Posture | None = None
    why_not: WhyNot | None = None
    spoilt_by: SpoiltBy | None = None
    note: str | None = None
    rounds: tuple[RoundDone, ...] = ()
    heavy_legs: bool = False
    first_30_hurt: bool | None = None


@dataclass(frozen=True, slots=True)
class PlannedChoice:
    """A planned session that may be answered, and the entry that answers it already."""

    session: PlannedSession
    log_id: int | None


@dataclass(frozen=True, slots=True)
class Outside:
    """Published sessions outside the days that may be chosen from."""

    #: The nearest first.
    ahead: tuple[PlannedSession, ...]
    #: The newest first.
    behind: tuple[PlannedSession, ...]
    from_on: date
    until_on: date


@dataclass(frozen=True, slots=True)
class KeptLog:
    """An entry with the plan it answers and other entries about the same session."""

    client: Client
    log: SessionLog
    planned: PlannedSession | None
    twins: tuple[SessionLog, ...]
    heart_rate: HeartRateTrust


@dataclass(frozen=True, slots=True)
class GroupRow:
    """One client of a group on a day, with the session planned then."""

    client: Client
    choice: PlannedChoice | None


def keep(db: Session, *, actor: Actor, client_id: int, entry: LogEntry, origin: Origin, now: datetime) -> int:
    """Keep a new entry and return its id.

    Raises: Refused for a day in the future, over 30 days back by the client, or an answer that does not fit.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    _check_day(entry.done_on, client, actor, now)
    planned = _published(db, client_id=client_id, planned_session_id=entry.planned_session_id)
    log = _as_log(entry, client, planned, actor=actor, origin=origin, now=now)
    log_id = session_logs.add(db, log=log)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="logged",
        subject="session log",
        subject_id=log_id,
        change={"after": _said(log)},
    )
    return log_id


def doubts(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    entry: LogEntry,
    rules: Rules,
    now: datetime,
    log_id: int = 0,
) -> tuple[Doubt, ...]:
    """What to look at twice before an entry (or, with `log_id`, its correction) is kept, by coach or client.

    Raises: Refused as keeping it would.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    _check_day(entry.done_on, client, actor, now)
    planned = _published(db, client_id=client_id, planned_session_id=entry.planned_session_id)
    log = replace(_as_log(entry, client, planned, actor=actor, origin=Origin.COACH, now=now), id=log_id)
    earlier = session_logs.between(db, client_ids=[client_id], from_on=entry.done_on - RECENT, until_on=entry.done_on)
    if not actor.is_coach:
        return clients_doubts(log, earlier=earlier, rules=rules)
    decisions = phases.of_client(db, client_id=client_id)
    return doubts_about(log, planned, client=client, earlier=earlier, decisions=decisions, rules=rules)


def correct(db: Session, *, actor: Actor, log_id: int, entry: LogEntry, revision: int, now: datetime) -> None:
    """Set what an entry says; the earlier words stay in the audit trail.

    Raises: StaleEdit when it was changed meanwhile, with what changed; Refused as for a new entry.
    """
    before = _found(db, log_id=log_id)
    client = open_record(db, actor=actor, client_id=before.client_id, action=Action.LOG, now=now)
    _check_day(entry.done_on, client, actor, now)
    planned = _published(db, client_id=client.id, planned_session_id=entry.planned_session_id)
    fresh = _as_log(entry, client, planned, actor=actor, origin=before.origin, now=now)
    after = replace(
        fresh,
        id=log_id,
        revision=revision,
        entered_at=before.entered_at,
        person_id=before.person_id,
        from_memory=before.from_memory,
    )
    if before.revision != revision or not session_logs.change(db, log=after):
        raise StaleEdit(_what_changed(before))
    if (after.mode, after.planned_session_id) != (before.mode, before.planned_session_id):
        recordings.ask_for_rounds(db, session_log_id=log_id)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="corrected",
        subject="session log",
        subject_id=log_id,
        change={"before": _said(before), "after": _said(after)},
    )


def kept(db: Session, *, actor: Actor, log_id: int, now: datetime) -> KeptLog:
    """An entry with what it answers. Raises: NotYours for a stranger's entry."""
    log = _found(db, log_id=log_id)
    client = open_record(db, actor=actor, client_id=log.client_id, action=Action.READ, now=now)
    planned = None
    twins: tuple[SessionLog, ...] = ()
    if log.planned_session_id is not None:
        planned = _last_published(db, log.planned_session_id)
        twins = tuple(
            one
            for one in session_logs.between(
                db, client_ids=[client.id], from_on=log.done_on - RECENT, until_on=date.max
            )
            if one.planned_session_id == log.planned_session_id and one.id != log.id
        )
    heart_rate = trusts.trust_on(db, client=client, day=local_day(now, client.zone))
    return KeptLog(client, log, planned, twins, heart_rate)


def lately(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[SessionLog, ...]:
    """What was written down about the days a client may enter, planned or extra, the newest first."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    since_on = today - timedelta(days=CLIENT_DAYS_BACK)
    found = session_logs.between(db, client_ids=[client_id], from_on=since_on, until_on=today)
    return tuple(sorted(found, key=lambda one: (one.done_on, one.id), reverse=True))


def client_day(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[Client, date]:
    """A client somebody may log for, and the client's own local day."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    return client, local_day(now, client.zone)


def choices(db: Session, *, actor: Actor, client_id: int, now: datetime) -> tuple[PlannedChoice, ...]:
    """The planned sessions that may be answered: newest first, back 30 days, ahead to the end of this week."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    from_on, until_on = _choice_days(actor, local_day(now, client.zone))
    return _choices(db, [client_id], from_on, until_on).get(client_id, ())


def outside_choices(db: Session, *, actor: Actor, client_id: int, now: datetime) -> Outside:
    """The published sessions that the choices leave out: those still ahead and those longer ago."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    from_on, until_on = _choice_days(actor, local_day(now, client.zone))
    found = _choices(db, [client_id], date.min + timedelta(days=CLIENT_DAYS_BACK), date.max).get(client_id, ())
    ahead = [one.session for one in found if one.session.planned_on > until_on]
    behind = [one.session for one in found if one.session.planned_on < from_on]
    return Outside(tuple(reversed(ahead)), tuple(behind), from_on, until_on)


def choice_of(db: Session, *, actor: Actor, client_id: int, planned_session_id: int, now: datetime) -> PlannedChoice:
    """One planned session to answer.

    Raises: NotYours when it is not this client's, or not published; Refused for one of a later week.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    planned = _published(db, client_id=client_id, planned_session_id=planned_session_id)
    if planned is None:
        raise NotYours("There is no such session here.")
    _check_its_week_has_come(planned, actor, local_day(now, client.zone))
    near = timedelta(days=COACH_DAYS_BACK)
    logs = session_logs.between(
        db, client_ids=[client_id], from_on=planned.planned_on - near, until_on=planned.planned_on + near
    )
    answered = [one.id for one in logs if one.planned_session_id == planned_session_id]
    return PlannedChoice(planned, answered[0] if answered else None)


def group_on(db: Session, *, actor: Actor, day: date, now: datetime) -> tuple[GroupRow, ...]:
    """Everyone here a person may log for, with the session planned for that day; those with a plan first."""
    people = [one for one in readable_clients(db, actor=actor, now=now) if one.state is not ClientState.LEFT]
    found = _choices(db, [one.id for one in people], day, day)
    rows = [GroupRow(one, _first_open(found.get(one.id, ()))) for one in people]
    return tuple(sorted(rows, key=lambda row: row.choice is None))


def keep_group(
    db: Session, *, actor: Actor, entries: dict[int, LogEntry], origin: Origin, now: datetime
) -> list[int]:
    """Keep one entry a client, all or none. Returns the ids."""
    return [
        keep(db, actor=actor, client_id=client_id, entry=entry, origin=origin, now=now)
        for client_id, entry in entries.items()
    ]


def _choice_days(actor: Actor, today: date) -> tuple[date, date]:
    days_back = COACH_DAYS_BACK if actor.is_coach else CLIENT_DAYS_BACK
    return today - timedelta(days=days_back), week_days(week_start(today))[-1]


def _first_open(found: tuple[PlannedChoice, ...]) -> PlannedChoice | None:
    waiting = [one for one in found if one.log_id is None]
    return next(iter(waiting or found), None)


def _choices(
    db: Session, client_ids: list[int], from_on: date, until_on: date
) -> dict[int, tuple[PlannedChoice, ...]]:
    published = plan_window.published_between(db, client_ids=client_ids, from_on=from_on, until_on=until_on)
    logs = session_logs.between(
        db, client_ids=client_ids, from_on=from_on - timedelta(days=CLIENT_DAYS_BACK), until_on=date.max
    )
    answered = {log.planned_session_id: log.id for log in logs if log.planned_session_id is not None}
    last = [versions[-1] for versions in grouped(published, lambda one: one.id).values()]
    standing = [one for one in last if not one.is_cancelled and from_on <= one.planned_on <= until_on]
    ordered = sorted(standing, key=lambda one: (one.planned_on, one.id), reverse=True)
    return grouped([PlannedChoice(one, answered.get(one.id)) for one in ordered], lambda c: c.session.client_id)


def _found(db: Session, *, log_id: int) -> SessionLog:
    log = session_logs.one(db, log_id=log_id)
    if log is None:
        raise NotYours("There is no such entry here.")
    return log


def _published(db: Session, *, client_id: int, planned_session_id: int | None) -> PlannedSession | None:
    """The version in force now; None for something extra. Raises: NotYours for another client's or a draft."""
    if planned_session_id is None:
        return None
    if prescriptions.client_of(db, planned_session_id=planned_session_id) != client_id:
        raise NotYours("There is no such session here.")
    found = _last_published(db, planned_session_id)
    if found is None:
        raise NotYours("There is no such session here.")
    return found


def _last_published(db: Session, planned_session_id: int) -> PlannedSession | None:
    versions = prescriptions.versions(db, planned_session_id=planned_session_id)
    return next((one for one in reversed(versions) if one.published_at is not None), None)


def _check_its_week_has_come(planned: PlannedSession, actor: Actor, today: date) -> None:
    if planned.planned_on > _choice_days(actor, today)[1]:
        raise Refused(
            f"{planned.title} is planned for {day_words(planned.planned_on)}, in a week that has not begun. What was "
            "done in its place this week is something extra."
        )


def _check_day(done_on: date, client: Client, actor: Actor, now: datetime) -> None:
    today = local_day(now, client.zone)
    if done_on > today:
        raise Refused("This day has not come yet. What is planned ahead can be moved by the coach.")
    if not actor.is_coach and done_on < today - timedelta(days=CLIENT_DAYS_BACK):
        raise Refused("This is over 30 days back. Tell your coach; your coach can still enter it.")


def _as_log(
    entry: LogEntry, client: Client, planned: PlannedSession | None, *, actor: Actor, origin: Origin, now: datetime
) -> SessionLog:
    if planned is None and entry.answer is not Answer.SOMETHING_ELSE:
        raise Refused("This answer belongs to a planned session. Choose which one, or say it was something extra.")
    kind, mode = _kind_and_mode(entry, planned)
    is_done = entry.answer is not Answer.NOT_DONE
    return SessionLog(
        id=0,
        client_id=client.id,
        planned_session_id=entry.planned_session_id,
        done_on=entry.done_on,
        answer=entry.answer,
        kind=kind,
        mode=mode,
        minutes=_minutes(entry, planned),
        effort=entry.effort if is_done else None,
        talk=entry.talk if is_done else None,
        felt_all_out=is_done and entry.felt_all_out,
        posture=entry.posture if is_done else None,
        why_not=None if is_done else entry.why_not,
        spoilt_by=entry.spoilt_by if is_done else None,
        note=entry.note,
        origin=origin,
        entered_at=now,
        person_id=actor.person_id,
        from_memory=_is_from_memory(entry.done_on, client.zone, now),
        rounds=entry.rounds if is_done and entry.answer is not Answer.EASY_VERSION else (),
        revision=1,
        heavy_legs=is_done and entry.heavy_legs,
        first_30_hurt=entry.first_30_hurt if is_done and entry.answer is not Answer.EASY_VERSION else None,
    )


def _kind_and_mode(entry: LogEntry, planned: PlannedSession | None) -> tuple[SessionKind, Mode]:
    if planned is None or entry.answer is Answer.SOMETHING_ELSE:
        kind, mode = entry.kind, entry.mode
        if kind is None or mode is None:
            raise Refused("Say what it was and how you moved.")
        return kind, mode
    if entry.answer is Answer.EASY_VERSION:
        return SessionKind.EASY, entry.mode or planned.mode
    return planned.kind, entry.mode or planned.mode


def _minutes(entry: LogEntry, planned: PlannedSession | None) -> float | None:
    """Minutes done; "as planned" alone may fill them from the plan, never effort or the talk answer."""
    if entry.answer is Answer.NOT_DONE:
        return None
    if entry.minutes is not None:
        return entry.minutes
    if entry.answer is Answer.AS_PLANNED and planned is not None:
        return float(planned.minutes)
    raise Refused("Say how many minutes it was.")


def _is_from_memory(done_on: date, zone: str, now: datetime) -> bool:
    return now - start_of_day(done_on + timedelta(days=1), zone) > FROM_MEMORY_AFTER


def _said(log: SessionLog) -> dict[str, object]:
    """What an entry says, for the audit trail."""
    left_out = {"id", "client_id", "entered_at", "person_id", "revision"}
    return {name: value for name, value in asdict(log).items() if name not in left_out and value not in (None, ())}


def _what_changed(now_says: SessionLog) -> str:
    answer = now_says.answer.value.replace("_", " ")
    minutes = "no minutes" if now_says.minutes is None else f"{now_says.minutes:g} minutes"
    effort = "" if now_says.effort is None else f", effort {now_says.effort:g}"
    return (
        f"This entry was changed meanwhile. It now says: {answer}, {minutes}{effort}. "
        "What you typed is still here; send it again if it should stand."
    )
