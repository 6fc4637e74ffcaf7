"""Distance and speed from the places of a track; the places themselves are then dropped."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from app.coaching.recordings import Series

#: Mean radius of the Earth in metres (International Union of Geodesy and Geophysics; from memory, unchecked).
EARTH_RADIUS_M = 6_371_008.8
#: House choices. Nobody coached here goes faster than this for a second and comes back.
FASTEST_M_PER_S = 30.0
#: A recording that covers less over five minutes was made on the spot: indoors, or without a signal.
LEAST_DISTANCE_M, ON_THE_SPOT_AFTER_S = 50.0, 300
#: Speed is taken over this many seconds, because places are read with an error of some metres.
SPEED_OVER_S = 5


def distances(
    latitude_deg: Series, longitude_deg: Series, at_s: Series, stretch_starts: Sequence[int]
) -> tuple[Series, Series]:
    """Metres covered since the first sample, and the times of places that jumped and were left out.

    Nothing is added where a new stretch begins, nor where a place jumps further than anybody moves.
    Samples without a place have no distance.
    """
    known = np.flatnonzero(np.isfinite(latitude_deg) & np.isfinite(longitude_deg))
    covered = np.full(at_s.size, np.nan)
    if known.size < 2:
        return covered, np.empty(0)
    lone = _lone_jumps(latitude_deg[known], longitude_deg[known], at_s[known])
    jumped_at = at_s[known[lone]]
    known = known[~lone]
    steps_m = _metres_between(latitude_deg[known], longitude_deg[known])
    is_jump = steps_m > FASTEST_M_PER_S * np.maximum(np.diff(at_s[known]), 1.0)
    begins = np.searchsorted(known, np.asarray(stretch_starts, dtype=np.intp))
    begins = begins[(begins > 0) & (begins < known.size)]
    is_jump[begins - 1] = False
    jumped_at = np.concatenate((jumped_at, at_s[known[1:][is_jump]]))
    steps_m[is_jump] = 0.0
    steps_m[begins - 1] = 0.0
    covered[known] = np.concatenate(([0.0], np.cumsum(steps_m)))
    return covered, np.sort(jumped_at)


def _lone_jumps(latitude_deg: Series, longitude_deg: Series, at_s: Series) -> NDArray[np.bool_]:
    """Places that stand far off while the ones before and after agree."""
    lone = np.zeros(at_s.size, dtype=bool)
    if at_s.size < 3:
        return lone
    times = np.maximum(np.diff(at_s), 1.0)
    is_fast = _metres_between(latitude_deg, longitude_deg) > FASTEST_M_PER_S * times
    over = _metres_between_every_second(latitude_deg, longitude_deg)
    agrees = over <= FASTEST_M_PER_S * (times[1:] + times[:-1])
    lone[1:-1] = is_fast[:-1] & is_fast[1:] & agrees
    return lone


def _metres_between(latitude_deg: Series, longitude_deg: Series) -> Series:
    """Metres from each place to the next, over a great circle."""
    return _great_circle_m(latitude_deg[:-1], longitude_deg[:-1], latitude_deg[1:], longitude_deg[1:])


def _metres_between_every_second(latitude_deg: Series, longitude_deg: Series) -> Series:
    return _great_circle_m(latitude_deg[:-2], longitude_deg[:-2], latitude_deg[2:], longitude_deg[2:])


def _great_circle_m(from_lat: Series, from_lon: Series, to_lat: Series, to_lon: Series) -> Series:
    """The haversine form, which stays exact for places a step apart."""
    phi, psi = np.radians(from_lat), np.radians(to_lat)
    half_lat, half_lon = (psi - phi) / 2, np.radians(to_lon - from_lon) / 2
    chord = np.sin(half_lat) ** 2 + np.cos(phi) * np.cos(psi) * np.sin(half_lon) ** 2
    found: Series = 2 * EARTH_RADIUS_M * np.arcsin(np.sqrt(np.clip(chord, 0.0, 1.0)))
    return found


def is_on_the_spot(distance_m: Series) -> bool:
    """Whether places hardly changed over a long time."""
    known = distance_m[np.isfinite(distance_m)]
    return distance_m.size > ON_THE_SPOT_AFTER_S and (not known.size or float(np.ptp(known)) < LEAST_DISTANCE_M)


def speed_from(distance_m: Series) -> Series:
    """Speed on every second from the distance covered around it; NaN next to where the distance is unknown."""
    half = SPEED_OVER_S // 2
    padded = np.pad(distance_m, half, mode="edge")
    spans_s = np.minimum(np.arange(distance_m.size) + half, distance_m.size - 1) - np.maximum(
        np.arange(distance_m.size) - half, 0
    )
    found: Series = (padded[2 * half :] - padded[: -2 * half]) / np.maximum(spans_s, 1)
    return found
