"""My way: the client's phases, block, tests, the coach's shared notes, what comes next, and the consents."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.client_voice import client_voice, has_named_a_symptom, waiting_words, waits_only_for_answers
from app.coaching.condition import Condition
from app.coaching.consents import CONSENT_TEXTS, ConsentText, current_consent
from app.coaching.fitness_tests import FitnessTest
from app.coaching.forecast import reason_for_none
from app.coaching.forecast_kept import KeptForecast
from app.coaching.forecast_words import way_words
from app.coaching.heart_rate_trust import HeartRateTrust, trust_of
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Hold
from app.coaching.leave_to_train import stopped_now
from app.coaching.note_beside_pause import NoteShown, notes_shown
from app.coaching.people import Client, Goal, Origin
from app.coaching.phases import HARD_WORK_PHASES, Phase, PhaseDecision
from app.coaching.prescriptions import Block
from app.coaching.promotion import conditions
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.screening import Consent, ConsentKind, Intensity
from app.coaching.screening_decision import Decision, decide, screening_due
from app.coaching.weeks import local_day
from app.storage import felt_wrong, forecasts, history, safety
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

WINDOW_BACK_DAYS = 400
WINDOW_AHEAD_DAYS = 60


@dataclass(frozen=True, slots=True)
class ConsentLine:
    """One consent text and whether it is given."""

    text: ConsentText
    given: Consent | None
    #: An earlier wording was agreed to; the present one was not.
    is_outdated: bool
    #: When it was agreed to the first time, where it was asked for again since.
    first_on: date | None = None


@dataclass(frozen=True, slots=True)
class MyWay:
    """Everything the page shows."""

    client: Client
    today: date
    phase: Phase | None
    since_on: date | None
    decisions: tuple[PhaseDecision, ...]
    block: Block | None
    #: Conditions for hard work; empty once the client does it.
    conditions: tuple[Condition, ...]
    tests: tuple[FitnessTest, ...]
    heart_rate: HeartRateTrust
    notes: tuple[NoteShown, ...]
    goals: tuple[Goal, ...]
    consents: tuple[ConsentLine, ...]
    open_holds: tuple[Hold, ...]
    #: Everything that stops training today, holds included.
    stopped: StoppedWork
    #: Nothing is wrong; the first questions are open.
    waits_only_for_answers: bool
    has_named_a_symptom: bool
    #: What the screening says of hard work, and that in the client's words.
    hard_leave: Decision
    hard_leave_words: str
    #: How far the easy weeks before hard work are.
    easy_weeks: str
    #: Why the screening questions are due; None while the answers are fresh.
    questions_due: str | None
    #: When the base may be laid, in a kind sentence; None where there is nothing to say.
    ahead_words: str | None


def load(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> MyWay:
    """The client's way so far and what comes next."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    found = history.load(
        db,
        client_ids=[client_id],
        from_on=today - timedelta(days=WINDOW_BACK_DAYS),
        until_on=today + timedelta(days=WINDOW_AHEAD_DAYS),
    )[0]
    voice = client_voice(found, today, rules)
    stopped = stopped_now(found, today, rules, voice=voice)
    hard_leave = decide(found, Intensity.VIGOROUS, today, rules)
    return MyWay(
        client=client,
        today=today,
        phase=found.phase,
        since_on=found.phase_since_on,
        decisions=found.decisions,
        block=_block_on(found, today),
        conditions=() if found.phase in HARD_WORK_PHASES else conditions(found, today, rules),
        tests=tuple(reversed(found.tests)),
        heart_rate=trust_of(found, today),
        notes=notes_shown(tuple(reversed(found.notes)), found, today, rules),
        goals=tuple(one for one in found.goals if one.closed_on is None),
        consents=tuple(_line(found, kind) for kind in CONSENT_TEXTS),
        open_holds=found.open_holds,
        stopped=stopped,
        waits_only_for_answers=waits_only_for_answers(found, stopped),
        has_named_a_symptom=has_named_a_symptom(found),
        hard_leave=hard_leave,
        hard_leave_words=voice.of_screening(hard_leave),
        easy_weeks=waiting_words(found, today, rules),
        questions_due=screening_due(found, today, rules),
        ahead_words=_ahead_words(found, forecasts.kept(db, client_id=client_id, rules=rules), stopped),
    )


def give_consent(
    db: Session, *, actor: Actor, client_id: int, kind: ConsentKind, text_version: str, origin: Origin, now: datetime
) -> int:
    """Keep a consent with the text as it was shown.

    Raises: StaleEdit when the text has changed since it was shown; Refused when it is given already.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    text = CONSENT_TEXTS[kind]
    if text_version != text.version:
        raise StaleEdit("This text has changed since you opened it. Please read it again.")
    if current_consent(safety.consents_of(db, client_id=client_id), kind) is not None:
        raise Refused("You have agreed to this already.")
    consent_id = safety.add_consent(
        db,
        client_id=client_id,
        kind=kind,
        text_version=text.version,
        text_sha256=text.sha256,
        text_as_shown=text.text,
        language=text.language,
        given_on=local_day(now, client.zone),
        method=origin,
        witness=None,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="gave",
        subject="consent",
        subject_id=consent_id,
        change={"after": {"kind": kind, "version": text.version, "origin": origin}},
    )
    return consent_id


def withdraw_consent(db: Session, *, actor: Actor, client_id: int, kind: ConsentKind, now: datetime) -> None:
    """Take a consent back; in a phase with hard work, hard work then pauses at once.

    Raises: Refused when there is none to take back.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    today = local_day(now, client.zone)
    given = [one for one in safety.consents_of(db, client_id=client_id) if one.kind is kind and not one.withdrawn_on]
    if not given:
        raise Refused("There is no such consent to take back.")
    safety.withdraw_consents(db, client_id=client_id, kind=kind, on=today, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="took back",
        subject="consent",
        subject_id=given[-1].id,
        change={"before": {"kind": kind}, "after": {"withdrawn_on": today}},
    )
    felt_wrong.pause_without_consent(db, client_id=client_id, kind=kind, on=today, person_id=actor.person_id, at=now)


def _ahead_words(found: History, kept: KeptForecast | None, stopped: StoppedWork) -> str | None:
    if kept is None or stopped.all_because or reason_for_none(found) is not None:
        return None
    return way_words(kept.forecast)


def _block_on(found: History, today: date) -> Block | None:
    running = [one for one in found.blocks if one.starts_on <= today < one.starts_on + timedelta(weeks=one.weeks)]
    return running[-1] if running else None


def _line(found: History, kind: ConsentKind) -> ConsentLine:
    given = current_consent(found.consents, kind)
    standing = [one for one in found.consents if one.kind is kind and one.withdrawn_on is None]
    first_on = min((one.given_on for one in standing), default=None)
    return ConsentLine(
        CONSENT_TEXTS[kind],
        given,
        is_outdated=given is None and bool(standing),
        first_on=first_on if given is not None and first_on != given.given_on else None,
    )
