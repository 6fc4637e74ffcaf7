"""Every route of the application with what it asks for, read from the router itself."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Any

from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute, iter_route_contexts

from app.web import deps
from app.web.routes import ROUTERS

#: Who a route is for, from the desk it asks for; the strictest one counts.
_DESKS = ((deps.head_desk, "head"), (deps.coach_desk, "coach"), (deps.phone_desk, "client"))


@dataclass(frozen=True)
class Walk:
    """One route under one method."""

    method: str
    path: str
    audience: str

    @property
    def parameters(self) -> tuple[str, ...]:
        """The names in the address, in order."""
        return tuple(re.findall(r"\{(\w+)(?::\w+)?\}", self.path))

    def address(self, values: dict[str, object]) -> str:
        """The address with values put in. Raises: KeyError for a name nobody has a value for."""
        return re.sub(r"\{(\w+)(?::\w+)?\}", lambda found: str(values[found.group(1)]), self.path)

    def __str__(self) -> str:
        return f"{self.method} {self.path}"


def walks(app: FastAPI) -> list[Walk]:
    """Every route x method of an application, mounted folders left out."""
    found = [
        Walk(method, context.path or "", audience(context.dependant))
        for context in iter_route_contexts(app.routes)
        if isinstance(context.original_route, APIRoute)
        for method in sorted(context.methods or ())
    ]
    return sorted(found, key=str)


def audience(dependant: Dependant) -> str:
    """Whom a route's desk lets through."""
    calls = set(_calls(dependant))
    return next((word for desk, word in _DESKS if desk in calls), "public")


def _calls(dependant: Dependant) -> Iterator[Callable[..., Any] | None]:
    for inner in dependant.dependencies:
        yield inner.call
        yield from _calls(inner)


def bare_app() -> FastAPI:
    """The routes without a practice behind them, to be listed while tests are collected."""
    app = FastAPI(openapi_url=None, docs_url=None, redoc_url=None)
    for router in ROUTERS:
        app.include_router(router)
    return app
