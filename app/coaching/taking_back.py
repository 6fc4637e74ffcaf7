"""Taking back what was published, only towards less work: the earlier version again, or the session taken away."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime

from app.coaching.effort import Band
from app.coaching.plan_changes import Change
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession
from app.coaching.words import short_day

_ORDER = {Band.EASY: 0, Band.MIDDLE: 1, Band.HARD: 2}


@dataclass(frozen=True, slots=True)
class TakenBack:
    """What becomes of one session, or why it is left."""

    session: PlannedSession
    #: None: it is left as it is.
    change: Change | None
    left_because: str


def taken_back(versions: Sequence[PlannedSession], sent_at: datetime, today: date) -> TakenBack:
    """What undoing a publishing makes of a session; `versions` are all of one session, oldest first.

    Only towards less work (house choice): a session the client had not is cancelled, an earlier version comes back
    when it is neither harder nor longer. What was taken away stays away; a later change and a day that is over stay.
    """
    newest = versions[-1]
    sent = next((one for one in reversed(versions) if one.published_at == sent_at), newest)
    before = [one for one in versions if one.version < sent.version and one.published_at not in (None, sent_at)]
    earlier = before[-1] if before and not before[-1].is_cancelled else None
    left = _left(newest, sent, earlier, today)
    if left:
        return TakenBack(sent, None, left)
    restored = replace(sent, is_cancelled=True) if earlier is None else earlier
    return TakenBack(sent, Change(newest, replace(restored, version_id=newest.version_id)), "")


def _left(newest: PlannedSession, sent: PlannedSession, earlier: PlannedSession | None, today: date) -> str:
    if newest.published_at != sent.published_at:
        return "it was changed since."
    days = [sent.planned_on] if earlier is None else [sent.planned_on, earlier.planned_on]
    if min(days) < today:
        return f"{short_day(min(days))} is over."
    if sent.is_cancelled:
        return "it was taken away; bringing work back is published anew, not undone."
    if earlier is not None and is_more(earlier, sent):
        return "what stood before is more work; it is published anew, not undone."
    return ""


def is_more(one: PlannedSession, than: PlannedSession) -> bool:
    """Whether a session is harder or longer than another."""
    is_harder = _ORDER[band_of_plan(one)] > _ORDER[band_of_plan(than)] or one.hard_minutes > than.hard_minutes
    return is_harder or one.minutes > than.minutes
