"""What befalls a client, put on its days: illness, agreed travel, something that felt wrong, leaving."""

from __future__ import annotations

from functools import partial

from app.coaching.holds import Hold, HoldKind, IllnessReturn
from app.coaching.illness_return import ADVICE_FROM_YEARS, days_lost, path_of
from app.coaching.people import ClientState, Leave, age_on
from app.coaching.readiness import Illness
from app.simulation.world import entries, papers
from app.simulation.world.record import StateSet, TimeOff
from app.simulation.world.scene import Scene
from app.simulation.world.state import Life

LEAVE_KNOWN_DAYS = 12
WELL_AFTER_FEVER_DAYS = 7
WELL_AFTER_COLD_DAYS = 2
_LIFTED_AT = (11, 45)


def foresee(life: Life) -> None:
    """Put everything on its day, counted from joining."""
    scene = life.scene
    for bout in scene.spells.bouts:
        first, last = scene.joined + bout.first, scene.joined + bout.last
        life.mornings[first].append(partial(_fall_ill, life, first, last, has_fever=bout.has_fever))
    for trip in scene.spells.trips:
        first, last = scene.joined + trip.first, scene.joined + trip.last
        known = max(scene.joined, first - LEAVE_KNOWN_DAYS)
        if trip.is_agreed and known < first:
            life.mornings[known].append(partial(_agree_leave, scene, known, first, last))
    for trouble in scene.spells.troubles:
        day = scene.joined + trouble.day
        life.evenings[day].append(partial(_feel_wrong, life, day, trouble.sign, trouble.settled_after))


def leave(scene: Scene, day: int) -> None:
    """The client leaves the practice."""
    before = scene.record.client.state
    scene.record.change_client(state=ClientState.LEFT)
    scene.record.entries.append(
        StateSet(
            client_id=scene.client_id,
            before=before,
            state=ClientState.LEFT,
            reason="Stops here; thanked and said goodbye.",
            person_id=scene.coach_id,
            at=scene.at(day, 12),
        )
    )


def _fall_ill(life: Life, first: int, last: int, *, has_fever: bool) -> None:
    scene = life.scene
    before = set(scene.record.holds)
    entries.note_morning(
        scene, first, illness=Illness.FEVER_OR_BELOW if has_fever else Illness.ABOVE_NECK, is_ill=True
    )
    since = last + 1
    lifted = since + (WELL_AFTER_FEVER_DAYS if has_fever else WELL_AFTER_COLD_DAYS)
    for hold_id in set(scene.record.holds) - before:
        life.mornings[lifted].append(partial(_lift, scene, hold_id, lifted, "Well again for long enough."))
        if has_fever:
            life.mornings[lifted].append(partial(_begin_way_back, scene, hold_id, first, since, lifted))


def _begin_way_back(scene: Scene, hold_id: int, began: int, since: int, lifted: int) -> None:
    """Easy work again; hard work a while later. Who is older or has a heart's history asks a doctor first."""
    person = scene.person
    is_advised = (
        person.has_disease or (age_on(scene.record.client.born_on, scene.on(lifted)) or 0) >= ADVICE_FROM_YEARS
    )
    known = IllnessReturn(
        id=scene.next_id("return"),
        client_id=scene.client_id,
        hold_id=hold_id,
        well_since_on=scene.on(since),
        lifted_on=scene.on(lifted),
        days_lost=days_lost(scene.on(began), scene.on(lifted)),
        advice_from="the family doctor" if is_advised else None,
        advice_on=scene.on(lifted) if is_advised else None,
        recorded_at=scene.at(lifted, *_LIFTED_AT),
        person_id=scene.coach_id,
    )
    scene.hard_from = lifted + (path_of(known).hard_from - known.lifted_on).days
    scene.record.illness_returns.append(known)
    scene.record.entries.append(known)


def _agree_leave(scene: Scene, known: int, first: int, last: int) -> None:
    leave_ = Leave(scene.next_id("leave"), scene.client_id, scene.on(first), scene.on(last), "Travels.")
    scene.record.leaves.append(leave_)
    scene.record.entries.append(TimeOff(leave_, scene.coach_id, scene.at(known, 9, 15)))


def _feel_wrong(life: Life, day: int, sign: str, settled_after: int) -> None:
    hold = entries.report_trouble(life.scene, day, sign)
    settled = day + settled_after
    life.mornings[settled].append(partial(_settle, life.scene, hold, settled))


def _settle(scene: Scene, hold: Hold, day: int) -> None:
    """After a clinician's paper where one is asked for, else after a talk."""
    if hold.kind is HoldKind.SYMPTOM:
        paper = papers.file_paper(scene, day)
        _lift(scene, hold.id, day, "Seen by the doctor; the paper is here.", paper.id)
    else:
        _lift(scene, hold.id, day, "Talked it over; gone, and an easy outing felt fine.")


def _lift(scene: Scene, hold_id: int, day: int, because: str, clearance_id: int | None = None) -> None:
    scene.record.lift(
        scene.record.holds[hold_id],
        because=because,
        clearance_id=clearance_id,
        person_id=scene.coach_id,
        at=scene.at(day, *_LIFTED_AT),
    )
