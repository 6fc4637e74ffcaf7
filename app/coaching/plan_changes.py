"""Changes of plans before anything is kept: what is new, what becomes of a session, what is taken away."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from app.coaching.history import History
from app.coaching.lookahead_hard import interval_weeks_until
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.session_shapes import SessionContent, Shape
from app.coaching.typed_content import UPHILL, is_uphill_place
from app.coaching.typed_session import Typed, TypedSteady

#: Fewer weeks than this in interval phases: rounds are worded as first ones.
FIRST_WEEKS = 3

Made = Callable[[Typed], PlannedSession]


@dataclass(frozen=True, slots=True)
class Change:
    """One session as it is now and as it will be; a new one has no before and a number below nothing for an id."""

    before: PlannedSession | None
    after: PlannedSession

    @property
    def action(self) -> str:
        """What the trail calls it."""
        if self.before is None:
            return "added"
        return "cancelled" if self.after.is_cancelled else "changed"


def is_first_of_phase(known: History, day: date) -> bool:
    """Whether rounds on a day are worded as first ones."""
    return interval_weeks_until(known, day) < FIRST_WEEKS


def new_session(
    content: SessionContent, *, client_id: int, number: int, on: date, mode: Mode, place: str | None, at: datetime
) -> PlannedSession:
    """A session that is not kept yet, with an identity of its own for looking ahead."""
    return PlannedSession(
        id=-number,
        version_id=-number,
        version=0,
        client_id=client_id,
        planned_on=on,
        kind=content.kind,
        mode=mode,
        title=content.title,
        purpose=content.purpose,
        minutes=content.minutes,
        hard_minutes=content.hard_minutes,
        is_hard=content.is_hard,
        rounds=content.rounds,
        steps_json=content.steps_json,
        easy_version=content.easy_version,
        place=place,
        is_cancelled=False,
        created_at=at,
        person_id=0,
        reason=None,
        published_at=None,
        seen_at=None,
    )


def day_changes(
    standing: Sequence[tuple[Typed, PlannedSession]], wanted: Sequence[Typed], make: Made
) -> tuple[Change, ...]:
    """What makes a day hold what is wanted: what stays is left alone, one thing becomes another of its sort first."""
    left = list(standing)
    missing = []
    for typed in wanted:
        same = next((pair for pair in left if pair[0] == typed), None)
        if same is None:
            missing.append(typed)
        else:
            left.remove(same)
    changes = []
    for typed in missing:
        alike = next((pair for pair in left if _is_strength(pair[0]) == _is_strength(typed)), None)
        if alike is not None:
            left.remove(alike)
        changes.append(_becomes(alike[1] if alike else None, make(typed)))
    return (*changes, *(taken_away(session) for _typed, session in left))


def taken_away(session: PlannedSession) -> Change:
    """A session that is cancelled."""
    return Change(session, replace(session, is_cancelled=True))


def _becomes(before: PlannedSession | None, made: PlannedSession) -> Change:
    if before is None:
        return Change(None, made)
    was_uphill = is_uphill_place(before)
    # Another way of moving may need another place: a ride is not done in the pool.
    keeps_place = made.mode is before.mode and not was_uphill
    place, hill_id = made.place or (before.place if keeps_place else None), None
    if was_uphill and made.place == UPHILL and made.mode is before.mode:
        place, hill_id = before.place, before.hill_id
    same = replace(made, id=before.id, version_id=before.version_id, version=before.version)
    return Change(before, replace(same, place=place, hill_id=hill_id))


def _is_strength(typed: Typed) -> bool:
    return isinstance(typed, TypedSteady) and typed.shape is Shape.STRENGTH
