"""The changed plan after days away: offered to the coach, accepted session by session, or declined."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.changed_plan import ChangedPlan, ProposedChange, changed_plan
from app.coaching.days_off import row_for, run_told
from app.coaching.history import History
from app.coaching.lookahead import Level, as_if_sent, breaches
from app.coaching.matching import is_on_leave
from app.coaching.people import Client, Visibility
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind, ToldAway
from app.coaching.weeks import local_day
from app.coaching.words import counted, short_day
from app.storage import accounts, clients
from app.usecases.gate import open_record
from app.usecases.plan_sessions.days_away import keep_answer, known_ahead, told_one, trace_away
from app.usecases.plan_sessions.keeping import is_seen, keep_version, refuse_frozen

#: What declining does not change after two weeks off and more.
STILL_WAITS = "Hard work waits all the same until enough weeks are held; what is easy goes on."


@dataclass(frozen=True, slots=True)
class Offer:
    """One thing told, and the changed plan to accept."""

    client: Client
    today: date
    plan: ChangedPlan
    told_by: str
    answered_by: str

    @property
    def told(self) -> ToldAway:
        """What it answers."""
        return self.plan.told


def offer(db: Session, *, actor: Actor, client_id: int, away_id: int, rules: Rules, now: datetime) -> Offer:
    """What was told, and the plan as it would be. Raises: NotYours, NotAllowed."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    told = told_one(db, client_id, away_id)
    plan = changed_plan(known_ahead(db, client, today), told, today, rules)
    names = accounts.names_of(db, person_ids={told.person_id, *([told.answered_by] if told.answered_by else [])})
    return Offer(client, today, plan, names.get(told.person_id, ""), names.get(told.answered_by or 0, ""))


def accept(
    db: Session,
    *,
    actor: Actor,
    offered: Offer,
    key: str,
    left_out: Collection[int],
    words: str | None,
    rules: Rules,
    now: datetime,
) -> int:
    """Keep the changes that were not left out as new versions the client reads with their reasons; returns how many.

    key: what was looked at, as `ChangedPlan.key` names it. left_out: sessions that stay as they are.
    Raises: StaleEdit when the plan changed meanwhile or it is answered; Refused for what may not be left out
    or broken.
    """
    client = open_record(db, actor=actor, client_id=offered.client.id, action=Action.DECIDE, now=now)
    plan, known = offered.plan, known_ahead(db, offered.client, offered.today)
    if key != plan.key:
        raise StaleEdit("The plan changed while you looked at it. Nothing was changed; this is how it stands now.")
    chosen = [one for one in plan.changes if one.before.id not in left_out]
    _refuse_left_out(plan, left_out)
    _refuse_broken(known, chosen, offered.today, rules)
    keep_answer(
        db,
        actor=actor,
        client_id=client.id,
        away_id=offered.told.id,
        answer=AwayAnswer.ACCEPTED,
        because=words,
        now=now,
    )
    for change in chosen:
        _keep(db, actor, known, change, today=offered.today, now=now)
    _agree_leave(db, actor, known, offered.told, today=offered.today, now=now)
    _say(db, actor, client, _accepted_words(offered.told, len(chosen), words), now)
    return len(chosen)


def decline(db: Session, *, actor: Actor, client_id: int, away_id: int, because: str, now: datetime) -> None:
    """Leave the plan as it is, with a reason the client reads; from two weeks off on hard work waits all the same.

    Raises: NotYours, NotAllowed, StaleEdit.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    told = told_one(db, client_id, away_id)
    keep_answer(
        db,
        actor=actor,
        client_id=client_id,
        away_id=away_id,
        answer=AwayAnswer.DECLINED,
        because=because,
        now=now,
    )
    run = run_told(known_ahead(db, client, local_day(now, client.zone)), told)
    row = row_for(run.days) if run else None
    waits = f" {STILL_WAITS}" if row is not None and row.is_base_only else ""
    _say(db, actor, client, f"You told me: {_said(told)}. Your plan stays as it is: {because}{waits}", now)


def _refuse_left_out(plan: ChangedPlan, left_out: Collection[int]) -> None:
    binding = [one.before for one in plan.changes if one.is_binding and one.before.id in left_out]
    if binding:
        days = ", ".join(short_day(one.planned_on) for one in binding)
        raise Refused(f"This cannot be left out: base only, and nobody overrides it here ({days}).")


def _refuse_broken(known: History, chosen: Sequence[ProposedChange], today: date, rules: Rules) -> None:
    found = breaches(as_if_sent(known, today), [one.after for one in chosen], today, rules)
    refused = [one.sentence for one in found if one.level is Level.REFUSES]
    if refused:
        raise Refused(" ".join(refused))


def _keep(db: Session, actor: Actor, known: History, change: ProposedChange, *, today: date, now: datetime) -> None:
    """One session's new version, which the client reads at once where the session is theirs to see."""
    refuse_frozen(db, known, change.before, today)
    is_sent = is_seen(db, change.before)
    action = "cancelled" if change.is_taken_away else "changed"
    keep_version(
        db, actor, change.before, change.after, reason=change.because, publish=is_sent, action=action, now=now
    )
    if change.later is not None:
        waits = "Waits until hard work is open again; look at it, then publish it."
        keep_version(db, actor, change.after, change.later, reason=waits, publish=False, action="changed", now=now)


def _agree_leave(db: Session, actor: Actor, known: History, told: ToldAway, *, today: date, now: datetime) -> None:
    """Days still ahead on which nothing is possible become agreed time off, where they are not already."""
    if told.possible is not Possible.NOTHING:
        return
    first = max(today, told.from_on)
    days = [first + timedelta(days=n) for n in range((told.until_on - first).days + 1)]
    free = [day for day in days if not is_on_leave(known.leaves, day)]
    for from_on, until_on in _runs(free):
        leave_id = clients.add_leave(
            db, client_id=told.client_id, from_on=from_on, until_on=until_on, reason=_leave_words(told)
        )
        change = {"after": {"from_on": from_on, "until_on": until_on, "leave": leave_id}}
        trace_away(
            db, actor, told.client_id, away_id=told.id, action="add_leave", change=change, reason=None, now=now
        )


def _runs(days: Sequence[date]) -> list[tuple[date, date]]:
    runs: list[tuple[date, date]] = []
    for day in days:
        if runs and day == runs[-1][1] + timedelta(days=1):
            runs[-1] = (runs[-1][0], day)
        else:
            runs.append((day, day))
    return runs


def _leave_words(told: ToldAway) -> str:
    return "Travels" if told.kind is AwayKind.TRAVEL else "Days off, as told"


def _said(told: ToldAway) -> str:
    return f"{told.words[:1].lower()}{told.words[1:]}"


def _accepted_words(told: ToldAway, count: int, words: str | None) -> str:
    changed = f"I changed {counted(count, 'session')}; each says why." if count else "Your plan stays as it is."
    return " ".join([f"You told me: {_said(told)}. {changed}", *([words] if words else [])])


def _say(db: Session, actor: Actor, client: Client, text: str, now: datetime) -> None:
    if client.has_phone:
        clients.add_note(
            db, client_id=client.id, text=text, visibility=Visibility.CLIENT, person_id=actor.person_id, at=now
        )
