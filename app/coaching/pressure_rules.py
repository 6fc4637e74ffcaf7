"""Blood pressure and resting heart rate against the practice's limits: what a reading stops."""

from __future__ import annotations

from collections.abc import Sequence

from app.coaching.holds import ComputedStop, Stops
from app.coaching.rules import Rules
from app.coaching.screening import BloodPressure
from app.coaching.weeks import day_words

#: Resting heart rate above this on two readings: no session (house choice).
RESTING_HEART_RATE_HIGHEST_BPM = 100
RE_MEASURE = "Rest five minutes and measure twice more before acting."


def newest_pressure(readings: Sequence[BloodPressure]) -> BloodPressure | None:
    """The last reading taken."""
    return max(readings, key=_when, default=None)


def pressure_stop(readings: Sequence[BloodPressure], rules: Rules) -> ComputedStop | None:
    """What the newest reading stops; None while it is under the limits. It stands until a lower one is taken.

    Source: no session at >= 180 or >= 100 mmHg, no hard work at >= 160 or >= 100 mmHg (house choice; sources differ).
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


def _stops(reading: BloodPressure, rules: Rules) -> Stops | None:
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
