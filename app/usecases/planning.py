"""Reading plans: every client's plan in a line, and one client's weeks with what publishing them would break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.block_order import block_end, block_on, next_block
from app.coaching.hard_astray import hard_astray
from app.coaching.history import History
from app.coaching.illness_return import return_lines
from app.coaching.lookahead import as_if_sent, breaches
from app.coaching.lookahead_gathered import Gathered, as_it_stands, gathered
from app.coaching.people import Client, ClientState
from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.plan_weeks import PlanEntry, PlanWeek, entries_of, plan_week
from app.coaching.prescriptions import Block, PlannedSession
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, PLANS_LISTED, RECENT, WHOLE_BASE
from app.coaching.words import counted, short_day
from app.storage import history, prescriptions
from app.storage.reading import grouped
from app.usecases.gate import allowed_actions, open_record, readable_clients

#: The page shows so many weeks at least, and the whole plan up to so many.
WEEKS_SHOWN = 6
MOST_WEEKS_SHOWN = 30
#: How far the list of plans looks.
BLOCK_ENDS_WITHIN_DAYS = 14


@dataclass(frozen=True, slots=True)
class PlanLine:
    """One client's plan in a line."""

    client: Client
    phase: str
    block: Block | None
    #: Counted from 1.
    block_week: int | None
    block_ends_on: date | None
    published_until: date | None
    waiting: int
    on_hold: bool
    #: What about the plan wants the coach's eye, in sentences.
    says: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlanPage:
    """Some weeks of one client's plan."""

    client: Client
    phase: Phase | None
    block: Block | None
    block_week: int | None
    #: The block that follows the one in force.
    next_block: Block | None
    weeks: tuple[PlanWeek, ...]
    #: What the plan breaks as the client has it.
    standing: tuple[Gathered, ...]
    #: What publishing the drafts would break.
    found: tuple[Gathered, ...]
    today: date
    may_plan: bool
    #: Hard sessions the client has from today on that the phase does not allow.
    hard_astray: tuple[PlannedSession, ...]
    #: The dated steps back after illness; empty when nobody is on the way back.
    return_lines: tuple[str, ...]

    @property
    def first_on(self) -> date:
        """The Monday the page begins with."""
        return self.weeks[0].monday

    @property
    def waiting(self) -> int:
        """Changes that are not published, in the weeks shown."""
        return sum(week.waiting for week in self.weeks)


def plans(db: Session, *, actor: Actor, now: datetime) -> tuple[PlanLine, ...]:
    """The plans of all readable clients who have not left, in the order of their names; a fixed number of queries."""
    readable = [one for one in readable_clients(db, actor=actor, now=now) if one.state is not ClientState.LEFT]
    ids = [client.id for client in readable]
    day = now.date()
    from_on, until_on = day - RECENT, day + PLANS_LISTED
    found = history.load(db, client_ids=ids, from_on=from_on, until_on=until_on)
    newest = grouped(
        prescriptions.newest_between(db, client_ids=ids, from_on=from_on, until_on=until_on), lambda v: v.client_id
    )
    published = grouped(
        prescriptions.published_between(db, client_ids=ids, from_on=from_on, until_on=until_on), lambda v: v.client_id
    )
    return tuple(
        _line(one, entries_of(newest.get(one.client.id, ()), published.get(one.client.id, ())), now) for one in found
    )


def open_plan(
    db: Session, *, actor: Actor, client_id: int, from_on: date | None, rules: Rules, now: datetime
) -> PlanPage:
    """A client's plan from a day's week on (default: this week) to its last week, with the look ahead."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    monday = week_start(from_on or today)
    furthest = monday + timedelta(weeks=MOST_WEEKS_SHOWN) - timedelta(days=1)
    entries = _entries(db, client_id, monday, furthest)
    count = _weeks_to_show(entries, monday)
    last = monday + timedelta(weeks=count) - timedelta(days=1)
    known = history.load(
        db,
        client_ids=[client_id],
        from_on=min(monday, today - WHOLE_BASE),
        until_on=max(last, today) + FORTNIGHT,
    )[0]
    waiting = _waiting(entries, today)
    found = gathered(breaches(as_if_sent(known, today), waiting, today, rules), len(waiting))
    said = {one.sentence for one in found}
    astray = hard_astray(known, today)
    block = block_on(known.blocks, today)
    return PlanPage(
        client=client,
        phase=known.phase,
        block=block,
        block_week=None if block is None else (today - block.starts_on).days // 7 + 1,
        next_block=next_block(known.blocks, today),
        weeks=tuple(plan_week(known, monday + timedelta(weeks=n), entries, today) for n in range(count)),
        standing=tuple(
            one
            for one in as_it_stands(known, today, rules)
            if one.sentence not in said and not (astray and one.kind == "phase")
        ),
        found=found,
        today=today,
        may_plan=Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now),
        hard_astray=astray,
        return_lines=return_lines(known.illness_returns, today),
    )


def _weeks_to_show(entries: Sequence[PlanEntry], monday: date) -> int:
    last = max((one.session.planned_on for one in entries if one.is_going or one.is_waiting), default=monday)
    return max(WEEKS_SHOWN, (week_start(last) - monday).days // 7 + 1)


def _entries(db: Session, client_id: int, first: date, last: date) -> tuple[PlanEntry, ...]:
    newest = prescriptions.newest_between(db, client_ids=[client_id], from_on=first, until_on=last)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    return entries_of(newest, published)


def _waiting(entries: Sequence[PlanEntry], today: date) -> list[PlannedSession]:
    return [one.session for one in entries if one.may_be_sent(today)]


def _line(known: History, entries: Sequence[PlanEntry], now: datetime) -> PlanLine:
    today = local_day(now, known.client.zone)
    block = block_on(known.blocks, today)
    sent = [one.seen_by_client.planned_on for one in entries if one.seen_by_client and one.is_going]
    return PlanLine(
        client=known.client,
        phase=PHASE_WORDS[known.phase] if known.phase else "no phase yet",
        block=block,
        block_week=None if block is None else (today - block.starts_on).days // 7 + 1,
        block_ends_on=None if block is None else block_end(block),
        published_until=max((day for day in sent if day >= today), default=None),
        waiting=len(_waiting(entries, today)),
        on_hold=bool(known.open_holds),
        says=_says(known, block, entries, today),
    )


def _says(known: History, block: Block | None, entries: Sequence[PlanEntry], today: date) -> tuple[str, ...]:
    said = []
    going = [one for one in entries if one.is_going and one.session.planned_on >= today]
    if not going:
        said.append("Nothing is planned from today on.")
    elif not any(one.seen_by_client for one in going):
        waiting = len(_waiting(entries, today))
        wait = "waits" if waiting == 1 else "wait"
        said.append(f"Nothing is published from today on; {counted(waiting, 'draft')} {wait}.")
    if block is not None and (block_end(block) - today).days <= BLOCK_ENDS_WITHIN_DAYS:
        has_next = any(one.starts_on > block.starts_on and block_end(one) > block_end(block) for one in known.blocks)
        if not has_next:
            left = (block_end(block) - today).days
            said.append(f"The block ends {short_day(block_end(block))}, in {counted(left, 'day')}; nothing follows.")
    return tuple(said)
