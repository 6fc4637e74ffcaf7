"""The even power a coach is offered for rounds: every form shown, the lowest proposed, under a ceiling."""

from __future__ import annotations

from app.coaching.even_proposal import CEILING, CEILING_FIRST, USUAL_RESERVE_FRACTION, Proposed, lowest_under
from app.physiology.critical_power import HIGHEST_POWER_W
from app.physiology.even_targets import even_power_for_reserve
from app.physiology.values import check_range
from app.physiology.w_balance import RecoveryModel

_FIRST_WORDS = "a first session stays within 103 % of critical power"
_CEILING_WORDS = "no target above 112 % of critical power until the client's own well-executed rounds show more"
_SHOWN_WORDS = "no target above what the client's own well-executed rounds have shown"


def proposed_even_power(
    *,
    critical_power_w: float,
    w_prime_j: float,
    rounds: int,
    work_s: float,
    recovery_s: float,
    recovery_power_w: float,
    reserve_fraction: float = USUAL_RESERVE_FRACTION,
    is_first_session: bool = False,
    shown_by_own_rounds_w: float | None = None,
    critical_power_se_w: float | None = None,
    w_prime_se_j: float | None = None,
    correlation: float | None = None,
) -> Proposed:
    """The even power to offer for rounds: the lowest of the three forms, never above a share of critical power.

    critical_power_w: critical power, W, 1 to 2500.
    w_prime_j: W', J, 1 to 100000.
    rounds: how many rounds, count, 1 to 40.
    work_s: length of a round, s, 10 to 1200.
    recovery_s: recovery between rounds, s, 5 to 3600; the last is not counted.
    recovery_power_w: power in the recoveries, W, 0 to 2500, below critical power.
    reserve_fraction: share of W' to be left after the last round, no unit, 0 to 0.95; 0.3 is usual here.
    is_first_session: whether it is the first hard session, no unit, yes or no.
    shown_by_own_rounds_w: highest even power of the client's own well-executed rounds, W, 1 to 2500.
    critical_power_se_w: standard error of critical power in its fit, W, 0 to 500.
    w_prime_se_j: standard error of W' in its fit, J, 0 to 100000.
    correlation: correlation of the two in their fit, no unit, -1 to 1.
    Returns: power, W, what decided it, the ceiling, and what each form says; no power when no form gives one.
    Raises: OutOfRange outside these limits.
    Limits: a proposal to a coach, who decides; for a client who may do hard work and knows critical power.
    Error: that of the forms, which differ by more than their ranges.
    Source: house choice; forms [skiba2015], [skiba2012], [ferguson2010].
    Checked in tests/coaching/test_even_power_proposal.py.
    """
    if shown_by_own_rounds_w is not None:
        check_range("The power shown by own rounds", shown_by_own_rounds_w, 1, HIGHEST_POWER_W, "W")
    answers = {
        model: even_power_for_reserve(
            critical_power_w=critical_power_w,
            w_prime_j=w_prime_j,
            rounds=rounds,
            work_s=work_s,
            recovery_s=recovery_s,
            recovery_power_w=recovery_power_w,
            reserve_fraction=reserve_fraction,
            model=model,
            critical_power_se_w=critical_power_se_w,
            w_prime_se_j=w_prime_se_j,
            correlation=correlation,
        )
        for model in RecoveryModel
    }
    ceiling_w, why = _ceiling(critical_power_w, shown_by_own_rounds_w, is_first_session=is_first_session)
    return lowest_under(answers, ceiling=ceiling_w, why=why, unit="W")


def _ceiling(critical_power_w: float, shown_w: float | None, *, is_first_session: bool) -> tuple[float, str]:
    if is_first_session:
        return CEILING_FIRST * critical_power_w, _FIRST_WORDS
    usual_w = CEILING * critical_power_w
    return (usual_w, _CEILING_WORDS) if shown_w is None or shown_w <= usual_w else (shown_w, _SHOWN_WORDS)
