"""What comes next in hard sessions of rounds, from how the last ones were executed: one thing at a time.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from enum import StrEnum

from app.coaching.after_days_off import AfterDaysOff
from app.coaching.days_off import Run, because_words
from app.coaching.easing import (
    BACK_TO_BASE_AFTER,
    FULL_ROUNDS,
    STEP_BACK_AFTER,
    USUAL_S,
    eased_by,
    row_words,
    stepped_back,
)
from app.coaching.executed import Executed, demand_of
from app.coaching.execution_values import Blame, CountsAs
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm, lowered
from app.coaching.words import counted, percent, short_day

#: Two good ones in a row before a step; one is enough while the first rounds are learnt (2, then 3, then 4).
GOOD_IN_A_ROW = 2
LEARNING_SESSIONS = 3
MOST_ROUNDS = 5
LONGER_S, SHORTER_REST_S = 300, 180
POWER_STEP, PACE_STEP_S_PER_KM, INCLINE_STEP_PERCENT = 1.025, 3.0, 1.0
#: So many missed or bad within four weeks on two a week: back to one.
BACK_TO_ONE_AFTER, BACK_TO_ONE_DAYS = 2, 28


class Way(StrEnum):
    """Which way it goes."""

    SAME = "same"
    HARDER = "harder"
    EASIER = "easier"
    HOLD = "hold"


class Dimension(StrEnum):
    """The one thing that changes."""

    NOTHING = "nothing"
    ROUNDS = "rounds"
    TARGET = "target"
    LONGER_ROUNDS = "longer rounds with less rest, at the old target"
    PHASE = "the phase"


@dataclass(frozen=True, slots=True)
class Asked:
    """The rounds and target of the session that is proposed."""

    rounds: int
    work_s: int
    recovery_s: int
    target: SessionTarget | None


@dataclass(frozen=True, slots=True)
class NextStep:
    """What is proposed for the next hard session, and why; `asks` None: nothing that a click can write."""

    way: Way
    dimension: Dimension
    sentence: str
    #: What to ask or do beside it.
    beside: tuple[str, ...]
    asks: Asked | None
    why: Why


def _nothing(_target: SessionTarget) -> str:
    return ""


@dataclass(frozen=True, slots=True)
class Looks:
    """How a step up is looked at before it is proposed: each says what speaks against it, or nothing."""

    over_ceiling: Callable[[SessionTarget], str] = _nothing
    far_above: Callable[[SessionTarget], str] = _nothing
    #: Why no step up is taken now, however well the last sessions went.
    waits: tuple[str, ...] = ()


_RULE = (
    "Two well-executed sessions in a row: one step, rounds to 4, then 2 to 3 % more power (3 s a kilometre, 1 % of "
    "incline) within 112 % of critical power or speed, then 5 on 3 off at the old target, then 5 rounds. One not "
    "held: the same 5 % lower, 10 % after having to bend. Two: a step back and an easier week. Three: base for two "
    "to four weeks. A wrong target is lowered 10 % and counts as nobody's failure; a session spoilt by heat, kit or "
    "traffic counts as neither. After days off the rounds come back by their table. No step up while a fortnight is "
    "over its ceiling, or where hard work since, planned or not, went badly."
)
#: How longer rounds are begun, with a figure from before and without one.
OLD_TARGET, BY_EFFORT = "at the old target", "by effort as before"
_ASK_LIFE = "Ask about sleep, life, medicine and illness; an easier week."
_REFER = "Talk first. Base for two to four weeks; think of referring back when fatigue has no reason."


def next_step(
    executed: Sequence[Executed],
    *,
    stopped: Sequence[str] = (),
    is_on_two: bool = False,
    missed_lately: int = 0,
    days_off: AfterDaysOff | None = None,
    afresh: Run | None = None,
    looks: Looks | None = None,
) -> NextStep:
    """What comes next after some sessions, oldest first.

    stopped: why hard work waits now; nothing is proposed while it does. missed_lately: hard sessions missed in the
    last four weeks, for who is on two a week. days_off, afresh: days off that still ask something of the rounds, and
    those from which everything begins afresh. looks: what a step up is looked at with.
    """
    counting = [one for one in executed if one.counts_as is not CountsAs.NEITHER]
    if stopped:
        return _held(counting, stopped)
    if afresh is not None and counting and counting[-1].on < afresh.back_on:
        said = f"{because_words(afresh)}: held weeks and a retest first; rounds are planned afresh from it, no step."
        return _step(Way.SAME, Dimension.NOTHING, said, counting)
    counting = [one for one in counting if afresh is None or one.on >= afresh.back_on]
    if not counting:
        return _step(Way.SAME, Dimension.NOTHING, "No hard session of rounds is entered yet: as planned.", counting)
    last = counting[-1]
    if is_on_two and (found := _back_to_one(counting, missed_lately)):
        return found
    if days_off is not None and (found := _after_days_off(counting, days_off)):
        return found
    if last.counts_as is CountsAs.UNKNOWN:
        said = f"The same again: {last.words[0].lower()}{last.words[1:]}. Ask how it ended before anything is raised."
        return _step(Way.SAME, Dimension.NOTHING, said, counting, asks=_as_it_was(last))
    if last.counts_as is CountsAs.BAD:
        return _after_bad(counting, last)
    return _after_good(counting, last, looks or Looks())


def _after_days_off(counting: Sequence[Executed], days_off: AfterDaysOff) -> NextStep | None:
    """The rounds the table of days off gives back next; None when how it went since decides."""
    before = [one for one in counting if one.on < days_off.run.first_on]
    since = [one for one in counting if one.on >= days_off.run.back_on]
    if not before or (since and since[-1].counts_as is not CountsAs.GOOD):
        return None
    usual = _as_it_was(before[-1])
    head = because_words(days_off.run)
    if days_off.most_rounds is None:
        fewer = replace(usual, rounds=max(1, usual.rounds - days_off.fewer))
        said = f"{head}: two easy sessions first, then {counted(fewer.rounds, 'round')}, one fewer."
        return _step(Way.EASIER, Dimension.ROUNDS, said, counting, asks=fewer)
    off = days_off.target_off
    asks = replace(usual, rounds=min(usual.rounds, days_off.most_rounds), target=lowered(usual.target, off))
    if since:
        asks = replace(asks, target=_gentler(asks.target, since[-1].target))
    has_figure = demand_of(usual.target) != demand_of(lowered(usual.target, off))
    how = f"the target {percent(off)} lower" if has_figure else "begun an effort lower"
    said = f"{head}: {counted(asks.rounds, 'round')} of {_span(asks.work_s)}, {how}."
    return _step(Way.EASIER, Dimension.TARGET, said, counting, asks=asks)


def _gentler(one: SessionTarget | None, other: SessionTarget | None) -> SessionTarget | None:
    """The gentler of two targets of one form; of two forms the later one."""
    if one is None or other is None or one.form is not other.form:
        return other
    return one if _hardness(one) <= _hardness(other) else other


def _no_step_up(counting: Sequence[Executed], last: Executed, waits: Sequence[str]) -> NextStep:
    said = f"The same again, no step up: {'; '.join(waits)}."
    return _step(Way.SAME, Dimension.NOTHING, said, counting, beside=(_ASK_LIFE,), asks=_as_it_was(last))


def _held(counting: Sequence[Executed], stopped: Sequence[str]) -> NextStep:
    said = f"Nothing moves while hard work is stopped: {'; '.join(stopped)}"
    return _step(Way.HOLD, Dimension.NOTHING, said, counting)


def _back_to_one(counting: Sequence[Executed], missed: int) -> NextStep | None:
    since = counting[-1].on.toordinal() - BACK_TO_ONE_DAYS
    bad = sum(
        one.counts_as is CountsAs.BAD and one.blame is not Blame.TARGET_WRONG
        for one in counting
        if one.on.toordinal() > since
    )
    if bad + missed < BACK_TO_ONE_AFTER:
        return None
    said = f"Back to one hard session a week: {counted(bad + missed, 'session')} missed or not held in four weeks."
    return _step(Way.EASIER, Dimension.PHASE, said, counting, beside=(_ASK_LIFE,))


def _after_bad(counting: Sequence[Executed], last: Executed) -> NextStep:
    if last.blame is Blame.TARGET_WRONG:
        return _lower(counting, last, "The target was wrong, not the client")
    in_a_row = _bad_in_a_row(counting)
    if in_a_row >= BACK_TO_BASE_AFTER:
        said = row_words(in_a_row, last.rounds, last.work_s)
        return _step(Way.EASIER, Dimension.PHASE, said, counting, beside=(_REFER,))
    if in_a_row >= STEP_BACK_AFTER:
        return _step_back(counting, last)
    if last.had_to_bend:
        return _lower(counting, last, "It was too fast: the last round ended bent or sitting")
    return _lower(counting, last, "It was not held")


def ease_fraction(counting: Sequence[Executed]) -> float:
    """How much lower a target comes after a bad session, the last of some; 0 where rounds go back instead."""
    last = counting[-1]
    return eased_by(last.blame, had_to_bend=last.had_to_bend, in_a_row=_bad_in_a_row(counting))


def _lower(counting: Sequence[Executed], last: Executed, because: str) -> NextStep:
    fraction = ease_fraction(counting)
    asks = replace(_as_it_was(last), target=lowered(last.target, fraction))
    has_figure = demand_of(last.target) != demand_of(asks.target)
    how = f"the same rounds {percent(fraction)} lower" if has_figure else "the same rounds, begun an effort lower"
    return _step(Way.EASIER, Dimension.TARGET, f"{because}: {how}.", counting, asks=asks)


def _step_back(counting: Sequence[Executed], last: Executed) -> NextStep:
    rounds, work_s = stepped_back(last.rounds, last.work_s)
    asks = replace(_as_it_was(last), rounds=rounds, work_s=work_s)
    if work_s == USUAL_S and (last.work_s > USUAL_S or last.rounds > FULL_ROUNDS):
        asks = replace(asks, recovery_s=USUAL_S)
    said = row_words(STEP_BACK_AFTER, last.rounds, last.work_s)
    return _step(Way.EASIER, Dimension.ROUNDS, said, counting, beside=(_ASK_LIFE,), asks=asks)


def _after_good(counting: Sequence[Executed], last: Executed, looks: Looks) -> NextStep:
    good = _good_in_a_row(counting)
    is_learning = len(counting) <= LEARNING_SESSIONS and last.rounds < FULL_ROUNDS
    if good < GOOD_IN_A_ROW and not is_learning:
        said = f"The same again: {counted(good, 'well-executed session')} at this; two in a row make a step."
        return _step(Way.SAME, Dimension.NOTHING, said, counting, asks=_as_it_was(last))
    if looks.waits:
        return _no_step_up(counting, last, looks.waits)
    asks = _as_it_was(last)
    if last.rounds < FULL_ROUNDS:
        more = replace(asks, rounds=last.rounds + 1)
        said = f"One round more: {more.rounds} of {_span(last.work_s)}, at the same target."
        return _step(Way.HARDER, Dimension.ROUNDS, said, counting, asks=more)
    if (last.work_s, last.recovery_s) == (USUAL_S, USUAL_S) and last.rounds == FULL_ROUNDS:
        return _past_four(counting, last, looks)
    if last.work_s == LONGER_S and last.rounds == FULL_ROUNDS:
        more = replace(asks, rounds=MOST_ROUNDS, work_s=USUAL_S, recovery_s=USUAL_S)
        said = "The fifth round: 5 of 4 min, 4 min off, at the same target."
        return _step(Way.HARDER, Dimension.ROUNDS, said, counting, asks=more)
    said = "All steps of these rounds are taken: stay here. Rest is shortened last, and for the fit only."
    return _step(Way.SAME, Dimension.NOTHING, said, counting, asks=asks)


def _past_four(counting: Sequence[Executed], last: Executed, looks: Looks) -> NextStep:
    """Four rounds of four minutes: the target first where it has figures, once; then longer rounds at the old one."""
    asks = _as_it_was(last)
    before = _target_before_raise(counting, last)
    harder = raised(last.target) if before is None else None
    if harder is not None and (remark := looks.far_above(harder)):
        said = f"The same again: a step of the target, {_step_words(harder)}, is not proposed. {remark}"
        return _step(Way.SAME, Dimension.NOTHING, said, counting, asks=asks)
    over = "" if harder is None else looks.over_ceiling(harder)
    if harder is not None and not over:
        said = f"A step of the target: {_step_words(harder)}, rounds and rest as they are."
        return _step(Way.HARDER, Dimension.TARGET, said, counting, asks=replace(asks, target=harder))
    old = before if before is not None else last.target
    longer = replace(asks, work_s=LONGER_S, recovery_s=SHORTER_REST_S, target=old)
    said = f"Longer rounds: 4 of 5 min, 3 min off, {_old_target_words(old)}."
    if over:
        said = f"The target stays: {over}. {said}"
    return _step(Way.HARDER, Dimension.LONGER_ROUNDS, said, counting, asks=longer)


def _old_target_words(target: SessionTarget | None) -> str:
    has_figure = target is not None and target.has_figures and target.form is not TargetForm.EFFORT
    return OLD_TARGET if has_figure else BY_EFFORT


def raised(target: SessionTarget | None) -> SessionTarget | None:
    """One step more of a target; None where it has no figure to raise: words and heart rate are not raised."""
    if target is None or not target.has_figures:
        return None
    if target.form is TargetForm.POWER:
        return _moved(target, lambda figure: round(figure * POWER_STEP))
    if target.form is TargetForm.PACE:
        return _moved(target, lambda figure: figure - PACE_STEP_S_PER_KM)
    if target.form is TargetForm.INCLINE and target.value is not None:
        return _moved(target, lambda figure: figure + INCLINE_STEP_PERCENT)
    return None


def _target_before_raise(counting: Sequence[Executed], last: Executed) -> SessionTarget | None:
    """The last target of these rounds that was easier than the present one; None while it was never raised."""
    alike = [
        one.target
        for one in counting
        if (one.rounds, one.work_s, one.recovery_s) == (last.rounds, last.work_s, last.recovery_s)
        and one.target is not None
        and last.target is not None
        and one.target.form is last.target.form
        and _hardness(one.target) < _hardness(last.target)
    ]
    return alike[-1] if alike else None


def _hardness(target: SessionTarget) -> float:
    """A figure that grows with the demand of a target; of a ladder its quickest round counts."""
    if target.form is TargetForm.PACE:
        paces = target.rounds or ((target.value,) if target.value is not None else ())
        return -min(paces, default=0.0)
    return target.value or 0.0


def _moved(target: SessionTarget, move: Callable[[float], float]) -> SessionTarget:
    def maybe(figure: float | None) -> float | None:
        return None if figure is None else float(move(figure))

    return replace(
        target,
        value=maybe(target.value),
        low=maybe(target.low),
        high=maybe(target.high),
        rounds=tuple(float(move(figure)) for figure in target.rounds),
    )


def _step_words(target: SessionTarget) -> str:
    if target.form is TargetForm.POWER:
        return f"2.5 % more power, {target.value or 0:.0f} W"
    if target.form is TargetForm.PACE:
        return "3 s a kilometre quicker"
    return f"1 % more incline, {target.value or 0:g} %"


def _bad_in_a_row(counting: Sequence[Executed]) -> int:
    found = 0
    for one in reversed(counting):
        if one.counts_as is not CountsAs.BAD:
            break
        found += one.blame is not Blame.TARGET_WRONG
    return found


def _good_in_a_row(counting: Sequence[Executed]) -> int:
    """Well-executed sessions at the end that asked the same."""
    found = 0
    for one in reversed(counting):
        if one.counts_as is not CountsAs.GOOD or one.demand != counting[-1].demand:
            break
        found += 1
    return found


def _as_it_was(last: Executed) -> Asked:
    return Asked(last.rounds, last.work_s, last.recovery_s, last.target)


def _span(seconds: int) -> str:
    return f"{seconds // 60} min" if seconds % 60 == 0 else f"{seconds} s"


def _step(
    way: Way,
    dimension: Dimension,
    sentence: str,
    counting: Sequence[Executed],
    *,
    beside: tuple[str, ...] = (),
    asks: Asked | None = None,
) -> NextStep:
    figures = tuple(Figure(short_day(one.on), f"{one.title}: {one.words}") for one in counting[-4:])
    why = Why(
        figures,
        _RULE,
        Provenance.COMMON_PRACTICE,
        None,
        "Another session entered, or an answer that is missing now; the coach decides.",
    )
    return NextStep(way, dimension, sentence, beside, asks, why)
