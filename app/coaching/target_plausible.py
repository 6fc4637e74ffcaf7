"""Whether a figure can be at all, and whether a target lies far above what the client has done.

Source: common practice, no published source; every limit is a house choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.even_proposal import CEILING
from app.coaching.executed import Executed
from app.coaching.execution_values import CountsAs
from app.coaching.ladders import clock
from app.coaching.measured import KIND_WORDS, Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.words import counted, percent, short_day
from app.physiology.units import KILOMETRE_M

#: What critical power and W' can be; outside it trials were not all-out, not this client's, or the meter was off.
PLAUSIBLE_W, PLAUSIBLE_J = (50.0, 600.0), (5000.0, 40_000.0)
#: A target so much above the mean of own well-executed rounds, or above the talk power, is looked at twice.
MOST_OVER_ROUNDS, MOST_OVER_TALK = 1.10, 1.20
#: Own rounds speak for so long.
ROUNDS_COUNT = timedelta(weeks=8)
_ALIKE = (frozenset({Mode.RIDE, Mode.INDOOR_RIDE}),)
_FORMS = {MeasuredKind.CRITICAL_POWER: TargetForm.POWER, MeasuredKind.CRITICAL_SPEED: TargetForm.PACE}


@dataclass(frozen=True, slots=True)
class Reach:
    """How hard a figure may be before it is far above what is known, W or m/s, and what that is."""

    most: float
    words: str

    def remark(self, figure: float) -> str:
        """What to say of a figure; empty when it is no surprise."""
        return f"Far above what was done: {self.words}. Sure?" if figure > self.most else ""


def out_of_reach(kind: MeasuredKind, value: float, capacity: float | None) -> str:
    """Why a critical power can hardly be anybody's, as a sentence; empty when it can, and for other figures."""
    if kind is not MeasuredKind.CRITICAL_POWER:
        return ""
    (low_w, high_w), (low_j, high_j) = PLAUSIBLE_W, PLAUSIBLE_J
    if low_w <= value <= high_w and (capacity is None or low_j <= capacity <= high_j):
        return ""
    above = "" if capacity is None else f" with W' {capacity / 1000:.1f} kJ"
    return (
        f"{value:.0f} W{above} can hardly be: critical power lies between {low_w:.0f} and {high_w:.0f} W, W' between "
        f"{low_j / 1000:.0f} and {high_j / 1000:.0f} kJ. Not every trial was all-out, or the meter was off."
    )


def reach_by(
    form: TargetForm, mode: Mode, day: date, executed: Sequence[Executed], measured: Sequence[Measured]
) -> Reach | None:
    """What own rounds of the last eight weeks show, else the talk test; None where neither is known."""
    if form not in (TargetForm.POWER, TargetForm.PACE):
        return None
    shown = [
        (figure, one.rounds)
        for one in executed
        if one.counts_as is CountsAs.GOOD
        and is_alike(one.mode, mode)
        and timedelta(0) <= day - one.on <= ROUNDS_COUNT
        and (figure := one.power_w if form is TargetForm.POWER else one.speed_m_per_s)
    ]
    if shown:
        mean = sum(figure * rounds for figure, rounds in shown) / sum(rounds for _figure, rounds in shown)
        said = f"{mean:.0f} W" if form is TargetForm.POWER else f"{clock(KILOMETRE_M / mean)} a km"
        behind = f"the mean of {counted(len(shown), 'well-executed session')} in the last 8 weeks"
        return Reach(MOST_OVER_ROUNDS * mean, f"{said} is {behind}")
    talk = newest_measured(measured, MeasuredKind.TALK_POWER, mode, day) if form is TargetForm.POWER else None
    if talk is None or is_too_old(talk, day):
        return None
    return Reach(
        MOST_OVER_TALK * talk.value, f"talk got short at {talk.value:.0f} W on {short_day(talk.measured_on)}"
    )


def far_above(reach: Reach | None, target: SessionTarget | None) -> str:
    """What to say of a target far above what was done; empty when it is not, or nothing is known."""
    hardest = None if target is None else target.hardest
    if reach is None or target is None or hardest is None:
        return ""
    return reach.remark(KILOMETRE_M / hardest if target.form is TargetForm.PACE else hardest)


def over_ceiling(
    target: SessionTarget, mode: Mode, day: date, executed: Sequence[Executed], measured: Sequence[Measured]
) -> str:
    """What to say of a target above 112 % of critical power or speed and above what own well-executed rounds show.

    Empty when it is not, or no critical figure counts. measured: without figures from before targets begin afresh.
    """
    kind = next((kind for kind, form in _FORMS.items() if form is target.form), None)
    found = None if kind is None else newest_measured(measured, kind, mode, day)
    if found is None or is_too_old(found, day) or out_of_reach(found.kind, found.value, found.capacity):
        return ""
    is_power = target.form is TargetForm.POWER
    good = [one for one in executed if one.counts_as is CountsAs.GOOD and is_alike(one.mode, mode)]
    shown = [figure for one in good if (figure := one.power_w if is_power else one.speed_m_per_s)]
    most = max(CEILING * found.value, max(shown, default=0.0))
    hardest = target.hardest
    figure = 0.0 if hardest is None else hardest if is_power else KILOMETRE_M / hardest
    if figure <= most * (1 + 1e-9):
        return ""
    said = f"{most:.0f} W" if is_power else f"{clock(KILOMETRE_M / most)} a km"
    return (
        f"nothing above {percent(CEILING)} of {KIND_WORDS[found.kind]} is proposed until own well-executed rounds "
        f"show more: {said}"
    )


def doubted(figure: Measured, executed: Sequence[Executed], measured: Sequence[Measured], today: date) -> str:
    """What a new critical power or speed is far above of; empty when it fits what is known."""
    form = _FORMS.get(figure.kind)
    if form is None:
        return ""
    reach = reach_by(form, figure.mode, today, executed, measured)
    return "" if reach is None else reach.remark(figure.value)


def is_alike(one: Mode, other: Mode) -> bool:
    """Whether figures of one way of moving speak for another."""
    return one is other or any({one, other} <= group for group in _ALIKE)
