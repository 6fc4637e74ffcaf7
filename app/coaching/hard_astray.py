"""Hard sessions a client still has though the phase no longer allows hard work."""

from __future__ import annotations

from datetime import date

from app.coaching.history import History
from app.coaching.phases import HARD_WORK_PHASES
from app.coaching.prescriptions import PlannedSession


def hard_astray(history: History, today: date) -> tuple[PlannedSession, ...]:
    """Published hard sessions from today on, not entered yet, while the phase is none for hard work."""
    return () if history.phase in HARD_WORK_PHASES else hard_sent(history, today)


def hard_sent(history: History, today: date) -> tuple[PlannedSession, ...]:
    """Published hard sessions from today on, not entered yet, whatever the phase."""
    answered = {log.planned_session_id for log in history.logs}
    found = [
        session
        for session in history.planned
        if session.is_hard
        and session.planned_on >= today
        and not session.is_cancelled
        and session.published_at is not None
        and session.id not in answered
    ]
    return tuple(sorted(found, key=lambda session: (session.planned_on, session.id)))
