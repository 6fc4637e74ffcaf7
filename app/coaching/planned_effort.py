"""How hard a planned session is as a whole, by its kind and by every step in it."""

from __future__ import annotations

from functools import lru_cache

from app.coaching.effort import Band
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.steps import from_json, minutes_in_band

#: An easy session holds at most so many minutes above easy (common practice, no published source).
MINUTES_ABOVE_EASY_MOST = 5

_HARD_KINDS = frozenset({SessionKind.INTERVALS, SessionKind.RACE})


def band_of_plan(session: PlannedSession) -> Band:
    """The band of a planned session as a whole: the hardest its kind, its steps or its hard minutes say.

    A test without a hard part (the standard loop) is as easy as its steps; steps that cannot be read count as hard.
    """
    by_steps = _band_of_steps(session.steps_json)
    if session.is_hard or session.hard_minutes > 0 or session.kind in _HARD_KINDS:
        return Band.HARD
    if by_steps is None:
        return Band.HARD if session.kind is SessionKind.TEST else _band_of_kind(session.kind)
    return _band_of_kind(session.kind) if by_steps is Band.EASY else by_steps


def is_hard_or_middle(session: PlannedSession) -> bool:
    """Whether the screening's vigorous covers a planned session."""
    return band_of_plan(session) is not Band.EASY


def _band_of_kind(kind: SessionKind) -> Band:
    return Band.MIDDLE if kind is SessionKind.MIDDLE else Band.EASY


@lru_cache(maxsize=4096)
def _band_of_steps(steps_json: str) -> Band | None:
    """The hardest band the steps come to; hard when they cannot be read, None when there are none."""
    try:
        nodes = from_json(steps_json)
    except DomainError:
        return Band.HARD
    if not nodes:
        return None
    if minutes_in_band(nodes, Band.HARD) > 0:
        return Band.HARD
    return Band.MIDDLE if minutes_in_band(nodes, Band.MIDDLE) > MINUTES_ABOVE_EASY_MOST else Band.EASY
