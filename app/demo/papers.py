"""Screening, readings, papers and tests of the demo's clients through their year."""

from __future__ import annotations

import json
from datetime import date, timedelta

from app.coaching.effort import Talk
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.people import Mode, Origin, Sex
from app.coaching.questions import (
    ACTIVITY_QUESTION,
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    PREGNANCY_QUESTION,
    SYMPTOM_QUESTIONS,
    Reply,
    sums_from,
)
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.demo.diary import Diary
from app.storage import clients, fitness_tests, safety

#: The questions come round every eleven weeks, a reading every ten.
ASKED_EVERY_DAYS = 77
MEASURED_EVERY_DAYS = 70
LAST_READING_DAYS_AGO = 12
#: The six-minute walk is done twice within a week.
WALKED_AGAIN_AFTER = timedelta(days=3)
#: Weight in kg and height in cm of the invented walkers.
BODIES = {Sex.FEMALE: (66.0, 164.0), Sex.MALE: (80.0, 177.0)}
#: What was asked on the first day is not asked again within a fortnight.
FIRST_AGAIN_AFTER = timedelta(days=14)
#: After so many weeks of outings a client counts as active when asked again.
ACTIVE_AFTER_DAYS = 100


def papers_between(diary: Diary, after: date, until: date) -> None:
    """Questions and readings due after one day and up to another, oldest first."""
    for day in _days(diary, diary.day(-diary.part.asked_days_ago), ASKED_EVERY_DAYS):
        if after < day <= until:
            ask(diary, day)
    for day in _days(diary, diary.day(-LAST_READING_DAYS_AGO), MEASURED_EVERY_DAYS):
        if after < day <= until:
            measure(diary, day)


def _days(diary: Diary, last: date, every: int) -> list[date]:
    """From the first day to the last one, every so many days counted back from it."""
    found = [max(last, diary.joined_on)]
    while found[-1] - timedelta(days=every) > diary.joined_on + FIRST_AGAIN_AFTER:
        found.append(found[-1] - timedelta(days=every))
    late = [day for day in found if day > diary.joined_on + FIRST_AGAIN_AFTER]
    return sorted({diary.joined_on, *late})


def ask(diary: Diary, day: date) -> None:
    """The screening questions answered on a day, and the emergency contact confirmed with them."""
    part = diary.part
    is_active = part.is_regularly_active or (day - diary.joined_on).days > ACTIVE_AFTER_DAYS
    replies: dict[str, Reply] = {question.key: Reply.NO for question in SYMPTOM_QUESTIONS}
    replies |= {question.key: Reply.NO for question in DISEASE_QUESTIONS}
    if part.has_disease:
        replies[DISEASE_QUESTIONS[0 if part.medicines else 1].key] = Reply.YES
    replies[ACTIVITY_QUESTION.key] = Reply.YES if is_active else Reply.NO
    if part.sex is Sex.FEMALE:
        replies[PREGNANCY_QUESTION.key] = Reply.NO
    medicines = {group.key: Reply.YES if group.key in part.medicines else Reply.NO for group in MEDICINE_GROUPS}
    sums = sums_from(replies, medicines)
    safety.add_screening(
        diary.db,
        client_id=diary.client.id,
        answered_on=day,
        active=sums.active,
        disease=sums.disease,
        symptoms=sums.symptoms,
        pregnant=YesNo.NO if part.sex is Sex.FEMALE else YesNo.UNKNOWN,
        heart_rate_medicine=sums.heart_rate_medicine,
        details_json=json.dumps({**replies, "medicines": medicines}),
        origin=Origin.CLIENT if part.has_phone else Origin.FROM_PAPER,
        person_id=diary.entering,
        at=diary.at(day, 19),
    )
    confirm_contact(diary, day)


def confirm_contact(diary: Diary, day: date) -> None:
    """The emergency contact confirmed on a day."""
    found = clients.one(diary.db, client_id=diary.client.id)
    if found is not None:
        clients.change(diary.db, client_id=found.id, revision=found.revision, values={"emergency_confirmed_on": day})


def measure(diary: Diary, day: date) -> None:
    """A seated reading on a day."""
    high, low = diary.part.pressure
    safety.add_pressure(
        diary.db,
        client_id=diary.client.id,
        measured_on=day,
        systolic_mmhg=high + diary.rng.randint(-4, 4),
        diastolic_mmhg=low + diary.rng.randint(-3, 3),
        resting_heart_rate_bpm=None if diary.part.medicines else 62 + diary.rng.randint(-4, 4),
        origin=Origin.COACH,
        person_id=diary.coach.person_id,
        at=diary.at(day, 11),
    )


def request_clearance(diary: Diary, day: date) -> None:
    """A letter to the clinician went out."""
    _paper(diary, day, ClearanceState.REQUESTED, requested_on=day)


def file_clearance(diary: Diary, day: date) -> None:
    """A clinician's word for vigorous work, on paper, for a year."""
    _paper(diary, day, ClearanceState.GRANTED)


def _paper(diary: Diary, day: date, state: ClearanceState, requested_on: date | None = None) -> None:
    is_granted = state is ClearanceState.GRANTED
    safety.add_clearance(
        diary.db,
        client_id=diary.client.id,
        state=state,
        scope=Intensity.VIGOROUS if is_granted else None,
        requested_on=requested_on,
        given_on=day if is_granted else None,
        ends_on=None,
        signer="Dr. Tove Hallander" if is_granted else None,
        profession="general practitioner" if is_granted else None,
        how_seen="paper" if is_granted else None,
        limits=None,
        person_id=diary.coach.person_id,
        at=diary.at(day, 12),
    )


def walk_loop(diary: Diary, day: date) -> None:
    """The standard loop on a day: the beats come down over the year, the time a little."""
    loop = diary.part.loop
    if loop is None:
        return
    distance, seconds, beats = loop
    weeks = (day - diary.joined_on).days / 7
    gained = min(1.0, weeks / 40)
    is_measured = beats > 0 and diary.part.heart_rate_use.value == "reliable"
    _test(
        diary,
        day,
        Protocol.STANDARD_LOOP,
        diary.part.mode,
        distance_m=distance,
        duration_s=round(seconds * (1 - 0.04 * gained)) + diary.rng.randint(-15, 15),
        heart_rate_bpm=round(beats - diary.part.loop_gain_bpm * gained) + diary.rng.randint(-1, 1)
        if is_measured
        else None,
        talk=Talk.CHAT,
        conditions="dry, same hour as last time",
    )


def retest(diary: Diary, day: date) -> None:
    """The longer test after weeks of hard work, the same as at intake."""
    share = min(1.0, (day - diary.joined_on).days / 350)
    if diary.part.mode is Mode.RUN:
        seconds = round(1420 * (1 - 0.06 * share)) + diary.rng.randint(-6, 6)
        _test(diary, day, Protocol.FIVE_KM, Mode.RUN, distance_m=5000, duration_s=seconds, conditions="track, calm")
        return
    distance = round(610 * (1 + 0.09 * share)) + diary.rng.randint(-5, 5)
    _six_minutes(diary, day, distance)
    again_on = day + WALKED_AGAIN_AFTER
    if again_on < diary.today:
        _six_minutes(diary, again_on, distance + 6)


def _six_minutes(diary: Diary, day: date, distance_m: int) -> None:
    """Walked twice: the first try is practice, and the mean of two says more than one."""
    weight_kg, height_cm = BODIES[diary.part.sex]
    _test(
        diary,
        day,
        Protocol.SIX_MINUTE_WALK,
        Mode.WALK,
        distance_m=distance_m,
        duration_s=360,
        conditions="corridor of the practice, 30 m",
        weight_kg=weight_kg,
        height_cm=height_cm,
    )


def _test(
    diary: Diary,
    day: date,
    protocol: Protocol,
    mode: Mode,
    *,
    distance_m: float,
    duration_s: float,
    heart_rate_bpm: int | None = None,
    talk: Talk | None = None,
    conditions: str,
    weight_kg: float | None = None,
    height_cm: float | None = None,
) -> None:
    fitness_tests.add(
        diary.db,
        test=FitnessTest(
            id=0,
            client_id=diary.client.id,
            tested_on=day,
            protocol=protocol,
            mode=mode,
            distance_m=float(distance_m),
            duration_s=float(duration_s),
            heart_rate_bpm=heart_rate_bpm,
            talk=talk,
            value=None,
            unit=None,
            error=None,
            conditions=conditions,
            origin=Origin.COACH if protocol is Protocol.SIX_MINUTE_WALK else Origin.CLIENT,
            entered_at=diary.at(day, 18),
            person_id=diary.coach.person_id,
            weight_kg=weight_kg,
            height_cm=height_cm,
        ),
    )
