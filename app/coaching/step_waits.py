"""Why no step up is proposed though the rounds themselves went well: too much hard work lately, or some went badly.

Source: common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.executed import Executed
from app.coaching.execution_values import CountsAs
from app.coaching.facts import Facts, facts_of
from app.coaching.hard_work import hard_lately
from app.coaching.history import History
from app.coaching.planner_intervals import ceiling_of
from app.coaching.prescriptions import KIND_WORDS
from app.coaching.rules import Rules
from app.coaching.second_week import END_EFFORT_HIGHEST, end_effort
from app.coaching.session_logs import Posture, SessionLog
from app.coaching.words import counted, short_day, short_days


def step_waits(
    history: History, executed: Sequence[Executed], last_on: date | None, today: date, rules: Rules
) -> tuple[str, ...]:
    """What a step up waits for, in words; empty where nothing speaks against one.

    executed: all sessions of rounds, whatever the way of moving; last_on: the day of the last one the step is
    taken from. Hard work nobody planned counts like any other.
    """
    facts = facts_of(history, today, rules)
    if last_on is None:
        return _over_ceiling(history, today, rules)
    rounds = [
        f"{one.title} on {short_day(one.on)} did not go well ({one.words})"
        for one in executed
        if one.on > last_on and one.counts_as is CountsAs.BAD
    ]
    judged = {one.on for one in executed}
    others = [
        words
        for log in sorted(history.logs, key=lambda one: (one.done_on, one.id))
        if last_on <= log.done_on <= today and log.id in facts.hard and (words := _went_badly(log, facts, judged))
    ]
    return (*_over_ceiling(history, today, rules), *rounds, *others)


def _over_ceiling(history: History, today: date, rules: Rules) -> tuple[str, ...]:
    inside, most = hard_lately(history, today, rules), ceiling_of(history.phase, rules)
    if len(inside) <= most:
        return ()
    days = short_days(day.on for day in inside)
    return (f"{counted(len(inside), 'hard session')} in 14 days ({days}), {most} is full",)


def _went_badly(log: SessionLog, facts: Facts, judged: set[date]) -> str:
    """A hard entry that is no session of rounds and ended too hard or not upright; "" for any other."""
    plan = facts.pairing.plan_of.get(log.id)
    if log.spoilt_by is not None or (plan is not None and log.done_on in judged and log.kind is plan.kind):
        return ""
    effort = end_effort(log)
    said = [
        f"effort {effort:g}" if effort is not None and effort > END_EFFORT_HIGHEST else "",
        "not upright after it" if log.posture not in (None, Posture.STOOD) else "",
    ]
    because = ", ".join(filter(None, said))
    if not because:
        return ""
    name = f"{KIND_WORDS[log.kind].capitalize()}, {'not planned' if plan is None else 'planned'}"
    return f"{name}, on {short_day(log.done_on)} did not go well ({because})"
