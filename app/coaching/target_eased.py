"""What the last session of rounds that was not well executed asks of the next target, and what lies above it.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from app.coaching.after_days_off import afresh_since
from app.coaching.executed import Executed, executed_sessions
from app.coaching.execution_values import CountsAs, Execution
from app.coaching.history import History
from app.coaching.ladders import clock
from app.coaching.lookahead_values import Breach, Level
from app.coaching.next_step import ease_fraction
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError, Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.session_target import SessionTarget, TargetForm, fewer_rounds, lowered, target_from_json
from app.coaching.target_values import Option, TargetScene, rounds_asked
from app.coaching.words import percent, short_day
from app.physiology.units import KILOMETRE_M

KEY = "eased"
#: Rounds speak for rounds at least so much of their length; for a target of its own neither may be much longer.
ALIKE_FRACTION = 0.75
#: What recordings say of the sessions before, by the entry's id, of clients with the drafts to be sent to them.
Judge = Callable[[Sequence[tuple[History, Sequence[PlannedSession]]]], Mapping[int, Execution]]
_COUNTED = (TargetForm.POWER, TargetForm.PACE, TargetForm.INCLINE)
_RULE = (
    "One session that was not held: the same rounds 5 % lower, 10 % after having to bend or when the target was "
    "wrong. The lower target stands until a session of it was well executed."
)
_CHANGES = "A well-executed session at the lower target, or the coach, who knows why it went as it did."


@dataclass(frozen=True, slots=True)
class Eased:
    """What the next rounds may aim at after a session that was not held."""

    after: Executed
    #: So much below what that session aimed at, or below what was done when it aimed at nothing.
    fraction: float
    target: SessionTarget

    @property
    def figure(self) -> float:
        """Its hardest round: W, s a kilometre, or % of incline."""
        return self.target.hardest or 0.0

    def is_above(self, target: SessionTarget | None) -> bool:
        """Whether a target of the same form asks more, beyond what rounding makes."""
        hardest = None if target is None or target.form is not self.target.form else target.hardest
        if hardest is None:
            return False
        if self.target.form is TargetForm.PACE:
            return hardest < self.figure - 0.5
        return hardest > self.figure + 0.5

    @property
    def words(self) -> str:
        """What is asked, and by which session."""
        return f"{_said(self.target)}, {_how(self.fraction)} after {short_day(self.after.on)} ({self.after.words})"

    def remark(self, target: SessionTarget | None) -> str:
        """What to say of a target above it; empty for one that is not."""
        if not self.is_above(target):
            return ""
        return f"Above what the last of these rounds asks for: {self.words}. Sure?"


def eased_after(executed: Sequence[Executed], mode: Mode, work_s: int, since: date) -> Eased | None:
    """What the last rounds like these ask for; None when they were well executed, or say nothing.

    executed: oldest first. since: from when on targets count, after long days off.
    """
    alike = [
        one
        for one in executed
        if one.mode is mode
        and one.on >= since
        and one.counts_as is not CountsAs.NEITHER
        and one.work_s * ALIKE_FRACTION <= work_s
    ]
    if not alike or alike[-1].counts_as is not CountsAs.BAD:
        return None
    fraction, target = ease_fraction(alike), _aimed_at(alike[-1])
    return None if target is None else Eased(alike[-1], fraction, _whole(lowered(target, fraction) or target))


def eased_of(scene: TargetScene) -> Eased | None:
    """What the last rounds like a session's ask of its target."""
    since = date.min if scene.afresh is None else scene.afresh.back_on
    return eased_after(scene.executed, scene.mode, scene.asked.work_s, since)


def eased_option(scene: TargetScene, others: Sequence[Option]) -> Option | None:
    """The eased target as a form of its own; None where nothing is eased, or another form is as gentle already."""
    eased = eased_of(scene)
    if eased is None or scene.is_paced_by_effort_only or eased.after.work_s < ALIKE_FRACTION * scene.asked.work_s:
        return None
    if scene.is_on_a_hill and eased.target.form is TargetForm.PACE:
        return None
    same = [one for one in others if one.form is eased.target.form and one.is_offered]
    if any(not eased.is_above(one.target) for one in same):
        return None
    more_off = max(0.0, scene.target_off - eased.fraction)
    target = fewer_rounds(_whole(lowered(eased.target, more_off) or eased.target), scene.asked.rounds)
    if target is None:
        return None
    why = _why(eased, scene.days_off_figures)
    return Option(
        KEY,
        target.form,
        "Eased, as the last session asks",
        replace(target, why=why),
        (),
        f"{_said(target)} in each round: {_how(max(eased.fraction, scene.target_off))} after "
        f"{short_day(eased.after.on)} ({eased.after.words}).{_given_by(same)}",
        "The last of these rounds says what was too much for now; effort decides.",
        why,
        hardest=None if target.rounds else target.hardest,
    )


def by_entries_alone(_asking: Sequence[tuple[History, Sequence[PlannedSession]]]) -> Mapping[int, Execution]:
    """A judge that knows no recordings."""
    return {}


def modes_aimed(drafts: Sequence[PlannedSession]) -> frozenset[Mode]:
    """How the drafts are done whose target has a figure the rounds before can speak for."""
    return frozenset(one.mode for one in drafts if not one.is_cancelled and _readable(one) is not None)


def eased_breaches(
    history: History,
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    judged: Mapping[int, Execution],
) -> tuple[Breach, ...]:
    """Drafts whose target asks more than the last rounds of the kind do; the coach says why, and it is kept.

    judged: judgements made from recordings, by the entry's id.
    """
    aimed = [(one, target) for one in drafts if (target := _readable(one)) is not None]
    if not aimed:
        return ()
    executed = executed_sessions(history, today, rules, judged=judged)
    found = []
    for draft, target in aimed:
        asked, afresh = rounds_asked(draft), afresh_since(history, draft.planned_on)
        since = date.min if afresh is None else afresh.back_on
        eased = None if asked is None else eased_after(executed, draft.mode, asked.work_s, since)
        if eased is not None and eased.is_above(target):
            shared = f"its target is above what the last of these rounds asks for, {eased.words}. Look at it."
            sentence = (
                f"{draft.title} on {short_day(draft.planned_on)} aims at {_said(target)}; the last of these rounds "
                f"asks for {eased.words}. Look at its target."
            )
            found.append(Breach(Level.ASKS, KEY, draft.planned_on, sentence, _why(eased, ()), shared))
    return tuple(found)


def _readable(draft: PlannedSession) -> SessionTarget | None:
    try:
        target = target_from_json(draft.target_json)
    except DomainError:
        return None
    return target if target is not None and target.form in _COUNTED and target.hardest is not None else None


def _aimed_at(one: Executed) -> SessionTarget | None:
    """What a session aimed at, else what was done in it; None where it has no figure of either."""
    if one.target is not None and one.target.form in _COUNTED and one.target.hardest is not None:
        return one.target
    done = f"the rounds of {short_day(one.on)} as they were done"
    why = Why((Figure("done", done),), _RULE, Provenance.COMMON_PRACTICE)
    if one.power_w:
        return SessionTarget(TargetForm.POWER, one.power_w, None, None, (), None, done, why)
    if one.speed_m_per_s:
        return SessionTarget(TargetForm.PACE, KILOMETRE_M / one.speed_m_per_s, None, None, (), None, done, why)
    return None


def _whole(target: SessionTarget) -> SessionTarget:
    """Whole watts and whole seconds; an incline keeps its tenths."""
    digits = 1 if target.form is TargetForm.INCLINE else 0

    def maybe(figure: float | None) -> float | None:
        return None if figure is None else float(round(figure, digits))

    rounds = tuple(float(round(one, digits)) for one in target.rounds)
    return replace(target, value=maybe(target.value), low=maybe(target.low), high=maybe(target.high), rounds=rounds)


def _given_by(same: Sequence[Option]) -> str:
    given = [
        f"{_said(one.target)} ({one.title[:1].lower()}{one.title[1:]})" for one in same if one.target is not None
    ]
    return f" The client's own figures would give {' or '.join(given)}." if given else ""


def _how(fraction: float) -> str:
    return f"{percent(fraction)} lower" if fraction else "no higher"


def _said(target: SessionTarget) -> str:
    figure = target.hardest or 0.0
    if target.form is TargetForm.PACE:
        return f"{clock(figure)} a km"
    return f"{figure:.0f} W" if target.form is TargetForm.POWER else f"{figure:g} % of incline"


def _why(eased: Eased, beside: tuple[Figure, ...]) -> Why:
    last = eased.after
    aimed = _aimed_at(last)
    return Why(
        (
            Figure(short_day(last.on), f"{last.title}: {last.words}"),
            Figure("aimed at there", _said(aimed) if aimed is not None else "no figure"),
            Figure("lower by", percent(eased.fraction) if eased.fraction else "nothing: rounds go back instead"),
            *beside,
        ),
        _RULE,
        Provenance.COMMON_PRACTICE,
        None,
        _CHANGES,
    )
