"""A client's safety page: what screening says, holds, papers, consents, readings and symptoms, with their forms."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.asked_afresh import unasked_words
from app.coaching.consents import CONSENT_TEXTS, missing_words
from app.coaching.heart_rate_trust import trust_of
from app.coaching.illness_return import return_lines
from app.coaching.people import ORIGIN_WORDS, Origin
from app.coaching.pressure_rules import RE_MEASURE
from app.coaching.pressure_sources import PUBLISHED_LIMITS
from app.coaching.reasons import REASON_ASKED, Refused, is_reason
from app.coaching.screening import ConsentKind, Intensity
from app.coaching.weeks import day_words
from app.usecases import clearances, intake
from app.usecases import safety_file as use
from app.web.coach import safety_words as words
from app.web.coach.client_todo import ways_to_agree, ways_to_ask
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

LONGEST_BACK = timedelta(days=3 * 366)
LONGEST_REASON = 2000
SCOPE_OPTIONS = tuple((scope.value, said.capitalize()) for scope, said in words.SCOPE_WORDS.items())
READING_ORIGINS = (Origin.COACH, Origin.TOLD_BY_PHONE, Origin.FROM_PAPER, Origin.CLINIC)
ORIGIN_OPTIONS = tuple((origin.value, ORIGIN_WORDS[origin].capitalize()) for origin in READING_ORIGINS)
CONSENT_OPTIONS = tuple((kind.value, CONSENT_TEXTS[kind].title) for kind in ConsentKind)
METHOD_OPTIONS = ((Origin.FROM_PAPER.value, "Signed on paper"), (Origin.COACH.value, "In person, read together"))
#: The forms of the page; a refused one comes back open with what was typed.
FORMS = ("request", "pressure", "consent", "active", "base")


@router.get("/clients/{client_id}/safety")
def page(client_id: int, desk: CoachDesk) -> Response:
    """Everything about this client's safety on one page."""
    return _page(desk, client_id)


@router.post("/clients/{client_id}/safety/request")
def request_clearance(client_id: int, desk: CoachDesk) -> Response:
    """Note that a clearance was asked for."""
    fields = Fields(desk.form)
    scope = fields.choice("scope", Intensity)
    on = fields.day("requested_on", latest=desk.today, earliest=desk.today - LONGEST_BACK)
    if fields.errors or scope is None or on is None:
        return _page(desk, client_id, "request", fields)
    clearances.request_clearance(
        desk.db, actor=desk.person, client_id=client_id, requested_on=on, scope=scope, now=desk.now
    )
    return _kept(desk, client_id, "Noted. The letter can be printed from here.")


@router.post("/clients/{client_id}/safety/pressure")
def add_pressure(client_id: int, desk: CoachDesk) -> Response:
    """Keep a blood pressure reading and say plainly what it stops."""
    fields = Fields(desk.form)
    on = fields.day("measured_on", latest=desk.today, earliest=desk.today - LONGEST_BACK)
    high = fields.whole("systolic_mmhg", lowest=use.SYSTOLIC_MMHG[0], highest=use.SYSTOLIC_MMHG[1], unit="mmHg")
    low = fields.whole("diastolic_mmhg", lowest=use.DIASTOLIC_MMHG[0], highest=use.DIASTOLIC_MMHG[1], unit="mmHg")
    rate_limits = {"lowest": use.HEART_RATE_BPM[0], "highest": use.HEART_RATE_BPM[1]}
    rate = fields.whole("resting_heart_rate_bpm", required=False, unit="beats a minute", **rate_limits)
    origin = fields.choice("origin", Origin)
    if origin is not None and origin not in READING_ORIGINS:
        fields.refuse("origin", "Choose one of the answers.")
    if fields.errors or on is None or high is None or low is None or origin is None:
        return _page(desk, client_id, "pressure", fields)
    try:
        reading = use.Reading(on, high, low, rate, origin)
        stop = use.add_pressure(
            desk.db, actor=desk.person, client_id=client_id, reading=reading, rules=desk.rules, now=desk.now
        )
    except Refused as refusal:
        fields.refuse("systolic_mmhg", str(refusal))
        return _page(desk, client_id, "pressure", fields)
    return _kept(
        desk, client_id, stop.sentence if stop else "The reading is kept; it is under the practice's limits."
    )


@router.post("/clients/{client_id}/safety/consent")
def add_consent(client_id: int, desk: CoachDesk) -> Response:
    """Keep a consent given on paper or in person."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", ConsentKind)
    method = fields.choice("method", Origin)
    on = fields.day("given_on", latest=desk.today, earliest=desk.today - LONGEST_BACK)
    witness = fields.text("witness", required=False)
    if fields.errors or kind is None or method is None or on is None:
        return _page(desk, client_id, "consent", fields)
    try:
        use.add_consent(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            kind=kind,
            given_on=on,
            method=method,
            witness=witness,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("method", str(refusal))
        return _page(desk, client_id, "consent", fields)
    return _kept(desk, client_id, f"Kept: {CONSENT_TEXTS[kind].title}.")


@router.post("/clients/{client_id}/safety/consent/withdraw")
def withdraw_consent(client_id: int, desk: CoachDesk) -> Response:
    """Note that a client took a consent back; it works at once."""
    fields = Fields(desk.form)
    kind = fields.choice("kind", ConsentKind)
    if kind is None:
        return _page(desk, client_id, "consent", fields)
    use.withdraw_consent(desk.db, actor=desk.person, client_id=client_id, kind=kind, now=desk.now)
    return _kept(desk, client_id, f"Taken back: {CONSENT_TEXTS[kind].title}.")


@router.post("/clients/{client_id}/safety/active")
def confirm_active(client_id: int, desk: CoachDesk) -> Response:
    """Confirm that the client was regularly active at intake."""
    fields = Fields(desk.form)
    reason = fields.text("reason", most=LONGEST_REASON, many_lines=True)
    if reason is None:
        return _page(desk, client_id, "active", fields)
    try:
        use.confirm_regularly_active(desk.db, actor=desk.person, client_id=client_id, reason=reason, now=desk.now)
    except Refused as refusal:
        fields.refuse("reason", str(refusal))
        return _page(desk, client_id, "active", fields)
    return _kept(desk, client_id, "Confirmed: regularly active at intake, no transition weeks asked for.")


@router.post("/clients/{client_id}/safety/active/take-back")
def take_active_back(client_id: int, desk: CoachDesk) -> Response:
    """Take that confirmation back; it works at once."""
    use.take_active_back(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return _kept(desk, client_id, "Taken back: the transition weeks are asked for again.")


@router.post("/clients/{client_id}/safety/base-weeks")
def set_base_weeks(client_id: int, desk: CoachDesk) -> Response:
    """Set the held base weeks asked of this client."""
    fields = Fields(desk.form)
    weeks = fields.whole("weeks", lowest=1, highest=use.BASE_WEEKS_MOST, unit="weeks")
    reason = fields.text("base_reason", most=LONGEST_REASON, many_lines=True)
    if reason is not None and not is_reason(reason):
        fields.refuse("base_reason", f"Say why; the reason is kept. {REASON_ASKED}")
    if weeks is None or reason is None or fields.errors:
        return _page(desk, client_id, "base", fields)
    try:
        use.set_base_weeks(
            desk.db,
            actor=desk.person,
            client_id=client_id,
            weeks=weeks,
            reason=reason,
            rules=desk.rules,
            now=desk.now,
        )
    except Refused as refusal:
        fields.refuse("weeks", str(refusal))
        return _page(desk, client_id, "base", fields)
    return _kept(desk, client_id, f"{weeks} held base weeks are asked for now.")


def _kept(desk: Desk, client_id: int, flash: str) -> Response:
    return see_other(desk, f"/clients/{client_id}/safety", flash=flash)


def _page(desk: Desk, client_id: int, typed: str | None = None, fields: Fields | None = None) -> Response:
    file = use.safety_file(desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now)
    return render(
        desk,
        "safety/page.html",
        status=200 if fields is None else 422,
        head=file,
        client=file.client,
        forms=_forms(file, typed, fields),
        typed=typed,
        rules=desk.rules,
        base_range=use.base_weeks_range(file.client, file.today, desk.rules),
        scope_options=SCOPE_OPTIONS,
        origin_options=ORIGIN_OPTIONS,
        consent_options=CONSENT_OPTIONS,
        method_options=METHOD_OPTIONS,
        latest=file.today,
        longest=LONGEST_REASON,
        unsent=words.unsent_lines(file),
        changed_unsent=words.changed_lines(
            intake.changed_before_sending(desk.db, actor=desk.person, client_id=client_id, now=desk.now), file
        ),
        **_shown(file),
    )


def _shown(file: use.SafetyFile) -> dict[str, Any]:
    """The records as the page prints them, newest first."""
    one = file.history
    opened, closed = words.hold_views(file)
    return {
        "decisions": [words.decision_view(said, file) for said in (file.screening.light, file.screening.vigorous)],
        "paused_all": [words.sentence(said) for said in file.stopped.all_because],
        "paused_hard": [words.sentence(said) for said in file.stopped.hard_because],
        "paused_modes": file.stopped.modes,
        "due": file.due,
        "return_lines": return_lines(one.illness_returns, file.today),
        "unasked": unasked_words(one, file.screening.light),
        "ways_to_ask": ways_to_ask(file.client, is_signed_in=file.is_signed_in),
        "ways_to_agree": _ways_to_agree(file),
        "missing": file.screening.vigorous.missing,
        "answers": [words.answers_view(answers, file) for answers in reversed(one.screening)],
        "open_holds": opened,
        "closed_holds": closed,
        "papers": [words.paper_view(paper, file) for paper in reversed(one.clearances)],
        "consents": words.consent_views(one.consents),
        "readings": list(reversed(one.pressures)),
        "heart_rate": trust_of(one, file.today),
        "origins": ORIGIN_WORDS,
        "pressure": file.pressure,
        "published": PUBLISHED_LIMITS,
        "in_force": file.limits,
        "diabetes_said": words.diabetes_words(file),
        "limits_by": words.limits_words(file),
        "incidents_said": words.incidents_words(file),
        "re_measure": RE_MEASURE,
        "symptoms": words.symptom_lines(file),
        "readings_of_activity": [
            (f"At intake, the thirteen weeks before {day_words(file.client.joined_on)}", file.at_intake),
            ("The last thirteen weeks", file.lately),
        ],
    }


def _ways_to_agree(file: use.SafetyFile) -> tuple[tuple[str, str], ...]:
    """How missing consents are given; empty when none is missing, and without the link to where one is already."""
    if missing_words(file.history.consents) is None:
        return ()
    ways = ways_to_agree(file.client, is_signed_in=file.is_signed_in, may_log=file.may_log)
    return tuple((address, label) for address, label in ways if "#" not in address)


def _forms(file: use.SafetyFile, typed: str | None, fields: Fields | None) -> dict[str, Fields]:
    today: date = file.today
    initial: dict[str, dict[str, object]] = {
        "request": {"requested_on": today, "scope": Intensity.VIGOROUS},
        "pressure": {"measured_on": today, "origin": Origin.COACH},
        "consent": {"given_on": today, "method": Origin.FROM_PAPER},
        "active": {},
        "base": {"weeks": file.base_weeks},
    }
    forms = {name: Fields(initial=initial[name]) for name in FORMS}
    if typed is not None and fields is not None:
        forms[typed] = fields
    return forms
