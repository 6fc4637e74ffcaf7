"""Two sets of the same rounds on one axis of minutes: this one filled and thick, the earlier one hollow and thin."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.web.charts import marks
from app.web.charts.marks import Box
from app.web.charts.scale import WIDE, Scale, figure_scale, letters, minute_scale, room_of, unit_of
from app.web.charts.trace import RIGHT, Step, axes, left_of, path_of

HEIGHT = 270.0
TOP, FOOT = 30.0, 32.0
_ROOM = 0.06
_NOW = 'class="m-round" stroke-width="1.8"'
_BEFORE = 'class="m-round" stroke-width="1" stroke-dasharray="3 2"'

Points = tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class OneSet:
    """One set from the beginning of its first round: its rounds as steps, its trace in runs."""

    name: str
    rounds: tuple[Step, ...]
    runs: tuple[Points, ...]


@dataclass(frozen=True, slots=True)
class TwoSets:
    """What is drawn; seconds count from the beginning of each first round."""

    now: OneSet
    before: OneSet
    output: Output
    mode: Mode


def draw_two_sets(two: TwoSets, *, finding: str, desc: str, key: str, width: float = WIDE) -> Markup:
    """Both sets as SVG; `finding` is its title, `desc` says it in words."""
    foot = HEIGHT - FOOT
    up = _up(two, foot)
    longest_s = max(step.end_s for one in (two.now, two.before) for step in one.rounds)
    size = letters(width)
    left = left_of([label for _at, label in up.ticks], size)
    across = minute_scale(longest_s, start=left, end=width - RIGHT, size=size)
    opening = marks.open_svg(width=width, height=HEIGHT, key=key, css_class="chart", title=finding, desc=desc)
    drawn = "".join(
        (
            "".join(_filled(step, across, up) for step in two.now.rounds),
            axes(across, up, foot=foot, size=size),
            _runs(two.before.runs, across, up, _BEFORE),
            _runs(two.now.runs, across, up, _NOW),
            "".join(_hollow(step, across, up) for step in two.before.rounds),
            _names(two, 0.0 if width < WIDE else across.start, size),
        )
    )
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{drawn}</svg>")  # noqa: S704


def _up(two: TwoSets, foot: float) -> Scale:
    sets = (two.now, two.before)
    values = [value for one in sets for run in one.runs for _second, value in run]
    values += [step.height for one in sets for step in one.rounds if step.height is not None]
    low = 0.0 if two.output is Output.POWER else min(values) * (1.0 if any(one.runs for one in sets) else 0.8)
    high = max(values) + _ROOM * (max(values) - low or max(values))
    unit = unit_of(two.output, two.mode)
    return figure_scale(low, high, start=foot, end=TOP, output=two.output, mode=two.mode, unit=unit)


def _box(step: Step, across: Scale, up: Scale) -> Box:
    x, end = across.at(step.start_s), across.at(step.end_s)
    y = up.end if step.height is None else up.at(step.height)
    return Box(x, y, max(1.0, end - x), max(1.0, up.start - y))


def _filled(step: Step, across: Scale, up: Scale) -> str:
    return f'<rect class="m-done-step" {_box(step, across, up).attributes()} fill="{marks.EASY}"/>'


def _hollow(step: Step, across: Scale, up: Scale) -> str:
    box = _box(step, across, up).attributes()
    return f'<rect class="m-plan" {box} fill="none" stroke="{marks.INK}" stroke-width="1"/>'


def _runs(runs: Sequence[Points], across: Scale, up: Scale, look: str) -> str:
    return "".join(
        f'<path {look} d="{path_of([(across.at(second), up.at(value)) for second, value in run])}" '
        f'fill="none" stroke="{marks.HARD}" stroke-linejoin="round"/>'
        for run in runs
    )


def _names(two: TwoSets, left: float, size: float) -> str:
    """Both named over the drawing, each beside its own mark."""
    y, mark = TOP - 14, 10.0
    second = left + 34 + room_of(two.now.name, size)
    filled = Box(left + 1, y - 9, 12, mark).attributes()
    hollow = Box(second, y - 9, 12, mark).attributes()
    words = [
        marks.word(name, x=x + 17, y=y, css_class="round-word", anchor="start", size=size)
        for name, x in ((two.now.name, left), (two.before.name, second))
    ]
    return (
        f'<rect class="m-done-step" {filled} fill="{marks.EASY}"/>'
        f'<rect class="m-plan" {hollow} fill="none" stroke="{marks.INK}" stroke-width="1"/>{"".join(words)}'
    )
