"""Signing in and out, the first start, and personal links."""

from __future__ import annotations

import re
from datetime import timedelta

from fastapi import APIRouter
from starlette.requests import Request
from starlette.responses import RedirectResponse, Response

from app.coaching.access import CLIENT_LOGIN, COACH_LOGIN, Actor, Role
from app.usecases import accounts
from app.usecases.accounts import LinkState
from app.web.deps import Desk, PublicDesk, SignInFirst, login_cookie_name
from app.web.forms import Fields
from app.web.passwords import PasswordToSet, SignInTry, address_of
from app.web.render import lead_on, render
from app.web.security import new_token, plain_code, token_sha256

router = APIRouter()

#: Twice the login's own 180 days: the desk stretches them with each use, the cookie is written once.
PHONE_COOKIE_LASTS = 2 * CLIENT_LOGIN
PHONE_PAGES = "/me/"
#: A client's phone is told how to come back; the coaches' form is not for them.
PHONE_SIGNED_OUT = f"/sign-in?next={PHONE_PAGES}today"
#: Said by the way here: what a signed-out phone had sent was not kept.
LOST_ON_A_PHONE = "phone"
WRONG = "The address or the password is not right."
NEWEST_CODE = "Each start of the desk prints a new one; only the newest works."
LINK_WORDS = {
    LinkState.USED: "This link was used already. Each link signs one phone in, once.",
    LinkState.OVER: "This link is older than seven days and has stopped working.",
    LinkState.REVOKED: "Your coach has made a newer link, or has taken this one back.",
    LinkState.UNKNOWN: "This link is not known here. Perhaps a letter got lost on the way.",
}
_LOCAL_PATH = re.compile(r"/(?![/\\])[^\\\x00-\x20\x7f]*")


def home_of(actor: Actor) -> str:
    """The first page of a person's day."""
    return "/morning" if actor.is_coach else "/me/today"


def local_path(wished: str, *, otherwise: str) -> str:
    """An address inside this desk, never one that leads elsewhere."""
    return wished if _LOCAL_PATH.fullmatch(wished) else otherwise


def device_of(request: Request) -> str:
    """What a browser calls itself, in a few words a coach can tell phones apart by."""
    agent = request.headers.get("user-agent", "")
    system = next(
        (word for mark, word in _SYSTEMS if mark in agent), "a browser" if agent else "a browser without a name"
    )
    return system


_SYSTEMS = (
    ("iPhone", "phone (iOS)"),
    ("iPad", "tablet (iOS)"),
    ("Android", "phone or tablet (Android)"),
    ("Windows", "computer (Windows)"),
    ("Macintosh", "computer (macOS)"),
    ("Linux", "computer (Linux)"),
)


def _signed_in(desk: Desk, actor: Actor, token: str, location: str) -> Response:
    """Lead on with the login's cookie: kept from scripts and other sites, and bound to the host over TLS."""
    lasts: timedelta = COACH_LOGIN if actor.is_coach else PHONE_COOKIE_LASTS
    page = lead_on(desk.request, location)
    page.set_cookie(
        login_cookie_name(desk.request),
        token,
        max_age=int(lasts.total_seconds()),
        path="/",
        httponly=True,
        secure=desk.request.url.scheme == "https",
        samesite="lax",
    )
    return page


@router.get("/")
def first_page(desk: PublicDesk) -> Response:
    """Lead to where the day begins."""
    if desk.actor is not None:
        return RedirectResponse(home_of(desk.actor), status_code=303)
    return RedirectResponse("/sign-in" if accounts.has_coaches(desk.db) else "/set-up", status_code=303)


@router.get("/sign-in")
def show_sign_in(desk: PublicDesk) -> Response:
    """The sign-in page."""
    if desk.actor is not None:
        return RedirectResponse(home_of(desk.actor), status_code=303)
    if not accounts.has_coaches(desk.db):
        return RedirectResponse("/set-up", status_code=303)
    asked = desk.request.query_params
    lost, wished = asked.get("lost", ""), asked.get("next", "")
    if lost == LOST_ON_A_PHONE or wished.startswith(PHONE_PAGES):
        return render(desk, "account/phone_signed_out.html", lost=bool(lost))
    return render(desk, "account/sign_in.html", fields=Fields(initial={"next": wished}), lost=lost)


@router.post("/sign-in")
def sign_in(tried: SignInTry, desk: PublicDesk) -> Response:
    """Sign a coach in, or say what is not right."""
    # Looked at again inside the turn to write: of many tries sent at once only the free ones are answered, and the
    # right password among the others is answered like a wrong one.
    wait_s = tried.pause_s or accounts.pause_s(desk.db, email=tried.email, address=tried.address, now=desk.now)
    if wait_s > 0:
        return _pause(desk, "account/sign_in.html", wait_s)
    if not tried.is_right or tried.person is None:
        accounts.note_wrong_password(desk.db, email=tried.email, address=tried.address, now=desk.now)
        fields = Fields(desk.form)
        fields.refuse("email", WRONG)
        return render(desk, "account/sign_in.html", status=422, fields=fields)
    token = new_token()
    actor = accounts.sign_in(
        desk.db,
        person=tried.person,
        email=tried.email,
        address=tried.address,
        token_sha256=token_sha256(token),
        device=device_of(desk.request),
        fresh_hash=tried.fresh_hash,
        now=desk.now,
    )
    _end_login_of_this_browser(desk)
    return _signed_in(desk, actor, token, local_path(desk.form.get("next", ""), otherwise=home_of(actor)))


def _pause(desk: Desk, template: str, wait_s: int) -> Response:
    """The form as it was typed, passwords apart, with how long to wait."""
    accounts.note_pause(desk.db, address=address_of(desk.request), now=desk.now)
    fields = Fields(desk.form)
    fields.refuse(
        "",
        f"There were several wrong tries. The next one can be made in {wait_s} seconds. "
        "What you typed is still here, but not the password.",
    )
    page = render(desk, template, status=429, fields=fields)
    page.headers["Retry-After"] = str(wait_s)
    return page


def _end_login_of_this_browser(desk: Desk) -> None:
    if desk.actor is not None and desk.login is not None:
        accounts.sign_out(desk.db, actor=desk.actor, login=desk.login, now=desk.now)


@router.post("/sign-out")
def sign_out(desk: PublicDesk) -> Response:
    """End this browser's login."""
    _end_login_of_this_browser(desk)
    return _signed_out(desk)


@router.post("/sign-out/everywhere")
def sign_out_everywhere(desk: PublicDesk) -> Response:
    """End every login of the person."""
    if desk.actor is None:
        raise SignInFirst
    accounts.sign_out_everywhere(desk.db, actor=desk.actor, now=desk.now)
    return _signed_out(desk)


def _signed_out(desk: Desk) -> Response:
    is_client = desk.actor is not None and not desk.actor.is_coach
    page = lead_on(desk.request, PHONE_SIGNED_OUT if is_client else "/sign-in", flash="You are signed out.")
    page.delete_cookie(login_cookie_name(desk.request), path="/", secure=desk.request.url.scheme == "https")
    page.headers["Clear-Site-Data"] = '"cache", "storage"'
    return page


@router.get("/set-up")
def show_set_up(desk: PublicDesk) -> Response:
    """The page of the first start, as long as nobody works here."""
    if accounts.has_coaches(desk.db):
        return RedirectResponse("/", status_code=303)
    return render(desk, "account/set_up.html", fields=Fields())


@router.post("/set-up")
def set_up(password: PasswordToSet, desk: PublicDesk) -> Response:
    """Make the head coach with the one-time code from the console, and sign in."""
    if accounts.has_coaches(desk.db):
        return RedirectResponse("/", status_code=303)
    address = address_of(desk.request)
    wait_s = accounts.pause_s(desk.db, email="", address=address, now=desk.now)
    if wait_s > 0:
        return _pause(desk, "account/set_up.html", wait_s)
    fields = Fields(desk.form)
    code, name, email = fields.text("code"), fields.text("name"), email_of(fields)
    if code and not accounts.is_set_up_code(desk.db, code_sha256=token_sha256(plain_code(code))):
        accounts.note_wrong_password(desk.db, email="", address=address, now=desk.now)
        fields.refuse("code", "This is not the code in the window in which the desk was started. " + NEWEST_CODE)
    if password.problem:
        fields.refuse("new_password", password.problem)
    if fields.errors or name is None or email is None or password.hash is None:
        return render(desk, "account/set_up.html", status=422, fields=fields)
    person = accounts.create_coach(desk.db, name=name, email=email, password_hash=password.hash, now=desk.now)
    token = new_token()
    actor = accounts.begin_login(
        desk.db, person=person, token_sha256=token_sha256(token), device=device_of(desk.request), now=desk.now
    )
    return _signed_in(desk, actor, token, "/practice")


def email_of(fields: Fields, name: str = "email") -> str | None:
    """An e-mail address that can be written down: something, an @, something with a dot or a local name."""
    email = fields.text(name, most=254)
    if email is not None and not re.fullmatch(r"[^@\s]+@[^@\s]+", email):
        fields.refuse(name, "This does not look like an e-mail address.")
        return None
    return email


@router.get("/join/{token}")
def show_join(token: str, desk: PublicDesk) -> Response:
    """The page of a personal link: one button; opening it uses nothing up."""
    link = accounts.look_at_link(desk.db, token_sha256=token_sha256(token), now=desk.now)
    if link.state is not LinkState.OPEN or link.person is None:
        return render(desk, "account/link_over.html", status=404, sentence=LINK_WORDS[link.state])
    is_coach = link.person.role is not Role.CLIENT
    return render(desk, "account/join.html", name=link.person.name, is_coach=is_coach, token=token, fields=Fields())


@router.post("/join/{token}")
def join(token: str, password: PasswordToSet, desk: PublicDesk) -> Response:
    """Use the link up and sign this phone in."""
    link = accounts.look_at_link(desk.db, token_sha256=token_sha256(token), now=desk.now)
    if link.state is not LinkState.OPEN or link.person is None:
        return render(desk, "account/link_over.html", status=404, sentence=LINK_WORDS[link.state])
    is_coach = link.person.role is not Role.CLIENT
    if is_coach and password.hash is None:
        fields = Fields(desk.form)
        fields.refuse("new_password", password.problem or "Please fill this in.")
        return render(
            desk, "account/join.html", status=422, name=link.person.name, is_coach=True, token=token, fields=fields
        )
    login_token = new_token()
    actor = accounts.join(
        desk.db,
        link_sha256=token_sha256(token),
        token_sha256=token_sha256(login_token),
        device=device_of(desk.request),
        password_hash=password.hash,
        now=desk.now,
    )
    _end_login_of_this_browser(desk)
    return _signed_in(desk, actor, login_token, home_of(actor))
