"""A clinician's two numbers for one client: recorded from a paper, and taken back."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.pressure_limits import DIASTOLIC_MMHG, IN_WRITING, SYSTOLIC_MMHG, OwnPressureLimit, newest_own
from app.coaching.reasons import Refused
from app.coaching.weeks import local_day
from app.storage import pressure_limits
from app.storage.audit import leave_trace
from app.usecases.gate import open_record


@dataclass(frozen=True, slots=True)
class LimitGiven:
    """The two numbers and their paper as typed in."""

    systolic_mmhg: int
    diastolic_mmhg: int
    given_on: date
    signer: str
    profession: str
    how_seen: str


def record(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    given: LimitGiven,
    password_confirmed: bool,
    now: datetime,
) -> list[tuple[str, str]]:
    """Keep a clinician's two numbers, or say beside which field what is missing. They count at once.

    Raises: NotYours, NotAllowed.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    problems = _problems(given, local_day(now, client.zone))
    if not password_confirmed:
        problems.append(("own_password", "Enter your own password again: these numbers may let somebody train."))
    if problems:
        return problems
    before = newest_own(pressure_limits.of_client(db, client_id=client.id))
    limit_id = pressure_limits.add(
        db,
        client_id=client.id,
        systolic_mmhg=given.systolic_mmhg,
        diastolic_mmhg=given.diastolic_mmhg,
        given_on=given.given_on,
        signer=given.signer.strip(),
        profession=given.profession.strip(),
        how_seen=given.how_seen,
        person_id=actor.person_id,
        at=now,
    )
    after = {"limits": _said(given), "signer": given.signer, "given_on": given.given_on, "how_seen": given.how_seen}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="set_pressure_limits",
        subject="pressure limit",
        subject_id=limit_id,
        change={"before": {"limits": _said(before)}, "after": after},
    )
    return []


def take_back(db: Session, *, actor: Actor, client_id: int, now: datetime) -> None:
    """Take a client's own numbers back: the practice's limits count again at once.

    Raises: NotYours, NotAllowed; Refused when there are none.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    standing = [one for one in pressure_limits.of_client(db, client_id=client.id) if one.taken_back_at is None]
    if not standing:
        raise Refused("There are no numbers of a clinician to take back.")
    for one in standing:
        pressure_limits.take_back(db, limit_id=one.id, person_id=actor.person_id, at=now)
        leave_trace(
            db,
            at=now,
            person_id=actor.person_id,
            client_id=client.id,
            action="take_pressure_limits_back",
            subject="pressure limit",
            subject_id=one.id,
            change={"before": {"limits": _said(one)}, "after": {"limits": None}},
        )


def _said(limit: LimitGiven | OwnPressureLimit | None) -> str | None:
    return None if limit is None else f"{limit.systolic_mmhg}/{limit.diastolic_mmhg}"


def _problems(given: LimitGiven, today: date) -> list[tuple[str, str]]:
    tests = (
        (given.given_on <= today, "given_on", "This day has not come yet."),
        (SYSTOLIC_MMHG[0] <= given.systolic_mmhg <= SYSTOLIC_MMHG[1], "systolic_mmhg", _within(SYSTOLIC_MMHG)),
        (DIASTOLIC_MMHG[0] <= given.diastolic_mmhg <= DIASTOLIC_MMHG[1], "diastolic_mmhg", _within(DIASTOLIC_MMHG)),
        (given.diastolic_mmhg < given.systolic_mmhg, "systolic_mmhg", "The upper number is the higher one."),
        (bool(given.signer.strip()), "signer", "Say who signed."),
        (bool(given.profession.strip()), "profession", "Say the signer's profession."),
        (given.how_seen in IN_WRITING, "how_seen", "A telephone call alone does not count; ask for it in writing."),
    )
    return [(field, sentence) for is_fine, field, sentence in tests if not is_fine]


def _within(limits: tuple[int, int]) -> str:
    return f"This should be between {limits[0]} and {limits[1]} mmHg."
