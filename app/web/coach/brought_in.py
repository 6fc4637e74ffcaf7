"""A phase that was brought in: its facts, and the form that corrects it."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import date

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.phases import PHASE_WORDS, Phase, PhaseDecision
from app.coaching.reasons import Refused
from app.coaching.weeks import day_words, local_day
from app.usecases.bring_in import correct as use
from app.web.deps import CoachDesk, Desk
from app.web.forms import SHORT_TEXT, Fields
from app.web.render import lead_on, render, see_other

router = APIRouter()

EARLIEST = date(1990, 1, 1)
PHASE_OPTIONS = [(phase.value, words) for phase, words in PHASE_WORDS.items()]


@dataclass(frozen=True, slots=True)
class BroughtInView:
    """What was brought in, as a coach looks at it before confirming it."""

    decision_id: int
    phase: str
    since: str
    known_from: str
    #: The file and its row; empty when it did not come from one.
    place: str
    entered: str


def brought_in_view(decision: PhaseDecision, *, by: str, zone: str) -> BroughtInView:
    """The facts of one brought-in phase."""
    name = PHASE_WORDS[decision.phase]
    return BroughtInView(
        decision_id=decision.id,
        phase=f"{name[0].upper()}{name[1:]}",
        since=day_words(decision.since_on),
        known_from=decision.attested_by or "not said",
        place=_place(decision.evidence_json),
        entered=f"{day_words(local_day(decision.decided_at, zone))}, by {by}",
    )


def _place(evidence_json: str) -> str:
    kept = json.loads(evidence_json or "{}")
    file, row = kept.get("file"), kept.get("line")
    if not file:
        return ""
    return f"{file}, row {row}" if row else str(file)


@router.get("/clients/{client_id}/brought-in/correct")
def show(client_id: int, desk: CoachDesk) -> Response:
    """What was brought in, open to be put right; with nothing left to correct, the client's page."""
    try:
        found = use.to_correct(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    except Refused as refusal:
        return lead_on(desk.request, f"/clients/{client_id}", flash=str(refusal))
    decision = found.decision
    initial = {"phase": decision.phase, "since_on": decision.since_on, "attested_by": decision.attested_by}
    return _form(desk, found, Fields(initial=initial))


@router.post("/clients/{client_id}/brought-in/correct")
def correct(client_id: int, desk: CoachDesk) -> Response:
    """Keep what it should have said."""
    found = use.to_correct(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    phase = fields.choice("phase", Phase)
    since_on = fields.day("since_on", earliest=EARLIEST, latest=found.today)
    attested_by = fields.text("attested_by")
    reason = fields.text("reason", most=use.LONGEST_REASON, many_lines=True)
    if fields.errors or phase is None or since_on is None or attested_by is None or reason is None:
        return _form(desk, found, fields, status=422)
    try:
        use.correct_brought_in(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            phase=phase,
            since_on=since_on,
            attested_by=attested_by,
            reason=reason,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("phase", str(refusal))
        return _form(desk, found, fields, status=422)
    flash = f"Corrected and confirmed: {PHASE_WORDS[phase]} since {day_words(since_on)}."
    return see_other(desk, f"/clients/{client_id}", flash=flash)


def _form(desk: Desk, found: use.ToCorrect, fields: Fields, *, status: int = 200) -> Response:
    return render(
        desk,
        "client/brought_in.html",
        status=status,
        client=found.client,
        brought_in=brought_in_view(found.decision, by=found.by, zone=found.client.zone),
        fields=fields,
        phases=PHASE_OPTIONS,
        latest=found.today,
        longest_source=SHORT_TEXT,
        longest=use.LONGEST_REASON,
    )
