"""What was measured of a client that targets are made from: critical power or speed, heart rate, talk power."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from app.coaching.people import Mode, Origin
from app.coaching.reasons import DomainError
from app.coaching.weeks import day_words
from app.physiology.critical_power import CriticalPowerFit, Form, critical_power_all_forms
from app.physiology.critical_speed import CriticalSpeedFit, critical_speed_galbraith_2014
from app.physiology.least_squares import correlation_of
from app.physiology.values import Missing, OutOfRange, WrongLength

#: Older than this a figure is shown, but no target is made from it (house choice, after the half-yearly retest).
MEASURED_LASTS = timedelta(weeks=26)
MOST_TRIALS = 6


class MeasuredKind(StrEnum):
    """What was measured."""

    CRITICAL_POWER = "critical_power"
    CRITICAL_SPEED = "critical_speed"
    HIGHEST_HEART_RATE = "highest_heart_rate"
    TALK_POWER = "talk_power"


class KnownHow(StrEnum):
    """Where the figure comes from."""

    TRIALS = "trials"
    LABORATORY = "laboratory"
    ALL_OUT = "all_out"
    TALK_TEST = "talk_test"
    ELSEWHERE = "elsewhere"


KIND_WORDS = {
    MeasuredKind.CRITICAL_POWER: "critical power",
    MeasuredKind.CRITICAL_SPEED: "critical speed",
    MeasuredKind.HIGHEST_HEART_RATE: "highest heart rate measured",
    MeasuredKind.TALK_POWER: "power at which talking was still possible, though rather not",
}
HOW_WORDS = {
    KnownHow.TRIALS: "fitted here from all-out trials",
    KnownHow.LABORATORY: "measured in a laboratory",
    KnownHow.ALL_OUT: "read at the end of an all-out effort",
    KnownHow.TALK_TEST: "read during a talk test",
    KnownHow.ELSEWHERE: "brought from elsewhere",
}
#: The same as a client reads it, without the figure's name.
PLAIN_HOW_WORDS = {
    KnownHow.TRIALS: "all-out trials",
    KnownHow.LABORATORY: "laboratory test",
    KnownHow.ALL_OUT: "all-out effort",
    KnownHow.TALK_TEST: "talk test",
    KnownHow.ELSEWHERE: "test",
}
#: Ways that can give each figure; a formula from age is none of them.
WAYS = {
    MeasuredKind.CRITICAL_POWER: (KnownHow.TRIALS, KnownHow.LABORATORY, KnownHow.ELSEWHERE),
    MeasuredKind.CRITICAL_SPEED: (KnownHow.TRIALS, KnownHow.LABORATORY, KnownHow.ELSEWHERE),
    MeasuredKind.HIGHEST_HEART_RATE: (KnownHow.LABORATORY, KnownHow.ALL_OUT),
    MeasuredKind.TALK_POWER: (KnownHow.TALK_TEST,),
}
UNITS = {
    MeasuredKind.CRITICAL_POWER: ("W", "J"),
    MeasuredKind.CRITICAL_SPEED: ("m/s", "m"),
    MeasuredKind.HIGHEST_HEART_RATE: ("beats/min", ""),
    MeasuredKind.TALK_POWER: ("W", ""),
}
#: By what each figure can be measured.
MODES = {
    MeasuredKind.CRITICAL_POWER: (Mode.INDOOR_RIDE, Mode.RIDE, Mode.ROW),
    MeasuredKind.CRITICAL_SPEED: (Mode.RUN, Mode.SWIM),
    MeasuredKind.HIGHEST_HEART_RATE: (
        Mode.RUN, Mode.WALK, Mode.TREADMILL, Mode.RIDE, Mode.INDOOR_RIDE, Mode.ROW, Mode.CROSS_TRAIN,
    ),
    MeasuredKind.TALK_POWER: (Mode.INDOOR_RIDE, Mode.RIDE, Mode.ROW, Mode.CROSS_TRAIN),
}  # fmt: skip
_WHEELS = frozenset({Mode.RIDE, Mode.INDOOR_RIDE})


@dataclass(frozen=True, slots=True)
class Trial:
    """One all-out trial: its time, and its mean power in W or its distance in m."""

    duration_s: float
    amount: float


@dataclass(frozen=True, slots=True)
class Measured:
    """One measured figure, what lies above it where there is any (W' or D'), their errors and where they are from.

    value, value_error: in the first unit of UNITS; capacity, capacity_error: in the second.
    """

    id: int
    client_id: int
    kind: MeasuredKind
    mode: Mode
    measured_on: date
    value: float
    value_error: float | None
    capacity: float | None
    capacity_error: float | None
    #: How the two errors go together, in the product of both units.
    covariance: float | None
    how: KnownHow
    #: Which form of the relation was fitted; None for a typed figure.
    fitted_form: str | None
    trials_json: str
    note: str | None
    origin: Origin
    entered_at: datetime
    person_id: int
    #: A mistaken figure is set aside, never deleted.
    set_aside_at: datetime | None = None
    set_aside_by: int | None = None

    @property
    def unit(self) -> str:
        """The unit of the figure."""
        return UNITS[self.kind][0]

    @property
    def plainly(self) -> str:
        """Where it comes from, as a client reads it: "all-out trials of 14 October 2026"."""
        return f"{PLAIN_HOW_WORDS[self.how]} of {day_words(self.measured_on)}"

    @property
    def trials(self) -> tuple[Trial, ...]:
        """The trials it was fitted from."""
        return trials_from_json(self.trials_json)

    @property
    def correlation(self) -> float | None:
        """How the two errors go together, -1 to 1; None without them."""
        return correlation_of(self.covariance, self.value_error, self.capacity_error)


@dataclass(frozen=True, slots=True)
class Fitted:
    """What trials give: the figure and what lies above it, their errors, and what to say beside it."""

    value: float
    value_error: float | None
    capacity: float
    capacity_error: float | None
    covariance: float | None
    form: str
    #: How far each trial lies from the fitted line, in the unit of the trials.
    misfits: tuple[float, ...]
    notes: tuple[str, ...]


def fit_trials(kind: MeasuredKind, trials: Sequence[Trial]) -> Fitted | Missing:
    """Critical power or speed from all-out trials: the line of work, or of distance, against time.

    The other two forms of critical power are told beside it, for how far they lie apart.
    Raises: DomainError with a sentence for trials that do not fit one hyperbola's reach.
    """
    durations = [one.duration_s for one in trials]
    amounts = [one.amount for one in trials]
    try:
        if kind is MeasuredKind.CRITICAL_POWER:
            fits = critical_power_all_forms(durations_s=durations, powers_w=amounts)
            return fits if isinstance(fits, Missing) else _power(fits)
        if kind is MeasuredKind.CRITICAL_SPEED:
            fit = critical_speed_galbraith_2014(distances_m=amounts, durations_s=durations)
            return fit if isinstance(fit, Missing) else _speed(fit)
    except (OutOfRange, WrongLength) as refusal:
        raise DomainError(str(refusal)) from refusal
    raise DomainError("Only critical power and critical speed are fitted from trials.")


def _power(fits: Sequence[CriticalPowerFit]) -> Fitted:
    line = next(one for one in fits if one.form is Form.WORK_TIME)
    found = sorted(one.critical_power_w for one in fits)
    apart = f"the three forms of the relation give {found[0]:.0f} to {found[-1]:.0f} W"
    return Fitted(
        line.critical_power_w,
        line.critical_power_error_w,
        line.w_prime_j,
        line.w_prime_error_j,
        line.covariance_w_j,
        line.form.value,
        line.power_misfits_w,
        (*line.notes, apart),
    )


def _speed(fit: CriticalSpeedFit) -> Fitted:
    return Fitted(
        fit.critical_speed_m_per_s,
        fit.critical_speed_error_m_per_s,
        fit.d_prime_m,
        fit.d_prime_error_m,
        fit.covariance_m2_per_s,
        "distance against time, a straight line",
        fit.distance_misfits_m,
        fit.notes,
    )


def newest_measured(found: Iterable[Measured], kind: MeasuredKind, mode: Mode | None, day: date) -> Measured | None:
    """The newest figure of a kind up to a day, of a way of moving or of any; those set aside are passed over.

    Riding indoors and outdoors share their figures; whoever uses one for the other says so.
    """
    fitting = [
        one
        for one in found
        if one.kind is kind
        and one.set_aside_at is None
        and one.measured_on <= day
        and (mode is None or one.mode is mode or {one.mode, mode} <= _WHEELS)
    ]
    same = [one for one in fitting if mode is None or one.mode is mode]
    return max(same or fitting, key=lambda one: (one.measured_on, one.id), default=None)


def is_too_old(measured: Measured, day: date) -> bool:
    """Whether no target is made from it any more."""
    return day - measured.measured_on > MEASURED_LASTS


def trials_to_json(trials: Sequence[Trial]) -> str:
    """Trials as JSON text; `trials_from_json` gives the same trials back."""
    return json.dumps([[one.duration_s, one.amount] for one in trials])


def trials_from_json(text: str) -> tuple[Trial, ...]:
    """Trials from their JSON text. Raises: DomainError when it holds none."""
    try:
        return tuple(Trial(float(duration_s), float(amount)) for duration_s, amount in json.loads(text))
    except (ValueError, TypeError) as problem:
        raise DomainError("these trials cannot be read") from problem
