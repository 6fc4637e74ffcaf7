"""Taking back that today's session was made easy: the page that says what comes back, and the act."""

from __future__ import annotations

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.matching import planned_band
from app.coaching.reasons import Refused
from app.usecases.plan_sessions import easy_back
from app.usecases.plan_sessions.easy_back import EasyBack
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import lead_on, render, see_other
from app.web.session_view import session_view

router = APIRouter()

MORNING = "morning"
LONGEST_REASON = 500


@router.get("/plan/sessions/{planned_session_id}/take-back")
def look(desk: CoachDesk, planned_session_id: int, back: str = "") -> Response:
    """What comes back, before anything does; where nothing is to be taken back, the session says how it stands."""
    try:
        found = _look(desk, planned_session_id)
    except Refused as refusal:
        return lead_on(desk.request, f"/plan/sessions/{planned_session_id}", flash=str(refusal))
    return _page(desk, found, Fields(initial={"back": back}))


@router.post("/plan/sessions/{planned_session_id}/take-back")
def take_back(desk: CoachDesk, planned_session_id: int) -> Response:
    """Take today's easy version back, once it was seen what comes back."""
    found, fields = _look(desk, planned_session_id), Fields(desk.form)
    version = fields.whole("version", lowest=1, highest=100_000)
    despite = fields.text("despite", most=LONGEST_REASON, required=False)
    back = MORNING if desk.form.get("back") == MORNING else ""
    if version is None or fields.errors or not fields.yes("looked"):
        return _page(desk, found, fields, status=422)
    try:
        easy_back.take_easy_back(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            despite=despite,
            rules=desk.rules,
            now=desk.now,
        )
    except ReasonNeeded as needed:
        fields.refuse("despite", str(needed))
        return _page(desk, found, fields, status=422)
    except (ChangedMeanwhile, Refused) as refusal:
        fields.refuse("", str(refusal))
        status = 409 if isinstance(refusal, ChangedMeanwhile) else 422
        return _page(desk, _look(desk, planned_session_id), fields, status=status)
    flash = f"Taken back; {found.client.name} sees the session as it was planned."
    return see_other(desk, f"/{MORNING}" if back else f"/plan/sessions/{planned_session_id}", flash=flash)


def _look(desk: Desk, planned_session_id: int) -> EasyBack:
    return easy_back.look_at_easy_back(
        desk.db, actor=desk.person, planned_session_id=planned_session_id, rules=desk.rules, now=desk.now
    )


def _page(desk: Desk, found: EasyBack, fields: Fields, *, status: int = 200) -> Response:
    return render(
        desk,
        "plan/easy_back.html",
        status=status,
        fields=fields,
        client=found.client,
        easy=found.easy,
        before=session_view(found.before),
        band=planned_band(found.before).value,
        refused=found.refused,
        asks=found.asks,
        longest=LONGEST_REASON,
        leave="/morning" if fields.value("back") == MORNING else f"/plan/sessions/{found.easy.id}",
    )
