"""What is typed about a client, read the same way when one is added and when one is edited."""

from __future__ import annotations

import re
from datetime import date
from typing import Any

from app.coaching.people import ClientState, HeartRateUse, Sex
from app.web.forms import LONG_TEXT, Fields

ADULT_YEARS = 18
OLDEST_YEARS = 110
_EMAIL = re.compile(r"[^@\s]+@[^@\s]+\.[^@\s]+")

STATE_OPTIONS = [
    (ClientState.ASKED.value, "asked, not begun"),
    (ClientState.INTAKE.value, "intake"),
    (ClientState.WAITING_FOR_CLEARANCE.value, "waiting for clearance"),
    (ClientState.ACTIVE.value, "active"),
    (ClientState.PAUSED.value, "paused"),
    (ClientState.LEFT.value, "left"),
]
SEX_OPTIONS = [(Sex.FEMALE.value, "female"), (Sex.MALE.value, "male")]
HEART_RATE_OPTIONS = [
    (HeartRateUse.UNKNOWN.value, "not known yet"),
    (HeartRateUse.RELIABLE.value, "reliable", "A source that was checked against a count or a second device."),
    (HeartRateUse.NOT_RELIABLE.value, "not reliable", "Steered by talk and effort; write the effort plan below."),
]


def years_before(day: date, years: int) -> date:
    """The same day some years before; 29 February becomes the 28th."""
    try:
        return day.replace(year=day.year - years)
    except ValueError:
        return day.replace(year=day.year - years, day=28)


def read_person(fields: Fields, today: date) -> dict[str, Any]:
    """Name, ways to reach, birth date, sex, zone and phone."""
    return {
        "name": fields.text("name"),
        "email": _email(fields),
        "phone": fields.phone("phone", required=False),
        "born_on": _born_on(fields, today),
        "sex": fields.choice("sex", Sex, required=False),
        "zone": fields.zone("zone"),
        "has_phone": fields.yes("has_phone"),
    }


def read_emergency(fields: Fields, today: date) -> dict[str, Any]:
    """Who is called when something happens, and when that was last asked."""
    return {
        "emergency_contact": fields.text("emergency_contact", required=False),
        "emergency_phone": fields.phone("emergency_phone", required=False),
        "emergency_confirmed_on": fields.day("emergency_confirmed_on", latest=today, required=False),
    }


def read_heart_rate(fields: Fields) -> dict[str, Any]:
    """Whether heart rate steers this client, from which source, and the effort plan where it does not."""
    use = fields.choice("heart_rate_use", HeartRateUse)
    plan = fields.text("effort_plan", most=LONG_TEXT, required=False, many_lines=True)
    if use is HeartRateUse.NOT_RELIABLE and plan is None and fields.error("effort_plan") is None:
        fields.refuse("effort_plan", "Write how effort is judged instead, for example by talk.")
    return {
        "heart_rate_use": use,
        "heart_rate_source": fields.text("heart_rate_source", required=False),
        "effort_plan": plan,
    }


def _email(fields: Fields) -> str | None:
    typed = fields.text("email", required=False)
    if typed is not None and not _EMAIL.fullmatch(typed):
        fields.refuse("email", "This does not look like an e-mail address.")
        return None
    return typed


def _born_on(fields: Fields, today: date) -> date | None:
    earliest = years_before(today, OLDEST_YEARS)
    return fields.day(
        "born_on",
        earliest=earliest,
        latest=years_before(today, ADULT_YEARS),
        required=False,
        too_late=f"The desk is for adults, {ADULT_YEARS} or older. Check the year.",
        too_early=f"That would be over {OLDEST_YEARS} years ago. Check the year.",
    )
