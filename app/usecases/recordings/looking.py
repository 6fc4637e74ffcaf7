"""A file looked at before anything is kept: read apart from the database, laid by for two hours as it was understood.

While a question is open the file itself waits in a private folder; once it is understood only the series does, with
its places, so that nobody asked about them has to choose the file again. Keeping drops them unless they are wanted.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.recording_about import About, about, from_json, to_json
from app.coaching.recording_series import Laid, lay
from app.coaching.session_logs import Answer, SessionLog
from app.files import incoming, recordings
from app.files.incoming import Upload, Uploaded
from app.files.kept_series import pack
from app.files.recording_columns import Question
from app.files.recording_file import Readable
from app.storage import prescriptions, session_logs
from app.usecases.gate import NotYours, open_record

#: Where files wait, in the data folder.
WAITING = "recordings"
#: A file that waits knows where somebody lives: it waits no longer than this, questions included (house choice).
WAITS_FOR = timedelta(hours=2)
_OPEN, _READ = "open", "read"


@dataclass(frozen=True, slots=True)
class MayAdd:
    """That a recording may be added to a log."""

    log_id: int


@dataclass(frozen=True, slots=True)
class Taken:
    """Where a file waits now; or the sentence that says why it was not taken."""

    token: str | None
    problem: str | None


@dataclass(frozen=True, slots=True, eq=False)
class Draft:
    """A file that waits: questions about it, or what was understood."""

    token: str
    #: When it is forgotten unless it was kept.
    until_at: datetime
    name: str
    file_kind: str
    file_sha256: str
    file_bytes: int
    questions: tuple[Question, ...]
    answers: Mapping[str, str]
    #: None while questions are open.
    about: About | None
    started_at: datetime | None
    duration_s: int
    #: Whether the file knows where it was; keeping drops that unless the client asks for it.
    has_places: bool
    series: bytes


def open_log(db: Session, *, actor: Actor, log_id: int, action: Action, now: datetime) -> tuple[Client, SessionLog]:
    """An entry and its client, for one action. Raises: NotYours for a stranger's or a missing entry; NotAllowed."""
    log = session_logs.one(db, log_id=log_id)
    if log is None:
        raise NotYours("There is no such entry here.")
    return open_record(db, actor=actor, client_id=log.client_id, action=action, now=now), log


def planned_of(db: Session, log: SessionLog) -> PlannedSession | None:
    """The version of the plan that an entry answers: the last one published before it; None without one.

    What is published later is never held against what was done, so it asks for no other reading either.
    """
    if log.planned_session_id is None:
        return None
    versions = prescriptions.versions(db, planned_session_id=log.planned_session_id)
    return next((one for one in reversed(versions) if one.published_at and one.published_at <= log.entered_at), None)


def may_add(db: Session, *, actor: Actor, log_id: int, now: datetime) -> MayAdd | None:
    """What has to be known before a file is read; None for an entry that says nothing was done.

    Raises: NotYours, NotAllowed.
    """
    _, log = open_log(db, actor=actor, log_id=log_id, action=Action.LOG, now=now)
    if log.answer is Answer.NOT_DONE:
        return None
    return MayAdd(log_id)


def take(data_dir: Path, *, actor: Actor, may: MayAdd, name: str, source: Readable, now: datetime) -> Taken:
    """Read a file and lay by what was understood. Uses no database: reading may take a second or two."""
    try:
        return _take(data_dir, actor=actor, may=may, name=name, content=recordings.whole(source), answers={}, now=now)
    except DomainError as refusal:
        return Taken(None, str(refusal))


def answer(
    data_dir: Path, *, actor: Actor, may: MayAdd, token: str, answers: Mapping[str, str], now: datetime
) -> Taken:
    """Read a waiting file again with what was answered about it; it waits on while an answer is missing.

    Raises: NotYours for a file that does not wait here.
    """
    upload, said = _upload(data_dir, actor=actor, log_id=may.log_id, token=token, now=now)
    if said["state"] != _OPEN:
        return Taken(token, None)
    content = upload.files[0].content
    try:
        questions = recordings.read(content, {}).questions
        if any(answers.get(one.name) not in dict(one.choices) for one in questions):
            return Taken(token, None)
        name = upload.files[0].name
        taken = _take(
            data_dir, actor=actor, may=may, name=name, content=content, answers=answers, now=now, since=upload.at
        )
    except DomainError as refusal:
        return Taken(None, str(refusal))
    incoming.drop(data_dir / WAITING, token)
    return taken


def _take(
    data_dir: Path,
    *,
    actor: Actor,
    may: MayAdd,
    name: str,
    content: bytes,
    answers: Mapping[str, str],
    now: datetime,
    since: datetime | None = None,
) -> Taken:
    found = recordings.read(content, answers)
    said: dict[str, Any] = {
        "log_id": may.log_id,
        "state": _OPEN,
        "sha256": hashlib.sha256(content).hexdigest(),
        "bytes": len(content),
        "answers": dict(answers),
    }
    if found.samples is not None:
        laid = lay(found.samples, latest_at=now)
        content = pack(laid.recording, laid.places)
        said |= _understood(laid)
    folder = data_dir / WAITING
    file = Uploaded(_tidy(name), found.kind.value, content)
    token = incoming.keep(
        folder, person_id=actor.person_id, files=[file], problems=(), now=now, kept_for=WAITS_FOR, since=since
    )
    incoming.keep_answers(folder, token, answers=[said])
    return Taken(token, None)


def _understood(laid: Laid) -> dict[str, Any]:
    started_at = laid.recording.started_at
    return {
        "state": _READ,
        "about": to_json(about(laid)),
        "started_at": started_at.isoformat() if started_at else None,
        "duration_s": int(laid.recording.duration_s),
        "has_places": bool(laid.places),
    }


def draft(data_dir: Path, *, actor: Actor, log_id: int, token: str, now: datetime) -> Draft:
    """A waiting file. Raises: NotYours when none of that token waits for this person and entry."""
    upload, said = _upload(data_dir, actor=actor, log_id=log_id, token=token, now=now)
    file, is_read = upload.files[0], said["state"] == _READ
    started_at = said.get("started_at")
    return Draft(
        token=token,
        until_at=upload.at + WAITS_FOR,
        name=file.name,
        file_kind=file.kind,
        file_sha256=said["sha256"],
        file_bytes=said["bytes"],
        questions=() if is_read else recordings.read(file.content, {}).questions,
        answers=said["answers"],
        about=from_json(said["about"]) if is_read else None,
        started_at=datetime.fromisoformat(started_at) if started_at else None,
        duration_s=said.get("duration_s", 0),
        has_places=said.get("has_places", False),
        series=file.content if is_read else b"",
    )


def drop(data_dir: Path, *, actor: Actor, log_id: int, token: str, now: datetime) -> None:
    """Forget a waiting file. Raises: NotYours."""
    _upload(data_dir, actor=actor, log_id=log_id, token=token, now=now)
    incoming.drop(data_dir / WAITING, token)


def _upload(data_dir: Path, *, actor: Actor, log_id: int, token: str, now: datetime) -> tuple[Upload, dict[str, Any]]:
    found = incoming.load(data_dir / WAITING, token, now=now, kept_for=WAITS_FOR)
    said = found.answers[0] if found is not None else None
    if found is None or said is None or found.person_id != actor.person_id or said["log_id"] != log_id:
        raise NotYours("This file does not wait here any more. Choose it again.")
    return found, said


def _tidy(name: str) -> str:
    """The last part of a file name without control characters, as the sender called it."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(letter for letter in last if letter.isprintable()).strip()[:200] or "recording"
