"""The ribbon: one row a client, fourteen days back, today and seven ahead, drawn beside its words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from app.coaching.effort import Band
from app.coaching.ribbon import Ribbon, RibbonDay
from app.web.charts import marks
from app.web.charts.marks import Box

HEIGHT = 66.0
BASELINE_Y = 47.0
SLOT = 14.0
EDGE = 2.0
COLUMN = 9.0
# The day's column keeps this share of its width when an extra stands beside it.
SHARED_FRACTION = 0.58
TALLEST = 35.0
# Rows of different clients are read against each other, so they share a scale until somebody goes longer.
FULL_HEIGHT_MINUTES = 90.0
SHORTEST = 2.0
PEAK_GAP = 3.5
TIE_Y = 53.0
WORD_Y = 64.0


@dataclass(frozen=True, slots=True)
class _Frame:
    """Where the days stand and how tall a minute is."""

    key: str
    px_per_minute: float
    places: Mapping[date, float]

    def height(self, minutes: float) -> float:
        return max(SHORTEST, minutes * self.px_per_minute)


def draw_ribbon(ribbon: Ribbon, *, name: str, key: str) -> Markup:
    """The ribbon of one client as SVG; `key` makes its ids unique on the page."""
    frame = _frame(ribbon.days, key)
    opening = marks.open_svg(
        width=2 * EDGE + SLOT * len(ribbon.days),
        height=HEIGHT,
        key=key,
        css_class="ribbon",
        title=f"Training of {name}: planned and done, day by day",
        desc=ribbon.text,
    )
    drawn = "".join(_day(one, frame) for one in ribbon.days)
    ties = "".join(_tie(one.moved_from, one.day, frame) for one in ribbon.days if one.moved_from is not None)
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{marks.hatch(key)}{drawn}{ties}</svg>")  # noqa: S704


def _frame(days: Sequence[RibbonDay], key: str) -> _Frame:
    longest = max((max(one.planned_minutes, one.done_minutes) for one in days), default=0.0)
    return _Frame(
        key=key,
        px_per_minute=TALLEST / max(FULL_HEIGHT_MINUTES, longest),
        places={one.day: EDGE + SLOT * place for place, one in enumerate(days)},
    )


def _day(one: RibbonDay, frame: _Frame) -> str:
    left = frame.places[one.day]
    parts = [_today(left) if one.is_today else "", _monday(left) if one.day.weekday() == 0 else ""]
    parts.append(_baseline(one, left))
    if one.is_rest:
        parts.append(_rest(left))
    parts.append(_column(one, left, frame))
    if one.is_extra:
        parts.append(_extra(one, left, frame))
    return "".join(parts)


def _today(left: float) -> str:
    band = Box(left, 2, SLOT, BASELINE_Y - 2)
    return f'<rect class="m-today" {band.attributes()} fill="{marks.TODAY}"/>' + marks.word(
        "today", x=left + SLOT / 2, y=WORD_Y, css_class="today-word"
    )


def _monday(left: float) -> str:
    return marks.line((left, BASELINE_Y), (left, BASELINE_Y + 3), css_class="m-base")


def _baseline(one: RibbonDay, left: float) -> str:
    if one.is_unknown:
        return ""
    dashes = "2 3" if one.is_paused else None
    return marks.line((left, BASELINE_Y), (left + SLOT, BASELINE_Y), css_class="m-base", dashes=dashes)


def _rest(left: float) -> str:
    middle = left + SLOT / 2
    return marks.line((middle, BASELINE_Y - 4), (middle, BASELINE_Y), css_class="m-tick")


def _standing(left: float, width: float, height: float) -> Box:
    return Box(left, BASELINE_Y - height, width, height)


def _column(one: RibbonDay, left: float, frame: _Frame) -> str:
    width = COLUMN * (SHARED_FRACTION if one.is_extra else 1)
    start = left + (SLOT - COLUMN) / 2
    parts, top = [], 0.0
    as_planned = one.done_minutes - one.extra_minutes
    if as_planned > 0:
        top = frame.height(as_planned)
        parts.append(marks.done(_standing(start, width, top), one.done_band, frame.key))
    if one.planned_minutes > 0:
        height = frame.height(one.planned_minutes)
        outline = marks.unknown if one.is_unknown else marks.planned
        parts.append(outline(_standing(start, width, height)))
        top = max(top, height)
    is_done_hard = one.done_band is Band.HARD
    if is_done_hard or one.planned_band is Band.HARD:
        foot_y = BASELINE_Y - max(top, frame.height(one.extra_minutes)) - PEAK_GAP
        parts.append(marks.peak(x=start + COLUMN / 2, foot_y=foot_y, is_done=is_done_hard))
    return "".join(parts)


def _extra(one: RibbonDay, left: float, frame: _Frame) -> str:
    """The extra beside the planned one; its texture stays grey where the day's hardest effort may be the other's."""
    start = left + (SLOT - COLUMN) / 2 + COLUMN * SHARED_FRACTION + 1.2
    is_alone = one.done_minutes <= one.extra_minutes
    band = one.done_band if is_alone or one.done_band is Band.EASY else None
    height = frame.height(one.extra_minutes)
    return marks.done(_standing(start, COLUMN * SHARED_FRACTION, height), band, frame.key)


def _tie(origin: date, day: date, frame: _Frame) -> str:
    """The thin line below the baseline from where a session was to where it went; off the edge if not shown."""
    if origin in frame.places:
        start = frame.places[origin] + SLOT / 2
        path = f"M{marks.number(start)} {marks.number(BASELINE_Y + 1)}V{marks.number(TIE_Y)}"
    else:
        edge = 0.0 if origin < day else 2 * EDGE + SLOT * len(frame.places)
        path = f"M{marks.number(edge)} {marks.number(TIE_Y)}"
    path += f"H{marks.number(frame.places[day] + SLOT / 2)}V{marks.number(BASELINE_Y + 1)}"
    return f'<path class="m-tie" d="{path}" fill="none" stroke="{marks.INK}" stroke-width="0.8"/>'
