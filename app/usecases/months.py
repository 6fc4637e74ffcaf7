"""A month: the practice's table, one client's page, the coach's remark, and the files to take away."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta
from hashlib import sha256
from pathlib import Path

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, Role, actions_for
from app.coaching.fitness_changes import Compared, compare_with_last
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.history import History
from app.coaching.month import PracticeMonth, month_lines, month_summary, practice_month
from app.coaching.month_inputs import belongs_to_month, fingerprint, month_inputs, month_window
from app.coaching.month_words import month_title
from app.coaching.people import Client, Goal
from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.rules import Rules
from app.coaching.weeks import local_day, month_days
from app.files.month_csv import ClientMonth, practice_csv, sessions_csv
from app.files.to_csv import MEDIA_TYPE, Reader
from app.storage import clients, history
from app.storage import heart_rate as trusts
from app.storage.audit import leave_trace
from app.usecases.gate import NotAllowed, allowed_actions, open_record, readable_clients

__all__ = ["MEDIA_TYPE", "ClientMonth", "Reader"]

SumUp = Callable[[History, str, Rules, datetime], ClientMonth]

_MONTH = re.compile(r"[0-9]{4}-(?:0[1-9]|1[0-2])")
#: No practice keeps records of before; also far enough from the calendar's own beginning (house choice).
_EARLIEST_YEAR = 1990
PRACTICE_FILE = "practice.csv"
SESSIONS_FILE = "sessions.csv"
#: Whoever stands at the machine with the folder in hand may read it whole.
_AT_THE_MACHINE = Actor(person_id=0, name="the command line", role=Role.HEAD_COACH, client_id=None)


class NoSuchMonth(DomainError):
    """Not a month that can be summed up; the sentence says why."""


@dataclass(frozen=True, slots=True)
class Month:
    """One month with its neighbours; `following` is None when that has not begun."""

    key: str
    title: str
    previous: str
    following: str | None


@dataclass(frozen=True, slots=True)
class PracticePage:
    """The practice's month, and the clients' months in the same order."""

    month: Month
    practice: PracticeMonth
    months: tuple[ClientMonth, ...]
    may_export: bool


@dataclass(frozen=True, slots=True)
class ClientPage:
    """One client's month with everything its sheet shows."""

    month: Month
    one: ClientMonth
    tests: tuple[Compared | None, ...]
    heart_rate: HeartRateTrust
    goals: tuple[Goal, ...]
    remark: str
    #: Names the remark as it was shown, so that a later one is not overwritten unseen.
    remark_seen: str
    may_decide: bool


def month_of(key: str, *, today: date) -> Month:
    """The month written as "2026-10". Raises: NoSuchMonth when it is none, or has not begun."""
    if not _MONTH.fullmatch(key):
        raise NoSuchMonth(f"“{key[:20]}” is not a month. Write it as year and month, such as {today:%Y-%m}.")
    if int(key[:4]) < _EARLIEST_YEAR:
        raise NoSuchMonth(f"There are no records from before {_EARLIEST_YEAR}.")
    first, last = month_days(key)
    if first > today:
        raise NoSuchMonth(f"{month_title(key)} has not begun; there is nothing to sum up yet.")
    following = last + timedelta(days=1)
    return Month(
        key=key,
        title=month_title(key),
        previous=f"{first - timedelta(days=1):%Y-%m}",
        following=f"{following:%Y-%m}" if following <= today else None,
    )


def open_practice(db: Session, *, actor: Actor, month: Month, rules: Rules, now: datetime) -> PracticePage:
    """The month of everybody a person may read."""
    found = readable_clients(db, actor=actor, now=now)
    months = _months_of(db, found, month.key, rules, now, sum_up=_summed)
    practice = practice_month([one.summary for one in months], month.key, rules)
    in_order = {one.summary.client.id: one for one in months}
    ordered = tuple(in_order[row.client.id] for row in practice.rows)
    return PracticePage(month, practice, ordered, may_export(actor))


def open_client(
    db: Session, *, actor: Actor, client_id: int, month: Month, rules: Rules, now: datetime
) -> ClientPage:
    """One client's month."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    known = _histories(db, [client], month.key, now)[0]
    one = _with_lines(known, month.key, rules, now)
    heart_rate = trusts.trust_on(db, client=client, day=local_day(now, client.zone))
    remark = clients.month_remarks(db, month=month.key, client_ids=[client_id]).get(client_id, "")
    allowed = allowed_actions(db, actor=actor, client=client, now=now)
    return ClientPage(
        month=month,
        one=one,
        tests=tuple(compare_with_last(test, known.tests, heart_rate) for test in one.summary.tests),
        heart_rate=heart_rate,
        goals=known.goals,
        remark=remark,
        remark_seen=_seen(remark),
        may_decide=Action.DECIDE in allowed,
    )


def keep_remark(
    db: Session, *, actor: Actor, client_id: int, month: Month, text: str, seen: str, now: datetime
) -> None:
    """Keep the coach's remark on a client's month; an empty one takes it away.

    Raises: NotAllowed for whoever may only read; StaleEdit when it was changed since `seen`.
    """
    open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    before = clients.month_remarks(db, month=month.key, client_ids=[client_id]).get(client_id, "")
    if text == before:
        return
    if seen != _seen(before):
        said = f"it now says “{before}”" if before else "it was taken away"
        raise StaleEdit(
            f"The remark was changed meanwhile: {said}. Yours is still here; keep it again to replace that."
        )
    clients.keep_month_remark(db, client_id=client_id, month=month.key, text=text, person_id=actor.person_id, at=now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="keep_month_remark",
        subject="month",
        change={"before": {month.key: before or None}, "after": {month.key: text or None}},
    )


def may_export(actor: Actor) -> bool:
    """Whether a person may take records away in files; a stand-in may not."""
    return Action.DECIDE in actions_for(actor.role, Relation.OWN_CLIENT)


def month_file(
    db: Session, *, actor: Actor, month: Month, name: str, reader: Reader, rules: Rules, now: datetime
) -> bytes:
    """One of the month's two files, for the clients whose records a person may take away.

    Raises: NotAllowed for a stand-in.
    """
    if not may_export(actor):
        raise NotAllowed("A stand-in reads the month here, but takes no files away.")
    found = [one for one in readable_clients(db, actor=actor, now=now) if _may_take(actor, one)]
    sum_up = _with_lines if name == SESSIONS_FILE else _summed
    return _file(_months_of(db, found, month.key, rules, now, sum_up=sum_up), month, name, reader, rules)


def note_export(db: Session, *, actor: Actor, month: Month, name: str, now: datetime) -> None:
    """Keep in the practice's trail that a file was taken away."""
    person_id = actor.person_id or None
    change = {"after": {"month": month.key, "file": name}}
    leave_trace(
        db, at=now, person_id=person_id, client_id=None, action="export_month", subject="month", change=change
    )


def write_month(
    db: Session, *, month: str, out: Path, reader: Reader, rules: Rules, today: date, now: datetime
) -> tuple[Path, ...]:
    """Write the practice's month as files into a folder; files of an earlier run are replaced.

    Raises: NoSuchMonth.
    """
    wanted = month_of(month, today=today)
    found = readable_clients(db, actor=_AT_THE_MACHINE, now=now)
    months = _months_of(db, found, wanted.key, rules, now, sum_up=_with_lines)
    out.mkdir(parents=True, exist_ok=True)
    written = []
    for name in (PRACTICE_FILE, SESSIONS_FILE):
        written.append(_write(out / name, _file(months, wanted, name, reader, rules)))
        note_export(db, actor=_AT_THE_MACHINE, month=wanted, name=name, now=now)
    return tuple(written)


def _write(path: Path, content: bytes) -> Path:
    beside = path.with_name(f".{path.name}.part")
    beside.write_bytes(content)
    os.replace(beside, path)
    return path


def _file(months: Sequence[ClientMonth], month: Month, name: str, reader: Reader, rules: Rules) -> bytes:
    if name == SESSIONS_FILE:
        return sessions_csv(months, reader=reader)
    practice = practice_month([one.summary for one in months], month.key, rules)
    return practice_csv(practice, months, reader=reader)


def _may_take(actor: Actor, client: Client) -> bool:
    relation = Relation.OWN_CLIENT if client.coach_id == actor.person_id else Relation.HANDED_OVER
    return Action.DECIDE in actions_for(actor.role, relation)


def _months_of(
    db: Session, found: Sequence[Client], month: str, rules: Rules, now: datetime, *, sum_up: SumUp
) -> tuple[ClientMonth, ...]:
    """The months of those with a place in it, in the order of their names."""
    histories = _histories(db, found, month, now)
    return tuple(sum_up(one, month, rules, now) for one in histories if belongs_to_month(one, month))


def _histories(db: Session, found: Sequence[Client], month: str, now: datetime) -> list[History]:
    window = month_window(month, now.date())
    loaded = history.load(db, client_ids=[one.id for one in found], from_on=window.from_on, until_on=window.until_on)
    return [month_inputs(one, month, local_day(now, one.client.zone)) for one in loaded]


def _summed(inputs: History, month: str, rules: Rules, now: datetime) -> ClientMonth:
    today = local_day(now, inputs.client.zone)
    summary = month_summary(inputs, month, month_window(month, today).as_of, rules)
    return ClientMonth(summary, fingerprint(inputs, month, today, rules), ())


def _with_lines(inputs: History, month: str, rules: Rules, now: datetime) -> ClientMonth:
    one = _summed(inputs, month, rules, now)
    as_of = one.fingerprint.as_of
    return replace(one, lines=month_lines(inputs, month, as_of, rules))


def _seen(remark: str) -> str:
    return sha256(remark.encode()).hexdigest()[:16]
