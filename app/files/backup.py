"""Copies of the practice's file: made, verified before they count, kept for a while, and brought back."""

from __future__ import annotations

import os
import shutil
import sqlite3
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path

from app.coaching.reasons import DomainError
from app.files.backup_losses import Losses, losses

FOLDER = "backups"
KEEP_DAYS = 7
KEEP_WEEKS = 4
_PREFIX = "foothill-"
_SUFFIX = ".sqlite3"
_STAMP = "%Y%m%dT%H%M%S"
#: What SQLite leaves beside a file that was not closed; beside another file it would be poison.
SIDE_FILES = ("-wal", "-shm", "-journal")


class BadCopy(DomainError):
    """A copy that cannot be trusted."""


@dataclass(frozen=True, slots=True)
class Findings:
    """What reading a whole file brought to light."""

    revision: str | None
    complaints: tuple[str, ...]


def make_copy(file: Path, *, known_revisions: Sequence[str], now: datetime) -> Path:
    """Copy the practice's file into its backups folder: under a temporary name, verified, then renamed.

    Raises: BadCopy when the copy does not read back whole; the earlier copies stay.
    """
    if not file.is_file():
        raise BadCopy(f"There is no practice in {file.parent}.")
    folder = file.parent / FOLDER
    folder.mkdir(exist_ok=True)
    copy = folder / f"{_PREFIX}{now.strftime(_STAMP)}{_SUFFIX}"
    unfinished = copy.with_suffix(".unfinished")
    unfinished.unlink(missing_ok=True)
    try:
        with _opened(file) as source:
            source.execute("VACUUM INTO ?", (str(unfinished),))
        _verify(unfinished, known_revisions)
        unfinished.chmod(0o600)
        sync(unfinished)
        unfinished.replace(copy)
        sync(folder)
    except sqlite3.DatabaseError as problem:
        raise BadCopy(f"{file} cannot be copied ({problem}). The earlier copies are untouched.") from problem
    finally:
        unfinished.unlink(missing_ok=True)
    _thin_out(folder, newest=copy)
    return copy


def _verify(copy: Path, known_revisions: Sequence[str], *, name: str | None = None) -> None:
    """Raises: BadCopy, which calls the file by `name` where it lies under a passing one."""
    name, findings = name or copy.name, examine(copy)
    if findings.complaints:
        raise BadCopy(f"The copy {name} is damaged: {findings.complaints[0]}.")
    if findings.revision is None:
        raise BadCopy(f"{name} is not a practice's file.")
    if findings.revision not in known_revisions:
        raise BadCopy(f"{name} was written by a newer version of the desk (schema {findings.revision}).")


def examine(file: Path) -> Findings:
    """Read a whole file without changing it: pages, references, schema revision."""
    try:
        with _opened(file) as db:
            complaints = [row[0] for row in db.execute("PRAGMA integrity_check") if row[0] != "ok"]
            complaints += [
                f"a row of {table} refers to a row of {parent} that is not there"
                for table, _row, parent, _key in db.execute("PRAGMA foreign_key_check")
            ]
            return Findings(_revision(db), tuple(complaints))
    except sqlite3.DatabaseError as problem:
        return Findings(None, (f"it cannot be read ({problem})",))


def _revision(db: sqlite3.Connection) -> str | None:
    has_table = db.execute("SELECT 1 FROM sqlite_master WHERE name = 'alembic_version'").fetchone()
    row = db.execute("SELECT version_num FROM alembic_version").fetchone() if has_table else None
    return str(row[0]) if row else None


@contextmanager
def _opened(file: Path) -> Iterator[sqlite3.Connection]:
    # Not made when missing: a new empty file would look like a practice without people.
    db = sqlite3.connect(f"{file.resolve().as_uri()}?mode=rw", uri=True, isolation_level=None)
    try:
        yield db
    finally:
        db.close()


def find_copy(named: Path, *, data_dir: Path) -> Path:
    """A copy by its path, else by its name in the folder's backups. Raises: BadCopy when it is in neither place."""
    in_backups = data_dir / FOLDER / named.name
    found = next((path for path in (named, in_backups) if path.is_file()), None)
    if found is None:
        raise BadCopy(f"There is no file {named}, and none of that name in {data_dir / FOLDER}.")
    return found


def bring_back(
    copy: Path,
    *,
    file: Path,
    known_revisions: Sequence[str],
    now: datetime,
    warn: Callable[[Losses | None], None] = lambda _losses: None,
) -> Path | None:
    """Put a verified copy in the place of the practice's file; returns where the present one was set aside.

    warn: is told what the present file holds beyond the copy (None: it cannot be read) while nothing is touched yet,
    and may still raise.
    Raises: BadCopy when the copy is missing or not whole; nothing is touched then.
    """
    if not copy.is_file():
        raise BadCopy(f"There is no file {copy}.")
    incoming = file.with_name(f"{file.stem}.incoming")
    try:
        shutil.copyfile(copy, incoming)
        _verify(incoming, known_revisions, name=copy.name)
        warn(losses(file, copy=incoming))
        for side in SIDE_FILES:
            incoming.with_name(incoming.name + side).unlink(missing_ok=True)
        incoming.chmod(0o600)
        sync(incoming)
        aside = _set_aside(file, now)
        incoming.replace(file)
        sync(file.parent)
    finally:
        incoming.unlink(missing_ok=True)
    return aside


def _set_aside(file: Path, now: datetime) -> Path | None:
    """Keep the present file, newest entries included, and remove what SQLite left beside it."""
    aside = None
    if file.exists():
        _fold_in(file)
        aside = file.with_name(f"{file.stem}.before-{now.strftime(_STAMP)}{_SUFFIX}")
        if aside.exists():
            raise BadCopy(f"{aside.name} is there already. Wait a second and try again.")
        shutil.copyfile(file, aside)
        aside.chmod(0o600)
        sync(aside)
    for side in SIDE_FILES:
        file.with_name(file.name + side).unlink(missing_ok=True)
    return aside


def _fold_in(file: Path) -> None:
    # Entries that still stand in the write-ahead file belong to the file that is set aside. A file too broken to
    # open is set aside as it is.
    try:
        with _opened(file) as db:
            db.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    except sqlite3.DatabaseError:
        return


def sync(path: Path) -> None:
    """Wait until a file or a folder's list of names is on the disk."""
    descriptor = os.open(path, os.O_RDONLY)
    try:
        os.fsync(descriptor)
    finally:
        os.close(descriptor)


def copies(folder: Path) -> list[Path]:
    """The finished copies of a backups folder, newest first."""
    return sorted((path for path in folder.glob(f"{_PREFIX}*{_SUFFIX}") if _day_of(path)), reverse=True)


def newest_copy_on(data_dir: Path) -> date | None:
    """The day of the newest finished copy, each of which was read back whole before it got its name; None without."""
    return next((_day_of(path) for path in copies(data_dir / FOLDER)), None)


def _day_of(path: Path) -> date | None:
    try:
        return datetime.strptime(path.name[len(_PREFIX) : -len(_SUFFIX)], _STAMP).date()  # noqa: DTZ007  # UTC by name
    except ValueError:
        return None


def kept_days(days: Sequence[date]) -> set[date]:
    """Of the days with a copy: the newest seven, and the newest of each of four weeks before those."""
    newest_first = sorted(set(days), reverse=True)
    daily = newest_first[:KEEP_DAYS]
    by_week: dict[tuple[int, int], date] = {}
    for day in newest_first[KEEP_DAYS:]:
        by_week.setdefault(day.isocalendar()[:2], day)
    return set(daily) | set(list(by_week.values())[:KEEP_WEEKS])


def _thin_out(folder: Path, *, newest: Path) -> None:
    """Keep one copy a day (its newest) on the days that are kept; the one just made always stays."""
    days = {path: day for path in copies(folder) if (day := _day_of(path)) is not None}
    wanted = kept_days(list(days.values()))
    seen: set[date] = set()
    for path, day in days.items():
        if path != newest and (day not in wanted or day in seen):
            path.unlink()
        seen.add(day)
