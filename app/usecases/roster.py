"""The roster: every client a person may read on one page, and a new client on it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, Role, actions_for
from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_for
from app.coaching.people import Client, ClientState, age_on
from app.coaching.phases import Phase
from app.coaching.quiet import Silence, silence
from app.coaching.ribbon import Ribbon, ribbon
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, RECENT, WHOLE_BASE
from app.storage import clients, history
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, readable_clients

PAGE_SIZE = 100
WEEKS_AVERAGED = 4
#: Sorts after every real day and phase.
_NEVER = date.min
_PHASE_ORDER = {phase: place for place, phase in enumerate(Phase)}


class RosterSort(StrEnum):
    """What the roster may be sorted by."""

    NAME = "name"
    LAST_ENTRY = "last_entry"
    CONTACT = "contact"
    PHASE = "phase"


@dataclass(frozen=True, slots=True)
class RosterWish:
    """What of the roster is wanted."""

    words: str = ""
    state: ClientState | None = None
    phase: Phase | None = None
    is_on_hold: bool = False
    is_quiet: bool = False
    sort: RosterSort = RosterSort.NAME
    is_backwards: bool = False
    page: int = 1


@dataclass(frozen=True, slots=True)
class RosterLine:
    """One client on the roster."""

    client: Client
    age: int | None
    phase: Phase | None
    #: Weeks in the phase, the first counted as 1.
    phase_week: int | None
    open_holds: int
    #: What all training waits for beside a hold; "" when it does not wait.
    stopped_for: str
    silence: Silence
    contact_days: int | None
    #: Average of the last four complete weeks; None when nothing was ever entered in them.
    weekly_minutes: float | None
    ribbon: Ribbon


@dataclass(frozen=True, slots=True)
class RosterPage:
    """The lines asked for, how many there are in all, and whether there is anybody at all."""

    lines: tuple[RosterLine, ...]
    found: int
    everybody: int
    page: int
    pages: int
    #: Whether there is nobody at all, not even somebody who left.
    is_empty_practice: bool


def roster(db: Session, *, actor: Actor, wish: RosterWish, rules: Rules, now: datetime) -> RosterPage:
    """The clients a person may read, filtered and sorted; a fixed number of queries however many there are."""
    readable = readable_clients(db, actor=actor, now=now)
    wanted = [client for client in readable if _fits(client, wish)]
    day = now.date()
    histories = history.load(
        db,
        client_ids=[client.id for client in wanted],
        from_on=day - RECENT,
        until_on=day + FORTNIGHT,
    )
    standing = [_Standing(one, *_today_and_silence(one, rules, now)) for one in histories]
    kept = [one for one in standing if _stands(one, wish)]
    kept.sort(key=_sort_key(wish.sort), reverse=wish.is_backwards)
    pages = max(1, -(-len(kept) // PAGE_SIZE))
    page = min(max(1, wish.page), pages)
    shown = kept[(page - 1) * PAGE_SIZE : page * PAGE_SIZE]
    waits = _waits(db, shown, rules, now)
    lines = tuple(_line(one, rules, waits) for one in shown)
    return RosterPage(lines, len(kept), _everybody(readable, wish), page, pages, not readable)


def add_client(db: Session, *, actor: Actor, client: Client, goal: str | None, now: datetime) -> int:
    """Add a client to the acting coach's roster, with a first goal if one was said. Returns the id.

    Raises: NotAllowed for a stand-in.
    """
    if Action.DECIDE not in actions_for(actor.role, Relation.OWN_CLIENT):
        raise NotAllowed("A stand-in looks after clients, but does not take on new ones.")
    kept = clients.add(db, client=client, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=kept.id,
        action="add_client",
        subject="client",
        subject_id=kept.id,
        change={"after": {"name": kept.name, "state": kept.state}},
    )
    if goal:
        clients.add_goal(
            db,
            client_id=kept.id,
            text=goal,
            why=None,
            confidence=None,
            due_on=None,
            agreed_on=local_day(now, kept.zone),
        )
    return kept.id


def same_names(db: Session, *, actor: Actor, name: str, now: datetime) -> list[Client]:
    """Clients a person may read who already have a name, so that nobody is added twice unnoticed."""
    readable = {client.id for client in readable_clients(db, actor=actor, now=now)}
    return [client for client in clients.by_name(db, name=name) if client.id in readable]


def may_add(actor: Actor) -> bool:
    """Whether a person may take on new clients."""
    return actor.role in (Role.HEAD_COACH, Role.COACH)


@dataclass(frozen=True, slots=True)
class _Standing:
    history: History
    today: date
    silence: Silence


def _today_and_silence(one: History, rules: Rules, now: datetime) -> tuple[date, Silence]:
    today = local_day(now, one.client.zone)
    return today, silence(one, today, rules)


def _fits(client: Client, wish: RosterWish) -> bool:
    """Whether a client fits what can be said without looking at the records."""
    words = wish.words.casefold().split()
    is_left_hidden = wish.state is None and not words and client.state is ClientState.LEFT
    has_state = wish.state is None or client.state is wish.state
    return has_state and not is_left_hidden and all(word in client.name.casefold() for word in words)


def _everybody(readable: Sequence[Client], wish: RosterWish) -> int:
    """How many a search looks through: who left only where they are looked for."""
    looks_for_left = wish.state is ClientState.LEFT or bool(wish.words.strip())
    return sum(looks_for_left or client.state is not ClientState.LEFT for client in readable)


def _waits(db: Session, standing: Sequence[_Standing], rules: Rules, now: datetime) -> Mapping[int, str]:
    """What all training of some clients waits for.

    A short history is never milder than the whole one, so only those it stops are read whole.
    """
    there = [one for one in standing if one.history.client.state is not ClientState.LEFT]
    today = {one.history.client.id: one.today for one in there if stopped_for(one.history, one.today, rules)}
    day = now.date()
    whole = history.load(db, client_ids=list(today), from_on=day - WHOLE_BASE, until_on=day + FORTNIGHT)
    return {one.client.id: stopped_for(one, today[one.client.id], rules) for one in whole}


def _stands(one: _Standing, wish: RosterWish) -> bool:
    has_phase = wish.phase is None or one.history.phase is wish.phase
    is_held = not wish.is_on_hold or bool(one.history.open_holds)
    return has_phase and is_held and (not wish.is_quiet or one.silence.is_quiet)


def _sort_key(sort: RosterSort) -> Callable[[_Standing], tuple[object, ...]]:
    def key(one: _Standing) -> tuple[object, ...]:
        client = one.history.client
        name = (client.name.casefold(), client.id)
        if sort is RosterSort.LAST_ENTRY:
            return (one.silence.last_entry_on or _NEVER, *name)
        if sort is RosterSort.CONTACT:
            return (one.silence.last_contact_on or _NEVER, *name)
        if sort is RosterSort.PHASE:
            phase = one.history.phase
            return (len(_PHASE_ORDER) if phase is None else _PHASE_ORDER[phase], *name)
        return name

    return key


def _line(one: _Standing, rules: Rules, waits: Mapping[int, str]) -> RosterLine:
    client, since, contact = one.history.client, one.history.phase_since_on, one.silence.last_contact_on
    return RosterLine(
        client=client,
        age=age_on(client.born_on, one.today),
        phase=one.history.phase,
        phase_week=None if since is None else max(0, (one.today - since).days) // 7 + 1,
        open_holds=len(one.history.open_holds),
        stopped_for=waits.get(client.id, ""),
        silence=one.silence,
        contact_days=None if contact is None else (one.today - contact).days,
        weekly_minutes=_weekly_minutes(one.history, one.today),
        ribbon=ribbon(one.history, one.today, rules),
    )


def _weekly_minutes(one: History, today: date) -> float | None:
    """Average endurance minutes of the last four complete weeks; None without any entry in them."""
    until = week_start(today)
    first = until - timedelta(weeks=WEEKS_AVERAGED)
    logs = [log for log in one.logs if first <= log.done_on < until]
    if not logs:
        return None
    return sum(done_minutes(log) for log in logs if is_endurance(log)) / WEEKS_AVERAGED
