"""What is wrong with a recording, found and named: gaps, pauses, drop-outs and spikes."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
from numpy.typing import NDArray

from app.coaching.recordings import FaultKind, RecordingFault, Series
from app.coaching.session_renderings import clock_words

Mask = NDArray[np.bool_]

#: What can be at all; heart rate, cadence and power as the practice's reader accepts them, the others house choices.
LIMITS: Mapping[str, tuple[float, float]] = {
    "power_w": (0.0, 2500.0),
    "heart_rate_bpm": (25.0, 240.0),
    "speed_m_per_s": (0.0, 30.0),
    "cadence_per_min": (0.0, 250.0),
    "altitude_m": (-500.0, 9000.0),
    "distance_m": (0.0, 1_000_000.0),
}
#: A value that jumps by more than this and is back within two samples was not measured (house choices). Power is
#: left out: a standing start does just that.
JUMPS: Mapping[str, float] = {
    "heart_rate_bpm": 25.0,
    "speed_m_per_s": 8.0,
    "cadence_per_min": 80.0,
    "altitude_m": 15.0,
}
NAMES: Mapping[str, str] = {
    "power_w": "Power",
    "heart_rate_bpm": "Heart rate",
    "speed_m_per_s": "Speed",
    "cadence_per_min": "Cadence",
    "altitude_m": "Altitude",
    "distance_m": "Distance",
}
UNITS: Mapping[str, str] = {
    "power_w": "W",
    "heart_rate_bpm": "a minute",
    "speed_m_per_s": "m/s",
    "cadence_per_min": "a minute",
    "altitude_m": "m",
    "distance_m": "m",
}
#: Neighbours further apart say nothing about a jump.
JUMP_WITHIN_S = 10.0
#: Spikes so near each other are named once.
SAME_SPIKE_S = 5.0
LEAST_DROP_OUT_S = 3
#: Standing: no faster than this, and hardly any power or cadence, for so long.
STANDING_M_PER_S, STANDING_W, STANDING_PER_MIN, LEAST_PAUSE_S = 0.5, 10.0, 10.0, 10
#: So many are listed, the longest; the series itself keeps every hole.
MOST_FAULTS = 200


def without_spikes(name: str, at_s: Series, values: Series) -> tuple[Series, tuple[RecordingFault, ...]]:
    """A channel's samples without what cannot be, and what was left out. A heart rate of 0 is no spike, but none."""
    low, high = LIMITS[name]
    known = np.isfinite(values)
    if name == "heart_rate_bpm":
        known &= values != 0
    is_bad = known & ((values < low) | (values > high))
    cleaned = np.where(known & ~is_bad, values, np.nan)
    if name in JUMPS:
        jumps = _jumps(at_s, cleaned, JUMPS[name])
        cleaned[jumps] = np.nan
        is_bad |= jumps
    return cleaned, tuple(spikes(name, at_s[is_bad], values[is_bad]))


def _jumps(at_s: Series, values: Series, most: float) -> Mask:
    """Samples, one or two in a row, far above or below both neighbours."""
    found = np.zeros(values.size, dtype=bool)
    known = np.flatnonzero(np.isfinite(values))
    if known.size < 4:
        return found
    steps = np.diff(values[known])
    is_near = np.diff(at_s[known]) <= JUMP_WITHIN_S
    is_big = (np.abs(steps) > most) & is_near
    turns = is_big[:-1] & is_big[1:] & (np.sign(steps[:-1]) != np.sign(steps[1:]))
    found[known[1:-1][turns]] = True
    pairs = is_big[:-2] & is_big[2:] & ~is_big[1:-1] & (np.sign(steps[:-2]) != np.sign(steps[2:]))
    found[known[1:-2][pairs]] = True
    found[known[2:-1][pairs]] = True
    return found


def spikes(name: str, at_s: Series, values: Series) -> Iterable[RecordingFault]:
    """Faults for samples that were left out, near ones together."""
    if not at_s.size:
        return
    for group in np.split(np.arange(at_s.size), np.flatnonzero(np.diff(at_s) > SAME_SPIKE_S) + 1):
        start_s, end_s = float(np.rint(at_s[group[0]])), float(np.rint(at_s[group[-1]])) + 1
        worst = float(values[group][np.argmax(np.abs(values[group]))])
        yield RecordingFault(
            FaultKind.SPIKE,
            start_s,
            end_s,
            name,
            f"{NAMES[name]} {_said(name, worst)} at {clock(start_s)}; left out.",
        )


def _said(name: str, value: float) -> str:
    low, high = LIMITS[name]
    figure = f"{value:.6g} {UNITS[name]}"
    return f"jumped to {figure} and back" if low <= value <= high else f"of {figure}, which cannot be,"


def clock(seconds: float) -> str:
    """A time since the first sample: "4:05", "1:05:00"."""
    return clock_words(int(seconds))


def place_jumps(at_s: Series) -> Iterable[RecordingFault]:
    """Faults for places that jumped further than anybody moves."""
    if not at_s.size:
        return
    for group in np.split(at_s, np.flatnonzero(np.diff(at_s) > SAME_SPIKE_S) + 1):
        start_s = float(np.rint(group[0]))
        yield RecordingFault(
            FaultKind.SPIKE,
            start_s,
            float(np.rint(group[-1])) + 1,
            "speed_m_per_s",
            f"The place jumped at {clock(start_s)}; that distance is not counted.",
        )


def holes(at_s: Series, *, stretch_starts_s: Series, bridge_s: float) -> list[RecordingFault]:
    """Stretches in which no sample was written: a pause where the recorder says so, else a gap."""
    found = []
    for index in np.flatnonzero(np.diff(at_s) > bridge_s):
        start_s, end_s = float(np.rint(at_s[index])) + 1, float(np.rint(at_s[index + 1]))
        if ((stretch_starts_s > at_s[index]) & (stretch_starts_s <= at_s[index + 1])).any():
            sentence = f"The recording was paused from {clock(start_s)} to {clock(end_s)}."
            found.append(RecordingFault(FaultKind.PAUSE, start_s, end_s, None, sentence))
        else:
            sentence = f"Nothing was recorded from {clock(start_s)} to {clock(end_s)}."
            found.append(RecordingFault(FaultKind.GAP, start_s, end_s, None, sentence))
    return found


def drop_outs(channels: Mapping[str, Series], silent: Mask) -> Iterable[RecordingFault]:
    """Stretches in which one channel is missing while others went on."""
    for name, values in channels.items():
        for start, end in _runs(np.isnan(values) & ~silent, LEAST_DROP_OUT_S):
            sentence = f"{NAMES[name]} is missing from {clock(start)} to {clock(end)}."
            yield RecordingFault(FaultKind.DROP_OUT, float(start), float(end), name, sentence)


def stops(channels: Mapping[str, Series]) -> Iterable[RecordingFault]:
    """Stretches in which the recorder went on and the client stood."""
    speed = channels.get("speed_m_per_s")
    if speed is None:
        return
    stands = speed < STANDING_M_PER_S
    for name, most in (("power_w", STANDING_W), ("cadence_per_min", STANDING_PER_MIN)):
        if name in channels:
            stands &= ~(channels[name] > most)
    for start, end in _runs(stands, LEAST_PAUSE_S):
        sentence = f"Standing from {clock(start)} to {clock(end)}."
        yield RecordingFault(FaultKind.PAUSE, float(start), float(end), None, sentence)


def silent_seconds(seconds: int, found: Iterable[RecordingFault]) -> Mask:
    """Every second that lies in a gap or a pause of the recorder."""
    silent = np.zeros(seconds, dtype=bool)
    for one in found:
        silent[int(one.start_s) : int(one.end_s)] = True
    return silent


def listed(found: Iterable[RecordingFault]) -> tuple[tuple[RecordingFault, ...], tuple[str, ...]]:
    """The longest faults in the order of time, and a sentence about the others."""
    ordered = sorted(found, key=lambda one: one.start_s - one.end_s)
    kept, others = ordered[:MOST_FAULTS], ordered[MOST_FAULTS:]
    note = (f"{len(others):,} shorter faults are not listed.",) if others else ()
    return tuple(sorted(kept, key=lambda one: (one.start_s, one.end_s))), note


def _runs(mask: Mask, least: int) -> list[tuple[int, int]]:
    """Where a mask holds for so long: first second and the one after the last."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], mask, [False])).astype(np.int8)))
    pairs = edges.reshape(-1, 2)
    return [(int(start), int(end)) for start, end in pairs if end - start >= least]
