"""One act for a line of many: the same reason handled, put off or spoken about for all of them, and taken back."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.morning import is_dealt_with
from app.coaching.morning_groups import is_grouped
from app.coaching.people import Client, ContactKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.returned import shown_of
from app.coaching.rules import Rules
from app.coaching.signals import Family, Signal, needs_act, needs_word, signals
from app.coaching.weeks import local_day, start_of_day
from app.coaching.words import counted
from app.storage import audit, clients, safety
from app.storage import signals as kept
from app.storage.audit import Trace, leave_trace, leave_traces
from app.usecases.gate import NotYours, clients_for, open_record
from app.usecases.morning.lines import put_off_fault
from app.usecases.morning.opening import load_all

#: What the practice's trail calls an act on one reason of many clients.
TOGETHER = "morning lines of many"
TOOK_BACK = "take_back"


@dataclass(frozen=True, slots=True)
class OneOfMany:
    """One client's line of the group, as it stands."""

    client: Client
    today: date
    signal: Signal


@dataclass(frozen=True, slots=True)
class Spoken:
    """A contact, the same with each of them."""

    kind: ContactKind
    contact_on: date
    text: str


@dataclass(frozen=True, slots=True)
class Dealing:
    """What is done with the line of each: spoken about, put off until a day, or handled with a word."""

    spoken: Spoken | None = None
    until_on: date | None = None
    done: str | None = None

    @property
    def action(self) -> str:
        """What the trail calls it."""
        if self.spoken is not None:
            return "add_contact"
        return "handled" if self.until_on is None else "put_off"


@dataclass(frozen=True, slots=True)
class DealtTogether:
    """One act for many of today, which one press takes back."""

    entry_id: int
    action: str
    signal: str
    until_on: date | None
    client_ids: tuple[int, ...]
    handled_ids: tuple[int, ...]
    contact_ids: tuple[int, ...]
    at: datetime


def lines_together(
    db: Session, *, actor: Actor, signal: str, client_ids: Sequence[int], rules: Rules, now: datetime
) -> tuple[OneOfMany, ...]:
    """Those of some clients whose line for one reason still stands, by name. Raises: NotYours, NotAllowed;
    StaleEdit for a reason that is not one for many."""
    if not is_grouped(signal):
        raise StaleEdit("This is not a reason that is dealt with for many at once.")
    _open_all(db, client_ids, actor=actor, now=now)
    found = []
    for known in load_all(db, sorted(set(client_ids)), now):
        today, zone = local_day(now, known.client.zone), known.client.zone
        line = next((one for one in signals(known, today, rules) if one.name == signal), None)
        if line is not None and _may_go_along(line) and not is_dealt_with(line, known.handled, today, zone):
            found.append(OneOfMany(known.client, today, line))
    return tuple(sorted(found, key=lambda one: (one.client.name, one.client.id)))


def _open_all(db: Session, client_ids: Sequence[int], *, actor: Actor, now: datetime) -> None:
    """The gate for many, in a fixed number of queries where all may be opened."""
    allowed = {one.id for one in clients_for(db, actor=actor, action=Action.LOG, now=now)}
    for client_id in set(client_ids) - allowed:
        open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)


def _may_go_along(line: Signal) -> bool:
    """A line of safety, or one that asks for a word of its own, is dealt with alone."""
    return line.family is not Family.SAFETY and not needs_word(line)


def deal_together(
    db: Session,
    *,
    actor: Actor,
    signal: str,
    chosen: Mapping[int, str],
    dealing: Dealing,
    rules: Rules,
    now: datetime,
) -> int:
    """Deal with one reason of several clients alike, all or none; an entry in the trail of each. Returns the number
    it is taken back by.

    chosen: the key of each client's line as it was shown.
    Raises: NotYours, NotAllowed; StaleEdit when a line has changed; Refused for a day or a word that does not fit.
    """
    lines = lines_together(db, actor=actor, signal=signal, client_ids=list(chosen), rules=rules, now=now)
    _refuse_changed(lines, chosen)
    for one in lines:
        _check(one, dealing)
    contacts = [_spoke(db, one, dealing.spoken, actor) for one in lines] if dealing.spoken else []
    handled = [_keep(db, one, dealing.until_on, actor=actor, now=now) for one in lines]
    subjects = [("contact", contact) for contact in contacts] or [("morning line", one) for one in handled]
    traces = [
        Trace(one.client.id, dealing.action, subject, id_, _change(one, dealing), reason=dealing.done)
        for one, (subject, id_) in zip(lines, subjects, strict=True)
    ]
    leave_traces(db, at=now, person_id=actor.person_id, traces=traces)
    return leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=dealing.action,
        subject=TOGETHER,
        change={
            "line": signal,
            "until": dealing.until_on,
            "clients": [one.client.id for one in lines],
            "handled": handled,
            "contacts": contacts,
            "person": actor.person_id,
        },
    )


def _refuse_changed(lines: Sequence[OneOfMany], chosen: Mapping[int, str]) -> None:
    if not chosen:
        raise Refused("Tick at least one client.")
    still = {one.client.id for one in lines if one.signal.key == chosen[one.client.id]}
    if still != set(chosen):
        changed = counted(len(set(chosen) - still), "line")
        raise StaleEdit(f"{changed} changed since the page was shown. Nothing was done; see how they stand now.")


def _check(one: OneOfMany, dealing: Dealing) -> None:
    fault = put_off_fault(one.signal, dealing.until_on, one.today) if dealing.until_on else None
    if fault is not None:
        raise Refused(fault)
    if dealing.spoken is not None and dealing.spoken.contact_on > one.today:
        raise Refused(f"With {one.client.name} this day has not come yet.")
    if dealing.action == "handled" and needs_act(one.signal):
        raise Refused("Words alone do not settle this reason: put it off, or keep that you spoke.")


def _spoke(db: Session, one: OneOfMany, spoken: Spoken, actor: Actor) -> int:
    return clients.add_contact(
        db,
        client_id=one.client.id,
        contact_on=spoken.contact_on,
        kind=spoken.kind,
        text=spoken.text,
        person_id=actor.person_id,
    )


def _keep(db: Session, one: OneOfMany, until_on: date | None, *, actor: Actor, now: datetime) -> int:
    return kept.keep(
        db,
        client_id=one.client.id,
        signal=one.signal.name,
        key=one.signal.key,
        until_on=until_on,
        person_id=actor.person_id,
        at=now,
        shown=shown_of(one.signal),
    )


def _change(one: OneOfMany, dealing: Dealing) -> dict[str, object]:
    after: dict[str, object] = {"line": one.signal.name, "key": one.signal.key, "until": dealing.until_on}
    if dealing.spoken is not None:
        after |= {"contact_on": dealing.spoken.contact_on, "kind": dealing.spoken.kind}
    return {"after": after}


def dealt_together(db: Session, *, actor: Actor, zone: str, now: datetime) -> tuple[DealtTogether, ...]:
    """What a person did for many today and has not taken back, newest first."""
    found = audit.entries_on(db, subject=TOGETHER, since=start_of_day(local_day(now, zone), zone))
    gone = {one.subject_id for one in found if one.action == TOOK_BACK}
    said = ((one, json.loads(one.change_json)) for one in found if one.action != TOOK_BACK and one.id not in gone)
    return tuple(
        DealtTogether(
            entry_id=one.id,
            action=one.action,
            signal=change["line"],
            until_on=date.fromisoformat(change["until"]) if change["until"] else None,
            client_ids=tuple(change["clients"]),
            handled_ids=tuple(change["handled"]),
            contact_ids=tuple(change["contacts"]),
            at=one.at,
        )
        for one, change in said
        if change["person"] == actor.person_id
    )


def take_back_together(db: Session, *, actor: Actor, entry_id: int, zone: str, now: datetime) -> tuple[int, int]:
    """Let the lines of one act for many speak again, and take its contacts back. Returns how many clients, and of how
    many the contact stays: a hold was lifted since, and a talk may be what it was lifted on.

    Raises: NotYours, NotAllowed.
    """
    dealt = next(
        (one for one in dealt_together(db, actor=actor, zone=zone, now=now) if one.entry_id == entry_id), None
    )
    if dealt is None:
        raise NotYours("There is nothing of today to take back here.")
    there = clients.several(db, client_ids=dealt.client_ids)
    ids = [one.id for one in there]
    _open_all(db, ids, actor=actor, now=now)
    staying = safety.lifted_since(db, client_ids=ids, at=dealt.at) if dealt.contact_ids else frozenset()
    kept.undo_many(db, handled_ids=dealt.handled_ids, but_of=staying, at=now)
    gone = clients.remove_contacts(db, contact_ids=dealt.contact_ids, but_of=staying)
    back = [one for one in ids if one not in staying]
    leave_traces(
        db, at=now, person_id=actor.person_id, traces=[_taken_back(dealt, one, gone.get(one)) for one in back]
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action=TOOK_BACK,
        subject=TOGETHER,
        subject_id=entry_id,
        change={"clients": back, "person": actor.person_id},
    )
    return len(back), len(staying)


def _taken_back(dealt: DealtTogether, client_id: int, contact: tuple[int, dict[str, object]] | None) -> Trace:
    if contact is None:
        return Trace(client_id, TOOK_BACK, "morning line", None, {"before": {"line": dealt.signal}})
    return Trace(client_id, TOOK_BACK, "contact", contact[0], {"before": contact[1] | {"line": dealt.signal}})
