"""One block for several clients: what is the same, whom it is for, each one's preview, and keeping it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.planner import WEEKDAYS
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import StaleEdit
from app.coaching.weeks import week_start
from app.coaching.words import counted
from app.usecases.gate import planned_clients
from app.usecases.plan_blocks import for_group as use
from app.usecases.plan_blocks.for_group import GroupRow, GroupWish
from app.usecases.plan_many.templates import require_planner
from app.web.coach.plan_blocks_views import DraftWeekView, draft_weeks
from app.web.coach.plan_views import PROTOCOL_OPTIONS, BreachView, breach_views
from app.web.coach.ticks import ticked
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

WEEKS = 8
#: A block has so many at most.
MOST_WEEKS = 26
FURTHEST_START = timedelta(days=182)
HARD_FIELDS = tuple((f"hard_{number}", name) for number, name in enumerate(WEEKDAYS))


@dataclass(frozen=True, slots=True)
class GroupRowView:
    """One client's block, ready to print."""

    id: int
    name: str
    seen: str
    refused: str
    own: tuple[str, ...]
    weeks: tuple[DraftWeekView, ...]
    says: tuple[str, ...]
    found: tuple[BreachView, ...]


@router.get("/plan/group-block")
def group_block_page(desk: CoachDesk) -> Response:
    """The form of a block for several clients."""
    require_planner(desk.person)
    starts_on = week_start(desk.today) + timedelta(weeks=1)
    return _page(desk, Fields(initial={"starts_on": starts_on.isoformat(), "weeks": WEEKS}), None, status=200)


@router.post("/plan/group-block")
def group_block_form(desk: CoachDesk) -> Response:
    """Preview the block for everybody ticked, or keep the one previewed."""
    require_planner(desk.person)
    fields = Fields(desk.form)
    wish = _read(desk, fields)
    if wish is None:
        return _page(desk, fields, None, status=422)
    rows = use.preview_group(
        desk.db, actor=desk.person, client_ids=ticked(desk.form), wish=wish, rules=desk.rules, now=desk.now
    )
    if desk.form.get("step") != "keep":
        return _page(desk, fields, rows, status=200)
    try:
        seen = {row.client.id: desk.form.get(f"s{row.client.id}", "") for row in rows}
        names = use.keep_group(desk.db, actor=desk.person, rows=rows, wish=wish, seen=seen, now=desk.now)
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _page(desk, fields, rows, status=409)
    flash = f"Kept as drafts for {counted(len(names), 'client')}. Nothing is published by it."
    return see_other(desk, f"/plan/board?week={wish.starts_on.isoformat()}", flash=flash)


def _read(desk: Desk, fields: Fields) -> GroupWish | None:
    """What is the same for everybody; None with errors beside the fields."""
    starts_on = fields.day(
        "starts_on",
        earliest=week_start(desk.today),
        latest=desk.today + FURTHEST_START,
        too_late="Within half a year, please.",
        too_early="That week is over.",
    )
    weeks = fields.whole("weeks", lowest=2, highest=MOST_WEEKS, unit="weeks")
    key = fields.text("protocol_key", required=False)
    if key is not None and key not in PROTOCOLS:
        fields.refuse("protocol_key", "Choose one of the library, or base.")
    if not ticked(desk.form):
        fields.refuse("to_clients", "Tick at least one client.")
    if fields.errors or starts_on is None or weeks is None:
        return None
    return GroupWish(
        starts_on=week_start(starts_on),
        weeks=weeks,
        protocol_key=key,
        hard_weekdays=tuple(number for number in range(len(WEEKDAYS)) if fields.yes(f"hard_{number}")),
        may_replace=fields.yes("replace"),
        may_cancel=fields.yes("cancel_published"),
    )


def _page(desk: Desk, fields: Fields, rows: Sequence[GroupRow] | None, *, status: int) -> Response:
    clients = planned_clients(desk.db, actor=desk.person, now=desk.now)
    views = tuple(_view(row) for row in rows or ())
    shown = {view.id for view in views}
    chosen = ticked(desk.form)
    return render(
        desk,
        "plan/group_block.html",
        status=status,
        fields=fields,
        rows=[view for view in views if not view.refused],
        refused=[view for view in views if view.refused],
        others=[(one.id, one.name, one.id in chosen) for one in clients if one.id not in shown],
        may_keep=any(not view.refused for view in views),
        protocol_options=PROTOCOL_OPTIONS,
        hard_fields=HARD_FIELDS,
    )


def _view(row: GroupRow) -> GroupRowView:
    preview = row.preview
    return GroupRowView(
        id=row.client.id,
        name=row.client.name,
        seen=row.seen,
        refused=row.refused,
        own=row.own,
        weeks=draft_weeks(preview.weeks) if preview else (),
        says=(*preview.left_out, *preview.replaces) if preview else (),
        found=breach_views(preview.found, row.client.id) if preview else (),
    )
