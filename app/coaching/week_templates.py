"""Weeks kept as templates, and a week laid onto a client's days: what is new, what gives way, what is left out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.coaching.heart_rate_words import session_by_effort
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.paused_told import not_drafted
from app.coaching.people import Mode, age_on
from app.coaching.plan_changes import Change, is_first_of_phase, new_session, taken_away
from app.coaching.plan_weeks import PlanEntry
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.typed_content import UPHILL, is_uphill_place, place_of, typed_content, typed_of
from app.coaching.typed_session import TypedRounds
from app.coaching.words import short_day

#: What a laid week neither takes away nor joins on its day.
_KEPT_KINDS = frozenset({SessionKind.TEST, SessionKind.RACE})


@dataclass(frozen=True, slots=True)
class WeekTemplate:
    """A week the whole practice may use again; it names no client."""

    id: int
    name: str
    created_at: datetime
    person_id: int


@dataclass(frozen=True, slots=True)
class TemplateSession:
    """One session of a template; Monday is 0."""

    id: int
    week_template_id: int
    weekday: int
    kind: SessionKind
    mode: Mode
    title: str
    purpose: str
    minutes: int
    hard_minutes: float
    is_hard: bool
    rounds: int
    steps_json: str
    easy_version: str | None
    is_uphill: bool


class There(StrEnum):
    """What becomes of what stands in the week a week is laid onto."""

    EMPTY_DAYS = "empty_days"
    BESIDE = "beside"
    REPLACE = "replace"


@dataclass(frozen=True, slots=True)
class Laid:
    """A week laid onto one client's days."""

    changes: tuple[Change, ...]
    #: What is not laid, each with why, in sentences.
    left_out: tuple[str, ...]


def said_to_another(session: PlannedSession) -> PlannedSession:
    """A session without what is one client's own: no heart rate, no place, hill or target of theirs."""
    place = UPHILL if is_uphill_place(session) else None
    return replace(session_by_effort(session), place=place, hill_id=None, target_json=None)


def template_session(session: PlannedSession) -> TemplateSession:
    """A session as a template keeps it: no client, no place of theirs, no heart rate of theirs."""
    said = session_by_effort(session)
    return TemplateSession(
        id=0,
        week_template_id=0,
        weekday=said.planned_on.weekday(),
        kind=said.kind,
        mode=said.mode,
        title=said.title,
        purpose=said.purpose,
        minutes=said.minutes,
        hard_minutes=said.hard_minutes,
        is_hard=said.is_hard,
        rounds=said.rounds,
        steps_json=said.steps_json,
        easy_version=said.easy_version,
        is_uphill=is_uphill_place(said),
    )


def from_template(one: TemplateSession, monday: date, at: datetime) -> PlannedSession:
    """A template's session in a week, nobody's yet."""
    return PlannedSession(
        id=-one.id,
        version_id=-one.id,
        version=0,
        client_id=0,
        planned_on=monday + timedelta(days=one.weekday),
        kind=one.kind,
        mode=one.mode,
        title=one.title,
        purpose=one.purpose,
        minutes=one.minutes,
        hard_minutes=one.hard_minutes,
        is_hard=one.is_hard,
        rounds=one.rounds,
        steps_json=one.steps_json,
        easy_version=one.easy_version,
        place=UPHILL if one.is_uphill else None,
        is_cancelled=False,
        created_at=at,
        person_id=0,
        reason=None,
        published_at=None,
        seen_at=None,
    )


@dataclass(frozen=True, slots=True)
class Ground:
    """What a week is laid onto: a client's records, what is stopped, what stands in the week, and today."""

    known: History
    stopped: StoppedWork
    #: What takes place in the week and may still be changed.
    standing: tuple[PlanEntry, ...]
    #: Days nothing is laid onto: entered sessions and what is given for a day that is over.
    taken: frozenset[date]
    today: date


def lay(
    week: Sequence[PlannedSession], ground: Ground, *, there: There, first_number: int, rules: Rules, at: datetime
) -> Laid:
    """A week's sessions, each already on its new day, laid onto a client's days as drafts.

    Nothing goes onto a day that is over or entered, nor onto the day of a test or race, which stays; hard and middle
    work not onto somebody whose hard work is paused.
    """
    standing = {entry.session.planned_on for entry in ground.standing} | ground.taken
    kept = {one.session.planned_on: one.session.title for one in ground.standing if one.session.kind in _KEPT_KINDS}
    changes: list[Change] = []
    left_out = []
    for number, session in enumerate(week, start=first_number):
        against = _against(session, ground, standing if there is There.EMPTY_DAYS else ground.taken, kept)
        if against:
            left_out.append(f"{short_day(session.planned_on)}, {session.title}: {against}")
        else:
            changes.append(Change(None, _for_client(session, ground.known, number, rules, at)))
    if there is There.REPLACE:
        changes += [taken_away(one.session) for one in ground.standing if one.session.kind not in _KEPT_KINDS]
    return Laid(tuple(changes), tuple(left_out))


def _against(
    session: PlannedSession, ground: Ground, full: set[date] | frozenset[date], kept: Mapping[date, str]
) -> str:
    """Why a session is not laid; "" when nothing speaks against it."""
    if session.planned_on < ground.today:
        return "the day is over."
    if session.planned_on in kept:
        return f"{kept[session.planned_on]} stays on that day."
    if session.planned_on in full:
        return "the day holds something already."
    return not_drafted(ground.stopped, session, ground.known.client.name)


def _for_client(session: PlannedSession, known: History, number: int, rules: Rules, at: datetime) -> PlannedSession:
    """The session for this client: rounds written anew from the client's own age and phase, no one else's figures."""
    client = known.client
    typed = typed_of(session)
    if session.client_id != client.id and isinstance(typed, TypedRounds):
        content = typed_content(
            typed,
            age=age_on(client.born_on, session.planned_on),
            first_of_phase=is_first_of_phase(known, session.planned_on),
            rules=rules,
        )
        place, on = place_of(typed), session.planned_on
        return new_session(content, client_id=client.id, number=number, on=on, mode=typed.mode, place=place, at=at)
    said = session if session.client_id == client.id else said_to_another(session)
    fresh = replace(said, id=-number, version_id=-number, version=0, client_id=client.id)
    return replace(fresh, reason=None, published_at=None, seen_at=None)
