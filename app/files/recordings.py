"""One door for every kind of recording: which kind a file is, told from its content, and its samples."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from app.coaching.recording_samples import Samples
from app.files import from_gpx, from_recording_csv
from app.files.recording_columns import Question
from app.files.recording_file import NoRecording, Readable, pieces_of


class FileKind(StrEnum):
    """The kinds of recording that are read."""

    GPX = "gpx"
    CSV = "csv"


@dataclass(frozen=True, slots=True, eq=False)
class ReadFile:
    """A file that was read: its samples, or what has to be asked first."""

    kind: FileKind
    samples: Samples | None
    questions: tuple[Question, ...]


def read(content: bytes, answers: Mapping[str, str]) -> ReadFile:
    """The samples of a recording, or the questions that stand before them.

    Raises: NoRecording, Unreadable, each with a sentence.
    """
    kind = kind_of(content)
    if kind is FileKind.GPX:
        return ReadFile(kind, from_gpx.read_gpx(io.BytesIO(content)), ())
    found = from_recording_csv.look_at(content)
    if any(answers.get(one.name) not in dict(one.choices) for one in found.questions):
        return ReadFile(kind, None, found.questions)
    return ReadFile(kind, from_recording_csv.samples_of(found, answers), found.questions)


def whole(source: Readable) -> bytes:
    """A file's bytes within the limit. Raises: NoRecording for an empty, packed or too large one."""
    return b"".join(pieces_of(source))


def kind_of(content: bytes) -> FileKind:
    """Which kind a file is; its name plays no part. Raises: NoRecording for an empty or binary file."""
    if not content.strip():
        raise NoRecording("The file is empty.")
    start = content[:256].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if start.startswith(b"<"):
        return FileKind.GPX
    if b"\0" in content[:4096] and not content.startswith((b"\xff\xfe", b"\xfe\xff")):
        raise NoRecording("This is neither a GPX file nor a table in CSV. Save or export the session as one of them.")
    return FileKind.CSV
