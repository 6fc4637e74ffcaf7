"""The target of one planned session: every form side by side, one chosen and kept with the next version."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.ladders import clock
from app.coaching.lookahead_values import ReasonNeeded
from app.coaching.people import Mode
from app.coaching.reasons import Refused, Why
from app.coaching.session_target import TargetForm
from app.coaching.target_power import curve_of
from app.coaching.target_speed import speed_curve_of
from app.coaching.target_values import LEAST_RESERVE, MOST_RESERVE, USUAL_RESERVE, ModelLine, Option, TargetWishes
from app.coaching.words import duration_words, percent
from app.physiology.values import Missing
from app.usecases.plan_sessions import set_aside_targets
from app.usecases.plan_sessions import targets as use
from app.usecases.plan_sessions.keeping import ChangedMeanwhile
from app.usecases.plan_sessions.targets import TargetPage
from app.web.coach.plan_session_form import REASON_MOST
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other
from app.web.target_view import RoundView, round_views, target_view

router = APIRouter()

POWER_W, PACE_S, INCLINE = (20.0, 1000.0), (130.0, 1200.0), (0.0, 25.0)
RECOVERY_W, RECOVERY_KMH, DISTANCE_M, POOL_M = (0.0, 500.0), (0.0, 18.0), (200.0, 3000.0), (15.0, 50.0)
_KMH = 3.6
W_PRIME_WORDS = "W' is the work in reserve: what can be done above critical power before having to ease off."
D_PRIME_WORDS = "D' is the distance in reserve: what can be run above critical speed before having to slow down."
_USUAL_WORDS = f"{USUAL_RESERVE * 100:.0f} is usual."
#: The key that takes a target away.
NONE = "none"


@dataclass(frozen=True, slots=True)
class ModelView:
    """What one form of the balance says, ready to print."""

    name: str
    says: str
    own: str
    left: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class OptionView:
    """One form of target, ready to print."""

    key: str
    title: str
    sentence: str
    missing: tuple[str, ...]
    uncertainty: str
    #: What to say of a target far above what was done; empty when it is not.
    far_above: str
    why: Why
    models: tuple[ModelView, ...]
    #: What "left" means in the table of forms.
    left_words: str
    rounds: tuple[RoundView, ...]
    is_offered: bool
    is_proposed: bool
    #: Unit and hint of the figure that may be typed; "" where none is.
    typed_unit: str
    typed_hint: str


@dataclass(frozen=True, slots=True)
class Asks:
    """What the page asks about, by the way the session is done, and what is reckoned with where nothing is typed."""

    power: bool
    pace: bool
    distance: bool
    pool: bool
    power_usual: str
    speed_usual: str
    #: Of what a reserve is asked for, and what that is; "" where no critical figure is known.
    reserve_unit: str
    reserve_hint: str


@router.get("/plan/sessions/{planned_session_id}/target")
def target_page(desk: CoachDesk, planned_session_id: int) -> Response:
    """Every form of target for a session."""
    fields = Fields(_usual() | dict(desk.request.query_params))
    return _page(desk, planned_session_id, fields, Fields(initial={}), status=None)


@router.post("/plan/sessions/{planned_session_id}/target")
def choose_form(desk: CoachDesk, planned_session_id: int) -> Response:
    """Keep the chosen form, or take the target away."""
    fields = Fields(desk.form)
    version = fields.whole("version", lowest=1, highest=100_000)
    key = fields.text("key", most=40) or ""
    reason = fields.text("reason", most=REASON_MOST, required=False)
    wishes = _wishes(fields)
    typed = _typed(fields, key)
    if fields.errors or version is None:
        return _page(desk, planned_session_id, fields, fields, status=422)
    try:
        target = use.choose_target(
            desk.db,
            actor=desk.person,
            planned_session_id=planned_session_id,
            version=version,
            key=None if key == NONE else key,
            typed=typed,
            wishes=wishes,
            reason=reason,
            rules=desk.rules,
            now=desk.now,
        )
    except ChangedMeanwhile as stale:
        fields.refuse("", f"{stale} Look at it as it stands now, then choose.")
        return _page(desk, planned_session_id, fields, fields, status=409)
    except ReasonNeeded as needed:
        fields.refuse("reason", str(needed))
        return _page(desk, planned_session_id, fields, fields, status=422)
    except Refused as refusal:
        fields.refuse(f"value_{key}" if typed is not None else "", str(refusal))
        return _page(desk, planned_session_id, fields, fields, status=422)
    said = "The target is kept with the session." if target is not None else "The session has no target any more."
    return see_other(desk, f"/plan/sessions/{planned_session_id}", flash=said)


def _usual() -> dict[str, str]:
    return {"reserve": f"{USUAL_RESERVE * 100:.0f}", "pool_m": "25"}


def _wishes(fields: Fields) -> TargetWishes:
    reserve = fields.number(
        "reserve", lowest=100 * LEAST_RESERVE, highest=100 * MOST_RESERVE, required=False, unit="%"
    )
    recovery_w = fields.number("recovery_w", lowest=RECOVERY_W[0], highest=RECOVERY_W[1], required=False, unit="W")
    speed = fields.number(
        "recovery_kmh", lowest=RECOVERY_KMH[0], highest=RECOVERY_KMH[1], required=False, unit="km/h"
    )
    distance_m = fields.number("distance_m", lowest=DISTANCE_M[0], highest=DISTANCE_M[1], required=False, unit="m")
    pool_m = fields.number("pool_m", lowest=POOL_M[0], highest=POOL_M[1], required=False, unit="m")
    return TargetWishes(
        reserve_fraction=USUAL_RESERVE if reserve is None else reserve / 100,
        recovery_power_w=recovery_w,
        recovery_speed_m_per_s=None if speed is None else speed / _KMH,
        distance_m=distance_m,
        pool_m=25.0 if pool_m is None else pool_m,
    )


def _typed(fields: Fields, key: str) -> float | None:
    name = f"value_{key}"
    if key.startswith("pace"):
        return fields.pace_s(name, lowest=PACE_S[0], highest=PACE_S[1], required=False)
    low, high = INCLINE if key == "incline" else POWER_W
    return fields.number(name, lowest=low, highest=high, required=False)


def _tried(fields: Fields) -> float | None:
    pace = fields.pace_s("try_pace", lowest=PACE_S[0], highest=PACE_S[1], required=False)
    power = fields.number("try_w", lowest=POWER_W[0], highest=POWER_W[1], required=False, unit="W")
    return pace if pace is not None else power


def _page(desk: Desk, planned_session_id: int, fields: Fields, chosen: Fields, *, status: int | None) -> Response:
    action = Action.READ if status is None else Action.DECIDE
    if status is None:
        wishes, tried = _wishes(fields), _tried(fields)
        status = 422 if fields.errors else 200
    else:
        silent = Fields({name: fields.value(name) for name in ("reserve", "recovery_w", "recovery_kmh")})
        wishes, tried = _wishes(silent), None
    page = use.open_targets(
        desk.db,
        actor=desk.person,
        planned_session_id=planned_session_id,
        wishes=wishes,
        tried=tried,
        rules=desk.rules,
        now=desk.now,
        action=action,
    )
    return render(
        desk,
        "plan/target.html",
        status=status,
        page=page,
        client=page.client,
        session=page.session,
        fields=fields,
        chosen=chosen,
        now=target_view(page.session) if page.chosen is not None else None,
        now_why=page.chosen.why if page.chosen is not None else None,
        is_from_aside=set_aside_targets.is_from_set_aside(
            desk.db, actor=desk.person, planned_session_id=planned_session_id, now=desk.now
        ),
        options=sorted((_option(one, page) for one in page.options), key=lambda one: not one.is_proposed),
        rounds_words=_rounds_words(page),
        asks=_asks(page),
        tried=() if page.tried is None or isinstance(page.tried, Missing) else page.tried,
        tried_missing=page.tried.reason if isinstance(page.tried, Missing) else "",
        none_key=NONE,
    )


def _asks(page: TargetPage) -> Asks:
    if page.scene is None:
        return Asks(False, False, False, False, "", "", "", "")
    mode, curve, speed = page.session.mode, curve_of(page.scene), speed_curve_of(page.scene)
    unit, hint = ("", "")
    if curve is not None:
        unit, hint = "% of W'", f"{W_PRIME_WORDS} {_USUAL_WORDS}"
    elif speed is not None:
        unit, hint = "% of D'", f"{D_PRIME_WORDS} {_USUAL_WORDS}"
    return Asks(
        power=curve is not None,
        pace=speed is not None,
        distance=mode is Mode.RUN,
        pool=mode is Mode.SWIM,
        power_usual=f"{curve.recovery_w:.0f} W as reckoned" if curve is not None else "",
        speed_usual=f"{speed.recovery_m_per_s * _KMH:.1f} km/h as reckoned" if speed is not None else "",
        reserve_unit=unit,
        reserve_hint=hint,
    )


def _rounds_words(page: TargetPage) -> str:
    if page.scene is None:
        return page.session.title
    asked = page.scene.asked
    return f"{asked.rounds} × {duration_words(asked.work_s)}, {duration_words(asked.recovery_s)} easy between"


def _option(one: Option, page: TargetPage) -> OptionView:
    is_pace = one.form is TargetForm.PACE
    unit = "min:s a km" if is_pace else ("%" if one.form is TargetForm.INCLINE else "W")
    rounds = () if one.target is None or page.scene is None else round_views(one.target, page.scene.asked)
    return OptionView(
        key=one.key,
        title=one.title,
        sentence=one.sentence,
        missing=one.missing,
        uncertainty=one.uncertainty,
        far_above=one.far_above,
        why=one.why,
        models=tuple(_model(model, is_pace=is_pace) for model in one.models),
        left_words=D_PRIME_WORDS if is_pace else W_PRIME_WORDS,
        rounds=rounds,
        is_offered=one.is_offered,
        is_proposed=page.proposed is not None and page.proposed.key == one.key,
        typed_unit="" if one.hardest is None or not one.is_offered else unit,
        typed_hint=_hardest(one, is_pace=is_pace),
    )


def _hardest(one: Option, *, is_pace: bool) -> str:
    if one.hardest is None:
        return ""
    if is_pace:
        return f"Left empty, as offered. Never quicker than {clock(one.hardest)}."
    unit = "%" if one.form is TargetForm.INCLINE else "W"
    return f"Left empty, as offered. Never above {one.hardest:.0f} {unit}."


def _model(line: ModelLine, *, is_pace: bool) -> ModelView:
    def said(figure: float) -> str:
        return clock(figure) if is_pace else f"{figure:.0f}"

    own = "none" if line.value is None else f"{said(line.value)} {'a km' if is_pace else 'W'}"
    if line.range is not None:
        own = f"{own} ({said(line.range[0])} to {said(line.range[1])})"
    return ModelView(line.name, line.says, own, _left(line))


def _left(line: ModelLine) -> tuple[str, ...]:
    if not line.left_range:
        return tuple(percent(one) for one in line.left)
    pairs = zip(line.left, line.left_range, strict=True)
    return tuple(f"{percent(left)} ({100 * low:.0f} to {percent(high)})" for left, (low, high) in pairs)
