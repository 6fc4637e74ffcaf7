"""Blood pressure and resting heart rate against the practice's limits: what a reading stops."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.pressure_limits import Limits, LimitsInForce, limits_with, newest_own
from app.coaching.rules import Rules
from app.coaching.screening import BloodPressure
from app.coaching.screening_decision import is_news_since
from app.coaching.weeks import day_words

#: Resting heart rate above this on two readings: no session (house choice).
RESTING_HEART_RATE_HIGHEST_BPM = 100
RE_MEASURE = "Rest five minutes and measure twice more before acting."


def newest_pressure(readings: Sequence[BloodPressure]) -> BloodPressure | None:
    """The last reading taken."""
    return max(readings, key=_when, default=None)


def limits_for(history: History, today: date, rules: Rules) -> LimitsInForce:
    """The limits that count for a client today: the practice's, or a clinician's two numbers while they stand.

    They stand as long as a clearance would: no older than the practice lets a paper be, and nothing new since.
    A stricter pair stands until it is taken back. A newest reading of the paper's own day stays under the practice's
    numbers: which of the two came first is not known, and a paper does not undo what already stopped somebody.
    Source: house choice.
    """
    own = newest_own(history.pressure_limits)
    practice = limits_with(None, rules)
    if own is None:
        return practice
    wished = limits_with(own, rules)
    is_current = 0 <= (today - own.given_on).days <= rules.clearance_days and not is_news_since(history, own.given_on)
    newest = newest_pressure(history.pressures)
    is_of_that_day = newest is not None and newest.measured_on == own.given_on
    if is_current and not is_of_that_day:
        return wished
    return LimitsInForce(
        min(wished.pressure_systolic_all, practice.pressure_systolic_all),
        min(wished.pressure_diastolic_all, practice.pressure_diastolic_all),
        wished.pressure_systolic_hard,
        wished.pressure_diastolic_hard,
        own,
    )


def own_limit_counts(limits: LimitsInForce) -> bool:
    """Whether a clinician's two numbers are the ones that stop everything."""
    own = limits.own
    return own is not None and (own.systolic_mmhg, own.diastolic_mmhg) == (
        limits.pressure_systolic_all,
        limits.pressure_diastolic_all,
    )


def pressure_stop_of(history: History, today: date, rules: Rules) -> ComputedStop | None:
    """What the newest reading of a client stops, under the limits that count for this client."""
    return pressure_stop(history.pressures, limits_for(history, today, rules))


def pressure_stop(readings: Sequence[BloodPressure], rules: Limits) -> ComputedStop | None:
    """What the newest reading stops; None while it is under the limits. It stands until a lower one is taken.

    Source: no session at >= 180 or >= 100 mmHg, no hard work at >= 160 or >= 100 mmHg (house choice; sources differ);
    a clinician's two numbers for a client take the place of the first pair.
    """
    newest = newest_pressure(readings)
    if newest is None:
        return None
    stops = _stops(newest, rules)
    said = f"{newest.systolic_mmhg} over {newest.diastolic_mmhg} mmHg on {day_words(newest.measured_on)}"
    if stops is Stops.ALL:
        return ComputedStop(stops, f"Blood pressure was {said}: no training. {RE_MEASURE} Speak to your doctor.")
    if _is_heart_rate_high(readings):
        sentence = "Resting heart rate was above 100 on two readings: no training. Speak to your doctor."
        return ComputedStop(Stops.ALL, sentence)
    if stops is Stops.HARD:
        return ComputedStop(stops, f"Blood pressure was {said}: no hard work. {RE_MEASURE} Speak to your doctor.")
    return None


def _stops(reading: BloodPressure, rules: Limits) -> Stops | None:
    high, low = reading.systolic_mmhg, reading.diastolic_mmhg
    if high >= rules.pressure_systolic_all or low >= rules.pressure_diastolic_all:
        return Stops.ALL
    if high >= rules.pressure_systolic_hard or low >= rules.pressure_diastolic_hard:
        return Stops.HARD
    return None


def _is_heart_rate_high(readings: Sequence[BloodPressure]) -> bool:
    rates = [
        one.resting_heart_rate_bpm for one in sorted(readings, key=_when) if one.resting_heart_rate_bpm is not None
    ]
    return len(rates) >= 2 and min(rates[-2:]) > RESTING_HEART_RATE_HIGHEST_BPM


def _when(reading: BloodPressure) -> tuple[object, ...]:
    return reading.measured_on, reading.entered_at, reading.id
