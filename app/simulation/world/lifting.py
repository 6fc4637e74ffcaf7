"""How pauses end, by the desk's own rules: well for long enough, after a talk and an easy outing, or with a paper."""

from __future__ import annotations

from functools import partial

from app.coaching.hold_rules import WELL_DAYS_BEFORE_HARD
from app.coaching.holds import Hold, HoldKind, IllnessReturn, Stops
from app.coaching.illness_return import advice_asked_because, days_lost, path_of
from app.coaching.people import Contact, ContactKind, Mode
from app.simulation.world import entries, papers
from app.simulation.world.record import Lifted
from app.simulation.world.scene import Scene
from app.simulation.world.state import Life

_AT = (11, 45)
_NOT_NOW_DAYS = 3


def end_illness(life: Life, hold_id: int, *, first: int, since: int) -> None:
    """The pause ends seven days after the first well day, if no other illness came meanwhile."""
    day = since + WELL_DAYS_BEFORE_HARD
    life.mornings[day].append(partial(_lift_illness, life, hold_id, first=first, since=since))


def end_trouble(life: Life, hold: Hold, day: int) -> None:
    """The pause ends on a day: with a clinician's paper, after an easy outing the day before, or after a talk."""
    if hold.kind is HoldKind.SYMPTOM:
        life.mornings[day].append(partial(_lift_with_paper, life.scene, hold, day))
    elif hold.kind is HoldKind.INJURY:
        life.evenings[day - 1].append(partial(_try_gently, life, hold, day))
    else:
        life.mornings[day].append(partial(_lift_after_talk, life, hold, day))


def _lift_illness(life: Life, hold_id: int, *, first: int, since: int) -> None:
    scene, day = life.scene, since + WELL_DAYS_BEFORE_HARD
    ill_again = [one for one in range(since, day + 1) if scene.is_ill(one)]
    if ill_again:
        well = ill_again[-1] + 1
        while scene.is_ill(well):
            well += 1
        end_illness(life, hold_id, first=first, since=well)
        return
    hold = scene.record.holds[hold_id]
    advised = None
    if hold.stops is Stops.ALL:
        answers = scene.record.screening[-1]
        advised = advice_asked_because(scene.record.client, answers, scene.on(day)) and "the family doctor"
    _lift(scene, hold, day, "Well again for long enough.", Lifted(well_since_on=scene.on(since), advice_from=advised))
    if hold.stops is Stops.ALL:
        _begin_way_back(scene, hold, first, since, advised)


def _begin_way_back(scene: Scene, hold: Hold, first: int, since: int, advised: str | None) -> None:
    """Easy work again; hard work a while later."""
    day = since + WELL_DAYS_BEFORE_HARD
    known = IllnessReturn(
        id=scene.next_id("return"),
        client_id=scene.client_id,
        hold_id=hold.id,
        well_since_on=scene.on(since),
        lifted_on=scene.on(day),
        days_lost=days_lost(scene.on(first), scene.on(day)),
        advice_from=advised,
        advice_on=scene.on(day) if advised else None,
        recorded_at=scene.at(day, *_AT),
        person_id=scene.coach_id,
    )
    scene.hard_from = day + (path_of(known).hard_from - known.lifted_on).days
    scene.record.illness_returns.append(known)
    scene.record.entries.append(known)


def _lift_with_paper(scene: Scene, hold: Hold, day: int) -> None:
    paper = papers.file_paper(scene, day)
    _lift(scene, hold, day, "Seen by the doctor; the paper is here.", Lifted(clearance_id=paper.id))


def _try_gently(life: Life, hold: Hold, day: int) -> None:
    """An easy outing in another way than the one that hurt, and the talk the day after; not when ill or away."""
    scene = life.scene
    yesterday = day - 1
    if scene.is_ill(yesterday) or scene.is_away(yesterday):
        life.evenings[yesterday + _NOT_NOW_DAYS].append(partial(_try_gently, life, hold, day + _NOT_NOW_DAYS))
        return
    mode = Mode.INDOOR_RIDE if scene.person.mode is Mode.WALK else Mode.WALK
    entries.enter_extra(scene, day=yesterday, at=scene.at(yesterday, 21, 50), mode=mode)
    life.worked(yesterday, entries.EXTRA_MIN, entries.EXTRA_EFFORT)
    life.mornings[day].append(partial(_lift_after_talk, life, hold, day))


def _lift_after_talk(life: Life, hold: Hold, day: int) -> None:
    scene = life.scene
    talk = Contact(
        id=scene.next_id("contact"),
        client_id=scene.client_id,
        contact_on=scene.on(day),
        kind=ContactKind.CALL,
        text="Talked over what felt wrong.",
        person_id=scene.coach_id,
    )
    scene.record.contacts.append(talk)
    scene.record.entries.append(talk)
    tried_on = scene.on(day - 1) if hold.kind is HoldKind.INJURY else None
    _lift(scene, hold, day, "Talked it over; it is gone.", Lifted(pain_free_easy_on=tried_on))


def _lift(scene: Scene, hold: Hold, day: int, because: str, given: Lifted) -> None:
    scene.record.lift(hold, given, because=because, person_id=scene.coach_id, at=scene.at(day, *_AT))
