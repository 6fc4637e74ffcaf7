"""The marks plan and done are drawn with everywhere: hollow for planned, filled for done, texture for effort."""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

from app.coaching.effort import Band

# Light-scheme colours for paper and exports; in a page the class decides, so that the dark scheme can answer.
INK = "#1f251f"
EASY = "#bccfba"
MIDDLE_GROUND = "#e2eadd"
MIDDLE = "#39664a"
HARD = "#234536"
UNSAID = "#dedbd0"
BASE = "#8a8777"
TODAY = "#e7eae0"
SOFT = "#565e53"
GRID = "#dad5c6"
LINE_COLOURS = {"m-base": BASE, "m-tick": INK, "m-grid": GRID}

PEAK_HEIGHT_PX = 4.5
PEAK_HALF_WIDTH_PX = 3.2


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in the drawing's own units."""

    x: float
    y: float
    width: float
    height: float

    def attributes(self) -> str:
        """The rectangle as SVG attributes, to a tenth of a unit."""
        return (
            f'x="{number(self.x)}" y="{number(self.y)}" width="{number(self.width)}" height="{number(self.height)}"'
        )


def number(value: float) -> str:
    """A coordinate to a tenth of a unit, without a trailing zero."""
    return f"{value:.1f}".removesuffix(".0")


def open_svg(*, width: float, height: float, key: str, css_class: str, title: str, desc: str) -> str:
    """The opening of a drawing that is one picture with a title and a text equivalent."""
    safe = escape(key, quote=True)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" class="{css_class}" viewBox="0 0 {number(width)} {number(height)}" '
        f'width="{number(width)}" height="{number(height)}" role="img" '
        f'aria-labelledby="{safe}-title" aria-describedby="{safe}-desc">'
        f'<title id="{safe}-title">{escape(title)}</title><desc id="{safe}-desc">{escape(desc)}</desc>'
    )


def hatch(key: str) -> str:
    """The definition of the middle effort's texture under an id of this drawing's own."""
    safe = escape(key, quote=True)
    return (
        f'<defs><pattern id="{safe}-hatch" width="4" height="4" patternUnits="userSpaceOnUse" '
        f'patternTransform="rotate(45)"><rect class="m-middle-ground" width="4" height="4" fill="{MIDDLE_GROUND}"/>'
        f'<line class="m-middle-line" x1="1" y1="0" x2="1" y2="4" stroke="{MIDDLE}" stroke-width="1.7"/>'
        "</pattern></defs>"
    )


def planned(box: Box) -> str:
    """Hollow: what was planned."""
    return f'<rect class="m-plan" {box.attributes()} fill="none" stroke="{INK}" stroke-width="1"/>'


def line(start: tuple[float, float], end: tuple[float, float], *, css_class: str, dashes: str | None = None) -> str:
    """A thin straight line in the colour of its class."""
    (x1, y1), (x2, y2) = start, end
    more = "" if dashes is None else f' stroke-dasharray="{dashes}"'
    return (
        f'<line class="{css_class}" x1="{number(x1)}" y1="{number(y1)}" x2="{number(x2)}" y2="{number(y2)}" '
        f'stroke="{LINE_COLOURS[css_class]}" stroke-width="1"{more}/>'
    )


def unknown(box: Box) -> str:
    """Dotted: planned, and nobody has said what became of it."""
    dashes = 'stroke-dasharray="1.5 2"'
    return f'<rect class="m-plan" {box.attributes()} fill="none" stroke="{INK}" stroke-width="1" {dashes}/>'


def done(box: Box, band: Band | None, key: str) -> str:
    """Filled: what was done, in the texture of its effort; flat grey when the effort was not said."""
    if band is Band.MIDDLE:
        return f'<rect {box.attributes()} fill="url(#{escape(key, quote=True)}-hatch)"/>'
    css_class, colour = {
        Band.EASY: ("m-easy", EASY),
        Band.HARD: ("m-hard", HARD),
        None: ("m-unsaid", UNSAID),
    }[band]
    return f'<rect class="{css_class}" {box.attributes()} fill="{colour}"/>'


def peak(*, x: float, foot_y: float, is_done: bool) -> str:
    """The small peak over a hard session: filled when it was done, an open roof while it is planned."""
    css_class, fill, shape = ("m-peak-done", INK, "polygon") if is_done else ("m-peak-plan", "none", "polyline")
    points = (
        f"{number(x - PEAK_HALF_WIDTH_PX)},{number(foot_y)} {number(x)},{number(foot_y - PEAK_HEIGHT_PX)} "
        f"{number(x + PEAK_HALF_WIDTH_PX)},{number(foot_y)}"
    )
    return f'<{shape} class="{css_class}" points="{points}" fill="{fill}" stroke="{INK}" stroke-width="1"/>'


def word(text: str, *, x: float, y: float, css_class: str, anchor: str = "middle", size: float = 10) -> str:
    """A short text at a point."""
    return (
        f'<text class="{css_class}" x="{number(x)}" y="{number(y)}" font-size="{number(size)}" '
        f'text-anchor="{anchor}" fill="{SOFT}">{escape(text)}</text>'
    )
