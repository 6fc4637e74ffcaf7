"""People who act, their logins on devices, invitations, and failed sign-ins."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import delete, func, or_, select, update
from sqlalchemy.orm import Session

from app.coaching.access import Actor, Invite, Login, Person, Relation, Role
from app.storage.reading import read, read_one
from app.storage.tables.people import ClientRow, HandoverRow, InviteRow, LoginRow, PersonRow, ThrottleRow


@dataclass(frozen=True, slots=True)
class NamedHandover:
    """A client handed to someone between two days, with both names."""

    id: int
    client_id: int
    client_name: str
    person_id: int
    person_name: str
    from_on: date
    until_on: date
    with_private_notes: bool
    #: What the stand-in should know; None when nothing was written.
    words: str | None


def add_person(
    db: Session,
    *,
    name: str,
    email: str | None,
    role: Role,
    password_hash: str | None,
    client_id: int | None,
    at: datetime,
) -> int:
    """Add a person and return the id."""
    row = PersonRow(
        name=name,
        email=email,
        role=role,
        password_hash=password_hash,
        client_id=client_id,
        is_active=True,
        created_at=at,
    )
    db.add(row)
    db.flush()
    return row.id


def person(db: Session, *, person_id: int) -> Person | None:
    """A person by id."""
    return read_one(db, Person, PersonRow, PersonRow.id == person_id)


def person_by_email(db: Session, *, email: str) -> Person | None:
    """A person by e-mail address, capitals ignored."""
    return read_one(db, Person, PersonRow, func.lower(PersonRow.email) == email.lower())


def person_of_client(db: Session, *, client_id: int) -> Person | None:
    """The client's own person."""
    return read_one(db, Person, PersonRow, PersonRow.client_id == client_id)


def coaches(db: Session) -> list[Person]:
    """Everyone on the coach's side of the desk."""
    return read(db, Person, PersonRow, PersonRow.role != Role.CLIENT, order_by=[PersonRow.name])


def set_password_hash(db: Session, *, person_id: int, password_hash: str) -> None:
    """Replace a password's hash."""
    db.get_one(PersonRow, person_id).password_hash = password_hash
    db.flush()


def set_active(db: Session, *, person_id: int, is_active: bool) -> None:
    """Switch a person's access on or off."""
    db.get_one(PersonRow, person_id).is_active = is_active
    db.flush()


def add_login(db: Session, *, person_id: int, token_sha256: str, device: str, at: datetime, ends_at: datetime) -> int:
    """Add a signed-in browser."""
    row = LoginRow(
        person_id=person_id,
        token_sha256=token_sha256,
        device=device,
        created_at=at,
        last_seen_at=at,
        ends_at=ends_at,
        ended_at=None,
    )
    db.add(row)
    db.flush()
    return row.id


def login_by_token(db: Session, *, token_sha256: str) -> tuple[Login, Person] | None:
    """The open or ended login a token belongs to, with its person."""
    login = read_one(db, Login, LoginRow, LoginRow.token_sha256 == token_sha256)
    if login is None:
        return None
    owner = person(db, person_id=login.person_id)
    return None if owner is None else (login, owner)


def logins_of(db: Session, *, person_id: int, now: datetime) -> list[Login]:
    """A person's open logins, newest first."""
    return read(
        db,
        Login,
        LoginRow,
        LoginRow.person_id == person_id,
        LoginRow.ended_at.is_(None),
        LoginRow.ends_at > now,
        order_by=[LoginRow.last_seen_at.desc()],
    )


def clients_signed_in(db: Session, *, client_ids: Collection[int], now: datetime) -> frozenset[int]:
    """Those of some clients who have a browser signed in now."""
    found = db.scalars(
        select(PersonRow.client_id)
        .join(LoginRow, LoginRow.person_id == PersonRow.id)
        .where(
            PersonRow.client_id.in_(client_ids),
            PersonRow.is_active,
            LoginRow.ended_at.is_(None),
            LoginRow.ends_at > now,
        )
    )
    return frozenset(one for one in found if one is not None)


def end_login(db: Session, *, login_id: int, person_id: int, at: datetime) -> bool:
    """End one of a person's logins; False when it is not theirs or has ended."""
    done = db.execute(
        update(LoginRow)
        .where(LoginRow.id == login_id, LoginRow.person_id == person_id, LoginRow.ended_at.is_(None))
        .values(ended_at=at)
        .returning(LoginRow.id)
    ).all()
    return bool(done)


def end_all_logins(db: Session, *, person_id: int | None, at: datetime) -> None:
    """End every open login of a person, or of everybody."""
    query = update(LoginRow).where(LoginRow.ended_at.is_(None)).values(ended_at=at)
    db.execute(query if person_id is None else query.where(LoginRow.person_id == person_id))


def extend_login(db: Session, *, login_id: int, ends_at: datetime) -> None:
    """Let a login end later."""
    db.execute(update(LoginRow).where(LoginRow.id == login_id).values(ends_at=ends_at))


def touch_login(db: Session, *, login_id: int, at: datetime) -> None:
    """Note when a login was last seen."""
    db.execute(update(LoginRow).where(LoginRow.id == login_id).values(last_seen_at=at))


def add_invite(
    db: Session, *, person_id: int, token_sha256: str, created_by: int, at: datetime, ends_at: datetime
) -> int:
    """Add a personal link."""
    row = InviteRow(
        person_id=person_id,
        token_sha256=token_sha256,
        created_by=created_by,
        created_at=at,
        ends_at=ends_at,
        used_at=None,
        revoked_at=None,
    )
    db.add(row)
    db.flush()
    return row.id


def invite_by_token(db: Session, *, token_sha256: str) -> Invite | None:
    """The invitation a token belongs to."""
    return read_one(db, Invite, InviteRow, InviteRow.token_sha256 == token_sha256)


def invites_of(db: Session, *, person_id: int) -> list[Invite]:
    """A person's invitations, newest first."""
    return read(db, Invite, InviteRow, InviteRow.person_id == person_id, order_by=[InviteRow.id.desc()])


def use_invite(db: Session, *, invite_id: int, at: datetime) -> bool:
    """Use an invitation up; False when it was used or revoked before."""
    done = db.execute(
        update(InviteRow)
        .where(InviteRow.id == invite_id, InviteRow.used_at.is_(None), InviteRow.revoked_at.is_(None))
        .values(used_at=at)
        .returning(InviteRow.id)
    ).all()
    return bool(done)


def revoke_invites(db: Session, *, person_id: int | None, at: datetime) -> None:
    """Make unused links worthless: a person's, or everybody's."""
    query = update(InviteRow).where(InviteRow.used_at.is_(None), InviteRow.revoked_at.is_(None)).values(revoked_at=at)
    db.execute(query if person_id is None else query.where(InviteRow.person_id == person_id))


def relation(db: Session, *, actor: Actor, client_id: int, today: date) -> Relation:
    """How a person stands to a client's record on a day; NONE also when there is no such client."""
    if actor.role is Role.CLIENT:
        return Relation.SELF if actor.client_id == client_id else Relation.NONE
    coach_id = db.scalar(select(ClientRow.coach_id).where(ClientRow.id == client_id))
    if coach_id is None:
        return Relation.NONE
    if coach_id == actor.person_id:
        return Relation.OWN_CLIENT
    handed = db.scalars(
        select(HandoverRow.with_private_notes).where(
            HandoverRow.client_id == client_id,
            HandoverRow.person_id == actor.person_id,
            HandoverRow.from_on <= today,
            HandoverRow.until_on >= today,
        )
    ).all()
    if not handed:
        return Relation.NONE
    return Relation.HANDED_OVER_WITH_NOTES if any(handed) else Relation.HANDED_OVER


def client_ids_for(db: Session, *, actor: Actor, today: date) -> list[int]:
    """Every client whose record a person may read on a day."""
    query = select(ClientRow.id).order_by(ClientRow.id)
    if actor.role is Role.CLIENT:
        return [] if actor.client_id is None else [actor.client_id]
    if not actor.is_head:
        handed = select(HandoverRow.client_id).where(
            HandoverRow.person_id == actor.person_id,
            HandoverRow.from_on <= today,
            HandoverRow.until_on >= today,
        )
        query = query.where(or_(ClientRow.coach_id == actor.person_id, ClientRow.id.in_(handed)))
    return list(db.scalars(query))


def add_handover(
    db: Session,
    *,
    client_id: int,
    person_id: int,
    from_on: date,
    until_on: date,
    with_private_notes: bool,
    words: str | None = None,
) -> int:
    """Hand a client to a stand-in for some days."""
    row = HandoverRow(
        client_id=client_id,
        person_id=person_id,
        from_on=from_on,
        until_on=until_on,
        with_private_notes=with_private_notes,
        words=words,
    )
    db.add(row)
    db.flush()
    return row.id


@dataclass(frozen=True, slots=True)
class Handover:
    """A client handed to a stand-in between two local days."""

    client_id: int
    from_on: date
    until_on: date
    with_private_notes: bool


def handovers_to(db: Session, *, person_id: int) -> list[Handover]:
    """Every handover a person ever got."""
    return read(db, Handover, HandoverRow, HandoverRow.person_id == person_id, order_by=[HandoverRow.id])


def names_of(db: Session, *, person_ids: Collection[int]) -> dict[int, str]:
    """The names of some people by id."""
    query = select(PersonRow.id, PersonRow.name).where(PersonRow.id.in_(person_ids))
    return {row.id: row.name for row in db.execute(query)}


def handovers(db: Session, *, until_from: date) -> list[NamedHandover]:
    """Handovers that have not ended before a day, soonest first."""
    query = (
        select(
            HandoverRow.id,
            HandoverRow.client_id,
            ClientRow.name,
            HandoverRow.person_id,
            PersonRow.name,
            HandoverRow.from_on,
            HandoverRow.until_on,
            HandoverRow.with_private_notes,
            HandoverRow.words,
        )
        .join(ClientRow, ClientRow.id == HandoverRow.client_id)
        .join(PersonRow, PersonRow.id == HandoverRow.person_id)
        .where(HandoverRow.until_on >= until_from)
        .order_by(HandoverRow.from_on, HandoverRow.id)
    )
    return [NamedHandover(*row) for row in db.execute(query)]


def remove_handover(db: Session, *, handover_id: int) -> bool:
    """Take a handover back; False when there is none."""
    done = db.execute(delete(HandoverRow).where(HandoverRow.id == handover_id).returning(HandoverRow.id)).all()
    return bool(done)


def clients_by_coach(db: Session) -> dict[int, int]:
    """How many clients each coach has."""
    query = select(ClientRow.coach_id, func.count()).group_by(ClientRow.coach_id)
    return {row[0]: row[1] for row in db.execute(query)}


def note_failure(db: Session, *, subjects: list[str], at: datetime) -> None:
    """Remember a failed sign-in for an account and an address."""
    db.add_all([ThrottleRow(subject=subject, failed_at=at) for subject in subjects])
    db.flush()


def failures(db: Session, *, subject: str, since: datetime) -> list[datetime]:
    """When sign-in failed for a subject since an instant, oldest first."""
    query = select(ThrottleRow.failed_at).where(ThrottleRow.subject == subject, ThrottleRow.failed_at > since)
    return list(db.scalars(query.order_by(ThrottleRow.failed_at)))


def forget_failures(db: Session, *, subject: str | None = None, before: datetime | None = None) -> None:
    """Forget failures of a subject, or old ones."""
    query = delete(ThrottleRow)
    if subject is not None:
        query = query.where(ThrottleRow.subject == subject)
    if before is not None:
        query = query.where(ThrottleRow.failed_at < before)
    db.execute(query)
