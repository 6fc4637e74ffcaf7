"""Passwords in forms: checked and hashed before the request's transaction begins, a few at a time."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from fastapi import Depends
from sqlalchemy.orm import Session
from starlette.requests import Request

from app.coaching.access import Person
from app.usecases import accounts, entrance
from app.usecases.passwords import Passwords, weakness
from app.web.deps import SentForm, hash_apart, house_of, login_cookie_name, read_ahead
from app.web.security import token_sha256

LONGEST_EMAIL = 254


@dataclass(frozen=True, slots=True)
class PasswordTry:
    """One try at a password: whose, whether it was right, and how long a next one has to wait."""

    email: str
    address: str
    person: Person | None
    is_right: bool
    pause_s: int
    #: The hash made anew, when the kept one was made with weaker parameters.
    fresh_hash: str | None


@dataclass(frozen=True, slots=True)
class NewPassword:
    """A password to be set: its hash, or why it is not taken."""

    hash: str | None
    problem: str | None


def address_of(request: Request) -> str:
    """Where a request comes from."""
    return request.client.host if request.client else "unknown"


async def check_sign_in(request: Request, sent: SentForm) -> PasswordTry:
    """Check what was typed on the sign-in page (fields email, password)."""
    email = sent.values.get("email", "").strip()[:LONGEST_EMAIL]
    return await _try(request, email, sent.values.get("password", ""))


async def check_own_password(request: Request, sent: SentForm) -> PasswordTry:
    """Check the signed-in coach's own password again (field own_password), before something grave."""
    now = house_of(request).clock.now()
    token = request.cookies.get(login_cookie_name(request), "")

    def own_email(db: Session) -> str:
        found = entrance.enter(db, token_sha256=token_sha256(token) if token else None, now=now)
        return accounts.own_email(db, actor=found.actor) if found.actor else ""

    email = await read_ahead(request, own_email)
    return await _try(request, email, sent.values.get("own_password", ""))


async def _try(request: Request, email: str, password: str) -> PasswordTry:
    now = house_of(request).clock.now()
    address = address_of(request)
    known = await read_ahead(request, lambda db: accounts.on_file(db, email=email, address=address, now=now))
    if known.pause_s > 0:
        return PasswordTry(email, address, known.person, False, known.pause_s, None)
    kept = known.person.password_hash if known.person else None

    def checking(passwords: Passwords) -> tuple[bool, str | None]:
        is_right = passwords.matches(password, kept)
        is_old = is_right and kept is not None and passwords.is_outdated(kept)
        return is_right, passwords.hash(password) if is_old else None

    is_right, fresh = await hash_apart(request, checking)
    return PasswordTry(email, address, known.person, is_right, 0, fresh)


async def hash_new_password(request: Request, sent: SentForm) -> NewPassword:
    """Judge and hash a password to be set (fields new_password, new_password_again)."""
    password = sent.values.get("new_password", "")
    if not password:
        return NewPassword(None, "Please fill this in.")
    if password != sent.values.get("new_password_again", ""):
        return NewPassword(None, "The two are not the same.")
    now = house_of(request).clock.now()
    token = request.cookies.get(login_cookie_name(request), "")
    found = await read_ahead(
        request, lambda db: entrance.enter(db, token_sha256=token_sha256(token) if token else None, now=now)
    )
    names = [found.practice.name, sent.values.get("name", ""), sent.values.get("email", "")]
    if found.actor is not None:
        names.append(found.actor.name)
    problem = weakness(password, names=tuple(name for name in names if name))
    if problem is not None:
        return NewPassword(None, problem)
    return NewPassword(await hash_apart(request, lambda passwords: passwords.hash(password)), None)


#: Declare these before the desk in a route's signature: dependencies run in that order, and the desk opens the
#: request's transaction.
SignInTry = Annotated[PasswordTry, Depends(check_sign_in)]
OwnPasswordTry = Annotated[PasswordTry, Depends(check_own_password)]
PasswordToSet = Annotated[NewPassword, Depends(hash_new_password)]
