"""One planned session: reading it with its versions, and changing, moving, easing, cancelling and copying it."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.easy_version import eased
from app.coaching.hill_fit import round_of
from app.coaching.hills import ON_HILLS
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.matching import planned_band
from app.coaching.plan_weeks import STANDING_WORDS
from app.coaching.reasons import Refused
from app.coaching.weeks import week_start
from app.usecases import plan_today
from app.usecases.plan_sessions import changing, copying, opening, set_aside_targets
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.usecases.plan_sessions.opening import SessionPage
from app.web.coach.plan_session_form import (
    COMPARED,
    REASON_MOST,
    SHAPE_OPTIONS,
    easier_values,
    initial_values,
    new_values,
    read_wish,
)
from app.web.coach.plan_session_views import DifferenceView, differences, stale_differences, version_views
from app.web.coach.plan_views import MODE_OPTIONS, breach_views, near, protocol_options
from app.web.deps import CoachDesk, Desk
from app.web.filters import day
from app.web.forms import Fields
from app.web.render import render, see_other
from app.web.session_view import session_view

router = APIRouter()

_OPTIONS: dict[str, Any] = {
    "shape_options": SHAPE_OPTIONS,
    "mode_options": MODE_OPTIONS,
}
_SHIFTS = {"before": timedelta(days=-1), "after": timedelta(days=1)}


@router.get("/plan/sessions/{planned_session_id}")
def session_page(desk: CoachDesk, planned_session_id: int, easier: str = "") -> Response:
    """One planned session; `easier` begins its form with an easy session of the same minutes."""
    page = _open(desk, planned_session_id, Action.READ)
    if not easier:
        return _page(desk, page, status=200)
    return _page(desk, page, status=200, fields=Fields(initial=easier_values(page.session)))


@router.post("/plan/sessions/{planned_session_id}")
def edit_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Keep a change as the next version."""
    page = _open(desk, planned_session_id, Action.DECIDE)
    fields = Fields(desk.form)
    wish = read_wish(fields, desk.library)
    version = fields.whole("version", lowest=1, highest=100_000)
    if wish is None or version is None:
        return _page(desk, page, fields=fields, status=422)
    try:
        problems = changing.edit_session(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            wish=wish,
            rules=desk.rules,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        return _stale_page(desk, planned_session_id, fields, stale)
    except ReasonNeeded as needed:
        said = " ".join([*(breach.sentence for breach in needed.found), str(needed)])
        problems = (("despite" if needed.found else "reason", said),)
    except Refused as refusal:
        problems = (("", str(refusal)),)
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if fields.errors:
        return _page(desk, page, fields=fields, status=422)
    flash = _kept_words(_open(desk, planned_session_id, Action.DECIDE))
    return see_other(desk, _plan_address(page.client.id, wish.planned_on), flash=flash)


@router.post("/plan/sessions/{planned_session_id}/move")
def move_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Move a session to another day."""
    page = _open(desk, planned_session_id, Action.LOG)
    fields = Fields(desk.form)
    shift = _SHIFTS.get(desk.form.get("shift", ""))
    to_on = fields.day("to_on") if shift is None else page.session.planned_on + shift
    reason = fields.text("reason", most=REASON_MOST, required=False) or ""
    meanwhile = _meanwhile(page, fields.whole("version", lowest=1, highest=100_000, required=False))
    if meanwhile:
        fields.refuse(
            "to_on", "This session was changed while you had it open. Look at it as it stands now, then move it."
        )
        return _page(desk, page, moving=fields, meanwhile=meanwhile, status=409)
    if to_on is None or fields.errors:
        return _page(desk, page, moving=fields, status=422)
    try:
        moved = plan_today.move_session(
            desk.db,
            actor=desk.person,
            client_id=page.client.id,
            planned_session_id=planned_session_id,
            to_on=to_on,
            reason=reason,
            now=desk.now,
        )
    except ReasonNeeded as needed:
        fields.refuse("reason", " ".join([str(needed), *(breach.sentence for breach in needed.found)]))
    except Refused as refusal:
        fields.refuse("to_on", str(refusal))
    if fields.errors:
        return _page(desk, page, moving=fields, status=422)
    is_from_plan = desk.form.get("back") == "plan"
    back = _plan_address(page.client.id, to_on) if is_from_plan else f"/plan/sessions/{planned_session_id}"
    return see_other(desk, back, flash=f"{page.session.title}: moved to {day(to_on)}{moved.also_there}.")


@router.post("/plan/sessions/{planned_session_id}/ease")
def ease_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Take the easy version today."""
    fields = Fields(desk.form)
    reason = fields.text("reason", most=REASON_MOST, required=False) or ""
    page = _open(desk, planned_session_id, Action.LOG)
    if not fields.errors:
        try:
            plan_today.ease_today(
                desk.db,
                actor=desk.person,
                client_id=page.client.id,
                planned_session_id=planned_session_id,
                reason=reason,
                now=desk.now,
            )
        except (ReasonNeeded, Refused) as refusal:
            fields.refuse("reason", str(refusal))
    if fields.errors:
        return _page(desk, page, easing=fields, status=422)
    flash = f"{page.client.name} sees the easy version now."
    return see_other(desk, f"/plan/sessions/{planned_session_id}", flash=flash)


@router.post("/plan/sessions/{planned_session_id}/cancel")
def cancel_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Cancel a session."""
    fields = Fields(desk.form)
    reason = fields.text("reason", most=REASON_MOST, required=False)
    version = fields.whole("version", lowest=1, highest=100_000)
    page = _open(desk, planned_session_id, Action.DECIDE)
    if fields.errors or version is None:
        return _page(desk, page, cancelling=fields, status=422)
    try:
        was_seen = changing.cancel_session(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            reason=reason,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        fields.refuse("reason", f"{stale} Look at it as it stands now, then cancel it.")
        meanwhile = differences(stale.before, stale.newest)
        return _page(desk, page, cancelling=fields, meanwhile=meanwhile, status=409)
    except (ReasonNeeded, Refused) as refusal:
        fields.refuse("reason", str(refusal))
        return _page(desk, page, cancelling=fields, status=422)
    flash = "Cancelled; the client sees it with your reason." if was_seen else "The draft is dropped."
    return see_other(desk, _plan_address(page.client.id, page.session.planned_on), flash=flash)


@router.post("/plan/sessions/{planned_session_id}/restore")
def restore_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Take a cancelling back."""
    fields = Fields(desk.form)
    version = fields.whole("version", lowest=1, highest=100_000)
    page = _open(desk, planned_session_id, Action.DECIDE)
    if version is None:
        return _page(desk, page, cancelling=fields, status=422)
    by, rules, one = desk.person, desk.rules, planned_session_id
    try:
        changing.restore_session(
            desk.db, actor=by, planned_session_id=one, version=version, rules=rules, now=desk.now
        )
    except ChangedMeanwhile as stale:
        fields.refuse("reason", str(stale))
        return _page(desk, page, cancelling=fields, status=409)
    except Refused as refusal:
        fields.refuse("", str(refusal))
        return _page(desk, page, cancelling=fields, status=422)
    return see_other(desk, f"/plan/sessions/{planned_session_id}", flash="Back as a draft; publish it again.")


@router.post("/plan/sessions/{planned_session_id}/copy")
def copy_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Copy a session to another day or client."""
    fields = Fields(desk.form)
    to_on = fields.day("to_on")
    to_client_id = fields.whole("to_client_id", lowest=1, highest=10**9)
    page = _open(desk, planned_session_id, Action.DECIDE)
    if to_on is None or to_client_id is None:
        return _page(desk, page, copying=fields, status=422)
    _new_id, to_know, problems = copying.copy_session(
        desk.db,
        actor=desk.person,
        planned_session_id=planned_session_id,
        to_client_id=to_client_id,
        to_on=to_on,
        is_eased=fields.yes("eased"),
        rules=desk.rules,
        now=desk.now,
    )
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if fields.errors:
        return _page(desk, page, copying=fields, status=422)
    said = " ".join([f"Copied to {day(to_on)} as a draft.", *to_know])
    return see_other(desk, _plan_address(to_client_id, to_on), flash=said)


def _open(desk: Desk, planned_session_id: int, action: Action) -> SessionPage:
    return opening.open_session(
        desk.db,
        actor=desk.person,
        planned_session_id=planned_session_id,
        action=action,
        rules=desk.rules,
        now=desk.now,
    )


def _page(
    desk: Desk,
    page: SessionPage,
    *,
    status: int,
    stale_rows: tuple[DifferenceView, ...] = (),
    stale_words: str | None = None,
    meanwhile: tuple[DifferenceView, ...] = (),
    **typed: Fields,
) -> Response:
    """The session's page; `typed` holds the form that was sent, under its name on the page."""
    session = page.session
    is_going = not session.is_cancelled
    may_ease = page.may_change and session.planned_on == page.today and session.is_hard and is_going
    return render(
        desk,
        "plan/session.html",
        status=status,
        page=page,
        session=session,
        client=page.client,
        view=session_view(page.given),
        standing=STANDING_WORDS[page.standing],
        band=planned_band(session).value,
        may_go_uphill=session.mode in ON_HILLS and round_of(session) is not None,
        versions=version_views(page),
        found=breach_views(page.found, page.client.id) if is_going else (),
        may_ease=may_ease,
        easy=session_view(eased(session)) if may_ease and not page.easy_refused else None,
        may_take_back=page.may_change and page.may_take_easy_back,
        day_before=session.planned_on - timedelta(days=1),
        plan_address=_plan_address(page.client.id, session.planned_on),
        is_from_aside=set_aside_targets.is_from_set_aside(
            desk.db, actor=desk.person, planned_session_id=session.id, now=desk.now
        ),
        differences=stale_rows or meanwhile,
        stale_words=stale_words,
        protocol_options=protocol_options(desk.library),
        **_OPTIONS,
        **(_first_forms(page) | typed),
    )


def _first_forms(page: SessionPage) -> dict[str, Any]:
    same = (page.client.id, f"{page.client.name} (the same)")
    return {
        "fields": Fields(initial=initial_values(page.session)),
        "moving": Fields(initial={}),
        "easing": Fields(initial={}),
        "cancelling": Fields(initial={}),
        "copying": Fields(initial={"to_client_id": page.client.id}),
        "copy_options": [same, *((one.id, one.name) for one in page.others)],
    }


def _stale_page(desk: Desk, planned_session_id: int, fields: Fields, stale: ChangedMeanwhile) -> Response:
    """What changed meanwhile beside what was typed; the same form again, on top of the newest version.

    Fields this person left alone take the other's change, so that neither loses anything.
    """
    before, now = initial_values(stale.before), initial_values(stale.newest)
    changed = stale_differences(stale.before, stale.newest, fields)
    untouched = {name: _text(now[name]) for name, _label in COMPARED if _typed(desk, name) == _text(before[name])}
    on_top = Fields({**desk.form, **untouched, "version": str(stale.newest.version)})
    page = _open(desk, planned_session_id, Action.DECIDE)
    return _page(desk, page, fields=on_top, stale_rows=changed, stale_words=str(stale), status=409)


def _text(value: object) -> str:
    return "" if value is None else str(value)


def _typed(desk: Desk, name: str) -> str:
    return desk.form.get(name, "").replace("\r\n", "\n")


def _meanwhile(page: SessionPage, version: int | None) -> tuple[DifferenceView, ...]:
    """What became of the session since a version was looked at; empty when that is the newest, or none is named."""
    before = next((one.session for one in page.versions if one.session.version == version), None)
    if before is None or before.version == page.session.version:
        return ()
    return differences(before, page.session) or (
        DifferenceView("Version", str(before.version), str(page.session.version)),
    )


def _kept_words(page: SessionPage) -> str:
    if page.session.published_at is not None:
        return f"Changed; {page.client.name} sees it now with your reason."
    return "Kept as a draft. The client sees it once it is published."


def _plan_address(client_id: int, on: date) -> str:
    return f"/clients/{client_id}/plan?week={week_start(on).isoformat()}"


@router.get("/clients/{client_id}/plan/add")
def add_page(desk: CoachDesk, client_id: int, on: date | None = None) -> Response:
    """The form that adds a session to a day."""
    return _add_page(desk, client_id, Fields(initial=new_values(near(on, desk.today))), status=200)


@router.post("/clients/{client_id}/plan/add")
def add_form(desk: CoachDesk, client_id: int) -> Response:
    """Add a session as a draft."""
    fields = Fields(desk.form)
    opening.open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    wish = read_wish(fields, desk.library)
    if wish is None:
        return _add_page(desk, client_id, fields, status=422)
    session_id, problems = changing.add_session(
        desk.db, actor=desk.person, client_id=client_id, wish=wish, rules=desk.rules, now=desk.now
    )
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if session_id is None:
        return _add_page(desk, client_id, fields, status=422)
    return see_other(desk, _plan_address(client_id, wish.planned_on), flash="Added as a draft.")


def _add_page(desk: Desk, client_id: int, fields: Fields, *, status: int) -> Response:
    client = opening.open_for_adding(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return render(
        desk,
        "plan/add.html",
        status=status,
        client=client,
        fields=fields,
        protocol_options=protocol_options(desk.library),
        **_OPTIONS,
        back=f"/clients/{client_id}/plan",
    )
