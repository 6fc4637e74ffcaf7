"""Every figure that is drawn of a session, as tables: its rounds, each of them by the minute, and all its time."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.coaching.capacity_left import CapacityLeft
from app.coaching.recordings import Series
from app.coaching.round_figures import Output, RoundFigures
from app.coaching.session_reading import SessionReading
from app.coaching.thinned_series import thinned
from app.web.charts.scale import bare, said, unit_of
from app.web.went_drawings import MINUS, clock_of, series_of

_MINUTE_S = 60
#: A long session's table has a row for so many minutes together, so that it stays readable.
_MOST_ROWS = 90
_LONGER_ROWS_MIN = (1, 2, 5, 10)
#: Slower has no pace worth reading.
_SLOWEST_M_PER_S = 0.3


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One round as a row of figures; "" where a figure is not known."""

    number: int
    #: From and to, from the first sample; "" where nothing was recorded.
    between: str
    time: str
    output: str
    against: str
    spread: str
    first_30: str
    third_minute: str
    fourth_minute: str
    last_90: str
    heart_rate: str
    heart_fall: str
    cadence: str
    effort: str
    #: Of W' or D' after it.
    left: str
    #: The mean of each minute, as many as the longest round has; "" where it is not known.
    minutes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SpanRow:
    """A minute or some of the whole session: when, its mean, its least and most, the heart."""

    time: str
    output: str
    least_to_most: str
    heart_rate: str


def round_rows(reading: SessionReading, left: CapacityLeft | None) -> tuple[RoundRow, ...]:
    """The rounds as rows."""
    shares = left.after_rounds if left is not None else ()
    longest = max((len(one.minutes) for one in reading.rounds), default=0)
    return tuple(
        _row(one, reading, longest, shares[place] if place < len(shares) else None)
        for place, one in enumerate(reading.rounds)
    )


def _row(one: RoundFigures, reading: SessionReading, longest: int, left: float | None) -> RoundRow:
    output, mode = reading.output, reading.log.mode
    aim = reading.aims[min(one.asked_number or one.number, len(reading.aims)) - 1] if reading.aims else None
    minutes = tuple(bare(value, output, mode) for value in one.minutes)
    return RoundRow(
        number=one.number,
        between=f"{clock_of(one.start_s)} to {clock_of(one.end_s)}" if reading.recording is not None else "",
        time=clock_of(one.duration_s) + (f" of {clock_of(one.asked_s)}" if one.asked_s else ""),
        output=said(one.output, output, mode) if one.output else "",
        against=percent(100 * (one.output / aim - 1)) if one.output and aim else "",
        spread="" if one.spread_percent is None else f"{one.spread_percent:.1f} %",
        first_30=percent(one.first_30_percent),
        third_minute=percent(one.third_minute_percent),
        fourth_minute=percent(one.fourth_minute_percent),
        last_90=percent(one.last_90_percent),
        heart_rate=whole(one.heart_rate_end_bpm),
        heart_fall=fall_words(one.heart_rate_fall_bpm),
        cadence=whole(one.cadence_per_min),
        effort="" if one.effort is None else f"{one.effort:g}",
        left="" if left is None else f"{100 * left:.0f} %".replace("-", MINUS),
        minutes=minutes + ("",) * (longest - len(minutes)),
    )


def fall_words(beats: float | None) -> str:
    """How far the heart came down in a minute; where it went up the round was not over, and that is said."""
    return f"rose by {-beats:.0f}" if beats is not None and round(beats) < 0 else whole(beats)


def span_rows(reading: SessionReading) -> tuple[SpanRow, ...]:
    """The whole recording, a minute a row, or more of them where it is long; none without a recording."""
    recording, drawn = reading.recording, series_of(reading)
    if recording is None:
        return ()
    minutes = next(
        (n for n in _LONGER_ROWS_MIN if recording.duration_s <= n * _MINUTE_S * _MOST_ROWS), _LONGER_ROWS_MIN[-1]
    )
    width = minutes * _MINUTE_S
    values, output = drawn if drawn else (None, None)
    heart = recording.heart_rate_bpm if reading.heart_rate_counts else None
    rows = []
    for start in range(0, len(recording.time_s), width):
        end = min(start + width, len(recording.time_s))
        mean, apart = _part(values, start, end, output, reading)
        rows.append(SpanRow(f"{clock_of(start)} to {clock_of(end)}", mean, apart, _mean_heart(heart, start, end)))
    return tuple(rows)


def _part(
    values: Series | None, start: int, end: int, output: Output | None, reading: SessionReading
) -> tuple[str, str]:
    """Mean and least to most of what is known in a stretch."""
    runs = () if values is None else thinned(values[start:end], 1)
    if not runs or output is None:
        return "", ""
    one = runs[0][0]
    least, most = _figure(one.low, output, reading), _figure(one.high, output, reading)
    return _figure(one.mean, output, reading), f"{least} to {most}" if least != most else least


def _figure(value: float, output: Output, reading: SessionReading) -> str:
    """A figure without its unit; standing still has no pace."""
    return (
        bare(value, output, reading.log.mode) if output is Output.POWER or value >= _SLOWEST_M_PER_S else "standing"
    )


def _mean_heart(heart: Series | None, start: int, end: int) -> str:
    known = heart[start:end][np.isfinite(heart[start:end])] if heart is not None else np.empty(0)
    return f"{known.mean():.0f}" if known.size else ""


def unit_words(reading: SessionReading) -> str:
    """The unit the figures of a session are in; "" where nothing says what was put out."""
    drawn = series_of(reading)
    output = reading.output or (drawn[1] if drawn else None)
    return "" if output is None else unit_of(output, reading.log.mode)


def percent(value: float | None) -> str:
    """A share with its sign; "" where it is not known."""
    if value is None:
        return ""
    rounded = round(value)
    return f"{'+' if rounded > 0 else MINUS if rounded < 0 else '±'}{abs(rounded)} %"


def whole(value: float | None) -> str:
    """A figure without parts; "" where it is not known."""
    return "" if value is None else f"{value:.0f}"
