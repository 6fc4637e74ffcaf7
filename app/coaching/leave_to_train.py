"""Everything that may stop a client today, gathered from one history: holds, screening, pressure, pregnancy, gaps."""

from __future__ import annotations

from datetime import date

from app.coaching.gap_rules import gap_stop
from app.coaching.history import History
from app.coaching.hold_rules import MayTrain, StoppedWork, may_train_within, stopped_work, with_stop
from app.coaching.pregnancy_rules import pregnancy_stop
from app.coaching.prescriptions import PlannedSession
from app.coaching.pressure_rules import pressure_stop
from app.coaching.rules import Rules
from app.coaching.screening_decision import screening_of


def stopped_now(history: History, today: date, rules: Rules) -> StoppedWork:
    """What is stopped for a client today, each with its reasons."""
    stopped = stopped_work(
        history.open_holds, screening_of(history, today, rules), pressure_stop(history.pressures, rules)
    )
    return with_stop(with_stop(stopped, pregnancy_stop(history, today)), gap_stop(history, today, rules))


def may_train_now(history: History, session: PlannedSession, today: date, rules: Rules) -> MayTrain:
    """What a client may do of a planned session today."""
    return may_train_within(stopped_now(history, today, rules), session)
