"""Bringing files in by page: upload, say how the columns are meant, look row by row, then keep."""

from __future__ import annotations

from collections.abc import Mapping as Pairs
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.typed_values import NotUnderstood
from app.files import incoming
from app.files.csv_fields import FIELDS, KIND_ORDER, WORD_CHOICES, FileKind
from app.files.csv_guesses import guess_columns, guess_word
from app.files.csv_mapping import (
    Mapping,
    as_plain,
    from_json,
    from_plain,
    header_sha256,
    to_json,
)
from app.files.csv_mapping_file import read_mapping_file
from app.files.csv_questions import Prepared, prepare
from app.files.csv_text import Table, Unreadable, normalised, read_table
from app.files.from_csv import Reading, read_rows
from app.files.incoming import Upload, Uploaded
from app.storage import imports
from app.storage.imports import BroughtIn
from app.usecases.bring_in.batches import BATCH_ROWS, bring_in, file_to_bring, preview
from app.usecases.bring_in.roster import require_may_bring_in
from app.usecases.bring_in.values import Becomes, Counts, Fate, FileFate
from app.usecases.gate import NotYours

KINDS = tuple(kind.value for kind in KIND_ORDER)
SAMPLES = 3


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a file: its header, what it is taken for, and its first different cells."""

    header: str
    field: str
    samples: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Unknown:
    """A word of the file that nobody has explained yet."""

    field: str
    word: str
    #: Our word that it stands nearest to; empty when none is near.
    guess: str


@dataclass(frozen=True, slots=True)
class FileLook:
    """One file of an upload as it is understood so far; `fate` is None while questions are open."""

    name: str
    kind: str
    columns: tuple[Column, ...]
    choices: tuple[tuple[str, str], ...]
    #: The mapping as plain values, with what the cells prove filled in.
    answers: dict[str, Any]
    notes: tuple[str, ...]
    questions: tuple[tuple[str, str], ...]
    unknown: tuple[Unknown, ...]
    is_remembered: bool
    fate: FileFate | None

    @property
    def left_out(self) -> tuple[Column, ...]:
        """The columns that will not come in as things stand."""
        return tuple(column for column in self.columns if not column.field)


@dataclass(frozen=True, slots=True)
class Look:
    """A whole upload: its files, sentences about unreadable ones, and, once kept, what became of it."""

    token: str
    files: tuple[FileLook, ...]
    problems: tuple[str, ...]
    result: dict[str, Any] | None

    @property
    def is_ready(self) -> bool:
        """Whether nothing is open any more."""
        return all(file.fate is not None for file in self.files)

    @property
    def counts(self) -> Counts:
        """What would become of all rows."""
        return sum((file.fate.counts for file in self.files if file.fate is not None), Counts())


@dataclass(frozen=True, slots=True)
class Kept:
    """What one step of keeping did: its progress rows, and where the next step begins (None: finished)."""

    import_ids: tuple[int, ...]
    next_at: tuple[int, int] | None
    counts: Counts
    #: Every row of the upload that was refused; looked up once all is kept.
    refused: tuple[dict[str, Any], ...] = ()


@dataclass(frozen=True, slots=True)
class _Open:
    file: Uploaded
    table: Table
    mapping: Mapping
    prepared: Prepared
    is_remembered: bool
    reading: Reading | None


def take(
    data_dir: Path, *, actor: Actor, files: Sequence[tuple[str, str, bytes]], now: datetime
) -> tuple[str | None, dict[str, str]]:
    """Keep uploaded files (kind, name, bytes) for looking. Returns the token, and a sentence per unreadable kind.

    Without a single readable file nothing is kept and the token is None.
    Raises: NotAllowed for a stand-in or a client.
    """
    require_may_bring_in(actor)
    readable: list[Uploaded] = []
    problems: dict[str, str] = {}
    for kind, name, content in files:
        try:
            read_table(content)
        except Unreadable as problem:
            problems[kind] = f"{name}: {problem}"
        else:
            readable.append(Uploaded(name, kind, content))
    if not readable:
        return None, problems
    readable.sort(key=lambda file: KINDS.index(file.kind))
    token = incoming.keep(
        data_dir, person_id=actor.person_id, files=readable, problems=list(problems.values()), now=now
    )
    return token, problems


def look(db: Session, data_dir: Path, *, actor: Actor, token: str, now: datetime) -> Look:
    """What an upload would do, row by row; nothing is kept. Raises: NotYours for another person's upload."""
    upload = _own(data_dir, actor=actor, token=token, now=now)
    if upload.result is not None:
        return Look(token, (), upload.problems, upload.result)
    opened = _opened(db, upload)
    readings = [one.reading for one in opened if one.reading is not None]
    fates = iter(preview(db, actor=actor, readings=readings, now=now))
    files = tuple(_file_look(one, next(fates) if one.reading is not None else None) for one in opened)
    return Look(token, files, upload.problems, None)


def choices_of(field: str) -> tuple[tuple[str, str], ...]:
    """The words a file's own word may stand for."""
    return WORD_CHOICES[field]


def headers_of(data_dir: Path, *, actor: Actor, token: str, now: datetime) -> list[tuple[str, ...]]:
    """The header row of each file of an upload. Raises: NotYours for another person's upload."""
    upload = _own(data_dir, actor=actor, token=token, now=now)
    return [read_table(file.content).headers for file in upload.files if upload.result is None]


def answer(
    db: Session, data_dir: Path, *, actor: Actor, token: str, answers: Sequence[Pairs[str, Any]], now: datetime
) -> tuple[bool, dict[int, str]]:
    """Keep what was said about each file. Returns whether anything changed, and a sentence per file not understood.

    Raises: NotYours for another person's upload.
    """
    upload = _own(data_dir, actor=actor, token=token, now=now)
    opened = _opened(db, upload)
    kept: list[dict[str, Any]] = []
    problems: dict[int, str] = {}
    for index, (one, said) in enumerate(zip(opened, answers, strict=True)):
        try:
            mapping = from_plain({**said, "kind": one.file.kind})
            kept.append(as_plain(prepare(one.table, mapping).mapping))
        except NotUnderstood as problem:
            problems[index] = str(problem)
    if problems:
        return False, problems
    is_changed = kept != [as_plain(one.prepared.mapping) for one in opened]
    if is_changed:
        incoming.keep_answers(data_dir, token, answers=kept)
    return is_changed, {}


def use_mapping_file(
    db: Session, data_dir: Path, *, actor: Actor, token: str, content: bytes, now: datetime
) -> str | None:
    """Read an upload as a mapping file says; returns why it cannot be, None when it is.

    Raises: NotYours for another person's upload.
    """
    upload = _own(data_dir, actor=actor, token=token, now=now)
    try:
        said = {one.kind.value: one for one in read_mapping_file(content.decode("utf-8-sig"))}
    except UnicodeDecodeError:
        return "This is no text; a mapping file is written in TOML, in UTF-8."
    except NotUnderstood as problem:
        return str(problem)
    opened = _opened(db, upload)
    if not any(one.file.kind in said for one in opened):
        return f"It says nothing about {' or '.join(one.file.kind for one in opened)}."
    answers = [as_plain(prepare(one.table, said.get(one.file.kind, one.mapping)).mapping) for one in opened]
    incoming.keep_answers(data_dir, token, answers=answers)
    return None


def keep(
    db: Session, data_dir: Path, *, actor: Actor, token: str, at: tuple[int, int] = (0, 0), now: datetime
) -> Kept | None:
    """Keep the next rows of an upload, from a file and a row on; None while questions are open.

    The mapping counts as confirmed and is remembered for its header row. Repeating a step adds nothing.
    Raises: NotYours for another person's upload; NotAllowed.
    """
    upload = _own(data_dir, actor=actor, token=token, now=now)
    opened = _opened(db, upload)
    if not opened or any(one.reading is None for one in opened):
        return None
    index, row = at
    import_ids: list[int] = []
    counts = Counts()
    left = BATCH_ROWS
    for number, one in enumerate(opened[index:], start=index):
        if one.reading is None or left <= 0:
            return Kept(tuple(import_ids), (number, row), counts)
        _remember(db, one, actor=actor, now=now)
        file = file_to_bring(name=one.file.name, content=one.file.content, reading=one.reading)
        batch = bring_in(db, actor=actor, file=file, from_row=row, most=left, now=now)
        import_ids.append(batch.import_id)
        counts += batch.counts
        left -= len(batch.fates)
        if batch.next_row is not None:
            return Kept(tuple(import_ids), (number, batch.next_row), counts)
        row = 0
    return Kept(tuple(import_ids), None, counts, _refused(db, opened, actor=actor, now=now))


def settle(db: Session, data_dir: Path, *, token: str, kept: Kept) -> None:
    """Count a step that was surely kept, and drop the files after the last; called when its transaction has ended."""
    if not kept.import_ids or not imports.are_kept(db, import_ids=kept.import_ids):
        return
    incoming.count(data_dir, token, added=kept.counts.added, changed=kept.counts.changed)
    if kept.next_at is None:
        incoming.finish(data_dir, token, refused=kept.refused)


def forget(data_dir: Path, *, actor: Actor, token: str, now: datetime) -> None:
    """Drop an upload without keeping anything. Raises: NotYours for another person's upload."""
    _own(data_dir, actor=actor, token=token, now=now)
    incoming.drop(data_dir, token)


def recent(db: Session, *, actor: Actor) -> list[BroughtIn]:
    """What a person brought in lately, newest first. Raises: NotAllowed for a stand-in or a client."""
    require_may_bring_in(actor)
    return imports.of_person(db, person_id=actor.person_id)


def _own(data_dir: Path, *, actor: Actor, token: str, now: datetime) -> Upload:
    require_may_bring_in(actor)
    upload = incoming.load(data_dir, token, now=now)
    if upload is None or upload.person_id != actor.person_id:
        raise NotYours("This upload is not here any more.")
    return upload


def _opened(db: Session, upload: Upload) -> list[_Open]:
    return [_open(db, file, answers) for file, answers in zip(upload.files, upload.answers, strict=True)]


def _open(db: Session, file: Uploaded, answers: dict[str, Any] | None) -> _Open:
    table = read_table(file.content)
    remembered = _remembered(db, table, FileKind(file.kind))
    if answers is not None:
        mapping = from_plain(answers)
    else:
        kind = FileKind(file.kind)
        mapping = remembered or Mapping(kind, guess_columns(kind, table))
    prepared = prepare(table, mapping)
    reading = None if prepared.questions else read_rows(table, prepared.mapping)
    return _Open(file, table, mapping, prepared, remembered is not None and answers is None, reading)


def _remembered(db: Session, table: Table, kind: FileKind) -> Mapping | None:
    kept = imports.mapping_for(db, header_sha256=header_sha256(table.headers))
    mapping = None if kept is None else from_json(kept)
    return mapping if mapping is not None and mapping.kind is kind else None


def _remember(db: Session, one: _Open, *, actor: Actor, now: datetime) -> None:
    imports.keep_mapping(
        db,
        header_sha256=header_sha256(one.table.headers),
        kind=one.mapping.kind.value,
        mapping_json=to_json(one.prepared.mapping),
        person_id=actor.person_id,
        at=now,
    )


def _file_look(one: _Open, fate: FileFate | None) -> FileLook:
    mapping = one.prepared.mapping
    columns = tuple(
        Column(
            header,
            mapping.columns.get(normalised(header), ""),
            tuple(dict.fromkeys(one.table.column(index)))[:SAMPLES],
        )
        for index, header in enumerate(one.table.headers)
    )
    return FileLook(
        name=one.file.name,
        kind=one.file.kind,
        columns=columns,
        choices=tuple((known.name, known.label) for known in FIELDS[mapping.kind]),
        answers=as_plain(mapping),
        notes=one.table.notes,
        questions=tuple((question.name, question.text) for question in one.prepared.questions),
        unknown=tuple(
            Unknown(name, word, guess_word(mapping.kind, name, word)) for name, word in one.prepared.unknown_words
        ),
        is_remembered=one.is_remembered,
        fate=fate,
    )


def _refused(db: Session, opened: Sequence[_Open], *, actor: Actor, now: datetime) -> tuple[dict[str, Any], ...]:
    """Every row that was refused, with its file."""
    fates = preview(db, actor=actor, readings=[one.reading for one in opened if one.reading], now=now)
    return tuple(
        {"file": one.file.name, **_plain(fate)}
        for one, whole in zip(opened, fates, strict=True)
        for fate in whole.fates
        if fate.becomes is Becomes.REFUSED
    )


def _plain(fate: Fate) -> dict[str, Any]:
    return {"line": fate.line, "column": fate.column, "who": fate.who, "reason": fate.detail}
