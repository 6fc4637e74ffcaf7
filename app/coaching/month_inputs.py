"""What a month's sums read, cut to exactly that, with a fingerprint, so that a summary can be made again later."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.holds import Hold
from app.coaching.people import Client, Goal
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, month_days, week_start

#: How a month is summed. Changed with every change of a rule in the code, so that an old sheet names its own.
METHOD = "2026-2"
#: The transition weeks and the base lie up to this far before a month (house choice).
WEEKS_BEFORE = 60
#: What of the client's particulars the sums read.
_CLIENT_FACTS = ("id", "zone", "regularly_active_confirmed_on")


@dataclass(frozen=True, slots=True)
class MonthWindow:
    """The days whose records a month's sums may read, and the day they are read as of."""

    from_on: date
    until_on: date
    as_of: date


@dataclass(frozen=True, slots=True)
class Fingerprint:
    """What names a summary's inputs: the same three give the same summary."""

    method: str
    settings_sha256: str
    inputs_sha256: str
    as_of: date


def month_window(month: str, today: date) -> MonthWindow:
    """Whole weeks around a month and the base before it.

    A month that is over is read as of the end of its last week, whatever the present day is: long after, nothing
    that happened later may change it.
    Raises: ValueError when it is not a month.
    """
    first, last = month_days(month)
    until = week_start(last) + timedelta(days=6)
    start = week_start(first) - timedelta(weeks=WEEKS_BEFORE)
    return MonthWindow(start, until, min(today, until + timedelta(days=1)))


def month_inputs(history: History, month: str, today: date) -> History:
    """The records a month's sums read and nothing else, as they stood at the window's end.

    Screening, papers, consents, readiness and notes are no part of it; a hold lifted later counts as open then.
    """
    window = month_window(month, today)
    first, last = month_days(month)
    zone = history.client.zone
    return History(
        client=history.client,
        from_on=window.from_on,
        until_on=window.until_on,
        decisions=tuple(
            d
            for d in history.decisions
            if d.since_on <= window.until_on or local_day(d.decided_at, zone) <= window.until_on
        ),
        weeks=tuple(w for w in history.weeks if window.from_on <= w.starts_on <= window.until_on),
        planned=tuple(
            replace(s, seen_at=None) for s in history.planned if window.from_on <= s.planned_on <= window.until_on
        ),
        logs=tuple(e for e in history.logs if window.from_on <= e.done_on <= window.until_on),
        tests=tuple(t for t in history.tests if t.tested_on <= last),
        holds=tuple(_as_it_stood(h, window.until_on, zone) for h in history.holds if h.began_on <= window.until_on),
        leaves=tuple(
            one for one in history.leaves if one.from_on <= window.until_on and one.until_on >= window.from_on
        ),
        contacts=tuple(c for c in history.contacts if first <= c.contact_on <= last),
        goals=tuple(_open_goal(g, last) for g in history.goals if _was_open(g, last)),
    )


def fingerprint(inputs: History, month: str, today: date, rules: Rules) -> Fingerprint:
    """The fingerprint of records already cut to a month (`month_inputs`)."""
    window = month_window(month, today)
    facts = [getattr(inputs.client, name) for name in _CLIENT_FACTS]
    records = [getattr(inputs, f.name) for f in fields(History) if f.name != "client"]
    return Fingerprint(
        method=METHOD,
        settings_sha256=_sha256([[f.name, getattr(rules, f.name)] for f in fields(Rules)]),
        inputs_sha256=_sha256([METHOD, month, window.as_of, facts, records]),
        as_of=window.as_of,
    )


def of_all(several: Sequence[Fingerprint]) -> Fingerprint | None:
    """One fingerprint over several clients', in their order; None without any."""
    if not several:
        return None
    joined = _sha256([one.inputs_sha256 for one in several])
    return replace(several[0], inputs_sha256=joined, as_of=max(one.as_of for one in several))


def belongs_to_month(inputs: History, month: str) -> bool:
    """Whether a client has a place in a month: joined by its end and still here, or something lies in it."""
    first, last = month_days(month)
    if inputs.client.joined_on <= last and _is_here(inputs.client):
        return True
    days = [*(e.done_on for e in inputs.logs), *(s.planned_on for s in inputs.planned)]
    return any(first <= day <= last for day in days)


def _is_here(client: Client) -> bool:
    return client.state.value not in ("asked", "left")


def _as_it_stood(hold: Hold, until: date, zone: str) -> Hold:
    if hold.lifted_at is None or local_day(hold.lifted_at, zone) <= until:
        return hold
    return replace(hold, lifted_at=None, lifted_by=None, lifted_because=None, clearance_id=None)


def _was_open(goal: Goal, last: date) -> bool:
    return goal.agreed_on <= last and (goal.closed_on is None or goal.closed_on > last)


def _open_goal(goal: Goal, last: date) -> Goal:
    return replace(goal, closed_on=None) if goal.closed_on is not None and goal.closed_on > last else goal


def _sha256(value: object) -> str:
    text = json.dumps(value, default=_plain, ensure_ascii=True, separators=(",", ":"))
    return hashlib.sha256(text.encode()).hexdigest()


def _plain(value: object) -> object:
    if is_dataclass(value) and not isinstance(value, type):
        return [getattr(value, f.name) for f in fields(value)]
    iso: Callable[[], str] | None = getattr(value, "isoformat", None)
    return iso() if iso is not None else str(value)
