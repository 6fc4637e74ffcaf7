"""What becomes of a row of a file, and the words for it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.files.csv_fields import FileKind


class Becomes(StrEnum):
    """What happens to a row."""

    ADDED = "added"
    CHANGED = "changed"
    ALREADY_HERE = "already here"
    REFUSED = "refused"


@dataclass(frozen=True, slots=True)
class Fate:
    """One row's fate: the line in the file, who it is about, what happens, and the details or the reason."""

    line: int
    who: str
    becomes: Becomes
    detail: str
    column: str = ""


@dataclass(frozen=True, slots=True)
class Counts:
    """How many rows became what."""

    added: int = 0
    changed: int = 0
    already_here: int = 0
    refused: int = 0

    def __add__(self, other: Counts) -> Counts:
        return Counts(
            self.added + other.added,
            self.changed + other.changed,
            self.already_here + other.already_here,
            self.refused + other.refused,
        )

    @property
    def words(self) -> str:
        """The counts as the last line of the command says them."""
        return f"added {self.added}, changed {self.changed}, refused {self.refused}"


@dataclass(frozen=True, slots=True)
class FileFate:
    """What becomes of a whole file, row by row in the order of the file."""

    kind: FileKind
    fates: tuple[Fate, ...]

    @property
    def counts(self) -> Counts:
        """How many rows become what."""
        number = dict.fromkeys(Becomes, 0)
        for fate in self.fates:
            number[fate.becomes] += 1
        return Counts(
            number[Becomes.ADDED],
            number[Becomes.CHANGED],
            number[Becomes.ALREADY_HERE],
            number[Becomes.REFUSED],
        )


class RowRefused(Exception):
    """A row that was understood but does not go in; the field to blame (or none) and the reason."""

    def __init__(self, field: str, reason: str) -> None:
        super().__init__(reason)
        self.field = field
        self.reason = reason
