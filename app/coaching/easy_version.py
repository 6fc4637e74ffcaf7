"""The easy version of a session: what it is, and whether a version is one."""

from __future__ import annotations

from dataclasses import replace

from app.coaching.effort import Band
from app.coaching.planned_effort import band_of_plan
from app.coaching.planner_intervals import EASY_VERSION_MIN
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.session_steps import NOUNS, easy_steps
from app.coaching.steps import to_json

_TITLE_MOST = 200
_PURPOSE = "The easy version, as agreed. It counts as kept."
#: Stands before the title of the session an easy version is given for.
INSTEAD_OF = " instead of: "


def eased(session: PlannedSession) -> PlannedSession:
    """The easy version of a harder session: the same way of moving, easy throughout, at most half an hour."""
    minutes = min(EASY_VERSION_MIN, session.minutes)
    return replace(
        session,
        kind=SessionKind.EASY,
        title=f"Easy {NOUNS[session.mode]}{INSTEAD_OF}{session.title}"[:_TITLE_MOST],
        purpose="The easy version, as agreed. It counts as kept.",
        minutes=minutes,
        hard_minutes=0.0,
        is_hard=False,
        rounds=0,
        steps_json=to_json(easy_steps(minutes, session.mode)),
        easy_version=None,
        # The hill was for its rounds.
        place=session.place if session.hill_id is None else None,
        hill_id=None,
        target_json=None,
    )


def is_eased_from(session: PlannedSession, before: PlannedSession) -> bool:
    """Whether a version is the easy version of the one before it, on the same day."""
    if session.is_cancelled or before.is_cancelled or band_of_plan(before) is Band.EASY:
        return False
    easy = eased(before)
    return (session.planned_on, session.title, session.steps_json) == (easy.planned_on, easy.title, easy.steps_json)


def own_words(session: PlannedSession) -> str:
    """Title and purpose as two sentences, without the title of the harder session an easy version stands in for."""
    is_quoting = session.purpose == _PURPOSE and session.title.startswith(_instead_of(session))
    return _PURPOSE if is_quoting else f"{session.title}. {session.purpose}"


def _instead_of(session: PlannedSession) -> str:
    return f"Easy {NOUNS[session.mode]} instead of: "
