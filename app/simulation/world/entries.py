"""What clients write down: sessions done and not done, how they are, what felt wrong; and test results."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime, timedelta
from typing import Any

from app.coaching.effort import Talk
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.holds import Hold, HoldKind, Stops, SymptomReport
from app.coaching.people import Mode, Origin, Sex
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.session_logs import Answer, Posture, RoundDone, SessionLog, WhyNot
from app.coaching.symptoms import hold_for, sign_of
from app.physiology.heart_rate import hrmax_tanaka_2001
from app.simulation.world import constants as c
from app.simulation.world.scene import Scene

#: The words the desk itself puts on the hold that a note raises.
FEVER_CAUSE = "Fever, or signs in the chest, the stomach or the whole body"
ABOVE_NECK_CAUSE = "Ill above the neck only"
EASY_VERSION_MIN = 30.0
EXTRA_MIN = 30.0
EXTRA_EFFORT = 2.0
_WHY_NOT = (WhyNot.NO_TIME, WhyNot.NO_TIME, WhyNot.TIRED, WhyNot.WEATHER, WhyNot.CARING, WhyNot.FORGOT)
_EASY_EFFORTS = (2.0, 3.0, 3.0, 4.0)
_HARD_EFFORTS = (7.0, 7.0, 7.0, 8.0)
_ALL_ROUNDS = 0.93
_STOOD = 0.85
_NOT_REMEMBERED_AFTER = timedelta(hours=48)
#: Weight in kg and height in cm of the invented walkers.
_BODIES = {Sex.FEMALE: (66.0, 164.0), Sex.MALE: (80.0, 177.0)}


def enter_session(
    scene: Scene,
    session: PlannedSession,
    *,
    planned_day: int,
    done_day: int,
    at: datetime,
    answer: Answer,
    minutes: float | None,
    rounds: tuple[int, ...] = (),
    why_not: WhyNot | None = None,
) -> SessionLog:
    """An entry about a planned session; the dice are those of its planned day."""
    roll = scene.roll(planned_day)
    is_done, is_hard = answer is not Answer.NOT_DONE, session.is_hard and answer is not Answer.EASY_VERSION
    effort = effort_of(roll, is_hard=is_hard)
    log = SessionLog(
        id=scene.next_id("log"),
        client_id=scene.client_id,
        planned_session_id=session.id,
        done_on=scene.on(done_day),
        answer=answer,
        kind=SessionKind.EASY if answer is Answer.EASY_VERSION else session.kind,
        mode=session.mode,
        minutes=minutes,
        effort=effort if is_done else None,
        talk=_talk(roll["talk"], is_hard=is_hard) if is_done else None,
        felt_all_out=False,
        posture=_posture(roll["posture"]) if is_done and is_hard else None,
        spoilt_by=None,
        why_not=None if is_done else why_not or _WHY_NOT[int(roll["why"] * len(_WHY_NOT))],
        note=None,
        origin=scene.origin(roll["why"]),
        entered_at=at,
        person_id=scene.entering_id,
        from_memory=at - scene.at(done_day, 24) > _NOT_REMEMBERED_AFTER,
        rounds=_rounds(scene, rounds, effort, roll["rounds"]) if is_done and is_hard else (),
        revision=1,
    )
    return _kept(scene, log)


def effort_of(roll: Mapping[str, float], *, is_hard: bool) -> float:
    """How hard it felt."""
    efforts = _HARD_EFFORTS if is_hard else _EASY_EFFORTS
    return efforts[int(roll["effort"] * len(efforts))]


def enter_extra(scene: Scene, *, day: int, at: datetime, mode: Mode = Mode.WALK) -> SessionLog:
    """An easy outing nobody planned."""
    log = SessionLog(
        id=scene.next_id("log"),
        client_id=scene.client_id,
        planned_session_id=None,
        done_on=scene.on(day),
        answer=Answer.SOMETHING_ELSE,
        kind=SessionKind.EASY,
        mode=mode,
        minutes=EXTRA_MIN,
        effort=EXTRA_EFFORT,
        talk=Talk.CHAT,
        felt_all_out=False,
        posture=None,
        why_not=None,
        spoilt_by=None,
        note=None,
        origin=scene.origin(scene.roll(day)["why"]),
        entered_at=at,
        person_id=scene.entering_id,
        from_memory=False,
        rounds=(),
        revision=1,
    )
    return _kept(scene, log)


def _kept(scene: Scene, log: SessionLog) -> SessionLog:
    scene.record.logs.append(log)
    scene.record.entries.append(log)
    return log


def _talk(roll: float, *, is_hard: bool) -> Talk:
    if is_hard:
        return Talk.FEW_WORDS
    return Talk.SING if roll < 0.15 else (Talk.SENTENCES if roll > 0.94 else Talk.CHAT)


def _posture(roll: float) -> Posture:
    return Posture.STOOD if roll < _STOOD else Posture.HANDS_ON_KNEES


def _rounds(scene: Scene, seconds: tuple[int, ...], effort: float, roll: float) -> tuple[RoundDone, ...]:
    """The rounds, the last one now and then not whole; the heart a little higher each time."""
    top = (
        round(hrmax_tanaka_2001(scene.person.age).value * c.ROUNDS_END_AT_OF_MAX)
        if scene.person.has_heart_rate
        else None
    )
    return tuple(
        RoundDone(
            number=number,
            duration_s=one,
            is_complete=number < len(seconds) or roll < _ALL_ROUNDS,
            power_w=None,
            speed_m_per_s=None,
            heart_rate_end_bpm=top - 5 + min(5, number) if top else None,
            cadence_per_min=None,
            effort=effort - 1 if number < len(seconds) else effort,
        )
        for number, one in enumerate(seconds, start=1)
    )


def note_morning(scene: Scene, day: int, *, illness: Illness, is_ill: bool) -> None:
    """How somebody is; an illness pauses training in the same step unless a pause as wide stands."""
    felt = scene.body.morning(is_ill=is_ill)
    has_phone = scene.person.has_phone
    at = scene.at(day, 6, round(scene.roll(day)["minute"] * 50)) if has_phone else scene.at(day, 9)
    note = ReadinessNote(
        id=scene.next_id("note"),
        client_id=scene.client_id,
        noted_on=scene.on(day),
        sleep=felt.sleep,
        fatigue=felt.fatigue,
        stress=felt.stress,
        soreness=felt.soreness,
        mood=felt.mood,
        slept_h=felt.slept_h,
        resting_heart_rate_bpm=felt.resting_bpm if scene.person.has_heart_rate else None,
        ln_rmssd=None,
        illness=illness,
        medicine_changed=False,
        not_right_today=illness is Illness.FEVER_OR_BELOW,
        text=None,
        origin=Origin.CLIENT if has_phone else Origin.TOLD_BY_PHONE,
        entered_at=at,
        person_id=scene.entering_id,
    )
    scene.record.notes.append(note)
    scene.record.entries.append(note)
    standing = {one.stops for one in scene.standing() if one.kind is HoldKind.ILLNESS}
    if illness is Illness.FEVER_OR_BELOW and Stops.ALL not in standing:
        raise_hold(scene, day, at, kind=HoldKind.ILLNESS, stops=Stops.ALL, cause=FEVER_CAUSE)
    elif illness is Illness.ABOVE_NECK and not standing:
        raise_hold(scene, day, at, kind=HoldKind.ILLNESS, stops=Stops.HARD, cause=ABOVE_NECK_CAUSE)


def report_trouble(scene: Scene, day: int, key: str) -> Hold:
    """Something felt wrong: the report and its hold."""
    sign, at = sign_of(key), scene.at(day, 21, 40)
    kind, stops, mode = hold_for(sign, scene.person.mode)
    hold = raise_hold(scene, day, at, kind=kind, stops=stops, cause=sign.words, mode=mode)
    report = SymptomReport(
        id=scene.next_id("symptom"),
        client_id=scene.client_id,
        sign=sign.key,
        family=sign.family,
        felt_on=scene.on(day),
        entered_at=at,
        text=None,
        mode=scene.person.mode,
        origin=scene.origin(0.0),
        person_id=scene.entering_id,
        hold_id=hold.id,
    )
    scene.record.symptoms.append(report)
    scene.record.entries.append(report)
    return hold


def raise_hold(
    scene: Scene, day: int, at: datetime, *, kind: HoldKind, stops: Stops, cause: str, mode: Mode | None = None
) -> Hold:
    """A pause begins."""
    hold = Hold(
        id=scene.next_id("hold"),
        client_id=scene.client_id,
        kind=kind,
        stops=stops,
        mode=mode,
        cause=cause,
        began_on=scene.on(day),
        raised_at=at,
        person_id=scene.entering_id,
        lifted_at=None,
        lifted_by=None,
        lifted_because=None,
        clearance_id=None,
    )
    scene.record.raise_hold(hold)
    return hold


def enter_loop(scene: Scene, day: int, found: tuple[int, int], *, at: datetime) -> None:
    """The seconds and beats of a day's standard loop, kept by the coach."""
    seconds, beats = found
    person = scene.person
    _keep_test(
        scene,
        FitnessTest(
            **_about(scene, day, at),
            protocol=Protocol.STANDARD_LOOP,
            mode=person.mode,
            distance_m=float(person.loop_m),
            duration_s=float(seconds),
            heart_rate_bpm=beats if person.has_heart_rate else None,
            talk=Talk.CHAT,
            conditions="same route, same hour",
            origin=Origin.CLIENT,
        ),
    )


def enter_walk(scene: Scene, day: int, metres: int, *, at: datetime) -> None:
    """The metres of a six-minute walk in the practice's corridor."""
    weight_kg, height_cm = _BODIES[scene.person.sex]
    _keep_test(
        scene,
        FitnessTest(
            **_about(scene, day, at),
            protocol=Protocol.SIX_MINUTE_WALK,
            mode=Mode.WALK,
            distance_m=float(metres),
            duration_s=360.0,
            heart_rate_bpm=None,
            talk=None,
            conditions="corridor of the practice, 30 m",
            origin=Origin.COACH,
            weight_kg=weight_kg,
            height_cm=height_cm,
        ),
    )


def _about(scene: Scene, day: int, at: datetime) -> dict[str, Any]:
    return {
        "id": scene.next_id("test"),
        "client_id": scene.client_id,
        "tested_on": scene.on(day),
        "value": None,
        "unit": None,
        "error": None,
        "entered_at": at,
        "person_id": scene.coach_id,
    }


def _keep_test(scene: Scene, test: FitnessTest) -> None:
    scene.record.tests.append(test)
    scene.record.entries.append(test)
