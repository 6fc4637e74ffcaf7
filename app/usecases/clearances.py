"""A clinician's clearance: asked for, then granted or refused, as a paper somebody signed."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.clearance_papers import HOW_SEEN, TELEPHONE
from app.coaching.holds import Hold, HoldKind
from app.coaching.people import Client, ClientState
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity
from app.coaching.weeks import day_words, local_day
from app.storage import clients, phases, safety
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

_BEFORE_TRAINING = frozenset({ClientState.ASKED, ClientState.INTAKE})


@dataclass(frozen=True, slots=True)
class PaperGiven:
    """A clinician's answer as it was typed in."""

    state: ClearanceState
    signer: str | None
    profession: str | None
    given_on: date | None
    scope: Intensity | None
    limits: str | None
    ends_on: date | None
    how_seen: str | None


def request_clearance(
    db: Session, *, actor: Actor, client_id: int, requested_on: date, scope: Intensity, now: datetime
) -> int:
    """Note that a clearance was asked for; a client at intake waits for it from now on. Returns its id.

    Raises: NotYours, NotAllowed; Refused for a day to come.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    if requested_on > local_day(now, client.zone):
        raise Refused("A request is noted once it was made; this day has not come yet.")
    clearance_id = safety.add_clearance(
        db,
        client_id=client.id,
        state=ClearanceState.REQUESTED,
        scope=scope,
        requested_on=requested_on,
        given_on=None,
        ends_on=None,
        signer=None,
        profession=None,
        how_seen=None,
        limits=None,
        person_id=actor.person_id,
        at=now,
    )
    if client.state in _BEFORE_TRAINING:
        clients.set_state(db, client_id=client.id, state=ClientState.WAITING_FOR_CLEARANCE)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="request_clearance",
        subject="clearance",
        subject_id=clearance_id,
        change={"after": {"requested_on": requested_on, "scope": scope}},
    )
    return clearance_id


def record_paper(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    paper: PaperGiven,
    password_confirmed: bool,
    rules: Rules,
    now: datetime,
) -> list[tuple[str, str]]:
    """Keep a clinician's answer, or say beside which field what is missing. A refusal works at once.

    Raises: NotYours, NotAllowed.
    """
    problems = paper_problems(
        db,
        actor=actor,
        client_id=client_id,
        paper=paper,
        password_confirmed=password_confirmed,
        rules=rules,
        now=now,
    )
    if problems:
        return problems
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    _keep_paper(db, actor=actor, client=client, paper=paper, ends_on=_end_of(paper, rules), now=now)
    _follow_state(db, client, paper)
    return []


def paper_problems(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    paper: PaperGiven,
    password_confirmed: bool,
    rules: Rules,
    now: datetime,
) -> list[tuple[str, str]]:
    """What is missing from a clinician's answer, each beside its field. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    problems = _problems(db, client, paper, local_day(now, client.zone), rules)
    if paper.state is ClearanceState.GRANTED and not password_confirmed:
        problems.append(("own_password", "Enter your own password again: this paper lets somebody train."))
    return problems


@dataclass(frozen=True, slots=True)
class WhatIsNext:
    """Where a kept clearance leads on to."""

    #: An open hold that a paper lifts, one after a symptom first.
    hold: Hold | None
    #: Whether nothing was decided yet, so that the base may begin now.
    may_start: bool


def what_is_next(db: Session, *, actor: Actor, client_id: int, paper: PaperGiven, now: datetime) -> WhatIsNext:
    """Where to go after a paper was kept. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    if not _is_seen(paper):
        return WhatIsNext(None, may_start=False)
    standing = [
        one
        for one in safety.holds_of(db, client_id=client_id)
        if one.lifted_at is None and one.kind in (HoldKind.SYMPTOM, HoldKind.CLEARANCE)
    ]
    has_phase = bool(phases.of_client(db, client_id=client_id))
    return WhatIsNext(
        min(standing, key=lambda one: (one.kind is not HoldKind.SYMPTOM, one.id), default=None),
        may_start=client.state in _BEFORE_TRAINING and not has_phase,
    )


def _is_seen(paper: PaperGiven) -> bool:
    """Whether a grant was seen; told by telephone alone it counts for nothing."""
    return paper.state is ClearanceState.GRANTED and paper.how_seen != TELEPHONE


def _end_of(paper: PaperGiven, rules: Rules) -> date | None:
    """The day a paper ends: its own, else as long as the practice lets any paper count."""
    if paper.state is ClearanceState.GRANTED and paper.given_on is not None and paper.ends_on is None:
        return paper.given_on + timedelta(days=rules.clearance_days)
    return paper.ends_on


def _keep_paper(
    db: Session, *, actor: Actor, client: Client, paper: PaperGiven, ends_on: date | None, now: datetime
) -> None:
    clearance_id = safety.add_clearance(
        db,
        client_id=client.id,
        state=paper.state,
        scope=paper.scope,
        requested_on=None,
        given_on=paper.given_on,
        ends_on=ends_on,
        signer=paper.signer,
        profession=paper.profession,
        how_seen=paper.how_seen,
        limits=paper.limits,
        person_id=actor.person_id,
        at=now,
    )
    kept = {"state": paper.state, "scope": paper.scope, "given_on": paper.given_on, "ends_on": ends_on}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="record_clearance",
        subject="clearance",
        subject_id=clearance_id,
        change={"after": kept | {"how_seen": paper.how_seen}},
    )


def _problems(db: Session, client: Client, paper: PaperGiven, today: date, rules: Rules) -> list[tuple[str, str]]:
    given = paper.given_on
    if paper.state is ClearanceState.REFUSED:
        is_ahead = given is not None and given > today
        return [("given_on", "The paper is dated in the future.")] if is_ahead else []
    tests = (
        (bool((paper.signer or "").strip()), "signer", "Say who signed the clearance."),
        (bool((paper.profession or "").strip()), "profession", "Say the signer's profession."),
        (given is not None, "given_on", "Say on which day the clearance was given."),
        (given is None or given <= today, "given_on", "The clearance is dated in the future."),
        (paper.scope is not None, "scope", "Say what the clearance is for."),
        (paper.how_seen in HOW_SEEN, "how_seen", "Say how the clearance was seen."),
    )
    problems = [(field, sentence) for is_fine, field, sentence in tests if not is_fine]
    if given is not None and not problems:
        problems += [*_older_than_symptom(db, client, given), *_end_problems(given, paper.ends_on, rules)]
    return problems


def _older_than_symptom(db: Session, client: Client, given: date) -> list[tuple[str, str]]:
    days = [
        one.began_on
        for one in safety.holds_of(db, client_id=client.id)
        if one.kind is HoldKind.SYMPTOM and one.lifted_at is None
    ]
    latest = max(days, default=None)
    if latest is None or given > latest:
        return []
    sentence = f"Something felt wrong on {day_words(latest)}. A paper counts only when it is dated after that day."
    return [("given_on", sentence)]


def _end_problems(given: date, ends_on: date | None, rules: Rules) -> list[tuple[str, str]]:
    latest = given + timedelta(days=rules.clearance_days)
    if ends_on is None or given <= ends_on <= latest:
        return []
    return [("ends_on", f"Between the day it was given and {day_words(latest)} ({rules.clearance_days} days).")]


def _follow_state(db: Session, client: Client, paper: PaperGiven) -> None:
    """Waiting ends with a granted paper that was seen; whether training may begin is the screening's to say."""
    if client.state is ClientState.WAITING_FOR_CLEARANCE and _is_seen(paper):
        has_phase = bool(phases.of_client(db, client_id=client.id))
        clients.set_state(db, client_id=client.id, state=ClientState.ACTIVE if has_phase else ClientState.INTAKE)
