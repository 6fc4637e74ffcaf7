"""Days away on the coach's side: entering what was told, and the changed plan to accept or decline."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.changed_plan import STOPPED_MEANWHILE, ChangedPlan, ProposedChange
from app.coaching.days_off import days_off_why
from app.coaching.hold_rules import LIFTED_BY
from app.coaching.lookahead_gathered import gathered
from app.coaching.prescriptions import KIND_WORDS, PlannedSession
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.session_steps import NOUNS
from app.coaching.words import counted, minutes_words, short_day, short_days
from app.usecases import in_force
from app.usecases.plan_sessions import days_away as use
from app.usecases.plan_sessions import days_away_answer as answering
from app.usecases.plan_sessions.days_away_answer import Offer
from app.web.coach.entry import read_origin
from app.web.coach.plan_views import breach_views
from app.web.days_away_form import choices, illness_kept, read_telling, told_view
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

REASON_MOST = 1000


@dataclass(frozen=True, slots=True)
class ChangeRow:
    """One session before and after, as the page shows it."""

    id: int
    day: str
    before: str
    after: str
    because: str
    is_binding: bool
    is_taken: bool
    later: str


@router.get("/clients/{client_id}/days-away")
def show(client_id: int, desk: CoachDesk) -> Response:
    """What was told, and the form for what is told by telephone."""
    return _list(desk, client_id, Fields())


@router.post("/clients/{client_id}/days-away")
def tell(client_id: int, desk: CoachDesk) -> Response:
    """Keep what a client told the coach."""
    fields = Fields(desk.form)
    origin, telling = read_origin(fields), read_telling(fields)
    if telling is None or origin is None:
        return _refused(desk, client_id, fields)
    try:
        away_id, hold_ids = use.tell(
            desk.db, actor=desk.person, client_id=client_id, telling=telling, origin=origin, now=desk.now
        )
    except Refused as refusal:
        fields.refuse("from_on", str(refusal))
        return _refused(desk, client_id, fields)
    found = use.days_away(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    paused = " Training is paused at once." if hold_ids else ""
    there = f"/clients/{client_id}/days-away{f'/{away_id}' if found.may_decide else ''}"
    return see_other(desk, there, flash=f"Kept for {found.client.name}.{paused}")


@router.post("/clients/{client_id}/days-away/{away_id}/back")
def take_back(client_id: int, away_id: int, desk: CoachDesk) -> Response:
    """It was a mistake, or it came otherwise."""
    use.take_back(desk.db, actor=desk.person, client_id=client_id, away_id=away_id, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/days-away", flash="Taken back. Nothing of the plan has changed.")


@router.get("/clients/{client_id}/days-away/{away_id}")
def show_offer(client_id: int, away_id: int, desk: CoachDesk) -> Response:
    """The plan as it is and as it would be."""
    return _offer(desk, _open(desk, client_id, away_id), Fields(), {})


@router.post("/clients/{client_id}/days-away/{away_id}/accept")
def accept(client_id: int, away_id: int, desk: CoachDesk) -> Response:
    """Change the plan; what was unticked stays."""
    offered, fields = _open(desk, client_id, away_id), Fields(desk.form)
    words = fields.text("words", most=REASON_MOST, required=False, many_lines=True)
    if fields.errors:
        return _offer(desk, offered, fields, desk.form, status=422)
    try:
        count = answering.accept(
            desk.db,
            actor=desk.person,
            offered=offered,
            key=desk.form.get("key", ""),
            left_out=_left_out(offered.plan, desk.form),
            words=words,
            rules=desk.rules,
            now=desk.now,
        )
    except (Refused, StaleEdit) as refusal:
        fields.refuse("", str(refusal))
        status = 409 if isinstance(refusal, StaleEdit) else 422
        return _offer(desk, _open(desk, client_id, away_id), fields, desk.form, status=status)
    said = f"{counted(count, 'session')} changed, each with its reason." if count else "Nothing was changed."
    return see_other(desk, f"/clients/{client_id}/plan", flash=said)


@router.post("/clients/{client_id}/days-away/{away_id}/decline")
def decline(client_id: int, away_id: int, desk: CoachDesk) -> Response:
    """Leave the plan as it is, and say why."""
    fields = Fields(desk.form)
    because = fields.text("because", most=REASON_MOST, many_lines=True)
    if because is None:
        return _offer(desk, _open(desk, client_id, away_id), fields, desk.form, status=422)
    answering.decline(desk.db, actor=desk.person, client_id=client_id, away_id=away_id, because=because, now=desk.now)
    return see_other(desk, f"/clients/{client_id}/days-away", flash="The plan stays as it is; the client reads why.")


def _open(desk: Desk, client_id: int, away_id: int) -> Offer:
    return answering.offer(
        desk.db, actor=desk.person, client_id=client_id, away_id=away_id, rules=desk.rules, now=desk.now
    )


def _left_out(plan: ChangedPlan, form: Mapping[str, str]) -> set[int]:
    return {one.before.id for one in plan.changes if form.get(f"s{one.before.id}") != "yes"}


def _refused(desk: Desk, client_id: int, fields: Fields) -> Response:
    """The form with what was typed; an illness in it pauses at once all the same."""
    ill = [f"{one.cause}. Lifted by {LIFTED_BY[one.kind]}." for one in illness_kept(desk, client_id, fields)]
    return _list(desk, client_id, fields, status=422, ill_kept=ill)


def _list(desk: Desk, client_id: int, fields: Fields, *, status: int = 200, ill_kept: Sequence[str] = ()) -> Response:
    found = use.days_away(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return render(
        desk,
        "client/days_away.html",
        part="phone/_days_away_form.html",
        status=status,
        fields=fields,
        action=f"/clients/{client_id}/days-away",
        back=f"/clients/{client_id}",
        is_by_coach=True,
        ill_kept=ill_kept,
        choices=choices(is_by_coach=True),
        client=found.client,
        may_decide=found.may_decide,
        told=[told_view(one, by=found.names.get(one.person_id, "")) for one in found.told],
    )


def _offer(desk: Desk, offered: Offer, fields: Fields, form: Mapping[str, str], *, status: int = 200) -> Response:
    plan = offered.plan
    is_fresh = not form.get("key")
    rows = [_row(one, is_taken=is_fresh or form.get(f"s{one.before.id}") == "yes") for one in plan.changes]
    going = sum(not one.is_taken_away for one in plan.changes)
    return render(
        desk,
        "client/days_away_offer.html",
        status=status,
        fields=fields,
        client=offered.client,
        plan=plan,
        told=told_view(plan.told, by=offered.told_by),
        text=plan.told.text,
        rows=rows,
        sums=_sums(plan),
        to_do=plan.row.to_do if plan.row else (),
        row_why=days_off_why(plan.run, plan.row) if plan.run and plan.row else None,
        asks_questions=plan.row is not None and plan.row.is_base_only,
        entered=short_days(plan.entered),
        waiting=short_days(one.planned_on for one in plan.waiting),
        stopped_meanwhile=STOPPED_MEANWHILE,
        found=breach_views(gathered(plan.found, going), offered.client.id),
        reason_most=REASON_MOST,
        paused=in_force.beside_note(
            desk.db, actor=desk.person, client_id=offered.client.id, rules=desk.rules, now=desk.now
        ),
    )


def _row(one: ProposedChange, *, is_taken: bool) -> ChangeRow:
    closed = f"What keeps it closed: {one.closed_by} " if one.closed_by else ""
    later = f"{closed}Behind it waits as a draft: {_session(one.later)}." if one.later else closed
    return ChangeRow(
        one.before.id,
        short_day(one.before.planned_on),
        _session(one.before),
        "falls away" if one.is_taken_away else _session(one.after),
        one.because,
        one.is_binding,
        is_taken or one.is_binding,
        later,
    )


def _session(session: PlannedSession) -> str:
    rounds = f", {counted(session.rounds, 'round')}" if session.rounds else ""
    draft = " (draft)" if session.published_at is None else ""
    kind = KIND_WORDS[session.kind]
    return f"{session.title}, {minutes_words(session.minutes)}{rounds}, {kind}, {NOUNS[session.mode]}{draft}"


def _sums(plan: ChangedPlan) -> str:
    """What it comes to, in a sentence, so that nothing goes without a word."""
    if not plan.changes:
        return "Nothing of the plan changes by it."
    gone = sum(one.is_taken_away for one in plan.changes)
    away = f"; {counted(gone, 'session')} {'falls' if gone == 1 else 'fall'} away" if gone else ""
    before, after = minutes_words(plan.minutes_before), minutes_words(plan.minutes_after)
    return f"{counted(len(plan.changes), 'session')} would change, from {before} to {after} in all{away}."
