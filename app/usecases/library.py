"""The library of hard sessions: what may be chosen, and the practice's own kept, changed, retired, restored."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import asdict, replace
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.protocol_checks import Problem, problems_of
from app.coaching.protocol_library import Library, OwnDraft, OwnProtocol
from app.coaching.protocol_values import OWN_KEY, IntervalProtocol
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import StaleEdit
from app.storage import protocols
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, NotYours


def whole(db: Session) -> Library:
    """The library as it stands: no client is named in it, so everybody at the desk may read it."""
    return protocols.library(db)


def entry_of(library: Library, key: str) -> IntervalProtocol:
    """One entry by key, retired ones too. Raises: NotYours when there is none."""
    found = library.named(key)
    if found is None:
        raise NotYours("There is no such session in the library.")
    return found


def may_write(actor: Actor) -> bool:
    """Whether a person may write entries: whoever plans for clients of their own."""
    return Action.DECIDE in actions_for(actor.role, Relation.OWN_CLIENT)


def require_writer(actor: Actor) -> None:
    """Raises: NotAllowed for a stand-in."""
    if not may_write(actor):
        raise NotAllowed("A stand-in looks after clients; the library is written by those who plan.")


def keep_own(
    db: Session, *, actor: Actor, draft: OwnDraft, copied_from: str | None, now: datetime
) -> tuple[str | None, tuple[Problem, ...]]:
    """Keep a new entry of the practice's own; returns its key, or what stands in its way by field."""
    require_writer(actor)
    library = protocols.library(db)
    problems = problems_of(draft, taken=_names(library))
    if problems:
        return None, problems
    origin = copied_from if library.named(copied_from) is not None else None
    kept_id = protocols.add(db, draft=draft, copied_from=origin, person_id=actor.person_id, at=now)
    _trace(db, actor, kept_id, action="kept", change={"after": asdict(draft), "copied from": origin}, now=now)
    return f"{OWN_KEY}{kept_id}", ()


def change_own(
    db: Session, *, actor: Actor, key: str, revision: int, draft: OwnDraft, now: datetime
) -> tuple[Problem, ...]:
    """Write an entry anew; what was planned from it stays as it was. Returns what stands in the way by field.

    Raises: StaleEdit when somebody changed it meanwhile.
    """
    require_writer(actor)
    library = protocols.library(db)
    before = _own(library, key)
    if before.revision != revision:
        raise StaleEdit("Somebody changed this session meanwhile. Nothing was kept; look at it as it stands now.")
    own_step = {draft.step_up, draft.step_down} & {key}
    problems = problems_of(draft, taken=_names(library, leaving_out=key))
    if own_step:
        problems = (*problems, ("step_up", "A session is not its own next step."))
    if problems:
        return problems
    protocols.change(db, own_protocol_id=before.id, draft=draft)
    change = {"before": asdict(_draft_of(before)), "after": asdict(draft)}
    _trace(db, actor, before.id, action="changed", change=change, now=now)
    return ()


def retire_own(db: Session, *, actor: Actor, key: str, now: datetime) -> OwnProtocol:
    """Offer an entry no more; what was planned from it stays, and it can be brought back."""
    return _set_retired(db, actor, key, at=now, action="retired", now=now)


def restore_own(db: Session, *, actor: Actor, key: str, now: datetime) -> OwnProtocol:
    """Offer a retired entry again."""
    return _set_retired(db, actor, key, at=None, action="restored", now=now)


def _set_retired(
    db: Session, actor: Actor, key: str, *, at: datetime | None, action: str, now: datetime
) -> OwnProtocol:
    require_writer(actor)
    found = _own(protocols.library(db), key)
    if (found.retired_at is None) == (at is None):
        words = "is offered already" if at is None else "is retired already"
        raise StaleEdit(f"{found.name} {words}.")
    protocols.set_retired(db, own_protocol_id=found.id, at=at)
    _trace(db, actor, found.id, action=action, change={"name": found.name}, now=now)
    return replace(found, retired_at=at)


def _own(library: Library, key: str) -> OwnProtocol:
    found = library.own_of(key)
    if found is None:
        raise NotYours("There is no such session of the practice's own.")
    return found


def _names(library: Library, *, leaving_out: str = "") -> Iterator[str]:
    yield from (one.name for one in PROTOCOLS.values())
    yield from (one.name for one in library.own if one.key != leaving_out)


def _draft_of(own: OwnProtocol) -> OwnDraft:
    return OwnDraft(**{name: getattr(own, name) for name in OwnDraft.__dataclass_fields__})


def _trace(
    db: Session, actor: Actor, own_protocol_id: int, *, action: str, change: Mapping[str, object], now: datetime
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=action,
        subject="own protocol",
        subject_id=own_protocol_id,
        change=change,
    )
