"""The rounds of a session laid over each other on one axis of minutes, the last the darkest, each named."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.web.charts import marks
from app.web.charts.marks import Box
from app.web.charts.scale import WIDE, Scale, figure_scale, letters, minute_scale, room_of, unit_of
from app.web.charts.trace import axes, left_of, path_of

HEIGHT = 300.0
TOP, FOOT = 14.0, 32.0
_BESIDE = 6.0
#: Between the line of words above the drawing and the drawing.
_UNDER_WORDS = 8.0
_NAME_GAP = 3.0
_LIGHTEST, _DARKEST = 0.4, 1.0
_THINNEST, _THICKEST = 1.2, 2.8


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One round: points of seconds from its start and what it put out, in runs broken where nothing is known."""

    name: str
    runs: tuple[tuple[tuple[float, float], ...], ...]


@dataclass(frozen=True, slots=True)
class Overlay:
    """What is drawn; `aim` is the range of the target in the output's unit, a line where both ends are one."""

    lines: tuple[RoundLine, ...]
    output: Output
    mode: Mode
    #: The longest round.
    duration_s: float
    aim: tuple[float, float] | None
    aim_words: str = ""
    #: The axis spans at least this share of its middle, so that what counts as even looks even.
    least_span: float = 0.16


def draw_overlay(overlay: Overlay, *, finding: str, desc: str, key: str, width: float = WIDE) -> Markup:
    """The rounds over each other as SVG; nothing where no round has a point."""
    points = [point for line in overlay.lines for run in line.runs for point in run]
    if not points:
        return Markup("")
    figures = [value for _second, value in points] + list(overlay.aim or ())
    low, high = _span(figures, overlay.least_span)
    foot = HEIGHT - FOOT
    up = figure_scale(
        low,
        high,
        start=foot,
        end=_top(overlay, letters(width)),
        output=overlay.output,
        mode=overlay.mode,
        unit=unit_of(overlay.output, overlay.mode),
    )
    size = letters(width)
    names = 2 * _BESIDE + max(room_of(line.name, size) for line in overlay.lines)
    left = left_of([label for _value, label in up.ticks], size)
    across = minute_scale(overlay.duration_s, start=left, end=width - names, size=size)
    opening = marks.open_svg(width=width, height=HEIGHT, key=key, css_class="chart", title=finding, desc=desc)
    drawn = (
        _aim(overlay, across, up, size)
        + axes(across, up, foot=foot, size=size)
        + _lines(overlay.lines, across, up, size)
    )
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{drawn}</svg>")  # noqa: S704


def _span(figures: Sequence[float], least: float) -> tuple[float, float]:
    """The ends of the axis: all figures with some room, and never so near that noise looks like a pattern."""
    middle = (max(figures) + min(figures)) / 2
    half = max(0.54 * (max(figures) - min(figures)), least / 2 * middle)
    return middle - half, middle + half


def _aim(overlay: Overlay, across: Scale, up: Scale, size: float) -> str:
    if overlay.aim is None:
        return ""
    top, bottom = sorted(up.at(one) for one in overlay.aim)
    box = Box(across.start, top, across.end - across.start, max(2.0, bottom - top))
    sign = Box(across.start, TOP - _BESIDE + 0.2 * size, size, 0.8 * size)
    words = marks.word(
        overlay.aim_words,
        x=across.start + size + _BESIDE,
        y=TOP - _BESIDE + 0.9 * size,
        css_class="aim-word",
        anchor="start",
        size=size,
    )
    drawn = "".join(f'<rect class="m-today" {one.attributes()} fill="{marks.TODAY}"/>' for one in (box, sign))
    return f"{drawn}{words}"


def _top(overlay: Overlay, size: float) -> float:
    """Where the drawing begins; what is aimed at is said in a line of its own above it, where no round can run."""
    return TOP + size + _UNDER_WORDS if overlay.aim else TOP


def _lines(lines: Sequence[RoundLine], across: Scale, up: Scale, size: float) -> str:
    drawn, ends = [], []
    for place, line in enumerate(lines):
        share = (place + 1) / len(lines)
        opacity = _LIGHTEST + share * (_DARKEST - _LIGHTEST)
        thick = _THINNEST + share * (_THICKEST - _THINNEST)
        for run in line.runs:
            path = path_of([(across.at(second), up.at(value)) for second, value in run])
            drawn.append(
                f'<path class="m-round" d="{path}" fill="none" stroke="{marks.HARD}" stroke-width="{thick:.1f}" '
                f'stroke-opacity="{opacity:.2f}" stroke-linejoin="round"/>'
            )
        if line.runs:
            ends.append((up.at(line.runs[-1][-1][1]), line.name))
    names = "".join(
        marks.word(name, x=across.end + _BESIDE, y=y + 0.35 * size, css_class="round-word", anchor="start", size=size)
        for y, name in _apart(ends, size + _NAME_GAP)
    )
    return "".join(drawn) + names


def _apart(ends: Sequence[tuple[float, str]], gap: float) -> list[tuple[float, str]]:
    """Names moved down, then up, until none lies on another."""
    placed = sorted(ends)
    ys = [y for y, _name in placed]
    for place in range(1, len(ys)):
        ys[place] = max(ys[place], ys[place - 1] + gap)
    lowest = HEIGHT - FOOT
    for place in range(len(ys) - 1, -1, -1):
        ys[place] = min(ys[place], lowest)
        lowest = ys[place] - gap
    return [(y, name) for y, (_end, name) in zip(ys, placed, strict=True)]
