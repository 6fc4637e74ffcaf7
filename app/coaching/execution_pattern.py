"""The pattern of a set of rounds, from its outputs alone: even, started hot, sagged, faded, built, or none."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import mean, median

from app.coaching.execution_values import VERDICT_WORDS, Verdict
from app.coaching.reasons import Figure
from app.coaching.round_figures import Output, RoundFigures
from app.coaching.rounds_values import SHORT_BY_SPEED_S
from app.coaching.set_figures import SetFigures
from app.physiology.values import Missing

#: The first 30 s this far above the rest of a round were started too fast (house choice).
HOT_START_PERCENT = 10.0
#: A third minute this far below the first two is a sag worth a word; back means by half of it (house choices).
SAG_PERCENT = 5.0
_TOO_SHORT = f"rounds under {SHORT_BY_SPEED_S} s are too short for satellites to say how even they were"


@dataclass(frozen=True, slots=True)
class Pattern:
    """What the outputs show, in words and figures."""

    verdict: Verdict
    words: str
    reasons: tuple[Figure, ...]


def pattern_of(figures: SetFigures, limit_percent: float) -> Pattern:
    """The pattern of the complete rounds.

    Even: best to worst within the limit and no fade. Faded: the last below the first by more than half the limit.
    Started hot: the first 30 s well above the rest of their round in at least half of the rounds, or the first round
    alone above the others. Sagged and came back: a middle round below both ends. Built: the last above the first.
    Source: common practice, no published source.
    """
    ratios = figures.ratios
    if ratios is None or isinstance(figures.best_to_worst_percent, Missing):
        gap = figures.variation_percent
        words = gap.reason if isinstance(gap, Missing) else "one round has nothing to differ from"
        return Pattern(Verdict.NOT_SEEN, words, ())
    apart = figures.best_to_worst_percent
    half = limit_percent / 200
    hot = _hot_starts(figures.rounds)
    if hot * 2 >= len(ratios) and hot:
        verdict = Verdict.STARTED_HOT
    elif ratios[-1] < ratios[0] * (1 - half):
        verdict = Verdict.STARTED_HOT if _is_first_alone_high(ratios, limit_percent) else Verdict.FADED
    elif apart <= limit_percent:
        verdict = Verdict.EVEN
    elif _has_sagged(ratios, half):
        verdict = Verdict.SAGGED
    else:
        verdict = Verdict.BUILT if ratios[-1] > ratios[0] * (1 + half) else Verdict.UNEVEN
    return Pattern(verdict, _words(verdict, figures, limit_percent, hot), _reasons(figures, limit_percent, hot))


def pattern_by_satellite(figures: SetFigures, limit_percent: float) -> Pattern:
    """The same where satellites gave the speed: over rounds this short their own noise is larger than the limit.

    Noise of 0.3 m/s correlated over 5 s leaves 0.17 m/s in the mean of 30 s: at 4 m/s twenty such rounds of one
    speed differ by some 16 % from best to worst.
    """
    lengths = [one.duration_s for one in figures.rounds if one.is_complete]
    is_by_speed = figures.output in (Output.SPEED, Output.SPEED_ON_THE_FLAT)
    if is_by_speed and lengths and median(lengths) < SHORT_BY_SPEED_S:
        return Pattern(Verdict.NOT_SEEN, _TOO_SHORT, ())
    return pattern_of(figures, limit_percent)


def _hot_starts(rounds: Sequence[RoundFigures]) -> int:
    return sum(1 for one in rounds if one.first_30_percent is not None and one.first_30_percent > HOT_START_PERCENT)


def _is_first_alone_high(ratios: Sequence[float], limit_percent: float) -> bool:
    """The first above the others, which are even among themselves and fade no further."""
    others = ratios[1:]
    if len(others) < 2:
        return False
    even = 100 * (max(others) - min(others)) / max(others) <= limit_percent / 2
    return even and ratios[0] > mean(others) * (1 + limit_percent / 200)


def _has_sagged(ratios: Sequence[float], half: float) -> bool:
    if len(ratios) < 3:
        return False
    lowest = min(ratios[1:-1])
    return lowest < ratios[0] * (1 - half) and ratios[-1] > lowest * (1 + half) and min(ratios) == lowest


def _words(verdict: Verdict, figures: SetFigures, limit: float, hot: int) -> str:
    """The verdict with its figures; the one that decided stands first, with its limit."""
    apart, fade = figures.best_to_worst_percent, figures.fade_percent
    is_faded = verdict is Verdict.FADED
    most = "" if is_faded else f" (even up to {limit:g} %)"
    spread = "" if isinstance(apart, Missing) else f"best to worst {apart:.1f} %{most}"
    from_ = f" (more than {limit / 2:g} % is a fade)" if is_faded else ""
    ends = (
        ""
        if isinstance(fade, Missing)
        else f"the last {abs(fade):.1f} % {'below' if fade < 0 else 'above'} the first{from_}"
    )
    starts = f"the first 30 s well above the rest in {hot} of {len(figures.rounds)}" if hot else ""
    parts = (ends, spread, starts) if is_faded else (spread, ends, starts)
    return f"{VERDICT_WORDS[verdict]}: " + ", ".join(part for part in parts if part)


def _reasons(figures: SetFigures, limit: float, hot: int) -> tuple[Figure, ...]:
    found = [
        _share("best to worst round", figures.best_to_worst_percent, f"even up to {limit:g} %"),
        _percent("last round against the first", figures.fade_percent, f"a fade from {limit / 2:g} % down"),
        _share("spread between rounds", figures.variation_percent, "under 1.7 % is noise in trained cyclists"),
        _slope(figures),
        _percent("mean against the target", figures.against_target_percent, ""),
        Figure("rounds begun too fast", f"{hot} of {len(figures.rounds)}, more than {HOT_START_PERCENT:g} % above"),
        _third_minute(figures.rounds),
    ]
    return tuple(one for one in found if one is not None)


def _percent(name: str, value: float | Missing, beside: str) -> Figure | None:
    if isinstance(value, Missing):
        return None
    return Figure(name, f"{value:+z.1f} %{f' ({beside})' if beside else ''}")


def _share(name: str, value: float | Missing, beside: str) -> Figure | None:
    return None if isinstance(value, Missing) else Figure(name, f"{value:.1f} % ({beside})")


def _slope(figures: SetFigures) -> Figure | None:
    if isinstance(figures.slope_percent, Missing):
        return None
    error = figures.slope_error_percent
    behind = "" if error is None else f" ± {error:.1f} %"
    return Figure("each round against the one before", f"{figures.slope_percent:+z.1f} %{behind}")


def _third_minute(rounds: Sequence[RoundFigures]) -> Figure | None:
    """The dip about the third minute, which is usual, and whether the fourth minute brought it back."""
    dips = [one.third_minute_percent for one in rounds if one.third_minute_percent is not None]
    if not dips:
        return None
    back = [one.fourth_minute_percent for one in rounds if one.fourth_minute_percent is not None]
    came = "" if not back else f", then {median(back):+z.1f} % in the fourth"
    usual = "; a dip that comes back is usual" if median(dips) > -SAG_PERCENT else "; more than the usual dip"
    return Figure("third minute", f"{median(dips):+z.1f} % against the first two{came}{usual}")
