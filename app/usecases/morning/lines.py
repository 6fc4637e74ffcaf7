"""What is done about one line: handled, put off, taken back."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.history import History
from app.coaching.morning import WAITING, is_dealt_with
from app.coaching.note_beside_pause import told_to_writer
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.signals import Family, Signal, needs_word, signals
from app.coaching.weeks import local_day
from app.storage import signals as kept
from app.storage.audit import leave_trace
from app.usecases.gate import NotYours, open_record
from app.usecases.morning.opening import keep_line, load_all, session_today

#: Longer than this a line is not put off but forgotten (house choice).
PUT_OFF_MOST = timedelta(days=31)


@dataclass(frozen=True, slots=True)
class Standing:
    """One client's line as it stands now, for the small forms."""

    client: Client
    today: date
    #: None when the client has no such line.
    signal: Signal | None
    session: PlannedSession | None
    #: Everything of theirs that still speaks, the most pressing first.
    speaking: tuple[Signal, ...]
    #: What is paused and why; "" when nothing is.
    paused: str

    @property
    def is_safety(self) -> bool:
        """Whether it is a line that is not put off past the day."""
        return self.signal is not None and self.signal.family is Family.SAFETY


def standing(db: Session, *, actor: Actor, client_id: int, signal: str, rules: Rules, now: datetime) -> Standing:
    """One client and, if it still stands, one line of theirs. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    known = load_all(db, [client.id], now)[0]
    found = signals(known, today, rules)
    asked = next((one for one in found if one.name == signal), None)
    return Standing(
        client,
        today,
        asked,
        session_today(known, today),
        _speaking(known, found, today),
        told_to_writer(known, today, rules),
    )


def handle(
    db: Session, *, actor: Actor, client_id: int, signal: str, key: str, done: str | None, rules: Rules, now: datetime
) -> int:
    """Keep that a line was dealt with: it stays away until its records or the limit crossed change. Returns its id.

    done: what was done, in a few words; a line about safety, ceiling or spacing asks for it.
    Raises: NotYours, NotAllowed; StaleEdit when the line has changed; Refused where a word is missing.
    """
    chosen = [(signal, key)]
    return handle_all(db, actor=actor, client_id=client_id, chosen=chosen, done=done, rules=rules, now=now)[0]


def handle_all(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    chosen: Sequence[tuple[str, str]],
    done: str | None,
    rules: Rules,
    now: datetime,
) -> tuple[int, ...]:
    """Keep that several reasons of one client were dealt with at once, all or none. Returns their ids.

    chosen: the name and the key of each, as they were shown.
    Raises: as `handle`.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    known = load_all(db, [client.id], now)[0]
    found = signals(known, today, rules)
    settled = [_as_shown(known, found, signal, key, today) for signal, key in chosen]
    said = (done or "").strip()
    if any(needs_word(line) for line in settled) and not said:
        raise Refused("Say in a few words what was done. A line about safety or the ceiling is not waved away.")
    return tuple(
        keep_line(
            db,
            actor=actor,
            client_id=client_id,
            line=line,
            until_on=None,
            action="handled",
            said=said or None,
            now=now,
        )
        for line in settled
    )


def put_off(
    db: Session, *, actor: Actor, client_id: int, signal: str, key: str, until_on: date, rules: Rules, now: datetime
) -> int:
    """Let a line rest until a day. Returns its id.

    Raises: NotYours, NotAllowed; StaleEdit when the line has changed; Refused for a safety line past today, for a day
    that is not ahead, and for one too far ahead.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    known = load_all(db, [client.id], now)[0]
    line = _as_shown(known, signals(known, today, rules), signal, key, today)
    fault = put_off_fault(line, until_on, today)
    if fault is not None:
        raise Refused(fault)
    return keep_line(
        db, actor=actor, client_id=client_id, line=line, until_on=until_on, action="put_off", said=None, now=now
    )


def put_off_fault(line: Signal, until_on: date, today: date) -> str | None:
    """Why a line cannot be put off until a day; None when it can."""
    tomorrow = today + timedelta(days=1)
    if until_on < tomorrow:
        return "Choose a day from tomorrow on; until then it stands here."
    if line.family is Family.SAFETY and until_on > tomorrow:
        return "A line about safety cannot be put off past today: it stands here again tomorrow."
    if until_on > today + PUT_OFF_MOST:
        return f"Choose a day within {PUT_OFF_MOST.days} days; what waits longer belongs in the plan."
    return None


def take_back(db: Session, *, actor: Actor, client_id: int, handled_id: int, now: datetime) -> None:
    """Let a line that was handled or put off speak again. Raises: NotYours, NotAllowed; StaleEdit when it does."""
    open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if kept.client_of(db, handled_id=handled_id) != client_id:
        raise NotYours("There is no such line here.")
    if not kept.undo(db, handled_id=handled_id, client_id=client_id, at=now):
        raise StaleEdit("This line was taken back already; it stands in the morning again.")
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="take_back",
        subject="morning line",
        subject_id=handled_id,
    )


def _speaking(known: History, found: Sequence[Signal], today: date) -> tuple[Signal, ...]:
    """What was not dealt with yet; who only waits for the questions is said in the grouped line."""
    return tuple(
        one
        for one in found
        if not is_dealt_with(one, known.handled, today, known.client.zone)
        and (one.name != WAITING or one.family is Family.SAFETY)
    )


def _as_shown(known: History, found: Sequence[Signal], name: str, key: str, today: date) -> Signal:
    """A line that still stands as it was shown."""
    line = next((one for one in found if one.name == name), None)
    if line is None:
        raise StaleEdit("This line no longer stands: what raised it has changed since the page was shown.")
    if line.key != key:
        raise StaleEdit(f"There is something new on this line since the page was shown: {line.sentence}")
    if is_dealt_with(line, known.handled, today, known.client.zone):
        raise StaleEdit("This line was handled or put off already.")
    return line
