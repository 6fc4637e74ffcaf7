"""What a proposed week is: its sessions, its minutes, and in sentences what it does not meet."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.steps import Node, minutes_in_band, work_rounds


@dataclass(frozen=True, slots=True)
class SessionDraft:
    """One proposed session of a week; nothing is kept until the coach says so."""

    weekday: int
    minutes: int
    kind: SessionKind
    mode: Mode
    title: str
    purpose: str
    steps: tuple[Node, ...]
    easy_version: str | None = None
    is_hard: bool = False

    @property
    def hard_minutes(self) -> float:
        """Minutes of steps in the hard band."""
        return minutes_in_band(self.steps, Band.HARD)

    @property
    def rounds(self) -> int:
        """Work rounds in the steps."""
        return work_rounds(self.steps)


@dataclass(frozen=True, slots=True)
class WeekDraft:
    """One proposed week; `said` holds, in sentences, every wish it does not meet."""

    starts_on: date
    is_easier: bool
    target_minutes: int
    sessions: tuple[SessionDraft, ...]
    said: tuple[str, ...] = ()
    #: Minutes of tests and races that stand in it already and count for the week.
    kept_minutes: int = 0
    #: Whether days away leave so little of it that it is the easier week of its span.
    is_rest: bool = False

    @property
    def minutes(self) -> int:
        """Endurance minutes the sessions add up to; strength stands beside them."""
        return sum(session.minutes for session in self.outings)

    @property
    def short(self) -> int:
        """Minutes that are missing to what the week asks for; below nothing when it holds more."""
        return self.target_minutes - self.minutes - self.kept_minutes

    @property
    def outings(self) -> tuple[SessionDraft, ...]:
        """The sessions without strength."""
        return tuple(session for session in self.sessions if session.kind is not SessionKind.STRENGTH)
