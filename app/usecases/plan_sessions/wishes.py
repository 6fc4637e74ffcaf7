"""What a coach asks of a session, and the session that follows from it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.people import Mode, age_on
from app.coaching.plan_changes import is_first_of_phase
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocols import IntervalProtocol, protocol_of
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import SessionContent, Shape, protocol_content, shape_of, steady_content
from app.coaching.session_target import uphill_target
from app.coaching.typed_content import is_uphill_place
from app.coaching.words import short_day

#: A plan reaches at most so far ahead.
AHEAD_MOST = timedelta(days=400)

#: A field and the sentence beside it.
Problems = tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class SessionWish:
    """What a coach asks of one session; texts left empty are filled from its shape."""

    planned_on: date
    shape: Shape
    mode: Mode
    minutes: int | None
    #: None: the rounds as they are now.
    protocol_key: str | None
    rounds: int | None
    title: str | None
    purpose: str | None
    place: str | None
    easy_version: str | None
    reason: str | None
    #: The entry of `protocol_key` where it is one of the practice's own.
    own: IntervalProtocol | None = None
    #: Why it reaches the client at once all the same, where its words were asked about; no phone shows it.
    despite: str | None = None


def day_problem(day: date, today: date) -> str | None:
    """Why nothing can be planned for a day; None when it can."""
    if day < today:
        return f"{short_day(day)} is over; nothing is planned into the past."
    return "That is more than a year ahead." if day > today + AHEAD_MOST else None


def field_of(wish: SessionWish) -> str:
    """The field a content's problem belongs beside."""
    return "protocol_key" if wish.shape is Shape.INTERVALS else "minutes"


def mode_of(wish: SessionWish) -> Mode:
    """How the session is done; strength has a mode of its own."""
    return Mode.STRENGTH if wish.shape is Shape.STRENGTH else wish.mode


def content_of(wish: SessionWish, known: History, rules: Rules) -> SessionContent:
    """The whole session that follows from a wish. Raises: DomainError when it cannot be made so."""
    mode = mode_of(wish)
    if wish.shape is not Shape.INTERVALS:
        if wish.minutes is None:
            raise DomainError("Say how many minutes.")
        return steady_content(wish.shape, mode, wish.minutes, rules)
    if wish.protocol_key is None or wish.rounds is None:
        raise DomainError("Choose the session of the library and its rounds.")
    return protocol_content(
        wish.own or protocol_of(wish.protocol_key),
        mode,
        wish.rounds,
        age=age_on(known.client.born_on, wish.planned_on),
        first_of_phase=is_first_of_phase(known, wish.planned_on),
        rules=rules,
    )


def wished(session: PlannedSession, wish: SessionWish, known: History, rules: Rules) -> PlannedSession:
    """The session as wished: its steps stay as they are unless what they follow from was changed."""
    worded = replace(
        session,
        planned_on=wish.planned_on,
        title=wish.title or session.title,
        purpose=wish.purpose or session.purpose,
        place=wish.place,
        hill_id=session.hill_id if wish.place == session.place else None,
    )
    if is_uphill_place(worded):
        worded = replace(worded, target_json=uphill_target(worded.target_json))
    if _keeps_steps(session, wish):
        return replace(worded, easy_version=wish.easy_version or session.easy_version)
    content = content_of(wish, known, rules)
    if mode_of(wish) is not session.mode or content.rounds == 0:
        worded = _off_the_hill(worded)
    return replace(
        worded,
        title=_own_words(wish.title, session.title) or content.title,
        purpose=_own_words(wish.purpose, session.purpose) or content.purpose,
        kind=content.kind,
        mode=mode_of(wish),
        minutes=content.minutes,
        hard_minutes=content.hard_minutes,
        is_hard=content.is_hard,
        rounds=content.rounds,
        steps_json=content.steps_json,
        target_json=None,
        easy_version=(wish.easy_version or content.easy_version) if content.is_hard else None,
    )


def _off_the_hill(session: PlannedSession) -> PlannedSession:
    """A hill is for rounds of one way of moving: with another, or without rounds, it is nobody's place any more."""
    return session if session.hill_id is None else replace(session, place=None, hill_id=None)


def _own_words(typed: str | None, before: str) -> str | None:
    """Words the coach wrote anew; words left as they were describe the session as it was before."""
    return typed if typed and typed != before else None


def _keeps_steps(session: PlannedSession, wish: SessionWish) -> bool:
    if shape_of(session) is not wish.shape or session.mode is not mode_of(wish):
        return False
    if wish.shape is Shape.INTERVALS:
        return wish.protocol_key is None and wish.rounds in (None, session.rounds)
    return wish.minutes in (None, session.minutes)
