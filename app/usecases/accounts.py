"""Accounts: the first coach, signing in and out, the pause after wrong passwords, changing one's own password."""

from __future__ import annotations

import hashlib
import hmac
import math
from dataclasses import dataclass
from datetime import datetime, timedelta
from enum import StrEnum

from sqlalchemy.orm import Session

from app.coaching.access import CLIENT_LOGIN, COACH_LOGIN, Actor, Invite, Login, Person, Role
from app.coaching.reasons import DomainError, Refused
from app.storage import accounts, practice
from app.storage.audit import leave_trace

#: Wrong passwords that cost nothing: an account's own, and those from one address (a whole practice may share it).
FREE_TRIES = {"account": 3, "address": 12}
#: Longest pause before the next try, in seconds. Never longer, so that nobody can lock somebody else out for good.
LONGEST_PAUSE_S = {"account": 60, "address": 300}
FAILURES_COUNT_FOR = timedelta(hours=1)


@dataclass(frozen=True, slots=True)
class PasswordOnFile:
    """What is needed to check a password, read before any slow work."""

    person: Person | None
    pause_s: int


def has_coaches(db: Session) -> bool:
    """Whether anybody works at this desk yet."""
    return bool(accounts.coaches(db))


def open_set_up(db: Session, *, code_sha256: str) -> None:
    """Keep the hash of the one-time code that was printed on the console."""
    practice.set_setup_code(db, sha256=code_sha256)


def is_set_up_code(db: Session, *, code_sha256: str) -> bool:
    """Whether the first coach may be made with this code: nobody is here yet and it is the one on the console."""
    found = practice.found(db)
    if found is None or found.setup_code_sha256 is None or has_coaches(db):
        return False
    return hmac.compare_digest(found.setup_code_sha256, code_sha256)


def create_coach(db: Session, *, name: str, email: str, password_hash: str, now: datetime) -> Person:
    """Make a coach at the console or with the one-time code: the first is the head coach.

    Someone at the console who names a known coach's address sets that coach's password anew; all logins of the
    coach end.
    """
    known = accounts.person_by_email(db, email=email)
    if known is None:
        role = Role.COACH if has_coaches(db) else Role.HEAD_COACH
        person_id = accounts.add_person(
            db, name=name, email=email, role=role, password_hash=password_hash, client_id=None, at=now
        )
        what = "coach made"
    elif known.role is Role.CLIENT:
        raise Refused("This address belongs to a client.")
    else:
        person_id = known.id
        accounts.set_password_hash(db, person_id=person_id, password_hash=password_hash)
        accounts.set_active(db, person_id=person_id, is_active=True)
        accounts.end_all_logins(db, person_id=person_id, at=now)
        what = "password set at the console"
    practice.set_setup_code(db, sha256=None)
    leave_trace(db, at=now, person_id=person_id, client_id=None, action=what, subject="person", subject_id=person_id)
    return _person(db, person_id)


def _person(db: Session, person_id: int) -> Person:
    found = accounts.person(db, person_id=person_id)
    if found is None:
        raise DomainError("there is no such person")
    return found


def on_file(db: Session, *, email: str, address: str, now: datetime) -> PasswordOnFile:
    """Who an address belongs to, and how long the next try has to wait."""
    return PasswordOnFile(_who(db, email), pause_s(db, email=email, address=address, now=now))


def _who(db: Session, email: str) -> Person | None:
    person = accounts.person_by_email(db, email=email)
    return person if person is not None and person.is_active and person.role is not Role.CLIENT else None


def pause_s(db: Session, *, email: str, address: str, now: datetime) -> int:
    """Seconds until the next try: growing with every wrong password, per account and per address."""
    waits = [
        _pause_s(accounts.failures(db, subject=subject, since=now - FAILURES_COUNT_FOR), kind=kind, now=now)
        for kind, subject in _subjects(email, address).items()
    ]
    return max(waits)


def _pause_s(failures: list[datetime], *, kind: str, now: datetime) -> int:
    beyond = len(failures) - FREE_TRIES[kind]
    if beyond < 0:
        return 0
    pause = min(2 ** min(beyond + 1, 10), LONGEST_PAUSE_S[kind])
    return max(0, math.ceil((failures[-1] + timedelta(seconds=pause) - now).total_seconds()))


def _subjects(email: str, address: str) -> dict[str, str]:
    # The account's address is kept as a hash: what strangers type there is nobody's business.
    account = hashlib.sha256(email.strip().lower().encode()).hexdigest()
    return {"account": f"account:{account}", "address": f"address:{address}"}


def note_wrong_password(
    db: Session, *, email: str, address: str, now: datetime, by: int | None = None, act: str = "sign-in"
) -> None:
    """Count a wrong password and leave a trace.

    by: who is signed in already and is asked for the own password once more for an act.
    """
    person = accounts.person_by_email(db, email=email)
    accounts.forget_failures(db, before=now - FAILURES_COUNT_FOR)
    accounts.note_failure(db, subjects=list(_subjects(email, address).values()), at=now)
    leave_trace(
        db,
        at=now,
        person_id=by,
        client_id=None,
        action="wrong password",
        subject=f"{act} for {person.name} from {address}" if person and by is None else f"{act} from {address}",
        subject_id=person.id if person else None,
    )


def note_pause(db: Session, *, address: str, now: datetime) -> None:
    """Leave a trace of a try that was not even looked at."""
    leave_trace(
        db, at=now, person_id=None, client_id=None, action="too many tries", subject=f"sign-in from {address}"
    )


def sign_in(
    db: Session,
    *,
    person: Person,
    email: str,
    address: str,
    token_sha256: str,
    device: str,
    fresh_hash: str | None,
    now: datetime,
) -> Actor:
    """Begin a coach's login after the password was found right.

    Raises: Refused when the account was changed while the password was being checked.
    """
    current = _who(db, email)
    if current is None or current.password_hash != person.password_hash:
        raise Refused("This account was changed a moment ago. Please try again.")
    accounts.forget_failures(db, subject=_subjects(email, address)["account"])
    if fresh_hash is not None:
        accounts.set_password_hash(db, person_id=person.id, password_hash=fresh_hash)
    return begin_login(db, person=person, token_sha256=token_sha256, device=device, now=now)


def begin_login(db: Session, *, person: Person, token_sha256: str, device: str, now: datetime) -> Actor:
    """Add a signed-in browser: 12 hours for a coach, 180 days from the last use for a client's own phone."""
    lasts = CLIENT_LOGIN if person.role is Role.CLIENT else COACH_LOGIN
    login_id = accounts.add_login(
        db, person_id=person.id, token_sha256=token_sha256, device=device[:200], at=now, ends_at=now + lasts
    )
    leave_trace(
        db,
        at=now,
        person_id=person.id,
        client_id=person.client_id,
        action="signed in",
        subject="login",
        subject_id=login_id,
    )
    return Actor(person.id, person.name, person.role, person.client_id)


class LinkState(StrEnum):
    """What a personal link is worth now."""

    OPEN = "open"
    USED = "used"
    OVER = "over"
    REVOKED = "revoked"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class Link:
    """A personal link as its page knows it."""

    state: LinkState
    person: Person | None


def look_at_link(db: Session, *, token_sha256: str, now: datetime) -> Link:
    """What a link is worth, without using it up: previews of messages open links too."""
    invite = accounts.invite_by_token(db, token_sha256=token_sha256)
    person = accounts.person(db, person_id=invite.person_id) if invite else None
    if invite is None or person is None or not person.is_active:
        return Link(LinkState.UNKNOWN, None)
    return Link(_state(invite, now), person)


def _state(invite: Invite, now: datetime) -> LinkState:
    if invite.used_at is not None:
        return LinkState.USED
    if invite.revoked_at is not None:
        return LinkState.REVOKED
    return LinkState.OPEN if now < invite.ends_at else LinkState.OVER


def join(
    db: Session, *, link_sha256: str, token_sha256: str, device: str, password_hash: str | None, now: datetime
) -> Actor:
    """Use a personal link up and sign this browser in; a coach's link also sets the password.

    Raises: Refused when the link is worth nothing any more, or a coach's password is missing.
    """
    link = look_at_link(db, token_sha256=link_sha256, now=now)
    invite = accounts.invite_by_token(db, token_sha256=link_sha256)
    if link.state is not LinkState.OPEN or link.person is None or invite is None:
        raise Refused("This link does not work any more. Please ask your coach for a new one.")
    if not accounts.use_invite(db, invite_id=invite.id, at=now):
        raise Refused("This link was used a moment ago. Please ask your coach for a new one.")
    if link.person.role is not Role.CLIENT:
        if password_hash is None:
            raise Refused("A coach's account needs a password.")
        accounts.set_password_hash(db, person_id=link.person.id, password_hash=password_hash)
        accounts.end_all_logins(db, person_id=link.person.id, at=now)
    return begin_login(db, person=link.person, token_sha256=token_sha256, device=device, now=now)


def sign_out(db: Session, *, actor: Actor, login: Login, now: datetime) -> None:
    """End this browser's login."""
    accounts.end_login(db, login_id=login.id, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=actor.client_id,
        action="signed out",
        subject="login",
        subject_id=login.id,
    )


def sign_out_everywhere(db: Session, *, actor: Actor, now: datetime) -> None:
    """End all of a person's logins, this one included."""
    accounts.end_all_logins(db, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=actor.client_id,
        action="signed out everywhere",
        subject="person",
        subject_id=actor.person_id,
    )


def own_email(db: Session, *, actor: Actor) -> str:
    """The address the acting person signs in with; empty for a client."""
    return _person(db, actor.person_id).email or ""


def change_password(db: Session, *, actor: Actor, password_hash: str, now: datetime) -> None:
    """Set one's own password; every login ends, so that a stolen one does not outlive it."""
    accounts.set_password_hash(db, person_id=actor.person_id, password_hash=password_hash)
    accounts.end_all_logins(db, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=None,
        action="password changed",
        subject="person",
        subject_id=actor.person_id,
    )
