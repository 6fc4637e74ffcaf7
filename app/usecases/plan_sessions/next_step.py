"""What comes next in a client's hard sessions, and writing it into the next planned one as a draft."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.after_days_off import afresh_since, after_days_off
from app.coaching.days_off import Run
from app.coaching.executed import Executed, executed_sessions
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.matching import is_on_leave
from app.coaching.next_step import BACK_TO_ONE_DAYS, Asked, Looks, NextStep, Way, next_step
from app.coaching.pairing import pairing_of
from app.coaching.people import Client, Mode, age_on
from app.coaching.phases import Phase
from app.coaching.plan_changes import is_first_of_phase
from app.coaching.plan_weeks import is_answered
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError, Refused
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.session_target import SessionTarget, target_from_json, target_to_json, uphill_target
from app.coaching.step_target import with_own_target
from app.coaching.step_waits import step_waits
from app.coaching.target_plausible import far_above, over_ceiling, reach_by
from app.coaching.target_values import rounds_asked
from app.coaching.typed_content import is_uphill_place, typed_content
from app.coaching.typed_session import TypedRounds
from app.coaching.weeks import local_day, week_start
from app.storage import measured, prescriptions
from app.usecases.gate import allowed_actions, open_planned_session, open_record
from app.usecases.plan_sessions.judged import judged_by_recordings
from app.usecases.plan_sessions.keeping import history_around, keep_version, open_to_change, refuse_frozen

#: How far ahead the next hard session is looked for.
AHEAD = timedelta(days=60)


@dataclass(frozen=True, slots=True)
class NextStepPage:
    """What is proposed, for which session, and whether a click may write it."""

    client: Client
    step: NextStep
    #: The next planned session of rounds from today on; None when none is planned.
    session: PlannedSession | None
    #: Whether that session says something else than what is proposed.
    differs: bool
    may_plan: bool

    @property
    def may_take(self) -> bool:
        """Whether one click can write it."""
        return self.may_plan and self.session is not None and self.step.asks is not None and self.differs


def open_next_step(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> NextStepPage:
    """What comes next for one client, from how the last hard sessions went."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    known = history_around(db, client_id, today, today)
    step, session = _proposed(db, known, today, rules)
    return NextStepPage(
        client=client,
        step=step,
        session=session,
        differs=session is not None and step.asks is not None and not _says_so(session, step.asks),
        may_plan=Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now),
    )


def client_of(db: Session, *, actor: Actor, planned_session_id: int, now: datetime) -> int:
    """Whose session it is, for somebody who may plan it. Raises: NotYours, NotAllowed."""
    client, _session = open_planned_session(
        db, actor=actor, planned_session_id=planned_session_id, action=Action.DECIDE, now=now
    )
    return client.id


def take_step(
    db: Session, *, actor: Actor, planned_session_id: int, version: int, rules: Rules, now: datetime
) -> PlannedSession:
    """Write what is proposed into the next hard session as a draft; returns the session as it is then.

    Raises: ChangedMeanwhile; Refused when nothing is proposed that can be written, when another session is the next
    one, or when its day is over.
    """
    client, session = open_to_change(db, actor, planned_session_id, version, now)
    today = local_day(now, client.zone)
    known = history_around(db, client.id, session.planned_on, today)
    refuse_frozen(db, known, session, today)
    step, upcoming = _proposed(db, known, today, rules)
    if upcoming is None or upcoming.id != session.id:
        raise Refused("Another session of rounds is the next one now. Look again.")
    if step.asks is None:
        raise Refused(f"There is nothing a click can write. {step.sentence}")
    if _says_so(session, step.asks):
        raise Refused("That session says so already.")
    changed = _with(session, step.asks, known, rules)
    keep_version(
        db, actor, session, changed, reason=step.sentence, publish=False, action="took the next step", now=now
    )
    return changed


def _proposed(db: Session, known: History, today: date, rules: Rules) -> tuple[NextStep, PlannedSession | None]:
    """What comes next, and the session it is for.

    Today's own session stands as the client has it. A week that is easier on purpose is left alone unless it is to
    become easier still.
    """
    ahead = _ahead(db, known, today)
    step = _step(db, known, ahead[0] if ahead else None, today, rules)
    if step.way is not Way.EASIER:
        easier = {one.starts_on for one in known.weeks if one.is_easier}
        ahead = [one for one in ahead if week_start(one.planned_on) not in easier]
    session = ahead[0] if ahead else None
    there = None if session is None else rounds_asked(session)
    if step.way is Way.EASIER and step.asks is not None and there is not None:
        step = replace(step, asks=replace(step.asks, rounds=min(step.asks.rounds, there.rounds)))
    if session is not None:
        step = with_own_target(step, target_from_json(session.target_json))
    return step, session


def _step(db: Session, known: History, session: PlannedSession | None, today: date, rules: Rules) -> NextStep:
    stopped = stopped_now(known, today, rules)
    because = [*stopped.all_because, *stopped.hard_because]
    if session is not None:
        because += stopped.mode_because(session.mode)
    done = executed_sessions(known, today, rules, judged=judged_by_recordings(db, known, today, rules))
    alike = [one for one in done if session is None or one.mode is session.mode]
    is_on_two = known.phase is Phase.INTERVAL_TWO
    day = today if session is None else session.planned_on
    afresh = afresh_since(known, day)
    return next_step(
        alike,
        stopped=because,
        is_on_two=is_on_two,
        missed_lately=_missed(known, today) if is_on_two else 0,
        days_off=after_days_off(known, done, day),
        afresh=afresh,
        looks=replace(
            _looks(db, known, alike, day, afresh),
            waits=step_waits(known, done, alike[-1].on if alike else None, today, rules),
        ),
    )


def _looks(db: Session, known: History, alike: Sequence[Executed], day: date, afresh: Run | None) -> Looks:
    """A raised target is held against the ceiling, and against what was done, as any other that is proposed."""
    since = date.min if afresh is None else afresh.back_on
    figures = [one for one in measured.of_client(db, client_id=known.client.id) if one.measured_on >= since]
    done = [one for one in alike if one.on >= since]
    mode = done[-1].mode if done else Mode.OTHER

    def far(target: SessionTarget) -> str:
        return far_above(reach_by(target.form, mode, day, done, figures), target)

    return Looks(lambda target: over_ceiling(target, mode, day, done, figures), far)


def _missed(known: History, today: date) -> int:
    """Hard sessions of the last four weeks answered with not done, agreed leave left out."""
    plan_of = pairing_of(known, today).plan_of
    since = today - timedelta(days=BACK_TO_ONE_DAYS)
    return sum(
        log.answer is Answer.NOT_DONE
        and since < log.done_on <= today
        and log.id in plan_of
        and plan_of[log.id].is_hard
        and not is_on_leave(known.leaves, log.done_on)
        for log in known.logs
    )


def _ahead(db: Session, known: History, today: date) -> list[PlannedSession]:
    """Sessions of equal rounds to come that nobody has answered, the next one first."""
    found = prescriptions.newest_between(db, client_ids=[known.client.id], from_on=today, until_on=today + AHEAD)
    return [
        one
        for one in found
        if one.kind is SessionKind.INTERVALS
        and not one.is_cancelled
        and not (one.planned_on == today and one.published_at is not None)
        and rounds_asked(one) is not None
        and not is_answered(known, one.id)
    ]


def _says_so(session: PlannedSession, asks: Asked) -> bool:
    there = rounds_asked(session)
    is_same = there is not None and (there.rounds, there.work_s, there.recovery_s) == (
        asks.rounds,
        asks.work_s,
        asks.recovery_s,
    )
    return is_same and target_from_json(session.target_json) == asks.target


def _with(session: PlannedSession, asks: Asked, known: History, rules: Rules) -> PlannedSession:
    """The session with the rounds and the target that are proposed; its words follow when its rounds change."""
    target_json = target_to_json(asks.target)
    if is_uphill_place(session):
        target_json = uphill_target(target_json)
    there = rounds_asked(session)
    if there is not None and (there.rounds, there.work_s, there.recovery_s) == (
        asks.rounds,
        asks.work_s,
        asks.recovery_s,
    ):
        return replace(session, target_json=target_json)
    typed = TypedRounds(asks.rounds, asks.work_s, asks.recovery_s, session.mode, is_uphill_place(session))
    try:
        content = typed_content(
            typed,
            age=age_on(known.client.born_on, session.planned_on),
            first_of_phase=is_first_of_phase(known, session.planned_on),
            rules=rules,
        )
    except DomainError as refusal:
        raise Refused(str(refusal)) from refusal
    return replace(
        session,
        title=content.title,
        purpose=content.purpose,
        minutes=content.minutes,
        hard_minutes=content.hard_minutes,
        is_hard=content.is_hard,
        rounds=content.rounds,
        steps_json=content.steps_json,
        easy_version=content.easy_version,
        target_json=target_json,
    )
