"""Invented people: the constants each one keeps for life, drawn from a stream of their own."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from app.coaching.people import Mode, Sex
from app.physiology.heart_rate import hrmax_tanaka_2001
from app.simulation.world import constants as c
from app.simulation.world.names import invented_name

#: Which stream of a client's own is for what; a new use takes a new number, so that the others stay as they are.
PERSON, SPELLS, WILL, DICE, BODY = range(5)
#: Which weekdays somebody trains on; the first two are far apart and have room for hard work. Invented.
_WEEKS = (
    (1, 5, 3, 6),
    (0, 3, 5, 6),
    (2, 6, 4, 0),
    (1, 4, 6, 3),
    (1, 5, 3, 6, 0),
    (2, 6, 4, 0, 1),
    (0, 3, 5, 2, 6),
)
#: Swimming is left out: the rounds everybody gets are not swum.
_MODES = (Mode.WALK, Mode.RUN, Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW)
_MODE_SHARES = (0.45, 0.27, 0.15, 0.08, 0.05)
#: Metres a second on the usual route at a talking effort. Invented.
_SPEEDS = {
    Mode.WALK: 1.45,
    Mode.RUN: 2.3,
    Mode.RIDE: 5.8,
    Mode.INDOOR_RIDE: 6.2,
    Mode.ROW: 2.7,
}


@dataclass(frozen=True, slots=True)
class Person:
    """One invented human being."""

    name: str
    age: int
    birthday: int
    sex: Sex
    mode: Mode
    #: Weekday and longest slot in minutes; the first two days have room for hard work.
    slots: tuple[tuple[int, int], ...]
    completion: float
    weekday_habit: tuple[float, ...]
    season_size: float
    season_peak_day: float
    long_days: float
    short_days: float
    #: Performance for each AU of the two sums, as a share.
    gain: float
    loss: float
    illness_a_year: float
    start_minutes: int
    target_minutes: int
    usual: tuple[int, int, int, int]
    notes_a_week: float
    loop_m: int
    loop_speed_m_per_s: float
    loop_bpm: int
    walk_m: float
    resting_bpm: int
    pressure: tuple[int, int]
    has_phone: bool
    is_active: bool
    has_disease: bool
    has_heart_rate: bool
    wants_two: bool
    base_weeks_asked: int | None
    joins_after: float


def stream(seed: int, number: int, part: int) -> np.random.Generator:
    """The random numbers of one client for one purpose; how many clients there are does not matter."""
    return np.random.Generator(np.random.PCG64(np.random.SeedSequence(seed, spawn_key=(number, part))))


def beta_shapes(mean: float, sd: float) -> tuple[float, float]:
    """The two shapes of a beta distribution with a mean and a spread."""
    total = mean * (1 - mean) / sd**2 - 1
    return mean * total, (1 - mean) * total


def draw_completion(rng: np.random.Generator) -> float:
    """One person's share of sessions done."""
    drawn = rng.beta(*beta_shapes(c.COMPLETION_MEAN, c.COMPLETION_SD))
    return float(np.clip(drawn, *c.COMPLETION_WITHIN))


def draw_person(rng: np.random.Generator) -> Person:
    """One invented human being."""
    age = int(rng.integers(28, 76))
    mode = Mode(rng.choice([one.value for one in _MODES], p=_MODE_SHARES))
    long_days, short_days, gain, loss = draw_response(rng)
    high = round(float(np.clip(rng.normal(118 + 0.2 * (age - 40), 7), 100, 146)))
    return Person(
        name=invented_name(rng),
        age=age,
        birthday=int(rng.integers(20, 340)),
        sex=Sex.FEMALE if rng.random() < 0.55 else Sex.MALE,
        mode=mode,
        slots=_draw_slots(rng),
        completion=draw_completion(rng),
        weekday_habit=tuple(float(one) for one in rng.normal(0, c.WEEKDAY_HABIT_SD, 7)),
        season_size=float(rng.exponential(c.SEASON_SIZE_MEAN)),
        season_peak_day=float(rng.normal(c.SEASON_PEAK_DAY, c.SEASON_PEAK_SD_DAYS)),
        long_days=long_days,
        short_days=short_days,
        gain=gain,
        loss=loss,
        illness_a_year=float(c.ILLNESS_A_YEAR * rng.gamma(c.ILLNESS_SHAPE) / c.ILLNESS_SHAPE),
        start_minutes=int(rng.integers(14, 27)) * 5,
        target_minutes=int(rng.integers(38, 55)) * 5,
        usual=(int(rng.integers(2, 4)), int(rng.integers(2, 4)), int(rng.integers(1, 4)), int(rng.integers(1, 3))),
        notes_a_week=float(rng.choice([1.0, 1.5, 2.5, 4.0], p=[0.2, 0.4, 0.25, 0.15])),
        loop_m=int(rng.integers(24, 46)) * 100,
        loop_speed_m_per_s=_SPEEDS[mode] * float(np.clip(rng.normal(1, 0.12), 0.7, 1.3)),
        loop_bpm=round(float(np.clip(rng.normal(0.66 * hrmax_tanaka_2001(age).value, 6), 95, 150))),
        walk_m=float(np.clip(rng.normal(700 - 2.2 * age, 55), 350, 720)),
        resting_bpm=round(float(np.clip(rng.normal(64, 6), 48, 82))),
        pressure=(high, round(0.63 * high)),
        has_phone=bool(rng.random() < 0.85),
        is_active=bool(rng.random() < 0.25),
        has_disease=bool(rng.random() < 0.08),
        has_heart_rate=bool(rng.random() < 0.75),
        wants_two=bool(rng.random() < 0.6) and age < 70,
        base_weeks_asked=int(rng.integers(13, 23)) if age >= 62 and rng.random() < 0.6 else None,
        joins_after=float(rng.random()),
    )


def draw_response(rng: np.random.Generator) -> tuple[float, float, float, float]:
    """Two time constants with what each AU gains and takes, so that a steady usual load gains what was drawn."""
    long_days = _log_normal(rng, *c.LONG_DAYS_RANGE)
    short_days = min(_log_normal(rng, *c.SHORT_DAYS_RANGE), c.SHORT_OF_LONG_MOST * long_days)
    gained, lost = steady_sum(long_days), steady_sum(short_days)
    ratio = min(float(rng.uniform(*c.LOSS_TO_GAIN)), c.LOSS_SHARE_MOST * gained / lost)
    wanted = max(c.GAIN_LEAST, float(rng.normal(c.GAIN_MEAN, c.GAIN_SD)))
    gain = wanted / (c.USUAL_LOAD_AU * (gained - ratio * lost))
    return long_days, short_days, gain, ratio * gain


def steady_sum(tau_days: float) -> float:
    """What a daily load of 1 AU adds up to in the end, when loads fade with a time constant."""
    kept = math.exp(-1 / tau_days)
    return kept / (1 - kept)


def _log_normal(rng: np.random.Generator, low: float, high: float) -> float:
    """A draw whose middle 95 % lies between two ends."""
    middle, spread = (math.log(low) + math.log(high)) / 2, math.log(high / low) / (2 * 1.96)
    return float(np.exp(rng.normal(middle, spread)))


def _draw_slots(rng: np.random.Generator) -> tuple[tuple[int, int], ...]:
    days = _WEEKS[int(rng.integers(len(_WEEKS)))]
    room = [int(rng.choice([75, 90, 105, 120])) for _ in days[:2]] + [int(rng.choice([45, 60, 75])) for _ in days[2:]]
    return tuple(zip(days, room, strict=True))
