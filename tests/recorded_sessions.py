"""Recordings of invented sessions with their truth: where rounds began and ended, under everything that spoils one.

Power noise 6 % + 4 W; heart rate follows with 38 s and +-1 beat; satellite speed with SD 0.3 m/s correlated over 5 s;
drop-outs of 1-3 %; hills of +-6 %; stops of 10-90 s; drift; pauses of the clock; stretched rests.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np
from scipy.signal import lfilter

from app.coaching.people import Mode
from app.coaching.recordings import Recording, Series
from app.coaching.rounds_values import RoundsAsked

POWER_NOISE = 0.06
POWER_NOISE_W = 4.0
HEART_TAU_S = 38.0
SPEED_NOISE_M_PER_S = 0.3
SPEED_NOISE_TAU_S = 5.0
STEEPEST = 0.06
RUNNING = (155.4, -30.4, -43.3, 46.3, 19.5, 3.6)


class Seen(StrEnum):
    """Which channels the recorder kept."""

    POWER = "power"
    SPEED = "satellite speed"
    SPEED_ONLY = "satellite speed without heart rate"
    HEART_RATE = "heart rate only"
    HILL_RIDE = "ride on a hill by satellite"


WATTS = frozenset({Seen.POWER, Seen.HILL_RIDE})


@dataclass(frozen=True, slots=True)
class Recorded:
    """A recording, what moved, and the truth about its rounds."""

    recording: Recording
    mode: Mode
    asked: RoundsAsked
    truth: tuple[tuple[int, int], ...]
    #: Places in the plan that were left out.
    skipped: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Course:
    """What the person did, second by second: effort as power or as speed on the flat, and where they stood still."""

    effort: Series
    #: Share of the heart's range, 0 easy rest to 1.
    strain: Series
    is_stopped: np.ndarray
    is_paused: np.ndarray
    slope: Series


def intervals(
    rng: np.random.Generator,
    seen: Seen,
    *,
    rounds: int = 4,
    work_s: int = 240,
    recovery_s: int = 240,
    stretch: tuple[float, float] = (0.9, 1.4),
    skip: int = 0,
    extra: int = 0,
    stops: int = 1,
) -> Recorded:
    """A set of rounds between warm-up and cool-down; `skip` leaves rounds out at the end, `extra` adds some."""
    easy, hard = _levels(rng, seen)
    warm = 600 + int(rng.integers(0, 500))
    brisk = _brisk(easy, hard)
    parts = [np.full(warm, easy), *brisk]
    truth: list[tuple[int, int]] = []
    rest = easy * rng.uniform(0.7, 1.0)
    place = sum(map(len, parts))
    for _ in range(rounds - skip + extra):
        length = round(work_s * rng.uniform(0.985, 1.015))
        parts += [_round(rng, hard, length), np.full(int(recovery_s * rng.uniform(*stretch)), rest)]
        truth.append((place, place + length))
        place += length + len(parts[-1])
    parts.append(np.full(300 + int(rng.integers(0, 400)), easy))
    effort = np.concatenate(parts)
    busy = np.zeros(len(effort), dtype=bool)
    for start, end in truth:
        busy[max(0, start - 20) : end + 20] = True
    course = _with_troubles(rng, effort, easy, hard, free=~busy, stops=stops)
    if seen is Seen.HILL_RIDE:
        course = replace(course, slope=_one_hill(len(effort), truth))
    recording = _recorded(rng, course, seen)
    asked = RoundsAsked.alike(rounds, work_s, recovery_s)
    return Recorded(recording, _mode(seen), asked, tuple(truth), tuple(range(rounds - skip + 1, rounds + 1)))


def easy(rng: np.random.Generator, seen: Seen, *, minutes: int | None = None) -> Recorded:
    """An easy session with hills, stops, drift, pauses and drop-outs, and not one round."""
    level, hard = _levels(rng, seen)
    length = 60 * (minutes or int(rng.integers(30, 120)))
    wander = np.interp(
        np.arange(length),
        np.arange(0, length + 300, 300),
        rng.normal(1, 0.05, length // 300 + 2)[: -(-(length + 300) // 300)],
    )
    course = _with_troubles(
        rng, level * wander, level, hard, free=np.ones(length, dtype=bool), stops=int(rng.integers(2, 9))
    )
    push = 1 + rng.uniform(0, 0.2) * course.slope / STEEPEST
    course = replace(course, effort=course.effort * push, strain=course.strain * push)
    return Recorded(_recorded(rng, course, seen), _mode(seen), RoundsAsked.alike(4, 240, 240), ())


def _mode(seen: Seen) -> Mode:
    return Mode.RIDE if seen in WATTS else Mode.RUN


def _levels(rng: np.random.Generator, seen: Seen) -> tuple[float, float]:
    """Easy and hard effort: W, or m/s on the flat."""
    if seen in WATTS:
        easy = rng.uniform(90, 150)
        return easy, easy * rng.uniform(1.5, 2.0)
    easy = rng.uniform(1.9, 2.8)
    return easy, easy * rng.uniform(1.35, 1.6)


def _brisk(easy: float, hard: float) -> list[Series]:
    brisk = (easy + 2 * hard) / 3
    return [part for _ in range(3) for part in (np.full(30, brisk), np.full(70, easy))]


def _round(rng: np.random.Generator, hard: float, length: int) -> Series:
    """Flat but for a dip about the third minute, and a drift of a few per cent."""
    at = np.arange(length)
    dip = 1 - rng.uniform(0, 0.04) * np.exp(-(((at - 150) / 30) ** 2))
    return hard * dip * np.linspace(1, 1 + rng.uniform(-0.04, 0.03), length)


def _with_troubles(
    rng: np.random.Generator, effort: Series, easy: float, hard: float, *, free: np.ndarray, stops: int
) -> Course:
    length = len(effort)
    ramp = np.ones(1 + int(rng.integers(0, 4)))
    smooth = np.convolve(np.pad(effort, (len(ramp) - 1, 0), mode="edge"), ramp / len(ramp), mode="valid")
    smooth *= np.linspace(1, rng.uniform(0.95, 1.03), length)
    stopped, paused = np.zeros(length, dtype=bool), np.zeros(length, dtype=bool)
    for _ in range(stops):
        _mark(rng, stopped, free, int(rng.integers(10, 91)))
    if rng.random() < 0.5:
        _mark(rng, paused, free, int(rng.integers(30, 240)))
    strain = 0.35 + 0.5 * (smooth - easy) / (hard - easy)
    smooth[stopped | paused] = 0.0
    strain[stopped | paused] = 0.05
    return Course(smooth, strain, stopped, paused, _slopes(rng, length))


def _mark(rng: np.random.Generator, marks: np.ndarray, free: np.ndarray, length: int) -> None:
    start = int(rng.integers(60, len(marks) - length - 60))
    if free[start : start + length].all():
        marks[start : start + length] = True


def _slopes(rng: np.random.Generator, length: int) -> Series:
    """Hills of up to 6 % either way, each one to six minutes long."""
    found = np.empty(0)
    while len(found) < length:
        found = np.append(found, np.full(int(rng.integers(60, 360)), rng.uniform(-STEEPEST, STEEPEST)))
    return np.convolve(np.pad(found[:length], 10, mode="edge"), np.ones(21) / 21, mode="valid")


def _recorded(rng: np.random.Generator, course: Course, seen: Seen) -> Recording:
    length = len(course.effort)
    power = speed = altitude = distance = None
    heart = _heart(rng, course.strain)
    if seen is Seen.POWER:
        noise = rng.normal(size=length) * (POWER_NOISE * course.effort) + rng.normal(0, POWER_NOISE_W, length)
        power = np.where(course.effort > 0, np.maximum(0.0, course.effort + noise), 0.0)
    if seen in WATTS:
        true_speed = _riding_speed(course.effort, course.slope)
    else:
        true_speed = course.effort * 3.6 / np.polyval(RUNNING, course.slope)
    if seen is not Seen.HEART_RATE:
        speed = np.maximum(0.0, true_speed + _correlated(rng, length, SPEED_NOISE_M_PER_S, SPEED_NOISE_TAU_S))
        speed[course.effort == 0] *= 0.3
        altitude = 200 + np.cumsum(true_speed * course.slope) + _correlated(rng, length, 0.6, 20.0)
        distance = np.cumsum(speed)
    channels = {
        "power_w": power,
        "heart_rate_bpm": None if seen is Seen.SPEED_ONLY else heart,
        "speed_m_per_s": speed,
        "altitude_m": altitude,
        "distance_m": distance,
    }
    for name, values in channels.items():
        if values is not None:
            _drop_out(rng, values, zeros=name == "power_w" and rng.random() < 0.5)
            values[course.is_paused] = np.nan
    return Recording(time_s=np.arange(length, dtype=float), **channels)


def _one_hill(length: int, truth: list[tuple[int, int]]) -> Series:
    """A hill of 6 % under every round, rolled back down in the first part of the recovery, and flat elsewhere."""
    slope = np.zeros(length)
    for start, end in truth:
        slope[start:end] = STEEPEST
        slope[end : end + 45 * (end - start) // 100] = -STEEPEST
    return slope


def _riding_speed(power_w: Series, slope: Series) -> Series:
    """Steady riding of 80 kg by halving, never above 30 km/h, and after a change the speed follows over seconds."""
    low, high = np.zeros(len(power_w)), np.full(len(power_w), 30 / 3.6)
    for _ in range(30):
        speed = (low + high) / 2
        needed = (0.21 * speed**2 + 80 * 9.81 * (0.005 + slope) + 0.1) * speed / 0.976
        low, high = np.where(needed <= power_w, speed, low), np.where(needed <= power_w, high, speed)
    steady = np.where(power_w > 0, low, 0.0)
    return np.convolve(np.pad(steady, (4, 0), mode="edge"), np.ones(5) / 5, mode="valid")


def _heart(rng: np.random.Generator, strain: Series) -> Series:
    """First-order answer to the strain, with drift over the session and a beat of noise."""
    lowest, span = rng.uniform(70, 95), rng.uniform(70, 95)
    target = lowest + span * strain * np.linspace(1, rng.uniform(1.0, 1.12), len(strain))
    keep, start = 1 - 1 / HEART_TAU_S, lowest + 0.2 * span
    found, _ = lfilter([1 / HEART_TAU_S], [1, -keep], target, zi=[keep * start])
    return np.round(found + rng.normal(0, 1, len(strain)))


def _correlated(rng: np.random.Generator, length: int, spread: float, tau_s: float) -> Series:
    keep = float(np.exp(-1 / tau_s))
    drawn = rng.normal(0, spread * np.sqrt(1 - keep**2), length)
    found, _ = lfilter([1], [1, -keep], drawn, zi=[keep * rng.normal(0, spread)])
    return np.asarray(found)


def _drop_out(rng: np.random.Generator, values: Series, *, zeros: bool) -> None:
    """Lose 1 to 3 % of the seconds, a few at a time."""
    to_lose = rng.uniform(0.01, 0.03) * len(values)
    while to_lose > 0:
        length = int(rng.integers(1, 9))
        start = int(rng.integers(0, len(values) - length))
        values[start : start + length] = 0.0 if zeros else np.nan
        to_lose -= length
