"""The practice's rules and its trail, ready to print."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.rules import Stricter
from app.usecases.practice import Setting, TrailEntry

#: Actions of the trail that nobody did while signed in.
NOBODY = "nobody signed in"
SWITCH_WORDS = {False: "off", True: "on"}
#: The one switch that chooses between two published readings.
DIABETES_RULE = "diabetes_alternative"


@dataclass(frozen=True, slots=True)
class SettingLine:
    """One rule of the practice."""

    name: str
    sentence: str
    value: str
    default: str
    limits: str
    provenance: str
    direction: str
    is_changed: bool


@dataclass(frozen=True, slots=True)
class TrailLine:
    """One entry of the trail."""

    at: datetime
    who: str
    what: str
    change: str


def setting_line(one: Setting) -> SettingLine:
    """A rule with its default, unit, limits and provenance."""
    card = one.card
    unit = f" {card.unit}" if card.unit else ""
    directions = {
        Stricter.LOWER: "guards safety: may only be lowered",
        Stricter.HIGHER: "guards safety: may only be raised",
        None: "free within the limits",
    }
    if card.is_switch:
        return _switch_line(one)
    return SettingLine(
        name=card.name,
        sentence=card.sentence,
        value=f"{one.value:g}{unit}",
        default=f"{card.default:g}{unit}",
        limits=f"{card.lowest:g} to {card.highest:g}{unit}",
        provenance=card.provenance.value,
        direction=directions[card.stricter],
        is_changed=one.is_changed,
    )


def _switch_line(one: Setting) -> SettingLine:
    """A rule that is on or off, in words."""
    card = one.card
    is_guard = card.name == DIABETES_RULE
    return SettingLine(
        name=card.name,
        sentence=card.sentence,
        value=SWITCH_WORDS[bool(one.value)],
        default=SWITCH_WORDS[bool(card.default)],
        limits="off or on",
        provenance=card.provenance.value,
        direction="off is the stricter; on is the head coach's choice, with a reason" if is_guard else "on or off",
        is_changed=one.is_changed,
    )


def trail_line(entry: TrailEntry, zone: str) -> TrailLine:
    """An entry in words, at the practice's own time."""
    subject = f" {entry.subject_id}" if entry.subject_id is not None else ""
    return TrailLine(
        at=entry.at.astimezone(ZoneInfo(zone)),
        who=entry.person_name or NOBODY,
        what=f"{entry.action}: {entry.subject}".replace("_", " ") + subject,
        change=_change_words(entry.change_json, entry.reason),
    )


def _change_words(change_json: str, reason: str | None) -> str:
    change = json.loads(change_json)
    parts = [f"{side}: {_plain(change[side])}" for side in ("before", "after") if side in change]
    if reason:
        parts.append(f"reason: {reason}")
    return "; ".join(parts)


def _plain(value: object) -> str:
    if isinstance(value, dict):
        return ", ".join(f"{name.replace('_', ' ')} {_plain(inner)}" for name, inner in value.items())
    return "none" if value is None else str(value)
