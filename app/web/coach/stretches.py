"""Strongest stretches of recordings, ticked by the coach where they were all-out, and the fit with them."""

from __future__ import annotations

from dataclasses import dataclass

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.ladders import clock
from app.coaching.measured import Fitted, Measured, MeasuredKind
from app.coaching.people import Mode
from app.coaching.reasons import Refused
from app.coaching.stretch_offers import Offered, StretchOffer, chosen_of, offer_fit
from app.usecases import measured as use
from app.usecases.measured import StretchesPage
from app.web.coach.client_words import MODE_WORDS, short
from app.web.coach.measured import capacity_words, figure_words
from app.web.deps import CoachDesk, Desk
from app.web.forms import Fields
from app.web.render import render, see_other

router = APIRouter()

BASE = "/clients/{client_id}/tests/figures/stretches"
_KIND = MeasuredKind.CRITICAL_POWER


@dataclass(frozen=True, slots=True)
class StretchRow:
    """One stretch with the session it is from and what speaks for and against all-out."""

    name: str
    length: str
    power: str
    expected: str
    session: str
    address: str
    speaks_for: str
    against: str


@dataclass(frozen=True, slots=True)
class OfferView:
    """The stretches of one way of moving, the figure in use, and the fit that was looked at."""

    mode: str
    mode_words: str
    rows: tuple[StretchRow, ...]
    present: str
    with_trials: int
    fitted: str
    notes: tuple[str, ...]
    fields: Fields


@router.get(BASE)
def stretches_page(desk: CoachDesk, client_id: int) -> Response:
    """What the client's recordings offer."""
    return _page(desk, _open(desk, client_id, Action.READ), status=200)


@router.post(BASE)
def stretches_form(desk: CoachDesk, client_id: int) -> Response:
    """Look at the fit with what is ticked, or keep it."""
    page, fields = _open(desk, client_id, Action.LOG), Fields(desk.form)
    mode = fields.choice("mode", Mode)
    keys = [name.removeprefix("tick_") for name, value in desk.form.items() if name.startswith("tick_") and value]
    fitted = None
    try:
        if mode is not None and desk.form.get("do") == "keep":
            _id, kept = use.keep_stretches(
                desk.db,
                actor=desk.person,
                client_id=client_id,
                mode=mode,
                keys=keys,
                rules=desk.rules,
                now=desk.now,
            )
            said = f"Kept: {figure_words(_KIND, kept.value, kept.value_error)}."
            return see_other(desk, f"/clients/{client_id}/tests/figures", flash=said)
        if mode is not None:
            offer = page.by(mode)
            fitted = offer_fit(offer, chosen_of(offer, keys))
    except Refused as refusal:
        fields.refuse("", str(refusal))
    return _page(desk, page, status=422 if fields.errors else 200, fields=fields, mode=mode, fitted=fitted)


def _open(desk: Desk, client_id: int, action: Action) -> StretchesPage:
    return use.open_stretches(
        desk.db, actor=desk.person, client_id=client_id, rules=desk.rules, now=desk.now, action=action
    )


def _page(
    desk: Desk,
    page: StretchesPage,
    *,
    status: int,
    fields: Fields | None = None,
    mode: Mode | None = None,
    fitted: Fitted | None = None,
) -> Response:
    return render(
        desk,
        "tests/stretches.html",
        status=status,
        client=page.client,
        page=page,
        problems=fields or Fields({}),
        offers=[
            _view(
                one, page, (fields if one.mode is mode else None) or Fields({}), fitted if one.mode is mode else None
            )
            for one in page.offers
        ],
    )


def _view(offer: StretchOffer, page: StretchesPage, fields: Fields, fitted: Fitted | None) -> OfferView:
    return OfferView(
        mode=offer.mode.value,
        mode_words=MODE_WORDS[offer.mode],
        rows=tuple(_row(one, page) for one in offer.offered),
        present=_present(offer.present),
        with_trials=len(offer.trials),
        fitted="" if fitted is None else _figure(fitted),
        notes=() if fitted is None else fitted.notes,
        fields=fields,
    )


def _row(one: Offered, page: StretchesPage) -> StretchRow:
    stretch = one.stretch
    beats = ", more than the figure in use calls possible" if stretch.beats_the_fit else ""
    return StretchRow(
        name=f"tick_{one.key}",
        length=clock(stretch.length_s),
        power=f"{stretch.power_w:.0f} W",
        expected="" if stretch.expected_w is None else f"{stretch.expected_w:.0f} W{beats}",
        session=f"{short(one.log.done_on)}, from {clock(stretch.start_s)}",
        address=f"/clients/{page.client.id}/sessions/{one.log.id}",
        speaks_for="; ".join(stretch.for_all_out) or "nothing",
        against="; ".join(stretch.against_all_out) or "nothing",
    )


def _present(present: Measured | None) -> str:
    if present is None:
        return "none"
    said = figure_words(_KIND, present.value, present.value_error)
    if present.capacity is None:
        return said
    return f"{said}; {capacity_words(_KIND, present.capacity, present.capacity_error)}"


def _figure(found: Fitted) -> str:
    said = figure_words(_KIND, found.value, found.value_error)
    return f"{said}; {capacity_words(_KIND, found.capacity, found.capacity_error)}"
