"""A signal about heavy legs: hard work stands today, within a day of work that was heavy for the legs."""

from __future__ import annotations

from app.coaching.heavy_legs import RULE, heavy_before
from app.coaching.signals_values import Act, Family, Scene, Shelf, Signal, key_of, why
from app.coaching.words import short_day


def legs_heavy(scene: Scene) -> Signal | None:
    """Today's hard session comes within a day of heavy leg work."""
    hard = scene.hard_today
    log = heavy_before(scene.history, scene.today) if hard is not None else None
    if hard is None or log is None or scene.hard_waits:
        return None
    when = "earlier today" if log.done_on == scene.today else f"on {short_day(log.done_on)}"
    reasons = why(
        RULE,
        ("heavy for the legs", short_day(log.done_on)),
        ("planned today", hard.title),
        would_change="Another day for the hard session, or its easy version.",
    )
    return Signal(
        "legs_heavy",
        scene.history.client.id,
        Shelf.TODAY,
        Family.HARD_TODAY,
        f"{hard.title} is planned today; the legs worked heavily {when}. 24 h belong between them.",
        reasons,
        key_of("legs_heavy", [f"l{log.id}", f"s{hard.record_id}"]),
        (Act.EASE_TODAY, Act.MOVE_TODAY, Act.CONTACT),
        log.done_on,
    )


LEGS_RULES = (legs_heavy,)
