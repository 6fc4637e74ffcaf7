"""An entry of the audit trail as it is read: who did what, and each value before and after."""

from __future__ import annotations

import json
import re
from dataclasses import dataclass
from datetime import datetime

from app.coaching.phases import PHASE_WORDS

#: A word of the records that is kept in one piece: "told_by_phone".
_KEPT_WORD = re.compile(r"[a-z]+(?:_[a-z]+)+")
_PHASES: dict[object, str] = {phase.value: words for phase, words in PHASE_WORDS.items()}


@dataclass(frozen=True, slots=True)
class Change:
    """One field that changed; empty text where there was nothing to compare with."""

    field: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class TrailEntry:
    """Who did what, when, and why."""

    at: datetime
    who: str
    action: str
    changes: tuple[Change, ...]
    reason: str


def trail_entry(*, at: datetime, who: str | None, action: str, change_json: str, reason: str | None) -> TrailEntry:
    """An entry in words."""
    return TrailEntry(at, who or "the desk", action.replace("_", " "), changes_in(change_json), reason or "")


def changes_in(text: str) -> tuple[Change, ...]:
    """The changes kept with an entry; what is no pair of values before and after stands as it is."""
    change = json.loads(text or "{}")
    if not isinstance(change, dict):
        return (Change("change", "", _plain(change)),)
    before, after = change.get("before") or {}, change.get("after") or {}
    is_pair = isinstance(before, dict) and isinstance(after, dict) and not change.keys() - {"before", "after"}
    if not is_pair:
        return tuple(Change(_words(name), "", _value(name, value)) for name, value in change.items())
    names = {**before, **after}
    return tuple(
        Change(_words(name), _value(name, before.get(name)), _value(name, after.get(name))) for name in names
    )


def _words(name: object) -> str:
    return str(name).replace("_", " ")


def _value(name: object, value: object) -> str:
    """One kept value, a phase by the name it has everywhere."""
    return _PHASES.get(value, _plain(value)) if name == "phase" and isinstance(value, str) else _plain(value)


def _plain(value: object) -> str:
    if value is None or value in ("", [], {}):
        return "-"
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(_plain(one) for one in value)
    if isinstance(value, dict):
        return ", ".join(f"{_words(name)} {_plain(one)}" for name, one in value.items())
    return _words(value) if _KEPT_WORD.fullmatch(str(value)) else str(value)
