"""Signals of the body's own figures: resting heart rate, heart-rate variability, short nights. None adds work."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from statistics import fmean

from app.coaching.heart_rate_trust import since_last_break, trust_of
from app.coaching.readiness import ReadinessNote
from app.coaching.readiness_rules import RESTING_HEART_RATE_RISE_BPM, SHORT_SLEEP_H, USUAL_DAYS
from app.coaching.reasons import Provenance
from app.coaching.signals_values import Act, Scene, Signal, key_of, to_plan, why
from app.coaching.words import short_day, short_days
from app.physiology.readiness import (
    HEART_RATE_BASELINE_DAYS,
    ln_rmssd_range_javaloyes_2019,
    ln_rmssd_week_mean_plews_2014,
)
from app.physiology.values import Missing

#: So many notes running, the newest at most this many days old (house choice).
RUNNING = 3
FRESH_DAYS = 7
WEEK = 7
_TALK = (Act.CONTACT, Act.NOTE, Act.PUT_OFF)


def resting_heart_rate_up(scene: Scene) -> Signal | None:
    """Resting heart rate well above the own usual on three notes running. By itself it changes no session."""
    notes = [n for n in _newest(scene) if n.resting_heart_rate_bpm is not None]
    last = notes[-RUNNING:]
    if len(last) < RUNNING or (scene.today - last[-1].noted_on).days > FRESH_DAYS:
        return None
    usual = _usual_rates(scene, notes, last[0].noted_on)
    if len(usual) < scene.rules.readiness_notes_least:
        return None
    mean = fmean(usual)
    if min(_rate(n) for n in last) < mean + RESTING_HEART_RATE_RISE_BPM:
        return None
    reasons = why(
        f"Resting heart rate {RESTING_HEART_RATE_RISE_BPM} above the own usual is one item and never alone a reason "
        "to change a session; three notes running are worth a question: ill, heat, sleep, a medicine?",
        *[(short_day(n.noted_on), f"{n.resting_heart_rate_bpm} a minute") for n in last],
        ("usual", f"{mean:.0f} a minute, {len(usual)} notes of {USUAL_DAYS} days"),
        would_change="A note within the usual.",
    )
    return to_plan(
        scene,
        "resting_heart_rate_up",
        f"Resting heart rate {min(_rate(n) for n in last)} or more on three notes running, usually {mean:.0f}. "
        "By itself it changes no session; ask.",
        reasons,
        key=key_of("resting_heart_rate_up", [last[0].id], RESTING_HEART_RATE_RISE_BPM),
        acts=_TALK,
        evidence_on=last[-1].noted_on,
    )


def variability_low(scene: Scene) -> Signal | None:
    """The week's mean of ln RMSSD below the own range: only where the practice watches it."""
    if not scene.rules.heart_rate_variability_watched:
        return None
    by_day = {n.noted_on: n.ln_rmssd for n in _newest(scene)}
    days = [scene.today - timedelta(days=n) for n in range(WEEK + HEART_RATE_BASELINE_DAYS - 1, -1, -1)]
    mornings = [by_day.get(day) for day in days]
    usual = ln_rmssd_range_javaloyes_2019(baseline_ln_ms=mornings[:HEART_RATE_BASELINE_DAYS])
    week = ln_rmssd_week_mean_plews_2014(mornings_ln_ms=mornings[HEART_RATE_BASELINE_DAYS:])
    if isinstance(usual, Missing) or isinstance(week, Missing) or week >= usual.low:
        return None
    newest = max(day for day in days if by_day.get(day) is not None)
    reasons = why(
        "The mean of seven mornings against the range of the 28 before: their mean, half a spread to each side.",
        ("mean of the week", f"{week:.2f}"),
        ("own range", f"{usual.low:.2f} to {usual.high:.2f}"),
        provenance=Provenance.FROM_MEMORY,
        source="Plews et al. 2014; Javaloyes et al. 2019; the width from memory, unchecked",
        formulae=(ln_rmssd_week_mean_plews_2014.__name__, ln_rmssd_range_javaloyes_2019.__name__),
        would_change="A week back in the range.",
    )
    return to_plan(
        scene,
        "variability_low",
        f"Heart-rate variability is below their own range: {week:.2f}, usually {usual.low:.2f} to {usual.high:.2f}.",
        reasons,
        key=key_of("variability_low", [_monday(newest)], f"{usual.low:.1f}"),
        acts=_TALK,
        evidence_on=newest,
    )


def short_nights(scene: Scene) -> Signal | None:
    """Two of the last three notes tell of a night under five hours."""
    notes = [n for n in _newest(scene) if n.slept_h is not None][-RUNNING:]
    short = [n for n in notes if n.slept_h is not None and n.slept_h < SHORT_SLEEP_H]
    if len(short) < 2 or (scene.today - short[-1].noted_on).days > FRESH_DAYS:
        return None
    reasons = why(
        f"Two of the last three notes under {SHORT_SLEEP_H:g} h of sleep: ask about it before more work is added.",
        *[(short_day(n.noted_on), f"{n.slept_h:g} h") for n in notes],
        would_change="Two nights as usual.",
    )
    return to_plan(
        scene,
        "short_nights",
        f"Short nights: under {SHORT_SLEEP_H:g} h on {short_days(n.noted_on for n in short)}.",
        reasons,
        key=key_of("short_nights", [short[-1].id], SHORT_SLEEP_H),
        acts=_TALK,
        evidence_on=short[-1].noted_on,
    )


def _newest(scene: Scene) -> list[ReadinessNote]:
    """The last note of each day, oldest first."""
    by_day: dict[date, ReadinessNote] = {}
    for note in sorted(scene.history.readiness, key=lambda n: (n.noted_on, n.id)):
        if note.noted_on <= scene.today:
            by_day[note.noted_on] = note
    return list(by_day.values())


def _usual_rates(scene: Scene, notes: Sequence[ReadinessNote], day: date) -> list[int]:
    before = [n for n in notes if 0 < (day - n.noted_on).days <= USUAL_DAYS]
    kept = since_last_break(before, day, trust_of(scene.history, scene.today))
    return [_rate(n) for n in kept]


def _rate(note: ReadinessNote) -> int:
    return note.resting_heart_rate_bpm or 0


def _monday(day: date) -> date:
    return day - timedelta(days=day.weekday())


BODY_RULES = (resting_heart_rate_up, variability_low, short_nights)
