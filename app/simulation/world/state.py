"""What one client's life carries from day to day beside the record."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, field

from app.simulation.world.decisions import Count
from app.simulation.world.plans import Plan
from app.simulation.world.scene import Scene

Agenda = defaultdict[int, list[Callable[[], object]]]


def _agenda() -> Agenda:
    return defaultdict(list)


@dataclass(slots=True)
class Tally:
    """What happened, counted for those who calibrate: sessions on free days, and how many of them were done."""

    free_sessions: int = 0
    done_sessions: int = 0
    days: int = 0


@dataclass(slots=True)
class Week:
    """The week that runs, as the coach's cheap count needs it."""

    planned: float = 0.0
    done: float = 0.0
    days: set[int] = field(default_factory=set)
    away: int = 0
    is_open: bool = False


@dataclass(slots=True)
class Life:
    """One client's life with the practice; `mornings` and `evenings` hold what is due on a day."""

    scene: Scene
    plan: Plan = field(default_factory=Plan)
    count: Count = field(default_factory=Count)
    tally: Tally = field(default_factory=Tally)
    week: Week = field(default_factory=Week)
    next_contact: int = 0
    mornings: Agenda = field(default_factory=_agenda)
    evenings: Agenda = field(default_factory=_agenda)

    def worked(self, day: int, minutes: float, effort: float) -> None:
        """A session was done: the body's side (minutes times effort), and the coach's."""
        self.scene.body.add(minutes * effort)
        self.week.done += minutes
        self.week.days.add(day)
        self.count.last_outing = day
