"""Who has hard work outdoors on a day that was noted as hot: one line for all of them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
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


def hot_day(db: Session, histories: Sequence[History], days: Mapping[int, date], rules: Rules) -> HotDay | None:
    """The heat noted for everybody's today; None when nobody noted any. Who is stopped anyway is not named."""
    notes = {day: illness.heat_on(db, day=day) for day in sorted(set(days.values()))}
    newest = max((one for one in notes.values() if one is not None), key=lambda one: one.noted_at, default=None)
    if newest is None:
        return None
    found = [_in_heat(one, notes[days[one.client.id]], days[one.client.id], rules) for one in histories]
    return HotDay(newest, tuple(one for one in found if one is not None))


def _in_heat(known: History, note: HeatNote | None, today: date, rules: Rules) -> InHeat | None:
    session = session_today(known, today)
    asks = None if session is None or note is None else asks_outdoors(known, session, note, today)
    if session is None or asks is None or may_train_now(known, session, today, rules).is_paused:
        return None
    return InHeat(known.client, session, asks)
