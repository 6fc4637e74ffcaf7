"""Forecasts are kept by the desk itself, apart from any request: pages read them, entries only make them behind.

Nobody acts here and nothing of the record changes, so there is no gate and no trace.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

import numpy as np
from sqlalchemy.orm import Session

from app.coaching.forecast import Forecast, forecast
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import PLAN_SHOWN, WHOLE_BASE
from app.storage import clients, forecasts, history, practice


@dataclass(frozen=True, slots=True)
class Reckoned:
    """A new forecast, and a print of what it was reckoned from."""

    client_id: int
    forecast: Forecast
    reckoned_from: str


def due(db: Session, *, now: datetime) -> tuple[int, ...]:
    """Clients without a forecast, with one from an earlier week, or whose record or rules have changed since."""
    return tuple(
        one.client_id
        for one in forecasts.standings(db, rules=practice.rules(db))
        if one.is_behind or one.made_on is None or one.made_on < week_start(local_day(now, one.zone))
    )


def reckon(db: Session, *, client_id: int, now: datetime) -> Reckoned | None:
    """Make a client's forecast without keeping it; None when the client is no longer there.

    The generator is the client's own, so that the same record gives the same forecast.
    """
    client = next(iter(clients.several(db, client_ids=[client_id])), None)
    if client is None:
        return None
    rules, today = practice.rules(db), local_day(now, client.zone)
    found = history.load(db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=today + PLAN_SHOWN)[0]
    made = forecast(found, today, rules, np.random.default_rng(client_id))
    return Reckoned(client_id, made, forecasts.stands_at(db, client_id, rules))


def keep(db: Session, reckoned: Reckoned, *, now: datetime) -> None:
    """Keep a forecast, unless the client was erased meanwhile. A change that came meanwhile leaves it behind."""
    if clients.several(db, client_ids=[reckoned.client_id]):
        forecasts.keep(
            db,
            client_id=reckoned.client_id,
            forecast=reckoned.forecast,
            reckoned_from=reckoned.reckoned_from,
            at=now,
        )
