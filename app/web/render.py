"""Pages and fragments: the one template environment, and the only file that knows htmx headers."""

from __future__ import annotations

import hashlib
from functools import cache
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, unquote
from uuid import uuid4

from jinja2 import Environment, FileSystemLoader, StrictUndefined, pass_context
from jinja2.runtime import Context
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from app.places import bundled
from app.web.felt_wrong_form import sheet
from app.web.filters import FILTERS

if TYPE_CHECKING:
    from app.web.deps import Desk

FLASH_COOKIE = "foothill_flash"
FLASH_SECONDS = 60
#: For an answer to a swap in place that goes where messages stand; the form stays as it is, with what was typed.
AMONG_MESSAGES = {"HX-Retarget": "#flash", "HX-Reswap": "innerHTML"}


@cache
def environment() -> Environment:
    """The template environment: strict, escaped, read once."""
    made = Environment(
        loader=FileSystemLoader(bundled("templates")),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    made.filters.update(FILTERS)
    made.globals["static"] = static
    made.globals["hidden_fields"] = hidden_fields
    made.globals["felt_wrong_sheet"] = sheet
    return made


@cache
def static(path: str) -> str:
    """The address of a static file, changing with its content."""
    content = (bundled("static") / path).read_bytes()
    return f"/static/{path}?v={hashlib.sha256(content).hexdigest()[:12]}"


@pass_context
def hidden_fields(context: Context) -> Markup:
    """What every form carries: the token against forged forms and an id that makes it count once."""
    desk: Desk = context["desk"]
    return Markup(
        '<input type="hidden" name="csrf_token" value="{}"><input type="hidden" name="request_id" value="{}">'
    ).format(desk.csrf_token, uuid4())


def wants_part(request: Request) -> bool:
    """Whether the page asked for a fragment: a swap in place, not a whole page or a step back in history."""
    headers = request.headers
    return (
        headers.get("HX-Request") == "true"
        and headers.get("HX-Request-Type") != "full"
        and "HX-Boosted" not in headers
        and "HX-History-Restore-Request" not in headers
    )


def render(desk: Desk, template: str, *, part: str | None = None, status: int = 200, **context: Any) -> HTMLResponse:
    """A page, or its fragment `part` when the request asks for one."""
    chosen = part if part is not None and wants_part(desk.request) else template
    text = environment().get_template(chosen).render(desk=desk, **context)
    answer = HTMLResponse(text, status_code=status)
    answer.headers["Vary"] = "HX-Request, HX-Request-Type, HX-History-Restore-Request"
    answer.headers["Cache-Control"] = "no-store"
    if desk.flash is not None and chosen == template:
        answer.delete_cookie(FLASH_COOKIE, path="/")
    return answer


def see_other(desk: Desk, location: str, *, flash: str | None = None) -> Response:
    """Lead on after a form was carried out, once: the answer is kept under the form's id."""
    desk.remember(location)
    return lead_on(desk.request, location, flash=flash)


def lead_on(request: Request, location: str, *, flash: str | None = None) -> Response:
    """A plain redirect; for a swap in place, htmx is told to load the address."""
    answer: Response
    if wants_part(request):
        answer = Response(status_code=204, headers={"HX-Redirect": location})
    else:
        answer = RedirectResponse(location, status_code=303)
    answer.headers["Cache-Control"] = "no-store"
    if flash is not None:
        answer.set_cookie(FLASH_COOKIE, quote(flash), max_age=FLASH_SECONDS, path="/", httponly=True, samesite="lax")
    return answer


def error_part(desk: Any, status: int, sentence: str | None) -> Response:
    """A refusal for a swap in place: one sentence in the page's own message area, what was typed stays."""
    text = environment().get_template("errors/_part.html").render(desk=desk, sentence=sentence)
    headers = AMONG_MESSAGES | {"Cache-Control": "no-store"}
    return HTMLResponse(text, status_code=status, headers=headers)


def flash_of(request: Request) -> str | None:
    """The sentence the last page left for this one; a refused form shows none, it was said about something else."""
    if request.method not in ("GET", "HEAD"):
        return None
    kept = request.cookies.get(FLASH_COOKIE)
    return unquote(kept) if kept else None
