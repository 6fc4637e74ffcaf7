"""Whose heart rate is not reliable: what planned sessions are read for, and each client's trust."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date

from sqlalchemy import Select, or_, select
from sqlalchemy.orm import Session

from app.coaching.heart_rate_trust import HeartRateTrust, heart_rate_trust
from app.coaching.heart_rate_words import session_by_effort
from app.coaching.holds import Hold, HoldKind
from app.coaching.people import Client, HeartRateUse
from app.coaching.prescriptions import PlannedSession
from app.coaching.screening import ScreeningAnswers, YesNo
from app.storage.reading import grouped, read
from app.storage.tables.people import ClientRow
from app.storage.tables.safety import HoldRow, ScreeningRow
from app.storage.tables.training import ReadinessNoteRow

#: What the records say in the end: none of them is dated in days to come.
_IN_THE_END = date.max


def trust_on(db: Session, *, client: Client, day: date) -> HeartRateTrust:
    """What one client's heart rate is worth on a day, from all records."""
    return heart_rate_trust(
        client,
        day,
        answers=read(db, ScreeningAnswers, ScreeningRow, ScreeningRow.client_id == client.id),
        holds=read(db, Hold, HoldRow, HoldRow.client_id == client.id),
        changed_on=medicine_changes(db, client_ids=[client.id]).get(client.id, ()),
    )


def medicine_changes(db: Session, *, client_ids: Collection[int]) -> dict[int, tuple[date, ...]]:
    """The days on which notes of some clients say that a medicine changed, oldest first."""
    row = ReadinessNoteRow
    query = (
        select(row.client_id, row.noted_on)
        .where(row.client_id.in_(client_ids), row.medicine_changed.is_(True))
        .order_by(row.noted_on)
    )
    found = grouped([(client_id, on) for client_id, on in db.execute(query)], lambda one: one[0])
    return {client_id: tuple(on for _, on in pairs) for client_id, pairs in found.items()}


def as_they_may_be_said(db: Session, sessions: Sequence[PlannedSession]) -> list[PlannedSession]:
    """Planned sessions as they are read: in words of effort for clients whose heart rate is not reliable."""
    if not sessions:
        return []
    off = not_reliable(db, client_ids={one.client_id for one in sessions})
    return [session_by_effort(one) if one.client_id in off else one for one in sessions] if off else list(sessions)


def not_reliable(db: Session, *, client_ids: Collection[int]) -> frozenset[int]:
    """Who of some clients has a heart rate that is not reliable, as the records stand."""
    doubtful = list(db.scalars(_doubtful(client_ids)))
    if not doubtful:
        return frozenset()
    answers = grouped(
        read(db, ScreeningAnswers, ScreeningRow, ScreeningRow.client_id.in_(doubtful)), lambda one: one.client_id
    )
    holds = grouped(read(db, Hold, HoldRow, HoldRow.client_id.in_(doubtful)), lambda one: one.client_id)
    return frozenset(
        one.id
        for one in read(db, Client, ClientRow, ClientRow.id.in_(doubtful))
        if heart_rate_trust(one, _IN_THE_END, answers=answers.get(one.id, ()), holds=holds.get(one.id, ())).is_off
    )


def _doubtful(client_ids: Collection[int]) -> Select[int]:
    """Clients with anything that could make it unreliable; most have nothing, and cost one question."""
    said_yes = select(ScreeningRow.client_id).where(ScreeningRow.heart_rate_medicine == YesNo.YES)
    changed = select(HoldRow.client_id).where(HoldRow.kind == HoldKind.MEDICINE_CHANGE, HoldRow.lifted_at.is_(None))
    return select(ClientRow.id).where(
        ClientRow.id.in_(client_ids),
        or_(
            ClientRow.heart_rate_use == HeartRateUse.NOT_RELIABLE,
            ClientRow.id.in_(said_yes),
            ClientRow.id.in_(changed),
        ),
    )
