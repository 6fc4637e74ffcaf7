"""What speaks against one session for one client beside load: way of moving, keeping, age, questions due."""

from __future__ import annotations

from datetime import date, timedelta

from app.coaching.done_work import is_endurance
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.people import Mode, age_on
from app.coaching.phases import Phase
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening_decision import screening_due
from app.coaching.second_week import OLDER_FROM_YEARS
from app.coaching.session_steps import NOUNS
from app.coaching.target_pace import raced_five_km
from app.coaching.words import short_day

#: A way of moving counts as the client's when it was done in so many weeks, or stands in the plan (house choice).
KNOWN_WEEKS = 12
#: The hard minutes of a keeping session, three rounds of four (common practice, no published source).
KEEPING_HARD_MIN = 12.0


def fit_breaches(history: History, session: PlannedSession, today: date, rules: Rules) -> tuple[Breach, ...]:
    """What a coach should know before this client gets this session.

    Source: house choice; rounds from 60 and the keeping session are common practice, no published source.
    """
    said = (
        ("way", _other_way(history, session, today)),
        ("keeping", _too_long_for_keeping(history, session)),
        ("running", _no_running_rounds(history, session)),
        ("questions", screening_due(history, today, rules) if is_hard_or_middle(session) else None),
    )
    day = short_day(session.planned_on)
    why = Why((Figure("session", session.title),), "A session suits whom it is for.", Provenance.COMMON_PRACTICE)
    return tuple(
        Breach(Level.SAYS, kind, session.planned_on, f"{session.title} on {day}: {words}", why)
        for kind, words in said
        if words
    )


def _other_way(history: History, session: PlannedSession, today: date) -> str | None:
    since = today - timedelta(weeks=KNOWN_WEEKS)
    done = {log.mode for log in history.logs if log.done_on >= since}
    given = {one.mode for one in history.planned if one.id != session.id and not one.is_cancelled}
    theirs = (done | given) - {Mode.STRENGTH}
    if not is_endurance(session) or not theirs or session.mode in theirs:
        return None
    names = ", ".join(sorted(NOUNS[mode] for mode in theirs if mode in NOUNS))
    return f"a {NOUNS[session.mode]}, and none stands in their last {KNOWN_WEEKS} weeks or plan ({names})."


def _too_long_for_keeping(history: History, session: PlannedSession) -> str | None:
    if history.phase is not Phase.KEEPING or not session.is_hard or session.hard_minutes <= KEEPING_HARD_MIN:
        return None
    return (
        f"{session.hard_minutes:g} hard minutes; keeping asks for one short hard session a week, "
        f"{KEEPING_HARD_MIN:g} at most."
    )


def _no_running_rounds(history: History, session: PlannedSession) -> str | None:
    age = age_on(history.client.born_on, session.planned_on)
    is_older = age is None or age >= OLDER_FROM_YEARS
    if session.mode is not Mode.RUN or not session.is_hard or not is_older:
        return None
    if raced_five_km(history.tests, session.planned_on) is not None:
        return None
    who = "age not known" if age is None else f"age {age}"
    return f"hard running, {who}, and no 5 km raced within 12 weeks: walk uphill instead."
