"""What speaks against sessions for one client beside load: way of moving, keeping, age, questions due."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from datetime import date, timedelta

from app.coaching.done_work import is_endurance
from app.coaching.execution_values import Execution
from app.coaching.history import History
from app.coaching.lookahead import breaches, in_order
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
from app.coaching.target_eased import eased_breaches
from app.coaching.target_pace import raced_five_km
from app.coaching.words import one_of, short_day

#: A way of moving counts as the client's when it was done in so many weeks, or stands in the plan (house choice).
KNOWN_WEEKS = 12
#: The hard minutes of a keeping session, three rounds of four (common practice, no published source).
KEEPING_HARD_MIN = 12.0


def before_sending(
    history: History,
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    judged: Mapping[int, Execution] | None = None,
) -> tuple[Breach, ...]:
    """Everything the drafts would break, and which of them do not suit this client, in the look ahead's order.

    judged: what recordings say of the hard sessions before, by the entry's id; the entry speaks for all others.
    """
    going = [draft for draft in drafts if not draft.is_cancelled]
    broken = breaches(history, drafts, today, rules)
    refused = {one.on for one in broken if one.level is Level.REFUSES}
    fits = fit_breaches(history, going, today, rules)
    eased = eased_breaches(history, going, today, rules, judged or {})
    return in_order([*broken, *eased, *(one for one in fits if one.kind != "questions" or one.on not in refused)])


def fit_breaches(
    history: History, sessions: Sequence[PlannedSession], today: date, rules: Rules
) -> tuple[Breach, ...]:
    """What a coach should know before this client gets these sessions.

    Source: house choice; rounds from 60 and the keeping session are common practice, no published source.
    """
    theirs = _ways(history, sessions, today)
    due = screening_due(history, today, rules) if any(is_hard_or_middle(one) for one in sessions) else None
    return tuple(
        _breach(kind, session, words)
        for session in sessions
        for kind, words in (
            ("way", _other_way(session, theirs)),
            ("keeping", _too_long_for_keeping(history, session)),
            ("running", _no_running_rounds(history, session)),
            ("questions", due if is_hard_or_middle(session) else None),
        )
        if words
    )


def _breach(kind: str, session: PlannedSession, words: str) -> Breach:
    why = Why((Figure("session", session.title),), "A session suits whom it is for.", Provenance.COMMON_PRACTICE)
    sentence = f"{session.title} on {short_day(session.planned_on)}: {words}"
    return Breach(Level.SAYS, kind, session.planned_on, sentence, why, words)


def _ways(history: History, sessions: Sequence[PlannedSession], today: date) -> set[Mode]:
    """How the client moves: what was done lately, and what stands in the plan beside these sessions."""
    since, these = today - timedelta(weeks=KNOWN_WEEKS), {one.id for one in sessions}
    done = {log.mode for log in history.logs if log.done_on >= since}
    standing = (one for one in history.planned if one.published_at is not None or one.id not in these)
    return (done | {one.mode for one in standing if not one.is_cancelled}) - {Mode.STRENGTH}


def _other_way(session: PlannedSession, theirs: Collection[Mode]) -> str | None:
    if not is_endurance(session) or not theirs or session.mode in theirs:
        return None
    names = ", ".join(sorted(NOUNS[mode] for mode in theirs if mode in NOUNS))
    return f"{one_of(NOUNS[session.mode])}, and none stands in their last {KNOWN_WEEKS} weeks or plan ({names})."


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
