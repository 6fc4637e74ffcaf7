"""How the client is: a note for the day, and the pauses an illness, a changed medicine or a fall brings at once."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.falls import takes_blood_thinners
from app.coaching.heart_rate_trust import trust_of
from app.coaching.holds import Hold, HoldKind, Stops
from app.coaching.illness_return import illness_pause
from app.coaching.people import Client, Mode, Origin
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.readiness_rules import HardDayAnswer, hard_day
from app.coaching.reasons import Refused
from app.coaching.rules import Rules
from app.coaching.symptoms import sign_of
from app.coaching.weeks import local_day
from app.storage import felt_wrong, history, readiness, safety
from app.storage.audit import leave_trace
from app.usecases.gate import open_record

CLIENT_DAYS_BACK = 30
WINDOW_BACK_DAYS = 60
MEDICINE_CAUSE = "A medicine was changed"


class Fall(StrEnum):
    """Whether there was a fall; a knock to the head or blood thinners ask for a clinician."""

    NO = "no"
    YES = "yes"
    HEAD_OR_THINNERS = "head_or_thinners"


@dataclass(frozen=True, slots=True)
class ReadinessEntry:
    """What somebody says about a day. The four items run 1-7 and high is worse; mood runs 1-5."""

    noted_on: date
    sleep: int | None = None
    fatigue: int | None = None
    stress: int | None = None
    soreness: int | None = None
    mood: int | None = None
    slept_h: float | None = None
    resting_heart_rate_bpm: int | None = None
    illness: Illness | None = None
    medicine_changed: bool = False
    fall: Fall = Fall.NO
    fall_mode: Mode | None = None
    not_right_today: bool = False
    text: str | None = None

    @property
    def says_nothing(self) -> bool:
        """Whether every answer was left out. "Not ill" is an answer."""
        values = (self.sleep, self.fatigue, self.stress, self.soreness, self.mood, self.slept_h)
        more = (self.resting_heart_rate_bpm, self.illness, self.text)
        ticked = self.medicine_changed or self.not_right_today or self.fall is not Fall.NO
        return not ticked and all(value is None for value in (*values, *more))


@dataclass(frozen=True, slots=True)
class KeptReadiness:
    """The note, and the holds it raised."""

    note_id: int
    hold_ids: tuple[int, ...]
    #: It says "not ill" while an illness pauses something, and pauses nothing itself.
    tells_well: bool


@dataclass(frozen=True, slots=True)
class ReadinessPage:
    """What the page "How I am" shows before a new note."""

    client: Client
    today: date
    #: Today's last note, None before the first.
    said_today: ReadinessNote | None
    open_holds: tuple[Hold, ...]
    #: What today's note says about a hard session planned today; None without one.
    hard_day: HardDayAnswer | None
    recent: tuple[ReadinessNote, ...]


def keep(
    db: Session, *, actor: Actor, client_id: int, entry: ReadinessEntry, origin: Origin, now: datetime
) -> KeptReadiness:
    """Keep a note; fever, illness, a changed medicine or a fall pause training in the same step.

    Raises: Refused when nothing at all was said, for a future day, or over 30 days back by the client.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.LOG, now=now)
    if entry.says_nothing:
        raise Refused("Answer at least one of these; all the others may stay open.")
    today = local_day(now, client.zone)
    if entry.noted_on > today:
        raise Refused("This day has not come yet.")
    if not actor.is_coach and entry.noted_on < today - timedelta(days=CLIENT_DAYS_BACK):
        raise Refused("This is over 30 days back. Tell your coach; your coach can still enter it.")
    note_id = _add(db, client_id, entry, actor=actor, origin=origin, now=now)
    hold_ids = _pauses(db, client_id, entry, actor=actor, origin=origin, now=now)
    return KeptReadiness(note_id, hold_ids, tells_well=not hold_ids and _tells_well(db, client_id, entry))


def page(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> ReadinessPage:
    """Today's note if there is one, the open holds, and what it means for a hard session today."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    today = local_day(now, client.zone)
    found = history.load(
        db, client_ids=[client_id], from_on=today - timedelta(days=WINDOW_BACK_DAYS), until_on=today
    )[0]
    mine = [one for one in found.readiness if one.noted_on == today]
    has_hard = any(is_hard_or_middle(one) and one.planned_on == today for one in found.planned)
    return ReadinessPage(
        client=client,
        today=today,
        said_today=max(mine, key=lambda one: one.id, default=None),
        open_holds=found.open_holds,
        hard_day=hard_day(found.readiness, today, rules, trust_of(found, today)) if mine and has_hard else None,
        recent=tuple(reversed(found.readiness[-7:])),
    )


def _add(db: Session, client_id: int, entry: ReadinessEntry, *, actor: Actor, origin: Origin, now: datetime) -> int:
    note = ReadinessNote(
        id=0,
        client_id=client_id,
        noted_on=entry.noted_on,
        sleep=entry.sleep,
        fatigue=entry.fatigue,
        stress=entry.stress,
        soreness=entry.soreness,
        mood=entry.mood,
        slept_h=entry.slept_h,
        resting_heart_rate_bpm=entry.resting_heart_rate_bpm,
        ln_rmssd=None,
        illness=entry.illness or Illness.NONE,
        medicine_changed=entry.medicine_changed,
        not_right_today=entry.not_right_today,
        text=entry.text,
        origin=origin,
        entered_at=now,
        person_id=actor.person_id,
    )
    note_id = readiness.add(db, note=note)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client_id,
        action="noted",
        subject="readiness note",
        subject_id=note_id,
        change={"after": {"noted_on": entry.noted_on, "illness": note.illness, "origin": origin}},
    )
    return note_id


def _pauses(
    db: Session, client_id: int, entry: ReadinessEntry, *, actor: Actor, origin: Origin, now: datetime
) -> tuple[int, ...]:
    open_holds = [one for one in safety.holds_of(db, client_id=client_id) if one.lifted_at is None]
    ill = illness_pause(entry.illness, open_holds)
    wanted = [*([ill] if ill else []), *_medicine_hold(entry.medicine_changed, open_holds)]
    raised = [
        felt_wrong.raise_traced(
            db,
            client_id=client_id,
            kind=kind,
            stops=stops,
            mode=None,
            cause=cause,
            began_on=entry.noted_on,
            person_id=actor.person_id,
            at=now,
        )
        for kind, stops, cause in wanted
    ]
    _trace_illness_goes_on(db, entry, open_holds, actor=actor, now=now)
    if entry.fall is not Fall.NO:
        raised.append(_report_fall(db, client_id, entry, actor=actor, origin=origin, now=now))
    return tuple(raised)


def _tells_well(db: Session, client_id: int, entry: ReadinessEntry) -> bool:
    is_open = (
        one.lifted_at is None and one.kind is HoldKind.ILLNESS for one in safety.holds_of(db, client_id=client_id)
    )
    return entry.illness is Illness.NONE and any(is_open)


def _trace_illness_goes_on(
    db: Session, entry: ReadinessEntry, open_holds: Sequence[Hold], *, actor: Actor, now: datetime
) -> None:
    """Leave beside an open illness hold that the client is ill again or still: its way back counts from that day."""
    if entry.illness in (None, Illness.NONE):
        return
    for hold in open_holds:
        if hold.kind is HoldKind.ILLNESS and entry.noted_on > hold.began_on:
            leave_trace(
                db,
                at=now,
                person_id=actor.person_id,
                client_id=hold.client_id,
                action="illness_goes_on",
                subject="hold",
                subject_id=hold.id,
                change={"after": {"ill_on": entry.noted_on, "illness": entry.illness}},
            )


def _medicine_hold(is_changed: bool, open_holds: Sequence[Hold]) -> list[tuple[HoldKind, Stops, str]]:
    if not is_changed or any(one.kind is HoldKind.MEDICINE_CHANGE for one in open_holds):
        return []
    return [(HoldKind.MEDICINE_CHANGE, Stops.HARD, MEDICINE_CAUSE)]


def _report_fall(
    db: Session, client_id: int, entry: ReadinessEntry, *, actor: Actor, origin: Origin, now: datetime
) -> int:
    known = history.load(db, client_ids=[client_id], from_on=entry.noted_on, until_on=entry.noted_on)[0]
    is_serious = entry.fall is Fall.HEAD_OR_THINNERS or takes_blood_thinners(known)
    recorded = felt_wrong.record(
        db,
        client_id=client_id,
        sign=sign_of("fall_head" if is_serious else "fall"),
        felt_on=entry.noted_on,
        mode=entry.fall_mode,
        text=entry.text,
        origin=origin,
        person_id=actor.person_id,
        at=now,
    )
    return recorded.hold_id
