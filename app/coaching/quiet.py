"""Quiet: when nobody has heard from a client for longer than is usual for that client."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise
from statistics import median

from app.coaching.history import History
from app.coaching.holds import Stops, SymptomReport
from app.coaching.matching import is_on_leave
from app.coaching.people import ClientState, Origin
from app.coaching.phases import DecisionKind
from app.coaching.readiness import ReadinessNote
from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import earliest_instant, local_day

#: How far back a client's own gaps are looked at, and how many of them make silence (common practice).
GAP_WEEKS = 8
GAP_TIMES = 2


@dataclass(frozen=True, slots=True)
class Silence:
    """Days since the last sign of a client, and from how many on that is quiet."""

    last_entry_on: date | None
    last_contact_on: date | None
    #: The last entry or contact, the end of the last leave, the day they were brought in, else that of joining; and
    #: the record it stands on.
    since_on: date
    since_record: str
    days: int
    #: The client's own median gap between days with an entry; None with fewer than two such days.
    usual_gap_days: float | None
    limit_days: float
    #: On pause, on leave, under a hold on all training, or not training with the practice: then nobody is quiet.
    is_excused: bool

    @property
    def is_quiet(self) -> bool:
        """Whether it has been silent for too long."""
        return not self.is_excused and self.days > self.limit_days


def silence(history: History, today: date, rules: Rules) -> Silence:
    """How long it has been silent around a client: no entry and no contact, days of agreed leave not counted.

    Limit: the larger of the practice's days and twice the client's own median gap over eight weeks. An entry is a
    session, a readiness note or something that felt wrong; what a file brought in is as old as its own day.
    Brought in without any session, a client is counted from that day, whatever day they joined.
    Source: common practice, no published source.
    """
    entries = _entries_until(history, today)
    contacts = _last_contact(history, today)
    came_on = brought_in_on(history)
    came = [(came_on, "brought in")] if came_on is not None and came_on <= today and not entries else []
    back = [(leave.until_on, f"v{leave.id}") for leave in history.leaves if leave.until_on < today]
    joined = (min(history.client.joined_on, today), "joined")
    since_on, record = max([joined, *came, *entries[-1:], *contacts, *back])
    usual = _usual_gap(sorted({day for day, _ in entries}), today)
    return Silence(
        last_entry_on=entries[-1][0] if entries else None,
        last_contact_on=contacts[0][0] if contacts else None,
        since_on=since_on,
        since_record=record,
        days=(today - since_on).days,
        usual_gap_days=usual,
        limit_days=max(float(rules.quiet_days), GAP_TIMES * (usual or 0.0)),
        is_excused=_is_excused(history, today),
    )


def _last_contact(history: History, today: date) -> list[tuple[date, str]]:
    """The day of the last contact up to a day, with the record it is; empty without any."""
    day = max((one.contact_on for one in history.contacts if one.contact_on <= today), default=None)
    return [] if day is None else [(day, max(f"c{one.id}" for one in history.contacts if one.contact_on == day))]


def brought_in_on(history: History) -> date | None:
    """The day a client's first records came in from elsewhere; None for who had entered something here before.

    Before it nobody here could speak with them, whatever day they joined.
    """
    if not any(log.origin is Origin.FILE for log in history.logs) and not any(
        one.kind is DecisionKind.BROUGHT_IN for one in history.decisions
    ):
        return None
    logs = [(log.entered_at, log.origin is not Origin.FILE) for log in history.logs]
    phases = [(one.decided_at, one.kind is not DecisionKind.BROUGHT_IN) for one in history.decisions]
    first_at, is_from_here = min([*logs, *phases], default=(None, True))
    return None if first_at is None or is_from_here else local_day(first_at, history.client.zone)


def _entries_until(history: History, today: date) -> list[tuple[date, str]]:
    """Entries made up to a day, oldest first; those of the weeks that are looked at alone, where there are any."""
    recent = _entries(history, today - timedelta(weeks=GAP_WEEKS), today)
    return recent or _entries(history, date.min, today)


def _entries(history: History, first: date, last: date) -> list[tuple[date, str]]:
    """The day each entry was made between two days, and the record it is, oldest first."""
    zone, earliest_at = history.client.zone, earliest_instant(first)
    logs = [
        (_made_on(log, log.done_on, zone), f"l{log.id}")
        for log in history.logs
        if log.done_on >= first or log.entered_at >= earliest_at
    ]
    notes = [
        (_made_on(note, note.noted_on, zone), f"r{note.id}")
        for note in history.readiness
        if note.noted_on >= first or note.entered_at >= earliest_at
    ]
    reports = [(_made_on(report, report.felt_on, zone), f"y{report.id}") for report in history.symptoms]
    made = [*logs, *notes, *reports]
    return sorted(one for one in made if first <= one[0] <= last)


def _made_on(entry: SessionLog | ReadinessNote | SymptomReport, about_on: date, zone: str) -> date:
    return about_on if entry.origin is Origin.FILE else local_day(entry.entered_at, zone)


def _usual_gap(days: list[date], today: date) -> float | None:
    first = today - timedelta(weeks=GAP_WEEKS)
    gaps = [(later - earlier).days for earlier, later in pairwise(day for day in days if first <= day)]
    return float(median(gaps)) if gaps else None


def _is_excused(history: History, today: date) -> bool:
    is_held = any(hold.stops is Stops.ALL for hold in history.open_holds)
    return history.client.state is not ClientState.ACTIVE or is_held or is_on_leave(history.leaves, today)
