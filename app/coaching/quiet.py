"""Quiet: when nobody has heard from a client for longer than is usual for that client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from app.coaching.history import History
from app.coaching.matching import is_on_leave
from app.coaching.people import ClientState, Origin
from app.coaching.readiness import ReadinessNote
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import local_day

#: How far back a client's own gaps are looked at, and how many of them make silence (common practice).
GAP_WEEKS = 8
GAP_TIMES = 2


@dataclass(frozen=True, slots=True)
class Silence:
    """Days since the last entry or contact, and from how many on that is quiet; None while it cannot be judged."""

    last_entry_on: date | None
    last_contact_on: date | None
    days: int
    limit_days: float
    #: On pause, on leave, or not training with the practice: then nobody is quiet.
    is_excused: bool

    @property
    def is_quiet(self) -> bool:
        """Whether it has been silent for too long."""
        return not self.is_excused and self.days > self.limit_days


def silence(history: History, today: date, rules: Rules) -> Silence:
    """How long it has been silent around a client: no entry and no contact.

    Limit: the larger of the practice's days and twice the client's own median gap over eight weeks.
    Source: common practice, no published source.
    """
    zone = history.client.zone
    made = {_entered_on(log, zone) for log in history.logs} | {_entered_on(note, zone) for note in history.readiness}
    entries = sorted(made)
    contacts = [one.contact_on for one in history.contacts if one.contact_on <= today]
    last = max([*entries[-1:], *contacts], default=history.client.joined_on)
    return Silence(
        last_entry_on=entries[-1] if entries else None,
        last_contact_on=max(contacts, default=None),
        days=(today - last).days,
        limit_days=max(float(rules.quiet_days), GAP_TIMES * _median_gap(entries, today)),
        is_excused=history.client.state is not ClientState.ACTIVE or is_on_leave(history.leaves, today),
    )


def _entered_on(entry: SessionLog | ReadinessNote, zone: str) -> date:
    """The day an entry was made; for one brought in from a file, the day it is about."""
    about = entry.done_on if isinstance(entry, SessionLog) else entry.noted_on
    return about if entry.origin is Origin.FILE else max(about, local_day(entry.entered_at, zone))


def _median_gap(entries: list[date], today: date) -> float:
    since = today - timedelta(weeks=GAP_WEEKS)
    recent = [day for day in entries if since <= day <= today]
    gaps = [(later - earlier).days for earlier, later in pairwise(recent)]
    return float(median(gaps)) if gaps else 0.0
