"""Keeping the practice's file: copies, bringing one back, and looking whether all is well."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from zoneinfo import available_timezones

from sqlalchemy.orm import Session

from app.coaching.access import Role
from app.coaching.practice import Practice
from app.coaching.reasons import DomainError
from app.coaching.weeks import day_words
from app.coaching.words import counted
from app.files import backup
from app.files.backup_losses import Losses, LostRecord
from app.storage import accounts, practice, schema
from app.storage.audit import LOST, LOST_HOLD, Trace, leave_trace, leave_traces
from app.storage.database import FILE_NAME


@dataclass(frozen=True, slots=True)
class Restored:
    """What became of the two files."""

    file: Path
    set_aside: Path | None
    copy: Path
    #: Open holds that are not in the copy.
    lost_holds: tuple[LostRecord, ...]


def keep_copy(data_dir: Path, *, now: datetime) -> Path:
    """Make a verified copy in the folder's backups; old ones are thinned out.

    Raises: BadCopy when there is nothing to copy or the copy does not read back whole.
    """
    return backup.make_copy(data_dir / FILE_NAME, known_revisions=sorted(schema.known_revisions()), now=now)


def newest_copy_on(data_dir: Path) -> date | None:
    """The day of the newest copy that was read back whole; None before the first."""
    return backup.newest_copy_on(data_dir)


def restore(
    data_dir: Path, *, copy: Path, now: datetime, warn: Callable[[list[str]], None] = lambda _lines: None
) -> Restored:
    """Put a copy in the place of the practice's file and bring it up to date; the caller then ends all logins.

    copy: a path, or the name of a file in the folder's backups.
    warn: is told in sentences what will be lost while nothing is touched yet, and may still raise.
    Raises: BadCopy when the copy is not there or not whole; nothing is touched then.
    """
    data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
    file = data_dir / FILE_NAME
    found = backup.find_copy(copy, data_dir=data_dir)
    revisions = sorted(schema.known_revisions())
    lost_holds: list[LostRecord] = []

    def told(lost: Losses | None) -> None:
        lost_holds.extend(lost.holds if lost else ())
        warn(loss_lines(lost))

    aside = backup.bring_back(found, file=file, known_revisions=revisions, now=now, warn=told)
    schema.upgrade(data_dir)
    return Restored(file, aside, found, tuple(lost_holds))


def loss_lines(lost: Losses | None) -> list[str]:
    """What bringing a copy back loses, in sentences; holds and papers by client."""
    if lost is None:
        return ["The present file cannot be read, so nobody can say what it holds beyond the copy."]
    if lost.is_nothing:
        return ["The copy holds everything the present file does."]
    entries = "1 entry" if lost.entries == 1 else f"{lost.entries} entries"
    lines = [
        f"{entries}, {counted(len(lost.holds), 'open hold')} and {counted(len(lost.clearances), 'clearance')} "
        "are later than this copy and not in it."
    ]
    lines += [f"  client not in the copy: {name}" for name in lost.clients]
    lines += [f"  hold not in the copy: {_record(one)}. Raise it again before they train." for one in lost.holds]
    lines += [f"  clearance not in the copy: {_record(one)}" for one in lost.clearances]
    lines += [f"  hold lifted meanwhile, open again in the copy: {_record(one)}" for one in lost.reopened]
    return lines


def _record(one: LostRecord) -> str:
    return f"{one.client}, {one.kind.replace('_', ' ')}, {day_words(one.day)}"


def after_restore(db: Session, *, copy_name: str, lost_holds: Sequence[LostRecord], now: datetime) -> None:
    """End every login and link of the copy, and note each hold it lacks, so that the morning says it.

    Some of the logins were ended after the copy was made.
    """
    accounts.end_all_logins(db, person_id=None, at=now)
    accounts.revoke_invites(db, person_id=None, at=now)
    leave_trace(db, at=now, person_id=None, client_id=None, action="copy brought back", subject=copy_name[:200])
    note_lost_holds(db, copy_name=copy_name, lost_holds=lost_holds, now=now)


def note_lost_holds(db: Session, *, copy_name: str, lost_holds: Sequence[LostRecord], now: datetime) -> None:
    """Leave a trace of each hold a copy lacks; the morning says it until it is settled."""
    gone = [
        Trace(
            None,
            LOST,
            LOST_HOLD,
            None,
            {"copy": copy_name, "client_id": one.client_id, "client": one.client, "kind": one.kind, "day": one.day},
        )
        for one in lost_holds
    ]
    leave_traces(db, at=now, person_id=None, traces=gone)


def look_at_file(data_dir: Path) -> list[str]:
    """What is wrong with the file itself, in sentences: pages, references, schema revision."""
    file = data_dir / FILE_NAME
    if not file.is_file():
        return [f"There is no practice in {data_dir}."]
    found = backup.examine(file)
    findings = [f"The file is damaged: {one}." for one in found.complaints]
    newest = schema.newest_revision()
    if not findings and found.revision != newest:
        findings.append(
            f"The file stands at schema {found.revision}, this version of the desk works with {newest}. "
            "Starting the desk brings an older file up to date."
        )
    return findings


def look_at_settings(db: Session) -> list[str]:
    """What is wrong with what the practice has set, in sentences."""
    found = practice.found(db)
    if found is None:
        return ["The file holds no practice yet."]
    findings = _particulars(found)
    try:
        practice.rules(db)
    except DomainError as problem:
        findings.append(f"A rule has a value it may not have. {problem}.")
    everyone = accounts.coaches(db)
    if everyone and not any(one.role is Role.HEAD_COACH and one.is_active for one in everyone):
        findings.append("Nobody is head coach: people and rules cannot be changed by anyone.")
    return findings


def _particulars(found: Practice) -> list[str]:
    if found.zone not in available_timezones():
        return [f"The practice's time zone {found.zone!r} is not known on this machine."]
    return []
