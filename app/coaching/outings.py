"""The outings of one history: its entries of endurance work with minutes, found once for whoever asks."""

from __future__ import annotations

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.last_asked import kept_for_last
from app.coaching.session_logs import SessionLog


@kept_for_last
def outings_of(history: History) -> tuple[SessionLog, ...]:
    """Every entry of endurance work that was done, in the order of the entries; several rules ask."""
    return tuple(log for log in history.logs if done_minutes(log) > 0 and is_endurance(log))
