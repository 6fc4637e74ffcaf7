"""Small factories: one invented client's records, each a valid value with a few words changed."""

from __future__ import annotations

from datetime import UTC, date, datetime, time, timedelta
from typing import Any

from app.coaching.check_ins import CheckIn, WeekFelt
from app.coaching.data_requests import DataRequest, DataRequestKind
from app.coaching.effort import Band, Talk
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.history import History
from app.coaching.holds import Family, Hold, HoldKind, Stops, SymptomReport
from app.coaching.incidents import Incident, IncidentEntry, IncidentWord
from app.coaching.measured import KnownHow, Measured, MeasuredKind
from app.coaching.people import (
    AvailableDay,
    Client,
    ClientState,
    Contact,
    ContactKind,
    Goal,
    HeartRateUse,
    Leave,
    Mode,
    Note,
    Origin,
    Sex,
    Visibility,
)
from app.coaching.phases import DecisionKind, Phase, PhaseDecision
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek, SessionKind
from app.coaching.pressure_limits import OwnPressureLimit
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.screening import (
    BloodPressure,
    Clearance,
    ClearanceState,
    Consent,
    ConsentKind,
    Intensity,
    ScreeningAnswers,
    YesNo,
)
from app.coaching.session_logs import Answer, RoundDone, SessionLog
from app.coaching.steps import Node, Part, Step, to_json
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind, ToldAway
from app.coaching.unsent_answers import UnsentAnswer

#: A Monday; the tests' usual "today".
TODAY = date(2026, 10, 5)
COACH_ID = 1
CLIENT_ID = 7


def at(day: date, hour: int = 8) -> datetime:
    """An instant (UTC) on a day."""
    return datetime.combine(day, time(hour), UTC)


def client(**changes: Any) -> Client:
    """Ilse Brandt, 61, active, heart rate measured, emergency contact fresh."""
    given: dict[str, Any] = {
        "id": CLIENT_ID,
        "name": "Ilse Brandt",
        "email": None,
        "phone": "0151 000 0000",
        "born_on": date(1965, 3, 2),
        "sex": Sex.FEMALE,
        "zone": "Europe/Berlin",
        "state": ClientState.ACTIVE,
        "coach_id": COACH_ID,
        "has_phone": True,
        "base_weeks_asked": None,
        "regularly_active_confirmed_on": None,
        "heart_rate_use": HeartRateUse.RELIABLE,
        "heart_rate_source": "chest strap",
        "effort_plan": None,
        "emergency_contact": "Jonas Brandt, husband",
        "emergency_phone": "0151 000 0001",
        "emergency_confirmed_on": TODAY - timedelta(days=20),
        "joined_on": TODAY - timedelta(weeks=40),
        "revision": 1,
    }
    return Client(**(given | changes))


def log(**changes: Any) -> SessionLog:
    """An easy walk of 45 min on TODAY, logged by the client the same evening."""
    day = changes.get("done_on", TODAY)
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "planned_session_id": None,
        "done_on": day,
        "answer": Answer.AS_PLANNED,
        "kind": SessionKind.EASY,
        "mode": Mode.WALK,
        "minutes": 45.0,
        "effort": 3.0,
        "talk": Talk.CHAT,
        "felt_all_out": False,
        "posture": None,
        "why_not": None,
        "spoilt_by": None,
        "note": None,
        "origin": Origin.CLIENT,
        "entered_at": at(day, 18),
        "person_id": CLIENT_ID,
        "from_memory": False,
        "rounds": (),
        "revision": 1,
    }
    return SessionLog(**(given | changes))


def work_round(**changes: Any) -> RoundDone:
    """One complete four-minute round."""
    given: dict[str, Any] = {
        "number": 1,
        "duration_s": 240,
        "is_complete": True,
        "power_w": None,
        "speed_m_per_s": None,
        "heart_rate_end_bpm": None,
        "cadence_per_min": None,
        "effort": None,
    }
    return RoundDone(**(given | changes))


def easy_steps(minutes: int = 45) -> tuple[Node, ...]:
    """One easy stretch."""
    return (Step(Part.MAIN, minutes * 60, Band.EASY, "Easy enough to chat."),)


def interval_steps(rounds: int = 4) -> tuple[Node, ...]:
    """15 min warm-up, rounds of 4 min hard and 4 min easy, 10 min cool-down."""
    work = Step(Part.WORK, 240, Band.HARD, "A few words by minute three.")
    rest = Step(Part.RECOVERY, 240, Band.EASY, "Keep moving, easy.")
    warm_up = Step(Part.WARM_UP, 900, Band.EASY, "Warm up.")
    cool_down = Step(Part.COOL_DOWN, 600, Band.EASY, "Cool down.")
    return (warm_up, *((work, rest) * rounds), cool_down)


def incident(**changes: Any) -> Incident:
    """A turned ankle on TODAY, written down that evening, still open."""
    day = changes.get("happened_on", TODAY)
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "happened_on": day,
        "about_when": "about 18:40",
        "activity": "Second round of the hill walk",
        "place": "Quarry path",
        "symptoms": "Turned an ankle, could walk on",
        "action_taken": "Sat down, walked home",
        "outcome": "A little swollen",
        "hold_id": None,
        "recorded_at": at(day, 18),
        "person_id": COACH_ID,
    }
    return Incident(**(given | changes))


def incident_entry(word: IncidentWord, on: date, **changes: Any) -> IncidentEntry:
    """One entry added to it."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "incident_id": 1,
        "word": word,
        "text": "Swelling is gone.",
        "added_at": at(on, 9),
        "person_id": COACH_ID,
    }
    return IncidentEntry(**(given | changes))


def pressure_limit(**changes: Any) -> OwnPressureLimit:
    """A clinician's 180 over 110, ten days old."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "systolic_mmhg": 180,
        "diastolic_mmhg": 110,
        "given_on": TODAY - timedelta(days=10),
        "signer": "Dr. Amrei Sohl",
        "profession": "general practitioner",
        "how_seen": "paper",
        "recorded_at": at(TODAY - timedelta(days=9)),
        "person_id": COACH_ID,
        "taken_back_at": None,
        "taken_back_by": None,
    }
    return OwnPressureLimit(**(given | changes))


def planned(**changes: Any) -> PlannedSession:
    """An easy walk of 45 min planned for TODAY, published a week before."""
    day = changes.get("planned_on", TODAY)
    given: dict[str, Any] = {
        "id": 1,
        "version_id": 1,
        "version": 1,
        "client_id": CLIENT_ID,
        "planned_on": day,
        "kind": SessionKind.EASY,
        "mode": Mode.WALK,
        "title": "Easy walk",
        "purpose": "Time on your feet.",
        "minutes": 45,
        "hard_minutes": 0.0,
        "is_hard": False,
        "rounds": 0,
        "steps_json": to_json(easy_steps(changes.get("minutes", 45))),
        "easy_version": None,
        "place": None,
        "is_cancelled": False,
        "created_at": at(day - timedelta(days=7)),
        "person_id": COACH_ID,
        "reason": None,
        "published_at": at(day - timedelta(days=7)),
        "seen_at": None,
    }
    return PlannedSession(**(given | changes))


def planned_hard(**changes: Any) -> PlannedSession:
    """Four rounds of four minutes planned for TODAY."""
    given: dict[str, Any] = {
        "kind": SessionKind.INTERVALS,
        "mode": Mode.INDOOR_RIDE,
        "title": "Rounds",
        "minutes": 57,
        "hard_minutes": 16.0,
        "is_hard": True,
        "rounds": 4,
        "steps_json": to_json(interval_steps()),
        "easy_version": "30 min easy instead.",
    }
    return planned(**(given | changes))


def planned_week(**changes: Any) -> PlannedWeek:
    """An ordinary planned week starting on TODAY."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "starts_on": TODAY,
        "block_id": None,
        "is_easier": False,
        "target_minutes": 150,
        "note": None,
        "revision": 1,
    }
    return PlannedWeek(**(given | changes))


def block(**changes: Any) -> Block:
    """A base block of twelve weeks starting on TODAY."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "phase": Phase.AEROBIC_BASE,
        "aim": "Three outings a week without strain",
        "starts_on": TODAY,
        "weeks": 12,
        "is_introductory": False,
        "wishes_json": "{}",
        "created_at": at(changes.get("starts_on", TODAY)),
        "person_id": COACH_ID,
    }
    return Block(**(given | changes))


def decision(**changes: Any) -> PhaseDecision:
    """The start of the base, forty weeks before TODAY."""
    day = changes.get("since_on", TODAY - timedelta(weeks=40))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": DecisionKind.START,
        "phase": Phase.AEROBIC_BASE,
        "since_on": day,
        "decided_at": at(day),
        "person_id": COACH_ID,
        "reason": "Starts with the base.",
        "evidence_json": "{}",
        "attested_by": None,
        "confirmed_at": None,
    }
    return PhaseDecision(**(given | changes))


def answers(**changes: Any) -> ScreeningAnswers:
    """Active, no disease, no symptoms, asked ten days before TODAY."""
    day = changes.get("answered_on", TODAY - timedelta(days=10))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "answered_on": day,
        "active": YesNo.YES,
        "disease": YesNo.NO,
        "symptoms": YesNo.NO,
        "pregnant": YesNo.NO,
        "heart_rate_medicine": YesNo.NO,
        "details_json": "{}",
        "origin": Origin.CLIENT,
        "entered_at": at(day),
        "person_id": CLIENT_ID,
    }
    return ScreeningAnswers(**(given | changes))


def clearance(**changes: Any) -> Clearance:
    """A signed paper for vigorous work, five days before TODAY."""
    day = changes.get("given_on", TODAY - timedelta(days=5))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "state": ClearanceState.GRANTED,
        "scope": Intensity.VIGOROUS,
        "requested_on": None,
        "given_on": day,
        "ends_on": None,
        "signer": "Dr. Amrei Sohl",
        "profession": "general practitioner",
        "how_seen": "paper",
        "limits": None,
        "recorded_at": at(day or TODAY),
        "person_id": COACH_ID,
    }
    return Clearance(**(given | changes))


def consent(kind: ConsentKind, **changes: Any) -> Consent:
    """A consent given a week before TODAY."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": kind,
        "text_version": "1",
        "text_sha256": "0" * 64,
        "given_on": TODAY - timedelta(days=7),
        "method": Origin.CLIENT,
        "withdrawn_on": None,
        "language": "en",
        "recorded_at": at(TODAY - timedelta(days=7)),
        "witness": None,
        "withdrawn_at": None,
    }
    return Consent(**(given | changes))


def pressure(**changes: Any) -> BloodPressure:
    """128 over 78, a week before TODAY."""
    day = changes.get("measured_on", TODAY - timedelta(days=7))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "measured_on": day,
        "systolic_mmhg": 128,
        "diastolic_mmhg": 78,
        "resting_heart_rate_bpm": 64,
        "origin": Origin.CLIENT,
        "entered_at": at(day),
        "person_id": CLIENT_ID,
    }
    return BloodPressure(**(given | changes))


def hold(**changes: Any) -> Hold:
    """An open symptom hold raised the day before TODAY."""
    day = changes.get("began_on", TODAY - timedelta(days=1))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": HoldKind.SYMPTOM,
        "stops": Stops.ALL,
        "mode": None,
        "cause": "Chest discomfort",
        "began_on": day,
        "raised_at": at(day),
        "person_id": CLIENT_ID,
        "lifted_at": None,
        "lifted_by": None,
        "lifted_because": None,
        "clearance_id": None,
    }
    return Hold(**(given | changes))


def symptom(**changes: Any) -> SymptomReport:
    """Chest discomfort the day before TODAY."""
    day = changes.get("felt_on", TODAY - timedelta(days=1))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "sign": "chest",
        "family": Family.A,
        "felt_on": day,
        "entered_at": at(day),
        "text": None,
        "mode": None,
        "origin": Origin.CLIENT,
        "person_id": CLIENT_ID,
        "hold_id": 1,
    }
    return SymptomReport(**(given | changes))


def readiness(**changes: Any) -> ReadinessNote:
    """A usual day: 3 for each item."""
    day = changes.get("noted_on", TODAY)
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "noted_on": day,
        "sleep": 3,
        "fatigue": 3,
        "stress": 3,
        "soreness": 3,
        "mood": 4,
        "slept_h": 7.5,
        "resting_heart_rate_bpm": None,
        "ln_rmssd": None,
        "illness": Illness.NONE,
        "medicine_changed": False,
        "not_right_today": False,
        "text": None,
        "origin": Origin.CLIENT,
        "entered_at": at(day, 6),
        "person_id": CLIENT_ID,
    }
    return ReadinessNote(**(given | changes))


def standard_loop(**changes: Any) -> FitnessTest:
    """The standard loop walked on TODAY: 4 km in 45 min at 118 bpm."""
    day = changes.get("tested_on", TODAY)
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "tested_on": day,
        "protocol": Protocol.STANDARD_LOOP,
        "mode": Mode.WALK,
        "distance_m": 4000.0,
        "duration_s": 2700.0,
        "heart_rate_bpm": 118,
        "talk": Talk.CHAT,
        "value": None,
        "unit": None,
        "error": None,
        "conditions": None,
        "origin": Origin.CLIENT,
        "entered_at": at(day),
        "person_id": CLIENT_ID,
    }
    return FitnessTest(**(given | changes))


def measured(kind: MeasuredKind = MeasuredKind.CRITICAL_POWER, **changes: Any) -> Measured:
    """Critical power of 250 W and 20 kJ from three trials a month ago, with the errors of the fit."""
    is_curve = kind in (MeasuredKind.CRITICAL_POWER, MeasuredKind.CRITICAL_SPEED)
    day = changes.get("measured_on", TODAY - timedelta(days=30))
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": kind,
        "mode": Mode.INDOOR_RIDE,
        "measured_on": day,
        "value": 250.0,
        "value_error": 4.0 if is_curve else None,
        "capacity": 20_000.0 if is_curve else None,
        "capacity_error": 2000.0 if is_curve else None,
        "covariance": -6000.0 if is_curve else None,
        "how": KnownHow.ELSEWHERE if is_curve else KnownHow.ALL_OUT,
        "fitted_form": None,
        "trials_json": "[]",
        "note": None,
        "origin": Origin.COACH,
        "entered_at": at(day),
        "person_id": COACH_ID,
    }
    return Measured(**(given | changes))


def contact(**changes: Any) -> Contact:
    """A call on TODAY."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "contact_on": TODAY,
        "kind": ContactKind.CALL,
        "text": "Spoke about the week.",
        "person_id": COACH_ID,
    }
    return Contact(**(given | changes))


def leave(**changes: Any) -> Leave:
    """A week off starting on TODAY."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "from_on": TODAY,
        "until_on": TODAY + timedelta(days=6),
        "reason": "A week at the sea",
    }
    return Leave(**(given | changes))


def data_request(**changes: Any) -> DataRequest:
    """A copy asked for on TODAY, on the phone, not answered yet."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": DataRequestKind.ACCESS,
        "asked_on": TODAY,
        "text": None,
        "origin": Origin.CLIENT,
        "recorded_at": at(TODAY),
        "person_id": CLIENT_ID,
        "done_on": None,
        "done_how": None,
        "done_at": None,
        "done_by": None,
    }
    return DataRequest(**(given | changes))


def told_away(**changes: Any) -> ToldAway:
    """Eight days off up to the day before TODAY, told on the phone and not answered yet."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "kind": AwayKind.OFF,
        "from_on": TODAY - timedelta(days=8),
        "until_on": TODAY - timedelta(days=1),
        "possible": Possible.NOTHING,
        "why_off": None,
        "text": None,
        "origin": Origin.CLIENT,
        "told_at": at(TODAY),
        "person_id": CLIENT_ID,
        "answer": AwayAnswer.OPEN,
        "answered_at": None,
        "answered_by": None,
        "answered_because": None,
    }
    return ToldAway(**(given | changes))


def note(**changes: Any) -> Note:
    """A private note of the coach."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "written_at": at(TODAY),
        "person_id": COACH_ID,
        "text": "Knees fine so far.",
        "visibility": Visibility.PRIVATE,
        "read_at": None,
    }
    return Note(**(given | changes))


def goal(**changes: Any) -> Goal:
    """Walking up the hill with a grandchild."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "text": "Up the chapel hill without a stop",
        "why": "With my granddaughter",
        "confidence": 7,
        "due_on": None,
        "agreed_on": TODAY - timedelta(weeks=40),
        "closed_on": None,
    }
    return Goal(**(given | changes))


def unsent(**changes: Any) -> UnsentAnswer:
    """A yes to the question about the chest, kept this morning and not sent."""
    given: dict[str, Any] = {
        "client_id": CLIENT_ID,
        "question": "chest",
        "answer_json": '{"reply": "yes"}',
        "answered_at": at(TODAY, 6),
    }
    return UnsentAnswer(**(given | changes))


def check_in(**changes: Any) -> CheckIn:
    """Last week as it was told on its Friday: as usual, nothing in the way, sure of the next."""
    given: dict[str, Any] = {
        "id": 1,
        "client_id": CLIENT_ID,
        "week_on": TODAY - timedelta(weeks=1),
        "felt": WeekFelt.AS_USUAL,
        "other_hard": False,
        "medicine_changed": False,
        "fell": False,
        "barrier": None,
        "confidence": 8,
        "text": None,
        "origin": Origin.CLIENT,
        "entered_at": at(TODAY - timedelta(days=3), 18),
        "person_id": CLIENT_ID,
    }
    return CheckIn(**(given | changes))


def available(**changes: Any) -> AvailableDay:
    """Tuesdays, an hour, by the river."""
    given: dict[str, Any] = {"client_id": CLIENT_ID, "weekday": 1, "minutes": 60, "place": "river", "kit": None}
    return AvailableDay(**(given | changes))


def base_week(monday: date, *, minutes: float = 45, days: tuple[int, ...] = (0, 2, 5)) -> tuple[SessionLog, ...]:
    """One week of easy walks on some weekdays (0 is Monday), ids unique by day."""
    dates = [monday + timedelta(days=day) for day in days]
    return tuple(log(id=day.toordinal(), done_on=day, minutes=minutes) for day in dates)


def base_weeks(count: int, *, before: date = TODAY, minutes: float = 45) -> tuple[SessionLog, ...]:
    """Easy walks in each of the `count` weeks before the week of a day, oldest first."""
    monday = before - timedelta(days=before.weekday())
    mondays = [monday - timedelta(weeks=n) for n in range(count, 0, -1)]
    return tuple(entry for start in mondays for entry in base_week(start, minutes=minutes))


def history(**changes: Any) -> History:
    """One client's records up to TODAY; empty unless given."""
    given: dict[str, Any] = {
        "client": client(),
        "from_on": TODAY - timedelta(weeks=60),
        "until_on": TODAY + timedelta(days=21),
    }
    return History(**(given | changes))
