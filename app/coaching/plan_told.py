"""What a client is told of a plan that changed after it was sent: what it was, what it is, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.prescriptions import PlannedSession
from app.coaching.weeks import local_day
from app.coaching.words import minutes_words, short_day

#: A change is told for so many days; the plan itself says the rest.
TOLD_DAYS = 7


@dataclass(frozen=True, slots=True)
class ToldChange:
    """One session to come that was changed, moved or cancelled after the client had it."""

    now: PlannedSession
    before: PlannedSession
    changed_on: date

    @property
    def words(self) -> str:
        """What became of it."""
        if self.now.is_cancelled:
            return f"{_what(self.before)}: cancelled."
        if _what(self.now) == _what(self.before) and self.now.target_json != self.before.target_json:
            return f"{_what(self.now)}: {'no target any more' if self.now.target_json is None else 'a new target'}."
        return f"{_what(self.now)}. It was: {_what(self.before)}."


def told_changes(
    versions: Iterable[Sequence[PlannedSession]], *, today: date, until: date, zone: str
) -> tuple[ToldChange, ...]:
    """Sessions of the days to come whose last version differs from the one the client had, by day.

    versions: the published versions of each session, oldest first. Today's own changes are told beside the session.
    """
    found = [change for of_one in versions if (change := _change(of_one, zone)) is not None]
    told = [one for one in found if _is_ahead(one, today, until) and (today - one.changed_on).days < TOLD_DAYS]
    return tuple(sorted(told, key=lambda one: (one.now.planned_on, one.now.id)))


def _change(versions: Sequence[PlannedSession], zone: str) -> ToldChange | None:
    """The last change the client could see; a version that says the same is none."""
    now, earlier = versions[-1], [one for one in versions[:-1] if not one.is_cancelled]
    if not earlier or now.published_at is None or (not now.is_cancelled and _seen_as(now) == _seen_as(earlier[-1])):
        return None
    return ToldChange(now, earlier[-1], local_day(now.published_at, zone))


def _is_ahead(one: ToldChange, today: date, until: date) -> bool:
    """Whether it concerns the days to come; a session of today, then or now, is told about on its own."""
    first = min(one.now.planned_on, one.before.planned_on)
    return first > today and first <= until


def _seen_as(session: PlannedSession) -> tuple[object, ...]:
    said = session.planned_on, session.title, session.minutes, session.rounds, session.place
    return *said, session.steps_json, session.target_json


def _what(session: PlannedSession) -> str:
    return f"{short_day(session.planned_on)}, {session.title}, {minutes_words(session.minutes)}"
