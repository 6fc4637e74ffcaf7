"""How a planned week's minutes divide by effort: one hollow bar, textured where it is above easy."""

from __future__ import annotations

from markupsafe import Markup

from app.coaching.done_work import MinutesByBand
from app.coaching.effort import Band
from app.web.charts import marks
from app.web.charts.marks import Box

WIDTH = 102.0
HEIGHT = 9.0
EDGE = 1.0


def draw_split(minutes: MinutesByBand, *, said: str, key: str) -> Markup:
    """The bar as SVG; `said` is the same in words, `key` makes its ids unique on the page."""
    opening = marks.open_svg(width=WIDTH, height=HEIGHT, key=key, css_class="ribbon", title="By effort", desc=said)
    whole = Box(EDGE, EDGE, WIDTH - 2 * EDGE, HEIGHT - 2 * EDGE)
    per_minute = whole.width / minutes.total if minutes.total else 0.0
    parts, left = [], EDGE + minutes.easy * per_minute
    for band, amount in ((Band.MIDDLE, minutes.middle), (Band.HARD, minutes.hard), (None, minutes.unknown)):
        width = amount * per_minute
        if width > 0:
            parts.append(marks.done(Box(left, whole.y, width, whole.height), band, key))
        left += width
    # Every piece was built here from numbers and escaped words.
    return Markup(f"{opening}{marks.hatch(key)}{''.join(parts)}{marks.planned(whole)}</svg>")  # noqa: S704
