"""The practice's hills held against one client's rounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.hill_effort import Aim, HillEffort, Sources, body_mass, power_for, uptake_for
from app.coaching.hill_fit import (
    MAY_DO,
    WANTED_FRACTION,
    HillFit,
    RideAsked,
    RoundAsked,
    instead_words,
    ride_fit,
)
from app.coaching.hill_fit_on_foot import FootAsked, fit_by_trial, foot_fit, in_order
from app.coaching.hills import BIKE_MASS_ASSUMED_KG, ON_HILLS, Hill, Rider
from app.coaching.history import History
from app.coaching.measured import Measured
from app.coaching.people import Mode
from app.physiology.gearing import USUAL_WHEEL_M
from app.physiology.values import Missing

_ON_FOOT_INSTEAD = (
    "Look for a longer stretch, or take a treadmill with an incline: raise it 1-2 % at a time, hands off the rails, "
    "clip on."
)
_RIDE_INSTEAD = "Look for a hill of 3-4 % in daylight, with room to turn; otherwise indoors."


#: What goes up a hill like what is done elsewhere.
_LIKE_OUTSIDE = {
    Mode.RIDE: Mode.RIDE,
    Mode.INDOOR_RIDE: Mode.RIDE,
    Mode.RUN: Mode.RUN,
    Mode.WALK: Mode.WALK,
    Mode.TREADMILL: Mode.WALK,
}


@dataclass(frozen=True, slots=True)
class HillQuestion:
    """What hills are held against: how it is moved, the rounds, and what the coach typed of the effort.

    `typed` is a power in W for riding, a pace in s/km on the flat for running, an oxygen uptake in mL/kg/min for
    walking.
    """

    mode: Mode
    round: RoundAsked
    typed: float | None
    #: The target that stands for such rounds, where there is one.
    aim: Aim | None = None


@dataclass(frozen=True, slots=True)
class HillsHeld:
    """Hills held against rounds, the best first."""

    #: The effort, or what is lacking; likewise everything that is moved (the client alone on foot).
    effort: HillEffort | Missing
    mass: HillEffort | Missing
    fits: tuple[HillFit, ...]
    #: What to do when none fits; None when one does or may.
    instead: str | None


def held_against(
    hills: Sequence[Hill],
    question: HillQuestion,
    *,
    known: History,
    measured: tuple[Measured, ...],
    rider: Rider,
    today: date,
) -> HillsHeld:
    """Every hill in use that is for this way of moving, held against the rounds."""
    offered = [one for one in hills if one.retired_at is None and one.is_for(question.mode)]
    body = body_mass(rider, known)
    sources = Sources(known, measured, question.aim, question.typed, today)
    if question.mode is not Mode.RIDE:
        effort = uptake_for(sources, question.mode)
        fits = in_order([_on_foot(hill, question, effort) for hill in offered], WANTED_FRACTION)
        return HillsHeld(effort, body, fits, None if _any_may_do(fits) else _ON_FOOT_INSTEAD)
    effort = power_for(sources, body)
    mass = _moved(body, rider)
    if isinstance(effort, Missing) or isinstance(mass, Missing):
        fits = in_order([fit_by_trial(hill, question.mode) for hill in offered], WANTED_FRACTION)
        return HillsHeld(effort, mass, fits, None if _any_may_do(fits) else _RIDE_INSTEAD)
    wheel_m = rider.wheel_circumference_m or USUAL_WHEEL_M
    asked = RideAsked(question.round, effort.value, mass.value, rider.front_teeth, rider.rear_teeth, wheel_m)
    fits = in_order([ride_fit(hill, asked) for hill in offered], WANTED_FRACTION)
    return HillsHeld(effort, mass, fits, None if _any_may_do(fits) else instead_words(asked))


def mode_on_hills(known: History, ahead: Sequence[Mode]) -> Mode:
    """How a client would go up a hill: as the next rounds go, else as they move most; else walking."""
    wanted = [one for one in (_LIKE_OUTSIDE.get(mode) for mode in ahead) if one is not None]
    if wanted:
        return wanted[0]
    moved = [one for one in (_LIKE_OUTSIDE.get(log.mode) for log in known.logs) if one is not None]
    return max(ON_HILLS, key=moved.count) if moved else Mode.WALK


def _any_may_do(fits: Sequence[HillFit]) -> bool:
    return any(one.fit in MAY_DO for one in fits)


def _on_foot(hill: Hill, question: HillQuestion, effort: HillEffort | Missing) -> HillFit:
    if isinstance(effort, Missing):
        return fit_by_trial(hill, question.mode)
    return foot_fit(hill, FootAsked(question.round, question.mode, effort.value))


def _moved(body: HillEffort | Missing, rider: Rider) -> HillEffort | Missing:
    """Rider and bicycle together."""
    if isinstance(body, Missing):
        return body
    if rider.bike_mass_kg is not None:
        return HillEffort(
            body.value + rider.bike_mass_kg, f"{body.comes_from}, and a bicycle of {rider.bike_mass_kg:g} kg"
        )
    words = f"{body.comes_from}, and {BIKE_MASS_ASSUMED_KG:g} kg for a bicycle nobody weighed (our own choice)"
    return HillEffort(body.value + BIKE_MASS_ASSUMED_KG, words)
