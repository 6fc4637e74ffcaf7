"""The practice: its particulars, its rules and the trail of what was changed in them."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.practice import Practice
from app.coaching.reasons import DomainError, Refused
from app.coaching.rules import SettingCard, cards, rules_from
from app.storage import practice
from app.storage.audit import RULE_CHANGED, leave_trace, trail_of_practice
from app.storage.audit import AuditEntry as TrailEntry
from app.usecases.gate import readable_clients, require_head

__all__ = ["TrailEntry"]

TRAIL_PAGE = 100


@dataclass(frozen=True, slots=True)
class Setting:
    """One rule of the practice with the value it has now."""

    card: SettingCard
    value: float
    is_changed: bool


def has_clients(db: Session, *, actor: Actor, now: datetime) -> bool:
    """Whether there is anybody whose record a person may read; until then the page says what comes first."""
    return bool(readable_clients(db, actor=actor, now=now))


def settings(db: Session) -> list[Setting]:
    """Every rule in the order it is shown."""
    changed = practice.changed_settings(db)
    return [
        Setting(card, changed.get(card.name, card.default), changed.get(card.name, card.default) != card.default)
        for card in cards()
    ]


def setting(db: Session, *, name: str) -> Setting | None:
    """One rule by name."""
    return next((one for one in settings(db) if one.card.name == name), None)


def change_setting(db: Session, *, actor: Actor, name: str, value: float, reason: str, now: datetime) -> None:
    """Set one rule, with the reason.

    Raises: Refused, with the sentence for the page, when the value is outside its limits or loosens a guard.
    """
    require_head(actor)
    before = setting(db, name=name)
    if before is None:
        raise Refused("There is no such rule.")
    if _is_whole(before.card) and value != int(value):
        raise Refused("This rule takes whole numbers only.")
    try:
        rules_from(practice.changed_settings(db) | {name: value})
    except DomainError as problem:
        raise Refused(f"{problem}.") from problem
    practice.change_setting(db, name=name, value=value, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=RULE_CHANGED,
        subject=name,
        change={"before": before.value, "after": value},
        reason=reason,
    )


def _is_whole(card: SettingCard) -> bool:
    return isinstance(getattr(rules_from({}), card.name), int)


def change_particulars(
    db: Session,
    *,
    actor: Actor,
    name: str,
    zone: str,
    emergency_number: str | None,
    phone: str | None,
    public_url: str | None,
    now: datetime,
) -> None:
    """Set the practice's name, zone, emergency number, telephone and public address."""
    require_head(actor)
    before = _particulars(practice.found(db))
    practice.change(db, name=name, zone=zone, emergency_number=emergency_number, public_url=public_url)
    practice.change_phone(db, phone=phone)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="practice changed",
        subject="practice",
        change={"before": before, "after": _particulars(practice.found(db))},
    )


def _particulars(found: Practice | None) -> dict[str, str | None]:
    if found is None:
        raise DomainError("this folder holds no practice yet")
    return {
        "name": found.name,
        "zone": found.zone,
        "emergency_number": found.emergency_number,
        "phone": found.phone,
        "public_url": found.public_url,
    }


def trail(db: Session, *, actor: Actor, before_id: int | None) -> list[TrailEntry]:
    """The practice's own entries of the audit trail, newest first, a page at a time."""
    require_head(actor)
    return trail_of_practice(db, before_id=before_id, most=TRAIL_PAGE + 1)
