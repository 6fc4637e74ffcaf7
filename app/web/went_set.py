"""A whole set in words and drawings: its figures, what was left of W' or D', and itself over an earlier one."""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial

from markupsafe import Markup

from app.coaching.capacity_left import CapacityLeft
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.round_figures import RoundFigures
from app.coaching.session_reading import SessionReading
from app.coaching.set_figures import SetFigures
from app.physiology.values import Missing
from app.web.charts.reserve import LeftAt, Reserve, draw_reserve
from app.web.charts.scale import said
from app.web.charts.trace import Step
from app.web.charts.two_sets import OneSet, TwoSets, draw_two_sets
from app.web.went_drawings import MINUS, NOTHING, Drawn, in_both, means_of, series_of

#: The line of what was left is drawn from so many points; the ends of the rounds are always among them.
_MOST_POINTS = 360


@dataclass(frozen=True, slots=True)
class SetView:
    """The figures of a set, and why they are what they are."""

    rows: tuple[tuple[str, str], ...]
    why: Why | None


@dataclass(frozen=True, slots=True)
class LeftView:
    """What was left under the set: a sentence, the drawing, and its Why; `gap` says why there is none."""

    sentence: str
    drawn: Drawn
    why: Why | None
    gap: str


def set_view(reading: SessionReading) -> SetView:
    """The set as a short table; a figure that is not known is left out."""
    figures = reading.figures
    if figures is None or len(reading.rounds) < 2:
        return SetView((), None)
    rows = [
        ("best to worst round", _share(figures.best_to_worst_percent)),
        ("last against first", _share(figures.fade_percent)),
        ("slope from round to round", _slope(figures)),
        ("spread of the rounds", _share(figures.variation_percent)),
        ("mean against the target", _share(figures.against_target_percent)),
        ("work done", _work(figures)),
        ("technique, last round against the second", _share(figures.technique_percent)),
    ]
    known = tuple((name, text) for name, text in rows if text)
    return SetView(known, _set_why(reading) if known else None)


def _slope(figures: SetFigures) -> str:
    slope, error = figures.slope_percent, figures.slope_error_percent
    if isinstance(slope, Missing):
        return ""
    unsure = (
        "its error is not known with two rounds"
        if error is None
        else f"± {error:.1f}"
        if error >= 0.05
        else "± under 0.1"
    )
    return f"{_signed(slope)} %, {unsure}"


def _work(figures: SetFigures) -> str:
    parts = []
    if not isinstance(figures.work_j, Missing):
        parts.append(f"{figures.work_j / 1000:.0f} kJ")
    if not isinstance(figures.work_fraction, Missing):
        parts.append(f"{100 * figures.work_fraction:.0f} % of what was asked")
    return ", ".join(parts)


def _share(value: float | Missing) -> str:
    return "" if isinstance(value, Missing) else f"{_signed(value)} %"


def _signed(value: float) -> str:
    return f"{value:.1f}".replace("-", MINUS)


def _set_why(reading: SessionReading) -> Why:
    output, mode = reading.output, reading.log.mode
    each = tuple(
        Figure(f"round {one.number}", said(one.output, output, mode) if one.output else "not known")
        for one in reading.rounds
    )
    against = "its own target" if reading.aims else "the mean of the set"
    rule = (
        f"Each complete round is taken against {against}. The slope is that of the straight line through the rounds "
        "in order by least squares, % of their mean for each round; ± is its standard error from how far the "
        "rounds lie off the line, so it is wide with three. Work is mean power times time; what was asked is target "
        "times planned time."
    )
    return Why(
        each,
        rule,
        Provenance.HOUSE,
        None,
        "Other edges of the rounds, or another target.",
        ("variation_percent", "fade_percent"),
    )


def left_view(reading: SessionReading, left: CapacityLeft | Missing | None, *, key: str) -> LeftView:
    """What was left under the set; only the reason where nothing says it."""
    if isinstance(left, Missing):
        return LeftView("", NOTHING, None, f"What was left of W' or D' under the set is not shown: {left.reason}.")
    if left is None or not left.after_rounds:
        return LeftView("", NOTHING, None, "")
    sentence = _left_sentence(left)
    return LeftView(sentence, in_both(partial(_draw_left, reading, left), key), left.why, "")


def _left_sentence(left: CapacityLeft) -> str:
    last, off = left.after_rounds[-1], left.errors_after[-1]
    amount = left.amount_words(last).replace("-", MINUS)
    fit = "" if off is None else f", ± {100 * off:.0f} by the fit alone"
    careful = left.careful_least
    other = "" if careful is None else f" A form that refills more slowly says {_whole(careful)} % at the least."
    beyond = " Below nothing the measured figure is too low for what was done." if left.least_fraction < 0 else ""
    return f"After the last round about {amount} of {left.name} were left ({_whole(last)} %{fit}).{other}{beyond}"


def _whole(fraction: float) -> str:
    return f"{100 * fraction:.0f}".replace("-", MINUS)


def _draw_left(reading: SessionReading, left: CapacityLeft, key: str, width: float) -> Markup:
    count, rounds = len(left.left_fraction), reading.rounds
    ends = tuple(
        LeftAt(one.end_s, 100 * share, None if off is None else 100 * off)
        for one, share, off in zip(rounds, left.after_rounds, left.errors_after, strict=True)
    )
    seconds = sorted(
        {*range(0, count, max(1, count // _MOST_POINTS)), *(_second(one.end_s, count) for one in rounds)}
    )
    errors = left.error_fraction
    line = tuple(
        LeftAt(
            second + 1.0,
            100 * float(left.left_fraction[second]),
            None if errors is None else 100 * float(errors[second]),
        )
        for second in seconds
    )
    spans = tuple((one.start_s, one.end_s) for one in rounds)
    reserve = Reserve(line, spans, ends, float(count), left.name)
    each = "; ".join(
        f"after round {one.number} {_whole(end.percent / 100)} %" for one, end in zip(rounds, ends, strict=True)
    )
    return draw_reserve(
        reserve,
        finding=f"What was left of {left.name} under the set, at least {_whole(left.least_fraction)} %",
        desc=f"{each[0].upper()}{each[1:]}. The band is one standard error of the fit.",
        key=key,
        width=width,
    )


def _second(end_s: float, count: int) -> int:
    return min(count - 1, max(0, round(end_s) - 1))


def two_sets(now: SessionReading, before: SessionReading, *, name: str, key: str) -> Drawn:
    """Both sets from the beginning of their first rounds; nothing where they cannot be compared."""
    if now.output is None or now.output is not before.output or not (now.rounds and before.rounds):
        return NOTHING
    if not all(any(one.output for one in each.rounds) for each in (now, before)):
        return NOTHING
    return in_both(partial(_draw_two, now, before, name), key)


def _draw_two(now: SessionReading, before: SessionReading, name: str, key: str, width: float) -> Markup:
    output = now.output
    if output is None:
        return Markup("")
    two = TwoSets(_one_set(now, "this session"), _one_set(before, name), output, now.log.mode)
    words = [
        f"Round {one.number}: {_said(one, now)} now, {_said(other, before)} then"
        for one, other in zip(now.rounds, before.rounds, strict=False)
    ]
    return draw_two_sets(
        two, finding=f"This set over that of {name}", desc=f"{'; '.join(words)}.", key=key, width=width
    )


def _one_set(reading: SessionReading, name: str) -> OneSet:
    """A set with its clock beginning at its first round."""
    start_s, end_s = reading.rounds[0].start_s, max(one.end_s for one in reading.rounds)
    steps = tuple(Step(one.start_s - start_s, one.end_s - start_s, one.output) for one in reading.rounds)
    drawn = series_of(reading)
    if drawn is None or drawn[1] is not reading.output:
        return OneSet(name, steps, ())
    return OneSet(name, steps, means_of(drawn[0][round(start_s) : round(end_s)]))


def _said(one: RoundFigures, reading: SessionReading) -> str:
    return said(one.output, reading.output, reading.log.mode) if one.output else "not known"
