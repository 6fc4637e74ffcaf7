"""The safety conditions for hard work. Nobody can override them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.condition import Condition, Group, State
from app.coaching.consents import CONSENT_TEXTS, current_consent
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.hold_rules import HOLD_WORDS, LIFTED_BY
from app.coaching.pregnancy_rules import pregnancy_stop
from app.coaching.pressure_rules import limits_for, newest_pressure, pressure_stop
from app.coaching.questions import asks_pregnancy
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind, Intensity, ScreeningAnswers, YesNo
from app.coaching.screening_decision import (
    CARD,
    OUTCOME_WORDS,
    SOURCE,
    covers,
    decide,
    inputs_from,
    known_disease,
    newest_answers,
    newest_paper,
    screening_due,
)
from app.coaching.transition import Transition
from app.coaching.weeks import day_words
from app.coaching.words import counted

#: The value of a condition that is met because it asks nothing of this client.
DOES_NOT_APPLY = "does not apply"
#: The value of a paper nobody is asked for.
NO_DISEASE = "no known disease"


@dataclass(frozen=True, slots=True)
class _Line:
    """What a condition is called and asks for."""

    key: str
    title: str
    limit: str


def safety_conditions(
    history: History, today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[Condition, ...]:
    """Every safety condition in the order they are shown."""
    known = facts or facts_of(history, today, rules)
    return (
        _screening(history, today, rules, known),
        _clearance(history, today, rules, known),
        _no_open_hold(history),
        _transition(history, known.transition, rules),
        _pressure(history, today, rules),
        _consent(history, ConsentKind.INTERVAL_PHASE, "interval_consent", "Consent for the interval phase"),
        _consent(history, ConsentKind.STOP_SIGNS, "stop_signs", "Stop signs read and ticked"),
        _pregnancy(history, today, rules),
        _emergency_contact(history, today, rules),
    )


def _screening(history: History, today: date, rules: Rules, facts: Facts) -> Condition:
    limit = f"gives leave for vigorous work, asked at most {rules.screening_for_hard_days} days ago"
    answers = newest_answers(history)
    decision = decide(history, Intensity.VIGOROUS, today, rules, facts=facts)
    age = None if answers is None else (today - answers.answered_on).days
    figures = (
        Figure("asked on", day_words(answers.answered_on) if answers else "never"),
        Figure("decision", f"{decision.outcome.value}, row {decision.branch} of the table"),
        Figure("not answered", ", ".join(decision.missing) or "nothing"),
    )
    rule = "The screening table, asked afresh for hard work."
    why = Why(figures, rule, Provenance.PUBLISHED_SECOND_HAND, SOURCE, formulae=(CARD,))
    if age is None or decision.missing:
        value = "never asked" if answers is None else "not all questions answered"
        return _safety(_Line("screening", "Screening", limit), State.UNKNOWN, value, why, _ask(answers))
    due = screening_due(history, today, rules)
    if age > rules.screening_for_hard_days or due is not None:
        return _safety(
            _Line("screening", "Screening", limit), State.NOT_MET, f"asked {age} days ago", why, due or _ask(answers)
        )
    state = State.MET if decision.is_ok else State.NOT_MET
    value = f"{OUTCOME_WORDS[decision.outcome]}, asked {age} days ago"
    return _safety(_Line("screening", "Screening", limit), state, value, why, decision.comes_next)


def _ask(answers: ScreeningAnswers | None) -> str:
    return "Ask the screening questions." if answers is None else "Ask the screening questions again."


def _clearance(history: History, today: date, rules: Rules, facts: Facts) -> Condition:
    title = "Clearance for vigorous work where disease is known"
    limit = f"at most {rules.clearance_days} days old, nothing new since"
    answers, disease = newest_answers(history), known_disease(history)
    paper = newest_paper(history, today)
    figures = (
        Figure("known disease", disease.value if disease is YesNo.YES or answers else "never asked"),
        Figure(
            "newest paper", f"{paper.state.value}, {_paper_words(paper.given_on, paper.scope)}" if paper else "none"
        ),
    )
    rule = "Known disease needs a paper scoped to vigorous work."
    why = Why(figures, rule, Provenance.FROM_MEMORY, SOURCE, formulae=(CARD,))
    change = "A clinician's written clearance for vigorous work."
    if disease is YesNo.UNKNOWN:
        return _safety(_Line("clearance", title, limit), State.UNKNOWN, "disease not answered", why, _ask(answers))
    if disease is YesNo.NO:
        return _safety(_Line("clearance", title, limit), State.MET, NO_DISEASE, why, None)
    inputs = inputs_from(history, Intensity.VIGOROUS, today, rules, facts=facts)
    state = State.MET if covers(inputs.clearance, Intensity.VIGOROUS) else State.NOT_MET
    return _safety(_Line("clearance", title, limit), state, figures[1].text, why, change)


def _paper_words(given_on: date | None, scope: Intensity | None) -> str:
    day = day_words(given_on) if given_on else "no date"
    return f"{day}, for {scope.value.replace('_', ' to ') if scope else 'nothing stated'}"


def _no_open_hold(history: History) -> Condition:
    holds = history.open_holds
    figures = tuple(Figure(HOLD_WORDS[one.kind], f"since {day_words(one.began_on)}: {one.cause}") for one in holds)
    change = (
        " ".join(f"{HOLD_WORDS[one.kind].capitalize()}: lifted by {LIFTED_BY[one.kind]}." for one in holds) or None
    )
    limit = "none open"
    why = Why(figures, "No hold may be open, whatever it stops.", Provenance.HOUSE)
    state = State.NOT_MET if holds else State.MET
    return _safety(_Line("no_open_hold", "No open hold", limit), state, f"{len(holds)} open", why, change)


def _transition(history: History, transition: Transition, rules: Rules) -> Condition:
    title = "Transition weeks of all easy work"
    limit = f"{rules.transition_weeks} weeks, unless regularly active at intake (confirmed by the coach)"
    confirmed_on = history.client.regularly_active_confirmed_on
    weeks = transition.weeks_done
    figures = (
        Figure("complete all-easy weeks with an outing", str(weeks)),
        Figure(
            "regularly active at intake", f"confirmed {day_words(confirmed_on)}" if confirmed_on else "not confirmed"
        ),
        *_counted_again(transition),
    )
    rule = "Two to three months at light to moderate effort before vigorous work."
    why = Why(figures, rule, Provenance.FROM_MEMORY)
    state = State.MET if transition.is_done else State.NOT_MET
    short = max(0, rules.transition_weeks - weeks)
    is_by_intake = bool(confirmed_on) and state is State.MET
    value = "regularly active at intake" if is_by_intake else counted(weeks, "week") if weeks else "no week yet"
    return _safety(
        _Line("transition", title, limit), state, value, why, f"{counted(short, 'more all-easy week')}, logged."
    )


def _counted_again(transition: Transition) -> tuple[Figure, ...]:
    if transition.again_from is None:
        return ()
    return (Figure("counted again after over twelve weeks off, from", day_words(transition.again_from)),)


def _pressure(history: History, today: date, rules: Rules) -> Condition:
    title = "Blood pressure"
    limits = limits_for(history, today, rules)
    limit = (
        f"at most {rules.pressure_days} days old, under {limits.pressure_systolic_hard} over "
        f"{limits.pressure_diastolic_hard} mmHg"
    )
    newest = newest_pressure([one for one in history.pressures if one.measured_on <= today])
    if newest is None:
        why = Why((), "A seated resting reading.", Provenance.HOUSE)
        return _safety(
            _Line("pressure", title, limit), State.UNKNOWN, "no reading", why, "A reading, seated and rested."
        )
    age = (today - newest.measured_on).days
    value = f"{newest.systolic_mmhg} over {newest.diastolic_mmhg} mmHg, {age} days old"
    figures = (Figure(day_words(newest.measured_on), value), Figure("where from", newest.origin.value))
    why = Why(figures, "A seated resting reading, fresh and under the limits.", Provenance.HOUSE)
    stop = pressure_stop(history.pressures, limits)
    state = State.MET if age <= rules.pressure_days and stop is None else State.NOT_MET
    change = stop.sentence if stop else "A new reading, seated and rested."
    return _safety(_Line("pressure", title, limit), state, value, why, change)


def _consent(history: History, kind: ConsentKind, key: str, title: str) -> Condition:
    consent = current_consent(history.consents, kind)
    version = CONSENT_TEXTS[kind].version
    value = f"given {day_words(consent.given_on)}" if consent else "not given, withdrawn, or to an older text"
    figures = (Figure("text version", version), Figure("consent", value))
    limit = "in force"
    why = Why(figures, "Given to the text as it is now, and not withdrawn.", Provenance.HOUSE)
    state = State.MET if consent else State.NOT_MET
    return _safety(_Line(key, title, limit), state, value, why, "The client reads the text and agrees.")


def _pregnancy(history: History, today: date, rules: Rules) -> Condition:
    title = "Pregnancy answer"
    limit = f"current (at most {rules.current_answer_days} days old), or the maternity provider's written word"
    answers = newest_answers(history)
    answer = answers.pregnant if answers else YesNo.UNKNOWN
    asked = day_words(answers.answered_on) if answers else "never"
    figures = (Figure("asked on", asked), Figure("answer", answer.value))
    why = Why(figures, "Pregnancy pauses the start of hard work until the provider agrees.", Provenance.HOUSE)
    if answer is not YesNo.YES and not asks_pregnancy(history.client, history.screening, today):
        return _safety(_Line("pregnancy", title, limit), State.MET, DOES_NOT_APPLY, why, None)
    if answers is None or answer is YesNo.UNKNOWN:
        return _safety(_Line("pregnancy", title, limit), State.UNKNOWN, "not answered", why, _ask(answers))
    if today - answers.answered_on > timedelta(days=rules.current_answer_days):
        return _safety(_Line("pregnancy", title, limit), State.NOT_MET, f"answered {asked}", why, _ask(answers))
    is_agreed = pregnancy_stop(history, today) is None
    state = State.MET if is_agreed else State.NOT_MET
    change = "The maternity provider's written word, dated after the answer."
    return _safety(_Line("pregnancy", title, limit), state, answer.value, why, change)


def _emergency_contact(history: History, today: date, rules: Rules) -> Condition:
    title = "Emergency contact"
    limit = f"name and phone, confirmed at most {rules.current_answer_days} days ago"
    client = history.client
    on = client.emergency_confirmed_on
    has_both = bool(client.emergency_contact and client.emergency_phone)
    value = "missing" if not has_both else (f"confirmed {day_words(on)}" if on else "never confirmed")
    why = Why((Figure("contact", value),), "Somebody to call, known to be right.", Provenance.HOUSE)
    change = "Confirm name and phone with the client."
    if on is None or not has_both:
        return _safety(_Line("emergency_contact", title, limit), State.UNKNOWN, value, why, change)
    is_current = 0 <= (today - on).days <= rules.current_answer_days
    state = State.MET if is_current else State.NOT_MET
    return _safety(_Line("emergency_contact", title, limit), state, value, why, change)


def _safety(line: _Line, state: State, value: str, why: Why, would_change: str | None) -> Condition:
    change = None if state is State.MET else would_change
    opened = replace(why, would_change=change)
    return Condition(line.key, Group.SAFETY, line.title, state, value, line.limit, opened)
