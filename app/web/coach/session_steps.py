"""One planned session's steps and target: the coach's table, text to paste, and the same as a file."""

from __future__ import annotations

import json

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.reasons import DomainError, Refused
from app.coaching.session_renderings import calendar_text, client_text, clock_words, safety_lines
from app.coaching.session_target import target_from_json, target_to_json
from app.coaching.steps import Node, from_json, to_json, total_seconds, work_rounds
from app.usecases.plan_sessions import rendering
from app.usecases.plan_sessions.rendering import SessionSteps
from app.web.coach.library_views import step_rows
from app.web.deps import CoachDesk, Desk
from app.web.render import render
from app.web.target_view import target_view

router = APIRouter()

UNREADABLE = "The steps of this session cannot be read; change it on its page, and they are written anew."


@router.get("/plan/sessions/{planned_session_id}/steps")
def steps_page(desk: CoachDesk, planned_session_id: int) -> Response:
    """The steps as a table, and as text where the session may be done."""
    found = _open(desk, planned_session_id)
    nodes = _nodes(found)
    is_offered = bool(nodes) and _is_offered(found)
    return render(
        desk,
        "plan/session_steps.html",
        client=found.client,
        session=found.session,
        rows=step_rows(nodes),
        whole=clock_words(total_seconds(nodes)),
        rounds=work_rounds(nodes),
        refused=found.may.for_coach if found.may.is_paused else "",
        unreadable=UNREADABLE if not nodes else "",
        texts=_texts(found, desk.practice.emergency_words) if is_offered else (),
        by_effort="Noted as hot that day: text and file go by effort alone." if found.given != found.session else "",
        target=target_view(found.session) if is_offered else None,
    )


@router.get("/plan/sessions/{planned_session_id}/steps.json")
def steps_file(desk: CoachDesk, planned_session_id: int) -> Response:
    """The steps, and the target where one may be aimed at, as JSON; read again they are the same.

    What is stopped for the client is given to nobody as a file.
    """
    found = _open(desk, planned_session_id)
    if found.may.is_paused:
        raise Refused(f"No file of what is stopped. {found.may.for_coach}")
    headers = {
        "Content-Disposition": f'attachment; filename="session-{found.session.id}-steps.json"',
        "Cache-Control": "no-store",
    }
    said = {"steps": json.loads(to_json(from_json(found.session.steps_json))), "target": None}
    if _is_offered(found):
        said["target"] = json.loads(target_to_json(target_from_json(found.given.target_json)) or "null")
    return Response(json.dumps(said, ensure_ascii=False), media_type="application/json", headers=headers)


def _open(desk: Desk, planned_session_id: int) -> SessionSteps:
    return rendering.open_steps(
        desk.db, actor=desk.person, planned_session_id=planned_session_id, rules=desk.rules, now=desk.now
    )


def _is_offered(found: SessionSteps) -> bool:
    """Whether the session may be done as it stands; a target that may not be aimed at is shown to nobody."""
    return not found.may.is_paused and not found.session.is_cancelled


def _nodes(found: SessionSteps) -> tuple[Node, ...]:
    try:
        return from_json(found.session.steps_json)
    except DomainError:
        return ()


def _texts(found: SessionSteps, emergency_words: str) -> tuple[tuple[str, str, str, str], ...]:
    """Ways to say it in text: key, heading, first line, all the rest."""
    first = safety_lines(found.session, found.heat, emergency_words)
    to_client, in_calendar = client_text(found.given, first=first), calendar_text(found.given, first=first)
    return (
        ("message", "As a message", to_client.summary, to_client.body),
        ("calendar", "For a calendar: title and notes", in_calendar.summary, in_calendar.body),
    )
