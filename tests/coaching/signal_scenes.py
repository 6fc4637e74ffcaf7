"""A client nothing is wrong with, so that each signal's test adds exactly what raises it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from app.coaching.effort import Talk
from app.coaching.fitness_tests import Protocol
from app.coaching.history import History
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.signals import Signal, signals
from tests import factories as make

TODAY = make.TODAY
RULES = Rules()


def on(days: int) -> date:
    """A day counted from TODAY."""
    return TODAY + timedelta(days=days)


def calm(phase: Phase | None = Phase.INTERVAL_ONE, **records: Any) -> History:
    """Forty, regularly active, screened, spoken with; an easy walk yesterday, a hard session four days ago."""
    since = make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=on(-140)) if phase else None
    given: dict[str, Any] = {
        "client": make.client(born_on=date(1986, 3, 2), regularly_active_confirmed_on=on(-280)),
        "decisions": (since,) if since else (),
        "screening": (make.answers(),),
        "contacts": (make.contact(contact_on=on(-3)),),
        "blocks": (make.block(phase=phase, starts_on=on(-14)),) if phase else (),
        "tests": (make.standard_loop(tested_on=on(-7)), race(-30)),
        "logs": (easy_done(-1), hard_done_on(-4)),
    }
    return make.history(**(given | records))


def easy_done(days: int, **changes: Any) -> SessionLog:
    """An easy walk logged on its day."""
    return make.log(id=500 + days, done_on=on(days), **changes)


def hard_done_on(days: int, **changes: Any) -> SessionLog:
    """Hard by its talk answer."""
    return make.log(id=700 + days, done_on=on(days), kind=SessionKind.INTERVALS, talk=Talk.FEW_WORDS, **changes)


def hard_planned(days: int, **changes: Any) -> PlannedSession:
    """Published rounds some days from TODAY."""
    return make.planned_hard(**({"id": 900 + days, "planned_on": on(days)} | changes))


def race(days: int) -> Any:
    """A 5-km result."""
    return make.standard_loop(id=2, tested_on=on(days), protocol=Protocol.FIVE_KM, mode=Mode.RUN)


def found(history: History, name: str, *, today: date = TODAY) -> Signal | None:
    """The signal of a name, None when it does not speak."""
    return next((signal for signal in signals(history, today, RULES) if signal.name == name), None)


def names(history: History, *, today: date = TODAY) -> tuple[str, ...]:
    """What speaks, in order."""
    return tuple(signal.name for signal in signals(history, today, RULES))
