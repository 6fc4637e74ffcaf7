"""What the intake says at once to an answer, and what happens next. It names no disease but the client's answer.

The advice is a house choice after exercise-test stop lists; a clinician should review it for a practice.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from app.coaching.hold_rules import StoppedWork
from app.coaching.questions import DISEASE_QUESTIONS, SYMPTOM_QUESTIONS, Reply
from app.coaching.screening_decision import Screening
from app.coaching.screening_table import Outcome
from app.coaching.symptoms import emergency_text

SYMPTOMS = frozenset(one.key for one in SYMPTOM_QUESTIONS)
DISEASES = frozenset(one.key for one in DISEASE_QUESTIONS)
#: Signs that are a matter of minutes while they last.
EMERGENCY_SYMPTOMS = frozenset({"chest", "breath", "dizzy", "flat", "heartbeat"})

_THANK_YOU = "Thank you for saying so. Do not train until a doctor has heard of this and it is settled."
_COACH_MUST_HEAR = (
    "Your coach must hear it too, before you train: it stands in their next morning as soon as this answer is kept. "
    "Tell them yourself if you can."
)
IF_YOU_HAVE_IT_NOW = "If you have it now: stop what you are doing, rest, and do not be alone."
_ONE_LEG = "If only one leg is swollen, warm or sore, see a doctor today."
#: About half: 54 % of people from 40 up, before any exercise (Whitfield et al. 2017, published, read).
_DISEASE = (
    "Thank you. A doctor's word is often asked for before training begins; about half of the people over 40 need "
    "one. Your coach has a letter for your doctor ready."
)


@dataclass(frozen=True, slots=True)
class AtOnce:
    """What a yes or a not sure is answered with, before anything is sent."""

    sentences: tuple[str, ...]
    #: When to call, and whom; stands first where the sign is a matter of minutes.
    emergency: str | None = None
    is_symptom: bool = True


def said_at_once(key: str, emergency_number: str | None) -> AtOnce | None:
    """What a yes or not sure to a question asks for at once; None for questions that ask for nothing."""
    if key in DISEASES:
        return AtOnce((_DISEASE,), is_symptom=False)
    if key not in SYMPTOMS:
        return None
    said = (_THANK_YOU, _COACH_MUST_HEAR)
    if key in EMERGENCY_SYMPTOMS:
        return AtOnce(said, emergency_text(emergency_number))
    return AtOnce((_ONE_LEG, *said) if key == "ankles" else said)


@dataclass(frozen=True, slots=True)
class Receipt:
    """What is said once the answers were sent."""

    title: str
    lead: str
    #: The steps that follow, in order.
    steps: tuple[str, ...]
    #: What else something waits for, in the words the rest of the desk uses.
    because: tuple[str, ...]
    is_paused: bool
    #: The answers that ask for a doctor's word.
    you_said: tuple[str, ...] = ()


#: What a yes to a question says, after "you said that".
_SAID = {
    "chest": "you have had pain, pressure or tightness that could come from the heart",
    "breath": "you get short of breath at rest or with little effort",
    "dizzy": "you have felt dizzy, or fainted",
    "flat": "you get breathless lying flat, or wake at night short of breath",
    "ankles": "your ankles swell",
    "heartbeat": "you have felt your heart race, pound or skip",
    "calves": "your legs cramp when you walk, and stop hurting when you stand still",
    "murmur": "somebody told you of a heart murmur",
    "tired": "you are unusually tired or out of breath with everyday things",
    "heart": "a doctor has found a heart or blood vessel disease, or a stroke",
    "diabetes": "you have diabetes",
    "kidney": "you have a kidney disease",
}
WAITS_FOR_A_DOCTOR = (Outcome.HOLD, Outcome.STOP)
#: Said before anybody has read the answers: nothing is promised yet.
READ_FIRST = "Sent. Your coach reads it and tells you what comes first"
_TALK_FIRST = "Sent. Your coach talks with you first"
_TALK_STEP = "Your coach answers what you want to ask; training begins or goes on once you have agreed."
_COACH_READS = "Your coach reads your answers, usually the next morning."


def receipt(screening: Screening, stopped: StoppedWork, said: Mapping[str, object]) -> Receipt:
    """What happens next, from the screening decision, everything else that is stopped today, and single answers."""
    beside = _beside_the_screening(screening, stopped)
    if screening.light.outcome in WAITS_FOR_A_DOCTOR:
        return replace(_doctor_first(beside), you_said=you_said(said))
    if stopped.all_because:
        return _paused(beside)
    if screening.vigorous.outcome in WAITS_FOR_A_DOCTOR:
        return replace(_doctor_before_hard(beside), you_said=you_said(said))
    return _easy_now(beside) if stopped.hard_because else _go_on()


def with_questions_first(sent: Receipt) -> Receipt:
    """The same for somebody who has not agreed to being coached yet: the talk comes before training does."""
    if sent.is_paused:
        return sent
    return replace(sent, title=_TALK_FIRST, steps=(sent.steps[0], _TALK_STEP, *sent.steps[1:]))


def you_said(said: Mapping[str, object]) -> tuple[str, ...]:
    """The answers that ask for a doctor's word; not sure does so too."""
    named = [(said.get(key), words) for key, words in _SAID.items()]
    return (
        *(f"you said that {words}" for reply, words in named if reply == Reply.YES),
        *(f"you were not sure whether {words}" for reply, words in named if reply == Reply.NOT_SURE),
    )


def _beside_the_screening(screening: Screening, stopped: StoppedWork) -> StoppedWork:
    """What is stopped without the screening's own sentences: the receipt says those in plainer words."""
    own = (screening.light.comes_next, screening.vigorous.comes_next)
    return replace(
        stopped,
        all_because=tuple(words for words in stopped.all_because if not words.endswith(own)),
        hard_because=tuple(words for words in stopped.hard_because if not words.endswith(own)),
    )


def _doctor_first(stopped: StoppedWork) -> Receipt:
    return Receipt(
        "Sent. A doctor's word comes first",
        "Your plan is paused, not cancelled. That is usual: about half of the people over 40 need a doctor's word "
        "before they begin, and nothing is lost by waiting.",
        (
            _COACH_READS,
            "Your coach gives you a letter for your doctor. It says what you would like to do and what is asked.",
            "Take it to your doctor. The doctor decides; your coach cannot.",
            "When the answer is on paper, your coach looks at it with you and plans how you begin.",
        ),
        stopped.all_because,
        True,
    )


def _paused(stopped: StoppedWork) -> Receipt:
    return Receipt(
        "Sent. Training waits for now",
        "Your plan is paused, not cancelled. Here is what it waits for.",
        (_COACH_READS, "Your coach tells you what is needed to go on."),
        stopped.all_because,
        True,
    )


def _doctor_before_hard(stopped: StoppedWork) -> Receipt:
    return Receipt(
        READ_FIRST,
        "Before anything hard we need a doctor's word first; that part is paused, not cancelled. Whatever else there "
        "is stays easy.",
        (
            _COACH_READS,
            "Your coach gives you a letter for your doctor.",
            "The doctor decides about hard work; until then everything stays easy enough to chat.",
        ),
        stopped.hard_because,
        False,
    )


def _easy_now(stopped: StoppedWork) -> Receipt:
    return Receipt(
        READ_FIRST,
        "What comes first is easy. Hard work comes later, when the body is ready and you and your coach decide. "
        "This is no medical check; say so whenever something changes.",
        (_COACH_READS, "Your coach plans easy weeks with you. What is planned stands on Today."),
        stopped.hard_because,
        False,
    )


def _go_on() -> Receipt:
    return Receipt(
        "Sent. You can go on as planned",
        "Nothing in your answers asks for a pause. This is no medical check; say so whenever something changes.",
        (_COACH_READS, "Today shows what to do."),
        (),
        False,
    )
