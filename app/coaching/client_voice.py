"""What is paused and why, told to the client: plain words, who ends the pause, and what there is to do."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date

from app.coaching.consents import TAKEN_BACK
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork, Voice, stops_everything
from app.coaching.holds import ComputedStop, Family, Hold, HoldKind, Stops
from app.coaching.illness_return import is_cold
from app.coaching.intake_words import you_said
from app.coaching.promotion_practice import base_weeks_for
from app.coaching.return_steps import COLD_AT_MOST
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.screening_decision import Decision, Outcome, Stopped, newest_answers, newly_named_diseases
from app.coaching.signals_safety import MODE_NAMES
from app.coaching.unsent_answers import UnsentAnswer, named_diseases, named_unsent
from app.coaching.weeks import day_words

#: How a pause ends, as the client reads it.
ENDS = {
    HoldKind.SYMPTOM: (
        "It ends when a doctor has seen you and says in writing, after that day, that you may train. "
        "Your coach cannot end it."
    ),
    HoldKind.CLEARANCE: "It ends when your coach has the doctor's paper.",
    HoldKind.ILLNESS: (
        "Tell your coach when you are well. Easy work comes after three days well, hard work after seven."
    ),
    HoldKind.INJURY: "It ends when you have spoken with your coach and an easy outing went without pain.",
    HoldKind.STOPPED_EARLY: "It ends when you have spoken with your coach.",
    HoldKind.MEDICINE_CHANGE: (
        "It ends when your coach has looked at it: the medicine can change what your heart rate says. Ask whoever "
        "prescribed it whether your training should change, and tell your coach."
    ),
    HoldKind.PREGNANCY: "It ends when your midwife or doctor agrees in writing.",
    HoldKind.HEAT: "It ends when the heat is over and your coach says so.",
    HoldKind.COACH: "It ends when your coach says so; ask them what it waits for.",
}
#: Where nothing easy is allowed meanwhile, the outing it ends with is the coach's to allow.
_INJURY_ALL_ENDS = (
    "It ends when you have spoken with your coach and an easy outing went without pain; your coach allows that "
    "outing first, and until then there is none."
)
_TAKEN_BACK_ENDS = (
    "You may agree again under My way at any time, and need not; then your coach speaks with you before hard work "
    "goes on."
)
_COLD_ENDS = f"{COLD_AT_MOST} Tell your coach when you are well: hard work comes after seven days well."
_AFTER_FEVER_ENDS = "Easy work is back. Tell your coach how you are: hard work comes after seven days well."
#: Where a cause alone would not say what happened.
_BEFORE_CAUSE = {
    HoldKind.SYMPTOM: "you reported ",
    HoldKind.CLEARANCE: "a doctor's paper is missing, ",
    HoldKind.INJURY: "you reported ",
    HoldKind.STOPPED_EARLY: "you stopped early, ",
}
_DOCTOR_FIRST = (
    "your health answers ask for a doctor's word first. Training begins when your coach has it in writing; "
    "your coach has a letter to take along."
)
_DOCTOR_TOO = "your health answers ask for a doctor's word too; one visit can settle both."
_AFTER_A_SYMPTOM = (
    "you named a sign that a doctor should look at. Training goes on when a doctor has seen you and says so in "
    "writing, after the day you named it. Your coach cannot clear this."
)
_NAMED_NOT_SENT = (
    "A doctor should hear of that. It counts already, before all answers are sent: do not train until a doctor has "
    "heard of it and says so in writing. Your coach cannot clear this."
)
_DISEASE_NOT_SENT = (
    "A doctor is asked about that first. It counts already, before all answers are sent: training begins when your "
    "coach has a doctor's word in writing; your coach has a letter to take along."
)
_REFUSED = "a doctor has said no to training for now. Speak with your coach and your doctor."
_HARD_WAITS_FOR_PAPER = (
    "hard work waits for a doctor's paper that allows it; easy work goes on. Your coach has a letter for you."
)
_HARD_WAITS_FOR_ANSWERS = "hard work waits until your health questions are answered; easy work goes on."
_PLEASE_ANSWER = "Please answer the health questions. You find them under My way."
#: Rows of the screening table.
_SYMPTOM_ROWS = (5, 6, 11, 12)
_DISEASE_ROWS = (3, 4)
_REFUSED_ROW = 16


def client_voice(history: History, today: date, rules: Rules) -> Voice:
    """The client's voice for the records of one client on a day."""
    return Voice(hold_words, _screening_words(history, today, rules), stop_words)


def stop_words(stop: ComputedStop) -> str:
    """What the records stop by themselves, and why."""
    return stop.to_client or stop.sentence


def waiting_words(history: History, today: date, rules: Rules) -> str:
    """How many easy weeks come before hard work for this client, and that nothing follows by itself."""
    weeks = max(rules.transition_weeks, base_weeks_for(history.client, today, rules))
    return (
        f"easy work only for now. Hard work comes after {weeks} weeks of easy outings at the earliest, and only when "
        "your coach and you decide."
    )


def hold_words(hold: Hold) -> str:
    """Why a hold is there and how it ends."""
    cause = hold.cause.strip().rstrip(".")
    since = f" ({day_words(hold.began_on)})" if hold.kind in (HoldKind.SYMPTOM, HoldKind.INJURY) else ""
    before = _BEFORE_CAUSE.get(hold.kind)
    said = f"{before}{_lower(cause)}" if before else _lower(cause)
    return f"{said}{since}. {_ends(hold)}"


def _ends(hold: Hold) -> str:
    """How a hold ends; an illness that stops hard work only leaves easy work now, short with a cold."""
    if hold.kind is HoldKind.ILLNESS and hold.stops is Stops.HARD:
        return _COLD_ENDS if is_cold(hold) else _AFTER_FEVER_ENDS
    if hold.kind is HoldKind.COACH and hold.cause == TAKEN_BACK:
        return _TAKEN_BACK_ENDS
    if hold.kind is HoldKind.INJURY and stops_everything(hold):
        return _INJURY_ALL_ENDS
    return ENDS[hold.kind]


def hold_line(hold: Hold) -> str:
    """What a hold pauses, why, and how it ends."""
    return f"{_paused(hold)}: {hold_words(hold)}"


def holds_told(holds: Sequence[Hold]) -> tuple[Hold, ...]:
    """The holds a client is told of: not the lesser pause of an illness beside one that stops everything."""
    is_all = any(one.kind is HoldKind.ILLNESS and stops_everything(one) for one in holds)
    return tuple(one for one in holds if one.kind is not HoldKind.ILLNESS or stops_everything(one) or not is_all)


def waits_only_for_answers(history: History, stopped: StoppedWork) -> bool:
    """Whether all that stands in the way is questions nobody has asked yet: nothing happened, nothing is wrong."""
    named = named_unsent(history.unsent) or named_diseases(history.unsent)
    nothing_known = not (history.symptoms or history.open_holds or history.clearances or named)
    return newest_answers(history) is None and nothing_known and len(stopped.all_because) == 1


def asking_words(history: History, stopped: StoppedWork) -> str:
    """The note that asks a client for the answers, with what may be trained until they are given."""
    if not stopped.all_because:
        return f"{_PLEASE_ANSWER} Until then the easy plan stands, and hard work waits."
    if waits_only_for_answers(history, stopped):
        return f"{_PLEASE_ANSWER} Training begins once they are answered; it takes five minutes."
    return f"{_PLEASE_ANSWER} What is paused stays paused until your coach tells you."


def has_named_a_symptom(history: History) -> bool:
    """Whether a sign for a clinician stands unsettled: an open hold for one, or a yes among the newest answers."""
    answers = newest_answers(history)
    said_yes = answers is not None and answers.symptoms is YesNo.YES
    reported = any(one.family is Family.A for one in history.symptoms) and answers is None
    is_named = bool(named_unsent(history.unsent))
    return is_named or said_yes or reported or any(one.kind is HoldKind.SYMPTOM for one in history.open_holds)


def _screening_words(history: History, today: date, rules: Rules) -> Callable[[Decision], str]:
    def words(decision: Decision) -> str:
        if decision.outcome is Outcome.DEFER:
            return waiting_words(history, today, rules)
        if decision.branch in _SYMPTOM_ROWS:
            # An open hold for a sign says the same, with the sign and its day.
            reported = [hold for hold in history.open_holds if hold.kind is HoldKind.SYMPTOM]
            if reported:
                return hold_words(reported[-1])
            named = named_unsent(history.unsent)
            return f"{_said(named)} {_NAMED_NOT_SENT}" if named else _AFTER_A_SYMPTOM
        if decision.branch == _REFUSED_ROW:
            return _REFUSED
        diseases = newly_named_diseases(history) if decision.branch in _DISEASE_ROWS else ()
        if diseases:
            return f"{_said(diseases)} {_DISEASE_NOT_SENT}"
        stops_all = decision.stops is Stopped.ALL
        if decision.missing:
            return _unanswered(history) if stops_all else _HARD_WAITS_FOR_ANSWERS
        return _doctors_word(history) if stops_all else _HARD_WAITS_FOR_PAPER

    return words


def _said(named: Sequence[UnsentAnswer]) -> str:
    """What was answered, as the page after sending says it: a not sure is no disease and no sign that was named."""
    return f"{'; '.join(you_said({one.question: one.reply for one in named}))}."


def _doctors_word(history: History) -> str:
    """That a doctor is asked first, said once: an open pause for a paper says the same, one for a sign most of it."""
    kinds = {hold.kind: hold for hold in history.open_holds}
    if HoldKind.CLEARANCE in kinds:
        return hold_words(kinds[HoldKind.CLEARANCE])
    return _DOCTOR_TOO if HoldKind.SYMPTOM in kinds else _DOCTOR_FIRST


def _unanswered(history: History) -> str:
    none_or_some = (
        "your health questions are" if newest_answers(history) is None else "some of your health questions are"
    )
    return f"{none_or_some} not answered yet. Training begins once they are; it takes five minutes."


def _paused(hold: Hold) -> str:
    if stops_everything(hold):
        return "All training is paused"
    mode = hold.mode if hold.stops is Stops.MODE_AND_HARD else None
    return "Hard work is paused" if mode is None else f"{MODE_NAMES[mode]} and all hard work are paused"


def _lower(words: str) -> str:
    """The first letter small, unless the word is all capitals."""
    return words if words[1:2].isupper() else words[:1].lower() + words[1:]
