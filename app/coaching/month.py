"""The month of one client and of the practice, from records; what is not known says why."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, fields
from datetime import date, timedelta

from app.coaching.base_weeks import Adherence, adherence
from app.coaching.done_work import MinutesByBand, done_minutes, is_endurance, minutes_by_band
from app.coaching.facts import facts_of
from app.coaching.fitness_tests import FitnessTest
from app.coaching.hard_work import FORTNIGHT_DAYS, Fortnight, fullest_fortnight, hard_done
from app.coaching.history import History
from app.coaching.holds import Hold
from app.coaching.matching import Pair, Status, compare_weeks
from app.coaching.people import Client, Contact, Leave, Origin
from app.coaching.phases import DecisionKind, Phase, PhaseDecision, current_phase
from app.coaching.planner_intervals import ceiling_of
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.training_weeks import Held, WeekFacts, all_week_facts, easy_share_of
from app.coaching.weeks import local_day, month_days, week_start
from app.coaching.words import percent


@dataclass(frozen=True, slots=True)
class Share:
    """A share from 0 to 1, or why it is not defined."""

    fraction: float | None
    not_defined: str | None
    why: Why


@dataclass(frozen=True, slots=True)
class MonthCounts:
    """Sessions and minutes of a month; endurance, strength apart."""

    planned_sessions: int
    done_sessions: int
    planned_minutes: int
    done_minutes: float
    missed: int
    moved: int
    extra: int
    kept_as_agreed: int
    not_logged: int
    paused: int
    strength_planned: int
    strength_done: int
    from_memory: int
    #: Brought in from a file for weeks whose plan was never kept here: neither planned nor extra.
    without_plan: int
    without_plan_minutes: float

    @property
    def compared_sessions(self) -> int:
        """Done sessions that a plan kept here may be compared with."""
        return self.done_sessions - self.without_plan

    @property
    def compared_minutes(self) -> float:
        """Minutes of those."""
        return self.done_minutes - self.without_plan_minutes

    @property
    def is_history_alone(self) -> bool:
        """Whether the month holds nothing but what was brought in without its plan."""
        return self.without_plan > 0 and not self.planned_sessions and not self.compared_sessions


@dataclass(frozen=True, slots=True)
class MonthSummary:
    """One client's month. A month that is not over is summed up to today and says so."""

    client: Client
    month: str
    first_on: date
    last_on: date
    until_on: date
    phase: Phase | None
    counts: MonthCounts
    by_band: MinutesByBand
    easy_share: Share
    adherence: Share
    #: The minutes behind the adherence, so that a practice can add them up.
    adherence_sums: Adherence
    hard_sessions: int
    #: The fullest 14 days that share a day with the month; None without any hard session.
    fullest: Fortnight | None
    ceiling: int
    held_weeks: int
    weeks: tuple[WeekFacts, ...]
    decisions: tuple[PhaseDecision, ...]
    tests: tuple[FitnessTest, ...]
    holds: tuple[Hold, ...]
    leaves: tuple[Leave, ...]
    contacts: tuple[Contact, ...]
    #: The entries brought in for weeks no plan is kept of.
    logs_without_plan: frozenset[int]

    @property
    def is_over(self) -> bool:
        """Whether the whole month is behind the client."""
        return self.until_on == self.last_on

    @property
    def is_over_ceiling(self) -> bool:
        """Whether some fortnight touching the month held more hard sessions than the ceiling."""
        return self.fullest is not None and self.fullest.count > self.ceiling


@dataclass(frozen=True, slots=True)
class PracticeMonth:
    """The practice's month: a row a client and the totals."""

    month: str
    rows: tuple[MonthSummary, ...]
    clients: int
    #: How many of them did any endurance session in the month.
    trained: int
    #: The sums of all rows' counts.
    counts: MonthCounts
    hard_sessions: int
    easy_share: Share
    adherence: Share
    held_weeks: int
    promotions: int
    on_hold: int
    over_ceiling: int


def month_summary(history: History, month: str, today: date, rules: Rules) -> MonthSummary:
    """One client's month, by the client's local dates, as known today.

    `history` should reach 14 days before the month, so that a fortnight across its edge is seen.
    Raises: ValueError when it is not a month.
    """
    first, last = month_days(month)
    until = min(last, today)
    pairs = _pairs_of(history, first, until, today, rules)
    logs = _logs_of(history, first, until)
    without_plan = _logs_without_plan(pairs, history)
    counts = _counts(pairs, logs, without_plan)
    bands = _by_band(history, pairs, logs, today, rules)
    hard = [day.on for day in hard_done(history, rules, since_on=first - timedelta(days=FORTNIGHT_DAYS))]
    mondays = _mondays_in(first, until)
    weeks = all_week_facts(history, mondays, today, rules)
    kept = adherence(history, mondays, today)
    phase = current_phase([d for d in history.decisions if d.since_on <= until])
    return MonthSummary(
        client=history.client,
        month=month,
        first_on=first,
        last_on=last,
        until_on=until,
        phase=phase.phase if phase else None,
        counts=counts,
        by_band=bands,
        easy_share=_easy_share(bands, rules),
        adherence=_adherence_share(kept, has_history=counts.without_plan > 0),
        adherence_sums=kept,
        hard_sessions=sum(1 for day in hard if first <= day <= until),
        fullest=fullest_fortnight(hard, touching=(first, until)),
        ceiling=_ceiling(history, first, until, rules),
        held_weeks=sum(1 for week in weeks if week.held is Held.HELD),
        weeks=weeks,
        decisions=tuple(d for d in history.decisions if first <= _decided_on(history, d) <= until),
        tests=tuple(t for t in history.tests if first <= t.tested_on <= until),
        holds=tuple(hold for hold in history.holds if _touches(hold, first, until, history.client.zone)),
        leaves=tuple(leave for leave in history.leaves if leave.from_on <= until and leave.until_on >= first),
        contacts=tuple(c for c in history.contacts if first <= c.contact_on <= until),
        logs_without_plan=without_plan,
    )


def month_lines(history: History, month: str, today: date, rules: Rules) -> tuple[Pair, ...]:
    """Every line whose plan or whose work lies in the month, oldest first; what is still ahead is left out.

    A session moved over the month's edge stands in both months: each counts its plan or its work by its own day.
    """
    first, last = month_days(month)
    until = min(last, today)
    start = week_start(first)
    mondays = [start + timedelta(weeks=n) for n in range((until - start).days // 7 + 1)]
    return tuple(
        pair
        for week in compare_weeks(history, mondays, today, rules)
        for pair in week.pairs
        if pair.status is not Status.AHEAD and any(first <= day <= until for day in _days_of(pair))
    )


def practice_month(summaries: Sequence[MonthSummary], month: str, rules: Rules) -> PracticeMonth:
    """The rows in order of names, and the totals; shares come from sums, never from averages of shares."""
    rows = tuple(sorted(summaries, key=lambda row: (row.client.name, row.client.id)))
    counts = [row.counts for row in rows]
    kept = [row.adherence_sums for row in rows]
    sums = Adherence(
        sum(one.planned_minutes for one in kept),
        sum(one.done_minutes for one in kept),
        sum(one.not_logged_minutes for one in kept),
    )
    return PracticeMonth(
        month=month,
        rows=rows,
        clients=len(rows),
        trained=sum(1 for row in rows if row.counts.done_sessions),
        counts=MonthCounts(**{f.name: sum(getattr(c, f.name) for c in counts) for f in fields(MonthCounts)}),
        hard_sessions=sum(row.hard_sessions for row in rows),
        easy_share=_easy_share(sum((row.by_band for row in rows), MinutesByBand()), rules),
        adherence=_adherence_share(sums, has_history=any(c.without_plan for c in counts)),
        held_weeks=sum(row.held_weeks for row in rows),
        promotions=sum(1 for row in rows for d in row.decisions if d.kind is DecisionKind.PROMOTE),
        on_hold=sum(1 for row in rows if row.holds),
        over_ceiling=sum(1 for row in rows if row.is_over_ceiling),
    )


def _mondays_in(first: date, until: date) -> tuple[date, ...]:
    """Mondays of the weeks that begin between two days, so that no week counts in two months."""
    start = week_start(first + timedelta(days=6))
    return tuple(start + timedelta(weeks=n) for n in range(max(0, (until - start).days // 7 + 1)) if start <= until)


def _pairs_of(history: History, first: date, until: date, today: date, rules: Rules) -> tuple[Pair, ...]:
    """Lines whose plan, or whose extra work, lies in the month and is due."""
    start = week_start(first)
    mondays = [start + timedelta(weeks=n) for n in range((until - start).days // 7 + 1)]
    weeks = compare_weeks(history, mondays, today, rules)
    return tuple(
        pair
        for week in weeks
        for pair in week.pairs
        if first <= _counted_on(pair) <= until and pair.status is not Status.AHEAD
    )


def _counted_on(pair: Pair) -> date:
    return pair.planned.planned_on if pair.planned is not None else pair.day


def _days_of(pair: Pair) -> list[date]:
    """The days a line counts on: its plan's and its work's."""
    planned = [pair.planned.planned_on] if pair.planned is not None else []
    worked = [pair.log.done_on] if pair.log is not None and pair.log.answer is not Answer.NOT_DONE else []
    return planned + worked


def _logs_of(history: History, first: date, until: date) -> tuple[SessionLog, ...]:
    return tuple(e for e in history.logs if first <= e.done_on <= until and e.answer is not Answer.NOT_DONE)


def _logs_without_plan(pairs: Sequence[Pair], history: History) -> frozenset[int]:
    """Entries brought in from a file for weeks no published plan is kept of; such work is never called extra."""
    planned_weeks = {week_start(one.planned_on) for one in history.planned}
    return frozenset(
        pair.log.id
        for pair in pairs
        if pair.planned is None
        and pair.log is not None
        and pair.log.origin is Origin.FILE
        and week_start(pair.log.done_on) not in planned_weeks
    )


def _counts(pairs: Sequence[Pair], logs: Sequence[SessionLog], without_plan: frozenset[int]) -> MonthCounts:
    endurance = [pair for pair in pairs if not pair.is_strength]
    history = [pair.log for pair in endurance if pair.log is not None and pair.log.id in without_plan]
    asked = [p.planned for p in endurance if p.planned is not None and p.status is not Status.PAUSED]
    done = [log for log in logs if is_endurance(log)]

    def of(status: Status) -> int:
        return sum(1 for pair in endurance if pair.status is status)

    return MonthCounts(
        planned_sessions=len(asked),
        done_sessions=len(done),
        planned_minutes=sum(session.minutes for session in asked),
        done_minutes=sum(done_minutes(log) for log in done),
        missed=of(Status.MISSED),
        moved=of(Status.MOVED),
        extra=of(Status.EXTRA) - len(history),
        kept_as_agreed=of(Status.KEPT_AS_AGREED),
        not_logged=of(Status.NOT_LOGGED),
        paused=of(Status.PAUSED),
        strength_planned=sum(1 for pair in pairs if pair.is_strength and pair.planned is not None),
        strength_done=sum(1 for log in logs if not is_endurance(log)),
        from_memory=sum(1 for log in logs if log.from_memory),
        without_plan=len(history),
        without_plan_minutes=sum(done_minutes(log) for log in history),
    )


def _by_band(
    history: History, pairs: Sequence[Pair], logs: Sequence[SessionLog], today: date, rules: Rules
) -> MinutesByBand:
    transition = facts_of(history, today, rules).transition
    plans = {pair.log.id: pair.planned for pair in pairs if pair.log is not None}
    return sum(
        (
            minutes_by_band(
                log,
                plans.get(log.id),
                after_transition=transition.is_over_on(log.done_on),
                rules=rules,
            )
            for log in logs
            if is_endurance(log)
        ),
        MinutesByBand(),
    )


def _easy_share(bands: MinutesByBand, rules: Rules) -> Share:
    share = easy_share_of(bands, rules)
    figures = (
        Figure("easy", f"{bands.easy:.0f} min"),
        Figure("middle", f"{bands.middle:.0f} min"),
        Figure("hard", f"{bands.hard:.0f} min"),
        Figure("effort unknown", f"{bands.unknown:.0f} min"),
    )
    rule = (
        f"Easy minutes / minutes of known effort; not defined when over {percent(rules.easy_share_unknown_most)} are "
        f"unknown. About {percent(rules.easy_share)} is the aim."
    )
    return Share(share.fraction, share.missing, Why(figures, rule, Provenance.COMMON_PRACTICE))


def _adherence_share(kept: Adherence, *, has_history: bool) -> Share:
    figures = (
        Figure("planned", f"{kept.planned_minutes:.0f} min"),
        Figure("done, at most the planned", f"{kept.done_minutes:.0f} min"),
        Figure("not logged", f"{kept.not_logged_minutes:.0f} min"),
    )
    rule = (
        "Done (capped at planned, week by week) / planned minutes over the weeks that begin in the month; days on "
        "hold or leave are left out. What is not logged is unknown, and counts as not done here."
    )
    nothing = "no plan is kept here" if has_history else "nothing was planned"
    missing = None if kept.fraction is not None else nothing
    return Share(kept.fraction, missing, Why(figures, rule, Provenance.COMMON_PRACTICE))


def _ceiling(history: History, first: date, until: date, rules: Rules) -> int:
    """The highest ceiling among the phases in force at some time of the month."""
    days = [first, *(d.since_on for d in history.decisions if first <= d.since_on <= until), until]
    in_force = (current_phase([d for d in history.decisions if d.since_on <= day]) for day in days)
    return max(ceiling_of(decision.phase if decision else None, rules) for decision in in_force)


def _decided_on(history: History, decision: PhaseDecision) -> date:
    return local_day(decision.decided_at, history.client.zone)


def _touches(hold: Hold, first: date, until: date, zone: str) -> bool:
    is_over_before = hold.lifted_at is not None and local_day(hold.lifted_at, zone) <= first
    return hold.began_on <= until and not is_over_before
