"""The screening decision for one client's records: newest answers, newest paper, symptoms, and the transition."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta
from operator import attrgetter

from app.coaching.clearance_papers import paper_day, paper_faults, paper_order
from app.coaching.facts import Facts, facts_of
from app.coaching.gap_rules import GAP_DAYS, Gap, last_gap
from app.coaching.history import History
from app.coaching.holds import Family, HoldKind, SymptomReport
from app.coaching.last_asked import kept_for_last
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import SessionKind
from app.coaching.questions import DIABETES, details_of, is_diabetes_alone
from app.coaching.rules import Rules
from app.coaching.screening import Clearance, ClearanceState, Intensity, ScreeningAnswers, YesNo
from app.coaching.screening_table import (
    BY_DIABETES_ALTERNATIVE,
    CARD,
    SOURCE,
    STOPPED_WORDS,
    ClearanceFacts,
    Decision,
    Outcome,
    ScreeningInputs,
    Standing,
    Stopped,
    clearance_facts,
    covers,
    screen,
)
from app.coaching.told_off_stop import told_gap
from app.coaching.unsent_answers import AFFIRMED, UnsentAnswer, named_days, named_diseases, named_unsent
from app.coaching.weeks import day_words

__all__ = [
    "CARD",
    "SOURCE",
    "STOPPED_WORDS",
    "ClearanceFacts",
    "Decision",
    "Outcome",
    "Screening",
    "ScreeningInputs",
    "Standing",
    "Stopped",
    "asked_after_symptom",
    "covers",
    "decide",
    "denies_signs_and_disease",
    "diabetes_alternative_applies",
    "inputs_from",
    "is_news_since",
    "known_disease",
    "newest_answers",
    "newest_paper",
    "newly_named_diseases",
    "screen",
    "screening_due",
    "screening_of",
    "waits_by_stricter_diabetes_rule",
]

OUTCOME_WORDS = {
    Outcome.OK: "the screening table has no objection",
    Outcome.DEFER: "later, after a gradual build-up",
    Outcome.HOLD: "waits for something first",
    Outcome.STOP: "stops until a clinician has cleared it",
}
#: So many days before a test the questions are asked, so that there is time for what they bring up (house choice).
TEST_ASKED_DAYS = 7
_WAITING_FOR_QUESTIONS = "Waiting for questions: easy work goes on, hard work waits until they are answered."


@dataclass(frozen=True, slots=True)
class Screening:
    """Both wishes decided on one day."""

    light: Decision
    vigorous: Decision


@kept_for_last
def screening_of(history: History, today: date, rules: Rules) -> Screening:
    """What the client may do today, for both wishes."""
    known = facts_of(history, today, rules)
    return Screening(
        decide(history, Intensity.LIGHT_MODERATE, today, rules, facts=known),
        decide(history, Intensity.VIGOROUS, today, rules, facts=known),
    )


def decide(history: History, wanted: Intensity, today: date, rules: Rules, *, facts: Facts | None = None) -> Decision:
    """The table applied to a client's records.

    Someone taken over from elsewhere and not yet asked keeps the easy plan; hard work waits for the questions.
    Source: Riebe et al. 2015 (published, second-hand); the reading of records is a house choice.
    """
    inputs = inputs_from(history, wanted, today, rules, facts=facts)
    nothing_said = newest_answers(history) is None and inputs.symptoms is inputs.disease is YesNo.UNKNOWN
    if nothing_said and is_taken_over(history):
        is_refused = inputs.clearance.standing is Standing.REFUSED
        return screen(inputs) if is_refused else _waiting_for_questions(wanted)
    return screen(inputs)


def inputs_from(
    history: History, wanted: Intensity, today: date, rules: Rules, *, facts: Facts | None = None
) -> ScreeningInputs:
    """What the table looks at, picked from the records."""
    answers = newest_answers(history)
    symptom_on = _unsettled_symptom_on(history, today)
    return ScreeningInputs(
        active=answers.active if answers else YesNo.UNKNOWN,
        symptoms=YesNo.YES if symptom_on else (answers.symptoms if answers else YesNo.UNKNOWN),
        disease=known_disease(history),
        wanted=wanted,
        clearance=_paper_facts(history, symptom_on, today, rules),
        diabetes_alone_may_begin=bool(rules.diabetes_alternative) and _is_diabetes_alone(history),
        transition_done=(facts or facts_of(history, today, rules)).transition.is_done,
    )


def diabetes_alternative_applies(history: History, today: date, rules: Rules) -> bool:
    """Whether this client may begin light work by the practice's diabetes choice alone, not by a paper."""
    return decide(history, Intensity.LIGHT_MODERATE, today, rules).comes_next == BY_DIABETES_ALTERNATIVE


def waits_by_stricter_diabetes_rule(history: History, today: date, rules: Rules) -> bool:
    """Whether the other published reading would let this client begin, and the practice did not choose it."""
    if rules.diabetes_alternative:
        return False
    return diabetes_alternative_applies(history, today, replace(rules, diabetes_alternative=1))


def _is_diabetes_alone(history: History) -> bool:
    answers = newest_answers(history)
    named = {one.question for one in named_diseases(history.unsent)}
    return answers is not None and is_diabetes_alone(answers) and named <= {DIABETES}


def known_disease(history: History) -> YesNo:
    """Whether a disease is known: as last sent, and yes as soon as one is named in answers not sent yet."""
    if named_diseases(history.unsent):
        return YesNo.YES
    answers = newest_answers(history)
    return answers.disease if answers else YesNo.UNKNOWN


def denies_signs_and_disease(history: History) -> bool:
    """Whether the answers say no to every sign and disease, and none was named since in answers not sent."""
    answers = newest_answers(history)
    says_no = answers is not None and answers.symptoms is YesNo.NO
    return says_no and known_disease(history) is YesNo.NO and not named_unsent(history.unsent)


def newly_named_diseases(history: History) -> tuple[UnsentAnswer, ...]:
    """Diseases named in answers not sent yet that the answers sent last did not name."""
    said = details_of(newest_answers(history))
    return tuple(one for one in named_diseases(history.unsent) if said.get(one.question) not in AFFIRMED)


def newest_answers(history: History) -> ScreeningAnswers | None:
    """The last filled-in set of questions."""
    return max(history.screening, key=attrgetter("answered_on", "id"), default=None)


def newest_paper(history: History, today: date) -> Clearance | None:
    """The last answer of a clinician that counts; None when there was none.

    The last word counts: a narrower paper or a refusal replaces an earlier, wider one. A grant that is not sound
    (not signed, told by telephone) does not count.
    """
    counted = [one for one in history.clearances if _counts(one, today)]
    return max(counted, key=paper_order, default=None)


def screening_due(history: History, today: date, rules: Rules) -> str | None:
    """Why the questions are due, or are about to be for a test; None while the answers are fresh.

    Source: as below, and before every test (house choice).
    """
    return screening_overdue(history, today, rules) or asked_before_test(
        history, today, rules, days_ahead=TEST_ASKED_DAYS
    )


def asked_before_test(history: History, today: date, rules: Rules, *, days_ahead: int) -> str | None:
    """Why the questions come again before a test that stands within some days; None while the answers are fresh.

    A test that is easy all through, as the standard loop is, is training and no such test.
    Source: asked again before every test, as fresh as for a promotion (house choice).
    """
    answers = newest_answers(history)
    ahead = (one for one in history.planned if one.kind is SessionKind.TEST and not one.is_cancelled)
    days = (one.planned_on for one in ahead if is_hard_or_middle(one))
    soon = min((day for day in days if today <= day <= today + timedelta(days=days_ahead)), default=None)
    if answers is None or soon is None:
        return None
    age = (soon - answers.answered_on).days
    if age <= rules.screening_for_hard_days:
        return None
    return (
        f"A test stands on {day_words(soon)}; the questions come again before it, at most "
        f"{rules.screening_for_hard_days} days earlier."
    )


def screening_overdue(history: History, today: date, rules: Rules) -> str | None:
    """Why the questions are due whatever is planned, None while the answers are fresh.

    Source: at intake, after a symptom, every twelve weeks, and after a gap of two weeks or more, as logged or as told
    (house choice).
    """
    answers = newest_answers(history)
    if answers is None:
        return "The screening questions were never answered."
    felt_on = asked_after_symptom(history, today)
    if felt_on is not None:
        return f"Something felt wrong on {day_words(felt_on)}, after the last answers: the questions are asked again."
    age = (today - answers.answered_on).days
    if age > rules.symptoms_asked_days:
        return f"The symptom questions were last answered {age} days ago; the limit is {rules.symptoms_asked_days}."
    gap = last_gap(history, today)
    if gap is not None and answers.answered_on < _asked_from(gap):
        return f"After {gap.days} days without an outing the questions are asked again."
    told = told_gap(history, today)
    if told is not None and answers.answered_on < _asked_from(told):
        return f"After {told.days} days off, as told, the questions are asked again."
    return None


def _asked_from(gap: Gap) -> date:
    """From which day on answers count after a gap: once it was one, and not two weeks before the return.

    Source: asked again after any gap of 14 days or more (house choice).
    """
    was_one_on = gap.last_on + timedelta(days=GAP_DAYS)
    return was_one_on if gap.back_on is None else max(was_one_on, gap.back_on - timedelta(days=GAP_DAYS - 1))


def _unsettled_symptom_on(history: History, today: date) -> date | None:
    """The day of the latest symptom no clinician and no later answer has settled; None when there is none.

    A symptom is settled by a paper given after its day together with later answers that say no: from then on the
    paper's scope and age decide. Until such answers come, the paper itself has to cover the wish.
    """
    latest = max(_symptom_days(history), default=None)
    if latest is None:
        return None
    answers, paper_on = newest_answers(history), _first_paper_after(history, latest, today)
    if answers is None or paper_on is None:
        return latest
    return None if answers.symptoms is YesNo.NO and answers.answered_on >= paper_on else latest


def _first_paper_after(history: History, day: date, today: date) -> date | None:
    """The day of the first sound paper given after a symptom's day; None while there is none."""
    given = [one.given_on for one in history.clearances if one.given_on is not None and not paper_faults(one, today)]
    return min((on for on in given if on > day), default=None)


def asked_after_symptom(history: History, today: date) -> date | None:
    """The latest symptom the newest answers do not come after; None when they do, or while its hold is open.

    Answers come after it when they were given on a later day, and not before the paper that lifted its hold: what was
    answered during the hold was answered before a clinician had looked.
    """
    answers, held = newest_answers(history), [one for one in history.holds if one.kind is HoldKind.SYMPTOM]
    latest = max((*_reported_days(history.symptoms), *(one.began_on for one in held)), default=None)
    if answers is None or latest is None or any(one.lifted_at is None for one in held):
        return None
    asked_from = _first_paper_after(history, latest, today) or latest + timedelta(days=1)
    return latest if answers.answered_on < asked_from else None


def _counts(paper: Clearance, today: date) -> bool:
    is_sound = paper.state is ClearanceState.GRANTED and not paper_faults(paper, today)
    return is_sound or paper.state is ClearanceState.REFUSED


def _symptom_days(history: History) -> list[date]:
    said = [one.answered_on for one in history.screening if one.symptoms is YesNo.YES]
    felt = [one.felt_on for one in history.symptoms if one.family is Family.A]
    return said + felt + named_days(named_unsent(history.unsent), history.client.zone)


def _paper_facts(history: History, symptom_on: date | None, today: date, rules: Rules) -> ClearanceFacts:
    paper = newest_paper(history, today)
    if paper is None:
        return ClearanceFacts(Standing.REQUESTED if history.clearances else Standing.NONE)
    return clearance_facts(
        state=paper.state,
        scope=paper.scope,
        given_on=paper.given_on,
        ends_on=paper.ends_on,
        symptom_on=symptom_on,
        is_new_since=is_news_since(history, paper_day(paper)),
        today=today,
        rules=rules,
    )


def is_news_since(history: History, day: date) -> bool:
    """A new symptom, diagnosis, heart medicine or hospital stay after a paper's day."""
    before = max(
        (one for one in history.screening if one.answered_on <= day),
        key=lambda one: (one.answered_on, one.id),
        default=None,
    )
    after = [one for one in history.screening if one.answered_on > day]
    had_none = before is not None and before.disease is YesNo.NO
    named = (*named_unsent(history.unsent), *(named_diseases(history.unsent) if had_none else ()))
    days = (*_reported_days(history.symptoms), *named_days(named, history.client.zone))
    return any(_is_news(one, before) for one in after) or any(on >= day for on in days)


def _is_news(answers: ScreeningAnswers, before: ScreeningAnswers | None) -> bool:
    if answers.symptoms is YesNo.YES or _says_news(answers):
        return True
    if before is None:
        return False
    is_new_disease = answers.disease is YesNo.YES and before.disease is YesNo.NO
    is_new_medicine = answers.heart_rate_medicine is YesNo.YES and before.heart_rate_medicine is YesNo.NO
    return is_new_disease or is_new_medicine


def _reported_days(reports: tuple[SymptomReport, ...]) -> list[date]:
    return [one.felt_on for one in reports if one.family is Family.A]


def _says_news(answers: ScreeningAnswers) -> bool:
    return details_of(answers).get("news") in ("yes", "not_sure")


def is_taken_over(history: History) -> bool:
    """Whether a client came with training from elsewhere, rather than added by hand with nothing known."""
    is_brought_in = any(one.kind is DecisionKind.BROUGHT_IN for one in history.decisions)
    return is_brought_in or any(log.origin is Origin.FILE for log in history.logs)


def _waiting_for_questions(wanted: Intensity) -> Decision:
    return Decision(
        wanted=wanted,
        outcome=Outcome.HOLD,
        stops=Stopped.BEYOND_LIGHT,
        branch=14,
        missing=("activity", "symptoms", "disease"),
        comes_next=_WAITING_FOR_QUESTIONS,
    )
