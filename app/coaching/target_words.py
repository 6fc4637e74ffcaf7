"""A target as the client reads it: one sentence or two, and for running a line a round with its splits."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.ladders import LAP_M, SHORT_SPLIT_M, Split, clock, distance_in, splits
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.session_steps import EFFORT_NEVER_ABOVE, EFFORT_START
from app.coaching.session_target import WRONG_TARGET_FRACTION, SessionTarget, TargetForm, lowered, target_from_json
from app.coaching.target_by_words import INCLINE_WORDS, POOL_WORDS
from app.coaching.target_heart_rate import window_s
from app.coaching.target_values import rounds_asked
from app.physiology.units import KILOMETRE_M, MILE_M

#: A round under so many metres is split every 100 m, a longer one every lap.
SHORT_ROUND_M = 800.0
_EASIER_BY_WORDS = "clearly easier at once, until you could speak in sentences"
#: How finely a slower pace is told on the day, s/km.
_PACE_STEP_S = 5


@dataclass(frozen=True, slots=True)
class RoundLine:
    """One round of a run: how fast, how far, how long, and the clock on the way."""

    number: int
    pace: str
    distance: str
    time: str
    splits: tuple[Split, ...]


def target_words(target: SessionTarget, work_s: int) -> tuple[str, ...]:
    """What to aim for, in sentences; effort always has the last word."""
    made = {
        TargetForm.EFFORT: _effort,
        TargetForm.HEART_RATE: _heart_rate,
        TargetForm.POWER: _power,
        TargetForm.PACE: _pace,
        TargetForm.INCLINE: _incline,
        TargetForm.POOL: _pool,
    }[target.form]
    return made(target, work_s)


def short_target(target: SessionTarget, work_s: int) -> str:
    """The target in a few words, for a table."""
    if target.form is TargetForm.POWER and target.value is not None:
        return f"{target.value:.0f} W"
    if target.form is TargetForm.PACE:
        paces = target.rounds or ((target.value,) if target.value is not None else ())
        return f"{', '.join(clock(one) for one in paces)} a km"
    if target.form is TargetForm.INCLINE and target.value is not None:
        return f"incline {target.value:g} %"
    return target_words(target, work_s)[0]


def aim_in_short(session: PlannedSession) -> str:
    """What the rounds of a session aim at in a few words; empty without equal rounds or a target that can be read."""
    try:
        asked, target = rounds_asked(session), target_from_json(session.target_json)
    except DomainError:
        return ""
    return "" if asked is None or target is None else short_target(target, asked.work_s)


def round_lines(target: SessionTarget, rounds: int, work_s: int) -> tuple[RoundLine, ...]:
    """Each round of a run with its splits; empty for every other form."""
    if target.form is not TargetForm.PACE:
        return ()
    found = []
    for number in range(1, rounds + 1):
        pace = target.of_round(number)
        if pace is not None:
            found.append(_line(number, pace, target.distance_m, work_s))
    return tuple(found)


def round_aim(target: SessionTarget, number: int) -> str:
    """What one round aims at, as a clock says it when the round begins; empty where words are all there is."""
    if target.form is TargetForm.POWER and target.value is not None:
        return f"Hold {target.value:.0f} W."
    if target.form is TargetForm.PACE and (pace := target.of_round(number)) is not None:
        return f"Hold {clock(pace)} a km."
    if target.form is TargetForm.INCLINE and target.value is not None:
        return f"Incline {target.value:g} %."
    if target.form is TargetForm.POOL and target.value is not None:
        return f"Swim {target.value:.0f} m."
    return ""


def _first_s(target: SessionTarget) -> str:
    """How a round begins, and what to do at once when the figure was too hard, in the target's own unit."""
    return (
        "The first 30 seconds almost silly-easy. If they hurt, or effort is above 7 after round 1: "
        f"{_easier_at_once(target)}. Above 8 after round 2: finish easy."
    )


def _easier_at_once(target: SessionTarget) -> str:
    gentler, hardest = lowered(target, WRONG_TARGET_FRACTION), target.hardest
    figure = None if gentler is None else gentler.hardest
    if target.form is TargetForm.POWER and figure is not None:
        return f"{figure:.0f} W at once, a tenth less"
    if target.form is TargetForm.PACE and figure is not None and hardest is not None:
        slower = _PACE_STEP_S * round((figure - hardest) / _PACE_STEP_S)
        return f"every round from then on about {slower} seconds a kilometre slower, a tenth less speed"
    return _EASIER_BY_WORDS


def _line(number: int, pace: float, distance_m: float | None, work_s: int) -> RoundLine:
    far = distance_in(pace, work_s) if distance_m is None else distance_m
    found = splits(pace, every_m=SHORT_SPLIT_M if far < SHORT_ROUND_M else LAP_M, distance_m=far)
    if distance_m is None:
        # A round by the clock ends where it ends; only whole laps are looked for on the way.
        found = tuple(one for one in found if one.distance_m < far)
    how_far = "1 mile" if far == MILE_M else f"{far:.0f} m" if distance_m is not None else f"about {far:.0f} m"
    return RoundLine(number, f"{clock(pace)} a km", how_far, clock(far * pace / KILOMETRE_M), found)


def _effort(target: SessionTarget, _work_s: int) -> tuple[str, ...]:
    end = 7 if target.value is None else target.value
    return (
        f"By effort and talk: each round from effort {EFFORT_START} to {end:.0f}, never above {EFFORT_NEVER_ABOVE}.",
        _first_s(target),
    )


def _heart_rate(target: SessionTarget, work_s: int) -> tuple[str, ...]:
    window = window_s(work_s)
    if window is None or target.low is None or target.high is None:
        return _effort(target, work_s)
    return (
        "By effort and talk. As a check only: heart rate between "
        f"{target.low:.0f} and {target.high:.0f} in the last {window[1] - window[0]} seconds of a round.",
        "Do not look before the second minute is over, and do not chase the number.",
    )


def _power(target: SessionTarget, _work_s: int) -> tuple[str, ...]:
    between = "" if target.low is None else f" Between {target.low:.0f} and {target.high:.0f} is fine."
    return (f"Hold {target.value or 0:.0f} W in each round, flat from start to end.{between}", _first_s(target))


def _pace(target: SessionTarget, _work_s: int) -> tuple[str, ...]:
    if target.rounds:
        how = "all alike"
        if len(set(target.rounds)) > 1:
            first, last = clock(target.rounds[0]), clock(target.rounds[-1])
            how = f"each a little quicker than the one before, from {first} to {last} a km"
        return (f"By pace, {how}, on flat ground, as below.", _first_s(target))
    return (
        f"Run each round at {clock(target.value or 0)} a km on flat ground, even from start to end.",
        _first_s(target),
    )


def _incline(target: SessionTarget, _work_s: int) -> tuple[str, ...]:
    start = "" if target.value is None else f"Incline {target.value:g} %. "
    return (f"{start}{INCLINE_WORDS}",)


def _pool(target: SessionTarget, _work_s: int) -> tuple[str, ...]:
    far = "" if target.value is None else f"Swim {target.value:.0f} m in each round. "
    return (f"{far}{POOL_WORDS}",)
