"""How likely somebody does what is planned, day by day: weekday habit, season, good and bad weeks."""

from __future__ import annotations

import math
from datetime import date

import numpy as np
from numpy.typing import NDArray

from app.simulation.world import constants as c
from app.simulation.world.people import Person
from app.simulation.world.spells import days_of_year

FloatArray = NDArray[np.float64]
_WEEKS_A_YEAR = 52
_NODES, _WEIGHTS = np.polynomial.hermite_e.hermegauss(9)
_HALVINGS = 40


def daily_chances(person: Person, *, from_on: date, days: int, rng: np.random.Generator) -> FloatArray:
    """The chance of doing a session on each day.

    The middle is chosen so that the mean over the client's own weekdays, a whole year and the spread of weeks is the
    client's completion.
    """
    day = np.arange(days)
    weekday = (from_on.weekday() + day) % 7
    weeks = _good_and_bad_weeks((from_on.weekday() + days) // 7 + 1, rng)
    week = (from_on.weekday() + day) // 7
    habit = np.array(person.weekday_habit)
    return sigmoid(
        middle_of(person)
        + np.asarray(habit[weekday], dtype=np.float64)
        + _season(person, days_of_year(from_on, days))
        + weeks[week]
    )


def middle_of(person: Person) -> float:
    """The middle on the logit scale that gives a person's completion on average, found by halving."""
    habit = np.array(person.weekday_habit)[[weekday for weekday, _ in person.slots]]
    season = _season(person, np.arange(_WEEKS_A_YEAR, dtype=np.float64) * c.DAYS_A_YEAR / _WEEKS_A_YEAR)
    grid = habit[:, None, None] + season[None, :, None] + c.WEEK_SD * _NODES[None, None, :]
    weights = _WEIGHTS / _WEIGHTS.sum()
    low, high = -12.0, 12.0
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        mean = float((sigmoid(middle + grid) @ weights).mean())
        low, high = (middle, high) if mean < person.completion else (low, middle)
    return (low + high) / 2


def sigmoid(value: FloatArray) -> FloatArray:
    """From the logit scale to a chance."""
    return np.asarray(1 / (1 + np.exp(-value)))


def _season(person: Person, day_of_year: FloatArray) -> FloatArray:
    turn = 2 * math.pi * (day_of_year - person.season_peak_day) / c.DAYS_A_YEAR
    return np.asarray(person.season_size * np.cos(turn))


def _good_and_bad_weeks(count: int, rng: np.random.Generator) -> FloatArray:
    """Weeks that resemble the week before; the spread is the same from the first week on."""
    drawn = rng.normal(0, c.WEEK_SD, count)
    news = math.sqrt(1 - c.WEEK_MEMORY**2)
    for number in range(1, count):
        drawn[number] = c.WEEK_MEMORY * drawn[number - 1] + news * drawn[number]
    return drawn
