"""Clients and the small records around them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import fields, replace
from datetime import date, datetime
from typing import Any

from sqlalchemy import delete, insert, select, update
from sqlalchemy.orm import Session

from app.coaching.people import (
    AvailableDay,
    Client,
    ClientState,
    Contact,
    ContactKind,
    Goal,
    Leave,
    Note,
    Visibility,
)
from app.storage.reading import read, read_one
from app.storage.tables.people import (
    AvailableDayRow,
    ClientRow,
    ContactRow,
    GoalRow,
    LeaveRow,
    MonthRemarkRow,
    NoteRow,
)


def add(db: Session, *, client: Client, at: datetime) -> Client:
    """Add a client; the given id and revision are ignored, the kept value is returned."""
    values = {f.name: getattr(client, f.name) for f in fields(Client) if f.name not in ("id", "revision")}
    row = ClientRow(**values, revision=1, created_at=at)
    db.add(row)
    db.flush()
    return replace(client, id=row.id, revision=1)


def one(db: Session, *, client_id: int) -> Client | None:
    """A client by id."""
    return read_one(db, Client, ClientRow, ClientRow.id == client_id)


def several(db: Session, *, client_ids: Sequence[int]) -> list[Client]:
    """Clients by id, in the order of their names."""
    return read(db, Client, ClientRow, ClientRow.id.in_(client_ids), order_by=[ClientRow.name, ClientRow.id])


def everybody(db: Session) -> list[Client]:
    """Every client, in the order of their names."""
    return read(db, Client, ClientRow, order_by=[ClientRow.name, ClientRow.id])


def by_name(db: Session, *, name: str) -> list[Client]:
    """Clients whose name is the same but for capitals and spaces."""
    wanted = " ".join(name.split()).casefold()
    names = db.execute(select(ClientRow.id, ClientRow.name)).all()
    ids = [client_id for client_id, found in names if " ".join(found.split()).casefold() == wanted]
    return several(db, client_ids=ids)


def change(db: Session, *, client_id: int, revision: int, values: dict[str, Any]) -> bool:
    """Change some fields of a client if nobody did meanwhile; False when the record has moved on."""
    done = db.execute(
        update(ClientRow)
        .where(ClientRow.id == client_id, ClientRow.revision == revision)
        .values(**values, revision=revision + 1)
        .returning(ClientRow.id)
    ).all()
    return bool(done)


def set_state(db: Session, *, client_id: int, state: ClientState) -> None:
    """Set where a client stands with the practice."""
    row = db.get_one(ClientRow, client_id)
    row.state = state
    row.revision += 1
    db.flush()


def available_days(db: Session, *, client_id: int) -> list[AvailableDay]:
    """The client's real week."""
    return read(
        db,
        AvailableDay,
        AvailableDayRow,
        AvailableDayRow.client_id == client_id,
        order_by=[AvailableDayRow.weekday],
    )


def replace_available_days(db: Session, *, client_id: int, days: Sequence[AvailableDay]) -> None:
    """Set the client's real week."""
    db.execute(delete(AvailableDayRow).where(AvailableDayRow.client_id == client_id))
    for day in days:
        db.add(
            AvailableDayRow(
                client_id=client_id, weekday=day.weekday, minutes=day.minutes, place=day.place, kit=day.kit
            )
        )
    db.flush()


def add_goal(
    db: Session,
    *,
    client_id: int,
    text: str,
    why: str | None,
    confidence: int | None,
    due_on: date | None,
    agreed_on: date,
) -> int:
    """Add a goal."""
    row = GoalRow(
        client_id=client_id,
        text=text,
        why=why,
        confidence=confidence,
        due_on=due_on,
        agreed_on=agreed_on,
        closed_on=None,
    )
    db.add(row)
    db.flush()
    return row.id


def close_goal(db: Session, *, goal_id: int, client_id: int, on: date) -> bool:
    """Close a client's goal; False when it is not this client's."""
    query = update(GoalRow).where(GoalRow.id == goal_id, GoalRow.client_id == client_id).values(closed_on=on)
    return bool(db.execute(query.returning(GoalRow.id)).all())


def add_leave(db: Session, *, client_id: int, from_on: date, until_on: date, reason: str) -> int:
    """Add agreed time off."""
    row = LeaveRow(client_id=client_id, from_on=from_on, until_on=until_on, reason=reason)
    db.add(row)
    db.flush()
    return row.id


def remove_leave(db: Session, *, leave_id: int, client_id: int) -> bool:
    """Take a client's agreed time off back; False when it is not this client's. The caller keeps what it said."""
    query = delete(LeaveRow).where(LeaveRow.id == leave_id, LeaveRow.client_id == client_id)
    return bool(db.execute(query.returning(LeaveRow.id)).all())


def add_contact(
    db: Session, *, client_id: int, contact_on: date, kind: ContactKind, text: str, person_id: int
) -> int:
    """Add a contact."""
    row = ContactRow(client_id=client_id, contact_on=contact_on, kind=kind, text=text, person_id=person_id)
    db.add(row)
    db.flush()
    return row.id


def remove_contacts(
    db: Session, *, contact_ids: Collection[int], but_of: Collection[int]
) -> dict[int, tuple[int, dict[str, Any]]]:
    """Take contacts back but those of some clients. Returns by client the id and what it said, for the caller to
    keep."""
    query = delete(ContactRow).where(ContactRow.id.in_(contact_ids), ContactRow.client_id.not_in(but_of))
    columns = (ContactRow.client_id, ContactRow.id, ContactRow.contact_on, ContactRow.kind, ContactRow.text)
    return {
        client_id: (id_, {"contact_on": on, "kind": kind, "text": text})
        for client_id, id_, on, kind, text in db.execute(query.returning(*columns))
    }


def add_note(db: Session, *, client_id: int, text: str, visibility: Visibility, person_id: int, at: datetime) -> int:
    """Add a note."""
    row = NoteRow(
        client_id=client_id, written_at=at, person_id=person_id, text=text, visibility=visibility, read_at=None
    )
    db.add(row)
    db.flush()
    return row.id


def add_shared_notes(db: Session, *, notes: Sequence[tuple[int, str]], person_id: int, at: datetime) -> None:
    """Add notes for several clients that each of them reads on Today."""
    common = {"visibility": Visibility.CLIENT, "person_id": person_id, "written_at": at, "read_at": None}
    if notes:
        db.execute(insert(NoteRow), [common | {"client_id": client_id, "text": text} for client_id, text in notes])


def take_back_shared_notes(
    db: Session, *, client_ids: Sequence[int], person_id: int, written_at: datetime
) -> list[tuple[int, int, str]]:
    """Take notes of one act back from clients who have not read them; returns their numbers, clients and texts."""
    query = delete(NoteRow).where(
        NoteRow.client_id.in_(client_ids),
        NoteRow.person_id == person_id,
        NoteRow.written_at == written_at,
        NoteRow.visibility == Visibility.CLIENT,
        NoteRow.read_at.is_(None),
    )
    return [(row.id, row.client_id, row.text) for row in db.scalars(query.returning(NoteRow))]


def mark_note_read(db: Session, *, note_id: int, client_id: int, at: datetime) -> bool:
    """Mark a client's note as read; False when it is not this client's."""
    query = (
        update(NoteRow)
        .where(NoteRow.id == note_id, NoteRow.client_id == client_id, NoteRow.read_at.is_(None))
        .values(read_at=at)
    )
    return bool(db.execute(query.returning(NoteRow.id)).all())


def notes(db: Session, *, client_id: int) -> list[Note]:
    """A client's notes, newest first."""
    return read(db, Note, NoteRow, NoteRow.client_id == client_id, order_by=[NoteRow.id.desc()])


def goals(db: Session, *, client_id: int) -> list[Goal]:
    """A client's goals, oldest first."""
    return read(db, Goal, GoalRow, GoalRow.client_id == client_id, order_by=[GoalRow.id])


def leaves(db: Session, *, client_id: int) -> list[Leave]:
    """A client's agreed time off, oldest first."""
    return read(db, Leave, LeaveRow, LeaveRow.client_id == client_id, order_by=[LeaveRow.from_on])


def contacts(db: Session, *, client_id: int) -> list[Contact]:
    """A client's contacts, newest first."""
    return read(db, Contact, ContactRow, ContactRow.client_id == client_id, order_by=[ContactRow.contact_on.desc()])


def month_remarks(db: Session, *, month: str, client_ids: Sequence[int]) -> dict[int, str]:
    """The coach's remarks on a month, by client."""
    query = select(MonthRemarkRow.client_id, MonthRemarkRow.text).where(
        MonthRemarkRow.month == month, MonthRemarkRow.client_id.in_(client_ids)
    )
    return {row.client_id: row.text for row in db.execute(query)}


def keep_month_remark(db: Session, *, client_id: int, month: str, text: str, person_id: int, at: datetime) -> None:
    """Set the remark on a client's month; an empty one removes it."""
    db.execute(delete(MonthRemarkRow).where(MonthRemarkRow.client_id == client_id, MonthRemarkRow.month == month))
    if text:
        db.add(MonthRemarkRow(client_id=client_id, month=month, text=text, person_id=person_id, written_at=at))
    db.flush()
