"""What befalls a client, put on its days: illness, agreed travel, something that felt wrong, leaving."""

from __future__ import annotations

from functools import partial

from app.coaching.people import ClientState, Leave
from app.coaching.readiness import Illness
from app.simulation.world import entries
from app.simulation.world.lifting import end_illness, end_trouble
from app.simulation.world.record import StateSet, TimeOff
from app.simulation.world.scene import Scene
from app.simulation.world.state import Life

LEAVE_KNOWN_DAYS = 12


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
    for hold_id in set(scene.record.holds) - before:
        end_illness(life, hold_id, first=first, since=last + 1)


def _agree_leave(scene: Scene, known: int, first: int, last: int) -> None:
    leave_ = Leave(scene.next_id("leave"), scene.client_id, scene.on(first), scene.on(last), "Travels.")
    scene.record.leaves.append(leave_)
    scene.record.entries.append(TimeOff(leave_, scene.coach_id, scene.at(known, 9, 15)))


def _feel_wrong(life: Life, day: int, sign: str, settled_after: int) -> None:
    hold = entries.report_trouble(life.scene, day, sign)
    end_trouble(life, hold, day + settled_after)
