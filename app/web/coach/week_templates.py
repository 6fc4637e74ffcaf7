"""Weeks kept as templates: the list, keeping one, its name, taking it away."""

from __future__ import annotations

from datetime import timedelta

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.planner import WEEKDAYS
from app.coaching.weeks import week_start
from app.usecases.gate import planned_clients
from app.usecases.plan_many import templates as use
from app.usecases.plan_many.templates import TemplateLine
from app.web.coach.plan_views import near
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

LONGEST_NAME = 80


@router.get("/plan/templates")
def templates_page(desk: CoachDesk) -> Response:
    """Every template, and the form that keeps one."""
    monday = week_start(desk.today) + timedelta(weeks=1)
    asked = desk.request.query_params
    initial = {"week": asked.get("week", monday.isoformat()), "client_id": asked.get("client", "")}
    return _page(desk, Fields(initial=initial), status=200)


@router.post("/plan/templates")
def keep_form(desk: CoachDesk) -> Response:
    """Keep a client's week as a template."""
    use.require_planner(desk.person)
    fields = Fields(desk.form)
    client_id = fields.whole("client_id", lowest=1, highest=2**53)
    week = fields.day("week")
    name = fields.text("name", most=LONGEST_NAME)
    if client_id is None or week is None or name is None:
        return _page(desk, fields, status=422)
    template_id, problem = use.keep_template(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        monday=week_start(near(week, desk.today)),
        name=name,
        now=desk.now,
    )
    if template_id is None:
        fields.refuse("name" if "called" in problem else "week", problem)
        return _page(desk, fields, status=422)
    return see_other(desk, f"/plan/templates/{template_id}", flash=f"{name} is kept as a template.")


@router.get("/plan/templates/{template_id}")
def template_page(desk: CoachDesk, template_id: int) -> Response:
    """One template."""
    found = use.open_template(desk.db, template_id=template_id)
    return _one(desk, found, Fields(initial={"name": found.template.name}), status=200)


@router.post("/plan/templates/{template_id}")
def rename_form(desk: CoachDesk, template_id: int) -> Response:
    """Give it another name."""
    use.require_planner(desk.person)
    found = use.open_template(desk.db, template_id=template_id)
    fields = Fields(desk.form)
    name = fields.text("name", most=LONGEST_NAME)
    if name is None:
        return _one(desk, found, fields, status=422)
    problem = use.rename_template(desk.db, actor=desk.person, template_id=template_id, name=name, now=desk.now)
    if problem:
        fields.refuse("name", problem)
        return _one(desk, found, fields, status=422)
    return see_other(desk, f"/plan/templates/{template_id}", flash=f"It is called {name} now.")


@router.post("/plan/templates/{template_id}/remove")
def remove_form(desk: CoachDesk, template_id: int) -> Response:
    """Take it away."""
    name = use.remove_template(desk.db, actor=desk.person, template_id=template_id, now=desk.now)
    return see_other(desk, "/plan/templates", flash=f"{name} is taken away; weeks laid from it stay as they are.")


def _page(desk: Desk, fields: Fields, *, status: int) -> Response:
    clients = planned_clients(desk.db, actor=desk.person, now=desk.now)
    lines = use.every_template(desk.db)
    return render(
        desk,
        "plan/templates.html",
        status=status,
        fields=fields,
        lines=[(line.template, _sums(line)) for line in lines],
        client_options=[(one.id, one.name) for one in clients],
        may_plan=use.may_plan(desk.person),
        longest=LONGEST_NAME,
    )


def _one(desk: Desk, found: TemplateLine, fields: Fields, *, status: int) -> Response:
    return render(
        desk,
        "plan/template.html",
        status=status,
        fields=fields,
        kept=found.template,
        sums=_sums(found),
        days=[(name, [one for one in found.sessions if one.weekday == day]) for day, name in enumerate(WEEKDAYS)],
        may_plan=use.may_plan(desk.person),
        longest=LONGEST_NAME,
    )


def _sums(line: TemplateLine) -> tuple[int, int, int]:
    """Sessions, minutes and hard sessions of a template."""
    return (
        len(line.sessions),
        sum(one.minutes for one in line.sessions),
        sum(one.is_hard for one in line.sessions),
    )
