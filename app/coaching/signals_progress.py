"""Signals about progress: readiness, conditions met or near, tests due."""

from __future__ import annotations

import math
from datetime import timedelta

from app.coaching.clearance_papers import paper_day
from app.coaching.gap_rules import LONG_GAP_DAYS, Gap
from app.coaching.heart_rate_trust import trust_of
from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phases import Phase, current_phase
from app.coaching.promotion import NEAR_FRACTION, NEAR_WEEKS, all_met, conditions_if_near, unmet
from app.coaching.promotion_practice import base_weeks_for
from app.coaching.readiness import ReadinessNote
from app.coaching.readiness_rules import FRESH_DAYS, HardDay, ReadinessLevel, hard_day, is_down
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.retests import gap_to_retest, loop_due, retest_due
from app.coaching.screening_decision import newest_answers, newest_paper
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.weeks import day_words, week_start
from app.coaching.words import counted

#: Answers with nothing in the way rest so long before the line speaks; a paper speaks at once (house choice).
NOT_STARTED_DAYS = 3
#: What would change a doubt about today's hard session; only where the warm-up decides may it still be done today.
_DOUBT_ENDS = {
    HardDay.WARM_UP_DECIDES: "The ten-minute warm-up: as usual, it goes on; else it becomes easy. Nothing is added.",
    HardDay.EASY_OR_REST: "Nothing today. A note as usual on the day it moves to.",
    HardDay.NO_TRAINING: "Nothing today. First being well again, then the way back after an illness.",
}


def readiness_down(scene: Scene) -> Signal | None:
    """Readiness is down against the client's own usual, or today's note doubts today's hard session."""
    notes = [n for n in scene.history.readiness if n.noted_on <= scene.today]
    newest = max(notes, key=lambda n: (n.noted_on, n.id), default=None)
    if newest is None:
        return None
    if scene.hard_today is not None:
        doubt = _hard_day_doubt(scene, newest)
        if doubt is not None:
            return doubt
    judged = is_down(notes, scene.today, scene.rules)
    if judged.level is not ReadinessLevel.DOWN:
        return None
    today = scene.hard_today
    tail = f"; {today.title} is planned today" if today else ""
    said = judged.why.figures[-1]
    return Signal(
        "readiness_down",
        scene.history.client.id,
        Shelf.TODAY if today else Shelf.PLANNING,
        Family.HARD_TODAY if today else Family.REST,
        f"Readiness is down ({said.name}: {said.text}){tail}.",
        judged.why,
        key_of("readiness_down", [newest.id]),
        (Act.EASE_TODAY, Act.MOVE_TODAY, Act.CONTACT) if today else (Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        newest.noted_on,
    )


def _hard_day_doubt(scene: Scene, newest: ReadinessNote) -> Signal | None:
    answer = hard_day(scene.history.readiness, scene.today, scene.rules, trust_of(scene.history, scene.today))
    words = {
        HardDay.WARM_UP_DECIDES: "let the ten-minute warm-up decide",
        HardDay.EASY_OR_REST: "easy or rest, and move it by 48 h",
        HardDay.NO_TRAINING: "no training",
    }
    if answer.answer not in words or scene.hard_today is None:
        return None
    if answer.answer is HardDay.WARM_UP_DECIDES and scene.hard_waits:
        return None
    because = "; ".join(answer.because)
    is_moved = scene.hard_today.record_id in scene.history.moved_twice
    talk = " It was moved twice already: talk before it moves again." if is_moved else ""
    reasons = why(
        "Two items worse than usual or under 5 h of sleep: the warm-up decides. Three, two days running, or not "
        "right without knowing what: easy or rest. Good readiness never adds work.",
        *[(f"reason {n}", text) for n, text in enumerate(answer.because, start=1)],
        would_change=_DOUBT_ENDS[answer.answer],
    )
    return Signal(
        "hard_today_in_doubt",
        scene.history.client.id,
        Shelf.TODAY,
        Family.HARD_TODAY,
        f"{scene.hard_today.title} is planned today, but {because}: {words[answer.answer]}.{talk}",
        reasons,
        key_of("hard_today_in_doubt", [newest.id, f"s{scene.hard_today.record_id}"], answer.answer.value),
        (Act.CONTACT, Act.EASE_TODAY) if talk else (Act.EASE_TODAY, Act.MOVE_TODAY, Act.CONTACT),
        newest.noted_on,
    )


def base_conditions(scene: Scene) -> Signal | None:
    """Every condition for hard work is met, a decision waits for the coach; or one is short by a little."""
    history = scene.history
    if history.phase is not Phase.AEROBIC_BASE or history.client.state is not ClientState.ACTIVE:
        return None
    if not _has_weeks_enough(scene):
        return None
    found = conditions_if_near(history, scene.today, scene.rules, facts=scene.facts)
    if found is None:
        return None
    is_met = all_met(found)
    decision = current_phase(history.decisions)
    short = unmet(found)
    sentence = (
        "The base is there: every condition for hard work is met. The decision is yours."
        if is_met
        else f"Near: only “{short[0].title}” is short ({short[0].value})."
    )
    reasons = Why(
        tuple(Figure(one.title, one.value) for one in found),
        "Every condition of the one list; near is one practice condition short by under 10 % or at most 2 weeks.",
        Provenance.COMMON_PRACTICE,
        None,
        short[0].would_change if short else None,
    )
    name = "base_met" if is_met else "base_near"
    return Signal(
        name,
        history.client.id,
        Shelf.PLANNING,
        Family.REST,
        sentence,
        reasons,
        key_of(name, [decision.id if decision else 0], short[0].key if short else "all"),
        (Act.PROMOTION_PAGE, Act.PUT_OFF),
        scene.today,
    )


def _has_weeks_enough(scene: Scene) -> bool:
    """Whether weeks with entries alone could make the base near; spares the long look at everybody else's records."""
    asked = base_weeks_for(scene.history.client, scene.today, scene.rules)
    least = min(asked - NEAR_WEEKS, math.floor(asked * (1 - NEAR_FRACTION)))
    return len({week_start(log.done_on) for log in scene.history.logs}) >= least


def a_test_due(scene: Scene) -> Signal | None:
    """A test is due and none is planned in the coming days; another test goes before the standard loop, and waits
    with all hard work. After a long gap the test sets every target afresh, so it goes before both."""
    history, today, rules = scene.history, scene.today, scene.rules
    gap = gap_to_retest(history, today, rules)
    if gap is not None and not scene.hard_waits:
        return None if _is_planned(scene) else _retest_after(scene, gap)
    retest = retest_due(history, today, rules)
    if retest is not None and retest.on <= today and scene.hard_waits:
        retest = None
    both = (retest, loop_due(history, today, rules))
    due = next((one for one in both if one is not None and one.on <= today), None)
    if due is None or _is_planned(scene):
        return None
    last = f"the last was on {day_words(due.last.tested_on)}" if due.last else f"none since {day_words(due.start_on)}"
    reasons = why(
        "The standard loop every 4 weeks; a test after 12 weeks of intervals; at the same place, hour and medicines, "
        "72 h after hard work, in an easier week.",
        ("last", day_words(due.last.tested_on) if due.last else "none"),
        ("every", counted(due.weeks, "week")),
        ("due", day_words(due.on)),
    )
    return Signal(
        "retest_due",
        history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{due.what} has been due since {day_words(due.on)}; {last}.",
        reasons,
        key_of("retest_due", [due.what, f"t{due.last.id}" if due.last else f"p{due.start_on}"], due.weeks),
        (Act.PLAN, Act.CONTACT, Act.PUT_OFF),
        due.start_on,
    )


def _retest_after(scene: Scene, gap: Gap) -> Signal:
    back_on = gap.back_on or scene.today
    reasons = why(
        "After 28 days off or more: at least 4 held weeks, then a retest, and targets afresh from it.",
        ("days off", f"{gap.days}, until {day_words(back_on)}"),
        ("test since", "none"),
        would_change="A test entered since then, or one planned in the coming days.",
    )
    return Signal(
        "retest_due",
        scene.history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{gap.days} days off until {day_words(back_on)}, and the easy weeks since are held: a retest is due, and "
        "targets are set afresh from it.",
        reasons,
        key_of("retest_due", [f"gap {back_on.isoformat()}"], LONG_GAP_DAYS),
        (Act.PLAN, Act.CONTACT, Act.PUT_OFF),
        back_on,
    )


def _is_planned(scene: Scene) -> bool:
    last = scene.today + timedelta(days=FRESH_DAYS)
    return any(
        scene.today <= s.planned_on <= last and (s.kind.value == "test" or "loop" in s.title.lower())
        for s in scene.history.planned
        if not s.is_cancelled
    )


def not_started(scene: Scene) -> Signal | None:
    """Cleared, or asked with nothing in the way, and no phase begun: the base waits to be started."""
    history = scene.history
    if history.decisions or not scene.light.is_ok or any(hold.stops is Stops.ALL for hold in history.open_holds):
        return None
    answers, paper = newest_answers(history), newest_paper(history, scene.today)
    since = [*([answers.answered_on] if answers else []), *([paper_day(paper)] if paper else [])]
    if not since:
        return None
    ready_on = max(since)
    days = (scene.today - ready_on).days
    records = (f"a{answers.id if answers else 0}", f"c{paper.id if paper else 0}")
    is_awaited = history.client.state is ClientState.WAITING_FOR_CLEARANCE
    if paper is None and (is_awaited or days <= NOT_STARTED_DAYS):
        return None
    said = (
        f"Cleared on {day_words(paper_day(paper))}, not started yet"
        if paper
        else f"Asked on {day_words(ready_on)}, nothing stops easy work, not started for {counted(days, 'day')}"
    )
    reasons = why(
        "Who may train is started: a phase is decided, and a plan follows. Said again each week until then.",
        ("ready since", day_words(ready_on)),
        ("state", history.client.state.value.replace("_", " ")),
        ("screening", f"{scene.light.outcome.value}, row {scene.light.branch}"),
        provenance=Provenance.HOUSE,
        would_change="The decision to start.",
    )
    return Signal(
        "not_started",
        history.client.id,
        Shelf.PLANNING,
        Family.REST,
        f"{said}: start the aerobic base.",
        reasons,
        key_of("not_started", records, f"week {days // 7}"),
        (Act.START, Act.CONTACT, Act.PUT_OFF),
        ready_on,
    )


PROGRESS_RULES = (readiness_down, not_started, base_conditions, a_test_due)
