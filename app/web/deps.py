"""What a route is given: the desk with its login, transaction and clock. Transactions and clocks open only here."""

from __future__ import annotations

import asyncio
import re
from collections.abc import AsyncIterator, Callable, Iterator
from contextlib import AbstractContextManager
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from functools import cached_property, partial
from typing import Annotated, TypeVar
from urllib.parse import quote
from zoneinfo import ZoneInfo

import anyio.to_thread
from anyio import CapacityLimiter
from fastapi import Depends, Query
from sqlalchemy.orm import Session
from starlette.concurrency import run_in_threadpool
from starlette.requests import Request

from app.coaching.access import Actor, Login
from app.coaching.paused_together import PausedTogether
from app.coaching.practice import Practice
from app.coaching.protocol_library import Library
from app.coaching.rules import Rules
from app.settings import Settings
from app.usecases import entrance, in_force, library
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.morning.remembered import Remembered
from app.usecases.passwords import Passwords
from app.web.render import flash_of
from app.web.security import SAFE_METHODS, csrf_token, is_same_origin, new_token, token_sha256, tokens_match
from app.web.sent import Sent, sent_form

LOGIN_COOKIE = "foothill_login"
SECURE_LOGIN_COOKIE = "__Host-foothill_login"
_REQUEST_ID = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-4[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
#: SQLite's integers end at 19 digits; such an id is nobody's.
_LARGER_THAN_ANY_ID = re.compile(r"-?[0-9]{19,}")
_SECRET_ADDRESS = re.compile(r"^(/join/|/feeds/).*")

T = TypeVar("T")
Transaction = Callable[[bool], AbstractContextManager[Session]]
Note = Callable[[Session], None]


class Clock:
    """The time: real, or moved to 07:00 of a chosen day and running on from there."""

    def __init__(self, shift: timedelta = timedelta()) -> None:
        self._shift = shift

    @classmethod
    def at_seven(cls, day: date, zone: str) -> Clock:
        """A clock that shows 07:00 of a day, practice time, at this moment."""
        seven = datetime(day.year, day.month, day.day, 7, tzinfo=ZoneInfo(zone))
        return cls(seven.astimezone(UTC) - datetime.now(UTC))

    @property
    def is_moved(self) -> bool:
        """Whether it shows another time than the real one."""
        return self._shift != timedelta()

    def now(self) -> datetime:
        """The present instant in UTC."""
        return datetime.now(UTC) + self._shift


@dataclass
class House:
    """What the running application keeps for all requests."""

    transaction: Transaction
    clock: Clock
    settings: Settings
    version: str
    revision: str
    passwords: Passwords
    remembered: Remembered = field(default_factory=Remembered)
    #: One writer at a time. Waited for on the event loop, so that no worker thread is held while waiting.
    turn: asyncio.Lock = field(default_factory=asyncio.Lock)
    #: Few hashes at a time, so that a flood of sign-ins cannot eat the memory; apart from the pages' threads.
    hashing: CapacityLimiter = field(default_factory=partial(CapacityLimiter, 4))
    #: One recording at a time is read, so that large files from many phones cannot starve the pages.
    reading: CapacityLimiter = field(default_factory=partial(CapacityLimiter, 1))


class SignInFirst(Exception):
    """A page for signed-in people was asked for by nobody in particular."""


class Forged(Exception):
    """A changing request that does not come from one of our own forms."""


class CarriedOutBefore(Exception):
    """The same form came again; its first answer is given again."""

    def __init__(self, location: str) -> None:
        super().__init__(location)
        self.location = location


@dataclass
class Desk:
    """One request at the desk."""

    request: Request
    house: House
    db: Session
    now: datetime
    practice: Practice
    rules: Rules
    zone: str
    login: Login | None
    _actor: Actor | None
    login_token: str
    sent: Sent
    request_id: str

    @property
    def actor(self) -> Actor | None:
        """The signed-in person, or None."""
        return self._actor

    @property
    def person(self) -> Actor:
        """The signed-in person on routes that need one."""
        if self._actor is None:
            raise SignInFirst
        return self._actor

    @property
    def form(self) -> dict[str, str]:
        """What was typed."""
        return self.sent.values

    @property
    def now_local(self) -> datetime:
        """The present in the person's zone."""
        return self.now.astimezone(ZoneInfo(self.zone))

    @property
    def today(self) -> date:
        """The local day in the person's zone."""
        return self.now_local.date()

    @property
    def path(self) -> str:
        """The address asked for, without query."""
        return self.request.url.path

    @cached_property
    def paused_together(self) -> PausedTogether:
        """What is paused for the signed-in client as this page is made; nothing for anybody else."""
        client_id = self._actor.client_id if self._actor else None
        if self._actor is None or client_id is None:
            return PausedTogether()
        return in_force.paused(self.db, actor=self._actor, client_id=client_id, rules=self.rules, now=self.now)

    @cached_property
    def library(self) -> Library:
        """The hard sessions coaches choose from, the practice's own among them."""
        return library.whole(self.db)

    @property
    def csrf_token(self) -> str:
        """The token every form of this login carries."""
        return csrf_token(self.login_token)

    @property
    def flash(self) -> str | None:
        """The sentence the last page left."""
        return flash_of(self.request)

    @property
    def is_clock_moved(self) -> bool:
        """Whether the desk runs on a chosen day."""
        return self.house.clock.is_moved

    @property
    def form_id(self) -> str | None:
        """The id the form was sent under; None without one of the right shape."""
        given = self.form.get("request_id", "")
        return given if _REQUEST_ID.fullmatch(given) else None

    def remember(self, location: str) -> None:
        """Keep where a carried-out form led, so that the same form sent again has no second effect."""
        form_id = self.form_id
        if self._actor is None or form_id is None:
            return
        entrance.remember(
            self.db,
            actor=self._actor,
            route=self.path,
            request_id=form_id,
            body_sha256=self.sent.body_sha256,
            location=location,
            now=self.now,
        )


def house_of(request: Request) -> House:
    """The application's house."""
    house: House = request.app.state.house
    return house


def login_cookie_name(request: Request) -> str:
    """The login cookie's name: bound to the host wherever the connection is secure."""
    return SECURE_LOGIN_COOKIE if request.url.scheme == "https" else LOGIN_COOKIE


async def read_form(request: Request) -> AsyncIterator[Sent]:
    """Read a form whole before any transaction begins; slow senders hold nobody up."""
    if request.method in SAFE_METHODS:
        yield Sent({}, {}, "")
        return
    if not is_same_origin(request):
        await _note_forged(request)
        raise Forged
    async with sent_form(request) as sent:
        yield sent


SentForm = Annotated[Sent, Depends(read_form)]


async def read_ahead(request: Request, work: Callable[[Session], T]) -> T:
    """Read something in a short transaction of its own, before the request's transaction begins."""
    house = house_of(request)

    def reading() -> T:
        with house.transaction(False) as db:
            return work(db)

    return await run_in_threadpool(reading)


async def hash_apart(request: Request, work: Callable[[Passwords], T]) -> T:
    """Hash or check a password while no transaction is open and nobody waits for a turn."""
    house = house_of(request)
    return await anyio.to_thread.run_sync(work, house.passwords, limiter=house.hashing)


async def read_file_apart(request: Request, work: Callable[[], T]) -> T:
    """Read a large file while no transaction is open and nobody waits for a turn."""
    return await anyio.to_thread.run_sync(work, limiter=house_of(request).reading)


async def write_turn(request: Request, _sent: SentForm) -> AsyncIterator[None]:
    """Wait for the turn to write; afterwards write the journal's own short transaction."""
    house = house_of(request)
    request.state.journal = []
    try:
        if request.method in SAFE_METHODS:
            yield
        else:
            async with house.turn:
                yield
    except (NotYours, NotAllowed, Forged) as refusal:
        _note_refusal(request, str(refusal) or type(refusal).__name__)
        raise
    finally:
        if request.state.journal:
            async with house.turn:
                await run_in_threadpool(_write_journal, house, request.state.journal)


async def _note_forged(request: Request) -> None:
    # Refused before the turn to write is waited for, so its note is written here.
    house = house_of(request)
    request.state.journal = []
    _note_refusal(request, "the form came from another site")
    async with house.turn:
        await run_in_threadpool(_write_journal, house, request.state.journal)


def _write_journal(house: House, notes: list[Note]) -> None:
    with house.transaction(True) as db:
        for note in notes:
            note(db)


def _note_refusal(request: Request, what: str) -> None:
    now, person_id = house_of(request).clock.now(), getattr(request.state, "person_id", None)
    path = _SECRET_ADDRESS.sub(r"\1(link)", request.url.path)
    request.state.journal.append(
        lambda db: entrance.note_refusal(db, person_id=person_id, what=what, path=path, now=now)
    )


def open_desk(
    request: Request, sent: SentForm, _turn: Annotated[None, Depends(write_turn, scope="function")]
) -> Iterator[Desk]:
    """Open the transaction and find out who asks. The commit comes before the answer leaves."""
    if any(_LARGER_THAN_ANY_ID.fullmatch(value) for value in map(str, request.path_params.values())):
        raise NotYours("There is no such record here.")
    house = house_of(request)
    now = house.clock.now()
    token = request.cookies.get(login_cookie_name(request), "")
    is_read = request.method in SAFE_METHODS
    with house.transaction(not is_read) as db:
        found = entrance.enter(db, token_sha256=token_sha256(token) if token else None, now=now)
        request.state.person_id = found.actor.person_id if found.actor else None
        desk = Desk(
            request=request,
            house=house,
            db=db,
            now=now,
            practice=found.practice,
            rules=found.rules,
            zone=found.zone,
            login=found.login,
            _actor=found.actor,
            login_token=token,
            sent=sent,
            request_id=request.state.request_id,
        )
        if not is_read and found.actor is not None:
            _check_form(desk, found.actor)
        if found.login and found.actor and entrance.is_seen_note_due(found.login, now=now):
            _note_seen(request, found.login, found.actor, now)
        yield desk


def _note_seen(request: Request, login: Login, actor: Actor, now: datetime) -> None:
    request.state.journal.append(lambda db: entrance.note_seen(db, login=login, role=actor.role, now=now))


def _check_form(desk: Desk, actor: Actor) -> None:
    given = desk.form.get("csrf_token") or desk.request.headers.get("X-CSRF-Token", "")
    if not tokens_match(given, desk.csrf_token):
        raise Forged
    form_id = desk.form_id
    if form_id is None:
        return
    location = entrance.carried_out_before(
        desk.db, actor=actor, route=desk.path, request_id=form_id, body_sha256=desk.sent.body_sha256
    )
    if location is not None:
        raise CarriedOutBefore(location)


#: An id asked for after the question mark; larger ones are nobody's.
AskedId = Annotated[int | None, Query(le=2**53)]
PublicDesk = Annotated[Desk, Depends(open_desk, scope="function")]


def coach_desk(desk: PublicDesk) -> Desk:
    """The desk for coaches, stand-ins and the head coach."""
    if desk.actor is None:
        raise SignInFirst
    if not desk.actor.is_coach:
        raise NotYours("There is no such page here.")
    return desk


def head_desk(desk: Annotated[Desk, Depends(coach_desk)]) -> Desk:
    """The desk for the head coach only."""
    if not desk.person.is_head:
        raise NotAllowed("Only the head coach may do this.")
    return desk


def phone_desk(desk: PublicDesk) -> Desk:
    """The desk for a client; every address below /me/ is about the client's own record."""
    if desk.actor is None:
        raise SignInFirst
    if desk.actor.client_id is None:
        raise NotYours("There is no such page here.")
    return desk


CoachDesk = Annotated[Desk, Depends(coach_desk, scope="function")]
HeadDesk = Annotated[Desk, Depends(head_desk, scope="function")]
PhoneDesk = Annotated[Desk, Depends(phone_desk, scope="function")]


def own_client_id(desk: Desk) -> int:
    """The signed-in client's own id."""
    client_id = desk.person.client_id
    if client_id is None:
        raise NotYours("There is no such page here.")
    return client_id


def sign_in_address(request: Request) -> str:
    """The sign-in page, leading back to what was asked for; after something was sent it says that it was not kept."""
    query = f"?{request.url.query}" if request.url.query else ""
    if request.method not in SAFE_METHODS:
        return f"/sign-in?lost={'phone' if request.url.path.startswith('/me/') else 'desk'}"
    return f"/sign-in?next={quote(request.url.path + query)}"


def new_request_id() -> str:
    """An id for one request, shown on error pages and in the log."""
    return new_token()[:12]
