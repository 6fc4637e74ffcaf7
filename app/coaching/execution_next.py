"""What to try next time: one figure, from how the session went and whether its target was wrong."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.easing import eased_by, row_words
from app.coaching.execution_values import Blame, CountsAs, NextTime, Verdict
from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.coaching.set_figures import SetFigures
from app.coaching.words import counted
from app.physiology.units import KILOMETRE_M

_ON_FOOT = frozenset({Mode.WALK, Mode.RUN, Mode.TREADMILL})
_KM_PER_H = 3.6
_WHY = {
    Verdict.EVEN: "even is what is wanted",
    Verdict.STARTED_HOT: "let the first half minute be almost silly-easy",
    Verdict.SAGGED: "hold the middle rounds",
    Verdict.FADED: "a little less, and it holds to the end",
    Verdict.BUILT: "begin where the middle rounds were",
    Verdict.UNEVEN: "one steady figure for all rounds",
    Verdict.CUT_SHORT: "all rounds matter more than how hard each is",
    Verdict.NOT_SEEN: "note what each round was",
}


@dataclass(frozen=True, slots=True)
class Went:
    """How the session went, in short."""

    verdict: Verdict
    counts_as: CountsAs
    blame: Blame
    had_to_bend: bool
    mode: Mode


def next_time(
    figures: SetFigures,
    went: Went,
    *,
    targets: Sequence[float] = (),
    rounds_asked: int | None = None,
) -> NextTime | None:
    """The figure to try: the target, or what was done without one, changed by what went wrong.

    A bad session comes down by what `easing` says, as the next step and the eased target do; spoilt, good and unknown
    sessions stay. None without rounds.
    Source: common practice, no published source.
    """
    change = _change(went)
    rounds = rounds_asked or len(figures.rounds)
    if not rounds:
        return None
    why = _why(went, is_recorded=figures.output is not None)
    base = sum(targets) / len(targets) if targets else _done(figures)
    if base is None or figures.output is None:
        return NextTime(_by_effort(rounds, change, why), rounds=rounds, change_percent=change)
    ends = sorted({one * (1 + change / 100) for one in (min(targets, default=base), max(targets, default=base))})
    said = _said(ends, figures.output, went.mode)
    figure = base * (1 + change / 100)
    if figures.output is Output.POWER:
        return NextTime(_by_figure(rounds, said, change, why), round(figure), None, rounds, change)
    return NextTime(_by_figure(rounds, said, change, why), None, figure, rounds, change)


def after_a_row(one: NextTime, in_a_row: int, work_s: int) -> NextTime:
    """What to try after so many bad sessions in a row, this one the last of them: rounds go back, or base.

    work_s: of a round as it was planned; the rounds asked for are in `one`.
    """
    said = row_words(in_a_row, one.rounds or 0, work_s)
    return NextTime(said, change_percent=0.0) if said else one


def _said(ends: Sequence[float], output: Output, mode: Mode) -> str:
    """The figure of every round, or the first and the last of a ladder, the gentlest first."""
    if output is Output.POWER:
        words = [f"{round(one)} W" for one in ends]
    else:
        words = [_speed_words(one, mode) for one in ends]
    if words[0] == words[-1]:
        return f"at {words[0]}"
    return f"from {words[0].partition(' ')[0]} to {words[-1]}"


def _why(went: Went, *, is_recorded: bool) -> str:
    if went.counts_as is CountsAs.NEITHER:
        return "it was spoilt and says nothing"
    if went.verdict is Verdict.NOT_SEEN and is_recorded:
        return "how even they were is not known"
    if went.counts_as is CountsAs.BAD and went.blame is Blame.NOT_HELD and went.had_to_bend:
        return "it was too fast, the last round ended bent or sitting"
    was_tired = went.counts_as is CountsAs.BAD and went.blame is Blame.NOTHING
    return "readiness was not usual" if was_tired else _WHY[went.verdict]


def _speed_words(speed_m_per_s: float, mode: Mode) -> str:
    if mode not in _ON_FOOT:
        return f"{_KM_PER_H * speed_m_per_s:.1f} km/h"
    pace_s = round(KILOMETRE_M / speed_m_per_s)
    return f"{pace_s // 60}:{pace_s % 60:02d} min/km"


def _change(went: Went) -> float:
    if went.counts_as is not CountsAs.BAD:
        return 0.0
    return -100 * eased_by(went.blame, had_to_bend=went.had_to_bend)


def _done(figures: SetFigures) -> float | None:
    known = [one.output for one in figures.rounds if one.output is not None and one.is_complete]
    return sum(known) / len(known) if known else None


def _by_figure(rounds: int, said: str, change: float, why: str) -> str:
    same = "the same" if not change else f"{change:+g} %"
    return f"{counted(rounds, 'round')} {said} ({same}): {why}."


def _by_effort(rounds: int, change: float, why: str) -> str:
    end = 6 if change else 7
    return f"{counted(rounds, 'round')}, beginning at effort 4 and ending at {end}: {why}."
