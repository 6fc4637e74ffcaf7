"""Everything that may stop a client today: holds, screening, pressure, pregnancy, gaps, and questions due."""

from __future__ import annotations

from datetime import date
from functools import reduce

from app.coaching.asked_afresh import brought_in_stop, questions_stop, taken_back_stop
from app.coaching.gap_rules import gap_stop
from app.coaching.history import History
from app.coaching.hold_rules import MayTrain, StoppedWork, Voice, may_train_within, stopped_work, with_stop
from app.coaching.holds import ComputedStop
from app.coaching.illness_return import return_stop
from app.coaching.pregnancy_rules import pregnancy_stop
from app.coaching.prescriptions import PlannedSession
from app.coaching.pressure_rules import pressure_stop_of
from app.coaching.rules import Rules
from app.coaching.screening_decision import screening_of


def stopped_now(history: History, today: date, rules: Rules, *, voice: Voice | None = None) -> StoppedWork:
    """What is stopped for a client today, with reasons; in the coach's words unless told otherwise."""
    by_holds = stopped_work(history.open_holds, screening_of(history, today, rules), voice=voice)
    return reduce(with_stop, computed_stops(history, today, rules), by_holds)


def computed_stops(history: History, today: date, rules: Rules) -> tuple[ComputedStop, ...]:
    """What the records stop by themselves, beside holds and the screening decision."""
    found = (
        pressure_stop_of(history, today, rules),
        pregnancy_stop(history, today),
        return_stop(history.illness_returns, today),
        gap_stop(history, today, rules),
        questions_stop(history, today, rules),
        brought_in_stop(history),
        taken_back_stop(history),
    )
    return tuple(one for one in found if one is not None)


def may_train_now(history: History, session: PlannedSession, today: date, rules: Rules) -> MayTrain:
    """What a client may do of a planned session today."""
    return may_train_within(stopped_now(history, today, rules), session)
