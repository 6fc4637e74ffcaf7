"""Whether a hill of the practice fits a round on foot, and hills held against no known effort at all."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.hill_fit import (
    GENTLEST_FOR_ROUNDS,
    Fit,
    HillFit,
    RoundAsked,
    about_m,
    back_words,
    fit_by_length,
    length_words,
    longest_round,
    time_words,
)
from app.coaching.hills import Hill
from app.coaching.people import Mode
from app.coaching.reasons import Figure, Why
from app.coaching.words import counted
from app.physiology.hill_on_foot import HillOnFoot, hill_for_round_on_foot
from app.physiology.oxygen_cost import (
    SLOWEST_RUN,
    SLOWEST_WALK,
    Gait,
    vo2_running_bushman_2020,
    vo2_walking_bushman_2020,
)
from app.physiology.provenance import Provenance
from app.physiology.sources import SOURCES
from app.physiology.values import OutOfRange

#: Common practice, no published source: walkers walk down in comfort, runners jog.
DOWN_M_PER_MIN = {Mode.WALK: 80.0, Mode.RUN: 120.0}
_DOWN_WORDS = {Mode.WALK: "Walking down", Mode.RUN: "Jogging down"}
GAITS = {Mode.WALK: Gait.WALK, Mode.RUN: Gait.RUN}
_COSTS = {Mode.WALK: vo2_walking_bushman_2020, Mode.RUN: vo2_running_bushman_2020}
_STEEP = {
    Mode.WALK: "Steeper than the walking equation reaches at this effort: go by effort, and note where a round ends.",
    Mode.RUN: "Too steep to run at this effort: walk it.",
}
_GENTLE = {
    Mode.WALK: "Too gentle: at this effort the walk would become a run.",
    Mode.RUN: "Too gentle for a run the equation describes.",
}
_NO_LAMPS = "No lamps: daylight only."


@dataclass(frozen=True, slots=True)
class FootAsked:
    """Rounds on foot and the oxygen uptake they are meant to cost."""

    round: RoundAsked
    mode: Mode
    vo2_ml_per_kg_min: float


def foot_fit(hill: Hill, asked: FootAsked) -> HillFit:
    """A hill held against rounds of walking or running.

    Source: [bushman2020], second opinion [minetti2002]; 80 and 120 m/min on the way down are common practice, no
    published source.
    """
    try:
        found = hill_for_round_on_foot(
            gait=GAITS[asked.mode],
            vo2_ml_per_kg_min=asked.vo2_ml_per_kg_min,
            work_s=asked.round.work_s,
            slope=hill.slope_fraction,
            recovery_s=asked.round.recovery_s,
            back_speed_m_per_min=DOWN_M_PER_MIN[asked.mode],
        )
    except OutOfRange as outside:
        return _outside(hill, asked, str(outside))
    longest_s = longest_round(hill, asked.round.work_s, found.range[1])
    fit, against, mind = _judged(hill, asked, found, longest_s)
    return HillFit(
        hill=hill,
        fit=fit,
        against=against,
        mind=mind,
        speed_km_per_h=found.speed_m_per_min * 60 / 1000,
        needed_m=found.value,
        range_m=found.range,
        cadence_per_min=None,
        back_s=found.back_s,
        longest_round_s=longest_s,
        why=_why(hill, asked, found),
    )


def fit_by_trial(hill: Hill, mode: Mode) -> HillFit:
    """A hill when neither power nor oxygen uptake is known: what can be said without, and how to find the rest."""
    is_ride = mode is Mode.RIDE
    against = []
    if is_ride and not hill.has_room_to_turn:
        against.append("No room to turn.")
    if is_ride and hill.slope_fraction < GENTLEST_FOR_ROUNDS:
        against.append("Under 3 %: the resistance lets go.")
    light = "Daylight only." if is_ride else _NO_LAMPS
    mind = (light,) if is_ride or not hill.is_lit else ()
    wind = ("Open to wind.",) if hill.is_exposed else ()
    rule = (
        "By effort alone: go up once for the length of a round at the effort it begins with, and note where you are. "
        "The practice looks for about 6 % where the rider stays seated, otherwise 3-4 % or indoors."
    )
    why = Why((Figure("hill", hill.measure),), rule, Provenance.COMMON_PRACTICE, None, "A power or a fitness test.")
    fit = Fit.NO if against else Fit.TRY
    return HillFit(hill, fit, tuple(against), (*mind, *wind), None, None, None, None, None, None, why)


def in_order(fits: list[HillFit], wanted_fraction: float) -> tuple[HillFit, ...]:
    """The best first, among equals the one nearest to the wanted slope."""
    ranks = list(Fit)
    return tuple(sorted(fits, key=lambda one: (ranks.index(one.fit), abs(one.hill.slope_fraction - wanted_fraction))))


def _judged(
    hill: Hill, asked: FootAsked, found: HillOnFoot, longest_s: int
) -> tuple[Fit, tuple[str, ...], tuple[str, ...]]:
    """How it fits, what speaks against it and what to mind; on foot nobody has to be back at the foot of the hill."""
    mind = () if hill.is_lit else (_NO_LAMPS,)
    fit = fit_by_length(hill, found.value, found.range[1])
    if fit is Fit.SHORT:
        return fit, (length_words(longest_s),), mind
    if found.back_fits is not False:
        return fit, (), mind
    down_m = DOWN_M_PER_MIN[asked.mode] * asked.round.recovery_s / 60
    step_m = found.range[1] - down_m
    whole_m = found.range[1] + (asked.round.rounds - 1) * step_m
    if hill.length_m >= whole_m:
        return Fit.PARTLY, (_part_of_the_way(asked, down_m, step_m, whole_m),), mind
    shorter_s = asked.round.work_s * asked.round.recovery_s / found.back_s
    return Fit.NO, (back_words(_DOWN_WORDS[asked.mode], found.back_s, shorter_s),), mind


def _part_of_the_way(asked: FootAsked, down_m: float, step_m: float, whole_m: float) -> str:
    """What to say where the recovery is over before the foot, and the hill goes on for rounds one above another."""
    rest, down = time_words(asked.round.recovery_s), _DOWN_WORDS[asked.mode].lower()
    return (
        f"Only part of the way back: {down} for {rest} covers about {about_m(down_m):.0f} m. Begin at the foot; each "
        f"round begins about {about_m(step_m):.0f} m higher, and {counted(asked.round.rounds, 'round')} go up "
        f"{about_m(whole_m):.0f} m in all."
    )


def _outside(hill: Hill, asked: FootAsked, sentence: str) -> HillFit:
    """A speed that would be no walk or no run. A walk too steep for the equation may still be tried by effort."""
    slowest = SLOWEST_WALK if asked.mode is Mode.WALK else SLOWEST_RUN
    at_slowest = _COSTS[asked.mode](slowest, hill.slope_fraction).value
    is_steep = at_slowest > asked.vo2_ml_per_kg_min
    words = (_STEEP if is_steep else _GENTLE)[asked.mode]
    why = Why(
        (
            Figure("hill", hill.measure),
            Figure("effort", f"{asked.vo2_ml_per_kg_min:.1f} mL/kg/min"),
            Figure("found", sentence),
        ),
        "The equations hold for walks of 50 to 134 and runs of 80 to 400 m a minute.",
        SOURCES["bushman2020"].provenance,
        SOURCES["bushman2020"].short,
        "Another hill, or going by effort alone.",
        ("hill_for_round_on_foot",),
    )
    if is_steep and asked.mode is Mode.WALK:
        light = () if hill.is_lit else (_NO_LAMPS,)
        return HillFit(hill, Fit.TRY, (), (words, *light), None, None, None, None, None, None, why)
    return HillFit(hill, Fit.NO, (words,), (), None, None, None, None, None, None, why)


def _why(hill: Hill, asked: FootAsked, found: HillOnFoot) -> Why:
    low, high = found.range
    pace = round(found.pace_s_per_km)
    figures = (
        Figure("round", f"{time_words(asked.round.work_s)} at {asked.vo2_ml_per_kg_min:.1f} mL/kg/min of oxygen"),
        Figure("hill", hill.measure),
        Figure("speed", f"{found.speed_m_per_min:.0f} m a minute, {pace // 60}:{pace % 60:02d} a kilometre"),
        Figure("length needed", f"{found.value:.0f} m; by the two opinions {low:.0f} to {high:.0f}"),
        Figure("height", f"{found.climb_m:.0f} m"),
        Figure("way down", f"{time_words(found.back_s)} at {DOWN_M_PER_MIN[asked.mode]:g} m a minute"),
        *(Figure("mind", note) for note in found.notes),
    )
    source = SOURCES["bushman2020"]
    return Why(
        figures,
        "The speed that costs this uptake on this slope, times the round; effort and talk decide on the day.",
        source.provenance,
        f"{source.short}; {SOURCES['minetti2002'].short}",
        "Going up it once and noting where the round ended.",
        ("hill_for_round_on_foot",),
    )
