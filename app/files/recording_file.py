"""What every reader of a recording shares: its limits, and the refusal that says what to do."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Protocol

from app.coaching.reasons import DomainError

MEGABYTE = 1024 * 1024
#: House choices. A whole day at one point a second, written at length, stays under all of them.
LARGEST_RECORDING = 24 * MEGABYTE
MOST_POINTS = 200_000
PIECE = 64 * 1024


class NoRecording(DomainError):
    """A file that is not taken as a recording; the sentence says why and what to do."""


class Readable(Protocol):
    """Bytes that are read piece by piece, so that a large file is never held whole."""

    def read(self, size: int = ..., /) -> bytes:
        """The next bytes, at most `size`; none at the end."""


_PACKED = (b"PK\x03\x04", b"\x1f\x8b", b"BZh", b"\xfd7zXZ", b"7z\xbc\xaf")


def pieces_of(source: Readable) -> Iterator[bytes]:
    """A file piece by piece, counted. Raises: NoRecording for an empty, packed or too large one."""
    seen = 0
    while piece := source.read(PIECE):
        if not seen:
            refuse_packed(piece)
        seen += len(piece)
        if seen > LARGEST_RECORDING:
            raise NoRecording(
                f"The file is larger than {LARGEST_RECORDING // MEGABYTE} MB. Save the one session by itself."
            )
        yield piece
    if not seen:
        raise NoRecording("The file is empty.")


def refuse_packed(start: bytes) -> None:
    """Raises: NoRecording when a file begins as an archive does."""
    if start.startswith(_PACKED):
        raise NoRecording("This file is packed. Unpack it and choose the recording in it.")
