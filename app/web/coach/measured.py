"""What targets are made from: a client's critical power or speed, highest heart rate and talk power."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.heart_rate_trust import RECORDED_ONLY, HeartRateTrust
from app.coaching.ladders import clock
from app.coaching.measured import (
    HOW_WORDS,
    KIND_WORDS,
    MODES,
    UNITS,
    Fitted,
    KnownHow,
    Measured,
    MeasuredKind,
    Trial,
)
from app.coaching.people import ORIGIN_WORDS, Mode, Origin
from app.coaching.reasons import Figure, Provenance, Refused, Why
from app.coaching.target_plausible import out_of_reach
from app.coaching.words import counted
from app.usecases import measured as use
from app.usecases.measured import Doubted, MeasuredLine, MeasuredPage, OutOfReach
from app.usecases.plan_sessions import set_aside_targets
from app.web.coach.client_words import MODE_WORDS
from app.web.coach.fitness_tests import EARLIEST, LONGEST_TEXT
from app.web.coach.plan_session_form import REASON_MOST
from app.web.coach.resting_targets import resting_views
from app.web.deps import CoachDesk, Desk
from app.web.filters import day_year
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

ROWS = 4
#: The tick that keeps a figure far above what is known.
TWICE = "looked_twice"
_CURVES = (MeasuredKind.CRITICAL_POWER, MeasuredKind.CRITICAL_SPEED)
#: What a figure of each kind can be, as it is typed.
_LIMITS = {
    MeasuredKind.CRITICAL_POWER: (30.0, 600.0),
    MeasuredKind.CRITICAL_SPEED: (0.3, 7.0),
    MeasuredKind.HIGHEST_HEART_RATE: (90.0, 230.0),
    MeasuredKind.TALK_POWER: (20.0, 600.0),
}
_CAPACITY = {MeasuredKind.CRITICAL_POWER: (1000.0, 60_000.0), MeasuredKind.CRITICAL_SPEED: (5.0, 600.0)}
_AMOUNT = {MeasuredKind.CRITICAL_POWER: (30.0, 1500.0), MeasuredKind.CRITICAL_SPEED: (50.0, 10_000.0)}
_LONGEST_TRIAL_S = 5999
_BETWEEN = " by "
_ORIGINS = (Origin.COACH, Origin.CLINIC, Origin.TOLD_BY_PHONE, Origin.FROM_PAPER)
_RULE = (
    "The line of work, or of distance, against time through all-out trials of 2 to 20 min; three are better than "
    "two, one of them 12 min or more. Two trials always fit and have no error."
)


@dataclass(frozen=True, slots=True)
class FigureView:
    """One measured figure, ready to print."""

    id: int
    day: str
    what: str
    figure: str
    how: str
    state: str
    note: str
    why: Why | None
    may_set_aside: bool


@router.get("/clients/{client_id}/tests/figures")
def figures_page(desk: CoachDesk, client_id: int) -> Response:
    """Everything measured, and the two forms that add to it."""
    page = _open(desk, client_id, Action.READ)
    return _page(desk, page, status=200)


@router.post("/clients/{client_id}/tests/figures/trials")
def trials_form(desk: CoachDesk, client_id: int) -> Response:
    """Fit all-out trials and keep what they give."""
    page = _open(desk, client_id, Action.LOG)
    fields = Fields(desk.form)
    figure = _read_head(desk, page, fields, _CURVES)
    trials = () if figure is None else _read_trials(fields, figure.kind)
    if figure is None or fields.errors:
        return _page(desk, page, trials=fields, status=422)
    try:
        _id, fitted = use.keep_fitted(
            desk.db,
            actor=desk.person,
            figure=figure,
            trials=trials,
            rules=desk.rules,
            now=desk.now,
            looked_twice=fields.yes(TWICE),
        )
    except Doubted as doubt:
        fields.refuse(TWICE, str(doubt))
        return _page(desk, page, trials=fields, status=422)
    except Refused as refusal:
        fields.refuse("time_1", str(refusal))
        return _page(desk, page, trials=fields, status=422)
    said = f"Kept: {figure_words(figure.kind, fitted.value, fitted.value_error)}."
    return see_other(desk, f"/clients/{client_id}/tests/figures", flash=said)


@router.post("/clients/{client_id}/tests/figures")
def typed_form(desk: CoachDesk, client_id: int) -> Response:
    """Keep one typed figure."""
    page = _open(desk, client_id, Action.LOG)
    fields = Fields(desk.form)
    figure = _read_typed(fields, _read_head(desk, page, fields, tuple(MeasuredKind)))
    if figure is None:
        return _page(desk, page, typed=fields, status=422)
    try:
        use.keep_figure(
            desk.db,
            actor=desk.person,
            figure=figure,
            rules=desk.rules,
            now=desk.now,
            looked_twice=fields.yes(TWICE),
        )
    except Doubted as doubt:
        fields.refuse(TWICE, str(doubt))
        return _page(desk, page, typed=fields, status=422)
    except OutOfReach as refusal:
        fields.refuse("value", str(refusal))
        return _page(desk, page, typed=fields, status=422)
    except Refused as refusal:
        fields.refuse("how", str(refusal))
        return _page(desk, page, typed=fields, status=422)
    return see_other(desk, f"/clients/{client_id}/tests/figures", flash="The figure is kept.")


@router.post("/clients/{client_id}/tests/figures/{measured_id}/aside")
def aside_form(desk: CoachDesk, client_id: int, measured_id: int) -> Response:
    """Set a mistaken figure aside."""
    try:
        what = use.set_aside(desk.db, actor=desk.person, client_id=client_id, measured_id=measured_id, now=desk.now)
    except Refused as refusal:
        page = _open(desk, client_id, Action.READ)
        fields = Fields({})
        fields.refuse("", str(refusal))
        return _page(desk, page, typed=fields, status=422)
    behind = " Targets given from it still stand: see below." if resting_views(desk, client_id) else ""
    said = f"Set aside: {what}.{behind}"
    return see_other(desk, f"/clients/{client_id}/tests/figures", flash=said)


@router.post("/clients/{client_id}/tests/figures/targets-away")
def targets_away_form(desk: CoachDesk, client_id: int) -> Response:
    """Take the targets away that rest on a figure set aside."""
    page = _open(desk, client_id, Action.DECIDE)
    fields = Fields(desk.form)
    reason = fields.text("reason", most=REASON_MOST)
    if reason is None:
        return _page(desk, page, away=fields, status=422)
    try:
        count = set_aside_targets.take_targets_away(
            desk.db, actor=desk.person, client_id=client_id, reason=reason, now=desk.now
        )
    except Refused as refusal:
        fields.refuse("", str(refusal))
        return _page(desk, page, away=fields, status=422)
    said = f"Taken away: the target of {counted(count, 'session')}. Effort and talk lead there now."
    return see_other(desk, f"/clients/{client_id}/tests/figures", flash=said)


def _open(desk: Desk, client_id: int, action: Action) -> MeasuredPage:
    return use.open_measured(desk.db, actor=desk.person, client_id=client_id, now=desk.now, action=action)


def _page(desk: Desk, page: MeasuredPage, *, status: int, **sent: Fields) -> Response:
    today = {"measured_on": page.today, "origin": Origin.COACH}
    forms = {
        "trials": Fields(initial=today | {"what": _option(MeasuredKind.CRITICAL_POWER, Mode.INDOOR_RIDE)}),
        "typed": Fields(initial=today),
    }
    return render(
        desk,
        "tests/figures.html",
        status=status,
        page=page,
        client=page.client,
        figures=[_view(one, page) for one in page.lines],
        resting=resting_views(desk, page.client.id),
        away=sent.get("away") or Fields({}),
        twice=TWICE,
        trial_options=_options(_CURVES),
        typed_options=_options(tuple(MeasuredKind)),
        how_options=[(one.value, HOW_WORDS[one]) for one in KnownHow if one is not KnownHow.TRIALS],
        origins=[(one.value, ORIGIN_WORDS[one]) for one in _ORIGINS],
        rows=range(1, ROWS + 1),
        longest=LONGEST_TEXT,
        trials=sent.get("trials") or forms["trials"],
        typed=sent.get("typed") or forms["typed"],
    )


def _options(kinds: Sequence[MeasuredKind]) -> list[tuple[str, str]]:
    return [(_option(kind, mode), f"{_short(kind)}, {MODE_WORDS[mode]}") for kind in kinds for mode in MODES[kind]]


def _option(kind: MeasuredKind, mode: Mode) -> str:
    return f"{kind.value}{_BETWEEN}{mode.value}"


def _short(kind: MeasuredKind) -> str:
    return "power at “rather not talk”" if kind is MeasuredKind.TALK_POWER else KIND_WORDS[kind]


def _read_head(desk: Desk, page: MeasuredPage, fields: Fields, kinds: Sequence[MeasuredKind]) -> Measured | None:
    what = fields.text("what", most=60)
    measured_on = fields.day("measured_on", earliest=EARLIEST, latest=page.today)
    origin = fields.choice("origin", Origin)
    note = fields.text("note", most=LONGEST_TEXT, required=False, many_lines=True)
    known = {_option(kind, mode): (kind, mode) for kind in kinds for mode in MODES[kind]}
    if what is not None and what not in known:
        fields.refuse("what", "Choose one of the answers.")
    if fields.errors or what is None or measured_on is None or origin is None:
        return None
    kind, mode = known[what]
    return Measured(
        id=0,
        client_id=page.client.id,
        kind=kind,
        mode=mode,
        measured_on=measured_on,
        value=0.0,
        value_error=None,
        capacity=None,
        capacity_error=None,
        covariance=None,
        how=KnownHow.TRIALS,
        fitted_form=None,
        trials_json="[]",
        note=note,
        origin=origin,
        entered_at=desk.now,
        person_id=desk.person.person_id,
    )


def _read_trials(fields: Fields, kind: MeasuredKind) -> tuple[Trial, ...]:
    low, high = _AMOUNT[kind]
    found = []
    for row in range(1, ROWS + 1):
        time_s = fields.pace_s(f"time_{row}", lowest=1, highest=_LONGEST_TRIAL_S, required=False)
        amount = fields.number(f"amount_{row}", lowest=low, highest=high, required=False, unit=_amount_unit(kind))
        if fields.error(f"time_{row}") or fields.error(f"amount_{row}"):
            continue
        if (time_s is None) is not (amount is None):
            fields.refuse(f"amount_{row}", "A trial needs both: its time, and its mean power or its distance.")
        if time_s is not None and amount is not None:
            found.append(Trial(time_s, amount))
    if not found and not fields.errors:
        fields.refuse("time_1", "Write at least two trials of different length.")
    return tuple(found)


def _amount_unit(kind: MeasuredKind) -> str:
    return "W" if kind is MeasuredKind.CRITICAL_POWER else "m"


def _read_typed(fields: Fields, head: Measured | None) -> Measured | None:
    how = fields.choice("how", KnownHow)
    kind = head.kind if head is not None else MeasuredKind.CRITICAL_POWER
    low, high = _LIMITS[kind]
    value = fields.number("value", lowest=low, highest=high, unit=UNITS[kind][0])
    value_error = fields.number("value_error", lowest=0, highest=high / 2, required=False, unit=UNITS[kind][0])
    capacity = _read_capacity(fields, kind)
    if how is KnownHow.TRIALS:
        fields.refuse("how", "Trials are fitted in the form above.")
    if head is None or how is None or value is None or fields.errors:
        return None
    return Measured(
        id=0,
        client_id=head.client_id,
        kind=head.kind,
        mode=head.mode,
        measured_on=head.measured_on,
        value=value,
        value_error=value_error,
        capacity=capacity,
        capacity_error=None,
        covariance=None,
        how=how,
        fitted_form=None,
        trials_json="[]",
        note=head.note,
        origin=head.origin,
        entered_at=head.entered_at,
        person_id=head.person_id,
    )


def _read_capacity(fields: Fields, kind: MeasuredKind) -> float | None:
    if kind in _CURVES:
        low, high = _CAPACITY[kind]
        return fields.number("capacity", lowest=low, highest=high, unit=UNITS[kind][1])
    if fields.value("capacity").strip():
        fields.refuse("capacity", "Only critical power and critical speed have a capacity above them.")
    return None


def _view(line: MeasuredLine, page: MeasuredPage) -> FigureView:
    one = line.measured
    return FigureView(
        id=one.id,
        day=day_year(one.measured_on),
        what=f"{_short(one.kind)}, {MODE_WORDS[one.mode]}",
        figure=_whole_figure(one),
        how=f"{HOW_WORDS[one.how]}; {ORIGIN_WORDS[one.origin]}; kept by {line.by}",
        state=_state(line, page.heart_rate),
        note=one.note or "",
        why=None if line.fitted is None else _why(one, line.fitted),
        may_set_aside=page.may_decide and one.set_aside_at is None,
    )


def _state(line: MeasuredLine, heart_rate: HeartRateTrust) -> str:
    if line.measured.set_aside_at is not None:
        return "set aside"
    if line.measured.kind is MeasuredKind.HIGHEST_HEART_RATE and heart_rate.is_off:
        return RECORDED_ONLY
    if line.is_too_old:
        return "over half a year old: no target is made from it"
    if line.afresh:
        return f"no target is made from it: {line.afresh}"
    if unlikely := out_of_reach(line.measured.kind, line.measured.value, line.measured.capacity):
        return f"no target is made from it: {unlikely[0].lower()}{unlikely[1:].removesuffix('.')}"
    return "targets are made from it" if line.is_newest else "a newer one counts"


def _whole_figure(one: Measured) -> str:
    said = figure_words(one.kind, one.value, one.value_error)
    if one.capacity is None:
        return said
    return f"{said}; {capacity_words(one.kind, one.capacity, one.capacity_error)}"


def figure_words(kind: MeasuredKind, value: float, error: float | None) -> str:
    """A measured figure with its unit and error."""
    if kind is MeasuredKind.CRITICAL_SPEED:
        behind = ", error not known" if error is None else f" ± {error:.2f}"
        return f"{value:.2f} m/s{behind} ({clock(1000 / value)} a km)"
    unit = "beats a minute" if kind is MeasuredKind.HIGHEST_HEART_RATE else "W"
    behind = "" if error is None else f" ± {error:.0f}"
    is_curve = kind is MeasuredKind.CRITICAL_POWER and error is None
    return f"{value:.0f} {unit}{', error not known' if is_curve else behind}"


def capacity_words(kind: MeasuredKind, capacity: float, error: float | None) -> str:
    """What lies above a measured figure, with its unit and error."""
    if kind is MeasuredKind.CRITICAL_POWER:
        return f"W' {capacity / 1000:.1f} kJ" + ("" if error is None else f" ± {error / 1000:.1f}")
    return f"D' {capacity:.0f} m" + ("" if error is None else f" ± {error:.0f}")


def _why(one: Measured, fitted: Fitted) -> Why:
    unit = _amount_unit(one.kind)
    trials = tuple(
        Figure(f"trial of {clock(trial.duration_s)}", f"{trial.amount:.0f} {unit}, {misfit:+.1f} {unit} off the line")
        for trial, misfit in zip(one.trials, fitted.misfits, strict=True)
    )
    minds = tuple(Figure("mind", note) for note in fitted.notes)
    is_power = one.kind is MeasuredKind.CRITICAL_POWER
    return Why(
        (*trials, *minds),
        _RULE,
        Provenance.PUBLISHED_READ,
        "Moritani et al. 1981, Monod and Scherrer 1965" if is_power else "Galbraith et al. 2014",
        "Newer trials: after six good hard sessions, rested, on different days or half an hour apart.",
        ("critical_power_work_time_moritani_1981" if is_power else "critical_speed_galbraith_2014",),
    )
