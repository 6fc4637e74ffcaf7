"""What the morning tells of one client, whoever reads it: it hangs on their records, day and rules alone."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from app.coaching.check_ins import CheckIn
from app.coaching.heat import HeatNote
from app.coaching.history import Handled, History
from app.coaching.morning import Part, is_dealt_with, part_of
from app.coaching.note_beside_pause import told_in_short
from app.coaching.people import Client, Origin, age_on
from app.coaching.phases import Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness import ReadinessNote
from app.coaching.ribbon import Ribbon, ribbon
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.signals import Signal
from app.coaching.weeks import earliest_instant, local_day
from app.usecases.morning.hot import InHeat, in_heat
from app.usecases.morning.opening import UNREAD_MOST, session_today


@dataclass(frozen=True, slots=True)
class BesideLine:
    """What stands beside a client's line."""

    age: int | None
    phase: Phase | None
    #: Weeks in the phase, the first counted as 1.
    phase_week: int | None
    ribbon: Ribbon
    #: Today's middle or hard session, still to be done: the one that can be eased or moved.
    session: PlannedSession | None


@dataclass(frozen=True, slots=True)
class Entry:
    """What a client told the desk since yesterday: a session entered, or a readiness note."""

    client: Client
    log: SessionLog | None
    note: ReadinessNote | None
    #: The planned session the entry answers.
    planned: PlannedSession | None
    entered_at: datetime
    #: A week as the client told it.
    week: CheckIn | None = None
    #: Whether this coach has marked it as read.
    is_read: bool = False
    #: Another entry says the same kind and minutes on the same day.
    is_twin: bool = False


@dataclass(frozen=True, slots=True)
class DealtLine:
    """A line handled today, or put off and not yet back: it would speak again when taken back."""

    handled: Handled
    client: Client
    signal: Signal


@dataclass(frozen=True, slots=True)
class Told:
    """All of one client that a morning shows to anybody. The hour of the day plays no part in it."""

    today: date
    part: Part
    #: None for a client without a line.
    beside: BesideLine | None
    #: Where yesterday's sessions come from.
    logged: frozenset[Origin]
    #: Whatever came in as far back as anything unread is listed; nothing of it marked as read yet.
    entries: tuple[Entry, ...]
    dealt: tuple[DealtLine, ...]
    in_heat: InHeat | None
    #: What is paused, in short; "" when nothing is.
    paused: str

    @property
    def client(self) -> Client:
        """Who it is about."""
        return self.part.client


def told_of(known: History, today: date, rules: Rules, heat: HeatNote | None) -> Told:
    """What a morning tells of one client on their own today.

    heat: what was noted of that day.
    """
    part = part_of(known, today, rules)
    beside = _beside(known, part, today, rules)
    if part.line is not None:
        # The scene holds the whole history, which nobody asks for from here on.
        part = replace(part, line=replace(part.line, scene=None))
    return Told(
        today=today,
        part=part,
        beside=beside,
        logged=_logged_yesterday(known, today),
        entries=_entries(known, today - UNREAD_MOST),
        dealt=_dealt(known, part, today),
        in_heat=in_heat(known, heat, today, rules),
        paused=told_in_short(known, today, rules),
    )


def _beside(known: History, part: Part, today: date, rules: Rules) -> BesideLine | None:
    if part.line is None:
        return None
    since, scene = known.phase_since_on, part.line.scene
    return BesideLine(
        age=age_on(known.client.born_on, today),
        phase=known.phase,
        phase_week=None if since is None else max(0, (today - since).days) // 7 + 1,
        ribbon=ribbon(
            known,
            today,
            rules,
            facts=scene.facts if scene else None,
            compared=scene.weeks if scene else (),
        ),
        session=session_today(known, today),
    )


def _logged_yesterday(known: History, today: date) -> frozenset[Origin]:
    """Where yesterday's sessions come from, those done and those entered that day; what a file brought in apart."""
    yesterday, zone = today - timedelta(days=1), known.client.zone
    earliest_at = earliest_instant(yesterday)
    return frozenset(
        log.origin
        for log in known.logs
        if (log.done_on == yesterday or log.entered_at >= earliest_at)
        and log.origin is not Origin.FILE
        and (log.done_on == yesterday or local_day(log.entered_at, zone) == yesterday)
        and not (log.answer is Answer.NOT_DONE and local_day(log.entered_at, zone) != yesterday)
    )


def _entries(known: History, since: date) -> tuple[Entry, ...]:
    """What was entered on a day and later; what a file brought in is left out."""
    zone, earliest_at = known.client.zone, earliest_instant(since)
    new = [log for log in known.logs if log.entered_at >= earliest_at and log.origin is not Origin.FILE]
    planned = {session.id: session for session in known.planned} if new else {}
    days = {log.done_on for log in new}
    said = Counter(_as_said(log) for log in known.logs if log.done_on in days and log.minutes)
    logs = [
        Entry(
            known.client,
            log,
            None,
            planned.get(log.planned_session_id or 0),
            log.entered_at,
            is_twin=said[_as_said(log)] > 1,
        )
        for log in new
        if local_day(log.entered_at, zone) >= since
    ]
    notes = [
        Entry(known.client, None, note, None, note.entered_at)
        for note in known.readiness
        if note.entered_at >= earliest_at
        and note.origin is not Origin.FILE
        and local_day(note.entered_at, zone) >= since
    ]
    weeks = [
        Entry(known.client, None, None, None, one.entered_at, week=one)
        for one in known.check_ins
        if local_day(one.entered_at, zone) >= since
    ]
    return (*logs, *notes, *weeks)


def _as_said(log: SessionLog) -> tuple[object, ...]:
    """Day, kind, mode and minutes: two entries that share them may be one session entered twice."""
    return log.done_on, log.kind, log.mode, log.minutes


def _dealt(known: History, part: Part, today: date) -> tuple[DealtLine, ...]:
    """Handled today, or put off and not back yet; a line that would not speak anyway is left out."""
    zone = known.client.zone
    fresh = [one for one in known.handled if local_day(one.at, zone) == today or (one.until_on or today) > today]
    if not fresh:
        return ()
    said = {(signal.name, signal.key): signal for signal in part.every}
    found = [(one, said.get((one.signal, one.key))) for one in fresh]
    return tuple(
        DealtLine(one, known.client, signal)
        for one, signal in found
        if signal is not None and is_dealt_with(signal, [one], today, zone)
    )
