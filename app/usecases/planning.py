"""Reading plans: every client's plan in a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.block_order import block_end, block_on
from app.coaching.history import History
from app.coaching.people import Client, ClientState
from app.coaching.phases import PHASE_WORDS
from app.coaching.plan_weeks import PlanEntry, entries_of
from app.coaching.prescriptions import Block, PlannedSession
from app.coaching.weeks import local_day
from app.coaching.windows import PLANS_LISTED, RECENT
from app.coaching.words import counted, ends_words
from app.storage import history, plan_window, prescriptions
from app.storage.reading import grouped
from app.usecases.gate import readable_clients

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
        plan_window.published_between(db, client_ids=ids, from_on=from_on, until_on=until_on), lambda v: v.client_id
    )
    return tuple(
        _line(one, entries_of(newest.get(one.client.id, ()), published.get(one.client.id, ())), now) for one in found
    )


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
            said.append(f"The block ends {ends_words(block_end(block), left)}; nothing follows.")
    return tuple(said)
