"""One block for several clients: what is the same, whom it is for, each one's preview, and keeping it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Client
from app.coaching.planner import WEEKDAYS
from app.coaching.reasons import StaleEdit
from app.coaching.weeks import week_start
from app.coaching.words import counted
from app.usecases.gate import planned_clients
from app.usecases.plan_blocks import for_group as use
from app.usecases.plan_blocks.for_group import GroupRow
from app.usecases.plan_many.templates import require_planner
from app.web.coach.group_blocks_form import BASE, DifferentView, different_view, is_base, read_different, read_group
from app.web.coach.plan_blocks_form import HARD_FIELDS
from app.web.coach.plan_blocks_views import DraftWeekView, draft_weeks
from app.web.coach.plan_views import MODE_OPTIONS, BreachView, breach_views, protocol_options
from app.web.coach.ticks import ticked
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

WEEKS = 8
UNREAD = "Not worked out: an answer marked here needs another look first."


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
    different: DifferentView


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
    wish = read_group(desk, fields)
    if wish is None:
        return _page(desk, fields, None, status=422)
    different = read_different(desk, fields)
    wish = replace(wish, different=different)
    rows = use.preview_group(
        desk.db, actor=desk.person, client_ids=different, wish=wish, rules=desk.rules, now=desk.now
    )
    if fields.errors:
        return _page(desk, fields, rows, status=422)
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


def _page(desk: Desk, fields: Fields, rows: Sequence[GroupRow] | None, *, status: int) -> Response:
    clients = planned_clients(desk.db, actor=desk.person, now=desk.now)
    chosen, written = ticked(desk.form), {row.client.id: _view(row, fields) for row in rows or ()}
    others = _unread([one for one in clients if one.id not in written], fields)
    shown = written | {number: view for number, view in others.items() if number in chosen}
    waiting = [view for number, view in others.items() if number not in chosen]
    views = [shown[one.id] for one in clients if one.id in shown]
    return render(
        desk,
        "plan/group_block.html",
        status=status,
        fields=fields,
        rows=[view for view in views if not view.refused],
        refused=[view for view in views if view.refused],
        waiting=waiting,
        others=[(one.id, one.name, one.id in chosen) for one in clients if one.id not in shown | others],
        may_keep=any(view.seen for view in views),
        is_base=is_base(fields),
        what_options=((BASE, "aerobic base"), *protocol_options(desk.library)),
        hard_fields=HARD_FIELDS,
        mode_options=MODE_OPTIONS,
    )


def _view(row: GroupRow, fields: Fields) -> GroupRowView:
    preview, weekdays = row.preview, [day.weekday for day in row.desk.days if day.minutes > 0]
    return GroupRowView(
        id=row.client.id,
        name=row.client.name,
        seen=row.seen,
        refused=row.refused,
        own=row.own,
        weeks=draft_weeks(preview.weeks) if preview else (),
        says=(*preview.left_out, *preview.replaces) if preview else (),
        found=breach_views(preview.found, row.client.id) if preview else (),
        different=different_view(fields, row.client.id, weekdays),
    )


def _unread(clients: Sequence[Client], fields: Fields) -> dict[int, GroupRowView]:
    """Clients without a block to show whose own answers stay on the page as they were typed."""
    pairs = [(one, different_view(fields, one.id, range(len(WEEKDAYS)))) for one in clients]
    return {
        one.id: GroupRowView(one.id, one.name, "", "", (UNREAD,), (), (), (), different)
        for one, different in pairs
        if different.is_open
    }
