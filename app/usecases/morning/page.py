"""The morning of everybody a person may read, in a fixed number of queries."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.check_ins import CheckIn
from app.coaching.history import Handled, History
from app.coaching.morning import Line, all_signals, is_dealt_with, morning
from app.coaching.people import Client, Origin, age_on
from app.coaching.phases import Phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.readiness import ReadinessNote
from app.coaching.returned import Shown, returned_words
from app.coaching.ribbon import Ribbon, ribbon
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.signals import Signal, signals
from app.coaching.weeks import earliest_instant, local_day
from app.storage import accounts, conversations
from app.storage import signals as kept
from app.usecases.gate import readable_clients
from app.usecases.morning.hot import HotDay, hot_day
from app.usecases.morning.opening import UNREAD_MOST, load_speaking, session_today


@dataclass(frozen=True, slots=True)
class MorningLine:
    """One client's line with all that is shown beside it."""

    line: Line
    today: date
    age: int | None
    phase: Phase | None
    #: Weeks in the phase, the first counted as 1.
    phase_week: int | None
    ribbon: Ribbon
    #: Today's middle or hard session, still to be done: the one that can be eased or moved.
    session: PlannedSession | None
    may_decide: bool
    #: Whether a note would be read on a phone: somebody is signed in there.
    is_signed_in: bool
    #: Of the reasons that were dealt with and are back: what is new, and what the line said then, by name.
    returned: Mapping[str, Returned]


@dataclass(frozen=True, slots=True)
class Returned:
    """Why a line that was dealt with speaks again."""

    sentence: str
    #: None for one that was dealt with before its words were kept.
    said_then: str | None


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
class MorningPage:
    """Everything the morning shows."""

    today: tuple[MorningLine, ...]
    planning: tuple[MorningLine, ...]
    #: Clients who wait only for their questions, said in one grouped line.
    waiting: tuple[Client, ...]
    #: Those of them whose easy plan goes on meanwhile.
    easy_meanwhile: frozenset[int]
    #: How many more wait for theirs and were put off.
    waiting_put_off: int
    #: Whose hard work waits for a newer text of a consent, said in one grouped line.
    to_agree_again: tuple[Client, ...]
    #: Everybody who has a phone signed in.
    signed_in: frozenset[int]
    clients: tuple[Client, ...]
    #: How many clients have a session that was done or entered yesterday, and of how many it was entered for them.
    logged_yesterday: int
    entered_for: int
    entries: tuple[Entry, ...]
    dealt: tuple[DealtLine, ...]
    #: The heat noted for today; None when nobody noted any.
    hot: HotDay | None


def this_morning(db: Session, *, actor: Actor, rules: Rules, now: datetime) -> MorningPage:
    """The morning of everybody a person may read; a fixed number of queries however many they are."""
    readable = readable_clients(db, actor=actor, now=now)
    histories = load_speaking(db, readable, now)
    days = {one.client.id: local_day(now, one.client.zone) for one in histories}
    found = morning(histories, days, rules)
    by_client = {one.client.id: one for one in histories}
    yesterday = [_logged_yesterday(one, days[one.client.id]) for one in histories]
    signed_in = accounts.clients_signed_in(db, client_ids=by_client.keys(), now=now)
    before = {one.id for line in (*found.today, *found.planning) for one in line.back.values()}
    shown = kept.shown_then(db, handled_ids=before)

    def dress(lines: Sequence[Line]) -> tuple[MorningLine, ...]:
        return tuple(
            _line(
                line,
                by_client[line.client.id],
                days[line.client.id],
                actor=actor,
                rules=rules,
                is_signed_in=line.client.id in signed_in,
                shown=shown,
            )
            for line in lines
        )

    return MorningPage(
        today=dress(found.today),
        planning=dress(found.planning),
        waiting=found.waiting_for_questions,
        easy_meanwhile=found.easy_meanwhile,
        waiting_put_off=found.waiting_put_off,
        to_agree_again=found.to_agree_again,
        signed_in=signed_in,
        clients=tuple(readable),
        logged_yesterday=sum(bool(logged) for logged in yesterday),
        entered_for=sum(bool(logged) and Origin.CLIENT not in logged for logged in yesterday),
        entries=_entries(histories, days, conversations.read_until(db, person_id=actor.person_id)),
        dealt=tuple(line for one in histories for line in _dealt(one, days[one.client.id], rules)),
        hot=hot_day(db, histories, days, rules),
    )


def _line(
    line: Line,
    known: History,
    today: date,
    *,
    actor: Actor,
    rules: Rules,
    is_signed_in: bool,
    shown: Mapping[int, Shown],
) -> MorningLine:
    since, scene = known.phase_since_on, line.scene
    is_own = known.client.coach_id == actor.person_id
    relation = Relation.OWN_CLIENT if is_own else Relation.HANDED_OVER
    return MorningLine(
        line=line,
        today=today,
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
        may_decide=Action.DECIDE in actions_for(actor.role, relation),
        is_signed_in=is_signed_in,
        returned=_returned(line, today, shown, reader_id=actor.person_id),
    )


def _returned(line: Line, today: date, shown: Mapping[int, Shown], *, reader_id: int) -> dict[str, Returned]:
    zone, by_name = line.client.zone, {one.name: one for one in all_signals(line)}
    return {
        name: Returned(
            returned_words(by_name[name], before, shown.get(before.id), reader_id=reader_id, today=today, zone=zone),
            shown[before.id].sentence if before.id in shown else None,
        )
        for name, before in line.back.items()
    }


def _logged_yesterday(known: History, today: date) -> set[Origin]:
    """Where yesterday's sessions come from, those done and those entered that day; what a file brought in apart."""
    yesterday, zone = today - timedelta(days=1), known.client.zone
    earliest_at = earliest_instant(yesterday)
    return {
        log.origin
        for log in known.logs
        if (log.done_on == yesterday or log.entered_at >= earliest_at)
        and log.origin is not Origin.FILE
        and (log.done_on == yesterday or local_day(log.entered_at, zone) == yesterday)
        and not (log.answer is Answer.NOT_DONE and local_day(log.entered_at, zone) != yesterday)
    }


def _entries(histories: Sequence[History], days: dict[int, date], read_until: datetime | None) -> tuple[Entry, ...]:
    """What was entered since the client's yesterday began, or since it was last marked as read when that is longer
    ago; newest first, and what a file brought in is left out."""
    found = []
    for one in histories:
        since = days[one.client.id] - timedelta(days=1)
        if read_until is not None:
            oldest = days[one.client.id] - UNREAD_MOST
            since = max(oldest, min(since, local_day(read_until, one.client.zone)))
        found += [replace(e, is_read=_is_read(e, read_until)) for e in _entries_of(one, since)]
    return tuple(sorted(found, key=lambda e: (e.entered_at, e.client.id), reverse=True))


def _entries_of(known: History, since: date) -> list[Entry]:
    zone, earliest_at = known.client.zone, earliest_instant(since)
    new = [log for log in known.logs if log.entered_at >= earliest_at and log.origin is not Origin.FILE]
    planned = {session.id: session for session in known.planned} if new else {}
    said = Counter(_as_said(log) for log in known.logs if log.minutes) if new else Counter[tuple[object, ...]]()
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
    return [*logs, *notes, *weeks]


def _is_read(entry: Entry, read_until: datetime | None) -> bool:
    return read_until is not None and entry.entered_at <= read_until


def _as_said(log: SessionLog) -> tuple[object, ...]:
    """Day, kind, mode and minutes: two entries that share them may be one session entered twice."""
    return log.done_on, log.kind, log.mode, log.minutes


def _dealt(known: History, today: date, rules: Rules) -> list[DealtLine]:
    """Handled today, or put off and not back yet; a line that would not speak anyway is left out."""
    zone = known.client.zone
    fresh = [one for one in known.handled if local_day(one.at, zone) == today or (one.until_on or today) > today]
    if not fresh:
        return []
    said = {(signal.name, signal.key): signal for signal in signals(known, today, rules)}
    found = [(one, said.get((one.signal, one.key))) for one in fresh]
    return [
        DealtLine(one, known.client, signal)
        for one, signal in found
        if signal is not None and is_dealt_with(signal, [one], today, zone)
    ]
