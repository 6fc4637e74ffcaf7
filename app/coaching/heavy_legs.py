"""Heavy leg strength and long hills: not hard, and hard work waits a day after them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_logs import SessionLog
from app.coaching.words import short_day

#: Hard work waits 24 h; entries know the day and not the hour, so the day itself and the next one count.
_NEXT_DAY = timedelta(days=1)
RULE = "Heavy leg strength or a long hill is not hard, and blocks hard work for 24 h."


def heavy_before(history: History, day: date) -> SessionLog | None:
    """The newest entry that was heavy for the legs on a day or the day before it; None without one.

    Source: common practice, no published source.
    """
    heavy = [log for log in history.logs if log.heavy_legs and day - _NEXT_DAY <= log.done_on <= day]
    return max(heavy, key=lambda log: (log.done_on, log.id), default=None)


def legs_words(log: SessionLog, day: date) -> str:
    """What a client reads beside a hard session of a day."""
    when = "today" if log.done_on == day else "yesterday"
    return (
        f"Heavy work for the legs {when}: hard rounds wait 24 hours. Take the easy version below, or ask to move it."
    )


def legs_why(log: SessionLog) -> Why:
    """Why hard work waits after it."""
    return Why((Figure("heavy for the legs", short_day(log.done_on)),), RULE, Provenance.COMMON_PRACTICE)


def legs_breaches(history: History, hard: Sequence[PlannedSession]) -> list[Breach]:
    """Hard drafts on the day of heavy leg work or the day after it."""
    found = []
    for draft in hard:
        log = heavy_before(history, draft.planned_on)
        if log is not None:
            day = short_day(draft.planned_on)
            sentence = (
                f"{draft.title} on {day}: heavy work for the legs on {short_day(log.done_on)}, 24 h are needed."
            )
            found.append(Breach(Level.ASKS, "legs", draft.planned_on, sentence, legs_why(log)))
    return found
