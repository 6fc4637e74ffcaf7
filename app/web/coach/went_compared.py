"""Two sessions of the same rounds, figure by figure."""

from __future__ import annotations

from app.coaching.session_reading import SessionReading
from app.web.charts.scale import said
from app.web.went_drawings import MINUS, headline
from app.web.went_tables import whole


def compared_rows(now: SessionReading, then: SessionReading) -> tuple[tuple[str, str, str], ...]:
    """Two sessions of the same rounds, figure by figure; a figure neither has is left out."""
    pairs = [
        ("how it went", headline(now.judged).lower(), headline(then.judged).lower()),
        ("mean of the rounds", _mean_output(now), _mean_output(then)),
        ("best to worst round", _share(now, "best_to_worst_percent"), _share(then, "best_to_worst_percent")),
        ("last against first", _share(now, "fade_percent"), _share(then, "fade_percent")),
        ("heart rate at the end of the last", _last_heart(now), _last_heart(then)),
        ("effort at the end", _last_effort(now), _last_effort(then)),
    ]
    pairs += _round_by_round(now, then)
    return tuple((name, one or "·", other or "·") for name, one, other in pairs if one or other)


def _round_by_round(now: SessionReading, then: SessionReading) -> list[tuple[str, str, str]]:
    """What the drawing of both sets shows: each round's mean, now and then."""
    return [
        (f"round {place + 1}", _output(now, place), _output(then, place))
        for place in range(max(len(now.rounds), len(then.rounds)))
    ]


def _output(reading: SessionReading, place: int) -> str:
    value = reading.rounds[place].output if place < len(reading.rounds) else None
    return said(value, reading.output, reading.log.mode) if value else ""


def _mean_output(reading: SessionReading) -> str:
    known = [one.output for one in reading.rounds if one.output and one.is_complete]
    return said(sum(known) / len(known), reading.output, reading.log.mode) if known else ""


def _share(reading: SessionReading, name: str) -> str:
    value = getattr(reading.figures, name) if reading.figures else None
    return f"{value:.1f} %".replace("-", MINUS) if isinstance(value, float) else ""


def _last_heart(reading: SessionReading) -> str:
    return whole(reading.rounds[-1].heart_rate_end_bpm) if reading.rounds else ""


def _last_effort(reading: SessionReading) -> str:
    effort = reading.rounds[-1].effort if reading.rounds else None
    effort = reading.log.effort if effort is None else effort
    return "" if effort is None else f"{effort:g}"
