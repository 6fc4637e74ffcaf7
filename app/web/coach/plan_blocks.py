"""Writing a block: the form, the preview of its weeks, and keeping it as drafts."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.weeks import week_start
from app.usecases.plan_blocks import opening, writing
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.writing import BaseWish, BlockPreview, HardWish
from app.web.coach.plan_views import (
    MODE_OPTIONS,
    PROTOCOL_OPTIONS,
    breach_views,
    draft_weeks,
    entry_view,
    protocol_views,
    questions_address,
)
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

BASE_WEEKS = 8
HARD_WEEKS = 4
LONGEST_SLOT_MIN = 600
MOST_WEEKLY_MIN = 1500
FURTHEST_START = timedelta(days=182)
DAY_FIELDS = tuple((f"day_{number}", name) for number, name in enumerate(WEEKDAYS))
HARD_FIELDS = tuple((f"hard_{number}", name) for number, name in enumerate(WEEKDAYS))


@router.get("/clients/{client_id}/plan/base")
def base_page(desk: CoachDesk, client_id: int) -> Response:
    """The form of a base block, filled with where the client is."""
    block = _open(desk, client_id)
    initial = _shared_values(block) | {
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
    fields = Fields(desk.form)
    wish = _read_base(desk, block, fields)
    if wish is None:
        return _base_page(desk, block, fields, None, status=422)
    try:
        preview = writing.preview_base(desk.db, desk=block, wish=wish, rules=desk.rules)
    except DomainError as refusal:
        fields.refuse("start_minutes", _sentence(refusal))
        return _base_page(desk, block, fields, None, status=422)
    return _previewed(desk, block, fields, preview, _base_page)


@router.get("/clients/{client_id}/plan/intervals")
def intervals_page(desk: CoachDesk, client_id: int) -> Response:
    """The form of an interval block, or why none is written yet."""
    block = _open(desk, client_id)
    initial = _shared_values(block) | {
        "weeks": HARD_WEEKS,
        "volume_minutes": max(block.start_minutes, round(desk.rules.base_recent_minutes)),
        "introductory": block.is_first_hard_block,
        "protocol_key": "four_by_four",
    }
    if block.is_first_hard_block:
        initial["starts_on"] = block.next_monday.isoformat()
    return _hard_page(desk, block, Fields(initial=initial), None, status=200)


@router.post("/clients/{client_id}/plan/intervals")
def intervals_form(desk: CoachDesk, client_id: int) -> Response:
    """Preview an interval block, or keep the one previewed."""
    block = _open(desk, client_id)
    fields = Fields(desk.form)
    if not block.may_be_hard:
        fields.refuse("", f"Hard sessions wait for a promotion; {block.client.name} is in: {block.phase_words}.")
        return _hard_page(desk, block, fields, None, status=422)
    wish = _read_hard(desk, block, fields)
    if wish is None:
        return _hard_page(desk, block, fields, None, status=422)
    try:
        preview = writing.preview_intervals(desk.db, desk=block, wish=wish, rules=desk.rules)
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
        library=protocol_views(),
        protocol_options=PROTOCOL_OPTIONS,
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
        "mode_options": MODE_OPTIONS,
        "preview": preview,
        "weeks": draft_weeks(preview.weeks) if preview else (),
        "found": breach_views(preview.found, block.client.id) if preview else (),
        "there": [(entry.session.planned_on, entry_view(entry)) for entry in there],
        "kept": [(entry.session.planned_on, entry_view(entry)) for entry in preview.kept_there] if preview else [],
        "questions_address": questions_address(block.client.id),
        "back": f"/clients/{block.client.id}/plan",
    }


def _shared_values(block: BlockDesk) -> dict[str, object]:
    slots = {f"day_{one.weekday}": one.minutes for one in block.days}
    return {"starts_on": block.starts_on.isoformat(), "mode": block.mode, **slots}


def _read_days(fields: Fields) -> dict[int, int]:
    found = {}
    for number in range(len(WEEKDAYS)):
        slot = fields.whole_minutes(f"day_{number}", lowest=0, highest=LONGEST_SLOT_MIN, required=False)
        if slot:
            found[number] = slot
    if not found and not fields.errors:
        fields.refuse("day_0", "Give at least one day its minutes.")
    return found


def _read_base(desk: Desk, block: BlockDesk, fields: Fields) -> BaseWish | None:
    starts_on = fields.day(
        "starts_on",
        earliest=week_start(block.today),
        latest=block.today + FURTHEST_START,
        too_late="Within half a year, please.",
        too_early="That week is over.",
    )
    weeks = fields.whole("weeks", lowest=2, highest=26, unit="weeks")
    start = fields.whole_minutes("start_minutes", lowest=10, highest=MOST_WEEKLY_MIN)
    target = fields.whole_minutes("target_minutes", lowest=10, highest=MOST_WEEKLY_MIN)
    rise = fields.whole("rise_minutes", lowest=0, highest=round(desk.rules.rise_minutes_most), unit="min")
    every = fields.whole("every", lowest=2, highest=6, unit="weeks")
    mode = fields.choice("mode", Mode)
    days = _read_days(fields)
    if fields.errors or not (starts_on and weeks and start and target and every and mode) or rise is None:
        return None
    return BaseWish(
        starts_on=week_start(starts_on),
        weeks=weeks,
        start_minutes=start,
        target_minutes=target,
        rise_minutes=rise,
        every=every,
        mode=mode,
        minutes_by_weekday=days,
    )


def _read_hard(desk: Desk, block: BlockDesk, fields: Fields) -> HardWish | None:
    starts_on = fields.day(
        "starts_on",
        earliest=week_start(block.today),
        latest=desk.today + FURTHEST_START,
        too_late="Within half a year, please.",
        too_early="That week is over.",
    )
    weeks = fields.whole("weeks", lowest=2, highest=26, unit="weeks")
    volume = fields.whole_minutes("volume_minutes", lowest=30, highest=MOST_WEEKLY_MIN)
    protocol_key = fields.text("protocol_key")
    if protocol_key is not None and protocol_key not in PROTOCOLS:
        fields.refuse("protocol_key", "Choose one of the library.")
    mode = fields.choice("mode", Mode)
    days = _read_days(fields)
    hard = tuple(number for number in range(len(WEEKDAYS)) if fields.yes(f"hard_{number}"))
    if not hard:
        fields.refuse("hard_0", "Tick the day for the hard session.")
    if fields.errors or not (starts_on and weeks and volume and protocol_key and mode):
        return None
    return HardWish(
        starts_on=week_start(starts_on),
        weeks=weeks,
        volume_minutes=volume,
        hard_weekdays=hard,
        protocol_key=protocol_key,
        is_introductory=fields.yes("introductory"),
        mode=mode,
        minutes_by_weekday=days,
    )


def _sentence(refusal: DomainError) -> str:
    text = str(refusal)
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
