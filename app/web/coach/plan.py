"""Plans: every client's in a line, one client's weeks, publishing, copying a week, and the fridge sheet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.phases import PHASE_WORDS
from app.coaching.plan_weeks import PlanEntry
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.typed_values import NotUnderstood, iso_day
from app.coaching.weeks import week_start
from app.coaching.words import counted
from app.usecases import in_force, plan_publishing, planning
from app.usecases.plan_publishing import Sending, WordsNeeded
from app.usecases.plan_sessions import mending
from app.usecases.plan_sessions.astray import AstrayWay, mend_astray, seen_of
from app.usecases.plan_sessions.copying import copy_week
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.usecases.plan_sessions.opening import open_for_adding
from app.usecases.plan_sessions.whole import open_plan
from app.web.coach.judging import judge_of
from app.web.coach.next_step import next_step_view
from app.web.coach.plan_picked import picked_of
from app.web.coach.plan_session_views import differences
from app.web.coach.plan_views import (
    EntryView,
    blocks_words,
    breach_views,
    entry_view,
    found_views,
    mendings,
    near,
    overtaken_words,
    reach_words,
    standing_views,
    week_views,
)
from app.web.coach.stopped_words import hold_views, stopped_views
from app.web.deps import CoachDesk, Desk
from app.web.filters import day as day_words
from app.web.forms import LONG_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

WEEKS_A_STEP = timedelta(weeks=4)
MOST_WEEKS = 30
MESSAGE_MOST = 4000
WHY_MOST = 1000
CONFLICT = 409
MEND_MOST = 4000


@router.get("/plan")
def plans_page(desk: CoachDesk) -> Response:
    """Every client's plan in a line."""
    lines = planning.plans(desk.db, actor=desk.person, now=desk.now)
    return render(desk, "plan/all.html", lines=lines)


@router.get("/clients/{client_id}/plan")
def plan_page(desk: CoachDesk, client_id: int, week: date | None = None) -> Response:
    """One client's weeks."""
    return _plan_page(desk, client_id, near(week, desk.today), Fields(initial={}), status=200)


def _plan_page(
    desk: Desk, client_id: int, from_on: date, fields: Fields, *, status: int, stale: ChangedMeanwhile | None = None
) -> Response:
    page = open_plan(desk.db, actor=desk.person, client_id=client_id, from_on=from_on, rules=desk.rules, now=desk.now)
    return render(
        desk,
        "plan/page.html",
        status=status,
        page=page,
        client=page.client,
        phase=PHASE_WORDS[page.phase] if page.phase else "no phase yet",
        blocks=blocks_words(page.block, page.block_week, page.next_block),
        weeks=week_views(page),
        standing=standing_views(page),
        found=found_views(page),
        differences=differences(stale.before, stale.newest) if stale else (),
        picked=picked_of(page, desk.request.query_params),
        astray=[f"{day_words(one.planned_on)}: {one.title}" for one in page.hard_astray],
        holds=hold_views(page.open_holds, page.symptoms),
        stopped=stopped_views(page.beside_holds),
        next_step=next_step_view(desk, client_id, page.phase),
        limit=page.limit,
        astray_seen=seen_of(page.hard_astray),
        before=(page.first_on - WEEKS_A_STEP).isoformat(),
        after=(page.first_on + WEEKS_A_STEP).isoformat(),
        fields=fields,
    )


@router.post("/clients/{client_id}/plan/hard-ahead")
def hard_ahead_form(desk: CoachDesk, client_id: int) -> Response:
    """Ease or cancel every published hard session the phase does not allow."""
    open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    way = fields.choice("way", AstrayWay)
    reason = fields.text("reason", most=LONG_TEXT, required=False, many_lines=True)
    if fields.errors or way is None:
        return _plan_page(desk, client_id, desk.today, fields, status=422)
    try:
        count = mend_astray(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            way=way,
            seen=desk.form.get("seen", ""),
            reason=reason,
            now=desk.now,
        )
    except ReasonNeeded as needed:
        fields.refuse("reason", str(needed))
        return _plan_page(desk, client_id, desk.today, fields, status=422)
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        status = 409 if isinstance(refusal, StaleEdit) else 422
        return _plan_page(desk, client_id, desk.today, fields, status=status)
    done = "made easy" if way is AstrayWay.EASE else "cancelled"
    hard = "1 hard session" if count == 1 else f"{count} hard sessions"
    return see_other(desk, f"/clients/{client_id}/plan", flash=f"{hard} {done}; the client sees it with your reason.")


@router.post("/clients/{client_id}/plan/mend")
def mend_form(desk: CoachDesk, client_id: int) -> Response:
    """Apply a one-click mend, for the versions it was made for."""
    open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    from_on = near(fields.day("week"), desk.today)
    key = fields.text("mend", most=MEND_MOST) or ""
    if fields.errors:
        return _plan_page(desk, client_id, from_on, fields, status=422)
    try:
        mend = mending.apply_mend(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            from_on=from_on,
            key=key,
            rules=desk.rules,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        fields.refuse("", f"{stale.author} changed this session meanwhile. Nothing was changed by you.")
        return _plan_page(desk, client_id, from_on, fields, status=409, stale=stale)
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        status = 409 if isinstance(refusal, StaleEdit) else 422
        return _plan_page(desk, client_id, from_on, fields, status=status)
    where = f"/clients/{client_id}/plan?week={from_on.isoformat()}"
    return see_other(desk, where, flash=f"Done: {mend.words}. {mend.costs} It waits as a draft.")


@router.post("/clients/{client_id}/plan/mend-back")
def mend_back_form(desk: CoachDesk, client_id: int) -> Response:
    """Take a mend of today back; nothing of it was published."""
    open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    from_on = near(fields.day("week"), desk.today)
    mend_id = fields.whole("mend", lowest=1, highest=10**12)
    if mend_id is None or fields.errors:
        return _plan_page(desk, client_id, from_on, fields, status=422)
    try:
        words = mending.take_back_mend(desk.db, actor=desk.person, client_id=client_id, mend_id=mend_id, now=desk.now)
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        return _plan_page(desk, client_id, from_on, fields, status=409)
    where = f"/clients/{client_id}/plan?week={from_on.isoformat()}"
    return see_other(desk, where, flash=f"Taken back: {words}. What stood before is a draft again.")


@router.post("/clients/{client_id}/plan/copy-week")
def copy_week_form(desk: CoachDesk, client_id: int) -> Response:
    """Copy a week's sessions to another week as drafts."""
    open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    from_week = fields.day("from_week")
    to_week = fields.day("to_week")
    if from_week is None or to_week is None:
        return _plan_page(desk, client_id, desk.today, fields, status=422)
    from_monday, to_monday = week_start(near(from_week, desk.today)), week_start(near(to_week, desk.today))
    count, problems = copy_week(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        from_monday=from_monday,
        to_monday=to_monday,
        is_beside=fields.yes("beside"),
        rules=desk.rules,
        now=desk.now,
    )
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if fields.errors:
        return _plan_page(desk, client_id, from_monday, fields, status=422)
    where = f"/clients/{client_id}/plan?week={to_monday.isoformat()}"
    return see_other(desk, where, flash=f"{count} sessions copied to the week of {day_words(to_monday)}, as drafts.")


@router.get("/clients/{client_id}/plan/publish")
def publish_page(desk: CoachDesk, client_id: int) -> Response:
    """What would go out, and what it would break."""
    mondays = _weeks_in(desk.request.query_params)
    return _publish_page(desk, _look(desk, client_id, mondays, ()), None, status=200)


@router.post("/clients/{client_id}/plan/publish")
def publish_form(desk: CoachDesk, client_id: int) -> Response:
    """Publish what was looked at."""
    fields = Fields(desk.form)
    reason = fields.text("reason", most=LONG_TEXT, required=False, many_lines=True)
    why_today = fields.text("why_today", most=WHY_MOST, required=False)
    message = fields.text("message", most=MESSAGE_MOST, required=False, many_lines=True)
    sending = _look(desk, client_id, _days_in(desk.form.get("weeks", "")), _days_in(desk.form.get("leave_out", "")))
    if fields.errors:
        return _publish_page(desk, sending, fields, status=422)
    try:
        count, days = plan_publishing.publish(
            desk.db,
            actor=desk.person,
            sending=sending,
            seen=desk.form.get("seen", ""),
            reason=reason,
            why_today=why_today,
            message=message,
            now=desk.now,
        )
    except WordsNeeded as needed:
        for name, sentence in needed.problems:
            fields.refuse(name, sentence)
        return _publish_page(desk, sending, fields, status=422)
    except Refused as refusal:
        fields.refuse("", str(refusal))
        return _publish_page(desk, sending, fields, status=422)
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _publish_page(desk, sending, fields, status=CONFLICT)
    where = f"/clients/{client_id}/plan?week={sending.mondays[0].isoformat()}"
    reach = reach_words(sending.client, is_signed_in=sending.is_signed_in)
    return see_other(desk, where, flash=f"Published: {counted(count, 'session')} ({days}). {reach}")


def _look(desk: Desk, client_id: int, mondays: Sequence[date], leave_out: Sequence[date]) -> Sending:
    return plan_publishing.look_at(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        mondays=[day for day in mondays[:MOST_WEEKS] if near(day, desk.today) == day],
        leave_out=leave_out,
        judge=judge_of(desk),
        rules=desk.rules,
        now=desk.now,
    )


def _publish_page(desk: Desk, sending: Sending, fields: Fields | None, *, status: int) -> Response:
    """What would go out; `fields` is the form as it was sent, None when the page is opened."""
    rest = _look(desk, sending.client.id, sending.mondays, sending.refused_days) if sending.is_refused else None
    fields, is_outdated = _message_that_fits(desk, rest or sending, sending, fields, is_stale=status == CONFLICT)
    all_weeks = sorted({week_start(one.session.planned_on) for one in (*sending.entries, *sending.staying)})
    return render(
        desk,
        "plan/publish.html",
        status=status,
        fields=fields,
        client=sending.client,
        sending=sending,
        summary=plan_publishing.sending_words(sending),
        entries=[_sent_row(sending, entry) for entry in sending.entries],
        staying=[_sent_row(sending, entry) for entry in sending.staying],
        all_address=f"?{'&'.join(f'week-{monday.isoformat()}=yes' for monday in all_weeks)}",
        found=breach_views(sending.told, sending.client.id),
        reach=reach_words(sending.client, is_signed_in=sending.is_signed_in),
        mendings=mendings(sending.told, sending.client.id),
        weeks=_joined(sending.mondays),
        leave_out=_joined(sending.refused_days),
        refused_days=[day_words(day) for day in sending.refused_days],
        rest=rest if rest is not None and rest.entries and not rest.is_refused else None,
        rest_summary=plan_publishing.sending_words(rest) if rest is not None else "",
        is_outdated=is_outdated,
        paused=in_force.beside_note(
            desk.db, actor=desk.person, client_id=sending.client.id, rules=desk.rules, now=desk.now
        ),
    )


def _message_that_fits(
    desk: Desk, going: Sending, sending: Sending, fields: Fields | None, *, is_stale: bool
) -> tuple[Fields, bool]:
    """The form with a message about what may still go, and whether the coach's own was written before that."""
    if fields is None:
        return Fields(initial={"message": going.message}), False
    written = fields.value("message")
    if not written or written == going.message or not (sending.is_refused or is_stale):
        return fields, False
    if written != sending.message:
        return fields, True
    offered = Fields({**desk.form, "message": going.message})
    offered.errors = fields.errors
    return offered, False


@dataclass(frozen=True, slots=True)
class SentRow:
    """One waiting session: does it go, and which block it comes from."""

    on: date
    view: EntryView
    is_refused: bool
    block: str


def _sent_row(sending: Sending, entry: PlanEntry) -> SentRow:
    on = entry.session.planned_on
    block = overtaken_words(sending.overtaken.get(week_start(on)))
    return SentRow(on, entry_view(entry), on in sending.refused_days, block)


def _weeks_in(query: Mapping[str, str]) -> list[date]:
    """The weeks ticked on the plan's page: fields named week-2026-11-23."""
    return _days_in(",".join(name.removeprefix("week-") for name in query if name.startswith("week-")))


def _days_in(text: str) -> list[date]:
    days = []
    for word in text.split(",")[:400]:
        try:
            days.append(iso_day(word))
        except NotUnderstood:
            continue
    return days


def _joined(days: Sequence[date]) -> str:
    return ",".join(day.isoformat() for day in days)
