"""What is kept about a recording in words beside its series, and where a coach set its rounds, as plain text."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.reasons import DomainError
from app.coaching.recording_series import Laid
from app.coaching.recordings import FaultKind, RecordingFault, SpeedSource
from app.coaching.rounds_values import RoundEdges


@dataclass(frozen=True, slots=True)
class About:
    """What a list or a page says of a recording without opening its series."""

    channels: tuple[str, ...]
    faults: tuple[RecordingFault, ...]
    notes: tuple[str, ...]
    speed_source: SpeedSource | None


def about(laid: Laid) -> About:
    """What there is to say about a recording that was just read."""
    recording = laid.recording
    return About(recording.channels, recording.faults, laid.notes, recording.speed_source)


def to_json(said: About) -> str:
    """As it is kept."""
    faults = [[one.kind.value, one.start_s, one.end_s, one.channel, one.sentence] for one in said.faults]
    kept = {
        "channels": said.channels,
        "faults": faults,
        "notes": said.notes,
        "speed_source": said.speed_source.value if said.speed_source else None,
    }
    return json.dumps(kept, ensure_ascii=False, allow_nan=False)


def from_json(text: str) -> About:
    """As it was kept. Raises: DomainError when it was not written by `to_json`."""
    try:
        kept = json.loads(text)
        source = kept["speed_source"]
        return About(
            tuple(kept["channels"]),
            tuple(
                RecordingFault(FaultKind(kind), start, end, name, said)
                for kind, start, end, name, said in kept["faults"]
            ),
            tuple(kept["notes"]),
            SpeedSource(source) if source else None,
        )
    except (ValueError, KeyError, TypeError) as problem:
        raise DomainError("What is kept about this recording cannot be read.") from problem


def edges_to_json(edges: Sequence[RoundEdges]) -> str:
    """Rounds set by hand, as they are kept."""
    return json.dumps([[one.start_s, one.end_s] for one in edges], allow_nan=False)


def edges_from_json(text: str) -> tuple[RoundEdges, ...]:
    """Rounds set by hand, as they were kept. Raises: DomainError."""
    try:
        return tuple(RoundEdges(float(start), float(end)) for start, end in json.loads(text))
    except (ValueError, TypeError) as problem:
        raise DomainError("The rounds set by hand cannot be read.") from problem
