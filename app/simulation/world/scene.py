"""One client's stage: who it is, the record so far, the coach's rules and the day's dice."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime

from app.coaching.holds import Hold, Stops
from app.coaching.people import Origin
from app.coaching.rules import Rules
from app.simulation.world.body import Body
from app.simulation.world.people import Person
from app.simulation.world.record import Calendar, Record
from app.simulation.world.spells import Spells

#: The columns of a day's dice; a new use takes a new column at the end.
DICE = (
    "note",
    "done",
    "how",
    "moved",
    "late",
    "why",
    "effort",
    "talk",
    "posture",
    "rounds",
    "minute",
    "extra",
    "paper",
)


@dataclass(slots=True)
class Scene:
    """Everything that happens to one client happens on it."""

    person: Person
    record: Record
    calendar: Calendar
    rules: Rules
    body: Body
    spells: Spells
    #: The day of joining, counted from the first day of the world; chances, spells and dice count from it.
    joined: int
    chances: list[float]
    dice: list[dict[str, float]]
    coach_id: int
    me_id: int
    #: The first day on which hard work is usual again after an illness.
    hard_from: int = 0
    _away: frozenset[int] = field(init=False)
    _ill: frozenset[int] = field(init=False)

    def __post_init__(self) -> None:
        self._away, self._ill = (
            frozenset(self.joined + day for one in spells for day in range(one.first, one.last + 1))
            for spells in (self.spells.trips, self.spells.bouts)
        )

    @property
    def client_id(self) -> int:
        """Whose record it is."""
        return self.record.client.id

    @property
    def entering_id(self) -> int:
        """Who types the client's entries."""
        return self.me_id if self.person.has_phone else self.coach_id

    def origin(self, roll: float) -> Origin:
        """Where an entry of the client comes from."""
        if self.person.has_phone:
            return Origin.CLIENT
        return Origin.TOLD_BY_PHONE if roll < 0.3 else Origin.FROM_PAPER

    def on(self, day: int) -> date:
        """The date of a day."""
        return self.calendar.on(day)

    def at(self, day: int, hour: int, minute: int = 0) -> datetime:
        """An instant of a day."""
        return self.calendar.at(day, hour, minute)

    def next_id(self, kind: str) -> int:
        """The next number of a kind of record."""
        return self.record.numbers.next(kind)

    def roll(self, day: int) -> dict[str, float]:
        """The dice of a day."""
        return self.dice[day - self.joined]

    def standing(self) -> list[Hold]:
        """Holds that are open now."""
        return list(self.record.standing.values())

    def is_stopped(self) -> bool:
        """Whether nothing may be done: the client moves in one way only."""
        standing = self.record.standing
        return bool(standing) and any(one.stops is not Stops.HARD for one in standing.values())

    def is_away(self, day: int) -> bool:
        """Whether the client travels on a day."""
        return day in self._away

    def is_ill(self, day: int) -> bool:
        """Whether the client is ill on a day."""
        return day in self._ill
