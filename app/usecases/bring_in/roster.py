"""Whom a row of a file means: by e-mail address, else by name, among the clients a person may decide for."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.people import Client
from app.storage import practice
from app.usecases.bring_in.values import RowRefused
from app.usecases.gate import NotAllowed, allowed_actions, readable_clients


@dataclass(frozen=True, slots=True)
class Known:
    """Somebody on the roster, or (client None) somebody whom an earlier row of the same files will add."""

    name: str
    email: str | None
    client: Client | None


class Roster:
    """The clients that rows may be about."""

    def __init__(self, known: list[Known], zone: str) -> None:
        #: The practice's zone, for clients whose own is not said.
        self.zone = zone
        self._by_email: dict[str, Known] = {}
        self._by_name: defaultdict[str, list[Known]] = defaultdict(list)
        for one in known:
            self.add(one)

    def add(self, one: Known) -> None:
        """Know one more."""
        if one.email:
            self._by_email.setdefault(one.email.casefold(), one)
        self._by_name[plain(one.name)].append(one)

    @property
    def clients(self) -> list[Client]:
        """Everybody who is on the roster already."""
        return [one.client for several in self._by_name.values() for one in several if one.client is not None]

    @property
    def client_ids(self) -> list[int]:
        """The ids of everybody who is on the roster already."""
        return [client.id for client in self.clients]

    def by_email(self, email: str) -> Known | None:
        """Whoever has an e-mail address."""
        return self._by_email.get(email.casefold())

    def by_name(self, name: str, field: str) -> Known | None:
        """Whoever has a name. Raises: RowRefused when several have it."""
        found = self._by_name.get(plain(name), [])
        if len(found) > 1:
            raise RowRefused(field, f"Several clients are called “{name}”; use the e-mail address here.")
        return found[0] if found else None

    def meant_by(self, said: str, field: str) -> Known:
        """Whom a name or e-mail address means. Raises: RowRefused."""
        found = self.by_email(said) if "@" in said else self.by_name(said, field)
        if found is None:
            raise RowRefused(field, f"There is no client “{said[:60]}” on your roster.")
        return found


def plain(name: str) -> str:
    """A name without capitals and extra spaces."""
    return " ".join(name.split()).casefold()


def require_may_bring_in(actor: Actor) -> None:
    """Whoever takes on clients may bring them in. Raises: NotAllowed for a stand-in or a client."""
    if Action.DECIDE not in actions_for(actor.role, Relation.OWN_CLIENT):
        raise NotAllowed("Only coaches bring clients and their records in.")


def open_roster(db: Session, *, actor: Actor, now: datetime) -> Roster:
    """Everybody a person may decide for. Raises: NotAllowed for a stand-in or a client."""
    require_may_bring_in(actor)
    found = practice.found(db)
    readable = readable_clients(db, actor=actor, now=now)
    own = [c for c in readable if Action.DECIDE in allowed_actions(db, actor=actor, client=c, now=now)]
    return Roster([Known(c.name, c.email, c) for c in own], found.zone if found else "UTC")
