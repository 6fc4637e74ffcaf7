"""A forecast as it is kept: as text, with a print of what it was reckoned from."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from app.coaching.forecast import METHOD, Basis, Forecast, Help, Helped, Outlook
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules


@dataclass(frozen=True, slots=True)
class KeptForecast:
    """The last forecast of a client, and whether the record has changed since."""

    forecast: Forecast
    #: Something was entered, planned or set since; it is reckoned again soon.
    is_behind: bool


def print_of(newest_trace_id: int, rules: Rules) -> str:
    """What a forecast rests on, in short: the newest trace of the record, the practice's rules and the method."""
    return hashlib.sha256(repr((METHOD, newest_trace_id, rules)).encode()).hexdigest()


def forecast_json(one: Forecast) -> str:
    """A forecast as JSON text."""
    return json.dumps(asdict(one), default=date.isoformat, ensure_ascii=False, sort_keys=True)


def forecast_from(text: str) -> Forecast:
    """A forecast that was kept.

    Raises: DomainError when the text is no such forecast.
    """
    try:
        return _forecast_in(json.loads(text))
    except (ValueError, KeyError, TypeError) as problem:
        raise DomainError("this forecast cannot be read") from problem


def _forecast_in(raw: dict[str, Any]) -> Forecast:  # JSON has no narrower type
    return Forecast(
        made_on=date.fromisoformat(raw["made_on"]),
        outlook=Outlook(raw["outlook"]),
        early_on=_day(raw["early_on"]),
        middle_on=_day(raw["middle_on"]),
        late_on=_day(raw["late_on"]),
        chances=tuple((date.fromisoformat(day), float(chance)) for day, chance in raw["chances"]),
        waits_for=tuple((str(key), float(share)) for key, share in raw["waits_for"]),
        helps=tuple(Helped(**{**one, "help": Help(one["help"])}) for one in raw["helps"]),
        beside=tuple(raw["beside"]),
        basis=Basis(**raw["basis"]) if raw["basis"] else None,
    )


def _day(text: str | None) -> date | None:
    return None if text is None else date.fromisoformat(text)
