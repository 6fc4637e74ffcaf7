"""What a rule of the practice would say today with another value, before it is changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.rules import Rules, rules_from
from app.coaching.signal_cards import touched_by
from app.coaching.signals import signals
from app.coaching.weeks import local_day
from app.storage import practice
from app.usecases.gate import readable_clients, require_head
from app.usecases.morning.opening import load_all


@dataclass(frozen=True, slots=True)
class Touched:
    """One signal: whom it names today, and who would come and go with the new value."""

    signal: str
    named: int
    would_name: int
    come: tuple[Client, ...]
    go: tuple[Client, ...]


def touched(db: Session, *, actor: Actor, setting: str, value: float, now: datetime) -> tuple[Touched, ...]:
    """Each signal a rule may change, counted today with its value and with another; handled lines count as well.

    Raises: NotAllowed; DomainError when the value is outside the rule's limits or loosens a guard.
    """
    require_head(actor)
    changed = practice.changed_settings(db)
    names = touched_by(setting)
    given, tried = rules_from(changed), rules_from(changed | {setting: value})
    if not names:
        return ()
    histories = load_all(db, [one.id for one in readable_clients(db, actor=actor, now=now)], now)
    before, after = (_named(histories, names, rules, now) for rules in (given, tried))
    people = {one.client.id: one.client for one in histories}
    return tuple(
        Touched(
            name,
            len(before[name]),
            len(after[name]),
            tuple(people[one] for one in sorted(after[name] - before[name], key=lambda id_: people[id_].name)),
            tuple(people[one] for one in sorted(before[name] - after[name], key=lambda id_: people[id_].name)),
        )
        for name in names
    )


def _named(histories: Sequence[History], names: Sequence[str], rules: Rules, now: datetime) -> dict[str, set[int]]:
    found: dict[str, set[int]] = {name: set() for name in names}
    for one in histories:
        for signal in signals(one, local_day(now, one.client.zone), rules):
            if signal.name in found:
                found[signal.name].add(one.client.id)
    return found
