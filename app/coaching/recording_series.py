"""From the samples of a file to one recording on an even clock, with what was left out said."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

import numpy as np

from app.coaching import recording_faults as faults
from app.coaching.recording_clock import Clock, Indices, clock_of, on_clock
from app.coaching.recording_places import distances, is_on_the_spot, speed_from
from app.coaching.recording_samples import NotASession, Place, Samples
from app.coaching.recordings import CHANNELS, STEP_S, Recording, RecordingFault, Series, SpeedSource

#: Raised with every change of how a file becomes a series; kept beside each series.
READING_VERSION = 1
#: The file's own speed counts when it is there this often; else speed is taken from the distance (house choice).
OWN_SPEED_FROM_FRACTION = 0.5
#: What at least one of has to be there for a recording to say anything about how somebody worked.
_TELLING = ("power_w", "heart_rate_bpm", "speed_m_per_s", "cadence_per_min")


@dataclass(frozen=True, slots=True, eq=False)
class Laid:
    """A recording, what was left out on the way, and its places, which nobody keeps without being asked to."""

    recording: Recording
    notes: tuple[str, ...]
    places: Mapping[Place, Series]


def lay(samples: Samples, *, latest_at: datetime) -> Laid:
    """The samples on an even clock of a second, from the first sample to the last.

    Raises: NotASession when times or values make no recording of a session.
    """
    clock = clock_of(samples, latest_at=latest_at)
    given = {name: values[clock.picked] for name, values in samples.values.items()}
    stretch_starts = np.searchsorted(clock.picked, np.asarray(samples.stretch_starts, dtype=np.intp))
    stretch_starts = stretch_starts[(stretch_starts > 0) & (stretch_starts < clock.picked.size)]
    notes = [*samples.notes, *clock.notes]
    found: list[RecordingFault] = []
    _add_distance(given, clock, stretch_starts, found, notes)
    channels = _channels(given, clock, found)
    speed_source = _add_speed(channels, samples.speed_source)
    if not any(name in channels for name in _TELLING):
        raise NotASession("This file holds no power, heart rate, speed or cadence: nothing to judge a session by.")
    breaks = faults.holes(clock.at_s, stretch_starts_s=clock.at_s[stretch_starts], bridge_s=clock.bridge_s)
    silent = faults.silent_seconds(clock.seconds, breaks)
    listed, others = faults.listed([*found, *breaks, *faults.drop_outs(channels, silent), *faults.stops(channels)])
    recording = Recording(
        time_s=np.arange(clock.seconds, dtype=np.float64) * STEP_S,
        started_at=clock.started_at,
        faults=listed,
        speed_source=speed_source,
        **channels,
    )
    return Laid(recording, (*notes, *others), _places(given, clock))


def _add_distance(
    given: dict[str, Series],
    clock: Clock,
    stretch_starts: Indices,
    found: list[RecordingFault],
    notes: list[str],
) -> None:
    """Distance from the places, where the file gives none of its own."""
    if Place.LATITUDE not in given or Place.LONGITUDE not in given:
        return
    latitude, longitude = given[Place.LATITUDE], given[Place.LONGITUDE]
    is_one = (np.abs(latitude) <= 90) & (np.abs(longitude) <= 180)
    given[Place.LATITUDE] = np.where(is_one, latitude, np.nan)
    given[Place.LONGITUDE] = np.where(is_one, longitude, np.nan)
    covered, jumped_at = distances(
        given[Place.LATITUDE], given[Place.LONGITUDE], clock.at_s, [int(one) for one in stretch_starts]
    )
    if is_on_the_spot(on_clock(clock.at_s, covered, seconds=clock.seconds, bridge_s=clock.bridge_s)):
        notes.append("The places hardly change: speed and distance are not taken from them.")
    elif "distance_m" not in given:
        given["distance_m"] = covered
        found += faults.place_jumps(jumped_at)


def _channels(given: Mapping[str, Series], clock: Clock, found: list[RecordingFault]) -> dict[str, Series]:
    """Every channel that says anything, cleaned of what cannot be, on the even clock."""
    channels = {}
    for name in CHANNELS:
        if name not in given:
            continue
        cleaned, spikes = faults.without_spikes(name, clock.at_s, given[name])
        found += spikes
        if np.isfinite(cleaned).any():
            channels[name] = on_clock(clock.at_s, cleaned, seconds=clock.seconds, bridge_s=clock.bridge_s)
    return channels


def _add_speed(channels: dict[str, Series], source: SpeedSource | None) -> SpeedSource | None:
    """The file's own speed where it is mostly there, else the speed that the distance gives."""
    speed, distance = channels.get("speed_m_per_s"), channels.get("distance_m")
    if speed is not None and float(np.nanmax(speed)) < faults.STANDING_M_PER_S:
        # A recorder without a signal or a wheel writes nothing but zeros.
        speed = None
        del channels["speed_m_per_s"]
    is_own = speed is not None and float(np.isfinite(speed).mean()) >= OWN_SPEED_FROM_FRACTION
    if not is_own and distance is not None:
        low, high = faults.LIMITS["speed_m_per_s"]
        found = speed_from(distance)
        channels["speed_m_per_s"] = np.where((found >= low) & (found <= high), found, np.nan)
    return source if "speed_m_per_s" in channels else None


def _places(given: Mapping[str, Series], clock: Clock) -> dict[Place, Series]:
    if Place.LATITUDE not in given or Place.LONGITUDE not in given:
        return {}
    return {
        place: on_clock(clock.at_s, given[place], seconds=clock.seconds, bridge_s=clock.bridge_s) for place in Place
    }
