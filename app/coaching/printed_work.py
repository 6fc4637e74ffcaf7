"""What may be done of a session as it is printed: what is stopped, and what waits on its own day."""

from __future__ import annotations

from datetime import date

from app.coaching.hard_spacing import too_soon_after_done, too_soon_words
from app.coaching.heart_rate_trust import trust_of
from app.coaching.history import History
from app.coaching.hold_rules import EASY_ANYHOW, Answer, MayTrain, StoppedWork, may_train_within
from app.coaching.illness_return import within_a_cold
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness_rules import HardDay, hard_day
from app.coaching.rules import Rules

_WAITS = frozenset({HardDay.EASY_OR_REST, HardDay.NO_TRAINING})


def may_be_printed(
    history: History, stopped: StoppedWork, session: PlannedSession, today: date, rules: Rules
) -> MayTrain:
    """What is left of a session on paper; today's hard work waits there for what makes it wait on the phone."""
    may = within_a_cold(may_train_within(stopped, session), history.open_holds)
    if may.is_paused or session.planned_on != today or not is_hard_or_middle(session):
        return may
    because = _waits_today(history, session, today, rules)
    if not because:
        return may
    return MayTrain(Answer.EASY_ONLY, because, session.easy_version or EASY_ANYHOW)


def _waits_today(history: History, session: PlannedSession, today: date, rules: Rules) -> str:
    note = hard_day(history.readiness, today, rules, trust_of(history, today))
    if note.answer in _WAITS:
        return f"Easy or rest today; the hard part moves: {'; '.join(note.said)}."
    found = too_soon_after_done(history, session, today, rules)
    return too_soon_words(found) if found else ""
