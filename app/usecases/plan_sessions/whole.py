"""One client's whole plan: its weeks, what it breaks, and what would mend that."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.block_order import block_on, next_block
from app.coaching.clinician_limit import ClinicianLimit, clinician_limit
from app.coaching.hard_astray import hard_astray
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Hold, SymptomReport
from app.coaching.illness_return import return_lines
from app.coaching.leave_to_train import stopped_beside_holds
from app.coaching.lookahead import as_if_sent
from app.coaching.lookahead_fit import before_sending
from app.coaching.lookahead_gathered import Gathered, as_it_stands, gathered
from app.coaching.lookahead_mend_values import Mend, ahead_of
from app.coaching.lookahead_mends import mends
from app.coaching.people import Client
from app.coaching.phases import Phase
from app.coaching.plan_weeks import PlanEntry, PlanWeek, entries_of, plan_week
from app.coaching.prescriptions import Block, PlannedSession
from app.coaching.ribbon import Ribbon, week_ribbons
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history, prescriptions
from app.usecases.gate import allowed_actions, open_record
from app.usecases.plan_sessions.judged import judged_before
from app.usecases.plan_sessions.mended import Mended, mended_today

#: The page shows so many weeks at least, and the whole plan up to so many.
WEEKS_SHOWN = 6
MOST_WEEKS_SHOWN = 30
#: So many findings are offered mends at a time; the others wait until those are settled.
MENDED_AT_ONCE = 8


@dataclass(frozen=True, slots=True)
class PlanPage:
    """Some weeks of one client's plan."""

    client: Client
    phase: Phase | None
    block: Block | None
    block_week: int | None
    #: The block that follows the one in force.
    next_block: Block | None
    weeks: tuple[PlanWeek, ...]
    #: One for each week, with the drafts in their place.
    ribbons: tuple[Ribbon, ...]
    #: What the plan breaks as the client has it.
    standing: tuple[Gathered, ...]
    #: What publishing the drafts would break.
    found: tuple[Gathered, ...]
    #: What mends each of them, in their order; None where it was not looked for yet.
    standing_mends: tuple[tuple[Mend, ...] | None, ...]
    found_mends: tuple[tuple[Mend, ...] | None, ...]
    #: Mends of today that can be taken back.
    mended: tuple[Mended, ...]
    today: date
    may_plan: bool
    #: Hard sessions the client has from today on that the phase does not allow.
    hard_astray: tuple[PlannedSession, ...]
    #: The dated steps back after illness; empty when nobody is on the way back.
    return_lines: tuple[str, ...]
    open_holds: tuple[Hold, ...]
    symptoms: tuple[SymptomReport, ...]
    #: What is stopped by anything else than an open hold.
    beside_holds: StoppedWork
    limit: ClinicianLimit | None

    @property
    def first_on(self) -> date:
        """The Monday the page begins with."""
        return self.weeks[0].monday

    @property
    def waiting(self) -> int:
        """Changes that are not published, in the weeks shown."""
        return sum(week.waiting for week in self.weeks)


@dataclass(frozen=True, slots=True)
class LookedAt:
    """A client's plan from a week on, with what it breaks."""

    known: History
    entries: tuple[PlanEntry, ...]
    monday: date
    weeks: int
    today: date
    standing: tuple[Gathered, ...]
    found: tuple[Gathered, ...]
    hard_astray: tuple[PlannedSession, ...]

    def mends(self, rules: Rules) -> dict[Gathered, tuple[Mend, ...]]:
        """What mends the first findings; hard work its phase does not allow is settled in one go elsewhere."""
        may_change = frozenset(one.session.id for one in self.entries if _may_change(one, self.today))
        plan = ahead_of(self.known, may_change, self.today, rules)
        whole = plan.found()
        first = [*self.standing, *self.found][:MENDED_AT_ONCE]
        return {one: mends(plan, one.of, whole) for one in first}


def look(db: Session, *, client: Client, from_on: date | None, rules: Rules, now: datetime) -> LookedAt:
    """A client's plan from a day's week on (default: this week) to its last week."""
    today = local_day(now, client.zone)
    monday = week_start(from_on or today)
    furthest = monday + timedelta(weeks=MOST_WEEKS_SHOWN) - timedelta(days=1)
    entries = _entries(db, client.id, monday, furthest)
    weeks = _weeks_to_show(entries, monday)
    last = monday + timedelta(weeks=weeks) - timedelta(days=1)
    known = history.load(
        db, client_ids=[client.id], from_on=min(monday, today - WHOLE_BASE), until_on=max(last, today) + FORTNIGHT
    )[0]
    waiting = [one.session for one in entries if one.may_be_sent(today)]
    judged = judged_before(db, [(known, waiting)], rules=rules, now=now)
    found = gathered(before_sending(as_if_sent(known, today), waiting, today, rules, judged=judged), len(waiting))
    said = {one.sentence for one in found}
    astray = hard_astray(known, today)
    standing = tuple(
        one
        for one in as_it_stands(known, today, rules)
        if one.sentence not in said and not (astray and one.kind == "phase")
    )
    return LookedAt(known, entries, monday, weeks, today, standing, found, astray)


def open_plan(
    db: Session, *, actor: Actor, client_id: int, from_on: date | None, rules: Rules, now: datetime
) -> PlanPage:
    """A client's plan from a day's week on, with the look ahead and, for who may change it, its mends."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    at = look(db, client=client, from_on=from_on, rules=rules, now=now)
    may_plan = Action.DECIDE in allowed_actions(db, actor=actor, client=client, now=now)
    offered = at.mends(rules) if may_plan else {}
    block = block_on(at.known.blocks, at.today)
    weeks = [at.monday + timedelta(weeks=n) for n in range(at.weeks)]
    return PlanPage(
        client=client,
        phase=at.known.phase,
        block=block,
        block_week=None if block is None else (at.today - block.starts_on).days // 7 + 1,
        next_block=next_block(at.known.blocks, at.today),
        weeks=tuple(plan_week(at.known, monday, at.entries, at.today) for monday in weeks),
        ribbons=week_ribbons(as_if_sent(at.known, at.today), weeks, at.today, rules),
        standing=at.standing,
        found=at.found,
        standing_mends=tuple(offered.get(one) for one in at.standing),
        found_mends=tuple(offered.get(one) for one in at.found),
        mended=mended_today(db, client=client, now=now) if may_plan else (),
        today=at.today,
        may_plan=may_plan,
        hard_astray=at.hard_astray,
        return_lines=return_lines(at.known.illness_returns, at.today),
        open_holds=at.known.open_holds,
        symptoms=at.known.symptoms,
        limit=clinician_limit(at.known, at.today),
        beside_holds=stopped_beside_holds(at.known, at.today, rules),
    )


def _may_change(entry: PlanEntry, today: date) -> bool:
    """Whether neither its day nor the day the client was given has begun."""
    return (
        entry.is_going and entry.session.planned_on > today and (entry.frozen_on or entry.session.planned_on) > today
    )


def _weeks_to_show(entries: Sequence[PlanEntry], monday: date) -> int:
    last = max((one.session.planned_on for one in entries if one.is_going or one.is_waiting), default=monday)
    return max(WEEKS_SHOWN, (week_start(last) - monday).days // 7 + 1)


def _entries(db: Session, client_id: int, first: date, last: date) -> tuple[PlanEntry, ...]:
    newest = prescriptions.newest_between(db, client_ids=[client_id], from_on=first, until_on=last)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    return entries_of(newest, published)
