"""What a client is told of a plan that changed after it was sent: what it was, what it is, and why."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.heat import HOT_MONTHS
from app.coaching.prescriptions import PlannedSession
from app.coaching.target_words import aim_in_short
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
        new = f": {_new_target(self.now)}" if self.now.target_json != self.before.target_json else ""
        return f"{_what(self.now)}{new}. It was: {was_words(self.now, self.before)}."


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


def was_words(now: PlannedSession, before: PlannedSession, *, tells_figures: bool = True) -> str:
    """What stood before a change, as far as it was something else.

    tells_figures: whether a target may be named; not while the session is paused, or heat leaves it to effort.
    """
    said = []
    if _what(now) != _what(before):
        day = "" if now.planned_on == before.planned_on else f"{short_day(before.planned_on)}, "
        said.append(f"{day}{before.title}, {minutes_words(before.minutes)}")
    if now.place != before.place:
        said.append(before.place or "no place named")
    if now.target_json != before.target_json:
        said.append(_target_before(now, before, tells_figures=tells_figures))
    return "; ".join(said) or "the same with other steps"


def aim_ahead(session: PlannedSession) -> str:
    """The target of a session to come, in a few words; in the warm months with what heat makes of it."""
    aim = aim_in_short(session)
    return f"{aim}; in heat by effort only" if aim and session.planned_on.month in HOT_MONTHS else aim


def _target_before(now: PlannedSession, before: PlannedSession, *, tells_figures: bool) -> str:
    """The target before a change; a figure that was taken away is not said again."""
    aim = aim_in_short(before)
    if not aim:
        return "no target, by effort and talk"
    if now.target_json is None:
        return "with a target"
    return aim if tells_figures else "another target"


def _new_target(session: PlannedSession) -> str:
    aim = aim_ahead(session)
    return f"a new target, {aim}" if aim else "no target any more, by effort and talk"


def _is_ahead(one: ToldChange, today: date, until: date) -> bool:
    """Whether it concerns the days to come; a session of today, then or now, is told about on its own."""
    first = min(one.now.planned_on, one.before.planned_on)
    return first > today and first <= until


def _seen_as(session: PlannedSession) -> tuple[object, ...]:
    said = session.planned_on, session.title, session.minutes, session.rounds, session.place
    return *said, session.steps_json, session.target_json


def _what(session: PlannedSession) -> str:
    return f"{short_day(session.planned_on)}, {session.title}, {minutes_words(session.minutes)}"
