"""How a body answers load: the two fading sums, what tests show of them, and how somebody feels."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np

from app.simulation.world import constants as c
from app.simulation.world.people import Person, steady_sum


@dataclass(frozen=True, slots=True)
class Felt:
    """One morning: the four items, hours slept, mood, resting heart rate."""

    sleep: int
    fatigue: int
    stress: int
    soreness: int
    mood: int
    slept_h: float
    resting_bpm: int


@dataclass(slots=True)
class Body:
    """The two sums of one person, carried from day to day; each day's load counts from the day after."""

    person: Person
    rng: np.random.Generator
    gained_au: float = 0.0
    lost_au: float = 0.0
    load_today_au: float = 0.0
    _kept: tuple[float, float] = field(init=False)
    _usual_lost_au: float = field(init=False)

    def __post_init__(self) -> None:
        person = self.person
        self._kept = math.exp(-1 / person.long_days), math.exp(-1 / person.short_days)
        self._usual_lost_au = c.USUAL_LOAD_AU * steady_sum(person.short_days)
        # Everybody comes with the habit of half a usual load; performance is told against it.
        self.gained_au = c.USUAL_LOAD_AU / 2 * steady_sum(person.long_days)
        self.lost_au = self._usual_lost_au / 2

    def add(self, load_au: float) -> None:
        """A session's load."""
        self.load_today_au += load_au

    def sleep_over_it(self) -> None:
        """One night: both sums fade, the day's load with them."""
        long_kept, short_kept = self._kept
        self.gained_au = (self.gained_au + self.load_today_au) * long_kept
        self.lost_au = (self.lost_au + self.load_today_au) * short_kept
        self.load_today_au = 0.0

    @property
    def performance(self) -> float:
        """Gained less lost, as a share of performance without training [banister1975]."""
        return self.person.gain * self.gained_au - self.person.loss * self.lost_au

    @property
    def tiredness(self) -> float:
        """The short sum against what is usual, in spreads."""
        return (self.lost_au / self._usual_lost_au - 0.75) / c.TIRED_SPREAD

    def morning(self, *, is_ill: bool) -> Felt:
        """How somebody feels; readiness follows the short sum."""
        tired = self.tiredness
        moved = (0.4, 1.0, 0.2, 0.8)
        noise = self.rng.normal(0, c.ITEM_SD, 6).tolist()
        ill = (1.0, c.ILL_ADDS, 0.0, 1.0) if is_ill else (0.0, 0.0, 0.0, 0.0)
        usual = self.person.usual
        items = [
            min(7, max(1, round(usual[n] + c.TIRED_ADDS * moved[n] * tired + noise[n] + ill[n]))) for n in range(4)
        ]
        mood = min(5, max(1, round(4 - 0.3 * tired + noise[4] - ill[1] / 2)))
        beats = self.person.resting_bpm + c.RESTING_BEATS_A_SPREAD * tired + c.RESTING_SD_BPM * noise[5] / c.ITEM_SD
        slept = round(2 * min(10.0, max(3.0, 7.6 - 0.35 * (items[0] - 2)))) / 2
        return Felt(items[0], items[1], items[2], items[3], mood, slept, round(beats + 3 * ill[1]))

    def loop(self) -> tuple[int, int]:
        """Seconds and beats of the standard loop, with error."""
        person = self.person
        seconds = person.loop_m / (person.loop_speed_m_per_s * (1 + self.performance))
        seconds *= 1 + float(self.rng.normal(0, c.LOOP_TIME_ERROR))
        beats = person.loop_bpm - c.BEATS_A_GAIN * self.performance
        return round(seconds), round(beats + float(self.rng.normal(0, c.LOOP_HEART_RATE_ERROR_BPM)))

    def six_minute_walk(self) -> int:
        """Metres walked in six minutes, with error."""
        metres = self.person.walk_m * (1 + c.WALK_OF_GAIN * self.performance)
        return max(100, round(metres + float(self.rng.normal(0, c.SIX_MINUTE_WALK_ERROR_M))))
