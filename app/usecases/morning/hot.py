"""Who has hard work outdoors on a day that was noted as hot: one line for all of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from app.coaching.heat import HeatNote, asks_outdoors
from app.coaching.history import History
from app.coaching.leave_to_train import may_train_now
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.storage import illness
from app.usecases.morning.opening import session_today


@dataclass(frozen=True, slots=True)
class InHeat:
    """One client whose hard work of today is outdoors and hot."""

    client: Client
    session: PlannedSession
    #: What the day asks of it, in the words of the page of heat.
    asks: str


@dataclass(frozen=True, slots=True)
class HotDay:
    """What was noted for the practice's day, and whom it reaches."""

    note: HeatNote
    reached: tuple[InHeat, ...]


def heat_noted(db: Session, days: Iterable[date]) -> dict[date, HeatNote | None]:
    """What was noted of the heat of some days; None for one nobody noted."""
    return {day: illness.heat_on(db, day=day) for day in sorted(set(days))}


def hot_day(noted: Iterable[HeatNote | None], reached: Iterable[InHeat | None]) -> HotDay | None:
    """The newest heat noted for anybody's today with everybody it reaches; None when nobody noted any."""
    newest = max((one for one in noted if one is not None), key=lambda one: one.noted_at, default=None)
    return None if newest is None else HotDay(newest, tuple(one for one in reached if one is not None))


def in_heat(known: History, note: HeatNote | None, today: date, rules: Rules) -> InHeat | None:
    """A client's hard work of a hot day; None without any. Who is stopped anyway is not named."""
    if note is None:
        return None
    session = session_today(known, today)
    asks = None if session is None else asks_outdoors(known, session, note, today)
    if session is None or asks is None or may_train_now(known, session, today, rules).is_paused:
        return None
    return InHeat(known.client, session, asks)
