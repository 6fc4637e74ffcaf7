"""How a session went, ready to print: the sentence, the drawings, the rounds as a table, and one beside another."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from app.coaching.capacity_left import CapacityLeft
from app.coaching.execution_values import CountsAs
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.round_figures import Output
from app.coaching.rounds_values import SIGNAL_WORDS, FoundRounds
from app.coaching.session_reading import SessionReading
from app.physiology.values import Missing
from app.web.went_drawings import Drawn, headline, heart_of, in_both, overlay_of, trace_of
from app.web.went_set import LeftView, SetView, left_view, set_view
from app.web.went_tables import RoundRow, SpanRow, round_rows, span_rows, unit_words

COUNTS_WORDS = {
    CountsAs.GOOD: "counts as well executed",
    CountsAs.BAD: "does not count as well executed",
    #: The sentence says it, with what it was.
    CountsAs.NEITHER: "",
    CountsAs.UNKNOWN: "cannot be counted yet: something was not said",
}


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
    output_words: str
    #: The unit of the minutes; "" where nothing says what was put out.
    unit: str
    #: All its time, some minutes a row.
    spans: tuple[SpanRow, ...]
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
        counts=COUNTS_WORDS[judged.counts_as] if judged and not reading.is_easy else "",
        next_time=judged.next_time.sentence if judged and judged.next_time else "",
        why=_why(reading) if judged else None,
        trace=in_both(partial(trace_of, reading), f"{key}-trace"),
        heart=in_both(partial(heart_of, reading), f"{key}-heart"),
        overlay=in_both(partial(overlay_of, reading), f"{key}-rounds"),
        rows=round_rows(reading, left if isinstance(left, CapacityLeft) else None),
        output_words=_output_words(reading),
        unit=unit_words(reading),
        spans=span_rows(reading),
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


def _output_words(reading: SessionReading) -> str:
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
