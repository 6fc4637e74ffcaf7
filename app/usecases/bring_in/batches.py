"""A file looked at row by row without keeping anything, or kept in batches that each leave their progress row."""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.files.csv_fields import FileKind
from app.files.from_csv import ClientLine, Reading
from app.storage import imports
from app.storage.audit import leave_trace
from app.usecases.bring_in.clients import ClientStep, keep_client, plan_client
from app.usecases.bring_in.records import RecordStep, day_of, find_client, keep_record, plan_record
from app.usecases.bring_in.roster import Roster, open_roster
from app.usecases.bring_in.values import Becomes, Counts, Fate, FileFate, RowRefused

#: House choice: a batch is one transaction, so that nobody else waits long for the turn to write.
BATCH_ROWS = 2000

Step = ClientStep | RecordStep


@dataclass(frozen=True, slots=True)
class FileToBring:
    """A file that was read: its name, the print of its bytes, and its rows."""

    name: str
    sha256: str
    reading: Reading


@dataclass(frozen=True, slots=True)
class Batch:
    """What one batch did: its progress row, what became of its rows, and where the next one begins."""

    import_id: int
    counts: Counts
    fates: tuple[Fate, ...]
    next_row: int | None


@dataclass(frozen=True, slots=True)
class _Planned:
    steps: tuple[Step, ...]
    fates: tuple[Fate, ...]


def file_to_bring(*, name: str, content: bytes, reading: Reading) -> FileToBring:
    """A file with the print of its bytes."""
    return FileToBring(name, hashlib.sha256(content).hexdigest(), reading)


def preview(db: Session, *, actor: Actor, readings: Sequence[Reading], now: datetime) -> list[FileFate]:
    """What would become of every row of some files, in the order they are taken; nothing is kept.

    Raises: NotAllowed for a stand-in or a client.
    """
    roster = open_roster(db, actor=actor, now=now)
    return [_file_fate(reading, _plan(db, reading, roster, now)) for reading in readings]


def bring_in(
    db: Session, *, actor: Actor, file: FileToBring, from_row: int = 0, most: int = BATCH_ROWS, now: datetime
) -> Batch:
    """Keep one batch of a file with its traces and its progress row.

    The rows that could not be read are counted with the first batch. Bringing the same file again adds nothing.
    Raises: NotAllowed for a stand-in or a client.
    """
    roster = open_roster(db, actor=actor, now=now)
    # Earlier rows count for the ordinals of equal rows, later ones do not.
    planned = _plan(db, replace(file.reading, rows=file.reading.rows[: from_row + most]), roster, now)
    chosen = {row.line for row in file.reading.rows[from_row : from_row + most]}
    steps = [step for step in planned.steps if step.row.line in chosen]
    _keep(db, steps, actor=actor, roster=roster, file=file, now=now)
    whole = _file_fate(file.reading, planned) if from_row == 0 else FileFate(file.reading.kind, planned.fates)
    unread = {refusal.line for refusal in file.reading.refused} if from_row == 0 else set()
    fates = tuple(fate for fate in whole.fates if fate.line in chosen or fate.line in unread)
    counts = FileFate(file.reading.kind, fates).counts
    import_id = imports.add(
        db,
        at=now,
        person_id=actor.person_id,
        file_name=file.name,
        file_sha256=file.sha256,
        kind=file.reading.kind.value,
        added=counts.added,
        changed=counts.changed,
        refused=counts.refused,
    )
    is_more = from_row + most < len(file.reading.rows)
    return Batch(import_id, counts, fates, from_row + most if is_more else None)


def _plan(db: Session, reading: Reading, roster: Roster, now: datetime) -> _Planned:
    plan = _plan_clients if reading.kind is FileKind.CLIENTS else _plan_records
    return plan(db, reading, roster, now)


def _plan_clients(db: Session, reading: Reading, roster: Roster, now: datetime) -> _Planned:
    decisions = imports.decisions_of(db, client_ids=roster.client_ids)
    steps: list[Step] = []
    fates: list[Fate] = []
    taken: dict[int, int] = {}
    for row in reading.rows:
        if not isinstance(row, ClientLine):
            continue
        try:
            step = plan_client(row, roster=roster, decisions=decisions, now=now)
            if step.client is not None:
                _once(taken, step.client.id, row.line)
        except RowRefused as refusal:
            fates.append(Fate(row.line, row.name, Becomes.REFUSED, refusal.reason, reading.header_of(refusal.field)))
            continue
        steps.append(step)
        fates.append(Fate(row.line, row.name, step.becomes, step.detail))
    return _Planned(tuple(steps), tuple(fates))


def _once(taken: dict[int, int], client_id: int, line: int) -> None:
    if client_id in taken:
        raise RowRefused("", f"Line {taken[client_id]} is about the same client.")
    taken[client_id] = line


def _plan_records(db: Session, reading: Reading, roster: Roster, now: datetime) -> _Planned:
    known_keys = imports.known_keys(db, client_ids=roster.client_ids)
    steps: list[Step] = []
    fates: list[Fate] = []
    seen: Counter[str] = Counter()
    for row in reading.rows:
        if isinstance(row, ClientLine):
            continue
        try:
            known = find_client(row, roster=roster, now=now)
        except RowRefused as refusal:
            fates.append(
                Fate(row.line, row.client, Becomes.REFUSED, refusal.reason, reading.header_of(refusal.field))
            )
            continue
        step = plan_record(row, known, seen=seen, known_keys=known_keys)
        steps.append(step)
        fates.append(Fate(row.line, known.name, step.becomes, step.detail))
    return _Planned(tuple(steps), tuple(fates))


def _file_fate(reading: Reading, planned: _Planned) -> FileFate:
    unread = [Fate(r.line, r.who, Becomes.REFUSED, r.reason, r.column) for r in reading.refused]
    return FileFate(reading.kind, tuple(sorted([*planned.fates, *unread], key=lambda fate: fate.line)))


def _keep(
    db: Session, steps: Sequence[Step], *, actor: Actor, roster: Roster, file: FileToBring, now: datetime
) -> None:
    days: defaultdict[int, list[date]] = defaultdict(list)
    for step in steps:
        if isinstance(step, ClientStep):
            keep_client(db, step, actor=actor, zone=roster.zone, file_name=file.name, now=now)
        elif step.becomes is Becomes.ADDED and step.known.client is not None:
            keep_record(db, step, actor=actor, now=now)
            days[step.known.client.id].append(day_of(step.row))
    for client_id, added in days.items():
        leave_trace(
            db,
            at=now,
            person_id=actor.person_id,
            client_id=client_id,
            action=f"bring_in_{file.reading.kind.value}",
            subject=file.reading.kind.value,
            change={
                "after": {"file": file.name, "rows": len(added), "from_on": min(added), "until_on": max(added)},
            },
        )
