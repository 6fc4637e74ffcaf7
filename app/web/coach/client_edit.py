"""Editing a client's particulars, state and real week."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import Any

from fastapi import APIRouter
from starlette.responses import Response

from app.coaching.access import Action
from app.coaching.people import AvailableDay, ClientState
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.typed_values import zones
from app.usecases import client_file as file_use
from app.usecases import client_particulars as use
from app.usecases.client_file import ClientHead
from app.web.coach.client_fields import (
    HEART_RATE_OPTIONS,
    SEX_OPTIONS,
    STATE_OPTIONS,
    read_emergency,
    read_heart_rate,
    read_person,
)
from app.web.coach.client_views import WEEKDAYS
from app.web.coach.client_words import long
from app.web.deps import CoachDesk, Desk
from app.web.forms import SHORT_TEXT, Fields
from app.web.render import render, see_other

router = APIRouter()

EARLIEST_JOINED = date(1990, 1, 1)
BASE_WEEKS_LOWEST = 13
BASE_WEEKS_HIGHEST = 52
SLOT_MIN = (5, 720)

FIELD_WORDS = {
    "name": "Name",
    "email": "E-mail",
    "phone": "Telephone",
    "born_on": "Birth date",
    "sex": "Sex",
    "zone": "Time zone",
    "has_phone": "Logs on a phone",
    "coach_id": "Coach",
    "joined_on": "With the practice since",
    "base_weeks_asked": "Held base weeks asked",
    "heart_rate_use": "Heart rate",
    "heart_rate_source": "Heart-rate source",
    "effort_plan": "Effort plan",
    "emergency_contact": "Emergency contact",
    "emergency_phone": "Emergency telephone",
    "emergency_confirmed_on": "Emergency contact asked",
}


@dataclass(frozen=True, slots=True)
class Difference:
    """One field that stands otherwise now than it was typed."""

    label: str
    kept: str
    typed: str


@router.get("/clients/{client_id}/edit")
def edit(desk: CoachDesk, client_id: int) -> Response:
    """The form with what is kept."""
    head = _open(desk, client_id)
    client = head.client
    initial = {name: getattr(client, name) for name in FIELD_WORDS} | {"revision": client.revision}
    return _edit_form(desk, head, Fields(initial=initial), revision=client.revision)


@router.post("/clients/{client_id}/edit")
def keep_edit(desk: CoachDesk, client_id: int) -> Response:
    """Keep the changes, or say beside each field what is in the way."""
    head = _open(desk, client_id)
    fields = Fields(desk.form)
    values = _read(desk, fields)
    revision = fields.whole("revision", lowest=1, highest=10**9)
    if fields.errors or revision is None:
        return _edit_form(desk, head, fields, revision=revision or head.client.revision, status=422)
    try:
        changed = use.change_client(
            desk.db, actor=desk.person, client_id=client_id, revision=revision, values=values, now=desk.now
        )
    except StaleEdit as stale:
        return _stale(desk, head, fields, values, str(stale))
    what = ", ".join(FIELD_WORDS[name].lower() for name in changed)
    return see_other(desk, f"/clients/{client_id}", flash=f"Kept: {what}." if changed else "Nothing was changed.")


@router.get("/clients/{client_id}/state")
def state(desk: CoachDesk, client_id: int) -> Response:
    """Pause, take back or end."""
    head = _open(desk, client_id)
    return _state_form(desk, head, Fields(initial={"state": head.client.state}))


@router.post("/clients/{client_id}/state")
def keep_state(desk: CoachDesk, client_id: int) -> Response:
    """Set where the client stands."""
    head = _open(desk, client_id)
    fields = Fields(desk.form)
    chosen = fields.choice("state", ClientState)
    reason = fields.text("reason", most=use.LONGEST_REASON, required=False, many_lines=True)
    if chosen is not None and not fields.errors:
        try:
            use.change_state(
                desk.db, actor=desk.person, client_id=client_id, state=chosen, reason=reason, now=desk.now
            )
        except Refused as refusal:
            fields.refuse("reason" if chosen is not head.client.state else "state", str(refusal))
    if fields.errors or chosen is None:
        return _state_form(desk, head, fields, status=422)
    return see_other(
        desk, f"/clients/{client_id}", flash=f"{head.client.name} is {dict(STATE_OPTIONS)[chosen.value]}."
    )


@router.get("/clients/{client_id}/week")
def real_week(desk: CoachDesk, client_id: int) -> Response:
    """The days the client really has."""
    head = _open(desk, client_id)
    initial: dict[str, object] = {}
    for day in use.week_of(desk.db, client_id=client_id):
        initial |= {f"minutes_{day.weekday}": day.minutes, f"place_{day.weekday}": day.place}
        initial[f"kit_{day.weekday}"] = day.kit
    return _week_form(desk, head, Fields(initial=initial))


@router.post("/clients/{client_id}/week")
def keep_real_week(desk: CoachDesk, client_id: int) -> Response:
    """Keep the real week."""
    head = _open(desk, client_id)
    fields = Fields(desk.form)
    days = [_read_day(fields, client_id, number) for number in range(len(WEEKDAYS))]
    if fields.errors:
        return _week_form(desk, head, fields, status=422)
    kept = [day for day in days if day is not None]
    use.set_real_week(desk.db, actor=desk.person, client_id=client_id, days=kept, now=desk.now)
    return see_other(desk, f"/clients/{client_id}", flash="The week is kept.")


def _open(desk: Desk, client_id: int) -> ClientHead:
    return file_use.open_head(desk.db, actor=desk.person, client_id=client_id, now=desk.now, action=Action.DECIDE)


def _read(desk: Desk, fields: Fields) -> dict[str, Any]:
    values = read_person(fields, desk.today) | read_emergency(fields, desk.today) | read_heart_rate(fields)
    values["joined_on"] = fields.day("joined_on", earliest=EARLIEST_JOINED, latest=desk.today)
    values["base_weeks_asked"] = fields.whole(
        "base_weeks_asked", lowest=BASE_WEEKS_LOWEST, highest=BASE_WEEKS_HIGHEST, required=False, unit="weeks"
    )
    _check_base_weeks(desk, fields, values)
    if desk.person.is_head:
        values["coach_id"] = fields.whole("coach_id", lowest=1, highest=10**9)
        if values["coach_id"] not in file_use.coaches_by_id(desk.db):
            fields.refuse("coach_id", "Choose one of the coaches.")
    return values


def _check_base_weeks(desk: Desk, fields: Fields, values: Mapping[str, Any]) -> None:
    asked, least = values["base_weeks_asked"], desk.rules.base_weeks
    if asked is None or asked >= least or fields.error("born_on") or use.is_older(values["born_on"], desk.today):
        return
    fields.refuse("base_weeks_asked", f"Below sixty at least the practice's {least} held weeks are asked.")


def _edit_form(
    desk: Desk,
    head: ClientHead,
    fields: Fields,
    *,
    revision: int,
    status: int = 200,
    stale: str = "",
    differences: Sequence[Difference] = (),
) -> Response:
    coaches = file_use.coaches_by_id(desk.db)
    return render(
        desk,
        "client/edit.html",
        part="client/_edit.html",
        status=status,
        head=head,
        fields=fields,
        revision=revision,
        stale=stale,
        differences=differences,
        sexes=SEX_OPTIONS,
        heart_rates=HEART_RATE_OPTIONS,
        coaches=list(coaches.items()) if desk.person.is_head else [],
        base_weeks=desk.rules.base_weeks,
        zones=zones(),
    )


def _stale(desk: Desk, head: ClientHead, fields: Fields, values: Mapping[str, Any], sentence: str) -> Response:
    """What is kept now beside what was typed; the form carries the new revision, so that sending again decides."""
    kept = head.client
    names = file_use.coaches_by_id(desk.db)
    differences = [
        Difference(label, _plain(getattr(kept, name), names, name), _plain(values[name], names, name))
        for name, label in FIELD_WORDS.items()
        if name in values and getattr(kept, name) != values[name]
    ]
    return _edit_form(desk, head, fields, revision=kept.revision, status=409, stale=sentence, differences=differences)


def _plain(value: object, coaches: Mapping[int, str], name: str) -> str:
    if value is None or value == "":
        return "nothing"
    if name == "coach_id" and isinstance(value, int):
        return coaches.get(value, "somebody who has left")
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, date):
        return long(value)
    return value.value.replace("_", " ") if isinstance(value, StrEnum) else str(value)


def _state_form(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    return render(
        desk,
        "client/state.html",
        part="client/_state.html",
        status=status,
        head=head,
        fields=fields,
        states=STATE_OPTIONS,
        longest=use.LONGEST_REASON,
    )


def _week_form(desk: Desk, head: ClientHead, fields: Fields, *, status: int = 200) -> Response:
    return render(
        desk,
        "client/week.html",
        part="client/_week.html",
        status=status,
        head=head,
        fields=fields,
        weekdays=list(enumerate(WEEKDAYS)),
    )


def _read_day(fields: Fields, client_id: int, number: int) -> AvailableDay | None:
    slot = fields.whole_minutes(f"minutes_{number}", lowest=SLOT_MIN[0], highest=SLOT_MIN[1], required=False)
    place = fields.text(f"place_{number}", most=SHORT_TEXT, required=False)
    kit = fields.text(f"kit_{number}", most=SHORT_TEXT, required=False)
    has_words = bool(place or kit)
    if slot is None:
        if has_words and fields.error(f"minutes_{number}") is None:
            fields.refuse(f"minutes_{number}", f"How long may it be on {WEEKDAYS[number]}?")
        return None
    return AvailableDay(client_id, number, slot, place, kit)
