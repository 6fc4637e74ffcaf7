"""The even speed a coach is offered for rounds: every form shown, the lowest proposed, under the ceiling of power."""

from __future__ import annotations

from app.coaching.even_proposal import CEILING, CEILING_FIRST, USUAL_RESERVE_FRACTION, Proposed, lowest_under
from app.physiology.even_targets import even_speed_for_reserve
from app.physiology.w_balance import RecoveryModel

_FIRST_WORDS = "a first session stays within 103 % of critical speed"
_CEILING_WORDS = "no target above 112 % of critical speed"


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
) -> Proposed:
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
    return lowest_under(answers, ceiling=ceiling * critical_speed_m_per_s, why=why, unit="m/s")
