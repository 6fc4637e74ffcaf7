"""The weeks of a plan as a coach reads them: days with sessions, what is published, what waits, and the sums."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum

from app.coaching.block_order import overtaken_block
from app.coaching.done_work import MinutesByBand, is_endurance, planned_minutes_by_band
from app.coaching.history import History
from app.coaching.matching import is_on_leave
from app.coaching.prescriptions import Block, PlannedSession
from app.coaching.weeks import week_days, week_start


class Standing(StrEnum):
    """How a planned session's newest version stands to what the client sees."""

    DRAFT = "draft"
    PUBLISHED = "published"
    #: The client sees an earlier version; the change waits.
    CHANGED = "changed"
    CANCELLED = "cancelled"
    #: The client still sees it; its cancelling waits.
    CANCEL_WAITS = "cancel_waits"
    #: A draft that was dropped before anybody saw it.
    DROPPED = "dropped"


STANDING_WORDS = {
    Standing.DRAFT: "draft",
    Standing.PUBLISHED: "published",
    Standing.CHANGED: "changed, not published",
    Standing.CANCELLED: "cancelled",
    Standing.CANCEL_WAITS: "cancelled, not published",
    Standing.DROPPED: "dropped",
}

WAITING = frozenset({Standing.DRAFT, Standing.CHANGED, Standing.CANCEL_WAITS})


@dataclass(frozen=True, slots=True)
class PlanEntry:
    """One planned session in a plan: its newest version, what the client sees, and how they stand."""

    session: PlannedSession
    seen_by_client: PlannedSession | None
    standing: Standing

    @property
    def is_waiting(self) -> bool:
        """Whether something about it is not published yet."""
        return self.standing in WAITING

    @property
    def frozen_on(self) -> date | None:
        """The day the client was given, while the client has one; it cannot be planned away once it is over."""
        seen = self.seen_by_client
        return None if seen is None or seen.is_cancelled else seen.planned_on

    def may_be_sent(self, today: date) -> bool:
        """Whether its change can still be published: neither its day nor the day the client was given is over."""
        is_ahead = self.session.planned_on >= today and (self.frozen_on is None or self.frozen_on >= today)
        return self.is_waiting and is_ahead

    @property
    def is_going(self) -> bool:
        """Whether it takes place as the plan reads now."""
        return not self.session.is_cancelled


@dataclass(frozen=True, slots=True)
class PlanDay:
    """One day of a plan."""

    on: date
    entries: tuple[PlanEntry, ...]
    is_leave: bool
    is_over: bool
    is_today: bool


@dataclass(frozen=True, slots=True)
class PlanWeek:
    """One week of a plan with its sums; strength and cancelled sessions are left out of them."""

    monday: date
    days: tuple[PlanDay, ...]
    is_easier: bool
    target_minutes: int | None
    minutes: int
    #: The minutes by effort, from the steps of each session.
    by_band: MinutesByBand
    hard_sessions: int
    sessions: int
    #: Changes that can still be published.
    waiting: int
    #: The block it was written in, when a later one has overtaken it.
    overtaken: Block | None = None

    @property
    def is_empty(self) -> bool:
        """Whether nothing at all is planned."""
        return not any(day.entries for day in self.days)


def standing_of(newest: PlannedSession, published: PlannedSession | None) -> Standing:
    """How the newest version stands to the last published one."""
    if newest.published_at is not None:
        return Standing.CANCELLED if newest.is_cancelled else Standing.PUBLISHED
    was_seen = published is not None and not published.is_cancelled
    if newest.is_cancelled:
        return Standing.CANCEL_WAITS if was_seen else Standing.DROPPED
    return Standing.CHANGED if was_seen else Standing.DRAFT


def entries_of(newest: Sequence[PlannedSession], published: Sequence[PlannedSession]) -> tuple[PlanEntry, ...]:
    """The entries of a plan by day; drafts that were dropped are left out. `published` is oldest version first."""
    last = {version.id: version for version in published}
    entries = [PlanEntry(one, last.get(one.id), standing_of(one, last.get(one.id))) for one in newest]
    shown = [entry for entry in entries if entry.standing is not Standing.DROPPED]
    return tuple(sorted(shown, key=lambda entry: (entry.session.planned_on, entry.session.id)))


def given_days(entries: Iterable[PlanEntry]) -> frozenset[date]:
    """The days on which the client has something of these entries, as it was last published."""
    days = (one.session.planned_on if one.standing is Standing.PUBLISHED else one.frozen_on for one in entries)
    return frozenset(day for day in days if day is not None)


def plan_week(history: History, monday: date, entries: Sequence[PlanEntry], today: date) -> PlanWeek:
    """One week of the plan with its sums."""
    here = [entry for entry in entries if week_start(entry.session.planned_on) == monday]
    counted = [entry.session for entry in here if entry.is_going and is_endurance(entry.session)]
    week = next((one for one in history.weeks if one.starts_on == monday), None)
    days = tuple(
        PlanDay(
            on=day,
            entries=tuple(entry for entry in here if entry.session.planned_on == day),
            is_leave=is_on_leave(history.leaves, day),
            is_over=day < today,
            is_today=day == today,
        )
        for day in week_days(monday)
    )
    return PlanWeek(
        monday=monday,
        days=days,
        is_easier=week is not None and week.is_easier,
        target_minutes=week.target_minutes if week else None,
        minutes=sum(session.minutes for session in counted),
        by_band=sum((planned_minutes_by_band(session) for session in counted), MinutesByBand()),
        hard_sessions=sum(session.is_hard for session in counted),
        sessions=len(counted),
        waiting=sum(entry.may_be_sent(today) for entry in here),
        overtaken=overtaken_block(history, monday),
    )


def is_answered(history: History, planned_session_id: int) -> bool:
    """Whether an entry names the planned session."""
    return any(log.planned_session_id == planned_session_id for log in history.logs)
