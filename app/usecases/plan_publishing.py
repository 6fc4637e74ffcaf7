"""Publishing a plan: what waits, what sending it would break, and the stamp that lets the client see it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.block_order import overtaken_block
from app.coaching.history import History
from app.coaching.lookahead import Level
from app.coaching.lookahead_fit import before_sending
from app.coaching.people import Visibility
from app.coaching.plan_sending import Waiting
from app.coaching.plan_weeks import PlanEntry, entries_of, given_days
from app.coaching.prescriptions import Block
from app.coaching.reasons import REASON_ASKED, DomainError, Refused, StaleEdit, is_reason
from app.coaching.rules import Rules
from app.coaching.target_eased import Judge
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, PLANS_LISTED, WHOLE_BASE
from app.coaching.words import counted, short_days
from app.storage import accounts, clients, history, prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import open_record


class WordsNeeded(DomainError):
    """Reasons that are asked for and were not written; `problems` says by field which."""

    def __init__(self, problems: Sequence[tuple[str, str]]) -> None:
        super().__init__(" ".join(sentence for _name, sentence in problems))
        self.problems = tuple(problems)


@dataclass(frozen=True, slots=True)
class Sending(Waiting):
    """What would be published, and what that would break."""

    mondays: tuple[date, ...] = ()
    #: What waits as well and does not go: another week, or a day left out.
    staying: tuple[PlanEntry, ...] = ()
    #: Weeks written in a block that a later one has overtaken, by their Monday.
    overtaken: Mapping[date, Block] = field(default_factory=dict)
    #: Whether the client reads it on a phone now.
    is_signed_in: bool = False

    @property
    def asks_why_today(self) -> bool:
        """Whether the client has still to be told why today changes."""
        return bool(self.unexplained)

    @property
    def asks_for_the_record(self) -> bool:
        """Whether a reason is asked for that the client does not read."""
        return self.is_against or (self.asks_reason and not self.asks_why_today)

    @property
    def refused_days(self) -> tuple[date, ...]:
        """The days that cannot be published as they are."""
        return tuple(sorted({breach.on for breach in self.found if breach.level is Level.REFUSES}))


def look_at(
    db: Session,
    *,
    actor: Actor,
    client_id: int,
    mondays: Sequence[date],
    leave_out: Sequence[date],
    judge: Judge,
    rules: Rules,
    now: datetime,
) -> Sending:
    """What waits in some weeks from today on, without the days left out, and what publishing it would break.

    judge: what the client's recordings say of the sessions before.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    chosen = tuple(sorted({week_start(day) for day in mondays}))
    last = max([today + PLANS_LISTED, *(monday + timedelta(days=6) for monday in chosen)])
    newest = prescriptions.newest_between(db, client_ids=[client_id], from_on=week_start(today), until_on=last)
    published = prescriptions.published_of(db, planned_session_ids=[one.id for one in newest])
    planned = entries_of(newest, published)
    waiting = [entry for entry in planned if entry.may_be_sent(today)]
    entries = tuple(entry for entry in waiting if _is_chosen(entry, chosen, leave_out))
    staying = tuple(entry for entry in waiting if not _is_chosen(entry, chosen, leave_out))
    known = history.load(
        db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=max(last, today) + FORTNIGHT
    )[0]
    drafts = [entry.session for entry in entries]
    found = before_sending(known, drafts, today, rules, judged=judge([(known, drafts)]))
    return Sending(
        client=client,
        today=today,
        entries=entries,
        found=found,
        consents=known.consents,
        standing_on=_kept_days(planned, entries),
        mondays=chosen,
        staying=staying,
        overtaken=_overtaken(known, waiting),
        is_signed_in=bool(accounts.clients_signed_in(db, client_ids=[client_id], now=now)),
    )


def publish(
    db: Session,
    *,
    actor: Actor,
    sending: Sending,
    seen: str,
    reason: str | None,
    why_today: str | None = None,
    message: str | None = None,
    now: datetime,
) -> tuple[int, str]:
    """Stamp what was looked at as published; returns how many sessions and the days in words.

    reason: why it goes out all the same; the trail keeps it, and no phone shows it.
    why_today: what the client reads beside changes of today that carry no reason of their own.
    message: what is said along with it, a note on the client's Today; None says nothing.
    Raises: StaleEdit when the plan changed since it was looked at; Refused; WordsNeeded.
    """
    open_record(db, actor=actor, client_id=sending.client.id, action=Action.DECIDE, now=now)
    if seen != sending.seen:
        raise StaleEdit("The plan changed while you looked at it. Nothing was published; this is how it stands now.")
    if not sending.entries:
        raise Refused("Nothing waits to be published in these weeks.")
    if sending.is_refused:
        raise Refused("Some of it may not be published; the sentences above say what and why.")
    if problems := _unsaid(sending, reason, why_today):
        raise WordsNeeded(problems)
    version_ids = [entry.session.version_id for entry in sending.entries]
    _send(db, actor, sending, why_today=why_today, now=now)
    note_id = _say(db, actor, sending, message, now) if message else None
    for monday in sending.mondays:
        prescriptions.bump_week(db, client_id=sending.client.id, starts_on=monday, revision=None)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=sending.client.id,
        action="published",
        subject="plan",
        change=_told(sending, version_ids, note_id, why_today),
        reason=reason,
    )
    return len(version_ids), short_days(sorted({entry.session.planned_on for entry in sending.entries}))


def sending_words(sending: Sending) -> str:
    """What would go out, in a sentence."""
    going = sum(entry.is_going for entry in sending.entries)
    gone = len(sending.entries) - going
    parts = [counted(going, "session")] if going or not gone else []
    return ", and ".join([*parts, *([f"{counted(gone, 'session')} taken away"] if gone else [])])


def _overtaken(known: History, waiting: Sequence[PlanEntry]) -> dict[date, Block]:
    written = {week_start(entry.session.planned_on) for entry in waiting}
    found = {monday: overtaken_block(known, monday) for monday in written}
    return {monday: block for monday, block in found.items() if block is not None}


def _kept_days(planned: Sequence[PlanEntry], going: Sequence[PlanEntry]) -> frozenset[date]:
    touched = {entry.session.id for entry in going}
    return given_days(entry for entry in planned if entry.session.id not in touched)


def _is_chosen(entry: PlanEntry, mondays: Sequence[date], leave_out: Sequence[date]) -> bool:
    day = entry.session.planned_on
    return week_start(day) in mondays and day not in leave_out


def _unsaid(sending: Sending, reason: str | None, why_today: str | None) -> list[tuple[str, str]]:
    problems = []
    if sending.asks_why_today and not is_reason(why_today):
        problems.append(("why_today", f"Write why today changes; the client reads it. {REASON_ASKED}"))
    if sending.asks_for_the_record and not is_reason(reason):
        problems.append(("reason", f"Write why it goes out all the same; the reason is kept. {REASON_ASKED}"))
    return problems


def _told(
    sending: Sending, version_ids: Sequence[int], note_id: int | None, why_today: str | None
) -> dict[str, object]:
    change: dict[str, object] = {
        "weeks": [monday.isoformat() for monday in sending.mondays],
        "versions": version_ids,
        "note": note_id,
        "said": list(sending.said),
    }
    return change | {"why today": why_today} if sending.asks_why_today else change


def _say(db: Session, actor: Actor, sending: Sending, message: str, now: datetime) -> int:
    return clients.add_note(
        db,
        client_id=sending.client.id,
        text=message,
        visibility=Visibility.CLIENT,
        person_id=actor.person_id,
        at=now,
    )


def _send(db: Session, actor: Actor, sending: Sending, *, why_today: str | None, now: datetime) -> None:
    """Stamp drafts; a change of what the client was given for today becomes a version of its own with its reason."""
    prescriptions.publish(
        db, version_ids=[one.session.version_id for one in sending.entries if not sending.is_same_day(one)], at=now
    )
    for entry in sending.today_changes:
        prescriptions.add_version(
            db,
            planned_session_id=entry.session.id,
            client_id=sending.client.id,
            draft=prescriptions.draft_from(entry.session, reason=entry.session.reason or why_today),
            person_id=actor.person_id,
            at=now,
            publish=True,
        )
