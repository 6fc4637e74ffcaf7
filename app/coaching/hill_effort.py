"""The effort a hill is reckoned for: typed by the coach, else the client's own rounds, else a fitness test."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.fitness_estimates import vo2max_of
from app.coaching.hills import Rider
from app.coaching.history import History
from app.coaching.measured import Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.session_logs import RoundDone, SessionLog
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.words import percent, short_day
from app.physiology.oxygen_cost import vo2_running_bushman_2020
from app.physiology.oxygen_cost_inverse import cycling_power_for_vo2_bushman_2020
from app.physiology.units import KILOMETRE_M
from app.physiology.values import Missing, OutOfRange
from app.physiology.vo2max import VO2max

#: House choice: rounds of these weeks still say what the next ones may be.
ROUNDS_COUNT_FOR = timedelta(weeks=8)
#: House choice: what a round of some minutes is taken to cost; the practice starts below what the literature aims at.
ROUND_SHARE = 0.85
_S_PER_MIN = 60.0
#: Common practice, no published source: what a first round is made of where no round was done yet.
_POWERS = (
    (MeasuredKind.CRITICAL_POWER, 1.0, "critical power"),
    (MeasuredKind.TALK_POWER, 1.05, "5 % over the talk test"),
)
_RIDES = (Mode.RIDE, Mode.INDOOR_RIDE)
ASK_POWER = "Type a power, or enter what the client weighs and a fitness test."
ASK_UPTAKE = "Type what is known, or enter a fitness test."


@dataclass(frozen=True, slots=True)
class HillEffort:
    """A power in W or an oxygen uptake in mL/kg/min, and where it comes from in words."""

    value: float
    comes_from: str


@dataclass(frozen=True, slots=True)
class Sources:
    """What an effort may be taken from."""

    known: History
    measured: tuple[Measured, ...]
    target: SessionTarget | None
    #: What the coach typed, in the unit the way of moving asks for.
    typed: float | None
    today: date


def body_mass(rider: Rider, known: History) -> HillEffort | Missing:
    """What the client weighs, the newest figure there is: said on the client's page, or weighed with a test."""
    weighed = [(one.tested_on, one.weight_kg, "with the test of") for one in known.tests if one.weight_kg is not None]
    if rider.body_mass_kg is not None and rider.body_mass_on is not None:
        weighed.append((rider.body_mass_on, rider.body_mass_kg, "as of"))
    if not weighed:
        return Missing(f"What {known.client.name} weighs is not known.")
    on, mass_kg, how = max(weighed, key=lambda one: one[0])
    return HillEffort(mass_kg, f"{mass_kg:.0f} kg, {how} {short_day(on)} {on.year}")


def power_for(asked: Sources, mass: HillEffort | Missing) -> HillEffort | Missing:
    """The power of a round on a bicycle, from the first of these that is known; Missing when none is.

    Typed; the session's own target; the last rounds done; critical power; a talk test; a guess from VO2max.
    """
    if asked.typed is not None:
        return HillEffort(asked.typed, f"{asked.typed:.0f} W, as typed")
    aimed = _aimed(asked.target, TargetForm.POWER, max)
    if aimed is not None:
        return HillEffort(aimed, f"{aimed:.0f} W, the target of the session")
    for log in _lately(asked.known.logs, _RIDES, asked.today):
        powers = [one.power_w for one in log.rounds if one.is_complete and one.power_w]
        if powers:
            mean_w = sum(powers) / len(powers)
            return HillEffort(mean_w, f"{mean_w:.0f} W, mean of the rounds of {short_day(log.done_on)}")
    return _measured_power(asked) or _guessed_power(asked, mass)


def _measured_power(asked: Sources) -> HillEffort | None:
    for kind, factor, words in _POWERS:
        found = newest_measured(asked.measured, kind, Mode.RIDE, asked.today)
        if found is not None and not is_too_old(found, asked.today):
            power_w = factor * found.value
            return HillEffort(power_w, f"{power_w:.0f} W, {words} of {short_day(found.measured_on)}")
    return None


def _guessed_power(asked: Sources, mass: HillEffort | Missing) -> HillEffort | Missing:
    uptake = _uptake_of_tests(asked.known)
    if isinstance(uptake, Missing) or isinstance(mass, Missing):
        return Missing(ASK_POWER)
    try:
        power_w = cycling_power_for_vo2_bushman_2020(uptake.value, mass.value).value
    except OutOfRange:
        return Missing(ASK_POWER)
    return HillEffort(power_w, f"about {power_w:.0f} W, a guess from {uptake.comes_from}")


def uptake_for(asked: Sources, mode: Mode) -> HillEffort | Missing:
    """The oxygen uptake of a round on foot, from the first of these that is known; Missing when none is.

    Typed (for walking an uptake in mL/kg/min, for running a pace on the flat in s/km); for a runner the session's own
    target, the last rounds as if they were flat, critical speed; else a share of VO2max.
    """
    if mode is Mode.WALK:
        if asked.typed is not None:
            return HillEffort(asked.typed, f"{asked.typed:.1f} mL/kg/min, as typed")
        return _uptake_of_tests(asked.known)
    if asked.typed is not None:
        return _running(KILOMETRE_M / asked.typed, f"{_pace(asked.typed)} on the flat, as typed")
    aimed = _aimed(asked.target, TargetForm.PACE, min)
    if aimed is not None:
        return _running(KILOMETRE_M / aimed, f"{_pace(aimed)} on the flat, the target of the session")
    for log in _lately(asked.known.logs, (Mode.RUN,), asked.today):
        speeds = [one.speed_m_per_s for one in log.rounds if one.is_complete and one.speed_m_per_s]
        if speeds:
            return _running(sum(speeds) / len(speeds), f"the rounds of {short_day(log.done_on)}, taken as flat")
    found = newest_measured(asked.measured, MeasuredKind.CRITICAL_SPEED, Mode.RUN, asked.today)
    if found is not None and not is_too_old(found, asked.today):
        return _running(found.value, f"critical speed of {short_day(found.measured_on)}")
    return _uptake_of_tests(asked.known)


def _aimed(
    target: SessionTarget | None, form: TargetForm, hardest: Callable[[Sequence[float]], float]
) -> float | None:
    """The hardest round of a target of that form; None for another form or one in words."""
    if target is None or target.form is not form:
        return None
    figures = target.rounds or tuple(one for one in (target.value, target.low, target.high) if one is not None)
    if target.value is not None and not target.rounds:
        return target.value
    return hardest(figures) if figures else None


def _pace(pace_s_per_km: float) -> str:
    whole = round(pace_s_per_km)
    return f"{whole // 60}:{whole % 60:02d} a kilometre"


def _lately(logs: Sequence[SessionLog], modes: tuple[Mode, ...], today: date) -> list[SessionLog]:
    """Entries with whole rounds of the last weeks, the newest first."""
    since = today - ROUNDS_COUNT_FOR
    found = [log for log in logs if log.mode in modes and since <= log.done_on <= today and _has_rounds(log.rounds)]
    return sorted(found, key=lambda log: (log.done_on, log.id), reverse=True)


def _has_rounds(rounds: Sequence[RoundDone]) -> bool:
    return any(one.is_complete for one in rounds)


def _running(speed_m_per_s: float, said: str) -> HillEffort | Missing:
    try:
        found = vo2_running_bushman_2020(speed_m_per_s * _S_PER_MIN)
    except OutOfRange:
        return Missing(ASK_UPTAKE)
    return HillEffort(found.value, f"{found.value:.1f} mL/kg/min, from {said}")


def _uptake_of_tests(known: History) -> HillEffort | Missing:
    for test in sorted(known.tests, key=lambda one: (one.tested_on, one.id), reverse=True):
        found = vo2max_of(test, known.client)
        vo2max = found.relative_ml_per_kg_min if isinstance(found, VO2max) else found
        if isinstance(vo2max, float):
            value = ROUND_SHARE * vo2max
            share = f"{percent(ROUND_SHARE)} of VO2max by the test of {short_day(test.tested_on)} (our own choice)"
            return HillEffort(value, f"{value:.1f} mL/kg/min, {share}")
    return Missing(ASK_UPTAKE)
