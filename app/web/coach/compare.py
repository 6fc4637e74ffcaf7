"""Planned and done: a week session by session, and eight weeks or those of a block as bars with a table."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.done_work import done_minutes
from app.coaching.effort import EFFORT_WORDS, TALK_WORDS
from app.coaching.honest_week import HonestEasy
from app.coaching.matching import STATUS_WORDS, EffortCompare, Pair, Status, WeekComparison
from app.coaching.people import ENTRY_ORIGIN_WORDS, Origin
from app.coaching.prescriptions import KIND_WORDS, SessionKind
from app.coaching.rules import Rules
from app.coaching.second_week import went_well
from app.coaching.training_weeks import HELD_WORDS, Held, WeekFacts
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day
from app.usecases import comparing
from app.usecases.comparing import ComparedWeek, WeeksPage
from app.web.charts.ribbon import draw_ribbon
from app.web.charts.ribbon_words import ribbon_rows
from app.web.charts.weeks import WeekBar, draw_weeks
from app.web.coach.plan_views import near
from app.web.coach.stopped_words import hold_views, stopped_views
from app.web.deps import CoachDesk
from app.web.filters import minutes, percent, words
from app.web.render import render

router = APIRouter()

EFFORT_COMPARED = {
    EffortCompare.SAME: "same effort as planned",
    EffortCompare.ABOVE: "harder than planned",
    EffortCompare.BELOW: "easier than planned",
}


@dataclass(frozen=True, slots=True)
class PairView:
    """One planned session beside what was done."""

    on: date
    title: str
    address: str | None
    planned: str
    status: str
    done: str
    effort: str
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WeekRow:
    """One of the eight weeks."""

    monday: date
    planned: str
    done: str
    easy_share: str
    meant_easy: str
    hard: str
    held: str
    because: str


@router.get("/clients/{client_id}/weeks")
def week_page(desk: CoachDesk, client_id: int, week: date | None = None) -> Response:
    """One week, session by session."""
    page = comparing.open_week(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        day=near(week, desk.today),
        rules=desk.rules,
        now=desk.now,
    )
    monday = page.week.monday
    return render(
        desk,
        "compare/week.html",
        client=page.client,
        monday=monday,
        sunday=monday + timedelta(days=6),
        is_now=monday == week_start(page.today),
        holds=hold_views(page.in_the_way.holds, page.in_the_way.symptoms),
        stopped=stopped_views(page.in_the_way.beside_holds),
        limit=page.in_the_way.limit,
        may_lift=page.in_the_way.may_lift,
        pairs=[_pair(pair, page.week.tied) for pair in page.week.comparison.pairs],
        sums=_sums(page.week),
        held=_held(page.week.facts),
        ribbon=draw_ribbon(page.ribbon, name=page.client.name, key=f"week-{page.client.id}"),
        ribbon_rows=ribbon_rows(page.ribbon.days),
        before=(monday - timedelta(weeks=1)).isoformat(),
        after=(monday + timedelta(weeks=1)).isoformat(),
    )


@router.get("/clients/{client_id}/weeks/eight")
def weeks_page(desk: CoachDesk, client_id: int, week: date | None = None) -> Response:
    """Eight weeks as bars and as a table."""
    page = comparing.open_weeks(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        day=near(week, desk.today),
        rules=desk.rules,
        now=desk.now,
    )
    last = page.weeks[-1].monday
    return _weeks(
        desk,
        page,
        before=(last - timedelta(weeks=comparing.WEEKS)).isoformat(),
        after=(last + timedelta(weeks=comparing.WEEKS)).isoformat(),
    )


@router.get("/clients/{client_id}/weeks/block")
def block_page(desk: CoachDesk, client_id: int, block: int | None = None) -> Response:
    """The weeks of one block."""
    page = comparing.open_block(
        desk.db, actor=desk.person, client_id=client_id, block_id=block, rules=desk.rules, now=desk.now
    )
    return _weeks(desk, page, is_block=True)


def _weeks(
    desk: CoachDesk, page: WeeksPage, *, before: str = "", after: str = "", is_block: bool = False
) -> Response:
    finding = _finding(page.weeks)
    bars = [_bar(one, page.today) for one in page.weeks]
    return render(
        desk,
        "compare/weeks.html",
        client=page.client,
        holds=hold_views(page.in_the_way.holds, page.in_the_way.symptoms),
        stopped=stopped_views(page.in_the_way.beside_holds),
        limit=page.in_the_way.limit,
        may_lift=page.in_the_way.may_lift,
        finding=finding,
        chart=draw_weeks(bars, finding=finding, key=f"weeks-{page.client.id}"),
        rows=[_row(one, page.today) for one in page.weeks],
        held_rule=_held_rule(desk.rules),
        honest=sum((one.honest for one in page.weeks), HonestEasy()).sentence,
        is_block=is_block,
        block=page.block,
        blocks=[one for one in page.blocks if one.starts_on <= page.today],
        before=before,
        after=after,
        is_empty=all(not one.comparison.pairs for one in page.weeks),
    )


def _pair(pair: Pair, tied: frozenset[int]) -> PairView:
    planned, log = pair.planned, pair.log
    title = planned.title if planned else f"{KIND_WORDS[log.kind]}, {words(log.mode)}" if log else ""
    return PairView(
        on=pair.day,
        title=title[:1].upper() + title[1:],
        address=f"/plan/sessions/{planned.id}" if planned else None,
        planned=_planned_words(pair),
        status=_status_words(pair),
        done=_done_words(pair),
        effort=EFFORT_COMPARED[pair.effort] if pair.effort else "",
        notes=(*_quality(pair), *_notes(pair), *_tie(pair, tied)),
    )


def _status_words(pair: Pair) -> str:
    text = STATUS_WORDS[pair.status]
    if pair.status is Status.MOVED and pair.moved_from is not None:
        return f"{text} from {short_day(pair.moved_from)}"
    return text


def _planned_words(pair: Pair) -> str:
    if pair.planned is None:
        return "not planned"
    rounds = f", {counted(pair.planned.rounds, 'round')}" if pair.planned.rounds else ""
    return f"{minutes(pair.planned.minutes)}{rounds}{', hard' if pair.planned.is_hard else ''}"


def _done_words(pair: Pair) -> str:
    log = pair.log
    if log is None or done_minutes(log) <= 0:
        return ""
    parts = [minutes(log.minutes)]
    if pair.rounds_done is not None:
        parts.append(counted(pair.rounds_done, "full round"))
    elif pair.planned is not None and pair.planned.rounds:
        parts.append("rounds not entered")
    if log.effort is not None:
        parts.append(f"effort {log.effort:g} ({EFFORT_WORDS[round(log.effort)]})")
    if log.talk is not None:
        parts.append(TALK_WORDS[log.talk])
    return "; ".join(parts)


def _quality(pair: Pair) -> tuple[str, ...]:
    """How a set of rounds went, where it was one."""
    log = pair.log
    if log is None or log.kind is not SessionKind.INTERVALS or done_minutes(log) <= 0 or log.spoilt_by is not None:
        return ()
    well = went_well(log, pair.planned)
    said = (
        "not known: effort at the end or how they stood was not said"
        if well is None
        else "well"
        if well
        else "not well"
    )
    return (f"How it went: {said}.",)


def _tie(pair: Pair, tied: frozenset[int]) -> tuple[str, ...]:
    if pair.planned is None or pair.planned.id not in tied:
        return ()
    return ("Another entry would have fitted as well; the earlier one was taken.",)


def _notes(pair: Pair) -> tuple[str, ...]:
    log = pair.log
    if log is None:
        return ()
    said = []
    if log.why_not is not None:
        said.append(f"Why not: {words(log.why_not)}.")
    if log.spoilt_by is not None:
        said.append(f"Spoilt by {words(log.spoilt_by)}; counts neither as good nor as bad.")
    if log.posture is not None:
        said.append(f"After the last round: {words(log.posture)}.")
    if log.from_memory:
        said.append("Entered from memory.")
    if log.origin is not Origin.CLIENT:
        said.append(f"{ENTRY_ORIGIN_WORDS[log.origin].capitalize()}.")
    if log.note:
        said.append(f"“{log.note}”")
    return tuple(said)


def _sums(week: ComparedWeek) -> tuple[tuple[str, str], ...]:
    comparison, facts = week.comparison, week.facts
    rows = [
        ("Planned", f"{minutes(comparison.planned_minutes)} in {counted(comparison.planned_sessions, 'session')}"),
        ("Done", f"{minutes(comparison.done_minutes)} in {counted(comparison.done_sessions, 'session')}"),
        ("Easy share", _share(facts)),
        ("Meant to be easy", week.honest.sentence),
        ("Hard sessions", f"{facts.hard_sessions} done, {comparison.hard_planned} planned"),
    ]
    if comparison.not_logged_minutes:
        rows.insert(2, ("Not logged", f"{minutes(comparison.not_logged_minutes)}: unknown, not missed"))
    if comparison.strength_planned or comparison.strength_done:
        strength = (
            f"{comparison.strength_done} done, {comparison.strength_planned} planned; apart from the weekly time"
        )
        rows.append(("Strength", strength))
    return tuple(rows)


def _share(facts: WeekFacts) -> str:
    share = facts.easy_share
    if share.fraction is None:
        return f"not defined: {share.missing}"
    unknown = (
        f", effort unknown for {percent(share.unknown_fraction)} of the minutes" if share.unknown_fraction else ""
    )
    return f"{percent(share.fraction)}{unknown}"


def _held(facts: WeekFacts) -> str:
    because = f": {'; '.join(facts.because)}" if facts.because else ""
    return f"{HELD_WORDS[facts.held].capitalize()}{because}."


def _held_rule(rules: Rules) -> str:
    """When a week is held, with the practice's own numbers."""
    return (
        f"Held: at least {percent(rules.held_planned_share)} of planned minutes, {rules.held_days} days, "
        f"{rules.held_minutes:g} min ({rules.held_minutes_easier:g} in an easier week), easy share kept, nothing "
        "hard before promotion. Common practice, no published source."
    )


def _row(week: ComparedWeek, today: date) -> WeekRow:
    facts, comparison = week.facts, week.comparison
    planned = minutes(comparison.planned_minutes) if comparison.planned_sessions else "nothing"
    if week.monday > today and not comparison.done_sessions:
        return WeekRow(week.monday, planned, "", "", "", f"{comparison.hard_planned} planned", "ahead", "")
    return WeekRow(
        monday=week.monday,
        planned=planned,
        done=_done_sum(comparison),
        easy_share=_share(facts),
        meant_easy="not known" if week.honest.fraction is None else percent(week.honest.fraction),
        hard=f"{facts.hard_sessions} of {comparison.hard_planned}"
        if comparison.hard_planned
        else str(facts.hard_sessions),
        held=HELD_WORDS[facts.held],
        because="; ".join(facts.because),
    )


def _done_sum(comparison: WeekComparison) -> str:
    open_minutes = comparison.not_logged_minutes
    if not open_minutes:
        return minutes(comparison.done_minutes)
    known = "unknown" if comparison.done_sessions == 0 else minutes(comparison.done_minutes)
    return f"{known}, {minutes(open_minutes)} not logged"


def _bar(week: ComparedWeek, today: date) -> WeekBar:
    by_band, comparison = week.facts.by_band, week.comparison
    return WeekBar(
        monday=week.monday,
        planned_minutes=comparison.planned_minutes,
        easy_minutes=by_band.easy,
        middle_minutes=by_band.middle,
        hard_minutes=by_band.hard,
        unsaid_minutes=by_band.unknown,
        is_now=week.monday == week_start(today),
        is_unknown=comparison.done_sessions == 0 and comparison.not_logged_minutes > 0,
        note="easier" if week.facts.is_easier else "",
    )


def _finding(weeks: tuple[ComparedWeek, ...]) -> str:
    over = [one for one in weeks if one.facts.held is not Held.OPEN]
    if not over:
        return "None of these weeks is over yet"
    held = sum(one.facts.held is Held.HELD for one in over)
    average = sum(one.comparison.done_minutes for one in over) / len(over)
    return f"{minutes(average)} a week on average; {held} of {counted(len(over), 'week')} held"
