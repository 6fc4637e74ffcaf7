"""Whose paper is missing, waited for, refused or about to run out, and since when: the list to telephone along."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum

from app.coaching.clearance_papers import paper_day
from app.coaching.history import History
from app.coaching.holds import HoldKind
from app.coaching.people import Client, ClientState
from app.coaching.rules import Rules
from app.coaching.screening import Clearance, ClearanceState
from app.coaching.screening_decision import Outcome, newest_answers, newest_paper, screening_of
from app.coaching.signals_papers import ENDING_DAYS
from app.coaching.words import counted, ends_words, short_day

#: A request without an answer is asked after when it is so old (house choice).
CHASE_AFTER_DAYS = 14


class Wanting(IntEnum):
    """What about a paper wants doing, in the order of the list."""

    REFUSED = 0
    NOT_ASKED = 1
    WAITING = 2
    RUN_OUT = 3
    ENDING = 4


@dataclass(frozen=True, slots=True)
class ChaseLine:
    """One client's paper and what it waits for."""

    client: Client
    wanting: Wanting
    sentence: str
    #: Days it has waited, or days it still has.
    days: int
    #: Whether it is old or close enough to act on today.
    is_due: bool


def chase_list(histories: Iterable[History], today: date, rules: Rules) -> tuple[ChaseLine, ...]:
    """Every paper that wants something: refused first, then not asked for, then the longest waiting.

    Source: house choice; that papers are routine and need such a list follows from Whitfield et al. 2017.
    """
    found = (_line(one, today, rules) for one in histories if one.client.state is not ClientState.LEFT)
    lines = [line for line in found if line is not None]
    return tuple(sorted(lines, key=lambda line: (line.wanting, _order(line), line.client.name, line.client.id)))


def _order(line: ChaseLine) -> int:
    return line.days if line.wanting is Wanting.ENDING else -line.days


def _line(history: History, today: date, rules: Rules) -> ChaseLine | None:
    asked, paper = _open_request(history), newest_paper(history, today)
    if asked is not None:
        return _waiting(history, asked, today)
    if paper is not None and paper.state is ClearanceState.REFUSED:
        days = (today - paper_day(paper)).days
        said = f"Refused on {short_day(paper_day(paper))}: the whole plan is suspended. Talk with the clinician."
        return ChaseLine(history.client, Wanting.REFUSED, said, days, is_due=True)
    if paper is not None:
        return _ending(history, paper, today, rules)
    return _not_asked(history, today, rules)


def _open_request(history: History) -> Clearance | None:
    """The newest request that no answer followed."""
    newest = max(history.clearances, key=lambda one: one.id, default=None)
    return newest if newest is not None and newest.state is ClearanceState.REQUESTED else None


def _waiting(history: History, asked: Clearance, today: date) -> ChaseLine:
    since = asked.requested_on or asked.recorded_at.date()
    days = (today - since).days
    is_due = days >= CHASE_AFTER_DAYS
    tail = " Ask after it." if is_due else ""
    said = f"Asked for on {short_day(since)}: {counted(days, 'day')} without an answer.{tail}"
    return ChaseLine(history.client, Wanting.WAITING, said, days, is_due)


def _ending(history: History, paper: Clearance, today: date, rules: Rules) -> ChaseLine | None:
    by_age = paper_day(paper) + timedelta(days=rules.clearance_days)
    ends = min(by_age, paper.ends_on) if paper.ends_on else by_age
    left = (ends - today).days
    if left > ENDING_DAYS:
        return None
    if left < 0:
        said = f"Ran out on {short_day(ends)}, {counted(-left, 'day')} ago. Ask for a new one."
        return ChaseLine(history.client, Wanting.RUN_OUT, said, -left, is_due=True)
    said = f"Ends {ends_words(ends, left)}. A new one takes time: ask now."
    return ChaseLine(history.client, Wanting.ENDING, said, left, is_due=True)


def _not_asked(history: History, today: date, rules: Rules) -> ChaseLine | None:
    """Where a symptom or the answers lead to a clinician and nobody wrote to one yet."""
    felt = max((hold.began_on for hold in history.open_holds if hold.kind is HoldKind.SYMPTOM), default=None)
    if felt is not None:
        return _needed(history, felt, f"something felt wrong on {short_day(felt)}", today)
    answers = newest_answers(history)
    if answers is None:
        return None
    light = screening_of(history, today, rules).light
    if light.outcome not in (Outcome.HOLD, Outcome.STOP) or light.missing:
        return None
    return _needed(history, answers.answered_on, f"the answers of {short_day(answers.answered_on)}", today)


def _needed(history: History, since: date, what: str, today: date) -> ChaseLine:
    said = f"Needed since {what}, and nobody has asked for it yet."
    return ChaseLine(history.client, Wanting.NOT_ASKED, said, (today - since).days, is_due=True)
