"""What Today says is stopped of a planned session, in one line for the page that writes it down."""

from __future__ import annotations

from app.coaching.hold_rules import Answer
from app.coaching.prescriptions import PlannedSession
from app.usecases.today import TodayView
from app.web.phone.today import EASY_TODAY, easy_first_because

ONLY_WHAT_YOU_DID = "Write down here only what you did."
ALL_PAUSED = (
    "Your training is paused. If you did something all the same, write it down as it was: your coach needs to know."
)
SESSION_PAUSED = f"This session is paused. {ONLY_WHAT_YOU_DID}"
EASY_ONLY = f"{EASY_TODAY}: the hard part waits. {ONLY_WHAT_YOU_DID}"


def stop_line(view: TodayView, session: PlannedSession) -> str:
    """What stops a planned session as Today knows it; empty where it stands, or its day was before today."""
    if view.stopped.all_because:
        return ALL_PAUSED
    of_today = next((one for one in view.sessions if one.session.id == session.id), None)
    if of_today is not None:
        if of_today.may.answer is Answer.PAUSED:
            return SESSION_PAUSED
        return EASY_ONLY if of_today.may.is_paused or easy_first_because(of_today) else ""
    is_ahead = session.planned_on > view.today
    return SESSION_PAUSED if is_ahead and view.pause_of(session) is not None else ""
