"""The application: settings in, everything wired, ready to serve."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import AbstractContextManager, asynccontextmanager
from functools import partial

import anyio.to_thread
from fastapi import FastAPI
from sqlalchemy import Engine
from sqlalchemy.orm import Session
from starlette.middleware import Middleware
from starlette.types import ASGIApp, Receive, Scope, Send

from app import __version__
from app.coaching.practice import PracticeKind
from app.coaching.reasons import DomainError
from app.places import bundled
from app.settings import Settings, local_zone
from app.storage import practice, schema
from app.storage.changes import Changes, counted_unit_of_work, watch
from app.storage.database import assert_sound, open_engine, unit_of_work
from app.usecases.passwords import Passwords
from app.web import errors
from app.web.background import keep_forecasts, keep_mornings
from app.web.deps import Clock, House, new_request_id
from app.web.routes import ROUTERS
from app.web.security import Guard
from app.web.static_files import BundledFiles

WORKER_THREADS = 4


class RequestId:
    """Plain ASGI: an id for each request before anything else happens."""

    def __init__(self, app: ASGIApp) -> None:
        self.app = app

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        """Handle one request."""
        if scope["type"] == "http":
            scope.setdefault("state", {})["request_id"] = new_request_id()
        await self.app(scope, receive, send)


def prepare(settings: Settings, *, kind: PracticeKind = PracticeKind.REAL) -> Engine:
    """Bring the folder up to date and open its file; a fresh folder gets an empty practice of a kind."""
    settings.data_dir.mkdir(mode=0o700, parents=True, exist_ok=True)
    assert_sound(settings.data_dir)
    schema.upgrade(settings.data_dir)
    engine = open_engine(settings.data_dir)
    with unit_of_work(engine, write=True) as db:
        if practice.found(db) is None:
            practice.create(db, name="Our practice", kind=kind, zone=local_zone(), at=Clock().now())
    return engine


def clock_for(settings: Settings, engine: Engine) -> Clock:
    """The real clock, or one moved to --today.

    Raises: DomainError when a folder of real people should be moved.
    """
    if settings.today is None:
        return Clock()
    with unit_of_work(engine, write=False) as db:
        found = practice.found(db)
    if found is None or found.kind is PracticeKind.REAL:
        raise DomainError("--today moves invented people only; this folder is not marked demo or simulated")
    return Clock.at_seven(settings.today, found.zone)


def passwords_for(settings: Settings, engine: Engine) -> Passwords:
    """argon2id at full strength, or the quick form for invented people.

    Raises: DomainError when real people's passwords should be hashed quickly.
    """
    if not settings.quick_hashing:
        return Passwords()
    with unit_of_work(engine, write=False) as db:
        found = practice.found(db)
    if found is None or found.kind is PracticeKind.REAL:
        raise DomainError("quick hashing is for invented people only; this folder is not marked demo or simulated")
    return Passwords(quick=True)


def create_app(settings: Settings) -> FastAPI:
    """The whole application on one data folder. The caller holds the folder's lock."""
    app = routed_app()
    furnish(app, settings)
    return app


def furnish(app: FastAPI, settings: Settings) -> None:
    """Let an application work on one data folder; it must not be serving another meanwhile."""
    engine = prepare(settings)
    changes = watch(engine)
    app.state.engine = engine
    app.state.house = House(
        transaction=partial(_transaction, engine, changes),
        clock=clock_for(settings, engine),
        settings=settings,
        version=__version__,
        revision=schema.newest_revision(),
        passwords=passwords_for(settings, engine),
    )


def routed_app() -> FastAPI:
    """Every page at its address, not yet on any data folder."""

    @asynccontextmanager
    async def lifespan(app: FastAPI) -> AsyncIterator[None]:
        anyio.to_thread.current_default_thread_limiter().total_tokens = WORKER_THREADS
        between = [asyncio.create_task(one(app.state.house)) for one in (keep_forecasts, keep_mornings)]
        yield
        for one in between:
            one.cancel()
        await asyncio.gather(*between, return_exceptions=True)
        app.state.engine.dispose()

    app = FastAPI(
        title="Foothill",
        docs_url=None,
        redoc_url=None,
        openapi_url=None,
        lifespan=lifespan,
        middleware=[Middleware(RequestId), Middleware(Guard)],
    )
    errors.install(app)
    for router in ROUTERS:
        app.include_router(router)
    app.mount("/static", BundledFiles(directory=bundled("static")), name="static")
    return app


def _transaction(engine: Engine, changes: Changes, write: bool) -> AbstractContextManager[Session]:
    return counted_unit_of_work(engine, changes, write=write)
