"""A recording over its time: the least and the most of every stretch, planned rounds hollow, done ones filled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.coaching.thinned_series import Stretch
from app.web.charts import marks
from app.web.charts.marks import Box
from app.web.charts.scale import WIDE, Scale, figure_scale, letters, minute_scale, room_of, unit_of

HEIGHT = 250.0
TOP, FOOT = 14.0, 32.0
RIGHT = 8.0
_ROOM = 0.06


@dataclass(frozen=True, slots=True)
class Step:
    """One round as a step: from, to, and how high; the height is None where nothing says it."""

    start_s: float
    end_s: float
    height: float | None


@dataclass(frozen=True, slots=True)
class Trace:
    """What is drawn: runs of the thinned channel, and the rounds planned and done."""

    runs: tuple[tuple[Stretch, ...], ...]
    planned: tuple[Step, ...]
    done: tuple[Step, ...]
    duration_s: float
    output: Output | None
    mode: Mode
    #: The unit where it is not the output's own, as for heart rate.
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class _Frame:
    across: Scale
    up: Scale
    foot: float
    size: float


def draw_trace(trace: Trace, *, finding: str, desc: str, key: str, width: float = WIDE) -> Markup:
    """The recording as SVG; `finding` is its title, `desc` says it in words."""
    frame = _frame(trace, width)
    opening = marks.open_svg(width=width, height=HEIGHT, key=key, css_class="chart", title=finding, desc=desc)
    drawn = "".join(
        (
            _ground(frame),
            axes(frame.across, frame.up, foot=frame.foot, size=frame.size),
            "".join(_filled(one, frame) for one in trace.done),
            "".join(_run(run, frame) for run in trace.runs),
            "".join(_hollow(one, frame) for one in trace.planned),
        )
    )
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{drawn}</svg>")  # noqa: S704


def _ground(frame: _Frame) -> str:
    """Where the drawing's time lies, for a script that lays something over it."""
    across = frame.across
    box = Box(across.start, TOP, across.end - across.start, frame.foot - TOP)
    return f'<rect {box.attributes()} fill="none" data-duration-s="{across.high:g}"/>'


def axes(across: Scale, up: Scale, *, foot: float, size: float) -> str:
    """Grid lines with their labels: figures at the left, minutes beneath."""
    left, right = across.start, across.end
    parts = [marks.line((left, foot), (right, foot), css_class="m-base")]
    for value, label in _apart(up, size):
        y = up.at(value)
        parts.append(marks.line((left, y), (right, y), css_class="m-grid"))
        parts.append(marks.word(label, x=left - 6, y=y + 0.35 * size, css_class="tick", anchor="end", size=size))
    return "".join((*parts, *_times(across, foot=foot, size=size)))


def _times(across: Scale, *, foot: float, size: float) -> list[str]:
    """Every tick of time, and the labels that do not lie on the one after; the last, which names the unit, always."""
    parts: list[str] = []
    free_until = across.end + RIGHT
    for place, (value, label) in enumerate(reversed(across.ticks)):
        x, room = across.at(value), room_of(label, size)
        parts.append(marks.line((x, foot), (x, foot + 4), css_class="m-base"))
        at_end = place == 0 and x + room / 2 > free_until
        if place == 0 or x + room / 2 <= free_until:
            anchor = "end" if at_end else "middle"
            parts.append(marks.word(label, x=x, y=foot + 6 + size, css_class="tick", anchor=anchor, size=size))
            free_until = x - (room if at_end else room / 2) - size / 2
    return parts


def _apart(up: Scale, size: float) -> list[tuple[float, str]]:
    """The ticks whose labels do not lie on each other; the highest, which names the unit, is always among them."""
    kept: list[tuple[float, str]] = []
    for value, label in reversed(up.ticks):
        if not kept or abs(up.at(value) - up.at(kept[-1][0])) >= size + 1:
            kept.append((value, label))
    return kept[::-1]


def path_of(points: Sequence[tuple[float, float]]) -> str:
    """Points as a path's description, to a tenth of a unit."""
    return "M" + "L".join(f"{marks.number(x)} {marks.number(y)}" for x, y in points)


def left_of(up_labels: Sequence[str], size: float) -> float:
    """Room for the labels at the left."""
    return 12 + max((room_of(label, size) for label in up_labels), default=4 * size)


def _frame(trace: Trace, width: float) -> _Frame:
    lows = [one.low for run in trace.runs for one in run]
    highs = [one.high for run in trace.runs for one in run]
    steps = [one.height for one in (*trace.planned, *trace.done) if one.height is not None]
    low, high = min([*lows, *steps], default=0.0), max([*highs, *steps], default=1.0)
    # Watts begin at nothing, and so does a round without a trace to compare its height with.
    if trace.output is Output.POWER or not trace.runs:
        low = 0.0 if trace.output is Output.POWER else low * 0.8
    room = _ROOM * (high - low or high or 1.0)
    foot = HEIGHT - FOOT
    unit = trace.unit or unit_of(trace.output, trace.mode)
    up = figure_scale(low, high + room, start=foot, end=TOP, output=trace.output, mode=trace.mode, unit=unit)
    size = letters(width)
    left = left_of([label for _value, label in up.ticks], size)
    return _Frame(minute_scale(trace.duration_s, start=left, end=width - RIGHT, size=size), up, foot, size)


def _filled(step: Step, frame: _Frame) -> str:
    box = _box(step, frame)
    return f'<rect class="m-done-step" {box.attributes()} fill="{marks.EASY}"/>'


def _hollow(step: Step, frame: _Frame) -> str:
    dashes = ' stroke-dasharray="4 3"' if step.height is None else ""
    box = _box(step, frame)
    return f'<rect class="m-plan" {box.attributes()} fill="none" stroke="{marks.INK}" stroke-width="1.2"{dashes}/>'


def _box(step: Step, frame: _Frame) -> Box:
    x, end = frame.across.at(step.start_s), frame.across.at(step.end_s)
    y = TOP if step.height is None else frame.up.at(step.height)
    return Box(x, y, max(1.0, end - x), max(1.0, frame.foot - y))


def _run(run: Sequence[Stretch], frame: _Frame) -> str:
    """The band between least and most, and the mean as a line through it."""
    across, up = frame.across, frame.up
    middle = [(across.at((one.start_s + one.end_s) / 2), one) for one in run]
    above = [(x, up.at(one.high)) for x, one in middle]
    below = [(x, up.at(one.low)) for x, one in reversed(middle)]
    line = path_of([(x, up.at(one.mean)) for x, one in middle])
    return (
        f'<path class="m-trace-band" d="{path_of([*above, *below])}Z" fill="{marks.BASE}" fill-opacity="0.35"/>'
        f'<path class="m-trace" d="{line}" fill="none" stroke="{marks.HARD}" stroke-width="1"/>'
    )
