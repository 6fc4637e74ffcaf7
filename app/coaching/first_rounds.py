"""How many rounds a client is ready for: two at first, then one more at a time.

Source: common practice, no published source.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from app.coaching.done_work import complete_rounds, is_hard_done
from app.coaching.facts import Facts, facts_of
from app.coaching.hard_work import hard_ahead
from app.coaching.history import History
from app.coaching.lookahead_values import Breach, Level
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind, Phase
from app.coaching.planner_intervals import FIRST_ROUNDS, MOST_LONG_ROUNDS
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.protocol_values import LONG_ROUND_S
from app.coaching.reasons import DomainError, Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.steps import SECONDS_A_MINUTE, Part, flatten, from_json
from app.coaching.words import counted, short_day

#: The introduction ends with so many rounds, after one session for each step to them.
FULL_ROUNDS = 4
INTRODUCTION_SESSIONS = FULL_ROUNDS - FIRST_ROUNDS + 1
#: What the first sessions' rounds last.
USUAL_ROUND_S = 240
#: Short rounds, easier for their length, may come to so many minutes more than the long ones of the same step.
SHORT_MORE_MIN = 2


@dataclass(frozen=True, slots=True)
class RoundsSoFar:
    """The long rounds of the hard sessions before a day, and whether they are known at all."""

    #: Hard sessions done that count for progress.
    done: int
    #: The most rounds of one session: done in full, and done or standing published before that day.
    most_done: int
    most: int
    #: Hard work brought in from elsewhere is not counted here: nothing is asked of who brings it.
    is_brought_in: bool
    #: The phases after one hard session a week are decided on good sessions with all their rounds.
    is_long_promoted: bool

    @property
    def next_rounds(self) -> int:
        """The rounds a session may have as the next step, up to the full four."""
        if self.is_brought_in or self.is_long_promoted or self.done >= INTRODUCTION_SESSIONS:
            return FULL_ROUNDS
        return min(FULL_ROUNDS, self.most + 1) if self.most else FIRST_ROUNDS

    @property
    def first_rounds(self) -> int:
        """The rounds a block that begins small begins with."""
        return FIRST_ROUNDS if self.is_introduction_over else self.next_rounds

    @property
    def is_introduction_over(self) -> bool:
        """Whether a block may begin with all four rounds."""
        return self.next_rounds >= FULL_ROUNDS


def rounds_so_far(history: History, day: date, today: date, rules: Rules) -> RoundsSoFar:
    """What was done, and what stands published from today until a day; drafts are not done and do not count."""
    so_far = _done_so_far(history, rules)
    return _with_planned(so_far, [one for one in _published_ahead(history, today) if one.planned_on < day])


def _done_so_far(history: History, rules: Rules, facts: Facts | None = None) -> RoundsSoFar:
    done = _rounds_done(history, facts or facts_of(history, date.max, rules), rules)
    most = max((rounds for rounds, _ in done), default=0)
    is_brought_in = any(
        one.kind is DecisionKind.BROUGHT_IN and one.confirmed_at is not None and one.phase in HARD_WORK_PHASES
        for one in history.decisions
    )
    is_long_promoted = history.phase in (Phase.INTERVAL_TWO, Phase.KEEPING)
    return RoundsSoFar(sum(progress for _, progress in done), most, most, is_brought_in, is_long_promoted)


def _with_planned(so_far: RoundsSoFar, sessions: Sequence[PlannedSession]) -> RoundsSoFar:
    return replace(so_far, most=max([so_far.most, *(one.rounds for one in sessions)]))


def _published_ahead(history: History, today: date) -> list[PlannedSession]:
    standing = {one.record_id for one in hard_ahead(history, today)}
    return [one for one in history.planned if one.id in standing and one.published_at is not None and is_long(one)]


def is_long(session: PlannedSession) -> bool:
    """Whether a session has long rounds, which grow one by one; many rounds are short ones unless they last long."""
    if not session.is_hard or session.kind is not SessionKind.INTERVALS or session.rounds <= 0:
        return False
    return session.rounds <= MOST_LONG_ROUNDS or _round_s(session.steps_json) >= LONG_ROUND_S


def rounds_worth(session: PlannedSession) -> int:
    """Its rounds as rounds of four minutes: one up to five minutes long, two up to nine, and so on."""
    return session.rounds * max(1, math.ceil((_round_s(session.steps_json) - SECONDS_A_MINUTE) / USUAL_ROUND_S))


@lru_cache(maxsize=4096)
def _round_s(steps_json: str) -> int:
    """How long its longest round is; the usual length where the steps do not say."""
    try:
        rounds = [step.duration_s for step in flatten(from_json(steps_json)) if step.part is Part.WORK]
    except DomainError:
        return USUAL_ROUND_S
    return max(rounds, default=USUAL_ROUND_S)


def _rounds_done(history: History, known: Facts, rules: Rules) -> list[tuple[int, bool]]:
    """Of every hard session done: its full rounds, the planned ones where none are logged, and if it is progress."""
    found = []
    for log in history.logs:
        plan = known.pairing.plan_of.get(log.id)
        hard = is_hard_done(log, plan, rules) if log.id in known.hard else None
        if hard is not None:
            planned = plan.rounds if plan is not None and hard.counts_for_progress else 0
            found.append((complete_rounds(log) if log.rounds else planned, hard.counts_for_progress))
    return found


def rounds_breaches(
    history: History, hard: Sequence[PlannedSession], today: date, rules: Rules, *, facts: Facts | None = None
) -> list[Breach]:
    """Drafts with more rounds than the next step; the drafts before one count as steps on the way to it."""
    rounds = [one for one in hard if one.is_hard and one.kind is SessionKind.INTERVALS and one.rounds > 0]
    going = sorted((one for one in rounds if is_long(one)), key=lambda one: (one.planned_on, one.id))
    if not rounds:
        return []
    drafted, done = {one.id for one in hard}, _done_so_far(history, rules, facts)
    if done.is_brought_in:
        return []
    standing = [one for one in _published_ahead(history, today) if one.id not in drafted]
    found = []
    for draft in (one for one in rounds if not is_long(one)):
        so_far = _with_planned(done, [one for one in (*standing, *going) if one.planned_on < draft.planned_on])
        if not so_far.is_introduction_over and draft.hard_minutes > _short_most(so_far):
            found.append(_too_much(draft, so_far))
    for draft in going:
        so_far = _with_planned(done, [one for one in (*standing, *going) if one.planned_on < draft.planned_on])
        worth = rounds_worth(draft)
        if worth > FULL_ROUNDS and so_far.most_done < FULL_ROUNDS:
            found.append(_too_many(draft, so_far))
        elif max(so_far.next_rounds, so_far.most_done) < worth <= FULL_ROUNDS:
            found.append(_too_soon(draft, so_far))
    return found


def _too_soon(draft: PlannedSession, so_far: RoundsSoFar) -> Breach:
    if not so_far.most and not so_far.done:
        words = f"first hard session: {_rounds_words(draft)}; the practice begins with {FIRST_ROUNDS}"
    else:
        words = (
            f"{_rounds_words(draft)} after at most {so_far.most}; {so_far.next_rounds} come next, one more at a time"
        )
    return _breach(draft, so_far, words, shared="")


def _too_many(draft: PlannedSession, so_far: RoundsSoFar) -> Breach:
    words = f"{_rounds_words(draft)}; the practice begins with {FIRST_ROUNDS}, and the fifth waits for four even ones"
    if not so_far.most and not so_far.done:
        words = f"first hard session: {words}"
    return _breach(draft, so_far, f"{words} done", shared=f"{words} done.")


def _short_most(so_far: RoundsSoFar) -> int:
    """The hard minutes a session of short rounds may have as the next step."""
    return so_far.next_rounds * USUAL_ROUND_S // SECONDS_A_MINUTE + SHORT_MORE_MIN


def _too_much(draft: PlannedSession, so_far: RoundsSoFar) -> Breach:
    most = _short_most(so_far)
    words = f"{draft.hard_minutes:g} min of hard work in short rounds; at this point up to {most} come first"
    return _breach(draft, so_far, words, shared=f"{words}.")


def _rounds_words(draft: PlannedSession) -> str:
    worth = rounds_worth(draft)
    beside = "" if worth == draft.rounds else f" that are as much as {worth} of 4 min"
    return f"{counted(draft.rounds, 'round')}{beside}"


def _breach(draft: PlannedSession, so_far: RoundsSoFar, words: str, *, shared: str) -> Breach:
    why = Why(
        (
            Figure("planned", counted(draft.rounds, "round")),
            Figure("as rounds of 4 min", str(rounds_worth(draft))),
            Figure("hard sessions done", str(so_far.done)),
            Figure("most rounds done", str(so_far.most_done)),
            Figure("most rounds done or before it in the plan", str(so_far.most)),
        ),
        "The first hard sessions have 2 rounds of 4 min, then 3, then 4; the fifth comes after four even ones. A "
        "round longer than 5 min counts as two, one longer than 9 as three. Short rounds come to 10 min of hard work "
        "at first, then 14.",
        Provenance.COMMON_PRACTICE,
    )
    sentence = f"{draft.title} on {short_day(draft.planned_on)}: {words}."
    return Breach(Level.ASKS, "rounds", draft.planned_on, sentence, why, shared)
