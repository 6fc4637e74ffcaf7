"""Every form of target side by side for one session: what is offered, what is missing, and which is proposed."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date

from app.coaching.after_days_off import afresh_since, after_days_off
from app.coaching.executed import executed_sessions
from app.coaching.execution_values import Execution
from app.coaching.first_rounds import rounds_so_far
from app.coaching.heart_rate_trust import trust_of
from app.coaching.history import History
from app.coaching.hold_rules import may_train_within
from app.coaching.leave_to_train import stopped_now
from app.coaching.measured import Measured
from app.coaching.plan_changes import is_first_of_phase
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError, Figure
from app.coaching.rules import Rules
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_by_words import effort_option, incline_option, pool_option
from app.coaching.target_eased import eased_of, eased_option
from app.coaching.target_heart_rate import heart_rate_option
from app.coaching.target_pace import ladder_option, mile_option
from app.coaching.target_plausible import Reach, far_above, reach_by
from app.coaching.target_power import MODEL_WORDS, curve_of, curve_power_option, talk_power_option
from app.coaching.target_speed import MODELS, curve_pace_option, speed_curve_of
from app.coaching.target_values import Option, TargetScene, TargetWishes, rounds_asked
from app.coaching.words import counted
from app.physiology.running_out import RunningOut
from app.physiology.units import KILOMETRE_M
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import RecoveryModel

#: The order in which a form is proposed: what the last session asks for, then what is measured of the client before
#: words, heart rate never.
_PROPOSED_FIRST = ("eased", "power_curve", "power_talk", "pace_ladder", "pace_curve", "incline", "pool", "effort")
NOT_ROUNDS = "A target belongs to equal rounds; this session has none. Easy work is steered by talk."


@dataclass(frozen=True, slots=True)
class TriedLine:
    """What one form says of a figure the coach tries: where it runs out, or what it leaves."""

    name: str
    says: str


def target_refused(history: History, session: PlannedSession, today: date, rules: Rules) -> str | None:
    """Why no target for hard work is offered now; None when one may be.

    Whatever stops a client stops targets: holds, screening, pressure, papers, gaps, and a session without rounds.
    """
    if session.is_cancelled:
        return "This session is cancelled."
    stopped = stopped_now(history, today, rules)
    if is_hard_or_middle(session) and may_train_within(stopped, session).is_paused:
        because = (*stopped.all_because, *stopped.mode_because(session.mode), *stopped.hard_because)
        return f"Hard work is stopped: {'; '.join(dict.fromkeys(because))}"
    if session.kind is not SessionKind.INTERVALS or rounds_asked(session) is None:
        return NOT_ROUNDS
    return None


def target_scene(
    history: History,
    session: PlannedSession,
    measured: Sequence[Measured],
    *,
    today: date,
    rules: Rules,
    wishes: TargetWishes | None = None,
    judged: Mapping[int, Execution] | None = None,
) -> TargetScene:
    """Everything a target of a session may rest on. Raises: DomainError for a session without equal rounds.

    judged: judgements made from recordings, by the entry's id.
    """
    asked = rounds_asked(session)
    if asked is None:
        raise DomainError(NOT_ROUNDS)
    so_far = rounds_so_far(history, session.planned_on, today, rules)
    executed = executed_sessions(history, today, rules, judged=judged)
    return TargetScene(
        session=session,
        asked=asked,
        history=history,
        measured=tuple(measured),
        heart_rate=trust_of(history, max(session.planned_on, today)),
        executed=executed,
        hard_done=so_far.done,
        is_brought_in=so_far.is_brought_in,
        first_of_phase=is_first_of_phase(history, session.planned_on),
        wishes=wishes or TargetWishes(),
        days_off=after_days_off(history, executed, session.planned_on),
        afresh=afresh_since(history, session.planned_on),
    )


def target_options(scene: TargetScene) -> tuple[Option, ...]:
    """Every form that can be thought of for the way the session is done, words first.

    After rounds that were not held the eased target comes before all, and what the figures give right after it.
    """
    found = (
        effort_option(scene),
        heart_rate_option(scene),
        curve_power_option(scene),
        talk_power_option(scene),
        ladder_option(scene),
        mile_option(scene),
        curve_pace_option(scene),
        incline_option(scene),
        pool_option(scene),
    )
    known = [replace(one, far_above=looked_at_twice(scene, one.target)) for one in found if one is not None]
    eased = eased_option(scene, known)
    if eased is None:
        return tuple(known)
    beside = [one for one in known if one.form is eased.form]
    return (eased, *beside, *(one for one in known if one.form is not eased.form))


def looked_at_twice(scene: TargetScene, target: SessionTarget | None) -> str:
    """What to ask before a target is given: far above what was done, or above what the last session asks for."""
    if target is None:
        return ""
    eased = eased_of(scene)
    beside = "" if eased is None else eased.remark(target)
    return " ".join(one for one in (far_above(reach_of(scene, target.form), target), beside) if one)


def reach_of(scene: TargetScene, form: TargetForm) -> Reach | None:
    """How hard a target of a form may be before it is far above what the client has done."""
    return reach_by(form, scene.mode, scene.day, scene.executed, scene.measured)


def proposed_of(options: Sequence[Option]) -> Option:
    """The best-founded form that is offered and not far above what was done; effort is always there."""
    offered = {one.key: one for one in options if one.is_offered and not one.far_above}
    return next(offered[key] for key in _PROPOSED_FIRST if key in offered)


def chosen_target(option: Option, typed: float | None) -> SessionTarget:
    """The target a coach chooses: as offered, or with a figure typed in its place, never a harder one than allowed.

    Raises: DomainError for a form that is not offered, a figure where none is typed, and one that is too hard.
    """
    target = option.target
    if target is None:
        raise DomainError(f"{option.title} is not offered: {'; '.join(option.missing)}.")
    if typed is None or typed == target.value:
        return target
    if option.hardest is None:
        raise DomainError(f"{option.title} takes no figure of its own.")
    is_too_hard = typed < option.hardest if target.form is TargetForm.PACE else typed > option.hardest
    if is_too_hard:
        raise DomainError(f"That is harder than this client's {_hardest_words(option)} allow.")
    low, high = _range_about(typed, target, option.hardest)
    offered = "" if target.value is None else f"{target.value:.0f} {target.unit} offered, "
    why = replace(
        target.why, figures=(*target.why.figures, Figure("typed by the coach", f"{offered}{typed:g} taken"))
    )
    return replace(target, value=typed, low=low, high=high, why=why)


def _range_about(typed: float, target: SessionTarget, hardest: float) -> tuple[float | None, float | None]:
    """As wide a range about a typed figure, the hard end no harder than what may be typed."""
    if target.low is None or target.high is None or not target.value:
        return None, None
    # The gentle end is never cut short, so that it says how wide the range is.
    if target.form is TargetForm.PACE:
        slow = target.high * typed / target.value
        return min(typed, max(2 * typed - slow, hardest)), slow
    low = float(round(target.low * typed / target.value))
    return low, max(typed, min(2 * typed - low, float(math.floor(hardest + 1e-9))))


def _hardest_words(option: Option) -> str:
    hardest = option.hardest or 0
    if option.form is TargetForm.PACE:
        whole, rest = divmod(round(hardest), 60)
        return f"figures, {whole}:{rest:02d} a km,"
    unit = option.target.unit if option.target is not None else ""
    return f"figures, {hardest:.0f} {unit},"


def tried_power(scene: TargetScene, power_w: float) -> tuple[TriedLine, ...] | Missing:
    """Where W' would run out in the session's rounds at a power, under each form."""
    curve = curve_of(scene)
    if curve is None:
        return Missing("no critical power is kept for this client")
    try:
        return tuple(
            TriedLine(MODEL_WORDS[one], _tried_words(curve.until_empty(power_w, one), curve.rounds))
            for one in RecoveryModel
        )
    except OutOfRange as refusal:
        return Missing(str(refusal).removesuffix("."))


def tried_pace(scene: TargetScene, pace_s_per_km: float) -> tuple[TriedLine, ...] | Missing:
    """Where D' would run out in the session's rounds at a pace, under each form."""
    curve = speed_curve_of(scene)
    if curve is None:
        return Missing("no critical speed is kept for this client")
    try:
        return tuple(
            TriedLine(
                MODEL_WORDS[one], _tried_words(curve.until_empty(KILOMETRE_M / pace_s_per_km, one), curve.rounds)
            )
            for one in MODELS
        )
    except OutOfRange as refusal:
        return Missing(str(refusal).removesuffix("."))


def _tried_words(found: RunningOut | Missing, rounds: int) -> str:
    if isinstance(found, Missing):
        return f"{found.reason[0].upper()}{found.reason[1:]}."
    left = ", ".join(f"{max(0.0, one) * 100:.0f} %" for one in found.reserve_after_rounds)
    behind = f" Left after each: {left}." if left else ""
    if found.runs_out_in_round is None or found.runs_out_after_s is None:
        return f"All {counted(rounds, 'round')} by the model.{behind}"
    whole, rest = divmod(round(found.runs_out_after_s), 60)
    return f"Runs out in round {found.runs_out_in_round}, after {whole}:{rest:02d}.{behind}"
