"""A recording as bytes and back: whole steps of a fixed size, written as differences and packed. Never the file.

Format 1: packed by zlib, a line of JSON that names the columns with the size of their step, and for each column a
mask of what is unknown (one bit a second) and the differences of its steps as 32-bit numbers, lowest byte first.
"""

from __future__ import annotations

import json
import zlib
from collections.abc import Mapping
from datetime import datetime

import numpy as np

from app.coaching.reasons import DomainError
from app.coaching.recording_about import About
from app.coaching.recording_clock import LONGEST_S
from app.coaching.recording_samples import Place
from app.coaching.recordings import CHANNELS, STEP_S, Recording, Series

SERIES_FORMAT = 1
#: Finer than any recorder measures (house choice).
_STEPS: Mapping[str, float] = {
    "power_w": 0.1,
    "heart_rate_bpm": 0.1,
    "speed_m_per_s": 0.001,
    "cadence_per_min": 0.1,
    "altitude_m": 0.1,
    "distance_m": 0.01,
    Place.LATITUDE: 1e-6,
    Place.LONGITUDE: 1e-6,
}
_LONGEST_HEAD = 4096
#: Every column of a whole day, unpacked.
_LARGEST = _LONGEST_HEAD + len(_STEPS) * (LONGEST_S * 4 + LONGEST_S // 8 + 1)


class BrokenSeries(DomainError):
    """Kept bytes that are no series."""


def pack(recording: Recording, places: Mapping[Place, Series]) -> bytes:
    """A recording's channels, and its places where they are to be kept, as bytes."""
    columns: dict[str, Series] = {
        name: values for name in CHANNELS if (values := recording.channel(name)) is not None
    }
    columns |= {str(place.value): values for place, values in places.items()}
    head = {"seconds": len(recording.time_s), "columns": [[name, _STEPS[name]] for name in columns]}
    parts = [json.dumps(head).encode() + b"\n"]
    for name, values in columns.items():
        unknown = np.isnan(values)
        steps = np.rint(_carried_on(values) / _STEPS[name]).astype(np.int64)
        parts.append(np.packbits(unknown).tobytes())
        parts.append(np.diff(steps, prepend=0).astype("<i4").tobytes())
    return zlib.compress(b"".join(parts), 6)


def _carried_on(values: Series) -> Series:
    """Holes filled with the last value before them, so that their differences are nothing."""
    known = np.where(np.isnan(values), 0, np.arange(values.size))
    filled = values[np.maximum.accumulate(known)]
    return np.nan_to_num(filled, nan=0.0)


def unpack(series: bytes, *, about: About, started_at: datetime | None) -> tuple[Recording, dict[Place, Series]]:
    """The recording as it was kept, with its places where they were. Raises: BrokenSeries."""
    seconds, columns = _columns(series)
    names = {name: values for name, values in columns.items() if name in CHANNELS}
    recording = Recording(
        time_s=np.arange(seconds, dtype=np.float64) * STEP_S,
        started_at=started_at,
        faults=about.faults,
        speed_source=about.speed_source,
        **names,
    )
    return recording, {place: columns[place.value] for place in Place if place.value in columns}


def _columns(series: bytes) -> tuple[int, dict[str, Series]]:
    unpacking = zlib.decompressobj()
    try:
        content = unpacking.decompress(series, _LARGEST)
        if not unpacking.eof:
            raise BrokenSeries("A kept recording is damaged.")
        line, _, body = content.partition(b"\n")
        head = json.loads(line)
        seconds = int(head["seconds"])
        mask_bytes, columns, at = (seconds + 7) // 8, {}, 0
        for name, step in head["columns"]:
            mask = np.frombuffer(body, np.uint8, mask_bytes, at)
            steps = np.cumsum(np.frombuffer(body, "<i4", seconds, at + mask_bytes), dtype=np.int64)
            unknown = np.unpackbits(mask, count=seconds).astype(bool)
            columns[name] = np.where(unknown, np.nan, steps * step)
            at += mask_bytes + 4 * seconds
    except (zlib.error, ValueError, KeyError, TypeError) as problem:
        raise BrokenSeries("A kept recording is damaged.") from problem
    return seconds, columns
