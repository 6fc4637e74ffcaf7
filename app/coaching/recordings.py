"""A recording of one session: its channels on one even clock of a second, and what was wrong with it, named."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

import numpy as np
from numpy.typing import NDArray

Series = NDArray[np.float64]

#: The clock of every recording; all channels stand on it from the first sample on.
STEP_S = 1.0

#: The channels a recording may have, in the order they are shown and kept.
CHANNELS = (
    "power_w",
    "heart_rate_bpm",
    "speed_m_per_s",
    "cadence_per_min",
    "altitude_m",
    "distance_m",
)


class BrokenRecording(ValueError):
    """Channels that do not stand on one even clock: a mistake of ours, never of a file."""


class FaultKind(StrEnum):
    """What can be wrong with a stretch of a recording."""

    #: Nothing was written at all, though time went on.
    GAP = "gap"
    #: The client stopped, or stopped the clock, and went on later.
    PAUSE = "pause"
    #: One channel is missing while others went on.
    DROP_OUT = "drop_out"
    #: One channel jumped to a value that cannot be, and it was left out.
    SPIKE = "spike"


class SpeedSource(StrEnum):
    """Where the speed comes from: how far it can be trusted depends on it."""

    SATELLITE = "satellite"
    WHEEL = "wheel"
    TRACK = "track"
    TYPED = "typed"


@dataclass(frozen=True, slots=True)
class RecordingFault:
    """One stretch that cannot be taken as it stands; seconds from the first sample, the end not included."""

    kind: FaultKind
    start_s: float
    end_s: float
    #: The channel it concerns; None when it concerns all of them.
    channel: str | None
    sentence: str


@dataclass(frozen=True, slots=True, eq=False)
class Recording:
    """One session as recorded, every second from the first sample to the last.

    A channel is None when nobody recorded it. Where it is there but unknown for a second it holds NaN: inside this
    value only, because arrays have no other gap. Whoever takes a figure out of it answers Missing instead.
    """

    time_s: Series
    power_w: Series | None = None
    heart_rate_bpm: Series | None = None
    speed_m_per_s: Series | None = None
    #: Turns of the pedals, steps or strokes a minute, whichever the sport has.
    cadence_per_min: Series | None = None
    altitude_m: Series | None = None
    #: Covered since the first sample.
    distance_m: Series | None = None
    #: The instant of the first sample in UTC; None when the recording carries no clock.
    started_at: datetime | None = None
    faults: tuple[RecordingFault, ...] = ()
    speed_source: SpeedSource | None = None

    def __post_init__(self) -> None:
        """Hold what everyone who reads a recording relies on."""
        count = len(self.time_s)
        if not np.array_equal(self.time_s, np.arange(count, dtype=np.float64) * STEP_S):
            raise BrokenRecording("The clock of a recording counts every second from 0.")
        for name in CHANNELS:
            values = self.channel(name)
            if values is not None and values.shape != (count,):
                raise BrokenRecording(f"{name} does not stand on the recording's clock.")

    @property
    def duration_s(self) -> float:
        """From the first sample to the end of the last second."""
        return len(self.time_s) * STEP_S

    def channel(self, name: str) -> Series | None:
        """One channel by its name, or None when it was not recorded."""
        if name not in CHANNELS:
            raise BrokenRecording(f"A recording has no channel {name}.")
        values: Series | None = getattr(self, name)
        return values

    @property
    def channels(self) -> tuple[str, ...]:
        """The channels that were recorded, in their order."""
        return tuple(name for name in CHANNELS if self.channel(name) is not None)
