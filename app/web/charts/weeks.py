"""Eight weeks as bars: hollow for the planned hours, filled for the done ones, textured by effort."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from app.coaching.effort import Band
from app.coaching.words import minutes_words
from app.web.charts import marks
from app.web.charts.marks import Box

WIDTH = 336.0
HEIGHT = 150.0
LEFT = 30.0
RIGHT = 4.0
TOP = 16.0
BASELINE_Y = 116.0
BAR_FRACTION = 0.56
LABEL_Y = 129.0
NOTE_Y = 141.0
MINUTES_AN_HOUR = 60
# Whole hours a reader counts in; the first that gives at most four lines is taken.
STEPS_HOURS = (1, 2, 3, 5, 10, 20, 50)
MOST_LINES = 4


@dataclass(frozen=True, slots=True)
class WeekBar:
    """One week, Monday to Sunday: planned minutes and done minutes by effort; `note` is one or two words beneath."""

    monday: date
    planned_minutes: float
    easy_minutes: float
    middle_minutes: float
    hard_minutes: float
    unsaid_minutes: float = 0.0
    is_now: bool = False
    is_unknown: bool = False
    note: str = ""

    @property
    def done_minutes(self) -> float:
        """Everything that was done in the week."""
        return self.easy_minutes + self.middle_minutes + self.hard_minutes + self.unsaid_minutes

    def by_effort(self) -> tuple[tuple[Band | None, float], ...]:
        """Done minutes from the bottom of the bar upwards."""
        return (
            (Band.EASY, self.easy_minutes),
            (None, self.unsaid_minutes),
            (Band.MIDDLE, self.middle_minutes),
            (Band.HARD, self.hard_minutes),
        )


def draw_weeks(weeks: Sequence[WeekBar], *, finding: str, key: str) -> Markup:
    """Planned and done hours a week as SVG; `finding` is the chart's title, `key` makes its ids unique."""
    highest = max((max(week.planned_minutes, week.done_minutes) for week in weeks), default=0.0)
    step = _step_minutes(highest)
    top = max(step, -(-highest // step) * step)
    per_minute = (BASELINE_Y - TOP) / top
    slot = (WIDTH - LEFT - RIGHT) / max(1, len(weeks))
    opening = marks.open_svg(
        width=WIDTH, height=HEIGHT, key=key, css_class="chart", title=finding, desc=weekly_sentence(weeks)
    )
    drawn = "".join(
        _bar(week, left=LEFT + place * slot, slot=slot, per_minute=per_minute, key=key)
        for place, week in enumerate(weeks)
    )
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{marks.hatch(key)}{_grid(top, step, per_minute)}{drawn}</svg>")  # noqa: S704


def weekly_sentence(weeks: Sequence[WeekBar]) -> str:
    """The bars in words, oldest week first."""
    return " ".join(f"Week of {week.monday.day} {week.monday:%B}: {_said(week)}." for week in weeks)


def _said(week: WeekBar) -> str:
    planned = f"{minutes_words(week.planned_minutes)} planned" if week.planned_minutes > 0 else "nothing planned"
    done = "not known" if week.is_unknown else f"{minutes_words(week.done_minutes)} done"
    hard = f", {minutes_words(week.hard_minutes)} of it hard" if week.hard_minutes > 0 else ""
    note = f" ({week.note})" if week.note else ""
    return f"{planned}, {done}{hard}{note}"


def _step_minutes(highest: float) -> float:
    hours = highest / MINUTES_AN_HOUR
    return MINUTES_AN_HOUR * next((step for step in STEPS_HOURS if hours / step <= MOST_LINES), STEPS_HOURS[-1])


def _grid(top: float, step: float, per_minute: float) -> str:
    lines = []
    for count in range(round(top / step) + 1):
        minutes = count * step
        y = BASELINE_Y - minutes * per_minute
        css_class = "m-base" if count == 0 else "m-grid"
        lines.append(marks.line((LEFT, y), (WIDTH - RIGHT, y), css_class=css_class))
        unit = " h" if count == round(top / step) else ""
        label = f"{round(minutes / MINUTES_AN_HOUR)}{unit}"
        lines.append(marks.word(label, x=LEFT - 5, y=y + 3, css_class="axis-word", anchor="end"))
    return "".join(lines)


def _bar(week: WeekBar, *, left: float, slot: float, per_minute: float, key: str) -> str:
    width = slot * BAR_FRACTION
    start = left + (slot - width) / 2
    parts, foot_y = [], BASELINE_Y
    for band, minutes in week.by_effort():
        if minutes > 0:
            height = minutes * per_minute
            foot_y -= height
            parts.append(marks.done(Box(start, foot_y, width, height), band, key))
    if week.planned_minutes > 0:
        height = week.planned_minutes * per_minute
        outline = marks.unknown if week.is_unknown else marks.planned
        parts.append(outline(Box(start, BASELINE_Y - height, width, height)))
        foot_y = min(foot_y, BASELINE_Y - height)
    return "".join(parts) + _labels(week, x=start + width / 2, top_y=foot_y)


def _labels(week: WeekBar, *, x: float, top_y: float) -> str:
    css_class = "now-word" if week.is_now else "axis-word"
    parts = [marks.word(f"{week.monday.day} {week.monday:%b}", x=x, y=LABEL_Y, css_class=css_class)]
    note = week.note or ("now" if week.is_now else "")
    if note:
        parts.append(marks.word(note, x=x, y=NOTE_Y, css_class=css_class))
    if week.done_minutes > 0:
        parts.append(marks.word(_clock_hours(week.done_minutes), x=x, y=top_y - 4, css_class="value"))
    return "".join(parts)


def _clock_hours(minutes: float) -> str:
    hours, rest = divmod(round(minutes), MINUTES_AN_HOUR)
    return f"{hours}:{rest:02d}"
