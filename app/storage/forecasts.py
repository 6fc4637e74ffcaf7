"""Forecasts: the last one of each client, and whether its record has changed since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import func, select
from sqlalchemy.dialects.sqlite import insert
from sqlalchemy.orm import Session

from app.coaching.forecast import Forecast
from app.coaching.forecast_kept import KeptForecast, forecast_from, forecast_json, print_of
from app.coaching.rules import Rules
from app.storage.tables.desk import AuditRow
from app.storage.tables.forecasts import ForecastRow
from app.storage.tables.people import ClientRow


def kept(db: Session, *, client_id: int, rules: Rules) -> KeptForecast | None:
    """A client's last forecast; None before the first."""
    row = db.get(ForecastRow, client_id)
    if row is None:
        return None
    return KeptForecast(forecast_from(row.content_json), row.reckoned_from != stands_at(db, client_id, rules))


def stands_at(db: Session, client_id: int, rules: Rules) -> str:
    """The print of a client's record and the practice's rules as they are now."""
    newest = db.scalar(select(func.max(AuditRow.id)).where(AuditRow.client_id == client_id))
    return print_of(newest or 0, rules)


@dataclass(frozen=True, slots=True)
class Standing:
    """How a client's last forecast stands."""

    client_id: int
    zone: str
    #: None: there is none yet.
    made_on: date | None
    is_behind: bool


def standings(db: Session, *, rules: Rules) -> list[Standing]:
    """How the forecast of every client stands, in one short read whatever their number."""
    newest = (
        select(AuditRow.client_id, func.max(AuditRow.id).label("id"))
        .where(AuditRow.client_id.is_not(None))
        .group_by(AuditRow.client_id)
        .subquery()
    )
    query = (
        select(ClientRow.id, ClientRow.zone, ForecastRow.made_on, newest.c.id, ForecastRow.reckoned_from)
        .join(newest, newest.c.client_id == ClientRow.id, isouter=True)
        .join(ForecastRow, ForecastRow.client_id == ClientRow.id, isouter=True)
        .order_by(ClientRow.id)
    )
    return [
        Standing(client_id, zone, made_on, is_behind=found != print_of(trace or 0, rules))
        for client_id, zone, made_on, trace, found in db.execute(query)
    ]


def keep(db: Session, *, client_id: int, forecast: Forecast, reckoned_from: str, at: datetime) -> None:
    """Keep a client's forecast in place of the last one."""
    values = {
        "made_on": forecast.made_on,
        "made_at": at,
        "reckoned_from": reckoned_from,
        "content_json": forecast_json(forecast),
    }
    statement = insert(ForecastRow).values(client_id=client_id, **values)
    db.execute(statement.on_conflict_do_update(index_elements=["client_id"], set_=values))
