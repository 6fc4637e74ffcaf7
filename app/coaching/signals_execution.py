"""Signals about how work was done, from what entries say: rounds, effort, posture, cadence, talk.

Limits of evenness by way of moving are common practice, no published source.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

from app.coaching.effort import TALK_WORDS
from app.coaching.execution import even_limit_percent
from app.coaching.matching import EffortCompare, Pair, Status
from app.coaching.prescriptions import SessionKind
from app.coaching.round_figures import Output
from app.coaching.session_logs import Posture, RoundDone, SessionLog
from app.coaching.signals_values import Act, Scene, Signal, key_of, to_plan, why
from app.coaching.technique import technique_change
from app.coaching.words import percent, short_day, short_days

#: A session stays news for so long (house choice).
NEWS_DAYS = 7
EASY_DAYS = 14
ROUNDS_LEAST = 3
#: Last round below the first by more than this part of what is even is a fade.
FADE_PART = 0.5
#: An end of round 1 above this effort was started too hot.
FIRST_ROUND_EFFORT_HIGHEST = 7
_TALK = (Act.CONTACT, Act.NOTE, Act.PUT_OFF)


def faded(scene: Scene) -> Signal | None:
    """The last round of the newest set was below the first."""
    log = _newest_set(scene)
    rounds = _complete(log)
    if log is None or len(rounds) < ROUNDS_LEAST:
        return None
    first, last = _output(rounds[0]), _output(rounds[-1])
    limit = FADE_PART * _even(scene, log)
    if first is None or last is None or (first - last) / first <= limit:
        return None
    reasons = why(
        "Last round below the first by more than half of what counts as even.",
        ("first round", _output_words(rounds[0])),
        ("last round", _output_words(rounds[-1])),
        ("fade", f"{percent((first - last) / first)}, over {percent(limit)}"),
        would_change="A first round a little lower.",
    )
    return to_plan(
        scene,
        "faded",
        f"Faded on {short_day(log.done_on)}: the last of {len(rounds)} rounds was {percent((first - last) / first)} "
        "below the first.",
        reasons,
        key=key_of("faded", [log.id, log.revision]),
        acts=_TALK,
        evidence_on=log.done_on,
    )


def started_hot(scene: Scene) -> Signal | None:
    """The first round of the newest set was the hardest: by its effort, or well above the others."""
    log = _newest_set(scene)
    rounds = _complete(log)
    if log is None or not rounds:
        return None
    effort = rounds[0].effort
    is_hot = effort is not None and effort > FIRST_ROUND_EFFORT_HIGHEST
    above = _first_above(rounds)
    if not is_hot and (above is None or above <= _even(scene, log)):
        return None
    because = (
        f"effort {effort:g} at the end of round 1"
        if is_hot
        else f"round 1 {percent(above or 0.0)} above the mean of the others"
    )
    reasons = why(
        "The first half minute should hardly hurt. Effort over 7 at the end of round 1, or a first round above the "
        "others by more than what counts as even, was begun too fast: the target was wrong, not the client.",
        ("because", because),
        ("counts as even", percent(_even(scene, log))),
        would_change="The target 10 % lower at once, and a quiet first half minute.",
    )
    return to_plan(
        scene,
        "started_hot",
        f"Started hot on {short_day(log.done_on)}: {because}.",
        reasons,
        key=key_of("started_hot", [log.id, log.revision]),
        acts=_TALK,
        evidence_on=log.done_on,
    )


def folded_over(scene: Scene) -> Signal | None:
    """After the last round they had to bend or sit."""
    log = _newest_set(scene)
    if log is None or log.posture is not Posture.BENT_OR_SAT:
        return None
    reasons = why(
        "Standing and walking on after the last round is the aim; having to bend or sit says it was too fast.",
        ("after the last round", "had to bend or sit"),
        ("effort", f"{log.effort:g}" if log.effort is not None else "not said"),
        would_change="The same rounds 5 to 10 % lower.",
    )
    return to_plan(
        scene,
        "folded_over",
        f"Had to bend or sit after the last round on {short_day(log.done_on)}: it was too fast.",
        reasons,
        key=key_of("folded_over", [log.id, log.revision]),
        acts=(Act.CONTACT, Act.PLAN, Act.PUT_OFF),
        evidence_on=log.done_on,
    )


def easy_not_easy(scene: Scene) -> Signal | None:
    """Sessions planned easy and done harder, in the last two weeks."""
    first = scene.today - timedelta(days=EASY_DAYS)
    heart = dict(scene.history.above_easy)
    above = [
        pair
        for week in scene.weeks
        for pair in week.pairs
        if pair.log is not None and pair.log.done_on > first and _is_easy(pair) and _is_above(pair, heart)
    ]
    if len(above) < scene.rules.easy_not_easy_sessions:
        return None
    logs = sorted((pair.log for pair in above if pair.log is not None), key=lambda log: (log.done_on, log.id))
    reasons = why(
        "Easy means effort 4 at most and talk in comfort; the talk answer counts before the number, and a recorded "
        "heart rate only where neither was given.",
        *[(short_day(log.done_on), _said(log, heart)) for log in logs[-4:]],
        ("speaks from", f"{scene.rules.easy_not_easy_sessions} in {EASY_DAYS} days"),
        would_change="Easy outings that stay easy: slower, flatter, or walking uphill.",
    )
    return to_plan(
        scene,
        "easy_not_easy",
        f"{len(logs)} easy sessions were not easy: {short_days(log.done_on for log in logs)}.",
        reasons,
        key=key_of("easy_not_easy", [logs[-1].id], scene.rules.easy_not_easy_sessions),
        acts=_TALK,
        evidence_on=logs[-1].done_on,
    )


def technique_lost(scene: Scene) -> Signal | None:
    """Strokes or cadence of the last round fell away from those of the second."""
    log = _newest_set(scene)
    rounds = _complete(log)
    if log is None or len(rounds) < ROUNDS_LEAST:
        return None
    change = technique_change(rounds[1], rounds[-1])
    if change is None or abs(change.fraction) <= scene.rules.technique_fraction:
        return None
    second, last = f"{change.second:g} {change.unit}", f"{change.last:g}"
    reasons = why(
        f"Strokes, strides or turns in the last round stay within {percent(scene.rules.technique_fraction)} of the "
        "second's.",
        ("second round", second),
        ("last round", f"{last} {change.unit}"),
        would_change="One round fewer, or a target at which the last round still looks like the second.",
    )
    return to_plan(
        scene,
        "technique_lost",
        f"Technique went on {short_day(log.done_on)}: {second} in the second round, {last} in the last.",
        reasons,
        key=key_of("technique_lost", [log.id, log.revision]),
        acts=_TALK,
        evidence_on=log.done_on,
    )


def _newest_set(scene: Scene) -> SessionLog | None:
    """The newest set of rounds of the last week that nothing spoilt."""
    first = scene.today - timedelta(days=NEWS_DAYS)
    sets = [
        log
        for log in scene.history.logs
        if first < log.done_on <= scene.today and log.kind is SessionKind.INTERVALS and log.spoilt_by is None
    ]
    return max(sets, key=lambda log: (log.done_on, log.id), default=None)


def _complete(log: SessionLog | None) -> list[RoundDone]:
    if log is None:
        return []
    return sorted((one for one in log.rounds if one.is_complete), key=lambda one: one.number)


def _output(one: RoundDone) -> float | None:
    return one.power_w if one.power_w is not None else one.speed_m_per_s


def _output_words(one: RoundDone) -> str:
    if one.power_w is not None:
        return f"{one.power_w:.0f} W"
    return f"{one.speed_m_per_s:.2f} m/s" if one.speed_m_per_s is not None else "not measured"


def _even(scene: Scene, log: SessionLog) -> float:
    """Best to worst round in which a set counts as even, by the practice's setting for the way of moving."""
    output = Output.POWER if any(one.power_w is not None for one in log.rounds) else Output.SPEED
    return even_limit_percent(log.mode, output, None, scene.rules) / 100


def _first_above(rounds: list[RoundDone]) -> float | None:
    """The first round above the mean of the others, as a share; None when it was not measured."""
    first, others = _output(rounds[0]), [found for one in rounds[1:] if (found := _output(one)) is not None]
    if first is None or len(others) < ROUNDS_LEAST - 1 or sum(others) <= 0:
        return None
    mean = sum(others) / len(others)
    return (first - mean) / mean


def _is_easy(pair: Pair) -> bool:
    return pair.planned is not None and pair.planned.kind is SessionKind.EASY and pair.status is not Status.MISSED


def _is_above(pair: Pair, heart: Mapping[int, float]) -> bool:
    """Above what was planned by what was said; by its heart where nothing was."""
    is_silent = pair.effort is None and pair.log is not None and pair.log.id in heart
    return pair.effort is EffortCompare.ABOVE or is_silent


def _said(log: SessionLog, heart: Mapping[int, float]) -> str:
    if log.talk is None and log.effort is None and log.id in heart:
        return f"nothing said; {heart[log.id]:.0f} min with the heart above the edge of easy"
    talk = TALK_WORDS[log.talk] if log.talk is not None else "no talk answer"
    return f"{talk}, effort {log.effort:g}" if log.effort is not None else talk


EXECUTION_RULES = (folded_over, started_hot, faded, technique_lost, easy_not_easy)
