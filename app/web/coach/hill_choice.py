"""Which of the practice's hills fit a client's rounds, choosing one for a session, and what the client rides."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.hill_choice import HillQuestion
from app.coaching.hill_effort import HillEffort
from app.coaching.hill_fit import MAY_DO, HillFit, RoundAsked, about_m, time_words
from app.coaching.hills import (
    BIKE_MASS_KG,
    BODY_MASS_KG,
    FRONT_TEETH,
    ON_HILLS,
    REAR_TEETH,
    WHEEL_M,
    Hill,
    Rider,
)
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Refused
from app.physiology.gearing import USUAL_WHEEL_M
from app.physiology.values import Missing
from app.usecases import hills as use
from app.usecases.plan_sessions import on_hill
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.usecases.plan_sessions.on_hill import HillAnswer
from app.web.coach.client_fields import years_before
from app.web.coach.plan_session_form import REASON_MOST
from app.web.coach.plan_views import MODE_OPTIONS
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

ROUND_MIN, RECOVERY_MIN, ROUNDS = (0.5, 20.0), (0.25, 20.0), (1, 20)
POWER_W, PACE_S, UPTAKE = (30.0, 1000.0), (150.0, 720.0), (8.0, 80.0)
#: House choice: quicker legs than this in the lowest gear mean that a higher one is ridden.
EASY_CADENCE = 85.0
_USUAL = {"work_min": "4", "recovery_min": "4", "rounds": "4"}
_ASKS = {
    Mode.RIDE: ("power_w", "Power of a round", "W"),
    Mode.RUN: ("pace", "Pace of a round on the flat", "min:s a kilometre"),
    Mode.WALK: ("uptake", "Oxygen uptake of a round", "mL/kg/min"),
}
_MODES = [option for option in MODE_OPTIONS if option[0] in {mode.value for mode in ON_HILLS}]


@dataclass(frozen=True, slots=True)
class FitView:
    """One hill as the page says it."""

    hill: Hill
    words: str
    is_good: bool
    sentence: str
    fit: HillFit


@router.get("/clients/{client_id}/hills")
def client_hills(desk: CoachDesk, client_id: int) -> Response:
    """The practice's hills held against rounds that are not planned yet."""
    usual = on_hill.usual_mode(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields({"mode": usual.value, **_USUAL, **desk.request.query_params})
    mode = fields.choice("mode", Mode)
    work = fields.number("work_min", lowest=ROUND_MIN[0], highest=ROUND_MIN[1], unit="minutes")
    rest = fields.number("recovery_min", lowest=RECOVERY_MIN[0], highest=RECOVERY_MIN[1], unit="minutes")
    rounds = fields.whole("rounds", lowest=ROUNDS[0], highest=ROUNDS[1])
    if mode is not None and mode not in ON_HILLS:
        fields.refuse("mode", "Choose one of the answers.")
    if mode is None or work is None or rest is None or rounds is None or fields.errors:
        mode, work, rest, rounds, typed = usual, 4.0, 4.0, 4, None
    else:
        typed = _typed(fields, mode)
    question = HillQuestion(mode, RoundAsked(round(60 * work), round(60 * rest), rounds), typed)
    answer = on_hill.hills_for(
        desk.db, actor=desk.person, client_id=client_id, question=question, rules=desk.rules, now=desk.now
    )
    return _page(desk, answer, fields, Fields(initial={}), status=422 if fields.errors else 200)


@router.get("/plan/sessions/{planned_session_id}/hill")
def session_hills(desk: CoachDesk, planned_session_id: int) -> Response:
    """The practice's hills held against a planned session's own rounds."""
    return _session_page(desk, planned_session_id, Fields(initial={}), status=200)


@router.post("/plan/sessions/{planned_session_id}/hill")
def choose_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Give the session a hill, or take it away."""
    on_hill.open_to_choose(desk.db, actor=desk.person, planned_session_id=planned_session_id, now=desk.now)
    fields = Fields(desk.form)
    hill_id = fields.whole("hill_id", lowest=1, highest=2**53, required=False)
    version = fields.whole("version", lowest=1, highest=100_000)
    reason = fields.text("reason", most=REASON_MOST, required=False)
    if fields.errors or version is None:
        return _session_page(desk, planned_session_id, fields, status=422)
    try:
        name = on_hill.choose_hill(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            hill_id=hill_id,
            reason=reason,
            rules=desk.rules,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        fields.refuse("", f"{stale} Look at it as it stands now, then choose.")
        return _session_page(desk, planned_session_id, fields, status=409)
    except (ReasonNeeded, Refused) as refusal:
        fields.refuse("reason", str(refusal))
        return _session_page(desk, planned_session_id, fields, status=422)
    said = f"It is given for {name}." if name else "No hill is named any more."
    return see_other(desk, f"/plan/sessions/{planned_session_id}", flash=said)


@router.get("/clients/{client_id}/rider")
def rider_page(desk: CoachDesk, client_id: int) -> Response:
    """What the client weighs and rides."""
    page = use.open_rider(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    return _rider(desk, page, Fields(initial=_rider_initial(page.rider)), status=200)


@router.post("/clients/{client_id}/rider")
def keep_rider(desk: CoachDesk, client_id: int) -> Response:
    """Keep what the client weighs and rides."""
    page = use.open_rider(desk.db, actor=desk.person, client_id=client_id, now=desk.now)
    fields = Fields(desk.form)
    rider = _read_rider(fields, page)
    if rider is None:
        return _rider(desk, page, fields, status=422)
    changed = use.keep_rider(desk.db, actor=desk.person, rider=rider, now=desk.now)
    flash = "Body mass and bicycle are kept." if changed else "Nothing was changed."
    return see_other(desk, f"/clients/{client_id}", flash=flash)


def _typed(fields: Fields, mode: Mode) -> float | None:
    if mode is Mode.RIDE:
        return fields.number("power_w", lowest=POWER_W[0], highest=POWER_W[1], required=False, unit="W")
    if mode is Mode.RUN:
        return fields.pace_s("pace", lowest=PACE_S[0], highest=PACE_S[1], required=False)
    return fields.number("uptake", lowest=UPTAKE[0], highest=UPTAKE[1], required=False, unit="mL/kg/min")


def _session_page(desk: Desk, planned_session_id: int, chosen: Fields, *, status: int) -> Response:
    """The page of a session; an effort may be typed in its address."""
    fields = Fields(dict(desk.request.query_params))
    answer = _held(desk, planned_session_id, None)
    if isinstance(answer, PlannedSession):
        return render(desk, "hills/none.html", status=status, session=answer, chosen=chosen)
    typed = _typed(fields, answer.question.mode)
    again = answer if typed is None else _held(desk, planned_session_id, typed)
    if isinstance(again, HillAnswer):
        answer = again
    return _page(desk, answer, fields, chosen, status=422 if fields.errors else status)


def _held(desk: Desk, planned_session_id: int, typed: float | None) -> HillAnswer | PlannedSession:
    return on_hill.hills_for_session(
        desk.db, actor=desk.person, planned_session_id=planned_session_id, typed=typed, rules=desk.rules, now=desk.now
    )


def _page(desk: Desk, answer: HillAnswer, fields: Fields, chosen: Fields, *, status: int) -> Response:
    asked = answer.question.round
    fits = [_fit_view(one, answer) for one in answer.held.fits]
    return render(
        desk,
        "hills/client.html",
        status=status,
        answer=answer,
        client=answer.client,
        session=answer.session,
        fields=fields,
        chosen=chosen,
        mode=answer.question.mode,
        round_words=f"{asked.rounds} × {time_words(asked.work_s)}, {time_words(asked.recovery_s)} between",
        effort=_said(answer.held.effort),
        mass=_said(answer.held.mass),
        effort_field=_ASKS[answer.question.mode],
        modes=_MODES,
        is_known=not isinstance(answer.held.effort, Missing),
        good=[one for one in fits if one.is_good],
        others=[one for one in fits if not one.is_good],
        may_plan=use.may_plan(desk.person),
    )


def _said(found: HillEffort | Missing) -> str:
    return found.reason if isinstance(found, Missing) else found.comes_from


def _fit_view(fit: HillFit, answer: HillAnswer) -> FitView:
    return FitView(fit.hill, fit.words, fit.fit in MAY_DO, _sentence(fit, answer.question.round), fit)


def _sentence(fit: HillFit, asked: RoundAsked) -> str:
    """What a round is on this hill; empty where nothing could be reckoned."""
    if fit.needed_m is None or fit.range_m is None or fit.speed_km_per_h is None or fit.back_s is None:
        return ""
    low, high = (about_m(one) for one in fit.range_m)
    span = f" ({low:.0f} to {high:.0f})" if low != high else ""
    return (
        f"A round of {time_words(asked.work_s)} takes about {about_m(fit.needed_m):.0f} m{span} of its "
        f"{fit.hill.length_m:.0f}, at {fit.speed_km_per_h:.1f} km/h{_turns(fit)}; the way back takes "
        f"{time_words(fit.back_s)} of {time_words(asked.recovery_s)}."
    )


def _turns(fit: HillFit) -> str:
    """How the legs turn in the lowest gear; with gears to spare nobody rides in it."""
    if fit.cadence_per_min is None:
        return ""
    if fit.cadence_per_min > EASY_CADENCE:
        return " with gears to spare"
    return f" and {fit.cadence_per_min:.0f} turns a minute in the lowest gear"


def _rider_initial(rider: Rider) -> dict[str, object]:
    figures = ("body_mass_kg", "bike_mass_kg", "front_teeth", "rear_teeth", "wheel_circumference_m")
    said = {name: f"{value:g}" for name in figures if (value := getattr(rider, name)) is not None}
    return said | {"body_mass_on": rider.body_mass_on}


def _read_rider(fields: Fields, page: use.RiderPage) -> Rider | None:
    mass = fields.number("body_mass_kg", lowest=BODY_MASS_KG[0], highest=BODY_MASS_KG[1], required=False, unit="kg")
    on = fields.day("body_mass_on", latest=page.today, earliest=years_before(page.today, 10), required=False)
    bike = fields.number("bike_mass_kg", lowest=BIKE_MASS_KG[0], highest=BIKE_MASS_KG[1], required=False, unit="kg")
    front = fields.whole("front_teeth", lowest=FRONT_TEETH[0], highest=FRONT_TEETH[1], required=False)
    rear = fields.whole("rear_teeth", lowest=REAR_TEETH[0], highest=REAR_TEETH[1], required=False)
    wheel = fields.number("wheel_circumference_m", lowest=WHEEL_M[0], highest=WHEEL_M[1], required=False, unit="m")
    if fields.errors:
        return None
    if mass is not None and on is None:
        fields.refuse("body_mass_on", "When was it weighed?")
    if mass is None and on is not None:
        fields.refuse("body_mass_kg", "What was weighed that day?")
    if (front is None) != (rear is None):
        fields.refuse("front_teeth" if front is None else "rear_teeth", "The lowest gear needs both.")
    return None if fields.errors else Rider(page.client.id, mass, on, bike, front, rear, wheel)


def _rider(desk: Desk, page: use.RiderPage, fields: Fields, *, status: int) -> Response:
    return render(
        desk,
        "hills/rider.html",
        status=status,
        client=page.client,
        fields=fields,
        latest=page.today,
        tested=page.tested_mass,
        usual_wheel=USUAL_WHEEL_M,
    )
