"""What stands against a session becoming hard again that was made easy today, and what asks for a reason first."""

from __future__ import annotations

from datetime import date

from app.coaching.history import History
from app.coaching.leave_to_train import may_train_now
from app.coaching.lookahead import Level, breaches
from app.coaching.lookahead_values import Breach
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules


def back_refused(known: History, before: PlannedSession, today: date, rules: Rules) -> tuple[str, ...]:
    """What stands against bringing back what stood before, as sentences; empty when nothing does.

    Whatever stops the client today counts, also what would let it be published: the day itself decides.
    """
    refused = tuple(one.sentence for one in breaches(known, [before], today, rules) if one.level is Level.REFUSES)
    may = may_train_now(known, before, today, rules)
    return refused or ((may.for_coach,) if may.is_paused else ())


def back_asks(known: History, before: PlannedSession, today: date, rules: Rules) -> tuple[Breach, ...]:
    """What asks for a reason before it comes back, whatever was answered when it was first sent."""
    return tuple(one for one in breaches(known, [before], today, rules) if one.level is Level.ASKS)
