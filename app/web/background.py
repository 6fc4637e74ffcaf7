"""What the desk does between requests: it keeps every client's forecast up to date, one client at a time."""

from __future__ import annotations

import asyncio
import logging

from starlette.concurrency import run_in_threadpool

from app.usecases import forecasting
from app.usecases.forecasting import Reckoned
from app.web.deps import House

#: Seconds after the start, between two looks, and between two clients, so that pages come first.
FIRST_LOOK_S, NEXT_LOOK_S, BREATH_S = 10.0, 30.0, 2.0
_log = logging.getLogger(__name__)


async def keep_forecasts(house: House) -> None:
    """Look again and again for forecasts that are behind, until cancelled."""
    await asyncio.sleep(FIRST_LOOK_S)
    while True:
        try:
            await catch_up(house)
        except Exception:
            # The desk serves on without a fresh forecast; pages say from when theirs is.
            _log.exception("a forecast could not be made")
        await asyncio.sleep(NEXT_LOOK_S)


async def catch_up(house: House, *, breath_s: float = BREATH_S) -> int:
    """Make every forecast that is behind; returns how many. Only the short write takes the turn."""
    client_ids = await run_in_threadpool(_due, house)
    for client_id in client_ids:
        reckoned = await run_in_threadpool(_reckon, house, client_id)
        if reckoned is not None:
            async with house.turn:
                await run_in_threadpool(_keep, house, reckoned)
        await asyncio.sleep(breath_s)
    return len(client_ids)


def _due(house: House) -> tuple[int, ...]:
    with house.transaction(False) as db:
        return forecasting.due(db, now=house.clock.now())


def _reckon(house: House, client_id: int) -> Reckoned | None:
    with house.transaction(False) as db:
        return forecasting.reckon(db, client_id=client_id, now=house.clock.now())


def _keep(house: House, reckoned: Reckoned) -> None:
    with house.transaction(True) as db:
        forecasting.keep(db, reckoned, now=house.clock.now())
