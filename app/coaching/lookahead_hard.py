"""Looking ahead at hard work: leave, holds, phase, ceiling, spacing and gaps."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta
from itertools import pairwise

from app.coaching.facts import FactsOnDemand
from app.coaching.first_rounds import rounds_breaches
from app.coaching.hard_work import FORTNIGHT_DAYS, hard_done
from app.coaching.heavy_legs import legs_breaches
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level, without_leave
from app.coaching.matching import is_on_leave, pauses
from app.coaching.people import age_on
from app.coaching.phases import HARD_WORK_PHASES, INTERVAL_PHASES, PHASE_WORDS, DecisionKind
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.planner_intervals import HOURS_A_DAY, ceiling_of, spacing_hours
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening import Intensity
from app.coaching.screening_decision import Stopped, decide, newest_answers
from app.coaching.told_away import told_on
from app.coaching.words import counted, ordinal, short_day, short_days

LOOK_BACK_DAYS = 28
#: Good hard sessions before a maximal test (common practice, no published source).
GOOD_BEFORE_TEST = 6


def hard_breaches(
    history: History,
    standing: Sequence[PlannedSession],
    drafts: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    facts: FactsOnDemand | None = None,
) -> list[Breach]:
    """Everything the drafts would break about hard work."""
    known = facts or FactsOnDemand(history, today, rules)
    hard = [draft for draft in drafts if draft.is_hard]
    found = [*_leave(history, drafts, today, rules, known), *_holds(history, drafts), *_phase(history, hard)]
    if not hard and history.phase not in INTERVAL_PHASES:
        return found
    there = hard_days_with(history, standing, today, rules, facts=known)
    days = sorted([*there, *(draft.planned_on for draft in hard)])
    drafted = {draft.planned_on for draft in hard}
    if hard:
        found += _ceiling(history, days, drafted, rules)
        found += _spacing(history, days, drafted, rules)
        found += _strength(standing, drafts, hard)
        found += legs_breaches(history, hard)
        found += rounds_breaches(history, hard, today, rules, facts=known.judged)
        found += _words_missing(hard)
        found += _maximal_tests(history, hard, rules, known)
    return [*found, *_gaps(history, days, drafts, rules)]


def interval_weeks_until(history: History, day: date) -> int:
    """Whole weeks in hard-work phases before a day, counted over their unbroken last run."""
    valid = [d for d in history.decisions if d.kind is not DecisionKind.BROUGHT_IN or d.confirmed_at is not None]
    first = day
    for decision in sorted(valid, key=lambda d: d.id, reverse=True):
        if decision.phase not in HARD_WORK_PHASES:
            break
        first = min(first, decision.since_on)
    return max(0, (day - first).days // 7)


def hard_days_with(
    history: History,
    planned: Sequence[PlannedSession],
    today: date,
    rules: Rules,
    *,
    facts: FactsOnDemand | None = None,
) -> tuple[date, ...]:
    """Every hard day there is, done lately or still ahead in a plan, in order."""
    known = facts or FactsOnDemand(history, today, rules)
    answered = {log.planned_session_id for log in history.logs}
    done = hard_done(history, rules, since_on=today - timedelta(days=LOOK_BACK_DAYS), facts=known.judged)
    ahead = [s.planned_on for s in planned if s.is_hard and s.planned_on >= today and s.id not in answered]
    return tuple(sorted([*(day.on for day in done), *ahead]))


def is_vigorous(session: PlannedSession) -> bool:
    """Whether a session holds middle or hard work, which the screening calls vigorous."""
    return is_hard_or_middle(session)


def _leave(
    history: History, drafts: Sequence[PlannedSession], today: date, rules: Rules, known: FactsOnDemand
) -> list[Breach]:
    vigorous = [draft for draft in drafts if is_vigorous(draft)]
    if not vigorous:
        return []
    decision = decide(history, Intensity.VIGOROUS, today, rules, facts=known.now)
    # Where all training is stopped the look ahead says so once, for every session.
    if decision.is_ok or decision.stops is Stopped.ALL:
        return []
    rule = "Without leave for vigorous work a client gets easy work only; vigorous covers middle and hard."
    is_asked = newest_answers(history) is not None
    return without_leave(decision, vigorous, rule=rule, lacking="no leave for hard work", is_asked=is_asked)


def _holds(history: History, drafts: Sequence[PlannedSession]) -> list[Breach]:
    found = []
    for draft in drafts:
        for hold in history.open_holds:
            if not pauses(hold, draft, max(draft.planned_on, hold.began_on), history.client.zone):
                continue
            why = Why(
                (Figure("hold", f"{hold.cause}, since {short_day(hold.began_on)}"),),
                "Nothing an open hold stops is published.",
                Provenance.HOUSE,
                None,
                "The hold being lifted by whom it may be lifted.",
            )
            shared = f"paused since {short_day(hold.began_on)}. {hold.cause}."
            sentence = f"{draft.title} on {short_day(draft.planned_on)}: {shared}"
            found.append(Breach(Level.REFUSES, "hold", draft.planned_on, sentence, why, shared))
    return found


def _phase(history: History, hard: Sequence[PlannedSession]) -> list[Breach]:
    if history.phase in HARD_WORK_PHASES:
        return []
    name = PHASE_WORDS[history.phase] if history.phase else "no phase yet"
    why = Why(
        (Figure("phase", name),),
        "Hard work belongs to the interval and keeping phases.",
        Provenance.COMMON_PRACTICE,
        None,
        "The decision to promote.",
    )
    return [
        Breach(
            Level.REFUSES,
            "phase",
            draft.planned_on,
            f"{draft.title} on {short_day(draft.planned_on)} is hard; the client is in: {name}.",
            why,
            f"hard work, and the client is in: {name}.",
        )
        for draft in hard
    ]


def _ceiling(history: History, days: Sequence[date], drafted: set[date], rules: Rules) -> list[Breach]:
    """For each drafted day the fullest fortnight that holds it; one more than full asks, two more refuse."""
    ceiling = ceiling_of(history.phase, rules)
    found = []
    for day in sorted(drafted):
        windows = [_window(days, day - timedelta(days=back)) for back in range(FORTNIGHT_DAYS)]
        fullest = max(windows, key=len)
        if len(fullest) <= ceiling:
            continue
        level = Level.ASKS if len(fullest) == ceiling + 1 else Level.REFUSES
        tail = "A reason is asked for and kept." if level is Level.ASKS else "It is not published."
        shared = f"{len(fullest)} hard sessions in 14 days ({short_days(fullest)}); {ceiling} is full."
        sentence = (
            f"{short_day(day)} lies in 14 days with {len(fullest)} hard sessions ({short_days(fullest)}); {ceiling} "
            f"is full, this would be the {ordinal(len(fullest))}. {tail}"
        )
        why = Why(
            (Figure("hard sessions", short_days(fullest)), Figure("ceiling", f"{ceiling} in any 14 days")),
            "Full at the ceiling; the next asks for a reason, one more is not published.",
            Provenance.COMMON_PRACTICE,
        )
        found.append(Breach(level, "ceiling", day, sentence, why, shared))
    return found


def _window(days: Sequence[date], first: date) -> tuple[date, ...]:
    return tuple(day for day in days if first <= day < first + timedelta(days=FORTNIGHT_DAYS))


def _spacing(history: History, days: Sequence[date], drafted: set[date], rules: Rules) -> list[Breach]:
    found = []
    for earlier, later in pairwise(days):
        if not {earlier, later} & drafted:
            continue
        age = age_on(history.client.born_on, later)
        needed = spacing_hours(age=age, interval_weeks=interval_weeks_until(history, later), rules=rules)
        hours = (later - earlier).days * HOURS_A_DAY
        if hours >= needed:
            continue
        why = Why(
            (Figure("apart", f"{hours} h"), Figure("needed", f"{needed:g} h")),
            "48 h between the starts of hard sessions; 72 h in the first eight interval weeks or from 60.",
            Provenance.COMMON_PRACTICE,
        )
        sentence = f"Hard on {short_day(earlier)} and {short_day(later)}: {hours} h apart, {needed:g} h are needed."
        found.append(Breach(Level.ASKS, "spacing", later, sentence, why))
    return found


def _strength(
    standing: Sequence[PlannedSession], drafts: Sequence[PlannedSession], hard: Sequence[PlannedSession]
) -> list[Breach]:
    strength = {s.planned_on for s in (*standing, *drafts) if s.kind is SessionKind.STRENGTH}
    why = Why((), "Heavy leg strength blocks hard work for 24 h.", Provenance.COMMON_PRACTICE)
    return [
        Breach(
            Level.SAYS,
            "strength",
            draft.planned_on,
            f"Strength within a day before {draft.title} on {short_day(draft.planned_on)}: keep heavy leg work away.",
            why,
        )
        for draft in hard
        if {draft.planned_on, draft.planned_on - timedelta(days=1)} & strength
    ]


def _words_missing(hard: Sequence[PlannedSession]) -> list[Breach]:
    why = Why((), "Every hard session carries its easy version and its warm-up rule.", Provenance.HOUSE)
    return [
        Breach(
            Level.ASKS,
            "easy_version",
            d.planned_on,
            f"{d.title} on {short_day(d.planned_on)}: no easy version.",
            why,
            "no easy version.",
        )
        for d in hard
        if not d.easy_version
    ]


def _maximal_tests(
    history: History, hard: Sequence[PlannedSession], rules: Rules, known: FactsOnDemand
) -> list[Breach]:
    """A maximal test waits for some good hard sessions."""
    tests = [draft for draft in hard if draft.kind is SessionKind.TEST]
    if not tests:
        return []
    good = sum(1 for day in hard_done(history, rules, facts=known.judged) if day.counts_for_progress)
    if good >= GOOD_BEFORE_TEST:
        return []
    why = Why(
        (Figure("good hard sessions", str(good)), Figure("asked", str(GOOD_BEFORE_TEST))),
        "Maximal tests only after 6 good hard sessions.",
        Provenance.COMMON_PRACTICE,
    )
    return [
        Breach(
            Level.ASKS,
            "early_test",
            draft.planned_on,
            f"{draft.title} on {short_day(draft.planned_on)} after {counted(good, 'good hard session')}; "
            f"{GOOD_BEFORE_TEST} come first.",
            why,
        )
        for draft in tests
    ]


def _is_away(history: History, day: date) -> bool:
    """Whether a day was agreed or told as away, so that it explains a gap."""
    return is_on_leave(history.leaves, day) or told_on(history.told_away, day) is not None


def _gaps(history: History, days: Sequence[date], drafts: Sequence[PlannedSession], rules: Rules) -> list[Breach]:
    """Long gaps between hard days in the interval phase, up to the end of what is drafted."""
    if history.phase not in INTERVAL_PHASES or not drafts:
        return []
    first, last = min(d.planned_on for d in drafts), max(d.planned_on for d in drafts)
    ends = [*days, last + timedelta(days=1)] if days and max(days) < last else [*days]
    found = []
    for earlier, later in pairwise(sorted(ends)):
        gap = (later - earlier).days
        between = (earlier + timedelta(days=n) for n in range(1, gap))
        if gap <= rules.hard_gap_days or later < first or any(_is_away(history, d) for d in between):
            continue
        why = Why(
            (Figure("days", str(gap)), Figure("limit", f"{rules.hard_gap_days} days in plans")),
            "In the interval phase plans leave at most so many days between hard sessions.",
            Provenance.COMMON_PRACTICE,
        )
        sentence = f"{gap} days without a hard session from {short_day(earlier)}; {rules.hard_gap_days} is the limit."
        found.append(Breach(Level.SAYS, "gap", later, sentence, why))
    return found
