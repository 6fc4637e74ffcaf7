"""What the coach keeps on file about safety: questions, readings, consents and a clinician's papers."""

from __future__ import annotations

import json
from datetime import timedelta

from app.coaching.consents import CONSENT_TEXTS, current_consent
from app.coaching.people import Origin, Sex
from app.coaching.questions import (
    ACTIVITY_QUESTION,
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    PREGNANCY_QUESTION,
    SYMPTOM_QUESTIONS,
    Reply,
    sums_from,
)
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
from app.simulation.world import constants as c
from app.simulation.world.record import Agreed, Asked
from app.simulation.world.scene import Scene

#: After so many days of outings a client counts as active when asked again.
ACTIVE_AFTER_DAYS = 100
#: The disease of those who have one, out of the questions.
_DISEASE = DISEASE_QUESTIONS[0].key
FOR_COACHING = (ConsentKind.COACHING, ConsentKind.HEALTH_DATA)
FOR_HARD_WORK = (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)


def see_to_papers(scene: Scene, day: int) -> None:
    """What is due on a day: the questions, a reading, the clinician's paper anew."""
    record, on = scene.record, scene.on(day)
    if not record.screening or (on - record.screening[-1].answered_on).days >= c.ASKED_EVERY_DAYS:
        ask(scene, day)
    if not record.pressures or (on - record.pressures[-1].measured_on).days >= c.MEASURED_EVERY_DAYS:
        measure(scene, day)
    papers = [one.given_on for one in record.clearances if one.given_on is not None]
    is_due = not papers or (on - max(papers)).days >= c.PAPER_EVERY_DAYS
    if scene.person.has_disease and is_due:
        file_paper(scene, day)


def prepare_for_hard_work(scene: Scene, day: int) -> None:
    """Questions, a reading and the two consents of the day a step towards hard work is looked at."""
    ask(scene, day)
    measure(scene, day)
    agree(scene, day, *FOR_HARD_WORK)


def ask(scene: Scene, day: int) -> None:
    """The screening questions answered, and the emergency contact confirmed with them."""
    person, on = scene.person, scene.on(day)
    is_active = person.is_active or day - scene.joined > ACTIVE_AFTER_DAYS
    replies: dict[str, Reply] = {one.key: Reply.NO for one in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS)}
    if person.has_disease:
        replies[_DISEASE] = Reply.YES
    replies[ACTIVITY_QUESTION.key] = Reply.YES if is_active else Reply.NO
    if person.sex is Sex.FEMALE:
        replies[PREGNANCY_QUESTION.key] = Reply.NO
    medicines = {group.key: Reply.NO for group in MEDICINE_GROUPS}
    sums = sums_from(replies, medicines)
    answers = ScreeningAnswers(
        id=scene.next_id("screening"),
        client_id=scene.client_id,
        answered_on=on,
        active=sums.active,
        disease=sums.disease,
        symptoms=sums.symptoms,
        pregnant=YesNo.NO if person.sex is Sex.FEMALE else YesNo.UNKNOWN,
        heart_rate_medicine=sums.heart_rate_medicine,
        details_json=json.dumps({**replies, "medicines": medicines}),
        origin=Origin.CLIENT if person.has_phone else Origin.FROM_PAPER,
        entered_at=scene.at(day, 11),
        person_id=scene.entering_id,
    )
    scene.record.screening.append(answers)
    scene.record.entries.append(Asked(answers))
    scene.record.change_client(emergency_confirmed_on=on)


def measure(scene: Scene, day: int) -> None:
    """A seated reading, a few mmHg up or down."""
    roll = scene.roll(day)["paper"]
    high, low = scene.person.pressure
    reading = BloodPressure(
        id=scene.next_id("pressure"),
        client_id=scene.client_id,
        measured_on=scene.on(day),
        systolic_mmhg=high + round(10 * roll) - 5,
        diastolic_mmhg=low + round(6 * roll) - 3,
        resting_heart_rate_bpm=scene.person.resting_bpm + round(4 * roll) - 2,
        origin=Origin.COACH,
        entered_at=scene.at(day, 11, 15),
        person_id=scene.coach_id,
    )
    scene.record.pressures.append(reading)
    scene.record.entries.append(reading)


def agree(scene: Scene, day: int, *kinds: ConsentKind) -> None:
    """Consents on paper to the texts as they stand, where there is none in force."""
    for kind in kinds:
        if current_consent(scene.record.consents, kind) is not None:
            continue
        text = CONSENT_TEXTS[kind]
        consent = Consent(
            id=scene.next_id("consent"),
            client_id=scene.client_id,
            kind=kind,
            text_version=text.version,
            text_sha256=text.sha256,
            given_on=scene.on(day),
            method=Origin.FROM_PAPER,
            withdrawn_on=None,
            language=text.language,
            recorded_at=scene.at(day, 11, 20),
            witness=None,
            withdrawn_at=None,
        )
        scene.record.consents.append(consent)
        scene.record.entries.append(Agreed(consent, scene.coach_id, scene.at(day, 11, 20)))


def file_paper(scene: Scene, day: int) -> Clearance:
    """A clinician's word for vigorous work, seen on paper on its day."""
    on = scene.on(day)
    paper = Clearance(
        id=scene.next_id("clearance"),
        client_id=scene.client_id,
        state=ClearanceState.GRANTED,
        scope=Intensity.VIGOROUS,
        requested_on=None,
        given_on=on,
        ends_on=on + timedelta(days=scene.rules.clearance_days),
        signer="Dr. Ellin Marbeck",
        profession="general practitioner",
        how_seen="paper",
        limits=None,
        recorded_at=scene.at(day, 11, 30),
        person_id=scene.coach_id,
    )
    scene.record.clearances.append(paper)
    scene.record.entries.append(paper)
    return paper
