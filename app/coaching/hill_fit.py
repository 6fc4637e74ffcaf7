"""Whether a hill of the practice fits a round: shared values, and the judgement for a rider."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum

from app.coaching.hills import Hill, Surface
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Why
from app.coaching.steps import Part, flatten, from_json
from app.coaching.words import percent
from app.physiology.gearing import LOWEST_SEATED_CADENCE, SLOWEST_SEATED_KM_PER_H
from app.physiology.hill import FASTEST_BACK_KM_PER_H, HillForRound, hill_for_round
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES
from app.physiology.values import Missing

#: Common practice, no published source: about 6 %, otherwise 3-4 % or indoors.
WANTED_FRACTION, GENTLE_FRACTION, GENTLEST_FOR_ROUNDS = 0.06, 0.035, 0.03
#: House choice: a wind that moves leaves and small twigs, tried from ahead and from behind on an open hill.
OPEN_WIND_M_PER_S = 4.0
_STEP_S, _STEP_M, _REST_STEP_S = 10, 10, 30
#: Common practice, no published source: both turns together.
TURNS_S = 20.0
#: A single round has no recovery that the way back must fit into.
NO_WAY_BACK_S = 3600


class Fit(StrEnum):
    """How a hill suits a round; the best stands first."""

    FITS = "fits"
    JUST = "just"
    PARTLY = "partly"
    TRY = "try"
    SHORT = "short"
    NO = "no"


FIT_WORDS = {
    Fit.FITS: "fits",
    Fit.JUST: "just long enough",
    Fit.PARTLY: "long enough, with only part of the way back",
    Fit.TRY: "to be tried",
    Fit.SHORT: "too short for this round",
    Fit.NO: "does not fit",
}


#: Where the rounds may be done.
MAY_DO = frozenset({Fit.FITS, Fit.JUST, Fit.PARTLY, Fit.TRY})


@dataclass(frozen=True, slots=True)
class RoundAsked:
    """One session's rounds."""

    work_s: int
    recovery_s: int
    rounds: int


@dataclass(frozen=True, slots=True)
class RideAsked:
    """Rounds on a bicycle: power, everything that is moved, and the lowest gear where it is known."""

    round: RoundAsked
    power_w: float
    total_mass_kg: float
    front_teeth: int | None
    rear_teeth: int | None
    wheel_circumference_m: float


@dataclass(frozen=True, slots=True)
class HillFit:
    """One hill held against one round."""

    hill: Hill
    fit: Fit
    #: What speaks against it, and what to mind there, in sentences.
    against: tuple[str, ...]
    mind: tuple[str, ...]
    speed_km_per_h: float | None
    #: Length the round needs, with its range; None when no effort is known.
    needed_m: float | None
    range_m: tuple[float, float] | None
    cadence_per_min: float | None
    back_s: float | None
    #: The longest round the hill surely has room for.
    longest_round_s: int | None
    why: Why

    @property
    def words(self) -> str:
        """How it fits, in a word or two."""
        return FIT_WORDS[self.fit]


def round_of(session: PlannedSession) -> RoundAsked | None:
    """The longest round of a planned session with its recovery; None for a session without rounds."""
    steps = list(flatten(from_json(session.steps_json)))
    work = [step.duration_s for step in steps if step.part is Part.WORK]
    rests = [step.duration_s for step in steps if step.part is Part.RECOVERY]
    if not work:
        return None
    return RoundAsked(max(work), min(rests) if rests else NO_WAY_BACK_S, len(work))


def time_words(seconds: float) -> str:
    """Minutes and seconds: "4 min", "2:50 min"."""
    whole, rest = divmod(round(seconds), 60)
    return f"{whole}:{rest:02d} min" if rest else f"{whole} min"


def about_m(length_m: float) -> float:
    """A length as finely as it is known: to 10 m."""
    return _STEP_M * round(length_m / _STEP_M)


def longest_round(hill: Hill, work_s: int, longest_m: float) -> int:
    """The longest round, in steps of 10 s, for which the hill is long enough even at the far end of the range."""
    return int(work_s * hill.length_m / longest_m) // _STEP_S * _STEP_S


def fit_by_length(hill: Hill, needed_m: float, longest_m: float) -> Fit:
    """How a hill does for length alone."""
    if hill.length_m >= longest_m:
        return Fit.FITS
    return Fit.JUST if hill.length_m >= needed_m else Fit.SHORT


def length_words(longest_s: int) -> str:
    """What a hill that is too short still has room for."""
    return f"Too short: rounds up to {time_words(longest_s)} fit."


def back_words(way: str, back_s: float, longest_s: float) -> str:
    """What a recovery that is over before the way back asks for: `longest_s` is the round that fits it."""
    rest = _REST_STEP_S * math.ceil(back_s / _REST_STEP_S)
    shorter = int(longest_s) // _STEP_S * _STEP_S
    or_less = f", or rounds of {time_words(shorter)} at most" if shorter > 0 else ""
    return f"{way} takes {time_words(back_s)}: rest {time_words(rest)}{or_less}."


def ride_fit(hill: Hill, asked: RideAsked) -> HillFit:
    """A hill held against rounds on a bicycle.

    Source: [martin1998] for the speed; 3-4 and 6 %, 8 km/h, 60 turns and room to turn are common practice, no
    published source; 30 km/h at most on the way back likewise.
    """
    found = _ridden(asked, hill.slope_fraction, hill.surface)
    if isinstance(found, Missing):
        return _without(hill, found.reason)
    longest_s = longest_round(hill, asked.round.work_s, found.range[1])
    by_length = fit_by_length(hill, found.value, found.range[1])
    against = _against(hill, asked, found)
    fit = Fit.NO if against else by_length
    if by_length is Fit.SHORT:
        against = (*against, length_words(longest_s))
    return HillFit(
        hill=hill,
        fit=fit,
        against=against,
        mind=_mind(hill, asked),
        speed_km_per_h=found.speed_km_per_h,
        needed_m=found.value,
        range_m=found.range,
        cadence_per_min=found.cadence_per_min,
        back_s=found.back_s,
        longest_round_s=longest_s,
        why=_why(hill, asked, found),
    )


def steepest_for(asked: RideAsked) -> float | None:
    """The steepest slope this rider stays seated on, without wind, on an ordinary road; None: not even the flat."""
    found = _ridden(asked, WANTED_FRACTION)
    return None if isinstance(found, Missing) else found.steepest_seated_slope


def instead_words(asked: RideAsked) -> str:
    """What to do when no hill of the practice fits. Common practice, no published source."""
    steepest = steepest_for(asked)
    if steepest is None or steepest < GENTLEST_FOR_ROUNDS:
        return "Indoors: at this power no hill of 3 % or more is ridden seated in the lowest gear."
    gentle = _ridden(asked, min(GENTLE_FRACTION, steepest))
    length = "" if isinstance(gentle, Missing) else f" of at least {_STEP_M * math.ceil(gentle.range[1] / _STEP_M)} m"
    return f"Look for a hill of 3-4 %{length}, in daylight, with room to turn; otherwise indoors."


def _ridden(
    asked: RideAsked, slope: float, surface: Surface = Surface.ORDINARY, headwind_m_per_s: float = 0.0
) -> HillForRound | Missing:
    return hill_for_round(
        power_w=asked.power_w,
        work_s=asked.round.work_s,
        recovery_s=asked.round.recovery_s,
        total_mass_kg=asked.total_mass_kg,
        slope=slope,
        headwind_m_per_s=headwind_m_per_s,
        turns_s=TURNS_S,
        surface=surface,
        front_teeth=asked.front_teeth,
        rear_teeth=asked.rear_teeth,
        wheel_circumference_m=asked.wheel_circumference_m,
    )


def _without(hill: Hill, reason: str) -> HillFit:
    why = Why((Figure("hill", hill.measure),), "The round could not be reckoned.", Provenance.HOUSE)
    return HillFit(hill, Fit.NO, (f"{reason[0].upper()}{reason[1:]}.",), (), None, None, None, None, None, None, why)


def _against(hill: Hill, asked: RideAsked, found: HillForRound) -> tuple[str, ...]:
    """What rules a hill out, length apart."""
    said = []
    if not hill.has_room_to_turn:
        said.append("No room to turn.")
    if hill.slope_fraction < GENTLEST_FOR_ROUNDS:
        said.append("Under 3 %: the resistance lets go.")
    if not found.stays_seated:
        said.append(_not_seated(asked, found))
    if found.back_fits is False:
        rolls_s = found.back_s - TURNS_S
        longest_s = asked.round.work_s * max(asked.round.recovery_s - TURNS_S, 0) / rolls_s
        said.append(back_words("The roll back with both turns", found.back_s, longest_s))
    return tuple(said)


def _not_seated(asked: RideAsked, found: HillForRound) -> str:
    turns = "" if found.cadence_per_min is None else f" and {found.cadence_per_min:.0f} turns a minute"
    most = found.steepest_seated_slope
    up_to = "" if most is None else f" Seated up to {100 * most:.1f} %."
    return (
        f"Too steep at {asked.power_w:.0f} W: {found.speed_km_per_h:.1f} km/h{turns} in the lowest gear; staying "
        f"seated takes {SLOWEST_SEATED_KM_PER_H:g} km/h and {LOWEST_SEATED_CADENCE:g}.{up_to}"
    )


def _mind(hill: Hill, asked: RideAsked) -> tuple[str, ...]:
    said = ["Daylight only." if not hill.is_lit else "Daylight, although it is lit: a rider turns on the road."]
    if asked.front_teeth is None:
        said.append("The lowest gear is not known, so cadence was not looked at.")
    if hill.is_exposed:
        said.append(_in_the_wind(hill, asked))
    return tuple(said)


def _in_the_wind(hill: Hill, asked: RideAsked) -> str:
    winds = (OPEN_WIND_M_PER_S, -OPEN_WIND_M_PER_S)
    ahead, behind = (_ridden(asked, hill.slope_fraction, hill.surface, wind) for wind in winds)
    said = f"Open to wind. With {OPEN_WIND_M_PER_S:g} m/s"
    against = "" if isinstance(ahead, Missing) else f" from ahead {ahead.speed_km_per_h:.1f} km/h{_unseated(ahead)},"
    if isinstance(behind, Missing):
        return f"{said}{against} from behind faster than can be reckoned."
    short = ", more than there is" if behind.value > hill.length_m else ""
    return f"{said}{against} from behind a round needs {about_m(behind.value):.0f} m{short}."


def _unseated(found: HillForRound) -> str:
    return "" if found.stays_seated else " and no longer seated"


def _why(hill: Hill, asked: RideAsked, found: HillForRound) -> Why:
    low, high = found.range
    gear = "not known"
    if asked.front_teeth is not None:
        gear = (
            f"{asked.front_teeth} × {asked.rear_teeth} teeth, {asked.wheel_circumference_m:g} m a turn of the wheel"
        )
    figures = [
        Figure("round", f"{time_words(asked.round.work_s)} at {asked.power_w:.0f} W"),
        Figure("moved", f"{asked.total_mass_kg:.0f} kg, rider and bicycle"),
        Figure("hill", hill.measure),
        Figure("lowest gear", gear),
        Figure("speed", f"{found.speed_km_per_h:.1f} km/h, {found.climb_rate_m_per_h:.0f} m of height an hour"),
        Figure("length needed", f"{found.value:.0f} m, {low:.0f} to {high:.0f}"),
        Figure("height", f"{found.climb_m:.0f} m"),
        Figure("way back", f"{time_words(found.back_s)} at {found.back_km_per_h:.0f} km/h with both turns"),
    ]
    if found.steepest_seated_slope is not None:
        figures.append(Figure("seated up to", f"{100 * found.steepest_seated_slope:.1f} % at this power"))
    source = SOURCES["martin1998"]
    return Why(
        tuple(figures),
        f"Steady speed at the power on this slope, times the round. About {percent(WANTED_FRACTION)}, seated at "
        f"{SLOWEST_SEATED_KM_PER_H:g} km/h and {LOWEST_SEATED_CADENCE:g} turns a minute, back at "
        f"{FASTEST_BACK_KM_PER_H:g} km/h at most: common practice, no published source. "
        f"Drag and rolling are guesses; {found.error_words}.",
        source.provenance,
        source.short,
        "Another target, a lower gear, or riding it once and noting where the round ended.",
        ("hill_for_round",),
    )
