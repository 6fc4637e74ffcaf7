"""What the desk does between requests: it reads rounds, keeps forecasts and mornings, and forgets what is over."""

from __future__ import annotations

import asyncio
import logging

from starlette.concurrency import run_in_threadpool

from app.usecases import forecasting
from app.usecases.forecasting import Reckoned
from app.usecases.morning import remembered
from app.usecases.recordings import forgetting, rounds_again
from app.usecases.recordings.rounds_again import RoundsRead
from app.web.deps import House

#: Seconds after the start, between two looks, and between two clients, so that pages come first.
FIRST_LOOK_S, NEXT_LOOK_S, BREATH_S = 10.0, 30.0, 2.0
#: So many clients' mornings are worked out at a time, and the pause between, so that pages wait a blink at most.
MORNINGS_AT_ONCE, SHORT_BREATH_S = 20, 0.5
_log = logging.getLogger(__name__)


async def keep_forecasts(house: House) -> None:
    """Look again and again for forecasts that are behind, until cancelled."""
    await asyncio.sleep(FIRST_LOOK_S)
    while True:
        try:
            await forget(house)
            await read_rounds(house)
            await catch_up(house)
        except Exception:
            # The desk serves on without a fresh forecast; pages say from when theirs is.
            _log.exception("what is done between requests could not be done")
        await asyncio.sleep(NEXT_LOOK_S)


async def keep_mornings(house: House) -> None:
    """Look again and again for clients whose part of the morning is not remembered, until cancelled."""
    await asyncio.sleep(FIRST_LOOK_S)
    while True:
        try:
            await tell_ahead(house)
        except Exception:
            # The next morning page works it out itself.
            _log.exception("the morning could not be worked out beforehand")
        await asyncio.sleep(NEXT_LOOK_S)


async def tell_ahead(house: House, *, breath_s: float = SHORT_BREATH_S) -> int:
    """Work out the morning of everybody of whom nothing stands remembered; returns of how many. It only reads."""
    told = 0
    while some := await run_in_threadpool(_tell_some, house):
        told += some
        await asyncio.sleep(breath_s)
    return told


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


async def forget(house: House) -> None:
    """Drop the files and recordings whose time is over; the turn is taken only when there are some."""
    if await run_in_threadpool(_look_for_old, house):
        async with house.turn:
            await run_in_threadpool(_forget, house)


async def read_rounds(house: House) -> None:
    """Read the rounds of recordings that no present reading has read; one that cannot be read holds up no other."""
    for recording_id in await run_in_threadpool(_unread, house):
        try:
            found = await run_in_threadpool(_find_rounds, house, recording_id)
            if found is not None:
                async with house.turn:
                    await run_in_threadpool(_keep_rounds, house, found)
        except Exception:
            _log.exception("the rounds of a recording could not be read")


def _tell_some(house: House) -> int:
    with house.transaction(False) as db:
        now = house.clock.now()
        return remembered.tell_ahead(db, now=now, remembered=house.remembered, at_most=MORNINGS_AT_ONCE)


def _unread(house: House) -> tuple[int, ...]:
    with house.transaction(False) as db:
        return rounds_again.unread(db)


def _find_rounds(house: House, recording_id: int) -> RoundsRead | None:
    with house.transaction(False) as db:
        return rounds_again.find(db, recording_id=recording_id)


def _keep_rounds(house: House, found: RoundsRead) -> None:
    with house.transaction(True) as db:
        rounds_again.keep(db, found, now=house.clock.now())


def _look_for_old(house: House) -> bool:
    now = house.clock.now()
    forgetting.forget_waiting(house.settings.data_dir, now=now)
    with house.transaction(False) as db:
        return forgetting.is_due(db, now=now)


def _forget(house: House) -> None:
    with house.transaction(True) as db:
        forgetting.forget_removed(db, now=house.clock.now())


def _due(house: House) -> tuple[int, ...]:
    with house.transaction(False) as db:
        return forecasting.due(db, now=house.clock.now())


def _reckon(house: House, client_id: int) -> Reckoned | None:
    with house.transaction(False) as db:
        return forecasting.reckon(db, client_id=client_id, now=house.clock.now())


def _keep(house: House, reckoned: Reckoned) -> None:
    with house.transaction(True) as db:
        forecasting.keep(db, reckoned, now=house.clock.now())
