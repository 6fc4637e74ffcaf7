"""What becomes of a planned session, and when it is written down."""

from __future__ import annotations

from datetime import datetime
from functools import partial

from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.session_logs import Answer, WhyNot
from app.simulation.world import constants as c
from app.simulation.world import entries
from app.simulation.world.scene import Scene
from app.simulation.world.state import Life

_LATE_DAYS = 3
_EVENING_MINUTES = 240


def answer(life: Life, session: PlannedSession, day: int) -> None:
    """Done, partly, a day later, left out, or stopped by illness, travel or a hold."""
    scene = life.scene
    roll = scene.roll(day)
    if scene.is_stopped() or scene.is_away(day) or scene.is_ill(day):
        _stopped(life, session, day)
        return
    life.week.planned += session.minutes
    life.tally.free_sessions += 1
    if roll["done"] >= scene.chances[day - scene.joined]:
        _left_out(life, session, day)
        return
    life.tally.done_sessions += 1
    if session.is_hard and (scene.record.standing or day < scene.hard_from):
        _done(life, session, day, day, answer=Answer.EASY_VERSION, minutes=entries.EASY_VERSION_MIN)
    elif session.kind is not SessionKind.EASY:
        _done(life, session, day, day, answer=Answer.AS_PLANNED, minutes=_whole(session, roll["how"]))
    elif roll["how"] < c.PARTLY:
        part = float(round(session.minutes * (0.55 + 3 * roll["how"])))
        _done(life, session, day, day, answer=Answer.PARTLY, minutes=part)
    elif roll["moved"] < c.MOVED and day + 1 not in life.plan.sessions:
        minutes = float(session.minutes)
        later = partial(_done, life, session, day, day + 1, answer=Answer.AS_PLANNED, minutes=minutes)
        life.evenings[day + 1].append(later)
    else:
        _done(life, session, day, day, answer=Answer.AS_PLANNED, minutes=_whole(session, roll["how"]))


def go_out(life: Life, day: int) -> None:
    """An easy outing nobody planned."""
    entries.enter_extra(life.scene, day=day, at=evening(life.scene, day, day))
    life.worked(day, entries.EXTRA_MIN, entries.EXTRA_EFFORT)


def evening(scene: Scene, day: int, dice_day: int) -> datetime:
    """Between 17 and 21 h of a day; from paper or by phone the day's morning."""
    roll = scene.roll(dice_day)["minute"]
    return scene.at(day, 17, int(roll * _EVENING_MINUTES)) if scene.person.has_phone else scene.at(day, 10)


def _whole(session: PlannedSession, roll: float) -> float:
    return float(round(session.minutes * (0.95 + 0.12 * roll)))


def _stopped(life: Life, session: PlannedSession, day: int) -> None:
    scene = life.scene
    if scene.roll(day)["how"] < c.NOT_LOGGED_WHEN_STOPPED:
        life.week.is_open = True
        return
    why = WhyNot.TRAVEL if scene.is_away(day) else (WhyNot.ILL if scene.is_ill(day) else WhyNot.SORE)
    _write(life, session, day, day, answer=Answer.NOT_DONE, minutes=None, why_not=why)


def _left_out(life: Life, session: PlannedSession, day: int) -> None:
    if life.scene.roll(day)["how"] < c.NOT_LOGGED:
        life.week.is_open = True
        return
    _write(life, session, day, day, answer=Answer.NOT_DONE, minutes=None)


def _done(life: Life, session: PlannedSession, planned_day: int, day: int, *, answer: Answer, minutes: float) -> None:
    scene = life.scene
    is_hard = session.is_hard and answer is not Answer.EASY_VERSION
    life.worked(day, minutes, entries.effort_of(scene.roll(planned_day), is_hard=is_hard))
    life.count.hard_done += is_hard
    _write(life, session, planned_day, day, answer=answer, minutes=minutes)
    if session.kind is SessionKind.TEST:
        keep = partial(entries.enter_loop, scene, day, scene.body.loop(), at=scene.at(day + 1, 9, 30))
        life.mornings[day + 1].append(keep)


def _write(
    life: Life,
    session: PlannedSession,
    planned_day: int,
    day: int,
    *,
    answer: Answer,
    minutes: float | None,
    why_not: WhyNot | None = None,
) -> None:
    """The same evening, now and then days later; who has no phone tells the coach in the morning."""
    scene = life.scene
    has_phone = scene.person.has_phone
    is_late = scene.roll(planned_day)["late"] < c.ENTERED_LATE
    on = day + (_LATE_DAYS if is_late else 0 if has_phone else 1)
    write = partial(
        entries.enter_session,
        scene,
        session,
        planned_day=planned_day,
        done_day=day,
        at=evening(scene, on, planned_day),
        answer=answer,
        minutes=minutes,
        rounds=life.plan.rounds.get(session.id, ()),
        why_not=why_not,
    )
    if on == day:
        write()
    else:
        (life.evenings if has_phone else life.mornings)[on].append(write)
