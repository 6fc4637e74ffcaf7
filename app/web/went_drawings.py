"""A session drawn: over its time, its rounds over each other, its heart rate, each wide and narrow."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
from markupsafe import Markup

from app.coaching.execution_values import VERDICT_WORDS, Execution, Verdict
from app.coaching.people import Mode
from app.coaching.recordings import Series
from app.coaching.round_figures import Output
from app.coaching.rounds_signal import round_series
from app.coaching.session_reading import SessionReading
from app.coaching.thinned_series import thinned
from app.coaching.words import counted
from app.physiology.values import Missing
from app.web.charts.overlay import Overlay, RoundLine, draw_overlay
from app.web.charts.scale import NARROW, WIDE, said
from app.web.charts.trace import Step, Trace, draw_trace

#: A line of so many points still shows what a reader can see.
MOST_STRETCHES = 480
#: Rounds over each other are drawn from means of so many seconds.
ROUND_MEAN_S = 15
MINUS = "−"
HEADLINES = {Verdict.NOT_SEEN: "How even is not known"}


@dataclass(frozen=True, slots=True)
class Drawn:
    """One drawing in both widths; both are empty where there is nothing to draw."""

    wide: Markup
    narrow: Markup

    def __bool__(self) -> bool:
        """Whether there is anything to see."""
        return bool(self.wide)


NOTHING = Drawn(Markup(""), Markup(""))


def in_both(draw: Callable[[str, float], Markup], key: str) -> Drawn:
    """A drawing for a desk and for a phone; `draw` takes the key of its identities and its width."""
    return Drawn(draw(key, WIDE), draw(f"{key}-narrow", NARROW))


def headline(judged: Execution | None) -> str:
    """The verdict as a heading."""
    if judged is None:
        return "No rounds to judge"
    words = HEADLINES.get(judged.verdict, VERDICT_WORDS[judged.verdict])
    return words[0].upper() + words[1:]


def series_of(reading: SessionReading) -> tuple[Series, Output | None] | None:
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
    drawn = series_of(reading)
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


def heart_of(reading: SessionReading, key: str, width: float) -> Markup:
    """Heart rate over the same time, only where it counts."""
    recording = reading.recording
    if recording is None or recording.heart_rate_bpm is None or not reading.heart_rate_counts:
        return Markup("")
    runs = thinned(recording.heart_rate_bpm, MOST_STRETCHES if width >= WIDE else MOST_STRETCHES // 2)
    if not runs:
        return Markup("")
    ends = [one.heart_rate_end_bpm for one in reading.rounds if one.heart_rate_end_bpm is not None]
    at_ends = f" At the ends of the rounds: {', '.join(f'{one:.0f}' for one in ends)}." if ends else ""
    trace = Trace(runs, (), (), recording.duration_s, None, reading.log.mode, unit="bpm")
    return draw_trace(
        trace, finding="Heart rate over the same time", desc=f"Beats a minute.{at_ends}", key=key, width=width
    )


def overlay_of(reading: SessionReading, key: str, width: float) -> Markup:
    """The rounds over each other; nothing without a recording that says what they put out."""
    drawn = series_of(reading)
    if drawn is None or not reading.rounds:
        return Markup("")
    values, output = drawn
    if output is None:
        return Markup("")
    lines = tuple(
        RoundLine(f"round {one.number}", means_of(values[round(one.start_s) : round(one.end_s)]))
        for one in reading.rounds
    )
    aim = reading.aim_range or _one_aim(reading.aims)
    words = _aim_words(aim, output, reading.log.mode) if aim else ""
    longest_s = max(one.duration_s for one in reading.rounds)
    span = 2 * reading.limit_percent / 100
    overlay = Overlay(lines, output, reading.log.mode, longest_s, aim, words, span)
    return draw_overlay(overlay, finding=_overlay_title(reading), desc=_overlay_words(reading), key=key, width=width)


def means_of(values: Series) -> tuple[tuple[tuple[float, float], ...], ...]:
    """A channel as means of some seconds, in runs broken where nothing is known."""
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


def clock_of(seconds: float) -> str:
    """Minutes and seconds from the first sample."""
    whole = round(seconds)
    return f"{whole // 60}:{whole % 60:02d}"
