"""Where each condition on the way to hard work is mended: a page and what is done there."""

from __future__ import annotations

from app.coaching.condition import Condition
from app.coaching.history import History
from app.coaching.screening import YesNo
from app.coaching.screening_decision import newest_answers

Links = tuple[tuple[str, str], ...]

_WEEKS = (("/weeks", "See the weeks"),)
#: Below /clients/{client_id}, by key of the condition.
_PLACES: dict[str, Links] = {
    "clearance": (
        ("/safety/clearance", "Record a clinician's answer"),
        ("/safety/letter", "Letter to the clinician"),
    ),
    "no_open_hold": (("/safety#holds-title", "Look at what is held"),),
    "transition": (*_WEEKS, ("/safety#active-title", "Confirm that they were regularly active")),
    "pressure": (("/safety#pressure-title", "Record a reading"),),
    "interval_consent": (("/safety/consents", "Print the text"), ("/safety#consents-title", "Enter the consent")),
    "stop_signs": (("/safety/consents", "Print the text"), ("/safety#consents-title", "Enter that it was read")),
    "emergency_contact": (("/edit#f-emergency_contact", "Confirm the contact"),),
    "base_weeks": (*_WEEKS, ("/safety#base-title", "Set the weeks asked")),
    "held_of_eight": _WEEKS,
    "recent_weeks": _WEEKS,
    "no_gap": _WEEKS,
    "easy_share": _WEEKS,
    "adherence": (*_WEEKS, ("/plan", "Change the plan")),
    "easy_outing": (("/plan", "Plan one"), ("/entry", "Enter one that was done")),
    "readiness": (("/entry/readiness", "Enter a note"),),
    "standard_loop": (("/tests", "Enter a loop"),),
    "heart_rate": (("/edit#f-heart_rate_use", "Record how effort is steered"),),
    "weeks_on_one": _WEEKS,
    "sessions_done": _WEEKS,
    "last_three": _WEEKS,
    "volume_held": _WEEKS,
    "spacing_fits": (("/week", "Change the real week"),),
    "fortnight_fits": (*_WEEKS, ("/plan", "Change the plan")),
}


def links_for(condition: Condition, history: History) -> Links:
    """Where an open condition is mended; nothing for one that is met."""
    if condition.is_met:
        return ()
    base = f"/clients/{history.client.id}"
    return tuple((f"{base}{path}", label) for path, label in _below(condition, history))


def _below(condition: Condition, history: History) -> Links:
    answers = newest_answers(history)
    ask = (("/entry/questions", "Ask the questions" if answers is None else "Ask the questions again"),)
    if condition.key == "screening":
        return ask
    if condition.key == "clearance" and (answers is None or answers.disease is YesNo.UNKNOWN):
        return ask
    if condition.key == "pregnancy":
        is_yes = answers is not None and answers.pregnant is YesNo.YES
        return (("/safety/clearance", "Record the provider's word"),) if is_yes else ask
    return _PLACES.get(condition.key, ())


def asks_sex(condition: Condition, history: History) -> bool:
    """Whether an open pregnancy answer may only be open because the sex was never recorded."""
    is_open = condition.key == "pregnancy" and not condition.is_met
    return is_open and history.client.sex is None and not _said_pregnant(history)


def _said_pregnant(history: History) -> bool:
    answers = newest_answers(history)
    return answers is not None and answers.pregnant is YesNo.YES
