"""Planned beside done: one week session by session, and the weeks of a block or eight with what each says."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.clinician_limit import ClinicianLimit, clinician_limit
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Hold, SymptomReport
from app.coaching.honest_week import HonestEasy, honest_easy
from app.coaching.leave_to_train import stopped_beside_holds
from app.coaching.matching import WeekComparison, compare_weeks
from app.coaching.pairing import tied_in
from app.coaching.people import Client
from app.coaching.prescriptions import Block
from app.coaching.ribbon import Ribbon, ribbon_between
from app.coaching.rules import Rules
from app.coaching.training_weeks import WeekFacts, all_week_facts
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history
from app.usecases.gate import NotYours, allowed_actions, open_record

WEEKS = 8


@dataclass(frozen=True, slots=True)
class InTheWay:
    """What stops training today, told above the weeks."""

    holds: tuple[Hold, ...]
    symptoms: tuple[SymptomReport, ...]
    #: What is stopped by anything else than an open hold.
    beside_holds: StoppedWork
    limit: ClinicianLimit | None
    may_lift: bool


@dataclass(frozen=True, slots=True)
class ComparedWeek:
    """One week: the pairs with their sums, and its facts."""

    comparison: WeekComparison
    facts: WeekFacts

    #: What was meant to be easy, by the answers alone.
    honest: HonestEasy
    #: Sessions whose entry could as well have been another.
    tied: frozenset[int]

    @property
    def monday(self) -> date:
        """Its first day."""
        return self.comparison.monday


@dataclass(frozen=True, slots=True)
class WeekPage:
    """One week of one client."""

    client: Client
    week: ComparedWeek
    ribbon: Ribbon
    today: date
    in_the_way: InTheWay


@dataclass(frozen=True, slots=True)
class WeeksPage:
    """Some weeks of one client, oldest first: eight, or those of a block."""

    client: Client
    weeks: tuple[ComparedWeek, ...]
    today: date
    in_the_way: InTheWay
    #: The block they are of, and every block there is; None for eight weeks.
    block: Block | None = None
    blocks: tuple[Block, ...] = ()


def open_week(
    db: Session, *, actor: Actor, client_id: int, day: date | None, rules: Rules, now: datetime
) -> WeekPage:
    """The week a day lies in (default: this week), planned beside done."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    monday = week_start(day or today)
    last = monday + timedelta(days=6)
    known = _load(db, client_id, monday, last, today)
    drawn = ribbon_between(known, monday, last, today, rules)
    week = _compared(known, (monday,), today, rules)[0]
    may_lift = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    in_the_way = _in_the_way(known, today, rules, may_lift=may_lift)
    return WeekPage(client, week, replace(drawn, text=_in_words(week)), today, in_the_way)


def open_weeks(
    db: Session, *, actor: Actor, client_id: int, day: date | None, rules: Rules, now: datetime
) -> WeeksPage:
    """Eight weeks up to the one a day lies in (default: this week)."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    last = week_start(day or today)
    mondays = tuple(last - timedelta(weeks=n) for n in range(WEEKS - 1, -1, -1))
    known = _load(db, client_id, mondays[0], last + timedelta(days=6), today)
    may_lift = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    in_the_way = _in_the_way(known, today, rules, may_lift=may_lift)
    return WeeksPage(client, _compared(known, mondays, today, rules), today, in_the_way, blocks=known.blocks)


def open_block(
    db: Session, *, actor: Actor, client_id: int, block_id: int | None, rules: Rules, now: datetime
) -> WeeksPage:
    """The weeks of one block (default: the one that runs, else the last; none before the first). Raises: NotYours."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    now_known = _load(db, client_id, today, today, today)
    blocks, may_lift = now_known.blocks, Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    in_the_way = _in_the_way(now_known, today, rules, may_lift=may_lift)
    asked = [one for one in blocks if block_id in (None, one.id) and (block_id or one.starts_on <= today)]
    if not asked and block_id is not None:
        raise NotYours("There is no such block here.")
    if not asked:
        return WeeksPage(client, (), today, in_the_way)
    block = max(asked, key=lambda one: (one.starts_on, one.id))
    mondays = tuple(block.starts_on + timedelta(weeks=n) for n in range(block.weeks))
    known = _load(db, client_id, mondays[0], mondays[-1] + timedelta(days=6), today)
    return WeeksPage(client, _compared(known, mondays, today, rules), today, in_the_way, block, blocks)


def _load(db: Session, client_id: int, first: date, last: date, today: date) -> History:
    # The transition and what is held are judged on the whole past, not on the weeks shown.
    return history.load(
        db, client_ids=[client_id], from_on=min(first, today - WHOLE_BASE), until_on=max(last, today) + FORTNIGHT
    )[0]


def _in_the_way(known: History, today: date, rules: Rules, *, may_lift: bool) -> InTheWay:
    beside = stopped_beside_holds(known, today, rules)
    return InTheWay(known.open_holds, known.symptoms, beside, clinician_limit(known, today), may_lift)


def _compared(known: History, mondays: tuple[date, ...], today: date, rules: Rules) -> tuple[ComparedWeek, ...]:
    pairs = compare_weeks(known, mondays, today, rules)
    facts = all_week_facts(known, mondays, today, rules)
    return tuple(
        ComparedWeek(one, said, honest_easy(one.pairs, rules), _tied(known, one.monday, today))
        for one, said in zip(pairs, facts, strict=True)
    )


def _tied(known: History, monday: date, today: date) -> frozenset[int]:
    last = monday + timedelta(days=6)
    planned = [one for one in known.planned if monday <= one.planned_on <= last and not one.is_cancelled]
    return tied_in(planned, [log for log in known.logs if monday <= log.done_on <= last], today)


def _in_words(week: ComparedWeek) -> str:
    comparison = week.comparison
    return (
        f"{comparison.done_sessions} sessions done, {comparison.done_minutes:.0f} min; "
        f"{comparison.planned_sessions} planned, {comparison.planned_minutes} min."
    )
