"""A client's forecast as values that templates only print."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.forecast import Outlook, reason_for_none
from app.coaching.forecast_kept import KeptForecast
from app.coaching.forecast_words import forecast_why, forecast_words, reason_words
from app.coaching.history import History
from app.coaching.reasons import Why
from app.coaching.rules import Rules
from app.coaching.weeks import day_words


@dataclass(frozen=True, slots=True)
class ForecastView:
    """The forecast, ready to print."""

    sentence: str
    #: When it was made, and whether something is newer.
    made: str = ""
    #: What it does not speak of.
    beside: str = ""
    why: Why | None = None


def forecast_view(history: History, kept: KeptForecast | None, rules: Rules) -> ForecastView | None:
    """The last forecast of a client; None where hard work has begun or no phase is decided."""
    reason = reason_for_none(history)
    if reason is Outlook.NOT_IN_BASE:
        return None
    if reason is not None:
        return ForecastView(reason_words(reason) or "")
    if kept is None or reason_words(kept.forecast.outlook) is not None:
        return ForecastView("A forecast is being made; look again in a few minutes.")
    one = kept.forecast
    return ForecastView(
        sentence=forecast_words(one, rules),
        made=_made(kept),
        beside=_beside(one.beside),
        why=forecast_why(one),
    )


def _made(kept: KeptForecast) -> str:
    made = f"Made on {day_words(kept.forecast.made_on)}"
    return f"{made}; what was entered or changed since is not in it yet." if kept.is_behind else f"{made}."


def _beside(titles: tuple[str, ...]) -> str:
    if not titles:
        return "It speaks of training only."
    return f"It speaks of training only. Open beside it: {', '.join(titles)}."
