"""Tests: one client's results, a new result, and what is due for everybody."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.fitness_changes import Compared, compare_with_last
from app.coaching.fitness_estimates import FitnessEstimate, estimate_of
from app.coaching.fitness_standing import NEWEST
from app.coaching.fitness_tests import FitnessTest, Protocol
from app.coaching.heart_rate_trust import HeartRateTrust, trust_of
from app.coaching.history import History
from app.coaching.people import Client, ClientState, HeartRateUse
from app.coaching.reasons import Refused
from app.coaching.retests import Due, loop_due, retest_due
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.coaching.windows import WHOLE_BASE
from app.physiology.values import Missing
from app.storage import fitness_tests, history
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, open_record, readable_clients


@dataclass(frozen=True, slots=True)
class ResultLine:
    """One result with the difference to the last one alike, and the VO2max it stands for."""

    test: FitnessTest
    compared: Compared | None
    estimate: FitnessEstimate | Missing | None
    heart_rate: HeartRateTrust


@dataclass(frozen=True, slots=True)
class Results:
    """A client's results, newest first, and what the client's heart rate is worth today."""

    lines: tuple[ResultLine, ...]
    heart_rate: HeartRateTrust


@dataclass(frozen=True, slots=True)
class DueLine:
    """One client on the page of tests."""

    client: Client
    today: date
    last: FitnessTest | None
    last_loop: FitnessTest | None
    loop_compared: Compared | None
    loop_due: Due | None
    retest_due: Due | None
    heart_rate: HeartRateTrust

    @property
    def due(self) -> Due | None:
        """What is due first."""
        return min((one for one in (self.loop_due, self.retest_due) if one is not None), key=_on, default=None)


def _on(due: Due) -> date:
    return due.on


def results(db: Session, *, actor: Actor, client_id: int, now: datetime, table: str = NEWEST) -> Results:
    """A client's results, newest first, like beside like and beside a table of other people. Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    known = history.load(db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=today)[0]
    heart_rate = trust_of(known, today)
    lines = tuple(
        ResultLine(
            test=one,
            compared=compare_with_last(one, known.tests, heart_rate),
            estimate=estimate_of(one, _as_trusted(known, heart_rate, one.tested_on), table),
            heart_rate=heart_rate,
        )
        for one in reversed(known.tests)
    )
    return Results(lines, heart_rate)


def _as_trusted(known: History, heart_rate: HeartRateTrust, tested_on: date) -> Client:
    """The client as the equations see the person: a heart rate not reliable now, or on the test's day, is none."""
    is_off = heart_rate.is_off or trust_of(known, tested_on).is_off
    return replace(known.client, heart_rate_use=HeartRateUse.NOT_RELIABLE) if is_off else known.client


def add_result(db: Session, *, actor: Actor, test: FitnessTest, now: datetime) -> int:
    """Keep a test result. Raises: NotYours, NotAllowed; Refused for a day to come or without any figure."""
    client = open_record(db, actor=actor, client_id=test.client_id, action=Action.LOG, now=now)
    if not actor.is_coach:
        raise NotAllowed("Results of tests are kept by the coach.")
    if test.tested_on > local_day(now, client.zone):
        raise Refused("A test is kept once it is done; this day has not come yet.")
    if test.value is None and test.distance_m is None and test.duration_s is None and test.heart_rate_bpm is None:
        raise Refused("A result needs at least one figure: a distance, a time, a heart rate or a value.")
    test_id = fitness_tests.add(db, test=test)
    after = {"protocol": test.protocol, "tested_on": test.tested_on, "value": test.value, "unit": test.unit}
    after |= {"distance_m": test.distance_m, "duration_s": test.duration_s, "heart_rate_bpm": test.heart_rate_bpm}
    after |= {"weight_kg": test.weight_kg, "height_cm": test.height_cm}
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="add_test_result",
        subject="fitness_test",
        subject_id=test_id,
        change={"after": after},
    )
    return test_id


def overview(db: Session, *, actor: Actor, rules: Rules, now: datetime) -> tuple[DueLine, ...]:
    """Everybody who trains here, what is due first. A fixed number of queries."""
    readable = [one for one in readable_clients(db, actor=actor, now=now) if one.state is not ClientState.LEFT]
    day = now.date()
    histories = history.load(db, client_ids=[one.id for one in readable], from_on=day - timedelta(1), until_on=day)
    lines = [_due(one, local_day(now, one.client.zone), rules) for one in histories]
    return tuple(sorted(lines, key=lambda line: (line.due.on if line.due else date.max, line.client.name.casefold())))


def _due(one: History, today: date, rules: Rules) -> DueLine:
    tests = [test for test in one.tests if test.tested_on <= today]
    heart_rate = trust_of(one, today)
    loops = [test for test in tests if test.protocol is Protocol.STANDARD_LOOP]
    return DueLine(
        client=one.client,
        today=today,
        last=tests[-1] if tests else None,
        last_loop=loops[-1] if loops else None,
        loop_compared=compare_with_last(loops[-1], loops, heart_rate) if loops else None,
        loop_due=loop_due(one, today, rules),
        retest_due=retest_due(one, today, rules),
        heart_rate=heart_rate,
    )
