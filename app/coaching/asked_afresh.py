"""What is asked afresh before hard work: due questions, consents a brought-in phase lacks, and newer texts."""

from __future__ import annotations

from datetime import date

from app.coaching.consents import ASKED_FOR_HARD_WORK, CONSENT_TEXTS, missing_consents
from app.coaching.history import History
from app.coaching.holds import ComputedStop, Stops
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind
from app.coaching.screening_decision import (
    Decision,
    Stopped,
    asked_before_test,
    is_taken_over,
    newest_answers,
    screening_overdue,
)


def unasked_words(history: History, light: Decision) -> str | None:
    """What a client who never answered the questions may do meanwhile, and why; None once they are answered.

    light: the screening's decision on light to moderate work, which knows of reported symptoms and papers.
    Source: house choice.
    """
    if newest_answers(history) is not None:
        return None
    said = "The health questions were never answered here."
    came_along = is_taken_over(history)
    if light.stops is Stopped.ALL:
        by_hand = (
            "Added by hand, with no earlier training on record: none begins until they are. Only somebody brought in "
            "with their training goes on with easy work meanwhile."
        )
        return f"{said} {light.comes_next if came_along else by_hand}"
    if came_along:
        return f"{said} Brought in with earlier training: easy work goes on, hard work waits for them."
    return f"{said} {light.comes_next}"


def questions_stop(history: History, today: date, rules: Rules) -> ComputedStop | None:
    """Hard work waits while the questions are due again, or were never answered; None while the answers are fresh.

    A clinician's paper does not answer them: it covers a sign it knew of, not the illnesses nobody asked about. What
    else waits for first answers is the screening's to judge. Before a test they are asked a week ahead, and what is
    hard waits for them on its day.
    Source: asked every twelve weeks, after a gap of two weeks and before a test (house choice).
    """
    if newest_answers(history) is None:
        return ComputedStop(Stops.HARD, "waiting for questions. The health questions were never answered here.")
    due = screening_overdue(history, today, rules) or asked_before_test(history, today, rules, days_ahead=0)
    if due is None:
        return None
    return ComputedStop(Stops.HARD, f"waiting for questions. {due} Easy work goes on until they are answered.")


def brought_in_stop(history: History) -> ComputedStop | None:
    """Hard work of a brought-in phase waits for the consents, which are asked afresh; None when nothing waits.

    A promotion made here asked for them itself.
    Source: house choice.
    """
    if not _is_as_brought_in(history):
        return None
    missing = missing_consents(history.consents, ASKED_FOR_HARD_WORK)
    if not missing:
        return None
    titles = ", ".join(CONSENT_TEXTS[kind].title for kind in missing)
    return ComputedStop(Stops.HARD, f"waiting for questions. Asked afresh before hard work: {titles}.")


def taken_back_stop(history: History) -> ComputedStop | None:
    """Hard work waits while a consent it rests on is taken back and not given again; None when none is.

    Whatever the phase, and whoever lifted the hold that taking it back raised: hard work that was sent out before
    must not come back without it.
    Source: house choice.
    """
    ever_taken_back = {one.kind for one in history.consents if one.withdrawn_on is not None}
    missing = [kind for kind in missing_consents(history.consents, ASKED_FOR_HARD_WORK) if kind in ever_taken_back]
    if not missing:
        return None
    titles = ", ".join(CONSENT_TEXTS[kind].title for kind in missing)
    return ComputedStop(Stops.HARD, f"consent was taken back: {titles}. Hard work waits until it is given again.")


def outdated_consents(history: History) -> tuple[ConsentKind, ...]:
    """Consents to hard work that rest on an earlier text, of somebody who was let into hard work here or elsewhere.

    A consent taken back is none of them; that one has a stop of its own.
    """
    if not any(one.phase in HARD_WORK_PHASES for one in history.decisions):
        return ()
    given = {one.kind for one in history.consents if one.withdrawn_on is None}
    taken_back = {one.kind for one in history.consents if one.withdrawn_on is not None}
    missing = missing_consents(history.consents, ASKED_FOR_HARD_WORK)
    return tuple(kind for kind in missing if kind in given - taken_back)


def newer_text_stop(history: History) -> ComputedStop | None:
    """Hard work waits while a text it was agreed to has changed and the new one is not agreed to; None else.

    Easy work goes on, and so does the phase.
    Source: a consent is renewed when the programme or the risk changes (general practice, published, second-hand);
    that hard work waits for it is a house choice.
    """
    outdated = outdated_consents(history)
    if not outdated or brought_in_stop(history) is not None:
        return None
    titles = " and ".join(f"“{CONSENT_TEXTS[kind].title}”" for kind in outdated)
    return ComputedStop(
        Stops.HARD,
        f"the text {titles} has changed since it was agreed to. Hard work waits until the new one is read and agreed "
        "to, on the phone under My way or with the coach; easy work goes on.",
    )


def _is_as_brought_in(history: History) -> bool:
    """Whether hard work rests on what was brought in, with no promotion since.

    A step back does not end it: what was sent out for hard work before still stands in the plan.
    """
    decisions = sorted(history.decisions, key=lambda one: one.id)
    promoted = [one.id for one in decisions if one.kind is DecisionKind.PROMOTE]
    brought_in = [
        one.id
        for one in decisions
        if one.kind is DecisionKind.BROUGHT_IN and one.confirmed_at is not None and one.phase in HARD_WORK_PHASES
    ]
    return bool(brought_in) and brought_in[-1] > max(promoted, default=0)
