"""Signals about what comes next in the interval phase: a second hard session that may be decided, a clear gain."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

from app.coaching.fitness_changes import VERDICT_WORDS, compare_with_last
from app.coaching.fitness_tests import PROTOCOL_WORDS
from app.coaching.hard_spacing import too_soon
from app.coaching.hard_work import FORTNIGHT_DAYS, fullest_fortnight
from app.coaching.heart_rate_trust import trust_of
from app.coaching.people import ClientState
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.coaching.planner_intervals import ceiling_of
from app.coaching.promotion import unmet
from app.coaching.promotion_safety import safety_conditions
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.second_week import WEEKS_ON_ONE, all_speak_for_second
from app.coaching.signals_load import heavy_even_week, long_outing, volume_step
from app.coaching.signals_values import Act, Scene, Signal, key_of, to_plan
from app.coaching.weeks import day_words
from app.coaching.words import short_day
from app.physiology.change import Verdict

#: A test stays news for so long (house choice).
NEWS_DAYS = 14


def second_due(scene: Scene) -> Signal | None:
    """On one hard session a week, and everything that speaks for a second one is there.

    After a decision to stay at one it is asked again only when as many weeks have gone by (house choice).
    """
    history = scene.history
    since = history.phase_since_on
    if history.phase is not Phase.INTERVAL_ONE or since is None or history.client.state is not ClientState.ACTIVE:
        return None
    decision = current_phase(history.decisions)
    if decision is not None and decision.kind is DecisionKind.STAY:
        since = max(since, decision.since_on)
    if scene.today - since < timedelta(weeks=WEEKS_ON_ONE):
        return None
    found = all_speak_for_second(history, scene.today, scene.rules)
    if not found or scene.hard_waits or _is_too_much_now(scene):
        return None
    reasons = Why(
        tuple(Figure(one.title, one.value) for one in found),
        "What speaks for a second hard session a week; the coach decides. From 70, staying at one is a good end.",
        Provenance.COMMON_PRACTICE,
    )
    return to_plan(
        scene,
        "second_due",
        "Everything that speaks for a second hard session a week is there. The decision is yours; staying at one is "
        "a good end too.",
        reasons,
        key=key_of("second_due", [decision.id if decision else 0]),
        acts=(Act.PROMOTION_PAGE, Act.CONTACT, Act.PUT_OFF),
        evidence_on=max((log.done_on for log in history.logs), default=since),
    )


def _is_too_much_now(scene: Scene) -> bool:
    """Whether a safety condition of hard work is not met, or what is done and planned breaks a rule of load already.

    Source: house choice.
    """
    if unmet(safety_conditions(scene.history, scene.today, scene.rules, facts=scene.facts)):
        return True
    return _is_too_dense(scene) or any(
        rule(scene) is not None for rule in (volume_step, long_outing, heavy_even_week)
    )


def _is_too_dense(scene: Scene) -> bool:
    """Whether hard sessions of the last fortnight and to come pass the ceiling or stand too close."""
    since = scene.today - timedelta(days=FORTNIGHT_DAYS - 1)
    hard = sorted([*scene.done, *scene.ahead], key=lambda day: (day.on, not day.is_done, day.record_id))
    fullest = fullest_fortnight((day.on for day in hard), touching=(since, date.max))
    if fullest is not None and fullest.count > ceiling_of(scene.history.phase, scene.rules):
        return True
    near = ((one, other) for one, other in pairwise(hard) if other.on >= since)
    return any(too_soon(scene.history, one, other, scene.rules) is not None for one, other in near)


def gain_clear(scene: Scene) -> Signal | None:
    """A test of the last two weeks differs from the one before by more than test error makes."""
    history, first = scene.history, scene.today - timedelta(days=NEWS_DAYS)
    fresh = [test for test in history.tests if first < test.tested_on <= scene.today]
    for test in sorted(fresh, key=lambda one: (one.tested_on, one.id), reverse=True):
        found = compare_with_last(test, history.tests, trust_of(history, scene.today))
        if found is None or found.verdict != VERDICT_WORDS[Verdict.CLEAR] or found.why is None:
            continue
        what = PROTOCOL_WORDS[test.protocol]
        return to_plan(
            scene,
            "gain_clear",
            f"A clear change: {what} on {short_day(test.tested_on)} against {day_words(found.before.tested_on)} "
            f"({', '.join(found.differences)}). Tell them, and say what comes next.",
            found.why,
            key=key_of("gain_clear", [test.id]),
            acts=(Act.CONTACT, Act.NOTE, Act.PUT_OFF),
            evidence_on=test.tested_on,
        )
    return None


GAIN_RULES = (second_due, gain_clear)
