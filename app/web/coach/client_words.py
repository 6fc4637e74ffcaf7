"""A client's records as short words for the coach's pages."""

from __future__ import annotations

from datetime import date, datetime
from zoneinfo import ZoneInfo

from app.coaching.fitness_changes import is_a_rate
from app.coaching.fitness_tests import PROTOCOL_WORDS, FitnessTest
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.hold_rules import HOLD_WORDS, LIFTED_BY
from app.coaching.holds import Hold, HoldKind, Stops
from app.coaching.phases import DecisionKind
from app.coaching.readiness import Illness
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.coaching.session_logs import SessionLog, SpoiltBy
from app.web import log_words
from app.web.filters import minutes

KM_M = 1000.0

SPOILT_WORDS = {
    SpoiltBy.HEAT: "spoilt by heat",
    SpoiltBy.KIT: "spoilt by the kit",
    SpoiltBy.TRAFFIC: "spoilt by traffic",
}
STOPS_WORDS = {Stops.ALL: "all training", Stops.HARD: "hard and middle work"}
DECISION_WORDS = {
    DecisionKind.START: "Began",
    DecisionKind.PROMOTE: "Promoted to",
    DecisionKind.STAY: "Stays in",
    DecisionKind.STEP_BACK: "Stepped back to",
    DecisionKind.BROUGHT_IN: "Brought in:",
    DecisionKind.UNDO: "Taken back to",
}
ILLNESS_WORDS = {Illness.NONE: "", Illness.ABOVE_NECK: "a cold", Illness.FEVER_OR_BELOW: "fever, or below the neck"}
CONSENT_WORDS = {
    ConsentKind.COACHING: "coaching",
    ConsentKind.HEALTH_DATA: "keeping health data",
    ConsentKind.INTERVAL_PHASE: "interval phase",
    ConsentKind.STOP_SIGNS: "stop signs read",
}
SCOPE_WORDS = {Intensity.LIGHT_MODERATE: "light to moderate work", Intensity.VIGOROUS: "hard work too"}
CLEARANCE_WORDS = {
    ClearanceState.REQUESTED: "asked for",
    ClearanceState.GRANTED: "given",
    ClearanceState.REFUSED: "refused",
}
YES_NO_WORDS = {YesNo.YES: "yes", YesNo.NO: "no", YesNo.UNKNOWN: "not known"}


def _inside(text: str) -> str:
    """A choice of the form as it stands inside a line."""
    return text[0].lower() + text[1:]


MODE_WORDS = {mode: _inside(text) for mode, text in log_words.MODE_WORDS.items()}
WHY_NOT_WORDS = {why: _inside(text) for why, text in log_words.WHY_NOT_WORDS.items()}


def short(day: date) -> str:
    """Tue 3 Mar."""
    return f"{day:%a} {day.day} {day:%b}"


def long(day: date) -> str:
    """3 March 2026."""
    return f"{day.day} {day:%B} {day.year}"


def at_local(instant: datetime, zone: str) -> str:
    """3 March 2026, 07:40."""
    local = instant.astimezone(ZoneInfo(zone))
    return f"{long(local.date())}, {local:%H:%M}"


def hold_sentence(hold: Hold) -> str:
    """One open hold as the coach reads it, with what lifts it."""
    return f"{hold_stops(hold)} {hold_lifted_by(hold)}"


def hold_lifted_by(hold: Hold) -> str:
    """What lifts a hold."""
    return f"Lifted by {LIFTED_BY[hold.kind].replace('your coach', 'the coach')}."


def hold_stops(hold: Hold) -> str:
    """Since when a hold is open, why, and what it stops."""
    what = "the coach paused it" if hold.kind is HoldKind.COACH else HOLD_WORDS[hold.kind]
    stops = STOPS_WORDS.get(hold.stops) or f"{MODE_WORDS[hold.mode] if hold.mode else 'one mode'} and hard work"
    cause = hold.cause.rstrip(".")
    return f"On hold since {short(hold.began_on)}, {what}: {cause}. It stops {stops}."


def rounds_words(log: SessionLog) -> str:
    """3 of 4 rounds; empty when none were entered."""
    if not log.rounds:
        return ""
    complete = sum(1 for one in log.rounds if one.is_complete)
    return f"{complete} of {len(log.rounds)}"


def clock_words(seconds: float) -> str:
    """12:05 or 1:02:05."""
    whole = round(seconds)
    hours, rest = divmod(whole, 3600)
    text = f"{rest // 60}:{rest % 60:02d}"
    return f"{hours}:{rest // 60:02d}:{rest % 60:02d}" if hours else text


def distance_words(metres: float) -> str:
    """1.9 km or 400 m."""
    return f"{metres / KM_M:.2f} km" if metres >= KM_M else f"{metres:g} m"


def result_words(test: FitnessTest, heart_rate: HeartRateTrust) -> str:
    """The figures of a test on one line, as they were recorded; a heart rate that is not reliable is marked."""
    value = f"{test.value:g} {test.unit or ''}".strip() if test.value is not None else ""
    parts = [
        heart_rate.beside(value) if is_a_rate(test) else value,
        f"± {test.error:g}" if test.value is not None and test.error is not None else "",
        distance_words(test.distance_m) if test.distance_m is not None else "",
        clock_words(test.duration_s) if test.duration_s is not None else "",
        heart_rate.beside(f"{test.heart_rate_bpm} bpm") if test.heart_rate_bpm is not None else "",
    ]
    return ", ".join(part for part in parts if part).replace(", ±", " ±") or "no figure"


def protocol_words(test: FitnessTest) -> str:
    """The protocol with its mode."""
    return f"{PROTOCOL_WORDS[test.protocol]}, {MODE_WORDS[test.mode]}"


def minutes_words(value: float | None) -> str:
    """Minutes, or nothing when not done."""
    return "" if value is None else minutes(value)
