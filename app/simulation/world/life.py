"""One invented client's years with the practice, lived day by day."""

from __future__ import annotations

from app.coaching.people import Contact, ContactKind
from app.coaching.readiness import Illness
from app.simulation.world import constants as c
from app.simulation.world import entries, papers
from app.simulation.world.answering import answer, go_out
from app.simulation.world.befalling import foresee, leave
from app.simulation.world.decisions import look_at_phase, start_base
from app.simulation.world.plans import publish_week
from app.simulation.world.state import Life, Week

MONDAY, TUESDAY, WEDNESDAY, THURSDAY, FRIDAY = range(5)
#: The coach begins the base on the first Thursday after so many days.
STARTS_AFTER_DAYS = 2


def live(life: Life) -> None:
    """From the day of joining to the day before today, or until the client leaves."""
    scene = life.scene
    foresee(life)
    for day in range(scene.joined, scene.calendar.days):
        if scene.spells.leaves == day - scene.joined:
            leave(scene, day)
            return
        _morning(life, day)
        _coach(life, day)
        _evening(life, day)
        scene.body.sleep_over_it()
        life.tally.days += 1


def _morning(life: Life, day: int) -> None:
    scene = life.scene
    if scene.person.has_phone:
        writes = scene.roll(day)["note"] < scene.person.notes_a_week / 7
    else:
        writes = scene.on(day).weekday() == TUESDAY  # told by phone once a week
    if writes and day > scene.joined and not scene.is_ill(day):
        entries.note_morning(scene, day, illness=Illness.NONE, is_ill=False)
    for one in life.mornings.pop(day, ()):
        one()


def _coach(life: Life, day: int) -> None:
    scene, weekday, since = life.scene, life.scene.on(day).weekday(), day - life.scene.joined
    if since == 0:
        papers.agree(scene, day, *papers.FOR_COACHING)
    if since == 0 or weekday == TUESDAY:
        papers.see_to_papers(scene, day)
    if day >= life.next_contact:
        _speak(life, day)
    if weekday == WEDNESDAY and since // 7 % c.WALK_EVERY_WEEKS == 0 and not _is_off(life, day):
        entries.enter_walk(scene, day, scene.body.six_minute_walk(), at=scene.at(day, 15))
    if weekday == THURSDAY and since >= STARTS_AFTER_DAYS:
        if scene.record.phase is None:
            start_base(scene, day)
        else:
            look_at_phase(scene, life.count, day)
    if weekday == FRIDAY:
        publish_week(scene, life.plan, day, done_share=life.count.done_share)


def _speak(life: Life, day: int) -> None:
    scene = life.scene
    least, most = c.CONTACT_EVERY_DAYS
    life.next_contact = day + least + int(scene.roll(day)["paper"] * (most - least + 1))
    contact = Contact(
        id=scene.next_id("contact"),
        client_id=scene.client_id,
        contact_on=scene.on(day),
        kind=ContactKind.VISIT if day == scene.joined else ContactKind.CALL,
        text="First talk: goal, week, questions." if day == scene.joined else "Spoke about the week.",
        person_id=scene.coach_id,
    )
    scene.record.contacts.append(contact)
    scene.record.entries.append(contact)


def _evening(life: Life, day: int) -> None:
    scene = life.scene
    if scene.on(day).weekday() == MONDAY:
        _close_week(life)
    life.week.away += scene.is_stopped() or scene.is_away(day)
    session = life.plan.sessions.get(day)
    if session is not None:
        answer(life, session, day)
    elif scene.record.phase is not None and scene.roll(day)["extra"] < c.EXTRA_OUTING and not _is_off(life, day):
        go_out(life, day)
    for one in life.evenings.pop(day, ()):
        one()


def _close_week(life: Life) -> None:
    week = life.week
    if week.planned or week.done or week.away:
        life.count.close_week(
            planned=week.planned, done=week.done, days=len(week.days), is_open=week.is_open, away_days=week.away
        )
    life.week = Week()


def _is_off(life: Life, day: int) -> bool:
    return life.scene.is_stopped() or life.scene.is_away(day) or life.scene.is_ill(day)
