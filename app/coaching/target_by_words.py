"""Targets in words: effort and talk for everybody, the treadmill's incline, and whole lengths in the pool.

Source: common practice, no published source.
"""

from __future__ import annotations

from app.coaching.measured import MeasuredKind
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.session_steps import EFFORT_END, EFFORT_END_FIRST, EFFORT_NEVER_ABOVE, EFFORT_START, target_words
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_values import Option, TargetScene, missing_option
from app.coaching.words import counted, short_day

#: A swum round lasts about so long, and is a whole number of lengths.
SWUM_LEAST_S, SWUM_MOST_S = 180, 240
#: The steepest a treadmill is set for walking rounds (house choice).
STEEPEST_PERCENT = 15.0
_ONLY_WORDS = "Words have no error of their own; the talk answer beats the number, the number beats heart rate."
INCLINE_WORDS = (
    "Speed stays as it is; the incline goes up 1 or 2 % at a time until words get short by the third minute. Hands "
    "off the rails, safety clip on."
)
POOL_WORDS = "Whole lengths nearest to 3 or 4 minutes, by effort and stroke count. No heart rate, and never alone."


def effort_option(scene: TargetScene) -> Option:
    """Effort and talk: always there, and the only form for whoever began untrained."""
    is_gentler = scene.first_of_phase or scene.target_off > 0
    end = EFFORT_END_FIRST if is_gentler else EFFORT_END
    says = target_words(first_of_phase=is_gentler)
    why = Why(
        (
            Figure("effort at the start of a round", str(EFFORT_START)),
            Figure("effort at its end", f"{end}, never above {EFFORT_NEVER_ABOVE}"),
            Figure("hard sessions done", str(scene.hard_done)),
            *scene.days_off_figures,
        ),
        "Effort and speech pace everybody, and alone whoever began untrained, through the first six hard sessions.",
        Provenance.COMMON_PRACTICE,
        None,
        "Nothing: it goes beside every other form too.",
    )
    target = SessionTarget(TargetForm.EFFORT, float(end), None, None, (), None, "effort and talk", why)
    return Option("effort", TargetForm.EFFORT, "Effort and talk", target, (), says, _ONLY_WORDS, why)


def incline_option(scene: TargetScene) -> Option | None:
    """The treadmill's incline, raised until words shorten; None for any other way of moving."""
    if scene.mode is not Mode.TREADMILL:
        return None
    rule = "Raised by 1 or 2 % at a time until words shorten by minute 3; never compared with the road."
    if scene.is_paced_by_effort_only:
        return missing_option("incline", TargetForm.INCLINE, "Incline", (effort_first(scene),), rule=rule)
    last = scene.last_target(TargetForm.INCLINE)
    value = last.value if last is not None and not scene.is_first_by(TargetForm.INCLINE) else None
    said = Figure("incline of the last session", "none kept" if value is None else f"{value:g} %")
    if value is not None:
        value = round(scene.after_days_off(value, TargetForm.INCLINE), 1)
    why = Why(
        (said, *scene.days_off_figures),
        rule,
        Provenance.COMMON_PRACTICE,
        None,
        "An incline typed here, once one was found by talk.",
    )
    basis = "the incline of the last session" if value is not None else "found by talk on the day"
    target = SessionTarget(TargetForm.INCLINE, value, None, None, (), None, basis, why)
    return Option(
        "incline",
        TargetForm.INCLINE,
        "Incline of the treadmill",
        target,
        (),
        INCLINE_WORDS,
        "Treadmills differ from each other and from the road; only the same machine is comparable.",
        why,
        hardest=STEEPEST_PERCENT,
    )


def pool_option(scene: TargetScene) -> Option | None:
    """Whole lengths in the pool, with the critical speed's pace beside them where it is known; None out of water."""
    if scene.mode is not Mode.SWIM:
        return None
    curve = scene.newest(MeasuredKind.CRITICAL_SPEED, Mode.SWIM)
    stale = "not measured" if curve is None else scene.gone_stale(curve)
    figures = [Figure("length of the pool", f"{scene.wishes.pool_m:g} m")]
    distance_m: float | None = None
    sentence = POOL_WORDS
    if curve is not None and not stale:
        lengths = max(1, round(_middle_s(scene.asked.work_s) * curve.value / scene.wishes.pool_m))
        distance_m = lengths * scene.wishes.pool_m
        time_s = distance_m / curve.value
        figures += [
            Figure("critical speed in the water", f"{curve.value:.2f} m/s, {short_day(curve.measured_on)}"),
            Figure("pace at critical speed", f"{100 / curve.value:.0f} s per 100 m"),
        ]
        sentence = f"{counted(lengths, 'length')}, {distance_m:g} m, about {time_s / 60:.1f} min. {POOL_WORDS}"
    else:
        figures.append(Figure("critical speed in the water", f"{stale}: lengths by the clock"))
    why = Why(
        tuple(figures),
        "Whole lengths nearest to 3 or 4 minutes; effort and stroke count steer, heart rate does not.",
        Provenance.COMMON_PRACTICE,
        None,
        "Two or three all-out swims of different length give a critical speed.",
    )
    figure_id = None if curve is None or stale else curve.id
    target = SessionTarget(
        TargetForm.POOL, distance_m, None, None, (), None, "effort and stroke count", why, figure_id
    )
    uncertainty = "Two swims always fit one line: the speed they give has no error of its own."
    return Option("pool", TargetForm.POOL, "Whole lengths", target, (), sentence, uncertainty, why)


def effort_first(scene: TargetScene) -> str:
    """Why nothing but effort is offered yet."""
    return (
        f"paced by effort and speech alone at first: {counted(scene.hard_done, 'hard session')} done of the first six"
    )


def _middle_s(work_s: int) -> float:
    return float(min(SWUM_MOST_S, max(SWUM_LEAST_S, work_s)))
