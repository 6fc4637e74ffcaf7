"""Uploads between looking and keeping: a private folder per upload, gone after use or when its time is over."""

from __future__ import annotations

import json
import os
import re
import secrets
import shutil
from collections.abc import Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

FOLDER = "incoming"
KEPT_FOR = timedelta(days=1)
_TOKEN = re.compile(r"[0-9a-f]{32}")
_ABOUT = "upload.json"


@dataclass(frozen=True, slots=True)
class Uploaded:
    """One file as it came."""

    name: str
    kind: str
    content: bytes


@dataclass(frozen=True, slots=True)
class Upload:
    """An upload of a person: its files, what was answered about each, and in the end what became of it."""

    token: str
    person_id: int
    at: datetime
    files: tuple[Uploaded, ...]
    #: The mapping of each file as plain values; None until something was answered.
    answers: tuple[dict[str, Any] | None, ...]
    #: Sentences about files that could not be read.
    problems: tuple[str, ...] = ()
    #: What became of it, once it was kept; the files are gone then.
    result: dict[str, Any] | None = field(default=None)


def keep(
    data_dir: Path,
    *,
    person_id: int,
    files: Sequence[Uploaded],
    problems: Sequence[str],
    now: datetime,
    kept_for: timedelta = KEPT_FOR,
    since: datetime | None = None,
) -> str:
    """Keep an upload and return its token; old uploads are dropped on the way.

    since: when what is kept came, for one that waited already; its time goes on and does not begin again.
    """
    sweep(data_dir, now=now, kept_for=kept_for)
    token = secrets.token_hex(16)
    folder = data_dir / FOLDER / token
    folder.mkdir(mode=0o700, parents=True)
    for index, file in enumerate(files):
        _write(folder / f"{index}.csv", file.content)
    about = {
        "person_id": person_id,
        "at": (since or now).isoformat(),
        "files": [{"name": file.name, "kind": file.kind} for file in files],
        "answers": [None] * len(files),
        "problems": list(problems),
        "added": 0,
        "changed": 0,
        "result": None,
    }
    _write_about(folder, about)
    return token


def load(data_dir: Path, token: str, *, now: datetime, kept_for: timedelta = KEPT_FOR) -> Upload | None:
    """An upload, or None when there is none of that token or its time is over."""
    folder = _folder(data_dir, token)
    about = None if folder is None else _read_about(folder)
    if folder is None or about is None or _is_over(about, now, kept_for):
        return None
    is_done = about["result"] is not None
    return Upload(
        token=token,
        person_id=about["person_id"],
        at=datetime.fromisoformat(about["at"]),
        files=tuple(
            Uploaded(file["name"], file["kind"], b"" if is_done else (folder / f"{index}.csv").read_bytes())
            for index, file in enumerate(about["files"])
        ),
        answers=tuple(about["answers"]),
        problems=tuple(about["problems"]),
        result=about["result"],
    )


def keep_answers(data_dir: Path, token: str, *, answers: Sequence[dict[str, Any]]) -> None:
    """Remember what was answered about each file."""
    _change(data_dir, token, answers=list(answers))


def count(data_dir: Path, token: str, *, added: int, changed: int) -> None:
    """Add up what the steps of a long upload did."""
    folder = _folder(data_dir, token)
    about = None if folder is None else _read_about(folder)
    if about is not None:
        _change(data_dir, token, added=about["added"] + added, changed=about["changed"] + changed)


def finish(data_dir: Path, token: str, *, refused: Sequence[dict[str, Any]]) -> None:
    """Keep what became of an upload and drop its files."""
    folder = _folder(data_dir, token)
    about = None if folder is None else _read_about(folder)
    if about is None:
        return
    result = {"added": about["added"], "changed": about["changed"], "refused": list(refused)}
    _change(data_dir, token, result=result)
    folder = _folder(data_dir, token)
    if folder is not None:
        for path in folder.glob("*.csv"):
            path.unlink(missing_ok=True)


def drop(data_dir: Path, token: str) -> None:
    """Forget an upload."""
    folder = _folder(data_dir, token)
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)


def sweep(data_dir: Path, *, now: datetime, kept_for: timedelta = KEPT_FOR) -> None:
    """Forget every upload whose time is over, and what is no upload."""
    top = data_dir / FOLDER
    for folder in top.iterdir() if top.is_dir() else ():
        about = _read_about(folder) if folder.is_dir() else None
        if about is None or _is_over(about, now, kept_for):
            shutil.rmtree(folder, ignore_errors=True)


def _is_over(about: dict[str, Any], now: datetime, kept_for: timedelta) -> bool:
    return abs(now - datetime.fromisoformat(about["at"])) > kept_for


def _folder(data_dir: Path, token: str) -> Path | None:
    folder = data_dir / FOLDER / token
    return folder if _TOKEN.fullmatch(token) and folder.is_dir() else None


def _change(data_dir: Path, token: str, **values: Any) -> None:
    folder = _folder(data_dir, token)
    about = None if folder is None else _read_about(folder)
    if folder is not None and about is not None:
        _write_about(folder, about | values)


def _read_about(folder: Path) -> dict[str, Any] | None:
    try:
        about: dict[str, Any] = json.loads((folder / _ABOUT).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return about


def _write_about(folder: Path, about: dict[str, Any]) -> None:
    _write(folder / _ABOUT, json.dumps(about, ensure_ascii=False).encode())


def _write(path: Path, content: bytes) -> None:
    """Whole or not at all, readable by the desk only."""
    partial = path.with_suffix(".part")
    descriptor = os.open(partial, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    with os.fdopen(descriptor, "wb") as out:
        out.write(content)
    partial.replace(path)
