"""Small histories of every signal: one that raises it, one just below, one with new evidence.

Each names only what differs from the calm client of `signal_scenes`.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.effort import Talk
from app.coaching.fitness_tests import Protocol
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.incidents import IncidentWord
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.readiness import Illness
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind, YesNo
from app.coaching.session_logs import Answer, Posture, WhyNot
from tests import factories as make
from tests.coaching import test_signals_contact as contacts
from tests.coaching import test_signals_plan as plans
from tests.coaching import test_signals_progress as progress
from tests.coaching.signal_scenes import RULES, calm, easy_done, hard_done_on, hard_planned, on, race


@dataclass(frozen=True, slots=True)
class Rows:
    """The histories of one signal, under the settings they need."""

    fires: History
    below: History
    renewed: History
    rules: Rules = RULES


def _holds(stops: Stops = Stops.ALL, **changes: Any) -> tuple[Any, ...]:
    return (make.hold(kind=HoldKind.COACH, began_on=on(-3), stops=stops, **changes),)


def _papers(*days: int) -> tuple[Any, ...]:
    return tuple(make.clearance(id=5 - n, given_on=on(n), recorded_at=make.at(on(n), 18)) for n in days)


def _missed(days: int, **changes: Any) -> Any:
    given = {"id": 60 - days, "done_on": on(days), "answer": Answer.NOT_DONE, "minutes": None}
    return make.log(**(given | changes))


def _rounds(*power: float, effort: float = 6.0, cadence: tuple[float, ...] = ()) -> tuple[Any, ...]:
    turns = cadence or (90.0,) * len(power)
    return tuple(
        make.work_round(number=n, power_w=one, effort=effort, cadence_per_min=turns[n - 1])
        for n, one in enumerate(power, start=1)
    )


def _set(days: int = -2, **changes: Any) -> History:
    given: dict[str, Any] = {"mode": Mode.INDOOR_RIDE, "rounds": _rounds(200, 200, 200), "posture": Posture.STOOD}
    return calm(logs=(easy_done(-1), hard_done_on(days, **(given | changes))))


def _weeks(*minutes: float, days: tuple[int, ...] = (1, 3, 5)) -> tuple[Any, ...]:
    """Walks of the weeks before, the newest last; each week's minutes spread over its days."""
    return tuple(
        easy_done(-7 * (len(minutes) - n) + day, minutes=one / len(days))
        for n, one in enumerate(minutes)
        for day in days
    )


def _above(*days: int) -> History:
    planned = tuple(make.planned(id=300 - n, planned_on=on(n)) for n in days)
    logs = tuple(
        make.log(id=400 - n, planned_session_id=300 - n, done_on=on(n), talk=Talk.CHAT, effort=6.0, minutes=45)
        for n in days
    )
    harder = tuple(replace(log, talk=None) for log in logs)
    return calm(Phase.AEROBIC_BASE, planned=planned, logs=harder)


def _share(done: int, planned: int = 12, back: int = 0) -> History:
    days = [-28 + 7 * (n // 3) + (n % 3) * 2 - back for n in range(planned)]
    sessions = tuple(make.planned(id=2000 + n, planned_on=on(day)) for n, day in enumerate(days))
    answered = tuple(
        make.log(id=3000 + n, planned_session_id=2000 + n, done_on=on(day), note="x")
        if n < done
        else make.log(id=3000 + n, planned_session_id=2000 + n, done_on=on(day), answer=Answer.NOT_DONE, minutes=None)
        for n, day in enumerate(days)
    )
    return calm(Phase.AEROBIC_BASE, planned=sessions, logs=answered)


def _heavy(last: tuple[float, ...], *, before: float = 30.0) -> History:
    """Eight weeks of seven short walks that differ, then one of given minutes a day."""
    own = [
        make.log(id=5000 - 7 * week - day, done_on=on(-7 * week + day), minutes=before + 5 * (day % 3), effort=3.0)
        for week in range(2, 10)
        for day in range(7)
    ]
    newest = [make.log(id=6000 + day, done_on=on(day - 7), minutes=one, effort=3.0) for day, one in enumerate(last)]
    return calm(Phase.AEROBIC_BASE, logs=(*own, *newest))


def _year(done: int) -> History:
    days = [-14 * n - 5 for n in range(1, 17)]
    planned = tuple(hard_planned(day, id=7000 - day) for day in days)
    logs = tuple(hard_done_on(day, planned_session_id=7000 - day) for day in days[:done])
    return calm(planned=planned, logs=(*logs, hard_done_on(-4), easy_done(-1)))


def _rates(*last: int) -> tuple[Any, ...]:
    rates = [58 + n % 3 for n in range(20)] + list(last)
    return tuple(
        make.readiness(id=n, noted_on=on(n - len(rates) + 1), resting_heart_rate_bpm=rate)
        for n, rate in enumerate(rates)
    )


def _variability(week: float, *, back: int = 0) -> tuple[Any, ...]:
    usual = [3.9 + 0.1 * (n % 3) for n in range(28)]
    return tuple(
        make.readiness(id=n, noted_on=on(n - 34 - back), ln_rmssd=one) for n, one in enumerate([*usual, *[week] * 7])
    )


def _nights(*hours: float) -> History:
    notes = tuple(make.readiness(id=n, noted_on=on(n - len(hours)), slept_h=one) for n, one in enumerate(hours))
    return calm(readiness=notes)


def _second(good: int = 8, *, promoted: int = 1) -> History:
    """Nine weeks on one a week, each with a set that went well and three easy walks."""
    since = make.decision(id=promoted, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=on(-63))
    logs = []
    for week in range(1, 9):
        went = {"effort": 7.0, "posture": Posture.STOOD, "answer": Answer.AS_PLANNED, "minutes": 57.0}
        logs.append(hard_done_on(-7 * week + 2, **went) if week <= good else easy_done(-7 * week + 2))
        logs += [easy_done(-7 * week + day, minutes=60) for day in (0, 4, 5, 6)]
    return calm(
        Phase.INTERVAL_ONE,
        decisions=(since,),
        logs=tuple(logs),
        available=(make.available(weekday=1), make.available(weekday=4)),
        pressures=(make.pressure(),),
        consents=progress._base().consents,
        readiness=(),
    )


def _tests(*results: tuple[int, float]) -> History:
    tests = tuple(
        make.standard_loop(
            id=20 + n,
            tested_on=on(days),
            protocol=Protocol.FIVE_KM,
            mode=Mode.RUN,
            distance_m=None,
            duration_s=None,
            heart_rate_bpm=None,
            value=value,
            unit="ml/kg/min",
            error=1.0,
        )
        for n, (days, value) in enumerate(results)
    )
    return calm(tests=(make.standard_loop(tested_on=on(-7)), *tests))


def _changed(**changes: Any) -> History:
    given: dict[str, Any] = {"version": 2, "published_at": make.at(on(-1)), "reason": "Your knee", "id": 77}
    return calm(planned=(make.planned(**(given | changes)),))


def _consents(days: int, **changes: Any) -> tuple[Any, ...]:
    text = CONSENT_TEXTS[ConsentKind.COACHING].version
    return (make.consent(ConsentKind.COACHING, **({"text_version": text, "given_on": on(-days)} | changes)),)


def _drift(third: int, *, newest: int = -8) -> History:
    logs = tuple(
        easy_done(newest - n, talk=Talk.SENTENCES if n < third else Talk.CHAT, minutes=40 + n) for n in range(4)
    )
    return calm(logs=(*logs, hard_done_on(-4)))


def _asked(days: int, **changes: Any) -> History:
    """Answers so many days old, and an outing at least every ten days since."""
    outings = tuple(easy_done(-n) for n in range(1, days, 10))
    return calm(screening=(make.answers(answered_on=on(-days), **changes),), logs=(*outings, hard_done_on(-4)))


_WORSE: dict[str, Any] = {"fatigue": 6}
_NOTED = make.readiness(illness=Illness.ABOVE_NECK)
_CEILING = tuple(hard_done_on(-n) for n in (4, 8, 12))
_BLOCK = make.block(starts_on=on(-84))


TABLE: dict[str, Callable[[], Rows]] = {
    "symptom": lambda: Rows(
        calm(symptoms=(make.symptom(),), holds=(make.hold(),)),
        calm(symptoms=(make.symptom(),), holds=(make.hold(lifted_at=make.at(on(0))),)),
        calm(symptoms=(make.symptom(), make.symptom(id=2, felt_on=on(0))), holds=(make.hold(),)),
    ),
    "named_not_sent": lambda: Rows(
        calm(unsent=(make.unsent(),)),
        calm(unsent=(make.unsent(answer_json='{"reply": "no"}'),)),
        calm(unsent=(make.unsent(answered_at=make.at(on(0), 7)),)),
    ),
    "paper_while_held": lambda: Rows(
        calm(holds=(make.hold(),), clearances=_papers(0)),
        calm(holds=(make.hold(),), clearances=_papers(-3)),
        calm(holds=(make.hold(),), clearances=(*_papers(0), *_papers(-1))),
    ),
    "hold_with_training": lambda: Rows(
        calm(holds=_holds(Stops.HARD), planned=(hard_planned(1),)),
        calm(holds=_holds(Stops.HARD), planned=(make.planned(planned_on=on(1)),)),
        calm(holds=_holds(Stops.HARD), planned=(hard_planned(1), hard_planned(5))),
    ),
    "trained_while_paused": lambda: Rows(
        calm(holds=_holds()),
        calm(holds=(make.hold(kind=HoldKind.COACH, began_on=on(-1)),)),
        calm(holds=_holds(), logs=(easy_done(-1), easy_done(0))),
    ),
    "hard_without_leave": lambda: Rows(
        calm(Phase.AEROBIC_BASE, planned=(hard_planned(2),)),
        calm(Phase.INTERVAL_ONE, planned=(hard_planned(2),)),
        calm(Phase.AEROBIC_BASE, planned=(hard_planned(1),)),
    ),
    "hard_out_of_phase": lambda: Rows(
        calm(Phase.AEROBIC_BASE),
        calm(Phase.AEROBIC_BASE, logs=(hard_done_on(-7),)),
        calm(Phase.AEROBIC_BASE, logs=(hard_done_on(-2),)),
    ),
    "illness": lambda: Rows(
        calm(readiness=(_NOTED,)),
        calm(readiness=(replace(_NOTED, noted_on=on(-3)),)),
        calm(readiness=(_NOTED, make.readiness(id=2, illness=Illness.FEVER_OR_BELOW))),
    ),
    "pressure_high": lambda: Rows(
        calm(pressures=(make.pressure(systolic_mmhg=160),)),
        calm(pressures=(make.pressure(systolic_mmhg=159),)),
        calm(pressures=(make.pressure(systolic_mmhg=160), make.pressure(id=2, measured_on=on(0), systolic_mmhg=185))),
    ),
    "medicine_changed": lambda: Rows(
        calm(readiness=(make.readiness(medicine_changed=True),)),
        calm(readiness=(make.readiness(medicine_changed=True, noted_on=on(-8)),)),
        calm(readiness=(make.readiness(id=2, medicine_changed=True),)),
    ),
    "clearance_missing": lambda: Rows(
        calm(screening=(make.answers(disease=YesNo.YES),)),
        calm(screening=(make.answers(disease=YesNo.NO),)),
        calm(screening=(make.answers(id=2, disease=YesNo.YES),)),
    ),
    "questions_due": lambda: Rows(
        _asked(85),
        _asked(84),
        _asked(85, id=2),
    ),
    "waiting_for_questions": lambda: Rows(
        calm(Phase.AEROBIC_BASE, screening=()), calm(Phase.AEROBIC_BASE), calm(Phase.AEROBIC_BASE, screening=())
    ),
    "clearance_ending": lambda: Rows(
        calm(clearances=(make.clearance(given_on=on(-337)),)),
        calm(clearances=(make.clearance(given_on=on(-336)),)),
        calm(clearances=(make.clearance(id=2, given_on=on(-340)),)),
    ),
    "consent_ending": lambda: Rows(
        calm(consents=_consents(337)),
        calm(consents=_consents(336)),
        calm(consents=_consents(300, id=2, text_version="2020-1")),
    ),
    "pressure_due": lambda: Rows(
        calm(pressures=(make.pressure(measured_on=on(-91)),)),
        calm(pressures=(make.pressure(measured_on=on(-90)),)),
        calm(pressures=(make.pressure(id=2, measured_on=on(-95)),)),
    ),
    "incident_open": lambda: Rows(
        calm(incidents=(make.incident(happened_on=on(-7)),)),
        calm(incidents=(make.incident(happened_on=on(-6)),)),
        calm(
            incidents=(
                replace(
                    make.incident(happened_on=on(-20)),
                    entries=(make.incident_entry(IncidentWord.FOLLOW_UP, on(-8)),),
                ),
            )
        ),
    ),
    "change_not_seen": lambda: Rows(_changed(), _changed(seen_at=make.at(on(-1))), _changed(version=3)),
    "hard_today_in_doubt": lambda: Rows(
        calm(readiness=(make.readiness(slept_h=4.9),), planned=(hard_planned(0),)),
        calm(readiness=(make.readiness(slept_h=5.0),), planned=(hard_planned(0),)),
        calm(readiness=(make.readiness(id=2, slept_h=4.5),), planned=(hard_planned(0),)),
    ),
    "readiness_down": lambda: Rows(
        calm(readiness=progress._notes(_WORSE, _WORSE)),
        calm(readiness=progress._notes({"fatigue": 3}, _WORSE)),
        calm(readiness=progress._notes(_WORSE, _WORSE, {"fatigue": 7})),
    ),
    "days_away_told": lambda: Rows(
        calm(told_away=(make.told_away(),)),
        calm(),
        calm(told_away=(make.told_away(), make.told_away(id=2))),
    ),
    "legs_heavy": lambda: Rows(
        calm(planned=(hard_planned(0),), logs=(easy_done(-1, heavy_legs=True), hard_done_on(-4))),
        calm(planned=(hard_planned(0),), logs=(easy_done(-2, heavy_legs=True), hard_done_on(-4))),
        calm(planned=(hard_planned(0, id=901),), logs=(easy_done(-1, heavy_legs=True), hard_done_on(-4))),
    ),
    "spacing": lambda: Rows(
        calm(planned=(hard_planned(0),), logs=(hard_done_on(-1),)),
        calm(planned=(hard_planned(0),), logs=(hard_done_on(-2),)),
        calm(planned=(hard_planned(0, id=901),), logs=(hard_done_on(-1),)),
    ),
    "ceiling": lambda: Rows(
        calm(planned=(hard_planned(0),), logs=_CEILING),
        calm(planned=(hard_planned(0),), logs=_CEILING[:2]),
        calm(planned=(hard_planned(0, id=901),), logs=_CEILING),
    ),
    "not_started": lambda: Rows(
        calm(None, screening=(make.answers(answered_on=on(-4)),)),
        calm(None, screening=(make.answers(answered_on=on(-3)),)),
        calm(None, screening=(make.answers(answered_on=on(-8)),)),
    ),
    "base_met": lambda: Rows(
        progress._base(),
        progress._base(25),
        progress._base(decisions=(make.decision(), make.decision(id=2, kind=DecisionKind.STAY, since_on=on(-1)))),
    ),
    "second_due": lambda: Rows(_second(), _second(5), _second(promoted=2)),
    "gain_clear": lambda: Rows(
        _tests((-60, 40.0), (-3, 44.0)),
        _tests((-60, 40.0), (-3, 41.0)),
        _tests((-100, 40.0), (-60, 40.0), (-2, 45.0)),
    ),
    "hard_gap": lambda: Rows(
        calm(logs=(hard_done_on(-8), easy_done(-1))),
        calm(logs=(hard_done_on(-7), easy_done(-1))),
        calm(logs=(hard_done_on(-14), easy_done(-1))),
    ),
    "missed_key_session": lambda: Rows(
        calm(logs=(_missed(-7, planned_session_id=893), hard_done_on(-4)), planned=(hard_planned(-7),)),
        calm(logs=(_missed(-8, planned_session_id=892), hard_done_on(-4)), planned=(hard_planned(-8),)),
        calm(logs=(_missed(-2, planned_session_id=898), hard_done_on(-4)), planned=(hard_planned(-2),)),
    ),
    "second_may_be_left_out": lambda: Rows(
        plans._missed_twice(),
        calm(Phase.INTERVAL_TWO, planned=tuple(hard_planned(n) for n in (-12, -5, 1, 4))),
        calm(
            Phase.INTERVAL_TWO,
            logs=tuple(_missed(n, planned_session_id=900 + n) for n in (-12, -5, -2)),
            planned=tuple(hard_planned(n) for n in (-12, -5, -2, 1, 4)),
        ),
    ),
    "folded_over": lambda: Rows(
        _set(posture=Posture.BENT_OR_SAT), _set(posture=Posture.HANDS_ON_KNEES), _set(-1, posture=Posture.BENT_OR_SAT)
    ),
    "started_hot": lambda: Rows(
        _set(rounds=_rounds(200, 200, 200, effort=7.5)),
        _set(rounds=_rounds(200, 200, 200, effort=7.0)),
        _set(-1, rounds=_rounds(220, 200, 200)),
    ),
    "faded": lambda: Rows(
        _set(rounds=_rounds(200, 200, 195)),
        _set(rounds=_rounds(200, 200, 196)),
        _set(-1, rounds=_rounds(200, 200, 190)),
    ),
    "technique_lost": lambda: Rows(
        _set(rounds=_rounds(200, 200, 200, cadence=(90, 90, 85))),
        _set(rounds=_rounds(200, 200, 200, cadence=(90, 90, 86))),
        _set(-1, rounds=_rounds(200, 200, 200, cadence=(90, 90, 80))),
    ),
    "easy_not_easy": lambda: Rows(_above(-3, -5), _above(-3), _above(-2, -3, -5)),
    "volume_step": lambda: Rows(
        calm(Phase.AEROBIC_BASE, logs=_weeks(90, 90, 90, 120)),
        calm(Phase.AEROBIC_BASE, logs=_weeks(90, 90, 90, 105)),
        calm(
            Phase.AEROBIC_BASE,
            logs=tuple(replace(log, done_on=log.done_on - timedelta(weeks=4)) for log in _weeks(90, 90, 90, 120)),
        ),
    ),
    "long_outing": lambda: Rows(
        calm(logs=(easy_done(-20, minutes=60), easy_done(-1, minutes=67), hard_done_on(-4))),
        calm(logs=(easy_done(-20, minutes=60), easy_done(-1, minutes=66), hard_done_on(-4))),
        calm(
            logs=(easy_done(-20, minutes=60), easy_done(-2, minutes=67), easy_done(0, minutes=80), hard_done_on(-4))
        ),
    ),
    "heavy_even_week": lambda: Rows(
        _heavy((60, 60, 60, 60, 60, 60, 50)),
        _heavy((120, 0, 120, 0, 120, 0, 50)),
        _heavy((60, 60, 60, 60, 60, 60, 50)),
        replace(RULES, load_watched=1),
    ),
    "year_course": lambda: Rows(_year(10), _year(11), _year(10)),
    "resting_heart_rate_up": lambda: Rows(
        calm(readiness=_rates(67, 68, 67)), calm(readiness=_rates(66, 68, 67)), calm(readiness=_rates(60, 67, 68, 69))
    ),
    "variability_low": lambda: Rows(
        calm(readiness=_variability(3.8)),
        calm(readiness=_variability(4.0)),
        calm(readiness=_variability(3.8)),
        replace(RULES, heart_rate_variability_watched=1),
    ),
    "short_nights": lambda: Rows(_nights(4.5, 7.0, 4.9), _nights(4.5, 7.0, 5.0), _nights(4.5, 7.0, 4.9, 4.0)),
    "reason_given": lambda: Rows(
        calm(logs=(*(_missed(n, why_not=WhyNot.TIRED) for n in (-3, -10)), hard_done_on(-4))),
        calm(logs=(_missed(-3, why_not=WhyNot.TIRED), _missed(-14, why_not=WhyNot.TIRED), hard_done_on(-4))),
        calm(logs=(*(_missed(n, why_not=WhyNot.TIRED) for n in (-1, -3, -10)), hard_done_on(-4))),
    ),
    "low_share": lambda: Rows(_share(8), _share(9), _share(8)),
    "quiet": lambda: Rows(contacts._last_heard(8), contacts._last_heard(7), contacts._last_heard(14)),
    "contact_overdue": lambda: Rows(
        calm(contacts=(make.contact(contact_on=on(-15)),)),
        calm(contacts=(make.contact(contact_on=on(-14)),)),
        calm(contacts=(make.contact(id=2, contact_on=on(-16)),)),
    ),
    "note_unread": lambda: Rows(
        calm(logs=(easy_done(-7, note="Knee fine"), hard_done_on(-4))),
        calm(logs=(easy_done(-8, note="Knee fine"), hard_done_on(-4))),
        calm(logs=(easy_done(-7, note="Knee fine"), easy_done(-1, note="Windy"), hard_done_on(-4))),
    ),
    "week_told": lambda: Rows(
        calm(check_ins=(make.check_in(confidence=6),)),
        calm(check_ins=(make.check_in(confidence=7),)),
        calm(check_ins=(make.check_in(id=2, confidence=9, other_hard=True),)),
    ),
    "waits_for_confirmation": lambda: Rows(
        calm(decisions=(make.decision(), make.decision(id=2, kind=DecisionKind.BROUGHT_IN))),
        calm(
            decisions=(
                make.decision(),
                make.decision(id=2, kind=DecisionKind.BROUGHT_IN, confirmed_at=make.at(on(-1))),
            )
        ),
        calm(decisions=(make.decision(), make.decision(id=3, kind=DecisionKind.BROUGHT_IN))),
    ),
    "block_ending": lambda: Rows(
        calm(blocks=(replace(_BLOCK, starts_on=on(-77)),)),
        calm(blocks=(replace(_BLOCK, starts_on=on(-70)),)),
        calm(blocks=(replace(_BLOCK, starts_on=on(-91)),)),
    ),
    "base_near": lambda: Rows(
        progress._base(25),
        progress._base(20),
        progress._base(25, decisions=(make.decision(), make.decision(id=2, kind=DecisionKind.STAY, since_on=on(-1)))),
    ),
    "retest_due": lambda: Rows(
        calm(tests=(make.standard_loop(tested_on=on(-28)), race(-30))),
        calm(tests=(make.standard_loop(tested_on=on(-27)), race(-30))),
        calm(tests=(make.standard_loop(id=9, tested_on=on(-30)), race(-30))),
    ),
    "easy_drifting_up": lambda: Rows(_drift(2), _drift(1), _drift(3, newest=-7)),
    "identical_to_plan": lambda: Rows(contacts._echoes(10), contacts._echoes(9), contacts._echoes(10)),
}
#: Where the factories' client lives.
ZONE = "Europe/Berlin"
#: Those whose key is a stretch of time, not a record: they speak again when that stretch is over and it goes on.
BY_TIME = {
    "waiting_for_questions": 28,
    "year_course": 91,
    "low_share": 28,
    "identical_to_plan": 28,
    "variability_low": 7,
    "heavy_even_week": 7,
    "volume_step": 7,
}


def in_zone(value: Any, zone: str) -> Any:
    """The same records of somebody elsewhere: every instant at the same hour of their own day."""
    if isinstance(value, datetime):
        return value.astimezone(ZoneInfo(ZONE)).replace(tzinfo=ZoneInfo(zone)).astimezone(UTC)
    if isinstance(value, tuple):
        return tuple(in_zone(one, zone) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: in_zone(getattr(value, f.name), zone) for f in fields(value)})
    return value


def shifted(value: Any, days: int) -> Any:
    """The same records so many days later."""
    by = timedelta(days=days)
    if isinstance(value, date):
        return value + by
    if isinstance(value, tuple):
        return tuple(shifted(one, days) for one in value)
    if is_dataclass(value) and not isinstance(value, type):
        return replace(value, **{f.name: shifted(getattr(value, f.name), days) for f in fields(value)})
    return value
