"""The one table from errors to answers."""

from __future__ import annotations

import logging
import sqlite3
from dataclasses import dataclass
from datetime import UTC, date, datetime
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI
from fastapi.exceptions import RequestValidationError
from sqlalchemy.exc import OperationalError
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect, Request
from starlette.responses import HTMLResponse, Response

from app.coaching.practice import Practice, PracticeKind
from app.coaching.reasons import DomainError, StaleEdit
from app.usecases.gate import NotAllowed, NotYours
from app.web.deps import CarriedOutBefore, Forged, SignInFirst, sign_in_address
from app.web.render import environment, error_part, lead_on, wants_part
from app.web.security import TooLarge

log = logging.getLogger("foothill")

NOBODY = Practice("Foothill", PracticeKind.REAL, "UTC", None, None, None)
FORGED_SENTENCE = "This form did not come from a page of this desk, or the page is too old. Open it again."


@dataclass(frozen=True, slots=True)
class ErrorDesk:
    """The little an error page knows; it must work when nothing else does."""

    path: str
    request_id: str
    practice: Practice = NOBODY
    actor: None = None
    flash: None = None
    csrf_token: str = ""
    today: date = date(2000, 1, 1)
    now_local: datetime = datetime(2000, 1, 1, tzinfo=UTC)
    is_clock_moved: bool = False


def answer(request: Request, status: int, sentence: str | None = None) -> Response:
    """The error page of a status with the request's id."""
    pages = {403, 404, 409, 413, 422, 429, 500, 503}
    other = 500 if status >= 500 else (422 if status == 400 else 404)
    name = status if status in pages else other
    desk = ErrorDesk(request.url.path, getattr(request.state, "request_id", ""))
    if wants_part(request):
        return error_part(desk, status, sentence)
    # Whatever stands under a client's own address is read on a phone.
    is_for_phone = request.url.path.startswith("/me/")
    page = environment().get_template(f"errors/{name}.html")
    text = page.render(desk=desk, sentence=sentence, is_for_phone=is_for_phone)
    headers = {"Cache-Control": "no-store"}
    if status in (400, 413):
        # Whoever is still sending is not listened to any longer.
        headers["Connection"] = "close"
    return HTMLResponse(text, status_code=status, headers=headers)


def install(app: FastAPI) -> None:
    """Hand the table to the application."""
    table: dict[type[Exception], Any] = {
        NotYours: lambda r, _e: answer(r, 404),
        NotAllowed: lambda r, e: answer(r, 403, str(e)),
        Forged: lambda r, _e: answer(r, 403, FORGED_SENTENCE),
        SignInFirst: lambda r, _e: lead_on(r, sign_in_address(r)),
        CarriedOutBefore: lambda r, e: lead_on(r, e.location),
        StaleEdit: lambda r, e: answer(r, 409, str(e)),
        DomainError: lambda r, e: answer(r, 422, str(e)),
        RequestValidationError: lambda r, _e: answer(r, 404),
        HTTPException: lambda r, e: answer(r, e.status_code, _detail(e)),
        ClientDisconnect: lambda r, _e: answer(r, 400),  # nobody reads it; a lost connection is no fault
        OperationalError: _storage_trouble,
    }
    for kind, handler in table.items():
        app.add_exception_handler(kind, handler)
    app.add_exception_handler(Exception, _unexpected)


def _detail(problem: HTTPException) -> str | None:
    """The sentence of a refusal; the standard's own word for a status is none."""
    is_ours = problem.status_code < 500 and problem.detail != HTTPStatus(problem.status_code).phrase
    return problem.detail if is_ours else None


def _storage_trouble(request: Request, problem: Exception) -> Response:
    original = getattr(problem, "orig", None)
    log.error("storage trouble", extra={"request_id": request.state.request_id, "what": str(original)})
    if isinstance(original, sqlite3.OperationalError):
        page = answer(request, 503, "The file could not be written just now. Nothing was kept; send it again.")
        page.headers["Retry-After"] = "5"
        return page
    return answer(request, 500)


def _unexpected(request: Request, problem: Exception) -> Response:
    if isinstance(problem, TooLarge):
        raise problem
    log.error("unexpected", exc_info=problem, extra={"request_id": getattr(request.state, "request_id", "")})
    return answer(request, 500)
