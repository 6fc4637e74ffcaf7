"""Bringing files in by command: nothing is asked; what is ambiguous and unanswered refuses its file."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Role
from app.coaching.reasons import Refused
from app.coaching.typed_values import NotUnderstood
from app.files.csv_dates import DateOrder
from app.files.csv_fields import KIND_ORDER
from app.files.csv_mapping import Mapping, from_json, header_sha256, to_json
from app.files.csv_mapping_file import fitting, read_mapping_file
from app.files.csv_questions import prepare
from app.files.csv_text import LARGEST_FILE, Table, Unreadable, normalised, read_table
from app.files.from_csv import read_rows
from app.storage import accounts, imports
from app.usecases.bring_in.batches import FileToBring, bring_in, file_to_bring
from app.usecases.bring_in.confirm import waiting
from app.usecases.bring_in.values import Becomes, Counts, Fate

Transaction = Callable[[bool], AbstractContextManager[Session]]
Say = Callable[[str], None]

ALL_WELL = 0
A_FILE_WAS_REFUSED = 2
NAMES_SAID = 5


@dataclass(frozen=True, slots=True)
class _Ready:
    file: FileToBring
    mapping: Mapping
    table: Table


class _FileRefused(Exception):
    """A whole file that does not go in; the sentence says why."""


def importing_person(db: Session, *, email: str | None) -> Actor:
    """Who acts in a command: the coach with an address, else the only head coach.

    Raises: Refused with a sentence that says what to give.
    """
    if email is not None:
        person = accounts.person_by_email(db, email=email)
        if person is None or not person.is_active or person.role not in (Role.HEAD_COACH, Role.COACH):
            raise Refused(f"No coach here has the address {email}.")
        return Actor(person.id, person.name, person.role, None)
    heads = [one for one in accounts.coaches(db) if one.role is Role.HEAD_COACH and one.is_active]
    if len(heads) != 1:
        raise Refused("Say for whom with --as EMAIL." if heads else "There is no coach yet: foothill create-coach.")
    return Actor(heads[0].id, heads[0].name, heads[0].role, None)


def run_import(
    transaction: Transaction,
    *,
    files: Sequence[Path],
    mapping_path: Path | None,
    dates: str | None,
    actor: Actor,
    now: datetime,
    say: Say,
) -> int:
    """Bring files in, clients first, and say row by row what was refused; the last line holds the counts.

    transaction: opens a unit of work, writing when called with True.
    Returns: 0, also when single rows were refused and listed; 2 when a whole file was refused.
    """
    try:
        mappings = () if mapping_path is None else read_mapping_file(mapping_path.read_text(encoding="utf-8"))
        order = None if dates is None else _date_order(dates)
    except (OSError, UnicodeDecodeError, NotUnderstood) as problem:
        say(f"{mapping_path or '--dates'}: {problem}")
        say(Counts().words)
        return A_FILE_WAS_REFUSED
    ready: list[_Ready] = []
    for path in files:
        try:
            ready.append(_read(transaction, path, mappings, order))
        except (_FileRefused, Unreadable, NotUnderstood) as problem:
            say(f"{path.name}: refused. {problem}")
    ready.sort(key=lambda one: KIND_ORDER.index(one.mapping.kind))
    total = Counts()
    for one in ready:
        total += _bring(transaction, one, actor=actor, now=now, say=say)
    _say_waiting(transaction, actor=actor, now=now, say=say)
    say(total.words)
    return ALL_WELL if len(ready) == len(files) else A_FILE_WAS_REFUSED


def _date_order(dates: str) -> DateOrder:
    try:
        return DateOrder(dates)
    except ValueError:
        raise NotUnderstood(f"dates are day-first, month-first or iso, not “{dates}”") from None


def _read(transaction: Transaction, path: Path, mappings: Sequence[Mapping], order: DateOrder | None) -> _Ready:
    try:
        if path.stat().st_size > LARGEST_FILE:
            raise _FileRefused(f"This file is larger than {LARGEST_FILE // (1024 * 1024)} MB. Split it.")
        content = path.read_bytes()
    except OSError as problem:
        raise _FileRefused(f"It cannot be read: {problem.strerror}.") from None
    table = read_table(content)
    mapping = fitting(mappings, table.headers) or _remembered(transaction, table)
    if mapping is None:
        raise _FileRefused(
            "No confirmed mapping fits its columns. Give one with --mapping, or bring the file in on the page once."
        )
    prepared = prepare(table, replace(mapping, dates=order or mapping.dates))
    if prepared.questions:
        raise _FileRefused(" ".join(question.text for question in prepared.questions) + _HOW_TO_ANSWER)
    reading = read_rows(table, prepared.mapping)
    return _Ready(file_to_bring(name=path.name, content=content, reading=reading), mapping, table)


_HOW_TO_ANSWER = " Answer with --dates or in the mapping file."


def _remembered(transaction: Transaction, table: Table) -> Mapping | None:
    with transaction(False) as db:
        kept = imports.mapping_for(db, header_sha256=header_sha256(table.headers))
    return None if kept is None else from_json(kept)


def _bring(transaction: Transaction, one: _Ready, *, actor: Actor, now: datetime, say: Say) -> Counts:
    for note in one.table.notes:
        say(f"{one.file.name}: {note}")
    left_out = [header for header in one.table.headers if normalised(header) not in one.mapping.columns]
    if left_out:
        say(f"{one.file.name}: these columns do not come in: {', '.join(left_out)}")
    total = Counts()
    from_row: int | None = 0
    while from_row is not None:
        with transaction(True) as db:
            if from_row == 0:
                _remember(db, one, actor=actor, now=now)
            batch = bring_in(db, actor=actor, file=one.file, from_row=from_row, now=now)
        for fate in batch.fates:
            if fate.becomes is Becomes.REFUSED:
                say(_refusal_words(one.file.name, fate))
        total += batch.counts
        from_row = batch.next_row
    say(f"{one.file.name}: {one.mapping.kind.value}, {total.words}, already here {total.already_here}")
    return total


def _remember(db: Session, one: _Ready, *, actor: Actor, now: datetime) -> None:
    imports.keep_mapping(
        db,
        header_sha256=header_sha256(one.table.headers),
        kind=one.mapping.kind.value,
        mapping_json=to_json(one.mapping),
        person_id=actor.person_id,
        at=now,
    )


def _refusal_words(name: str, fate: Fate) -> str:
    column = f", {fate.column}" if fate.column else ""
    return f"{name} line {fate.line}{column}: {fate.detail}"


def _say_waiting(transaction: Transaction, *, actor: Actor, now: datetime, say: Say) -> None:
    with transaction(False) as db:
        open_ones = waiting(db, actor=actor, now=now)
    if open_ones:
        names = ", ".join(one.client_name for one in open_ones[:NAMES_SAID]) + (
            ", ..." if len(open_ones) > NAMES_SAID else ""
        )
        say(f"Phases brought in count once you confirm them at the desk: {len(open_ones)} ({names}).")
