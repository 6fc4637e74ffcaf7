"""One invented client's record as it is written: whose it is, who writes, and what day it is."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from random import Random
from zoneinfo import ZoneInfo

from sqlalchemy.orm import Session

from app.coaching.access import Actor, Role
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.people import AvailableDay, Client, ClientState, ContactKind, Origin, Visibility
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind
from app.coaching.weeks import week_start
from app.demo.parts import Part
from app.demo.words import CONTACTS
from app.storage import accounts, clients, safety
from app.storage.audit import leave_trace

#: Contacts come every nine to thirteen days.
CONTACT_GAPS = (9, 10, 11, 12, 13)


@dataclass(frozen=True, slots=True)
class Diary:
    """What is needed to write into one client's record."""

    db: Session
    part: Part
    client: Client
    #: The client's own person.
    me: Actor
    coach: Actor
    today: date
    rules: Rules
    rng: Random
    #: Nothing is written as having happened later; None for a day looked at whole.
    not_after: datetime | None

    def day(self, offset: int) -> date:
        """The day so many days from the demo's day."""
        return self.today + timedelta(days=offset)

    def monday(self, week: int) -> date:
        """The Monday of a week counted from the demo's week."""
        return week_start(self.today) + timedelta(weeks=week)

    def at(self, day: date, hour: int, minute: int = 0) -> datetime:
        """An instant on a local day, no later than the demo is opened."""
        instant = datetime.combine(day, time(hour, minute), ZoneInfo(self.client.zone)).astimezone(UTC)
        return instant if self.not_after is None else min(instant, self.not_after.astimezone(UTC))

    @property
    def joined_on(self) -> date:
        """The day the client joined."""
        return self.client.joined_on

    @property
    def entering(self) -> int:
        """Who types the client's entries."""
        return self.me.person_id if self.part.has_phone else self.coach.person_id

    @property
    def slots(self) -> list[AvailableDay]:
        """The client's real week, with the days that stand for today's weekday and so on."""
        return [
            AvailableDay(self.client.id, self.day(offset).weekday(), minutes, self.part.place, self.part.kit)
            for offset, minutes in self.part.days.items()
        ]


def open_diary(
    db: Session, part: Part, *, coach: Actor, today: date, zone: str, rules: Rules, not_after: datetime | None
) -> Diary:
    """Put a client on the roster with the small records around the person."""
    monday = week_start(today)
    joined_on = monday + timedelta(weeks=part.joined_week, days=2)
    joined_on = min(joined_on, today - timedelta(days=6))
    wished = _client(part, coach=coach, zone=zone, joined_on=joined_on, today=today)
    joined_at = datetime.combine(joined_on, time(15), ZoneInfo(zone)).astimezone(UTC)
    client = clients.add(db, client=wished, at=joined_at)
    person_id = accounts.add_person(
        db, name=part.name, email=None, role=Role.CLIENT, password_hash=None, client_id=client.id, at=joined_at
    )
    diary = Diary(
        db=db,
        part=part,
        client=client,
        me=Actor(person_id, part.name, Role.CLIENT, client.id),
        coach=coach,
        today=today,
        rules=rules,
        rng=Random(f"foothill demo {part.key}"),  # noqa: S311  # invented days, nothing secret
        not_after=not_after,
    )
    leave_trace(
        db,
        at=joined_at,
        person_id=coach.person_id,
        client_id=client.id,
        action="added",
        subject="client",
        subject_id=client.id,
    )
    _small_records(diary)
    return diary


def _client(part: Part, *, coach: Actor, zone: str, joined_on: date, today: date) -> Client:
    number = sum(map(ord, part.key)) % 900 + 100
    return Client(
        id=0,
        name=part.name,
        email=f"{part.key}@example.org" if part.has_phone else None,
        phone=f"0155 0{number} 21" if part.has_phone else f"0611 0{number}",
        born_on=_born_on(part, today, number),
        sex=part.sex,
        zone=zone,
        state=ClientState.INTAKE,
        coach_id=coach.person_id,
        has_phone=part.has_phone,
        base_weeks_asked=part.base_weeks_asked,
        regularly_active_confirmed_on=joined_on if part.is_regularly_active else None,
        heart_rate_use=part.heart_rate_use,
        heart_rate_source=part.heart_rate_source,
        effort_plan=part.effort_plan,
        emergency_contact=part.emergency,
        emergency_phone=f"0155 0{number} 22",
        emergency_confirmed_on=joined_on,
        joined_on=joined_on,
        revision=1,
    )


def _born_on(part: Part, today: date, number: int) -> date:
    """A birthday some weeks or months behind the demo's day, so that the age of the story holds."""
    birthday = today - timedelta(days=20 + number % 300)
    return date(birthday.year - part.age, birthday.month, min(birthday.day, 28))


def _small_records(diary: Diary) -> None:
    part, db, client = diary.part, diary.db, diary.client
    clients.replace_available_days(db, client_id=client.id, days=diary.slots)
    clients.add_goal(
        db,
        client_id=client.id,
        text=part.goal,
        why=part.goal_why,
        confidence=part.confidence,
        due_on=None,
        agreed_on=diary.joined_on,
    )
    _note(diary, diary.at(diary.joined_on, 16), part.story)
    for week, words in part.later_notes:
        _note(diary, diary.at(diary.monday(week) + timedelta(days=3), 17), words)
    if part.note_to_client is not None:
        days_ago, words = part.note_to_client
        _note(diary, diary.at(diary.day(-days_ago), 8), words, Visibility.CLIENT)
    agree(diary, diary.joined_on, ConsentKind.COACHING, ConsentKind.HEALTH_DATA)
    _contacts(diary)
    if part.remark is not None:
        last_month = diary.today.replace(day=1) - timedelta(days=1)
        clients.keep_month_remark(
            db,
            client_id=client.id,
            month=f"{last_month:%Y-%m}",
            text=part.remark,
            person_id=diary.coach.person_id,
            at=diary.at(diary.today.replace(day=1) - timedelta(days=1), 18),
        )


def _note(diary: Diary, at: datetime, text: str, visibility: Visibility = Visibility.PRIVATE) -> None:
    clients.add_note(
        diary.db,
        client_id=diary.client.id,
        text=text,
        visibility=visibility,
        person_id=diary.coach.person_id,
        at=at,
    )


def agree(diary: Diary, day: date, *kinds: ConsentKind) -> None:
    """Consents to the texts as they stand, on a day."""
    method = Origin.CLIENT if diary.part.has_phone else Origin.FROM_PAPER
    for kind in kinds:
        text = CONSENT_TEXTS[kind]
        safety.add_consent(
            diary.db,
            client_id=diary.client.id,
            kind=kind,
            text_version=text.version,
            text_sha256=text.sha256,
            text_as_shown=text.text,
            language=text.language,
            given_on=day,
            method=method,
            witness=None,
            person_id=diary.entering,
            at=diary.at(day, 18),
        )


def _contacts(diary: Diary) -> None:
    """Back from the last one to the first days, in the order they happened."""
    days = []
    day = diary.day(-diary.part.spoken_days_ago)
    while day > diary.joined_on:
        days.append(day)
        day -= timedelta(days=diary.rng.choice(CONTACT_GAPS))
    days.append(diary.joined_on)
    for number, one in enumerate(reversed(days)):
        kind = ContactKind.VISIT if number == 0 else diary.rng.choice((ContactKind.CALL, ContactKind.MESSAGE))
        kind = kind if diary.part.has_phone or kind is ContactKind.VISIT else ContactKind.CALL
        words = "First talk: goal, week, questions." if number == 0 else diary.rng.choice(CONTACTS)
        clients.add_contact(
            diary.db,
            client_id=diary.client.id,
            contact_on=one,
            kind=kind,
            text=words,
            person_id=diary.coach.person_id,
        )


def plain_json(**values: object) -> str:
    """Values as JSON text."""
    return json.dumps(values, ensure_ascii=False, sort_keys=True)
