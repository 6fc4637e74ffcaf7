"""What befalls somebody: bouts of illness, travel, something that felt wrong, and the day of leaving. Pure arrays."""

from __future__ import annotations

import math
from dataclasses import dataclass
from datetime import date
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

from app.simulation.world import constants as c
from app.simulation.world.people import Person


@dataclass(frozen=True, slots=True)
class Bout:
    """Days of being ill, counted from the first day of the world; both ends belong to it."""

    first: int
    last: int
    has_fever: bool


@dataclass(frozen=True, slots=True)
class Trip:
    """Days of travel; agreed with the coach, or not."""

    first: int
    last: int
    is_agreed: bool


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something felt wrong on a day, and how many days until it is settled."""

    day: int
    sign: str
    settled_after: int


T = TypeVar("T", Bout, Trip)


@dataclass(frozen=True, slots=True)
class Spells:
    """Everything that befalls one client."""

    bouts: tuple[Bout, ...]
    trips: tuple[Trip, ...]
    troubles: tuple[Trouble, ...]
    #: The day of leaving the practice, None while it lasts.
    leaves: int | None


def draw_spells(person: Person, *, from_on: date, days: int, rng: np.random.Generator) -> Spells:
    """Draw everything that befalls a client from the day of joining on; days count from it.

    Illness, travel and symptoms begin as Poisson processes; one that would begin during the one before it begins the
    day after.
    """
    day_of_year = days_of_year(from_on, days)
    ill = _onsets(person.illness_a_year, seasonal(day_of_year, c.ILLNESS_SEASON, c.ILLNESS_PEAK_DAY), rng)
    away = _onsets(c.TRAVEL_A_YEAR, seasonal(day_of_year, c.TRAVEL_SEASON, c.TRAVEL_PEAK_DAY), rng)
    wrong = _onsets(c.SYMPTOMS_A_YEAR, np.ones(days), rng)
    bouts = [_bout(day, rng) for day in ill]
    trips = [Trip(day, day + _length(c.TRAVEL_DAYS, rng) - 1, bool(rng.random() < c.TRAVEL_AGREED)) for day in away]
    troubles = [_trouble(day, rng) for day in wrong]
    leaves = c.NOBODY_LEAVES_BEFORE_DAYS + int(rng.exponential(c.DAYS_A_YEAR / c.DROP_OUT_A_YEAR))
    return Spells(
        tuple(Bout(first, last, one.has_fever) for one, (first, last) in _apart(bouts, days)),
        tuple(Trip(first, last, one.is_agreed) for one, (first, last) in _apart(trips, days)),
        tuple(troubles),
        leaves if leaves < days else None,
    )


def days_of_year(from_on: date, days: int) -> NDArray[np.float64]:
    """The day of its year for each of some days, 0 on 1 January."""
    return np.mod(np.arange(days, dtype=np.float64) + from_on.timetuple().tm_yday - 1, np.float64(c.DAYS_A_YEAR))


def seasonal(day_of_year: NDArray[np.float64], size: float, peak_day: float) -> NDArray[np.float64]:
    """A factor around 1 over the year, highest on its peak day."""
    return np.asarray(1 + size * np.cos(2 * math.pi * (day_of_year - peak_day) / c.DAYS_A_YEAR))


def _onsets(a_year: float, factor: NDArray[np.float64], rng: np.random.Generator) -> list[int]:
    counts = rng.poisson(a_year / c.DAYS_A_YEAR * factor)
    return [int(day) for day in np.repeat(np.arange(len(factor)), counts)]


def _length(days: tuple[int, float], rng: np.random.Generator) -> int:
    least, more = days
    return least + int(rng.poisson(more))


def _bout(day: int, rng: np.random.Generator) -> Bout:
    has_fever = bool(rng.random() < c.FEVER_SHARE)
    return Bout(day, day + _length(c.FEVER_DAYS if has_fever else c.COLD_DAYS, rng) - 1, has_fever)


def _trouble(day: int, rng: np.random.Generator) -> Trouble:
    keys, weights = zip(*c.SIGN_WEIGHTS, strict=True)
    sign = str(rng.choice(keys, p=weights))
    least, more = {"too_hard": (2, 2.0), "wanted_to_stop": (2, 2.0)}.get(sign, (7, 8.0))
    return Trouble(day, sign, least + int(rng.poisson(more)))


def _apart(found: list[T], days: int) -> list[tuple[T, tuple[int, int]]]:
    """Each with its first and last day, none beginning before the one before has ended; late ones drop out."""
    kept, free_from = [], 0
    for one in found:
        first = max(one.first, free_from)
        last = first + one.last - one.first
        free_from = last + 1
        if first < days:
            kept.append((one, (first, last)))
    return kept
