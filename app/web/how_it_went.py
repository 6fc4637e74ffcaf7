"""How a session went, ready to print: the sentence, the drawings, the rounds as a table, and one beside another."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from app.coaching.execution_values import VERDICT_WORDS, CountsAs, Execution, Verdict
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.recordings import Series
from app.coaching.round_figures import Output, RoundFigures
from app.coaching.rounds_signal import round_series
from app.coaching.rounds_values import SIGNAL_WORDS, FoundRounds
from app.coaching.session_reading import SessionReading
from app.coaching.thinned_series import thinned
from app.coaching.words import counted
from app.physiology.values import Missing
from app.web.charts.overlay import Overlay, RoundLine, draw_overlay
from app.web.charts.scale import said
from app.web.charts.trace import WIDE, Step, Trace, draw_trace

#: A line of so many points still shows what a reader can see.
MOST_STRETCHES = 480
#: Rounds over each other are drawn from means of so many seconds.
ROUND_MEAN_S = 15
COUNTS_WORDS = {
    CountsAs.GOOD: "counts as well executed",
    CountsAs.BAD: "does not count as well executed",
    CountsAs.NEITHER: "counts neither way",
    CountsAs.UNKNOWN: "cannot be counted yet: something was not said",
}
HEADLINES = {Verdict.NOT_SEEN: "How even is not known"}
MINUS = "−"


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
    trace: Markup
    heart: Markup
    overlay: Markup
    rows: tuple[RoundRow, ...]
    output_unit: str
    notes: tuple[str, ...]
    has_recording: bool


def went_view(reading: SessionReading, *, key: str, width: float = WIDE) -> WentView:
    """One session in words, drawings and figures."""
    judged = reading.judged
    return WentView(
        headline=headline(judged),
        sentence=judged.sentence if judged else _no_rounds(reading),
        counts=COUNTS_WORDS[judged.counts_as] if judged else "",
        next_time=judged.next_time.sentence if judged and judged.next_time else "",
        why=_why(reading) if judged else None,
        trace=trace_of(reading, f"{key}-trace", width),
        heart=_heart(reading, f"{key}-heart", width),
        overlay=overlay_of(reading, f"{key}-rounds", width),
        rows=tuple(_row(one, reading) for one in reading.rounds),
        output_unit=_unit(reading),
        notes=_notes(reading),
        has_recording=reading.recording is not None,
    )


def headline(judged: Execution | None) -> str:
    """The verdict as a heading."""
    if judged is None:
        return "No rounds to judge"
    words = HEADLINES.get(judged.verdict, VERDICT_WORDS[judged.verdict])
    return words[0].upper() + words[1:]


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


def _series(reading: SessionReading) -> tuple[Series, Output | None] | None:
    """What is drawn as the trace; heart rate where nothing else was recorded and it counts."""
    recording, log = reading.recording, reading.log
    if recording is None:
        return None
    found = round_series(recording, log.mode, heart_rate_counts=False)
    if not isinstance(found, Missing):
        output = {"power": Output.POWER, "speed": Output.SPEED, "speed_on_the_flat": Output.SPEED_ON_THE_FLAT}
        return np.where(found.is_unknown, np.nan, found.values), output.get(found.signal.value)
    return None


def trace_of(reading: SessionReading, key: str, width: float) -> Markup:
    """The whole session with its rounds planned and done; nothing where no round has a figure."""
    drawn = _series(reading)
    if drawn is None and not reading.rounds:
        return Markup("")
    values, output = drawn if drawn else (None, reading.output)
    planned, done = _planned_steps(reading), _done_steps(reading)
    ends = [one.end_s for one in (*planned, *done)]
    recorded_s = reading.recording.duration_s if reading.recording else 0.0
    trace = Trace(
        runs=thinned(values, MOST_STRETCHES if width >= WIDE else MOST_STRETCHES // 2) if values is not None else (),
        planned=planned,
        done=done,
        duration_s=max([recorded_s, *ends], default=1.0) or 1.0,
        output=output,
        mode=reading.log.mode,
    )
    if output is None and values is None and all(one.height is None for one in done):
        return Markup("")
    return draw_trace(trace, finding=_trace_title(reading), desc=_trace_words(reading), key=key, width=width)


def _planned_steps(reading: SessionReading) -> tuple[Step, ...]:
    """Each planned round where it was done, as long as it was planned; those left out after the last, by the plan."""
    asked = reading.asked
    if asked is None:
        return ()
    steps, at = [], float(asked.lead_in_s or 0)
    done = {one.asked_number or one.number: one for one in reading.rounds}
    for number, work_s in enumerate(asked.work_s, start=1):
        found = done.get(number)
        start = found.start_s if found else at
        steps.append(Step(start, start + work_s, reading.aims[number - 1] if reading.aims else None))
        at = max(start + work_s, found.end_s if found else 0.0) + asked.recovery_s[number - 1]
    return tuple(steps)


def _done_steps(reading: SessionReading) -> tuple[Step, ...]:
    return tuple(Step(one.start_s, one.end_s, one.output) for one in reading.rounds)


def _trace_title(reading: SessionReading) -> str:
    done = counted(len(reading.rounds), "round")
    if reading.asked is None:
        return f"The session over its time, {done}"
    return (
        f"The session over its time: {len(reading.rounds)} of {counted(len(reading.asked.work_s), 'planned round')}"
    )


def _trace_words(reading: SessionReading) -> str:
    rounds = [
        f"Round {one.number} from {clock_of(one.start_s)} to {clock_of(one.end_s)}"
        + (f" at {said(one.output, reading.output, reading.log.mode)}" if one.output else "")
        for one in reading.rounds
    ]
    outline = "Outlines are the planned rounds, fillings the done ones. " if reading.asked else ""
    height = (
        "" if reading.aims or not reading.asked else "There was no target in figures, so outlines show time only. "
    )
    return f"{outline}{height}{'; '.join(rounds)}." if rounds else "No rounds."


def _heart(reading: SessionReading, key: str, width: float) -> Markup:
    """Heart rate over the same time, only where it counts."""
    recording = reading.recording
    if recording is None or recording.heart_rate_bpm is None or not reading.heart_rate_counts:
        return Markup("")
    runs = thinned(recording.heart_rate_bpm, MOST_STRETCHES if width >= WIDE else MOST_STRETCHES // 2)
    if not runs:
        return Markup("")
    ends = [one.heart_rate_end_bpm for one in reading.rounds if one.heart_rate_end_bpm is not None]
    at_ends = f" At the ends of the rounds: {', '.join(f'{one:.0f}' for one in ends)}." if ends else ""
    trace = Trace(runs, (), (), recording.duration_s, None, reading.log.mode, unit="a minute")
    return draw_trace(
        trace, finding="Heart rate over the same time", desc=f"Beats a minute.{at_ends}", key=key, width=width
    )


def overlay_of(reading: SessionReading, key: str, width: float) -> Markup:
    """The rounds over each other; nothing without a recording that says what they put out."""
    drawn = _series(reading)
    if drawn is None or not reading.rounds:
        return Markup("")
    values, output = drawn
    if output is None:
        return Markup("")
    lines = tuple(
        RoundLine(f"round {one.number}", _means(values[round(one.start_s) : round(one.end_s)]))
        for one in reading.rounds
    )
    aim = reading.aim_range or _one_aim(reading.aims)
    words = _aim_words(aim, output, reading.log.mode) if aim else ""
    longest_s = max(one.duration_s for one in reading.rounds)
    span = 2 * reading.limit_percent / 100
    overlay = Overlay(lines, output, reading.log.mode, longest_s, aim, words, span)
    return draw_overlay(overlay, finding=_overlay_title(reading), desc=_overlay_words(reading), key=key, width=width)


def _means(values: Series) -> tuple[tuple[tuple[float, float], ...], ...]:
    most = max(1, len(values) // ROUND_MEAN_S)
    return tuple(tuple(((one.start_s + one.end_s) / 2, one.mean) for one in run) for run in thinned(values, most))


def _one_aim(aims: Sequence[float]) -> tuple[float, float] | None:
    return (min(aims), max(aims)) if aims else None


def _aim_words(aim: tuple[float, float], output: Output, mode: Mode) -> str:
    low, high = said(aim[0], output, mode), said(aim[1], output, mode)
    return f"aim {low}" if low == high else f"aim {low} to {high}"


def _overlay_title(reading: SessionReading) -> str:
    return f"The rounds over each other: {headline(reading.judged).lower()}"


def _overlay_words(reading: SessionReading) -> str:
    output, mode = reading.output, reading.log.mode
    rounds = [
        f"Round {one.number}: {', '.join(said(value, output, mode) for value in one.minutes)} by minute"
        for one in reading.rounds
        if one.minutes
    ]
    return ". ".join(rounds) + "." if rounds else "No minutes are known."


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


def clock_of(seconds: float) -> str:
    """Minutes and seconds from the first sample."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"


def _percent(value: float | None) -> str:
    if value is None:
        return ""
    whole = round(value)
    return f"{'+' if whole > 0 else MINUS if whole < 0 else '±'}{abs(whole)} %"


def whole(value: float | None) -> str:
    """A figure without parts; "" where it is not known."""
    return "" if value is None else f"{value:.0f}"
