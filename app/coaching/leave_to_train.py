"""Everything that may stop a client today: holds, screening, pressure, pregnancy, gaps, and questions due."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from functools import reduce

from app.coaching.asked_afresh import brought_in_stop, newer_text_stop, questions_stop, taken_back_stop
from app.coaching.gap_rules import gap_stop
from app.coaching.history import History
from app.coaching.hold_rules import (
    COACHS_VOICE,
    MayTrain,
    StoppedWork,
    Voice,
    may_train_within,
    stopped_work,
    with_stop,
)
from app.coaching.holds import ComputedStop
from app.coaching.illness_return import return_stop, within_a_cold
from app.coaching.last_asked import kept_for_last
from app.coaching.phases import HARD_WORK_PHASES
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.pregnancy_rules import pregnancy_stop
from app.coaching.prescriptions import PlannedSession
from app.coaching.pressure_rules import pressure_stop_of
from app.coaching.rules import Rules
from app.coaching.screening_decision import Stopped, screening_of
from app.coaching.told_off_stop import told_off_easy, told_off_stop

#: Rows of the screening table where all training waits for something else than a paper.
_ROWS = {15: "questions not answered", 16: "a clinician said no"}


def stopped_now(history: History, today: date, rules: Rules, *, voice: Voice | None = None) -> StoppedWork:
    """What is stopped for a client today, with reasons; in the coach's words unless told otherwise."""
    said = voice or COACHS_VOICE
    by_holds = stopped_work(history.open_holds, screening_of(history, today, rules), voice=said)
    found = (*computed_stops(history, today, rules), told_off_easy(history, today))
    return reduce(with_stop, [one and replace(one, sentence=said.of_stop(one)) for one in found], by_holds)


@kept_for_last
def computed_stops(history: History, today: date, rules: Rules) -> tuple[ComputedStop, ...]:
    """What the records stop by themselves, beside holds and the screening decision."""
    found = (
        pressure_stop_of(history, today, rules),
        pregnancy_stop(history, today),
        return_stop(history.illness_returns, today),
        gap_stop(history, today, rules),
        told_off_stop(history, today, rules),
        questions_stop(history, today, rules),
        brought_in_stop(history),
        taken_back_stop(history),
        newer_text_stop(history),
    )
    return tuple(one for one in found if one is not None)


def may_train_now(history: History, session: PlannedSession, today: date, rules: Rules) -> MayTrain:
    """What a client may do of a planned session today."""
    return within_a_cold(may_train_within(stopped_now(history, today, rules), session), history.open_holds)


def stopped_beside_holds(history: History, today: date, rules: Rules) -> StoppedWork:
    """What is stopped today by anything else than an open hold.

    Hard work nobody means to do yet is left out: in base, with none planned, that it waits is the rule.
    """
    beside = stopped_work((), screening_of(history, today, rules))
    found = reduce(with_stop, (*computed_stops(history, today, rules), told_off_easy(history, today)), beside)
    return found if _means_hard_work(history, today) else replace(found, hard_because=())


def stopped_for(history: History, today: date, rules: Rules) -> str:
    """What all training waits for beside an open hold, in a word or two; "" when it does not wait."""
    light = screening_of(history, today, rules).light
    if light.stops is Stopped.ALL:
        return _ROWS.get(light.branch, "clearance missing")
    return "blood pressure" if stopped_beside_holds(history, today, rules).all_because else ""


def _means_hard_work(history: History, today: date) -> bool:
    ahead = (one for one in history.planned if one.planned_on >= today and not one.is_cancelled)
    return history.phase in HARD_WORK_PHASES or any(is_hard_or_middle(one) for one in ahead)
