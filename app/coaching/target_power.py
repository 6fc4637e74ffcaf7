"""Power as a target: from the talk test, or the even power that leaves a reserve above critical power."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from app.coaching.even_power_proposal import proposed_even_power
from app.coaching.even_proposal import CEILING, Proposed
from app.coaching.execution_values import CountsAs
from app.coaching.measured import HOW_WORDS, Measured, MeasuredKind
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_by_words import effort_first
from app.coaching.target_plausible import out_of_reach
from app.coaching.target_values import ModelLine, Option, TargetScene, missing_option
from app.coaching.weeks import day_words
from app.coaching.words import percent
from app.physiology.even_targets import EvenEffort, even_power_for_reserve
from app.physiology.running_out import RunningOut, rounds_until_empty
from app.physiology.values import Missing, OutOfRange
from app.physiology.w_balance import RecoveryModel

#: Above the power at which talking was possible, though rather not (common practice, no published source).
ABOVE_TALK_FRACTION, TALK_BAND_FRACTION = 1.05, 0.05
#: A step of power once everything else is even: 2 to 3 % (common practice, no published source).
STEP_FRACTION = 0.025
#: Power in the recoveries as a share of critical power when the coach names none (house choice).
RECOVERY_FRACTION = 0.4
#: Half of what the best and the worst round may lie apart, indoors and on the road or a hill.
EVEN_INDOORS, EVEN_OUTSIDE = 0.02, 0.04
POWER_MODES = frozenset({Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW, Mode.CROSS_TRAIN})
MODEL_WORDS = {
    RecoveryModel.DIFFERENTIAL: "refills the faster, the easier the rest",
    RecoveryModel.INTEGRAL: "refills with one time constant throughout",
    RecoveryModel.CONSERVATIVE: "half back after 234 s of rest",
}
_TALK_RULE = "Power unknown: the power at “rather not talk” times 1.05, corrected by 5 % after round 1."
_CURVE_RULE = (
    "The even power that ends the last round with a share of W' left, under each form of its balance; the lowest is "
    "proposed. A first session stays within 103 % of critical power, later ones within 112 % or what own "
    "well-executed rounds have shown, and no more than one step above the last target."
)
_UNKNOWN_RANGE = "no range: two trials, or a typed figure, have no error"


@dataclass(frozen=True, slots=True)
class Curve:
    """Critical power and W' with the rounds they are asked about."""

    measured: Measured
    critical_w: float
    w_prime_j: float
    recovery_w: float
    rounds: int
    work_s: int
    recovery_s: int

    def until_empty(self, power_w: float, model: RecoveryModel) -> RunningOut | Missing:
        """Where W' would run out at a power."""
        return rounds_until_empty(
            critical_power_w=self.critical_w,
            w_prime_j=self.w_prime_j,
            power_w=power_w,
            rounds=self.rounds,
            work_s=self.work_s,
            recovery_s=self.recovery_s,
            recovery_power_w=self.recovery_w,
            model=model,
        )

    def leaving(self, reserve_fraction: float, model: RecoveryModel) -> EvenEffort | Missing:
        """The even power that leaves a share of W' after the last round, with the errors of the fit."""
        return even_power_for_reserve(
            critical_power_w=self.critical_w,
            w_prime_j=self.w_prime_j,
            rounds=self.rounds,
            work_s=self.work_s,
            recovery_s=self.recovery_s,
            recovery_power_w=self.recovery_w,
            reserve_fraction=reserve_fraction,
            model=model,
            critical_power_se_w=self.measured.value_error,
            w_prime_se_j=self.measured.capacity_error,
            correlation=self.measured.correlation,
        )


def curve_of(scene: TargetScene) -> Curve | None:
    """The client's critical power for this way of moving; None when there is none."""
    found = scene.newest(MeasuredKind.CRITICAL_POWER, scene.mode)
    if found is None or found.capacity is None or scene.mode not in POWER_MODES:
        return None
    recovery_w = scene.wishes.recovery_power_w
    asked = scene.asked
    return Curve(
        found,
        found.value,
        found.capacity,
        round(RECOVERY_FRACTION * found.value) if recovery_w is None else recovery_w,
        asked.rounds,
        asked.work_s,
        asked.recovery_s,
    )


def talk_power_option(scene: TargetScene) -> Option | None:
    """Power from a talk test; None where power is not seen."""
    if scene.mode not in POWER_MODES:
        return None
    title = "Power, from a talk test"
    found = scene.newest(MeasuredKind.TALK_POWER, scene.mode)
    missing = [effort_first(scene)] if scene.is_paced_by_effort_only else []
    if found is None:
        missing.append("no power at “rather not talk” is kept; read it in a talk test and keep it with the tests")
    elif stale := scene.gone_stale(found):
        missing.append(f"the talk test is of {day_words(found.measured_on)}, {stale}")
    if missing or found is None:
        return missing_option("power_talk", TargetForm.POWER, title, missing, rule=_TALK_RULE)
    most_w = _most_w(_counting_curve(scene))
    value, decided = _no_leap(scene, found.value * ABOVE_TALK_FRACTION, "1.05 times the talk power", most_w)
    hardest = found.value * ABOVE_TALK_FRACTION * (1 + TALK_BAND_FRACTION) * (1 - scene.target_off)
    hardest = max(value, hardest if most_w is None else min(hardest, most_w))
    why = Why(
        (
            Figure("power at “rather not talk”", f"{found.value:.0f} W, {day_words(found.measured_on)}"),
            Figure("decided by", decided),
            *scene.days_off_figures,
            *_other_wheel(found, scene.mode),
        ),
        _TALK_RULE,
        Provenance.COMMON_PRACTICE,
        None,
        "A new talk test, or critical power from all-out trials after six good hard sessions.",
    )
    target = _power_target(value, TALK_BAND_FRACTION, hardest, found, why)
    return Option(
        "power_talk",
        TargetForm.POWER,
        title,
        target,
        (),
        f"{value:.0f} W in each round; after round 1 up to 5 % more or less. Decided by: {decided}.",
        "A talk test repeats within a few per cent only; effort decides.",
        why,
        hardest=hardest,
    )


def curve_power_option(scene: TargetScene) -> Option | None:
    """The even power that leaves a reserve, from critical power; None where power is not seen."""
    if scene.mode not in POWER_MODES:
        return None
    title = "Even power, from critical power"
    curve = curve_of(scene)
    missing = [effort_first(scene)] if scene.is_paced_by_effort_only else []
    if curve is None:
        missing.append("no critical power is kept for this client; it is fitted from all-out trials, not in the base")
    elif stale := scene.gone_stale(curve.measured):
        missing.append(f"critical power is of {day_words(curve.measured.measured_on)}, {stale}")
    elif unlikely := out_of_reach(curve.measured.kind, curve.critical_w, curve.w_prime_j):
        missing.append(unlikely)
    if missing or curve is None:
        return missing_option("power_curve", TargetForm.POWER, title, missing, rule=_CURVE_RULE)
    try:
        proposed = _proposed(scene, curve)
    except OutOfRange as refusal:
        return missing_option("power_curve", TargetForm.POWER, title, [str(refusal)], rule=_CURVE_RULE)
    if proposed.value is None:
        models = tuple(_model_line(curve, one, None, scene) for one in RecoveryModel)
        return missing_option(
            "power_curve", TargetForm.POWER, title, [proposed.decided_by], rule=_CURVE_RULE, models=models
        )
    return _offered(scene, curve, proposed, proposed.value, title)


def _offered(scene: TargetScene, curve: Curve, proposed: Proposed, lowest_w: float, title: str) -> Option:
    value, decided = _no_leap(scene, lowest_w, proposed.decided_by, _most_w(curve))
    hardest = proposed.ceiling * (1 - scene.target_off)
    band = EVEN_OUTSIDE if scene.mode is Mode.RIDE else EVEN_INDOORS
    measured = curve.measured
    why = Why(
        (
            Figure("critical power", _with_error(curve.critical_w, measured.value_error, "W")),
            Figure("W'", _with_error(curve.w_prime_j / 1000, _thousandth(measured.capacity_error), "kJ", digits=1)),
            Figure("from", f"{day_words(measured.measured_on)}, {HOW_WORDS[measured.how]}"),
            Figure("rounds", f"{curve.rounds} × {curve.work_s} s, {curve.recovery_s} s at {curve.recovery_w:.0f} W"),
            Figure("reserve asked for", percent(scene.wishes.reserve_fraction)),
            Figure("decided by", decided),
            Figure("share of critical power", percent(value / curve.critical_w)),
            *scene.days_off_figures,
            *_other_wheel(measured, scene.mode),
        ),
        _CURVE_RULE,
        Provenance.HOUSE,
        "forms: Skiba et al. 2015 and 2012, Ferguson et al. 2010",
        "Newer trials, another reserve, or rounds that were well executed at more.",
        ("proposed_even_power", "even_power_for_reserve", "rounds_until_empty"),
    )
    return Option(
        "power_curve",
        TargetForm.POWER,
        title,
        _power_target(value, band, hardest, measured, why),
        (),
        f"{value:.0f} W in each round, {percent(value / curve.critical_w)} of critical power. "
        f"Decided by: {decided}.{lowest_words(proposed, _watts)}",
        _uncertainty(curve, scene),
        why,
        tuple(_model_line(curve, one, value, scene) for one in RecoveryModel),
        hardest=hardest,
    )


def lowest_words(proposed: Proposed, said: Callable[[float], str]) -> str:
    """Which form is the lowest, and what it gives before anything caps it."""
    lowest = proposed.lowest
    if lowest is None or lowest.value is None:
        return ""
    return f" The lowest form ({MODEL_WORDS[lowest.model]}) gives {said(lowest.value)}."


def _watts(power_w: float) -> str:
    return f"{power_w:.0f} W"


def _proposed(scene: TargetScene, curve: Curve) -> Proposed:
    return proposed_even_power(
        critical_power_w=curve.critical_w,
        w_prime_j=curve.w_prime_j,
        rounds=curve.rounds,
        work_s=curve.work_s,
        recovery_s=curve.recovery_s,
        recovery_power_w=curve.recovery_w,
        reserve_fraction=scene.wishes.reserve_fraction,
        is_first_session=_is_first(scene),
        shown_by_own_rounds_w=_shown_w(scene),
        critical_power_se_w=curve.measured.value_error,
        w_prime_se_j=curve.measured.capacity_error,
        correlation=curve.measured.correlation,
    )


def _is_first(scene: TargetScene) -> bool:
    """Whether it begins: no hard session done here or brought in, or none since targets begin afresh."""
    if scene.afresh is not None:
        return all(one.on < scene.afresh.back_on for one in scene.executed)
    return scene.hard_done == 0 and not scene.is_brought_in


def _shown_w(scene: TargetScene) -> float | None:
    """The highest mean power of the client's own well-executed sessions, the same way of moving."""
    shown = [
        one.power_w
        for one in scene.executed
        if one.counts_as is CountsAs.GOOD
        and one.mode is scene.mode
        and one.power_w is not None
        and not scene.before_afresh(one.on)
    ]
    return max((one for one in shown if one > 1), default=None)


def _counting_curve(scene: TargetScene) -> Curve | None:
    """The critical power that may hold another form down: one that counts and can be."""
    curve = curve_of(scene)
    if curve is None or scene.gone_stale(curve.measured):
        return None
    return None if out_of_reach(curve.measured.kind, curve.critical_w, curve.w_prime_j) else curve


def _most_w(curve: Curve | None) -> float | None:
    """The most watts that are proposed by any form, whole; None without a critical power."""
    return None if curve is None else float(math.floor(CEILING * curve.critical_w + 1e-9))


def _no_leap(scene: TargetScene, wanted_w: float, decided_by: str, most_w: float | None) -> tuple[float, str]:
    """Never above 112 % of critical power, nor more than one step above the last target of this kind of session."""
    if most_w is not None and wanted_w > most_w:
        decided_by, wanted_w = "nothing above 112 % of critical power is proposed", most_w
    last = scene.last_target(TargetForm.POWER)
    if last is not None and last.value is not None and wanted_w > last.value * (1 + STEP_FRACTION):
        decided_by = f"one step of 2.5 % above the last target, {last.value:.0f} W"
        wanted_w = last.value * (1 + STEP_FRACTION)
    return float(round(scene.after_days_off(wanted_w, TargetForm.POWER))), decided_by


def _model_line(curve: Curve, model: RecoveryModel, value_w: float | None, scene: TargetScene) -> ModelLine:
    own = curve.leaving(scene.wishes.reserve_fraction, model)
    if isinstance(own, Missing):
        return ModelLine(MODEL_WORDS[model], own.reason, None, None)
    line = ModelLine(MODEL_WORDS[model], own.notes[1], own.value, own.range)
    if value_w is None:
        return line
    at_value = curve.until_empty(value_w, model)
    if isinstance(at_value, Missing):
        return line
    left = at_value.reserve_after_rounds
    # The solver carries the errors of the fit for the reserve it is asked to leave; asked for this one, it finds
    # this power again, with the ranges after each round.
    again = curve.leaving(left[-1], model) if len(left) == curve.rounds and 0 <= left[-1] <= 0.95 else None
    ranges = again.reserve_range_after_rounds if isinstance(again, EvenEffort) else None
    return replace(line, left=left, left_range=ranges or ())


def _power_target(value: float, band: float, hardest: float, found: Measured, why: Why) -> SessionTarget:
    low, high = float(round(value * (1 - band))), float(round(value * (1 + band)))
    high = max(value, min(high, float(math.floor(hardest + 1e-9))))
    return SessionTarget(TargetForm.POWER, value, low, high, (), None, found.plainly, why, found.id)


def _uncertainty(curve: Curve, scene: TargetScene) -> str:
    answers = [curve.leaving(scene.wishes.reserve_fraction, one) for one in RecoveryModel]
    found = [one for one in answers if isinstance(one, EvenEffort)]
    values = [one.value for one in found]
    ranges = [one.range for one in found if one.range is not None]
    spread = f"The forms lie {min(values):.0f} to {max(values):.0f} W" if values else "No form answers"
    if not ranges:
        return f"{spread}; {_UNKNOWN_RANGE}. A rough gauge: it does not foretell a person's exhaustion."
    low, high = min(one[0] for one in ranges), max(one[1] for one in ranges)
    return (
        f"{spread}; with the errors of the fit {low:.0f} to {high:.0f} W. A rough gauge: it does not foretell a "
        "person's exhaustion."
    )


def _other_wheel(measured: Measured, mode: Mode) -> tuple[Figure, ...]:
    if measured.mode is mode:
        return ()
    return (Figure("mind", "measured indoors and used outdoors, or the other way round: the two often differ"),)


def _with_error(value: float, error: float | None, unit: str, *, digits: int = 0) -> str:
    return f"{value:.{digits}f} {unit}, " + ("error not known" if error is None else f"± {error:.{digits}f}")


def _thousandth(value: float | None) -> float | None:
    return None if value is None else value / 1000
