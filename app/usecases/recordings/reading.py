"""How a session went, read from its recording or its entry, beside an earlier session of the same rounds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.capacity_left import CapacityLeft, capacity_left
from app.coaching.easing import BACK_TO_BASE_AFTER
from app.coaching.easy_judged import EasyJudged
from app.coaching.easy_session import is_easy_session, judged_easy
from app.coaching.execution_next import after_a_row
from app.coaching.execution_values import Blame, CountsAs, Execution
from app.coaching.facts import facts_of
from app.coaching.heart_rate_trust import HeartRateTrust, trust_of
from app.coaching.history import History
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.recording_about import edges_from_json, from_json
from app.coaching.recordings import Recording
from app.coaching.rounds_values import RoundEdges
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.session_reading import ReadWith, SessionReading, read_session, same_protocol
from app.coaching.weeks import local_day
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.files.kept_series import unpack
from app.physiology.values import Missing
from app.storage import history, measured, recordings
from app.usecases.gate import NotYours, allowed_actions
from app.usecases.recordings.looking import open_log
from app.usecases.recordings.rounds_again import beside_easy

#: So many earlier sessions are offered for comparing.
MOST_EARLIER = 12


@dataclass(frozen=True, slots=True)
class Earlier:
    """A session of the same rounds before this one."""

    log: SessionLog
    planned: PlannedSession


@dataclass(frozen=True, slots=True, eq=False)
class ReadLog:
    """One entry read whole, and an earlier one beside it where one was asked for."""

    client: Client
    reading: SessionReading
    heart_rate: HeartRateTrust
    #: Whether it was easy, of an easy session with a recording; None for others.
    easy: EasyJudged | None
    #: Of the same rounds by the same way of moving, the newest first.
    earlier: tuple[Earlier, ...]
    compared: SessionReading | None
    #: Of W' or D' under the set, or why that is not known; None without a recording or without rounds.
    left: CapacityLeft | Missing | None
    #: Whether this person may set where the rounds of its recording lie.
    may_set: bool

    @property
    def has_anything(self) -> bool:
        """Whether there is a recording or a round to show."""
        return self.reading.recording is not None or bool(self.reading.rounds)


def read_log(
    db: Session, *, actor: Actor, log_id: int, beside_id: int | None = None, rules: Rules, now: datetime
) -> ReadLog:
    """How an entry's session went; `beside_id` is an earlier entry of the same rounds to lay beside it.

    Raises: NotYours for a stranger's or a missing entry, and for one that is not of the same rounds.
    """
    client, log = open_log(db, actor=actor, log_id=log_id, action=Action.READ, now=now)
    known = history.load(
        db, client_ids=[client.id], from_on=log.done_on - WHOLE_BASE, until_on=log.done_on + FORTNIGHT
    )[0]
    facts = facts_of(known, local_day(now, client.zone), rules)
    plans = facts.pairing.plan_of
    earlier = _earlier(known, log, plans)
    beside = next((one for one in earlier if one.log.id == beside_id), None)
    if beside_id is not None and beside is None:
        raise NotYours("There is no earlier session of the same rounds here.")
    read = _with_a_row(db, known, _read(db, known, log, plans.get(log.id), rules), rules)
    easy = None
    if read.recording is not None and is_easy_session(log, plans.get(log.id)):
        is_after = facts.transition.is_over_on(log.done_on)
        beside_it = beside_easy(db, known, log, after_transition=is_after, rules=rules)
        easy = judged_easy(log, read.recording, beside_it)
    may_log = Action.LOG in allowed_actions(db, actor=actor, client=client, now=now)
    return ReadLog(
        client=client,
        reading=read,
        easy=easy,
        heart_rate=trust_of(known, log.done_on),
        earlier=earlier[:MOST_EARLIER],
        compared=_read(db, known, beside.log, beside.planned, rules) if beside else None,
        left=_capacity_left(db, read),
        may_set=actor.is_coach and may_log,
    )


def _read(
    db: Session, known: History, log: SessionLog, planned: PlannedSession | None, rules: Rules
) -> SessionReading:
    recording, by_hand = _recorded(db, log)
    counts = not trust_of(known, log.done_on).is_off
    return read_session(log, planned, recording, by_hand=by_hand, beside=ReadWith(counts, known.readiness, rules))


def _with_a_row(db: Session, known: History, read: SessionReading, rules: Rules) -> SessionReading:
    """The reading with what several bad sessions in a row ask for, as the next step says it."""
    judged, asked = read.judged, read.asked
    if judged is None or judged.next_time is None or asked is None or not _was_not_held(judged):
        return read
    in_a_row = 1 + _bad_before(db, known, read, rules)
    return replace(read, judged=replace(judged, next_time=after_a_row(judged.next_time, in_a_row, asked.work_s[0])))


def _bad_before(db: Session, known: History, read: SessionReading, rules: Rules) -> int:
    """Sessions that were not held straight before one, by the same way of moving; spoilt ones are passed over."""
    facts, found = facts_of(known, read.log.done_on, rules), 0
    for log in sorted(known.logs, key=lambda one: (one.done_on, one.id), reverse=True):
        plan = facts.pairing.plan_of.get(log.id)
        is_before = (log.done_on, log.id) < (read.log.done_on, read.log.id) and log.mode is read.log.mode
        if not is_before or log.id not in facts.hard or plan is None or plan.kind is not SessionKind.INTERVALS:
            continue
        judged = _read(db, known, log, plan, rules).judged
        if judged is None or judged.counts_as is CountsAs.NEITHER:
            continue
        if judged.counts_as is not CountsAs.BAD or found == BACK_TO_BASE_AFTER:
            break
        found += _was_not_held(judged)
    return found


def _was_not_held(judged: Execution) -> bool:
    return judged.counts_as is CountsAs.BAD and judged.blame is not Blame.TARGET_WRONG


def _capacity_left(db: Session, read: SessionReading) -> CapacityLeft | Missing | None:
    if read.recording is None or not read.rounds:
        return None
    known = measured.of_client(db, client_id=read.log.client_id)
    return capacity_left(read.recording, read.rounds, known, mode=read.log.mode, day=read.log.done_on)


def _recorded(db: Session, log: SessionLog) -> tuple[Recording | None, tuple[RoundEdges, ...]]:
    standing = recordings.standing(db, session_log_id=log.id)
    if standing is None:
        return None, ()
    series = recordings.series_of(db, recording_id=standing.id)
    recording, _places = unpack(series, about=from_json(standing.about_json), started_at=standing.started_at)
    return recording, edges_from_json(standing.edges_json) if standing.edges_json else ()


def _earlier(known: History, log: SessionLog, plans: Mapping[int, PlannedSession]) -> tuple[Earlier, ...]:
    planned = plans.get(log.id)
    if planned is None:
        return ()
    before = [
        Earlier(one, plans[one.id])
        for one in known.logs
        if (one.done_on, one.id) < (log.done_on, log.id)
        and one.answer is not Answer.NOT_DONE
        and one.id in plans
        and same_protocol(planned, plans[one.id])
    ]
    return tuple(sorted(before, key=lambda one: (one.log.done_on, one.log.id), reverse=True))
