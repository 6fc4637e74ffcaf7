"""The week board: one week of many clients, what each day holds in plain words, and what stands against it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Person
from app.coaching.done_work import is_endurance
from app.coaching.execution_values import Execution
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork, may_train_within
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead import as_if_sent
from app.coaching.lookahead_fit import before_sending
from app.coaching.lookahead_gathered import Gathered, gathered
from app.coaching.matching import is_on_leave
from app.coaching.paused_told import paused_words
from app.coaching.people import Client, ClientState
from app.coaching.phases import Phase
from app.coaching.plan_weeks import PlanEntry, entries_of
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.target_eased import Judge
from app.coaching.typed_content import typed_of
from app.coaching.typed_session import Typed, day_words
from app.coaching.weeks import local_day, week_days
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import accounts, history, phases, prescriptions
from app.storage.reading import grouped
from app.usecases.gate import clients_for

PAGE_SIZE = 20


@dataclass(frozen=True, slots=True)
class BoardWish:
    """Which week of whom."""

    monday: date
    words: str = ""
    phase: Phase | None = None
    coach_id: int | None = None
    page: int = 1


@dataclass(frozen=True, slots=True)
class BoardSession:
    """One session of a day."""

    entry: PlanEntry
    #: What it is in words that may be typed; None when words cannot say it whole.
    typed: Typed | None
    is_done: bool
    #: Why it must not be done now; "" when it may.
    paused: str


@dataclass(frozen=True, slots=True)
class BoardCell:
    """One client's day."""

    on: date
    sessions: tuple[BoardSession, ...]
    is_leave: bool
    is_over: bool
    is_today: bool
    #: Whether words may be typed here.
    is_open: bool

    @property
    def standing(self) -> tuple[tuple[Typed, PlannedSession], ...]:
        """What takes place and can be said in words."""
        going = [one for one in self.sessions if one.entry.is_going]
        return tuple((one.typed, one.entry.session) for one in going if one.typed is not None)

    @property
    def text(self) -> str:
        """The words that stand in the field; "" for a day nothing of which can be typed."""
        return day_words(tuple(typed for typed, _session in self.standing)) if self.standing else ""

    @property
    def seen(self) -> str:
        """The versions a typed change starts from, to notice when they change meanwhile."""
        return ",".join(str(one.entry.session.version_id) for one in self.sessions)


@dataclass(frozen=True, slots=True)
class BoardRow:
    """One client's week."""

    client: Client
    phase: Phase | None
    today: date
    cells: tuple[BoardCell, ...]
    may_plan: bool
    #: What pauses training now, in a sentence; "" when nothing does.
    held: str
    #: Endurance minutes of the week as planned.
    minutes: int
    hard_sessions: int
    #: What waits in this week, and what publishing it would break.
    waiting: tuple[PlannedSession, ...]
    found: tuple[Gathered, ...]
    known: History
    stopped: StoppedWork
    #: What recordings say of the sessions before, by the entry's id.
    judged: Mapping[int, Execution]


@dataclass(frozen=True, slots=True)
class Board:
    """The rows asked for."""

    monday: date
    rows: tuple[BoardRow, ...]
    #: How many clients fit in all.
    count: int
    page: int
    pages: int
    #: Coaches to choose from; empty for somebody who has only their own clients.
    coaches: tuple[Person, ...]


def open_board(db: Session, *, actor: Actor, wish: BoardWish, judge: Judge, rules: Rules, now: datetime) -> Board:
    """One week of the clients a person may read; the number of queries does not depend on how many there are.

    judge: what their recordings say of the sessions before.
    """
    readable = clients_for(db, actor=actor, action=Action.READ, now=now)
    fitting = [one for one in readable if _fits(one, wish)]
    if wish.phase is not None:
        current = phases.current_of(db, client_ids=[one.id for one in fitting])
        fitting = [one for one in fitting if current.get(one.id) is wish.phase]
    pages = max(1, -(-len(fitting) // PAGE_SIZE))
    page = min(max(1, wish.page), pages)
    shown = fitting[(page - 1) * PAGE_SIZE : page * PAGE_SIZE]
    planning = {one.id for one in clients_for(db, actor=actor, action=Action.DECIDE, now=now)}
    rows = _rows(db, shown, wish.monday, planning, judge=judge, rules=rules, now=now)
    coaches = tuple(accounts.coaches(db)) if actor.is_head else ()
    return Board(wish.monday, rows, len(fitting), page, pages, coaches)


def _fits(client: Client, wish: BoardWish) -> bool:
    has_coach = wish.coach_id is None or client.coach_id == wish.coach_id
    has_words = all(word in client.name.casefold() for word in wish.words.casefold().split())
    return client.state is not ClientState.LEFT and has_coach and has_words


def _rows(
    db: Session,
    clients: Sequence[Client],
    monday: date,
    planning: set[int],
    *,
    judge: Judge,
    rules: Rules,
    now: datetime,
) -> tuple[BoardRow, ...]:
    ids = [one.id for one in clients]
    sunday, day = monday + timedelta(days=6), now.date()
    newest = prescriptions.newest_between(db, client_ids=ids, from_on=monday, until_on=sunday)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    entries = grouped(entries_of(newest, published), lambda entry: entry.session.client_id)
    found = history.load(
        db, client_ids=ids, from_on=min(monday, day - WHOLE_BASE), until_on=max(sunday, day) + FORTNIGHT
    )
    weeks = [_Week(one, entries.get(one.client.id, ()), local_day(now, one.client.zone)) for one in found]
    judged = judge([(one.known, one.waiting) for one in weeks])
    return tuple(_row(one, monday, judged, may_plan=one.known.client.id in planning, rules=rules) for one in weeks)


@dataclass(frozen=True, slots=True)
class _Week:
    """What stands in one client's week."""

    known: History
    entries: Sequence[PlanEntry]
    today: date

    @property
    def waiting(self) -> tuple[PlannedSession, ...]:
        """What may be sent."""
        return tuple(one.session for one in self.entries if one.may_be_sent(self.today))


def _row(week: _Week, monday: date, judged: Mapping[int, Execution], *, may_plan: bool, rules: Rules) -> BoardRow:
    known, entries, today = week.known, week.entries, week.today
    stopped = stopped_now(known, today, rules)
    cells = tuple(_cell(known, day, entries, stopped, today=today, may_plan=may_plan) for day in week_days(monday))
    going = [one.session for one in entries if one.is_going]
    return BoardRow(
        client=known.client,
        phase=known.phase,
        today=today,
        cells=cells,
        may_plan=may_plan,
        held=paused_words(stopped),
        minutes=sum(one.minutes for one in going if is_endurance(one)),
        hard_sessions=sum(one.is_hard for one in going),
        waiting=week.waiting,
        found=look_ahead(known, week.waiting, today, rules, judged=judged),
        known=known,
        stopped=stopped,
        judged=judged,
    )


def look_ahead(
    known: History,
    going: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    judged: Mapping[int, Execution] | None = None,
) -> tuple[Gathered, ...]:
    """What publishing some sessions would break, with all other drafts as if they were sent."""
    if not going:
        return ()
    count = sum(not one.is_cancelled for one in going)
    return gathered(before_sending(as_if_sent(known, today), going, today, rules, judged=judged), count)


def _cell(
    known: History,
    day: date,
    entries: Sequence[PlanEntry],
    stopped: StoppedWork,
    *,
    today: date,
    may_plan: bool,
) -> BoardCell:
    here = [entry for entry in entries if entry.session.planned_on == day]
    answers = {log.planned_session_id: log.answer for log in known.logs}
    frozen = [one for one in here if one.session.id in answers or (one.frozen_on or day) < today]
    return BoardCell(
        on=day,
        sessions=tuple(_session(one, answers.get(one.session.id), stopped) for one in here),
        is_leave=is_on_leave(known.leaves, day),
        is_over=day < today,
        is_today=day == today,
        is_open=may_plan and day >= today and not frozen,
    )


def _session(entry: PlanEntry, answer: Answer | None, stopped: StoppedWork) -> BoardSession:
    is_done = answer not in (None, Answer.NOT_DONE)
    may = may_train_within(stopped, entry.session)
    paused = may.for_coach if may.is_paused and entry.is_going and answer is None else ""
    return BoardSession(entry, typed_of(entry.session), is_done, paused)
