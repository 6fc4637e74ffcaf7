"""The even speed a coach is offered for rounds: every form shown, the lowest proposed, under the ceiling of power."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.even_power_proposal import CEILING, CEILING_FIRST, USUAL_RESERVE_FRACTION
from app.physiology.even_targets import EvenEffort, even_speed_for_reserve
from app.physiology.provenance import Provenance
from app.physiology.values import Missing
from app.physiology.w_balance import RecoveryModel

_FIRST_WORDS = "a first session stays within 103 % of critical speed"
_CEILING_WORDS = "no target above 112 % of critical speed"
_LOWEST_WORDS = "the lowest of the forms that give an answer"


@dataclass(frozen=True, slots=True)
class SpeedFormSays:
    """What one form gives, or why it gives nothing."""

    model: RecoveryModel
    speed_m_per_s: float | None
    range_m_per_s: tuple[float, float] | None
    reserve_after_rounds: tuple[float, ...]
    says: str


@dataclass(frozen=True, slots=True)
class ProposedSpeed:
    """The speed offered, which rule decided it, and what every form says; no speed when no form gives one."""

    value: float | None
    unit: str
    decided_by: str
    ceiling_m_per_s: float
    forms: tuple[SpeedFormSays, ...]
    provenance: Provenance
    notes: tuple[str, ...]


def proposed_even_speed(
    *,
    critical_speed_m_per_s: float,
    d_prime_m: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_speed_m_per_s: float,
    reserve_fraction: float = USUAL_RESERVE_FRACTION,
    is_first_session: bool = False,
    critical_speed_se_m_per_s: float | None = None,
    d_prime_se_m: float | None = None,
    correlation: float | None = None,
) -> ProposedSpeed:
    """The even speed to offer for rounds: the lowest of the forms, never above a share of critical speed.

    critical_speed_m_per_s: critical speed, m/s, 0.1 to 12.
    d_prime_m: D', m, 1 to 2000.
    rounds: how many rounds, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_speed_m_per_s: speed in the recoveries, m/s, 0 to 12, below critical speed.
    reserve_fraction: share of D' to be left after the last round, no unit, 0 to 0.95; 0.3 is usual here.
    is_first_session: whether it is the first hard session, no unit, yes or no.
    critical_speed_se_m_per_s: standard error of critical speed in its fit, m/s, 0 to 2.
    d_prime_se_m: standard error of D' in its fit, m, 0 to 2000.
    correlation: correlation of the two in their fit, no unit, -1 to 1.
    Returns: speed, m/s, what decided it, the ceiling, and what each form says; no speed when no form gives one.
    Raises: OutOfRange outside these limits.
    Limits: a proposal to a coach, who decides; for a client who may do hard work and knows critical speed.
    Error: that of the forms, which were made for power and differ by more than their ranges.
    Source: house choice, the ceiling taken over from power; forms [skiba2015], [ferguson2010].
    Checked in tests/coaching/test_even_speed_proposal.py.
    """
    answers = {
        model: even_speed_for_reserve(
            critical_speed_m_per_s=critical_speed_m_per_s,
            d_prime_m=d_prime_m,
            rounds=rounds,
            work_s=work_s,
            recovery_s=recovery_s,
            recovery_speed_m_per_s=recovery_speed_m_per_s,
            reserve_fraction=reserve_fraction,
            model=model,
            critical_speed_se_m_per_s=critical_speed_se_m_per_s,
            d_prime_se_m=d_prime_se_m,
            correlation=correlation,
        )
        for model in (RecoveryModel.DIFFERENTIAL, RecoveryModel.CONSERVATIVE)
    }
    ceiling, why = (CEILING_FIRST, _FIRST_WORDS) if is_first_session else (CEILING, _CEILING_WORDS)
    return _proposed(answers, ceiling * critical_speed_m_per_s, why)


def _proposed(answers: dict[RecoveryModel, EvenEffort | Missing], ceiling: float, why: str) -> ProposedSpeed:
    forms = tuple(_says(model, answer) for model, answer in answers.items())
    lowest = min((one.speed_m_per_s for one in forms if one.speed_m_per_s is not None), default=None)
    none_words = next((one.says for one in forms if one.speed_m_per_s is None), "")
    is_held = lowest is not None and lowest > ceiling
    return ProposedSpeed(
        value=ceiling if is_held else lowest,
        unit="m/s",
        decided_by=none_words if lowest is None else why if is_held else _LOWEST_WORDS,
        ceiling_m_per_s=ceiling,
        forms=forms,
        provenance=Provenance.HOUSE,
        notes=("the coach decides; a target that turns out wrong on the day is lowered at once",),
    )


def _says(model: RecoveryModel, answer: EvenEffort | Missing) -> SpeedFormSays:
    if isinstance(answer, Missing):
        return SpeedFormSays(model, None, None, (), answer.reason)
    return SpeedFormSays(model, answer.value, answer.range, answer.reserve_after_rounds, answer.notes[1])
