"""How a session went, ready to print: the sentence, the drawings, the rounds as a table, and one beside another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from app.coaching.capacity_left import CapacityLeft
from app.coaching.execution_values import CountsAs
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.round_figures import Output, RoundFigures
from app.coaching.rounds_values import SIGNAL_WORDS, FoundRounds
from app.coaching.session_reading import SessionReading
from app.physiology.values import Missing
from app.web.charts.scale import said
from app.web.went_drawings import MINUS, Drawn, clock_of, headline, heart_of, in_both, overlay_of, trace_of
from app.web.went_set import LeftView, SetView, left_view, set_view

COUNTS_WORDS = {
    CountsAs.GOOD: "counts as well executed",
    CountsAs.BAD: "does not count as well executed",
    CountsAs.NEITHER: "counts neither way",
    CountsAs.UNKNOWN: "cannot be counted yet: something was not said",
}


@dataclass(frozen=True, slots=True)
class RoundRow:
    """One round as a row of figures; "" where a figure is not known."""

    number: int
    time: str
    output: str
    against: str
    first_30: str
    third_minute: str
    last_90: str
    heart_rate: str
    heart_fall: str
    cadence: str
    effort: str
    minutes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class WentView:
    """A session as the page prints it; drawings are empty where there is nothing to draw."""

    headline: str
    sentence: str
    counts: str
    next_time: str
    why: Why | None
    trace: Drawn
    heart: Drawn
    overlay: Drawn
    rows: tuple[RoundRow, ...]
    output_unit: str
    notes: tuple[str, ...]
    has_recording: bool
    whole_set: SetView
    left: LeftView


def went_view(reading: SessionReading, *, key: str, left: CapacityLeft | Missing | None = None) -> WentView:
    """One session in words, drawings and figures; `left` is what was left of W' or D' under it."""
    judged = reading.judged
    return WentView(
        headline=headline(judged),
        sentence=judged.sentence if judged else _no_rounds(reading),
        counts=COUNTS_WORDS[judged.counts_as] if judged else "",
        next_time=judged.next_time.sentence if judged and judged.next_time else "",
        why=_why(reading) if judged else None,
        trace=in_both(partial(trace_of, reading), f"{key}-trace"),
        heart=in_both(partial(heart_of, reading), f"{key}-heart"),
        overlay=in_both(partial(overlay_of, reading), f"{key}-rounds"),
        rows=tuple(_row(one, reading) for one in reading.rounds),
        output_unit=_unit(reading),
        notes=_notes(reading),
        has_recording=reading.recording is not None,
        whole_set=set_view(reading),
        left=left_view(reading, left, key=f"{key}-left"),
    )


def _no_rounds(reading: SessionReading) -> str:
    if isinstance(reading.found, Missing):
        return f"No rounds were found: {reading.found.reason}."
    return "No rounds are entered and no recording is kept; with either, this page says how each round went."


def _why(reading: SessionReading) -> Why | None:
    judged = reading.judged
    if judged is None:
        return None
    states = {True: "met", False: "not met", None: "not known"}
    checks = tuple(
        Figure(one.name, f"{states[one.is_met]}{f': {one.text}' if one.text else ''}") for one in judged.checks
    )
    rule = (
        f"Even is at most {reading.limit_percent:g} % from the best to the worst round here; a fade is the last "
        "below the first by more than half of that. Well executed: all rounds, even, effort at the end within the "
        "practice's limit, stood, technique kept, readiness usual."
    )
    return Why((*judged.reasons, *checks), rule, Provenance.COMMON_PRACTICE, None, "Another reading of the rounds.")


def _row(one: RoundFigures, reading: SessionReading) -> RoundRow:
    output, mode = reading.output, reading.log.mode
    aim = reading.aims[min(one.asked_number or one.number, len(reading.aims)) - 1] if reading.aims else None
    return RoundRow(
        number=one.number,
        time=clock_of(one.duration_s) + (f" of {clock_of(one.asked_s)}" if one.asked_s else ""),
        output=said(one.output, output, mode) if one.output else "",
        against=_percent(100 * (one.output / aim - 1)) if one.output and aim else "",
        first_30=_percent(one.first_30_percent),
        third_minute=_percent(one.third_minute_percent),
        last_90=_percent(one.last_90_percent),
        heart_rate=whole(one.heart_rate_end_bpm),
        heart_fall=whole(one.heart_rate_fall_bpm),
        cadence=whole(one.cadence_per_min),
        effort="" if one.effort is None else f"{one.effort:g}",
        minutes=tuple(said(value, output, mode) for value in one.minutes),
    )


def _unit(reading: SessionReading) -> str:
    return {Output.POWER: "mean power", None: "output"}.get(reading.output, "mean speed or pace")


def _notes(reading: SessionReading) -> tuple[str, ...]:
    found = reading.found
    said_ = []
    if isinstance(found, FoundRounds):
        read_from = SIGNAL_WORDS[found.signal] if found.signal else "the coach's own hand"
        within = f", edges within about {found.edge_error_s:g} s" if found.edge_error_s else ""
        said_.append(f"Rounds read from {read_from}{within}; {found.sureness.value}.")
        said_ += [f"{one[0].upper()}{one[1:]}." for one in found.because if not one.startswith("read from")]
    elif isinstance(found, Missing) and reading.rounds:
        said_.append(f"The recording shows no rounds ({found.reason}); the figures are those of the entry.")
    elif found is None and reading.rounds:
        said_.append("From the rounds as they were entered; without a recording there is no minute by minute.")
    if reading.output is Output.SPEED_ON_THE_FLAT:
        said_.append("Speed is set right for the slope: what it would have been on the flat.")
    return tuple(said_)


def _percent(value: float | None) -> str:
    if value is None:
        return ""
    whole = round(value)
    return f"{'+' if whole > 0 else MINUS if whole < 0 else '±'}{abs(whole)} %"


def whole(value: float | None) -> str:
    """A figure without parts; "" where it is not known."""
    return "" if value is None else f"{value:.0f}"
