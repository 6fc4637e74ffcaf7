"""Writing a block: the form, the preview of its weeks, and keeping it as drafts."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.strength_beside import nearest_words
from app.usecases.plan_blocks import opening, previewing, writing
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.wishes import BlockPreview
from app.web.coach.plan_blocks_form import (
    AWAY_FIELDS,
    DAY_FIELDS,
    HARD_FIELDS,
    POSSIBLE_OPTIONS,
    STRENGTH_FIELDS,
    days_hold,
    read_base,
    read_hard,
    shared_values,
    with_strength_instead,
)
from app.web.coach.plan_blocks_views import away_words, days_off_words, draft_weeks, place_words, plan_options
from app.web.coach.plan_views import (
    MODE_OPTIONS,
    breach_views,
    entry_view,
    protocol_options,
    protocol_views,
    questions_address,
)
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

BASE_WEEKS = 8
HARD_WEEKS = 4


@router.get("/clients/{client_id}/plan/base")
def base_page(desk: CoachDesk, client_id: int) -> Response:
    """The form of a base block, filled with where the client is."""
    block = _open(desk, client_id)
    initial = shared_values(block) | {
        "weeks": BASE_WEEKS,
        "start_minutes": block.start_minutes,
        "target_minutes": max(round(desk.rules.target_minutes), block.start_minutes),
        "rise_minutes": round(desk.rules.rise_minutes_most),
        "every": block.every,
    }
    return _base_page(desk, block, Fields(initial=initial), None, status=200)


@router.post("/clients/{client_id}/plan/base")
def base_form(desk: CoachDesk, client_id: int) -> Response:
    """Preview a base block, or keep the one previewed."""
    block = _open(desk, client_id)
    fields = Fields(with_strength_instead(desk.form))
    wish = read_base(fields, block, desk.rules)
    if wish is None:
        return _base_page(desk, block, fields, None, status=422)
    try:
        preview = previewing.preview_base(desk.db, desk=block, wish=wish, rules=desk.rules)
    except DomainError as refusal:
        fields.refuse("start_minutes", _sentence(refusal))
        return _base_page(desk, block, fields, None, status=422)
    return _previewed(desk, block, fields, preview, _base_page)


@router.get("/clients/{client_id}/plan/intervals")
def intervals_page(desk: CoachDesk, client_id: int) -> Response:
    """The form of an interval block, or why none is written yet."""
    block = _open(desk, client_id)
    initial = shared_values(block) | {
        "weeks": HARD_WEEKS,
        "volume_minutes": max(block.start_minutes, round(desk.rules.base_recent_minutes)),
        "introductory": block.begins_small,
        "protocol_key": "four_by_four",
    }
    if block.begins_small:
        initial["starts_on"] = block.first_monday_of_rounds.isoformat()
    return _hard_page(desk, block, Fields(initial=initial), None, status=200)


@router.post("/clients/{client_id}/plan/intervals")
def intervals_form(desk: CoachDesk, client_id: int) -> Response:
    """Preview an interval block, or keep the one previewed."""
    block = _open(desk, client_id)
    fields = Fields(with_strength_instead(desk.form))
    if not block.may_be_hard:
        fields.refuse("", f"Hard sessions wait for a promotion; {block.client.name} is in: {block.phase_words}.")
        return _hard_page(desk, block, fields, None, status=422)
    wish = read_hard(fields, block, desk.library)
    if wish is None:
        return _hard_page(desk, block, fields, None, status=422)
    try:
        preview = previewing.preview_intervals(desk.db, desk=block, wish=wish, rules=desk.rules)
    except DomainError as refusal:
        fields.refuse("protocol_key", _sentence(refusal))
        return _hard_page(desk, block, fields, None, status=422)
    return _previewed(desk, block, fields, preview, _hard_page)


Page = Callable[..., Response]


def _previewed(desk: Desk, block: BlockDesk, fields: Fields, preview: BlockPreview, page: Page) -> Response:
    """Show the preview, or keep it when that is what was sent."""
    if desk.form.get("step") != "keep":
        return page(desk, block, fields, preview, status=200)
    try:
        problems = writing.keep_block(
            desk.db,
            actor=desk.person,
            desk=block,
            preview=preview,
            seen=desk.form.get("seen", ""),
            may_replace=fields.yes("replace"),
            may_cancel=fields.yes("cancel_published"),
            keeps_days=fields.yes("keep_days"),
            now=desk.now,
        )
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return page(desk, block, fields, preview, status=409)
    for name, sentence in problems:
        fields.refuse(name, sentence)
    if problems:
        return page(desk, block, fields, preview, status=422)
    where = f"/clients/{block.client.id}/plan?week={preview.starts_on.isoformat()}"
    return see_other(
        desk, where, flash=f"{len(preview.weeks)} weeks kept as drafts. Publish them when they are right."
    )


def _open(desk: Desk, client_id: int) -> BlockDesk:
    return opening.open_blocks(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)


def _base_page(
    desk: Desk, block: BlockDesk, fields: Fields, preview: BlockPreview | None, *, status: int
) -> Response:
    return render(desk, "plan/base.html", status=status, **_context(block, fields, preview))


def _hard_page(
    desk: Desk, block: BlockDesk, fields: Fields, preview: BlockPreview | None, *, status: int
) -> Response:
    return render(
        desk,
        "plan/intervals.html",
        status=status,
        library=protocol_views(desk.library),
        protocol_options=protocol_options(desk.library),
        hard_fields=HARD_FIELDS,
        **_context(block, fields, preview),
    )


def _context(block: BlockDesk, fields: Fields, preview: BlockPreview | None) -> dict[str, Any]:
    there = () if preview is None else (*preview.drafts_there, *preview.published_there)
    return {
        "block": block,
        "client": block.client,
        "fields": fields,
        "day_fields": DAY_FIELDS,
        "days_hold": days_hold(fields),
        "day_places": {f"day_{one.weekday}": place_words(one) for one in block.days},
        "strength_fields": STRENGTH_FIELDS,
        "away_fields": AWAY_FIELDS,
        "possible_options": POSSIBLE_OPTIONS,
        "agreed_away": [away_words(one) for one in block.away],
        "agrees": [days_off_words(one) for one in preview.agrees] if preview else [],
        "mode_options": MODE_OPTIONS,
        "preview": preview,
        "weeks": draft_weeks(preview.weeks) if preview else (),
        "plan_options": plan_options(preview.plans) if preview else (),
        "strength_instead": "-".join(map(str, preview.strength_instead)) if preview else "",
        "strength_words": nearest_words(preview.strength_instead) if preview and preview.strength_instead else "",
        "choosing": Fields(initial={"choice": preview.chosen if preview else None}),
        "found": breach_views(preview.found, block.client.id) if preview else (),
        "there": [(entry.session.planned_on, entry_view(entry)) for entry in there],
        "kept": [(entry.session.planned_on, entry_view(entry)) for entry in preview.kept_there] if preview else [],
        "questions_address": questions_address(block.client.id),
        "back": f"/clients/{block.client.id}/plan",
    }


def _sentence(refusal: DomainError) -> str:
    text = str(refusal)
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
