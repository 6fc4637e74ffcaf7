"""Session logs with their rounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import fields, replace
from datetime import date
from itertools import groupby
from operator import itemgetter
from typing import Any

from sqlalchemy import ColumnElement, delete, select, update
from sqlalchemy.orm import Session

from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.recorded_rounds import from_json, together
from app.coaching.session_logs import RoundDone, SessionLog
from app.storage.reading import columns_of, grouped, in_columns, made
from app.storage.tables.people import ClientRow
from app.storage.tables.recordings import RecordingRow
from app.storage.tables.training import RoundRow, SessionLogRow

#: Where a log's rounds stand among its fields.
_ROUNDS_AT = [f.name for f in fields(SessionLog)].index("rounds")
_LOG_FIELDS = [f.name for f in fields(SessionLog) if f.name != "rounds"]


def add(db: Session, *, log: SessionLog, import_key: str | None = None) -> int:
    """Add a log with its rounds; the given id and revision are ignored. Returns the id."""
    values = {name: getattr(log, name) for name in _LOG_FIELDS if name not in ("id", "revision")}
    row = SessionLogRow(**values, revision=1, import_key=import_key)
    db.add(row)
    db.flush()
    _add_rounds(db, session_log_id=row.id, rounds=log.rounds)
    return row.id


def change(db: Session, *, log: SessionLog) -> bool:
    """Set what a log says if nobody did meanwhile (its revision); False when it has moved on."""
    values: dict[str, Any] = {name: getattr(log, name) for name in _LOG_FIELDS if name not in ("id", "revision")}
    done = db.execute(
        update(SessionLogRow)
        .where(SessionLogRow.id == log.id, SessionLogRow.revision == log.revision)
        .values(**values, revision=log.revision + 1)
        .returning(SessionLogRow.id)
    ).all()
    if not done:
        return False
    db.execute(delete(RoundRow).where(RoundRow.session_log_id == log.id))
    _add_rounds(db, session_log_id=log.id, rounds=log.rounds)
    return True


def _add_rounds(db: Session, *, session_log_id: int, rounds: Sequence[RoundDone]) -> None:
    for done in rounds:
        values = {f.name: getattr(done, f.name) for f in fields(RoundDone)}
        db.add(RoundRow(session_log_id=session_log_id, **values))
    db.flush()


def one(db: Session, *, log_id: int) -> SessionLog | None:
    """A log by id."""
    found = _read(db, SessionLogRow.id == log_id)
    return found[0] if found else None


def between(db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date) -> list[SessionLog]:
    """Logs of clients between two days, each one's oldest first, with rounds of recordings where none were typed."""
    where = (SessionLogRow.client_id.in_(client_ids), SessionLogRow.done_on.between(from_on, until_on))
    logs = _read(db, *where)
    query = (
        select(RecordingRow.session_log_id, RecordingRow.rounds_json)
        .join(SessionLogRow, SessionLogRow.id == RecordingRow.session_log_id)
        .where(*where, RecordingRow.removed_at.is_(None), RecordingRow.rounds_json.is_not(None))
    )
    recorded = {log_id: from_json(text) for log_id, text in db.execute(query) if text is not None}
    return [
        replace(log, rounds=together(log.rounds, recorded[log.id])) if log.id in recorded else log for log in logs
    ]


def above_easy(
    db: Session, *, client_ids: Sequence[int], from_on: date, until_on: date
) -> dict[int, tuple[tuple[int, float], ...]]:
    """Per client the logs whose recording's heart alone says "not easy", with the minutes above the edge of easy."""
    found = db.execute(
        select(SessionLogRow.client_id, SessionLogRow.id, RecordingRow.above_easy_min)
        .join(RecordingRow, RecordingRow.session_log_id == SessionLogRow.id)
        .where(
            SessionLogRow.client_id.in_(client_ids),
            SessionLogRow.done_on.between(from_on, until_on),
            RecordingRow.above_easy_min.is_not(None),
            RecordingRow.removed_at.is_(None),
        )
        .order_by(SessionLogRow.id)
    )
    by_client = grouped(found, lambda row: int(row[0]))
    return {
        client_id: tuple((log_id, minutes) for _, log_id, minutes in several if minutes is not None)
        for client_id, several in by_client.items()
    }


def last_outings_before(db: Session, *, client_ids: Sequence[int], day: date) -> dict[int, date]:
    """The last day before a day on which each client was out; who never was is left out."""
    last = (
        select(SessionLogRow.done_on)
        .where(
            SessionLogRow.client_id == ClientRow.id,
            SessionLogRow.done_on < day,
            SessionLogRow.minutes > 0,
            SessionLogRow.kind != SessionKind.STRENGTH,
            SessionLogRow.mode != Mode.STRENGTH,
        )
        .order_by(SessionLogRow.done_on.desc())
        .limit(1)
        .scalar_subquery()
    )
    found = db.execute(select(ClientRow.id, last).where(ClientRow.id.in_(client_ids)))
    return {client_id: on for client_id, on in found if on is not None}


def import_keys(db: Session, *, client_id: int) -> dict[str, int]:
    """Identities of the rows brought in for a client, with the log each became."""
    query = select(SessionLogRow.import_key, SessionLogRow.id).where(
        SessionLogRow.client_id == client_id, SessionLogRow.import_key.is_not(None)
    )
    return {key: log_id for key, log_id in db.execute(query) if key is not None}


def _read(db: Session, *where: ColumnElement[bool]) -> list[SessionLog]:
    columns = columns_of(SessionLog, SessionLogRow, leaving_out=["rounds"])
    # One client's together, as the rules read them.
    order = (SessionLogRow.client_id, SessionLogRow.done_on, SessionLogRow.id)
    found = in_columns(db, select(*columns).where(*where).order_by(*order))
    done = _rounds_by_log(db, *where)
    rounds = [done.get(log_id, ()) for log_id in found[0]]
    return made(SessionLog, [*found[:_ROUNDS_AT], rounds, *found[_ROUNDS_AT:]])


def _rounds_by_log(db: Session, *where: ColumnElement[bool]) -> dict[int, tuple[RoundDone, ...]]:
    log_ids, *columns = in_columns(
        db,
        select(RoundRow.session_log_id, *columns_of(RoundDone, RoundRow))
        .join(SessionLogRow, SessionLogRow.id == RoundRow.session_log_id)
        .where(*where)
        .order_by(RoundRow.session_log_id, RoundRow.number),
    )
    rounds = zip(log_ids, made(RoundDone, columns), strict=True)
    return {log_id: tuple(one for _, one in several) for log_id, several in groupby(rounds, key=itemgetter(0))}
