"""One invented client from a seed and a number: drawn, put on the roster, and lived to the day before today."""

from __future__ import annotations

from datetime import date

from app.coaching.people import AvailableDay, Client, ClientState, Goal, HeartRateUse
from app.coaching.rules import Rules
from app.simulation.world.body import Body
from app.simulation.world.life import live
from app.simulation.world.people import BODY, DICE, PERSON, SPELLS, WILL, Person, draw_person, stream
from app.simulation.world.record import Calendar, Joined, Numbers, Record
from app.simulation.world.scene import DICE as DICE_NAMES
from app.simulation.world.scene import Scene
from app.simulation.world.spells import draw_spells
from app.simulation.world.state import Life
from app.simulation.world.will import daily_chances

#: Clients join over the first half year, or the first fifth of a shorter time.
JOIN_WITHIN_DAYS = 182
JOIN_WITHIN_SHARE = 0.2
_EFFORT_PLAN = "By talk alone: chatting in comfort."
_GOAL = "Walk up the long hill without stopping."


def simulate_client(
    number: int, *, seed: int, calendar: Calendar, rules: Rules, numbers: Numbers, coach_id: int
) -> Life:
    """The whole life of client `number` (counted from 1); how many clients there are does not matter."""
    person = draw_person(stream(seed, number, PERSON))
    within = min(JOIN_WITHIN_DAYS, int(JOIN_WITHIN_SHARE * calendar.days))
    joined = int(person.joins_after * within)
    days = calendar.days - joined
    from_on = calendar.on(joined)
    record = _record(person, calendar, joined, numbers, coach_id)
    scene = Scene(
        person=person,
        record=record,
        calendar=calendar,
        rules=rules,
        body=Body(person, stream(seed, number, BODY)),
        spells=draw_spells(person, from_on=from_on, days=days, rng=stream(seed, number, SPELLS)),
        joined=joined,
        chances=daily_chances(person, from_on=from_on, days=days, rng=stream(seed, number, WILL)).tolist(),
        dice=_dice(seed, number, days),
        coach_id=coach_id,
        me_id=record.joined.person_id,
    )
    life = Life(scene, next_contact=joined)
    live(life)
    return life


def _dice(seed: int, number: int, days: int) -> list[dict[str, float]]:
    rolled = stream(seed, number, DICE).random((days, len(DICE_NAMES))).tolist()
    return [dict(zip(DICE_NAMES, row, strict=True)) for row in rolled]


def _record(person: Person, calendar: Calendar, joined: int, numbers: Numbers, coach_id: int) -> Record:
    client_id, on = numbers.next("client"), calendar.on(joined)
    client = _client(person, client_id, on, calendar.zone, coach_id)
    goal = Goal(numbers.next("goal"), client_id, _GOAL, None, 7, None, on, None)
    days = tuple(AvailableDay(client_id, weekday, minutes, None, None) for weekday, minutes in person.slots)
    entry = Joined(client, numbers.next("person"), days, goal, calendar.at(joined, 9))
    record = Record(entry, client, numbers)
    record.entries.append(entry)
    return record


def _client(person: Person, client_id: int, joined_on: date, zone: str, coach_id: int) -> Client:
    number = f"{client_id:05d}"
    birthday = joined_on.toordinal() - person.birthday
    born = date.fromordinal(birthday)
    return Client(
        id=client_id,
        name=person.name,
        email=f"client{number}@example.org" if person.has_phone else None,
        phone=f"0155 {number}",
        born_on=date(born.year - person.age, born.month, min(born.day, 28)),
        sex=person.sex,
        zone=zone,
        state=ClientState.INTAKE,
        coach_id=coach_id,
        has_phone=person.has_phone,
        base_weeks_asked=person.base_weeks_asked,
        regularly_active_confirmed_on=joined_on if person.is_active else None,
        heart_rate_use=HeartRateUse.RELIABLE if person.has_heart_rate else HeartRateUse.NOT_RELIABLE,
        heart_rate_source="chest strap" if person.has_heart_rate else None,
        effort_plan=None if person.has_heart_rate else _EFFORT_PLAN,
        emergency_contact="Somebody at home",
        emergency_phone=f"0156 {number}",
        emergency_confirmed_on=joined_on,
        joined_on=joined_on,
        revision=1,
    )
