"""From base to hard work: the one list of conditions, when a client is near, and what refuses a promotion.

The list proposes; a coach decides and signs. Nothing here promotes anybody.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.condition import STATE_WORDS, Condition, Group, State, evidence_from, evidence_json
from app.coaching.facts import Facts, facts_of
from app.coaching.history import History
from app.coaching.promotion_practice import base_weeks_for, conditions_beside_weeks, practice_conditions
from app.coaching.promotion_safety import safety_conditions
from app.coaching.reasons import REASON_ASKED, is_reason
from app.coaching.rules import Rules

__all__ = [
    "CONDITION_KEYS",
    "STATE_WORDS",
    "Condition",
    "Group",
    "State",
    "all_met",
    "base_weeks_for",
    "conditions",
    "evidence_from",
    "evidence_json",
    "is_near",
    "may_promote",
    "unmet",
]

NEAR_FRACTION = 0.10
NEAR_WEEKS = 2

SAFETY_KEYS = (
    *("screening", "clearance", "no_open_hold", "transition", "pressure"),
    *("interval_consent", "stop_signs", "pregnancy", "emergency_contact"),
)
PRACTICE_KEYS = (
    *("base_weeks", "held_of_eight", "recent_weeks", "no_gap", "easy_share"),
    *("adherence", "easy_outing", "readiness", "standard_loop", "heart_rate"),
)
CONDITION_KEYS = (*SAFETY_KEYS, *PRACTICE_KEYS)


def conditions(history: History, today: date, rules: Rules, *, facts: Facts | None = None) -> tuple[Condition, ...]:
    """Every condition as it stands on a day, safety first.

    history: needs the logs, plans and readiness of the whole base, the rest complete.
    """
    known = facts or facts_of(history, today, rules)
    safety = safety_conditions(history, today, rules, facts=known)
    return (*safety, *practice_conditions(history, today, rules, facts=known))


def unmet(found: Sequence[Condition]) -> tuple[Condition, ...]:
    """Those not met; unknown is not met."""
    return tuple(one for one in found if not one.is_met)


def all_met(found: Sequence[Condition]) -> bool:
    """Whether the whole list is there and met."""
    return {one.key for one in found} >= set(CONDITION_KEYS) and not unmet(found)


def is_near(found: Sequence[Condition]) -> bool:
    """One practice condition short by under 10 % or at most 2 weeks, everything else met.

    Source: common practice, no published source.
    """
    short = unmet(found)
    if len(short) != 1 or not {one.key for one in found} >= set(CONDITION_KEYS):
        return False
    return _is_short_of_little(short[0])


def conditions_if_near(
    history: History, today: date, rules: Rules, *, facts: Facts | None = None
) -> tuple[Condition, ...] | None:
    """Every condition when all are met or one is near; None for everybody else, mostly without a look at each week.

    history: as `conditions`.
    """
    known = facts or facts_of(history, today, rules)
    safety = safety_conditions(history, today, rules, facts=known)
    if unmet(safety):
        return None
    beside = conditions_beside_weeks(history, today, rules, facts=known)
    short = unmet(beside)
    if len(short) > 1 or not all(_is_short_of_little(one) for one in short):
        return None
    found = (*safety, *practice_conditions(history, today, rules, facts=known, beside=beside))
    return found if all_met(found) or is_near(found) else None


def _is_short_of_little(one: Condition) -> bool:
    if one.group is not Group.PRACTICE or one.state is not State.NOT_MET:
        return False
    by_fraction = one.short_fraction is not None and one.short_fraction < NEAR_FRACTION
    by_weeks = one.short_weeks is not None and one.short_weeks <= NEAR_WEEKS
    return by_fraction or by_weeks


def may_promote(found: Sequence[Condition], override_reason: str | None = None) -> tuple[str, ...]:
    """Why a client may not start hard work, as sentences; empty when a coach may decide it.

    Safety conditions are never overridden. Practice conditions are, with a reason that is kept.
    """
    absent = set(CONDITION_KEYS) - {one.key for one in found}
    if absent:
        return ("Not every condition was looked at; look at the whole list again.",)
    short = unmet(found)
    refusals = [_refusal(one) for one in short if one.key in SAFETY_KEYS or one.group is Group.SAFETY]
    practice = [one for one in short if one.key not in SAFETY_KEYS and one.group is Group.PRACTICE]
    if practice and not is_reason(override_reason):
        titles = ", ".join(one.title for one in practice)
        refusals.append(
            f"Not met: {titles}. You may go ahead all the same with a reason that is kept. {REASON_ASKED}"
        )
    return tuple(refusals)


def _refusal(one: Condition) -> str:
    change = f" {one.would_change}" if one.would_change else ""
    return f"{one.title}: {one.value} ({STATE_WORDS[one.state]}). Nobody can override this.{change}"
