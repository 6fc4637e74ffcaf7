"""What stands in a block's weeks already: what it replaces, and what stays."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from sqlalchemy.orm import Session

from app.coaching.block_order import block_words
from app.coaching.plan_weeks import PlanEntry, entries_of
from app.coaching.prescriptions import Block, SessionKind
from app.coaching.week_drafts import WeekDraft
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day
from app.storage import prescriptions
from app.usecases.plan_blocks.opening import BlockDesk

#: A block writes endurance days; what stands for itself is neither replaced nor counted away.
_KEPT_KINDS = frozenset({SessionKind.TEST, SessionKind.RACE, SessionKind.STRENGTH})


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands in a block's weeks."""

    drafts: tuple[PlanEntry, ...]
    published: tuple[PlanEntry, ...]
    #: Tests, races and strength, which no block replaces.
    kept: tuple[PlanEntry, ...]

    @property
    def replaced(self) -> tuple[PlanEntry, ...]:
        """What gives way to the block."""
        return (*self.drafts, *self.published)


def standing_there(db: Session, desk: BlockDesk, starts_on: date, weeks: int) -> Standing:
    """What stands from today on in the block's weeks. Entered sessions are left alone."""
    first = max(starts_on, desk.today)
    last = starts_on + timedelta(weeks=weeks, days=-1)
    newest = prescriptions.newest_between(db, client_ids=[desk.client.id], from_on=first, until_on=last)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    answered = {log.planned_session_id for log in desk.known.logs}
    going = [
        entry
        for entry in entries_of(newest, published)
        if entry.is_going
        and entry.session.id not in answered
        and (entry.frozen_on is None or entry.frozen_on >= desk.today)
    ]
    kept = tuple(entry for entry in going if entry.session.kind in _KEPT_KINDS)
    replaced = [entry for entry in going if entry.session.kind not in _KEPT_KINDS]
    drafts = tuple(entry for entry in replaced if entry.frozen_on is None)
    return Standing(drafts, tuple(entry for entry in replaced if entry.frozen_on is not None), kept)


def beside_kept(
    weeks: Sequence[WeekDraft], kept: Sequence[PlanEntry]
) -> tuple[tuple[WeekDraft, ...], tuple[str, ...]]:
    """The weeks without a session on the day of a test or race that stays, or a second strength on its day."""
    strong = {one.session.planned_on for one in kept if one.session.kind is SessionKind.STRENGTH}
    taken = {
        one.session.planned_on: one.session.title for one in kept if one.session.kind is not SessionKind.STRENGTH
    }
    beside, given_way = [], []
    for week in weeks:
        days = [(week.starts_on + timedelta(days=one.weekday), one) for one in week.sessions]
        given_way += [
            f"{one.title} gives way on {short_day(day)}: {taken[day]} stays there."
            for day, one in days
            if day in taken
        ]
        staying = [
            one for day, one in days if day not in taken and not (day in strong and one.kind is SessionKind.STRENGTH)
        ]
        beside.append(replace(week, sessions=tuple(staying)))
    return tuple(beside), tuple(given_way)


def replaces_words(desk: BlockDesk, weeks: Sequence[WeekDraft], there: Sequence[PlanEntry]) -> tuple[str, ...]:
    """Whose place it takes, and which drafts of an older block stay outside its weeks."""
    drafts = [entry for entry in there if entry.frozen_on is None]
    given = len(there) - len(drafts)
    older = _blocks_of(desk, {week_start(entry.session.planned_on) for entry in there})
    said = []
    if there:
        parts = [f"{counted(len(drafts), 'draft')}"] if drafts else []
        parts += [f"{counted(given, 'published session')}"] if given else []
        of = f" of {' and '.join(block_words(block) for block in older)}" if older else ""
        said.append(f"It takes the place of {' and '.join(parts)}{of}.")
    mondays = {week.starts_on for week in weeks}
    outside = [
        draft
        for draft in desk.known.drafts
        if draft.planned_on >= desk.today and not draft.is_cancelled and week_start(draft.planned_on) not in mondays
    ]
    if outside:
        days = f"{short_day(outside[0].planned_on)} to {short_day(outside[-1].planned_on)}"
        said.append(f"{counted(len(outside), 'draft')} outside its weeks ({days}) stay as they are.")
    return tuple(said)


def _blocks_of(desk: BlockDesk, mondays: set[date]) -> list[Block]:
    ids = {week.block_id for week in desk.known.weeks if week.starts_on in mondays}
    return [block for block in desk.known.blocks if block.id in ids]
