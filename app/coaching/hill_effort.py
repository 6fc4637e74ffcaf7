"""The effort a hill is reckoned for: typed by the coach, else the client's own rounds, else a fitness test."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.after_days_off import afresh_since, afresh_words
from app.coaching.days_off import Run
from app.coaching.fitness_estimates import vo2max_of
from app.coaching.hills import Rider
from app.coaching.history import History
from app.coaching.measured import Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.session_logs import RoundDone
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json
from app.coaching.target_set_aside import from_set_aside
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
class Aim:
    """A target that stands, the day of its session, and how that session is called."""

    target: SessionTarget
    on: date
    words: str


@dataclass(frozen=True, slots=True)
class Sources:
    """What an effort may be taken from."""

    known: History
    measured: tuple[Measured, ...]
    aim: Aim | None
    #: What the coach typed, in the unit the way of moving asks for.
    typed: float | None
    today: date

    @property
    def afresh(self) -> Run | None:
        """The last days off from which everything is measured again; None without any."""
        return afresh_since(self.known, self.today)

    def counts(self, on: date) -> bool:
        """Whether what was measured or done on a day still says something: not from before so many days off."""
        return self.afresh is None or on >= self.afresh.back_on

    def lacking(self, ask: str) -> Missing:
        """What to do without any effort, and why an earlier one is not taken."""
        return Missing(ask if self.afresh is None else f"What is known is from {afresh_words(self.afresh)}. {ask}")


def standing_aim(
    sessions: Sequence[PlannedSession],
    own: PlannedSession | None,
    mode: Mode,
    figures: Sequence[Measured],
    today: date,
) -> Aim | None:
    """The target rounds are aimed by: the session's own, else the next one given, else the last of these weeks.

    Every page that holds hills against rounds asks here, so that they all reckon with the same figure.
    """
    if own is not None and (target := _sound(own, figures)) is not None:
        return Aim(target, max(own.planned_on, today), "the target of the session")
    alike = _RIDES if mode is Mode.RIDE else (mode,)
    given = sorted(
        (one for one in sessions if one.mode in alike and not one.is_cancelled and _sound(one, figures)),
        key=lambda one: one.planned_on,
    )
    ahead = [one for one in given if one.planned_on >= today]
    lately = [one for one in given if today - ROUNDS_COUNT_FOR <= one.planned_on < today]
    found = ahead[0] if ahead else lately[-1] if lately else None
    target = None if found is None else _sound(found, figures)
    if found is None or target is None:
        return None
    return Aim(target, found.planned_on, f"the target of {short_day(found.planned_on)}")


def _sound(session: PlannedSession, figures: Sequence[Measured]) -> SessionTarget | None:
    """A session's target by power or pace that rests on no figure set aside."""
    try:
        target = target_from_json(session.target_json)
    except DomainError:
        return None
    is_figure = target is not None and target.form in (TargetForm.POWER, TargetForm.PACE)
    return target if is_figure and from_set_aside(session.target_json, figures) is None else None


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

    Typed; the target that stands, unless rounds were done since; the last rounds done; critical power; a talk test; a
    guess from VO2max. Nothing from before days off after which everything is measured again.
    """
    if asked.typed is not None:
        return HillEffort(asked.typed, f"{asked.typed:.0f} W, as typed")
    done = _last_done(asked, _RIDES, lambda one: one.power_w)
    aimed = _aimed(asked, TargetForm.POWER, done, max)
    if aimed is not None and asked.aim is not None:
        return HillEffort(aimed, f"{aimed:.0f} W, {asked.aim.words}")
    if done is not None:
        return HillEffort(done.mean, f"{done.mean:.0f} W, mean of the rounds of {short_day(done.on)}")
    return _measured_power(asked) or _guessed_power(asked, mass)


def _measured_power(asked: Sources) -> HillEffort | None:
    for kind, factor, words in _POWERS:
        found = newest_measured(asked.measured, kind, Mode.RIDE, asked.today)
        if found is not None and _is_sound(found, asked):
            power_w = factor * found.value
            return HillEffort(power_w, f"{power_w:.0f} W, {words} of {short_day(found.measured_on)}")
    return None


def _guessed_power(asked: Sources, mass: HillEffort | Missing) -> HillEffort | Missing:
    uptake = _uptake_of_tests(asked)
    if isinstance(uptake, Missing) or isinstance(mass, Missing):
        return asked.lacking(ASK_POWER)
    try:
        power_w = cycling_power_for_vo2_bushman_2020(uptake.value, mass.value).value
    except OutOfRange:
        return asked.lacking(ASK_POWER)
    return HillEffort(power_w, f"about {power_w:.0f} W, a guess from {uptake.comes_from}")


def uptake_for(asked: Sources, mode: Mode) -> HillEffort | Missing:
    """The oxygen uptake of a round on foot, from the first of these that is known; Missing when none is.

    Typed (for walking an uptake in mL/kg/min, for running a pace on the flat in s/km); for a runner the target that
    stands, the last rounds as if they were flat, critical speed; else a share of VO2max.
    """
    if mode is Mode.WALK:
        if asked.typed is not None:
            return HillEffort(asked.typed, f"{asked.typed:.1f} mL/kg/min, as typed")
        return _uptake_of_tests(asked)
    if asked.typed is not None:
        return _running(KILOMETRE_M / asked.typed, f"{_pace(asked.typed)} on the flat, as typed")
    done = _last_done(asked, (Mode.RUN,), lambda one: one.speed_m_per_s)
    aimed = _aimed(asked, TargetForm.PACE, done, min)
    if aimed is not None and asked.aim is not None:
        return _running(KILOMETRE_M / aimed, f"{_pace(aimed)} on the flat, {asked.aim.words}")
    if done is not None:
        return _running(done.mean, f"the rounds of {short_day(done.on)}, taken as flat")
    found = newest_measured(asked.measured, MeasuredKind.CRITICAL_SPEED, Mode.RUN, asked.today)
    if found is not None and _is_sound(found, asked):
        return _running(found.value, f"critical speed of {short_day(found.measured_on)}")
    return _uptake_of_tests(asked)


def _is_sound(figure: Measured, asked: Sources) -> bool:
    return not is_too_old(figure, asked.today) and asked.counts(figure.measured_on)


def _aimed(
    asked: Sources, form: TargetForm, done: _Done | None, hardest: Callable[[Sequence[float]], float]
) -> float | None:
    """The hardest round of the target that stands, unless rounds were done since; None for another form or words."""
    aim = asked.aim
    is_over = aim is not None and ((done is not None and done.on > aim.on) or not asked.counts(aim.on))
    if aim is None or aim.target.form is not form or is_over:
        return None
    target = aim.target
    figures = target.rounds or tuple(one for one in (target.value, target.low, target.high) if one is not None)
    if target.value is not None and not target.rounds:
        return target.value
    return hardest(figures) if figures else None


def _pace(pace_s_per_km: float) -> str:
    whole = round(pace_s_per_km)
    return f"{whole // 60}:{whole % 60:02d} a kilometre"


@dataclass(frozen=True, slots=True)
class _Done:
    """The mean of the last whole rounds that were done, and their day."""

    mean: float
    on: date


def _last_done(asked: Sources, modes: tuple[Mode, ...], output: Callable[[RoundDone], float | None]) -> _Done | None:
    """The last whole rounds of these weeks of which the output is known."""
    since = asked.today - ROUNDS_COUNT_FOR
    for log in sorted(asked.known.logs, key=lambda log: (log.done_on, log.id), reverse=True):
        found = [figure for one in log.rounds if one.is_complete and (figure := output(one))]
        if found and log.mode in modes and since <= log.done_on <= asked.today and asked.counts(log.done_on):
            return _Done(sum(found) / len(found), log.done_on)
    return None


def _running(speed_m_per_s: float, said: str) -> HillEffort | Missing:
    try:
        found = vo2_running_bushman_2020(speed_m_per_s * _S_PER_MIN)
    except OutOfRange:
        return Missing(ASK_UPTAKE)
    return HillEffort(found.value, f"{found.value:.1f} mL/kg/min, from {said}")


def _uptake_of_tests(asked: Sources) -> HillEffort | Missing:
    known = asked.known
    for test in sorted(
        (one for one in known.tests if asked.counts(one.tested_on)),
        key=lambda one: (one.tested_on, one.id),
        reverse=True,
    ):
        found = vo2max_of(test, known.client)
        vo2max = found.relative_ml_per_kg_min if isinstance(found, VO2max) else found
        if isinstance(vo2max, float):
            value = ROUND_SHARE * vo2max
            share = f"{percent(ROUND_SHARE)} of VO2max by the test of {short_day(test.tested_on)} (our own choice)"
            return HillEffort(value, f"{value:.1f} mL/kg/min, {share}")
    return asked.lacking(ASK_UPTAKE)
