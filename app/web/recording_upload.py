"""A recording that was sent: read before the turn to write is waited for, by somebody who may add it."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from functools import partial
from pathlib import Path
from typing import Annotated

from fastapi import Depends
from sqlalchemy.orm import Session
from starlette.requests import Request

from app.coaching.access import Actor
from app.usecases import entrance
from app.usecases.gate import NotAllowed, NotYours
from app.usecases.recordings import looking
from app.usecases.recordings.looking import MayAdd, Taken
from app.web.deps import SentForm, house_of, login_cookie_name, read_ahead, read_file_apart
from app.web.security import token_sha256
from app.web.sent import Sent

#: What is said about a file: the names of the form's fields begin so.
SAID = "said_"
_LARGEST_ID = 2**53
NOT_READ = Taken(None, None)


async def take_ahead(request: Request, sent: SentForm, log_id: int) -> Taken:
    """Read the file that was sent; nothing when none was, or when the route will refuse this person anyway."""
    file = sent.files.get("recording")
    if file is None or not file.filename:
        return NOT_READ
    take = partial(looking.take, name=file.filename, source=file.file)
    return await _apart(
        request, log_id, lambda folder, actor, may: take(folder, actor=actor, may=may, now=_now(request))
    )


async def answer_ahead(request: Request, sent: SentForm, log_id: int) -> Taken:
    """Read a waiting file again with what was answered about it."""
    answers, token = _answers(sent), sent.values.get("waiting", "")
    if not answers:
        return NOT_READ
    return await _apart(
        request,
        log_id,
        lambda folder, actor, may: looking.answer(
            folder, actor=actor, may=may, token=token, answers=answers, now=_now(request)
        ),
    )


TakenAhead = Annotated[Taken, Depends(take_ahead)]
AnsweredAhead = Annotated[Taken, Depends(answer_ahead)]


def _answers(sent: Sent) -> dict[str, str]:
    return {name.removeprefix(SAID): value for name, value in sent.values.items() if name.startswith(SAID)}


async def _apart(request: Request, log_id: int, work: Callable[[Path, Actor, MayAdd], Taken]) -> Taken:
    if not 0 < log_id < _LARGEST_ID:
        return NOT_READ
    token = request.cookies.get(login_cookie_name(request), "")
    found = await read_ahead(request, lambda db: _may_add(db, token, log_id, request))
    if found is None:
        return NOT_READ
    actor, may = found
    try:
        return await read_file_apart(request, lambda: work(_folder(request), actor, may))
    except NotYours:
        return NOT_READ


def _may_add(db: Session, token: str, log_id: int, request: Request) -> tuple[Actor, MayAdd] | None:
    """Who asks, and what they may do; None where the route itself will refuse and note it."""
    now = _now(request)
    actor = entrance.enter(db, token_sha256=token_sha256(token) if token else None, now=now).actor
    if actor is None:
        return None
    try:
        may = looking.may_add(db, actor=actor, log_id=log_id, now=now)
    except (NotYours, NotAllowed):
        return None
    return None if may is None else (actor, may)


def _folder(request: Request) -> Path:
    return house_of(request).settings.data_dir


def _now(request: Request) -> datetime:
    return house_of(request).clock.now()
