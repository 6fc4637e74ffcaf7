"""Requests about somebody's own data: made by the client or entered for them, and answered with a day."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.data_requests import DataRequest, DataRequestKind
from app.coaching.people import Client, Origin
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.weeks import local_day
from app.coaching.words import short_day
from app.storage import accounts, data_requests
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, NotYours, allowed_actions, open_record

#: A request on paper is entered so long after it was made at most (house choice).
BACK_MOST = timedelta(days=366)
_TAKEN_BACK = "Taken back before it was answered."


@dataclass(frozen=True, slots=True)
class Requests:
    """Everything a client asked about their data, newest first."""

    client: Client
    today: date
    requests: tuple[DataRequest, ...]
    names: Mapping[int, str]
    may_answer: bool
    #: Erasure is answered by the head coach alone.
    may_answer_erasure: bool


def requests_of(db: Session, *, actor: Actor, client_id: int, now: datetime) -> Requests:
    """What a client asked for. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    found = tuple(data_requests.of_client(db, client_id=client_id))
    people = {one.person_id for one in found} | {one.done_by for one in found if one.done_by}
    may_answer = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    return Requests(
        client=client,
        today=local_day(now, client.zone),
        requests=found,
        names=accounts.names_of(db, person_ids=people),
        may_answer=may_answer,
        may_answer_erasure=may_answer and actor.is_head,
    )


def record(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    kind: DataRequestKind,
    asked_on: date,
    text: str | None,
    origin: Origin,
    now: datetime,
) -> int:
    """Keep a request with its day; the month of the answer counts from there. Returns its id.

    Raises: NotYours, NotAllowed; Refused for a day to come, one too long ago, or the same request waiting already.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    _refuse_day(asked_on, local_day(now, client.zone))
    _refuse_twice(db, client_id, kind)
    request = DataRequest(
        id=0,
        client_id=client_id,
        kind=kind,
        asked_on=asked_on,
        text=text,
        origin=origin,
        recorded_at=now,
        person_id=actor.person_id,
        done_on=None,
        done_how=None,
        done_at=None,
        done_by=None,
    )
    request_id = data_requests.add(db, request=request)
    _trace(
        db,
        actor,
        client_id,
        request_id,
        action="asked",
        change={"after": {"kind": kind, "asked_on": asked_on}},
        now=now,
    )
    return request_id


def _refuse_day(asked_on: date, today: date) -> None:
    if asked_on > today:
        raise Refused("A request is kept once it was made; this day has not come yet.")
    if asked_on < today - BACK_MOST:
        raise Refused("That is more than a year ago; check the year.")


def _refuse_twice(db: Session, client_id: int, kind: DataRequestKind) -> None:
    known = data_requests.of_client(db, client_id=client_id)
    same = next((one for one in known if one.is_open and one.kind is kind), None)
    if same is not None:
        raise Refused(f"The same was asked on {short_day(same.asked_on)} and waits for its answer.")


def open_request(
    db: Session, *, actor: Actor, client_id: int, request_id: int, now: datetime
) -> tuple[Client, DataRequest]:
    """A request that waits, for answering it. Raises: NotYours, NotAllowed; StaleEdit when it is answered."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    request = _one(db, client_id, request_id)
    if request.kind is DataRequestKind.ERASURE and not actor.is_head:
        raise NotAllowed("Erasing is the head coach's, and so is answering a request for it.")
    if not request.is_open:
        raise StaleEdit("This request is answered already.")
    return client, request


def answer(
    db: Session, *, actor: Actor, client_id: int, request_id: int, done_on: date, how: str, now: datetime
) -> None:
    """Keep that a request was answered, on which day and how.

    Raises: as `open_request`; Refused for a day before it was asked or to come.
    """
    client, request = open_request(db, actor=actor, client_id=client_id, request_id=request_id, now=now)
    if not request.asked_on <= done_on <= local_day(now, client.zone):
        raise Refused(f"Choose a day from {short_day(request.asked_on)}, when it was asked, to today.")
    data_requests.keep_answer(db, request_id=request_id, on=done_on, how=how, person_id=actor.person_id, at=now)
    _trace(
        db,
        actor,
        client_id,
        request_id,
        action="answered",
        change={"after": {"done_on": done_on, "how": how}},
        now=now,
    )


def open_again(db: Session, *, actor: Actor, client_id: int, request_id: int, now: datetime) -> None:
    """Let an answered request wait again; its month goes on from the day it was asked.

    Raises: NotYours, NotAllowed; StaleEdit when it waits already.
    """
    open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    before = _one(db, client_id, request_id)
    if not data_requests.open_again(db, request_id=request_id):
        raise StaleEdit("This request waits already.")
    change = {"before": {"done_on": before.done_on, "how": before.done_how}}
    _trace(db, actor, client_id, request_id, action="opened again", change=change, now=now)


def take_back(db: Session, *, actor: Actor, client_id: int, request_id: int, now: datetime) -> None:
    """Take a request back before it is answered. Raises: NotYours, NotAllowed; StaleEdit when it is answered."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    _one(db, client_id, request_id)
    on, person_id = local_day(now, client.zone), actor.person_id
    if not data_requests.keep_answer(db, request_id=request_id, on=on, how=_TAKEN_BACK, person_id=person_id, at=now):
        raise StaleEdit("This request is answered already.")
    _trace(db, actor, client_id, request_id, action="take_back", change={}, now=now)


def _one(db: Session, client_id: int, request_id: int) -> DataRequest:
    request = data_requests.one(db, request_id=request_id)
    if request is None or request.client_id != client_id:
        raise NotYours("There is no such request here.")
    return request


def _trace(
    db: Session,
    actor: Actor,
    client_id: int,
    request_id: int,
    *,
    action: str,
    change: Mapping[str, object],
    now: datetime,
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action=action,
        subject="request about data",
        subject_id=request_id,
        change=change,
    )
