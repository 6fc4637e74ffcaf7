"""What is stopped, in one line above a page that writes down what was done."""

from __future__ import annotations

from app.coaching.hold_rules import Answer
from app.coaching.prescriptions import PlannedSession
from app.usecases.hard_pause import HardPause
from app.usecases.today import TodayView
from app.web.phone.today import EASY_TODAY, easy_first_because

ONLY_WHAT_YOU_DID = "Write down here only what you did."
ALL_PAUSED = (
    "Your training is paused. If you did something all the same, write it down as it was: your coach needs to know."
)
SESSION_PAUSED = f"This session is paused. {ONLY_WHAT_YOU_DID}"
EASY_ONLY = f"{EASY_TODAY}: the hard part waits. {ONLY_WHAT_YOU_DID}"


def pause_line(pause: HardPause | None) -> str:
    """What is paused beside anything that was not planned; empty when nothing is."""
    if pause is None:
        return ""
    if pause.stops_all:
        return ALL_PAUSED
    if pause.is_break:
        return "Your coaching is paused, and nobody waits for entries. What you did can be written down all the same."
    if pause.never_had_any:
        return "For now only easy work is meant for you. Write down what you did, as it was."
    return "Hard work is paused for you; easy goes on. Write down what you did, as it was."


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
