"""The screening questions in plain words, and the three sums made from the single answers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from functools import lru_cache

from app.coaching.people import Client, Sex, age_on
from app.coaching.screening import ScreeningAnswers, YesNo
from app.physiology.heart_rate_targets import HeartFact, heart_rate_worth

BEFORE_YOU_ANSWER = (
    "Your answers help your coach decide whether a doctor should see you before you train. "
    "They do not replace a medical check. Not sure is a good answer: it counts as yes until it is settled."
)


class Reply(StrEnum):
    """One answer. Not sure counts as yes until it is settled."""

    YES = "yes"
    NO = "no"
    NOT_SURE = "not_sure"


@dataclass(frozen=True, slots=True)
class Question:
    """One question with its key in the stored answers."""

    key: str
    text: str


#: Nine signs and symptoms (published, read in a guideline chapter), the words are ours.
SYMPTOM_QUESTIONS = (
    Question(
        "chest",
        "Have you had pain, pressure or tightness in the chest, neck, jaw or arms that could come from the heart?",
    ),
    Question("breath", "Do you get short of breath at rest or with little effort?"),
    Question("dizzy", "Have you felt dizzy, or fainted?"),
    Question("flat", "Do you get breathless lying flat, or wake at night short of breath?"),
    Question(
        "ankles",
        "Do your ankles swell, more towards the night? (If only one leg is swollen or warm, see a doctor today.)",
    ),
    Question("heartbeat", "Have you felt your heart race, pound or skip?"),
    Question("calves", "Do your legs cramp when you walk, and stop hurting a minute or two after you stand still?"),
    Question("murmur", "Has anyone told you that you have a heart murmur?"),
    Question("tired", "Are you unusually tired or out of breath with everyday things?"),
)

#: The key of the one disease whose sources disagree.
DIABETES = "diabetes"

DISEASE_QUESTIONS = (
    Question("heart", "Has a doctor ever found a heart or blood vessel disease, a stroke or a small stroke?"),
    Question(DIABETES, "Do you have diabetes, type 1 or type 2?"),
    Question("kidney", "Do you have a kidney disease?"),
)

#: Active as the algorithm means it: planned activity, moderate or more, 30 min, 3 days a week, 3 months.
ACTIVITY_QUESTION = Question(
    "active",
    "For the last three months, have you done planned exercise that made you breathe more, at least 30 minutes, "
    "on at least 3 days a week?",
)

PREGNANCY_QUESTION = Question("pregnant", "Are you pregnant, or did you give birth in the last months?")
#: Up to this age pregnancy is asked about each time; who is older may still say it (house choice).
PREGNANCY_ASKED_UP_TO_YEARS = 55

NEWS_QUESTION = Question(
    "news",
    "Since you were last asked: a new diagnosis, a new heart or blood pressure medicine, or a stay in hospital?",
)


@dataclass(frozen=True, slots=True)
class MedicineGroup:
    """Medicines or devices asked about together, with what the desk does about them.

    `facts` is what a yes says about the heart; what that makes of heart rate is heart_rate_worth's to say.
    """

    key: str
    text: str
    effect: str
    #: What a client is asked, in everyday words, and how to know it: active substances, never a brand.
    asked: str
    examples: str
    facts: tuple[HeartFact, ...] = ()
    has_low_sugar_risk: bool = False
    raises_fall_harm: bool = False

    @property
    def uncouples_heart_rate(self) -> bool:
        """Whether heart rate may no longer steer."""
        return not heart_rate_worth(self.facts).may_steer


#: Provenance of the effects and of the examples: from memory, unchecked, unless the text of a group says otherwise.
MEDICINE_GROUPS = (
    MedicineGroup(
        "beta_blocker",
        "Beta-blockers, tablets or eye drops for glaucoma",
        "Heart rate stays lower; steer by talk and effort.",
        facts=(HeartFact.BETA_BLOCKER_TABLETS, HeartFact.BETA_BLOCKER_EYE_DROPS),
        asked="Tablets that calm the heart (beta-blockers), or eye drops for glaucoma, high pressure in the eye",
        examples="The active substance often ends in “-olol”: bisoprolol, metoprolol; in eye drops timolol.",
    ),
    MedicineGroup(
        "rhythm",
        "Other medicines that slow the heart or steady its rhythm (verapamil, diltiazem, ivabradine, digoxin, "
        "amiodarone, sotalol)",
        "Heart rate stays lower or flat; steer by talk and effort.",
        facts=(HeartFact.OTHER_SLOWING_MEDICINE,),
        asked="Other tablets that slow the heart or keep its beat steady",
        examples="Verapamil, diltiazem, ivabradine, digoxin, amiodarone or sotalol.",
    ),
    MedicineGroup(
        "device_or_rhythm",
        "A pacemaker or defibrillator, atrial fibrillation, or a transplanted heart",
        "Heart rate does not follow effort; with a defibrillator a clinician sets an upper rate.",
        facts=(
            HeartFact.PACEMAKER,
            HeartFact.DEFIBRILLATOR,
            HeartFact.ATRIAL_FIBRILLATION,
            HeartFact.TRANSPLANTED_HEART,
        ),
        asked="A pacemaker or defibrillator, a heartbeat out of step (atrial fibrillation), or a transplanted heart",
        examples="Your doctor's letter or the card of the device names it.",
    ),
    MedicineGroup(
        "raises",
        "Thyroid hormone, stimulants, decongestants, inhalers that open the airways, some antidepressants",
        "Heart rate may be higher than effort; treat it as uncertain.",
        facts=(HeartFact.RAISING_MEDICINE,),
        asked="Medicines that can make the heart beat faster",
        examples="Thyroid tablets (levothyroxine), inhalers that open the airways (salbutamol), tablets for a "
        "blocked nose (pseudoephedrine), medicines for attention (methylphenidate), some tablets for low mood.",
    ),
    MedicineGroup(
        "insulin",
        "Insulin, or tablets that make the body release insulin (sulfonylureas, glinides)",
        "Low sugar is possible during exercise and up to a day after. Doses are for the doctor, never the coach.",
        has_low_sugar_risk=True,
        asked="Insulin, or sugar tablets that make the body release insulin",
        examples="Glimepiride, glibenclamide, gliclazide or repaglinide.",
    ),
    MedicineGroup(
        "sglt2",
        "Tablets that pass sugar into the urine (SGLT2 inhibitors)",
        "No hard work unwell or fasting.",
        asked="Tablets that pass sugar into the urine, for sugar, heart or kidneys",
        examples="The active substance ends in “-gliflozin”: empagliflozin, dapagliflozin.",
    ),
    MedicineGroup(
        "pressure",
        "Water tablets or other pressure tablets (ACE inhibitors, sartans)",
        "Heat rule; longer cool-down.",
        asked="Tablets for high blood pressure, or water tablets",
        examples="For example ramipril, lisinopril, candesartan, valsartan, hydrochlorothiazide, torasemide.",
    ),
    MedicineGroup(
        "nitrates",
        "Nitrates or alpha-blockers",
        "Pressure may drop on stopping: longer cool-down.",
        asked="A spray or tablets for a tight chest (nitrates), or tablets for the prostate (alpha-blockers)",
        examples="Glyceryl trinitrate, isosorbide; tamsulosin, doxazosin.",
    ),
    MedicineGroup(
        "blood_thinner",
        "Blood thinners",
        "A fall can bleed: choose indoors or ways with little risk of falling; any fall is for a clinician.",
        raises_fall_harm=True,
        asked="Blood thinners, so that no clots form",
        examples="Apixaban, rivaroxaban, dabigatran, warfarin, phenprocoumon, clopidogrel.",
    ),
    MedicineGroup(
        "statin",
        "Statins",
        "Muscle pain: ask about the tablet before blaming the training.",
        asked="Tablets that lower cholesterol (statins)",
        examples="The active substance ends in “-statin”: simvastatin, atorvastatin.",
    ),
    MedicineGroup(
        "tendon",
        "Certain antibiotics (fluoroquinolones) or a long course of cortisone",
        "Tendons are at risk: no intervals during it and for weeks after.",
        asked="Certain antibiotics in the last weeks, or cortisone for a long time",
        examples="Antibiotics whose active substance ends in “-floxacin”: ciprofloxacin, levofloxacin. Cortisone as "
        "tablets: prednisolone.",
    ),
)


@dataclass(frozen=True, slots=True)
class Sums:
    """The three sums the decision looks at, and whether heart rate is uncoupled from effort."""

    active: YesNo
    disease: YesNo
    symptoms: YesNo
    heart_rate_medicine: YesNo


def sums_from(replies: Mapping[str, Reply], medicines: Mapping[str, Reply] | None = None) -> Sums:
    """The sums of single answers: one yes (or not sure) is yes, no needs every answer, a gap is unknown.

    replies: by question key. medicines: by group key; None when not asked.
    """
    uncoupling = [group.key for group in MEDICINE_GROUPS if group.uncouples_heart_rate]
    return Sums(
        active=_activity(replies.get(ACTIVITY_QUESTION.key)),
        disease=_any_of(replies, (question.key for question in DISEASE_QUESTIONS)),
        symptoms=_any_of(replies, (question.key for question in SYMPTOM_QUESTIONS)),
        heart_rate_medicine=_any_of(medicines or {}, uncoupling),
    )


def details_of(answers: ScreeningAnswers | None) -> dict[str, object]:
    """The single answers by question, as kept; empty when they were not kept or cannot be read."""
    return _details_in(answers.details_json or "{}") if answers else {}


def _details_in(details_json: str) -> dict[str, object]:
    try:
        details = json.loads(details_json)
    except ValueError:
        return {}
    return details if isinstance(details, dict) else {}


def medicines_of(answers: ScreeningAnswers | None) -> dict[str, object]:
    """The answers about medicines by group, as kept."""
    return _medicines_in(details_of(answers))


def _medicines_in(details: Mapping[str, object]) -> dict[str, object]:
    medicines = details.get("medicines")
    return medicines if isinstance(medicines, dict) else {}


def named_medicines(answers: ScreeningAnswers | None) -> frozenset[str]:
    """The groups of medicines answered with yes, or with not sure, which counts as yes."""
    return _named_in(answers.details_json) if answers and answers.details_json else frozenset()


@lru_cache(maxsize=4096)
def _named_in(details_json: str) -> frozenset[str]:
    """The groups that kept answers name; rules ask about the same few answers again and again."""
    affirmed = (Reply.YES.value, Reply.NOT_SURE.value)
    return frozenset(group for group, reply in _medicines_in(_details_in(details_json)).items() if reply in affirmed)


def is_diabetes_alone(answers: ScreeningAnswers) -> bool:
    """Whether the single answers name diabetes and no other disease, and no medicine or rhythm of the heart.

    Source: [colberg2017] an asymptomatic sedentary person with diabetes may begin low to moderate activity; that a
    heart medicine or rhythm counts as high risk, which asks for a check-up first, is a house choice.
    """
    details = details_of(answers)
    if answers.heart_rate_medicine is not YesNo.NO:
        return False
    others = [question.key for question in DISEASE_QUESTIONS if question.key != DIABETES]
    is_named = details.get(DIABETES) in (Reply.YES.value, Reply.NOT_SURE.value)
    return is_named and all(details.get(key) == Reply.NO.value for key in others)


def _any_of(replies: Mapping[str, Reply], keys: Iterable[str]) -> YesNo:
    given = [replies.get(key) for key in keys]
    if any(reply in (Reply.YES, Reply.NOT_SURE) for reply in given):
        return YesNo.YES
    return YesNo.UNKNOWN if None in given else YesNo.NO


def _activity(reply: Reply | None) -> YesNo:
    """Here the careful answer is the other way round: not sure is unknown, which counts as not active."""
    if reply is None or reply is Reply.NOT_SURE:
        return YesNo.UNKNOWN
    return YesNo(reply.value)


def asks_pregnancy(client: Client, past: Sequence[ScreeningAnswers], today: date) -> bool:
    """Whether pregnancy is asked about: never of men; past an age only while an answer that says pregnant stands.

    An unknown age counts as young. Source: house choice.
    """
    if client.sex is Sex.MALE:
        return False
    age = age_on(client.born_on, today)
    said = [one.pregnant for one in sorted(past, key=lambda one: (one.answered_on, one.id))]
    last = [one for one in said if one is not YesNo.UNKNOWN][-1:]
    return age is None or age <= PREGNANCY_ASKED_UP_TO_YEARS or last == [YesNo.YES]


def asked_of(client: Client, past: Sequence[ScreeningAnswers], today: date) -> tuple[Question, ...]:
    """The questions one client is asked: pregnancy where it can apply, no news at the first time."""
    later = (NEWS_QUESTION,) if past else ()
    pregnancy = (PREGNANCY_QUESTION,) if asks_pregnancy(client, past, today) else ()
    return (*SYMPTOM_QUESTIONS, ACTIVITY_QUESTION, *DISEASE_QUESTIONS, *later, *pregnancy)


def may_be_said(client: Client, past: Sequence[ScreeningAnswers], today: date) -> tuple[Question, ...]:
    """Questions that are not asked of a client and may be answered all the same."""
    is_left_out = client.sex is not Sex.MALE and not asks_pregnancy(client, past, today)
    return (PREGNANCY_QUESTION,) if is_left_out else ()
