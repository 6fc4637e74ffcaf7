"""Signals about days away: what was told waits for the coach, with a changed plan ready to look at."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.days_off import entered_in, row_for, run_told
from app.coaching.reasons import Provenance
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.told_away import ToldAway
from app.coaching.weeks import local_day
from app.coaching.words import counted, short_day

#: The plan is changed before they train again: a session so near puts the line on today's shelf.
NEAR = timedelta(days=1)


def days_away_told(scene: Scene) -> Signal | None:
    """Days away were told and nobody has answered; nothing of the plan changes by itself."""
    waiting = [one for one in scene.history.told_away if one.is_open]
    if not waiting:
        return None
    first = min(waiting, key=lambda one: (one.from_on, one.id))
    run = run_told(scene.history, first)
    row = row_for(run.days) if run else None
    more = f" {len(waiting) - 1} more {'is' if len(waiting) == 2 else 'are'} told." if len(waiting) > 1 else ""
    entered = entered_in(scene.history, first)
    beside = f" {counted(len(entered), 'outing day')} entered in them all the same." if entered else ""
    told_on = local_day(first.told_at, scene.history.client.zone)
    reasons = why(
        "Days off are asked, never guessed from silence. What follows is offered as a changed plan to accept.",
        ("told", f"{first.words}, on {short_day(told_on)}"),
        ("days off in a row", f"{run.days}" if run else "none, something is possible"),
        ("row of days off", f"from {row.least} days" if row else "none, the days themselves only"),
        ("entries in those days", ", ".join(short_day(day) for day in entered) or "none"),
        provenance=Provenance.COMMON_PRACTICE,
        would_change="Your answer: accept the changed plan, or leave the plan as it is.",
    )
    is_near = _is_near(scene, first)
    return Signal(
        "days_away_told",
        scene.history.client.id,
        Shelf.TODAY if is_near else Shelf.PLANNING,
        Family.HARD_TODAY if is_near and scene.hard_today else Family.REST,
        f"{first.words}, told on {short_day(told_on)}: a changed plan waits for your answer.{beside}{more}",
        reasons,
        key_of("days_away_told", [one.id for one in waiting]),
        (Act.DAYS_AWAY, Act.CONTACT, Act.PUT_OFF),
        told_on,
    )


def _is_near(scene: Scene, told: ToldAway) -> bool:
    """Whether a session the plan would change may stand today or tomorrow."""
    days = (scene.today, scene.today + NEAR)
    return any(scene.planned_on(day) and day >= told.from_on for day in days)


AWAY_RULES = (days_away_told,)
