"""A week laid onto other weeks: choose what, whom and where to, look at it, keep it as drafts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, timedelta
from urllib.parse import urlencode

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.people import Client
from app.coaching.reasons import StaleEdit
from app.coaching.typed_values import NotUnderstood, iso_day
from app.coaching.week_templates import There
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day
from app.usecases.gate import planned_clients
from app.usecases.plan_many import laying as use
from app.usecases.plan_many.laying import LaidRow, OpenSource, Source
from app.usecases.plan_many.templates import every_template, require_planner
from app.web.coach.board_views import LaidView, laid_view
from app.web.coach.plan_views import near
from app.web.coach.ticks import id_of, ticked
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

THERE_OPTIONS = (
    (There.EMPTY_DAYS.value, "Only onto days that hold nothing"),
    (There.BESIDE.value, "Beside what stands there"),
    (There.REPLACE.value, "In place of what stands there", "what the client has seen is taken away once published"),
)
#: Far enough for anything planned.
FURTHEST = timedelta(days=400)


@router.get("/plan/lay")
def lay_page(desk: CoachDesk) -> Response:
    """What is laid, and the form that says where to."""
    require_planner(desk.person)
    source = _source(desk.request.query_params)
    following = (source.monday or week_start(desk.today)) + timedelta(weeks=1)
    initial: dict[str, object] = {"to_week": max(following, week_start(desk.today)).isoformat()}
    initial["there"] = There.EMPTY_DAYS
    return _page(desk, source, _open(desk, source), Fields(initial=initial), None, status=200)


@router.post("/plan/lay")
def lay_form(desk: CoachDesk) -> Response:
    """Look at the week on everybody's days, or keep it."""
    require_planner(desk.person)
    source = _source(desk.request.query_params)
    opened = _open(desk, source)
    fields = Fields(desk.form)
    wish = _read(desk, fields, opened)
    if opened is None or wish is None:
        return _page(desk, source, opened, fields, None, status=422)
    to_monday, there = wish
    rows = use.preview_laid(
        desk.db,
        actor=desk.person,
        source=opened,
        client_ids=ticked(desk.form),
        to_monday=to_monday,
        there=there,
        rules=desk.rules,
        now=desk.now,
    )
    if desk.form.get("step") != "keep":
        return _page(desk, source, opened, fields, rows, status=200)
    try:
        looked_at = {row.client.id: desk.form.get(f"l{row.client.id}", "") for row in rows}
        sessions, clients = use.keep_laid(desk.db, actor=desk.person, rows=rows, looked_at=looked_at, now=desk.now)
    except StaleEdit as stale:
        fields.refuse("", str(stale))
        return _page(desk, source, opened, fields, rows, status=409)
    done = f"{counted(sessions, 'change')} kept as drafts for {counted(clients, 'client')}"
    return see_other(desk, f"/plan/board?week={to_monday.isoformat()}", flash=f"{done}. Nothing is published by it.")


def _read(desk: Desk, fields: Fields, opened: OpenSource | None) -> tuple[date, There] | None:
    """Where to; None with errors beside the fields."""
    to_week = fields.day(
        "to_week",
        earliest=week_start(desk.today),
        latest=desk.today + FURTHEST,
        too_early="That week is over.",
        too_late="That is more than a year ahead.",
    )
    there = fields.choice("there", There)
    if opened is None or not opened.sessions:
        fields.refuse("", "Choose a week or a template that holds something.")
    if not ticked(desk.form):
        fields.refuse("to_clients", "Tick at least one client.")
    if fields.errors or to_week is None or there is None:
        return None
    return week_start(to_week), there


def _open(desk: Desk, source: Source) -> OpenSource | None:
    return use.open_source(desk.db, actor=desk.person, source=source, now=desk.now)


def _source(asked: Mapping[str, str]) -> Source:
    template_id, client_id = id_of(asked.get("template", "")), id_of(asked.get("client", ""))
    monday: date | None
    try:
        monday = week_start(iso_day(asked.get("week", "")))
    except (NotUnderstood, OverflowError):
        monday = None
    return Source(template_id, client_id, monday)


def _page(
    desk: Desk,
    source: Source,
    opened: OpenSource | None,
    fields: Fields,
    rows: Sequence[LaidRow] | None,
    *,
    status: int,
) -> Response:
    clients = planned_clients(desk.db, actor=desk.person, now=desk.now)
    chosen = set(ticked(desk.form)) if desk.request.method == "POST" else {source.client_id}
    views: tuple[LaidView, ...] = tuple(laid_view(row) for row in rows or ())
    shown = {view.id for view in views}
    return render(
        desk,
        "plan/lay.html",
        status=status,
        fields=fields,
        address=_address(source),
        source=source,
        source_words=_source_words(source, opened, desk.today),
        sessions=opened.sessions if opened else (),
        is_chosen=opened is not None,
        template_options=[(line.template.id, line.template.name) for line in every_template(desk.db)],
        client_options=[(one.id, one.name) for one in clients],
        others=[_tick(one, chosen) for one in clients if one.id not in shown],
        there_options=THERE_OPTIONS,
        rows=views,
        may_keep=any(view.changes for view in views),
        week=(source.monday or week_start(desk.today)).isoformat(),
    )


def _tick(client: Client, chosen: set[int] | set[int | None]) -> tuple[int, str, bool]:
    return client.id, client.name, client.id in chosen


def _address(source: Source) -> str:
    parts = {
        "template": source.template_id,
        "client": source.client_id,
        "week": source.monday.isoformat() if source.monday else None,
    }
    return f"/plan/lay?{urlencode({name: value for name, value in parts.items() if value is not None})}"


def _source_words(source: Source, opened: OpenSource | None, today: date) -> str:
    if opened is None:
        return ""
    if source.monday is None or source.template_id is not None:
        return f"The template {opened.name}"
    return f"The week of {short_day(near(source.monday, today))} of {opened.name}"
