"""Scans of a clinician's paper: taken in on the paper's page, handed out as a file to save, never shown in a page."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.clearance_papers import paper_day
from app.coaching.weeks import day_words
from app.usecases import clearance_scans
from app.usecases.gate import NotAllowed
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

KILOBYTE = 1024
#: Whatever a scan holds, a browser that opens it all the same may run and load nothing.
SHUT = "sandbox; default-src 'none'"


@router.get("/clients/{client_id}/safety/papers/{clearance_id}")
def paper_page(client_id: int, clearance_id: int, desk: CoachDesk) -> Response:
    """One paper with its scans."""
    return _page(desk, client_id, clearance_id, Fields())


@router.post("/clients/{client_id}/safety/papers/{clearance_id}")
def take_scan(client_id: int, clearance_id: int, desk: CoachDesk) -> Response:
    """Keep a scan of the paper, or say beside the field why not."""
    file = clearance_scans.paper_file(
        desk.db, actor=desk.person, client_id=client_id, clearance_id=clearance_id, now=desk.now
    )
    if not file.may_add:
        raise NotAllowed("Your role allows reading here, not this change.")
    fields = Fields(desk.form)
    sent = desk.sent.files.get("scan")
    if sent is None or not sent.filename:
        fields.refuse("scan", "Choose a file.")
        return _page(desk, client_id, clearance_id, fields, status=422)
    problem = clearance_scans.keep_scan(
        desk.db,
        actor=desk.person,
        client_id=client_id,
        clearance_id=clearance_id,
        name=sent.filename,
        content=sent.file.read(),
        now=desk.now,
    )
    if problem is not None:
        fields.refuse("scan", problem)
        return _page(desk, client_id, clearance_id, fields, status=422)
    where = f"/clients/{client_id}/safety/papers/{clearance_id}"
    return see_other(desk, where, flash="The scan is kept beside its paper.")


@router.get("/clearance-scans/{scan_id}")
def save_scan(scan_id: int, desk: CoachDesk) -> Response:
    """A scan as a file to save."""
    found = clearance_scans.open_scan(desk.db, actor=desk.person, scan_id=scan_id, now=desk.now)
    actor, now = desk.person, desk.now
    desk.request.state.journal.append(
        lambda db: clearance_scans.note_opened(db, actor=actor, scan_id=scan_id, now=now)
    )
    headers = {
        "Content-Disposition": f'attachment; filename="{found.name}"',
        "Content-Security-Policy": SHUT,
        "Cache-Control": "no-store",
    }
    return Response(found.content, media_type=found.media_type, headers=headers)


def _page(desk: Desk, client_id: int, clearance_id: int, fields: Fields, *, status: int = 200) -> Response:
    file = clearance_scans.paper_file(
        desk.db, actor=desk.person, client_id=client_id, clearance_id=clearance_id, now=desk.now
    )
    return render(
        desk,
        "safety/paper.html",
        status=status,
        fields=fields,
        client=file.client,
        paper=file.paper,
        on=day_words(paper_day(file.paper)),
        file=file,
        scans=[(one, max(1, one.size_bytes // KILOBYTE), day_words(one.added_at.date())) for one in file.scans],
    )
