"""Who may do what: one pure rule from role, relation and action."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

#: A coach signs in anew after this long, whatever happened meanwhile (house choice).
COACH_LOGIN = timedelta(hours=12)
#: A client's own phone stays signed in for this long after its last use (house choice: a yearly invitation would
#: lock out the people least able to cope with it).
CLIENT_LOGIN = timedelta(days=180)
#: A personal link works for this long, once.
INVITE_LASTS = timedelta(days=7)


class Role(StrEnum):
    """What a login may be."""

    HEAD_COACH = "head_coach"
    COACH = "coach"
    STAND_IN = "stand_in"
    CLIENT = "client"


class Action(StrEnum):
    """What is wanted of a client's record."""

    READ = "read"
    #: Log, contact, ease, move, raise holds.
    LOG = "log"
    #: Plan, promote, lift holds, clearance, export.
    DECIDE = "decide"
    #: Private notes.
    READ_PRIVATE = "read_private"


class Relation(StrEnum):
    """How a person stands to one client's record."""

    NONE = "none"
    OWN_CLIENT = "own_client"
    HANDED_OVER = "handed_over"
    HANDED_OVER_WITH_NOTES = "handed_over_with_notes"
    SELF = "self"


@dataclass(frozen=True, slots=True)
class Actor:
    """The acting person."""

    person_id: int
    name: str
    role: Role
    #: The client's own record, for a client.
    client_id: int | None

    @property
    def is_coach(self) -> bool:
        """Whether the person works on the coach's side of the desk."""
        return self.role is not Role.CLIENT

    @property
    def is_head(self) -> bool:
        """Whether the person may change settings, people and erase."""
        return self.role is Role.HEAD_COACH


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody who can sign in or act."""

    id: int
    name: str
    email: str | None
    role: Role
    password_hash: str | None
    client_id: int | None
    is_active: bool


@dataclass(frozen=True, slots=True)
class Login:
    """A signed-in browser."""

    id: int
    person_id: int
    device: str
    created_at: datetime
    last_seen_at: datetime
    ends_at: datetime
    ended_at: datetime | None


@dataclass(frozen=True, slots=True)
class Invite:
    """A personal link."""

    id: int
    person_id: int
    created_at: datetime
    ends_at: datetime
    used_at: datetime | None
    revoked_at: datetime | None


_MAY: dict[tuple[Role, Relation], frozenset[Action]] = {
    (Role.COACH, Relation.OWN_CLIENT): frozenset(Action),
    (Role.STAND_IN, Relation.HANDED_OVER): frozenset({Action.READ, Action.LOG}),
    (Role.STAND_IN, Relation.HANDED_OVER_WITH_NOTES): frozenset({Action.READ, Action.LOG, Action.READ_PRIVATE}),
    (Role.COACH, Relation.HANDED_OVER): frozenset({Action.READ, Action.LOG}),
    (Role.COACH, Relation.HANDED_OVER_WITH_NOTES): frozenset({Action.READ, Action.LOG, Action.READ_PRIVATE}),
    (Role.CLIENT, Relation.SELF): frozenset({Action.READ, Action.LOG}),
}


def actions_for(role: Role, relation: Relation) -> frozenset[Action]:
    """Everything a person of a role may do with a record they stand in a relation to; empty for a stranger."""
    if role is Role.HEAD_COACH:
        return frozenset(Action)
    return _MAY.get((role, relation), frozenset())
