"""The outings of one history: its entries of endurance work with minutes, found once for whoever asks."""

from __future__ import annotations

from collections import deque

from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.session_logs import SessionLog

#: Those of the history asked about last; held by identity, for values are never changed.
_LAST: deque[tuple[History, tuple[SessionLog, ...]]] = deque(maxlen=1)


def outings_of(history: History) -> tuple[SessionLog, ...]:
    """Every entry of endurance work that was done, in the order of the entries; several rules ask."""
    for of, found in tuple(_LAST):
        if of is history:
            return found
    outings = tuple(log for log in history.logs if done_minutes(log) > 0 and is_endurance(log))
    _LAST.append((history, outings))
    return outings
