"""The even pace of running rounds that leaves a reserve above critical speed."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.coaching import ladders
from app.coaching.even_proposal import Proposed
from app.coaching.even_speed_proposal import proposed_even_speed
from app.coaching.measured import HOW_WORDS, Measured, MeasuredKind
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_by_words import effort_first
from app.coaching.target_pace import not_for_pace_here, raced_five_km
from app.coaching.target_power import MODEL_WORDS, lowest_words
from app.coaching.target_values import ModelLine, Option, TargetScene, missing_option
from app.coaching.weeks import day_words
from app.coaching.words import percent
from app.physiology.even_targets import EvenEffort, even_speed_for_reserve
from app.physiology.mile_rounds import FIVE_KM_M
from app.physiology.running_out import RunningOut, rounds_until_empty_at_speed
from app.physiology.units import KILOMETRE_M
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import RecoveryModel

#: The recovery when the coach names none: a brisk walk, or a jog at six tenths of 5-km speed (house choice).
WALK_M_PER_S, JOG_FRACTION = 1.4, 0.6
#: Half of what rounds by satellite pace may lie apart.
EVEN_FRACTION = 0.04
#: A step of pace: 3 s a kilometre (common practice, no published source).
STEP_S_PER_KM = 3.0
MODELS = (RecoveryModel.DIFFERENTIAL, RecoveryModel.CONSERVATIVE)
_KEY, _TITLE = "pace_curve", "Even pace, from critical speed"
_RULE = (
    "The even speed that ends the last round with a share of D' left; the lowest form is proposed, within 103 % of "
    "critical speed at first and 112 % later, and no more than 3 s a kilometre quicker than the last target."
)


@dataclass(frozen=True, slots=True)
class SpeedCurve:
    """Critical speed and D' with the rounds they are asked about."""

    measured: Measured
    critical_m_per_s: float
    d_prime_m: float
    recovery_m_per_s: float
    rounds: int
    work_s: int
    recovery_s: int

    def until_empty(self, speed_m_per_s: float, model: RecoveryModel) -> RunningOut | Missing:
        """Where D' would run out at a speed."""
        return rounds_until_empty_at_speed(
            critical_speed_m_per_s=self.critical_m_per_s,
            d_prime_m=self.d_prime_m,
            speed_m_per_s=speed_m_per_s,
            rounds=self.rounds,
            work_s=self.work_s,
            recovery_s=self.recovery_s,
            recovery_speed_m_per_s=self.recovery_m_per_s,
            model=model,
        )

    def leaving(self, reserve_fraction: float, model: RecoveryModel) -> EvenEffort | Missing:
        """The even speed that leaves a share of D' after the last round, with the errors of the fit."""
        return even_speed_for_reserve(
            critical_speed_m_per_s=self.critical_m_per_s,
            d_prime_m=self.d_prime_m,
            rounds=self.rounds,
            work_s=self.work_s,
            recovery_s=self.recovery_s,
            recovery_speed_m_per_s=self.recovery_m_per_s,
            reserve_fraction=reserve_fraction,
            model=model,
            critical_speed_se_m_per_s=self.measured.value_error,
            d_prime_se_m=self.measured.capacity_error,
            correlation=self.measured.correlation,
        )


def speed_curve_of(scene: TargetScene) -> SpeedCurve | None:
    """The client's critical speed of running; None when there is none."""
    found = scene.newest(MeasuredKind.CRITICAL_SPEED, Mode.RUN)
    if found is None or found.capacity is None or scene.mode is not Mode.RUN:
        return None
    asked = scene.asked
    return SpeedCurve(
        found, found.value, found.capacity, _recovery(scene, found), asked.rounds, asked.work_s, asked.recovery_s
    )


def curve_pace_option(scene: TargetScene) -> Option | None:
    """The even speed that leaves a reserve, from critical speed; None for anything but running."""
    if scene.mode is not Mode.RUN:
        return None
    curve = speed_curve_of(scene)
    missing = [effort_first(scene)] if scene.is_paced_by_effort_only else []
    missing += not_for_pace_here(scene)
    if curve is None:
        missing.append("no critical speed is kept for this client; it is fitted from all-out runs, not in the base")
    elif stale := scene.gone_stale(curve.measured):
        missing.append(f"critical speed is of {day_words(curve.measured.measured_on)}, {stale}")
    if missing or curve is None:
        return missing_option(_KEY, TargetForm.PACE, _TITLE, missing, rule=_RULE)
    try:
        return _from_curve(scene, curve)
    except OutOfRange as refusal:
        return missing_option(_KEY, TargetForm.PACE, _TITLE, [str(refusal)], rule=_RULE)


def _recovery(scene: TargetScene, found: Measured) -> float:
    """How fast the recovery goes: as typed, else a walk for slow runners and a jog for quick ones."""
    if scene.wishes.recovery_speed_m_per_s is not None:
        return scene.wishes.recovery_speed_m_per_s
    race = raced_five_km(scene.history.tests, scene.day)
    speed = FIVE_KM_M / race.duration_s if race is not None and race.duration_s else found.value
    walked = ladders.walks_between(FIVE_KM_M / speed)
    return min(WALK_M_PER_S, JOG_FRACTION * found.value) if walked else JOG_FRACTION * speed


def _from_curve(scene: TargetScene, curve: SpeedCurve) -> Option:
    proposed = proposed_even_speed(
        critical_speed_m_per_s=curve.critical_m_per_s,
        d_prime_m=curve.d_prime_m,
        rounds=curve.rounds,
        work_s=curve.work_s,
        recovery_s=curve.recovery_s,
        recovery_speed_m_per_s=curve.recovery_m_per_s,
        reserve_fraction=scene.wishes.reserve_fraction,
        is_first_session=scene.is_first_by(TargetForm.PACE),
        critical_speed_se_m_per_s=curve.measured.value_error,
        d_prime_se_m=curve.measured.capacity_error,
        correlation=curve.measured.correlation,
    )
    if proposed.value is None:
        return missing_option(_KEY, TargetForm.PACE, _TITLE, [proposed.decided_by], rule=_RULE)
    pace, decided = _no_leap(scene, KILOMETRE_M / proposed.value, proposed.decided_by)
    why = _why(scene, curve, pace, decided)
    basis = curve.measured.plainly
    hardest = KILOMETRE_M / proposed.ceiling / (1 - scene.target_off)
    low, high = min(pace, max(hardest, pace * (1 - EVEN_FRACTION))), pace * (1 + EVEN_FRACTION)
    return Option(
        _KEY,
        TargetForm.PACE,
        _TITLE,
        SessionTarget(TargetForm.PACE, pace, low, high, (), scene.wishes.distance_m, basis, why, curve.measured.id),
        (),
        f"{ladders.clock(pace)} a km in each round, {percent(KILOMETRE_M / pace / curve.critical_m_per_s)} of "
        f"critical speed. Decided by: {decided}.{lowest_words(proposed, _pace)}",
        _uncertainty(proposed),
        why,
        tuple(_model_line(scene, curve, KILOMETRE_M / pace, one) for one in MODELS),
        hardest=hardest,
    )


def _pace(speed_m_per_s: float) -> str:
    return f"{ladders.clock(KILOMETRE_M / speed_m_per_s)} a km"


def _why(scene: TargetScene, curve: SpeedCurve, pace: float, decided: str) -> Why:
    measured, error = curve.measured, curve.measured.capacity_error
    return Why(
        (
            Figure("critical speed", _speed_words(curve.critical_m_per_s, measured.value_error)),
            Figure("D'", f"{curve.d_prime_m:.0f} m, " + ("error not known" if error is None else f"± {error:.0f}")),
            Figure("from", f"{day_words(measured.measured_on)}, {HOW_WORDS[measured.how]}"),
            Figure("rounds", f"{curve.rounds} × {curve.work_s} s"),
            Figure("recovery", f"{curve.recovery_s} s at {curve.recovery_m_per_s:.1f} m/s"),
            Figure("reserve asked for", percent(scene.wishes.reserve_fraction)),
            Figure("decided by", decided),
            Figure("share of critical speed", percent(KILOMETRE_M / pace / curve.critical_m_per_s)),
            *scene.days_off_figures,
        ),
        _RULE,
        Provenance.HOUSE,
        "forms: Skiba et al. 2015, Ferguson et al. 2010; line: Galbraith et al. 2014",
        "Newer trials, another reserve, or another recovery.",
        ("proposed_even_speed", "even_speed_for_reserve"),
    )


def _no_leap(scene: TargetScene, wanted: float, decided_by: str) -> tuple[float, str]:
    """Never more than one step quicker than the quickest round of the last target."""
    last = scene.last_target(TargetForm.PACE)
    quickest = last.hardest if last is not None else None
    if quickest is not None and wanted < quickest - STEP_S_PER_KM:
        decided_by = f"3 s a kilometre quicker than the last target, {ladders.clock(quickest)}"
        wanted = quickest - STEP_S_PER_KM
    return scene.after_days_off(wanted, TargetForm.PACE), decided_by


def _model_line(scene: TargetScene, curve: SpeedCurve, speed: float, model: RecoveryModel) -> ModelLine:
    own = curve.leaving(scene.wishes.reserve_fraction, model)
    if isinstance(own, Missing):
        return ModelLine(MODEL_WORDS[model], own.reason, None, None)
    ends = None if own.range is None else (KILOMETRE_M / own.range[1], KILOMETRE_M / own.range[0])
    line = ModelLine(MODEL_WORDS[model], own.notes[1], KILOMETRE_M / own.value, ends)
    at_value = curve.until_empty(speed, model)
    if isinstance(at_value, Missing):
        return line
    left = at_value.reserve_after_rounds
    again = curve.leaving(left[-1], model) if len(left) == curve.rounds and 0 <= left[-1] <= 0.95 else None
    ranges = again.reserve_range_after_rounds if isinstance(again, EvenEffort) else None
    return replace(line, left=left, left_range=ranges or ())


def _uncertainty(proposed: Proposed) -> str:
    ranges = [one.range for one in proposed.forms if one.range is not None]
    if not ranges:
        return "No range: two trials, or a typed figure, have no error. A rough gauge on the flat."
    low, high = min(one[0] for one in ranges), max(one[1] for one in ranges)
    quick, slow = ladders.clock(KILOMETRE_M / high), ladders.clock(KILOMETRE_M / low)
    return f"With the errors of the fit {quick} to {slow} a km. A rough gauge on the flat; no promise."


def _speed_words(speed_m_per_s: float, error: float | None) -> str:
    behind = "error not known" if error is None else f"± {error:.2f}"
    return f"{speed_m_per_s:.2f} m/s ({ladders.clock(KILOMETRE_M / speed_m_per_s)} a km), {behind}"
