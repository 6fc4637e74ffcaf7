"""The coach's plans: blocks written by the planner, published a week ahead on Fridays."""

from __future__ import annotations

import json
from dataclasses import dataclass, field, replace
from datetime import date, datetime, timedelta
from functools import cache

from app.coaching.done_work import done_minutes
from app.coaching.interval_plans import interval_block
from app.coaching.people import age_on
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.planner import BaseWishes, base_block, easier_every
from app.coaching.planner_intervals import IntervalWishes
from app.coaching.prescriptions import Block, PlannedSession, PlannedWeek, SessionKind
from app.coaching.session_shapes import Shape, steady_content
from app.coaching.session_steps import standard_loop_steps
from app.coaching.steps import Node, Part, flatten, to_json
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.simulation.world import constants as c
from app.simulation.world.record import Published
from app.simulation.world.scene import Scene

PROTOCOL = "four_by_four"
_AIMS = {
    Phase.AEROBIC_BASE: "Build the base.",
    Phase.INTERVAL_ONE: "One hard session a week, the rest easy.",
    Phase.INTERVAL_TWO: "Two hard sessions a week, well apart.",
}
DAYS_BACK_LONGEST = 30
_SEEN_SHARE = 0.9


@dataclass(slots=True)
class Plan:
    """What the coach has written and not yet published, and what stands on which day."""

    ahead: list[WeekDraft] = field(default_factory=list)
    block: Block | None = None
    #: By day: the session that is planned, and the seconds of its work rounds.
    sessions: dict[int, PlannedSession] = field(default_factory=dict)
    rounds: dict[int, tuple[int, ...]] = field(default_factory=dict)
    #: Planned minutes of the last week that was not an easier one.
    full_minutes: int = 0
    weeks_hard: int = 0
    weeks_published: int = 0


def publish_week(scene: Scene, plan: Plan, day: int, *, done_share: float) -> None:
    """Publish the week that begins on Monday, three days on; begin a new block when the last one is used up."""
    phase = scene.record.phase
    if phase is None:
        return
    if not plan.ahead or plan.block is None or plan.block.phase is not phase:
        _write_block(scene, plan, phase, day, volume=_next_volume(scene, plan, done_share))
    week = plan.ahead.pop(0)
    plan.weeks_published += 1
    plan.weeks_hard += phase in HARD_WORK_PHASES
    if not week.is_easier:
        plan.full_minutes = week.minutes
    _publish(scene, plan, week, day)


def _write_block(scene: Scene, plan: Plan, phase: Phase, day: int, *, volume: int) -> None:
    monday = scene.on(day + 3)
    is_hard = phase in HARD_WORK_PHASES
    is_introductory = is_hard and (plan.block is None or plan.block.phase is not phase)
    if is_hard:
        wishes = _interval_wishes(scene, phase, monday, volume=volume, weeks_before=plan.weeks_hard)
        wishes = replace(wishes, is_introductory=is_introductory)
        plan.ahead = list(interval_block(wishes, days=scene.record.joined.days, rules=scene.rules))
    else:
        plan.ahead = list(_base_weeks(scene, monday, volume))
    plan.block = Block(
        id=scene.next_id("block"),
        client_id=scene.client_id,
        phase=phase,
        aim=_AIMS[phase],
        starts_on=monday,
        weeks=len(plan.ahead),
        is_introductory=is_introductory,
        wishes_json=json.dumps({"minutes": [volume, scene.person.target_minutes]}, sort_keys=True),
        created_at=scene.at(day, 15),
        person_id=scene.coach_id,
    )
    scene.record.blocks.append(plan.block)
    scene.record.entries.append(plan.block)


def _next_volume(scene: Scene, plan: Plan, done_share: float) -> int:
    """Where the last block ended, or less when too little of it was done."""
    if not plan.full_minutes:
        return scene.person.start_minutes
    kept = plan.full_minutes if done_share >= c.KEEPS_VOLUME_FROM else round(c.EASED_VOLUME * plan.full_minutes)
    return max(c.SMALLEST_VOLUME_MIN, min(kept, scene.person.target_minutes))


def _base_weeks(scene: Scene, monday: date, volume: int) -> tuple[WeekDraft, ...]:
    since = monday - timedelta(days=DAYS_BACK_LONGEST)
    longest = max((done_minutes(one) for one in scene.record.logs[-40:] if one.done_on >= since), default=0.0)
    wishes = BaseWishes(
        start_volume_min=volume,
        target_min=max(volume, scene.person.target_minutes),
        weeks=c.BLOCK_WEEKS,
        every=easier_every(age_on(scene.record.client.born_on, monday), scene.rules),
        starts_on=monday,
        mode=scene.person.mode,
        longest_before_min=max(35, volume // 3 + 5, round(longest)),
    )
    return base_block(wishes, days=scene.record.joined.days, rules=scene.rules)


def _interval_wishes(scene: Scene, phase: Phase, monday: date, *, volume: int, weeks_before: int) -> IntervalWishes:
    most = 2 if phase is Phase.INTERVAL_TWO else 1
    return IntervalWishes(
        phase=phase,
        hard_weekdays=tuple(weekday for weekday, _ in scene.person.slots[:most]),
        protocol_key=PROTOCOL,
        weeks=c.INTERVAL_BLOCK_WEEKS,
        volume_min=volume,
        is_introductory=False,
        age=age_on(scene.record.client.born_on, monday),
        starts_on=monday,
        mode=scene.person.mode,
        weeks_before=weeks_before,
    )


def _publish(scene: Scene, plan: Plan, draft: WeekDraft, day: int) -> None:
    at, monday = scene.at(day, 16), day + 3
    assert plan.block is not None  # noqa: S101  # written just before
    week = PlannedWeek(
        id=scene.next_id("week"),
        client_id=scene.client_id,
        starts_on=draft.starts_on,
        block_id=plan.block.id,
        is_easier=draft.is_easier,
        target_minutes=draft.target_minutes,
        note=None,
        revision=1,
    )
    seen_at = _seen_at(scene, day)
    away = {leave_day for leave_day in range(monday, monday + 7) if _on_leave(scene, leave_day)}
    sessions = []
    for one in _with_loop(scene, plan, draft):
        if monday + one.weekday in away:
            continue
        session = _version(scene, one, monday + one.weekday, at, seen_at)
        plan.sessions[monday + one.weekday] = session
        if one.is_hard:
            plan.rounds[session.id] = _round_seconds(one.steps)
        sessions.append(session)
    scene.record.weeks.append(week)
    scene.record.planned += sessions
    scene.record.entries.append(Published(week, tuple(sessions), scene.coach_id, at))


def _seen_at(scene: Scene, day: int) -> datetime | None:
    """The evening before the week on the phone, when that evening has been."""
    is_over = day + 2 < scene.calendar.days
    looks = scene.person.has_phone and scene.roll(day)["minute"] < _SEEN_SHARE
    return scene.at(day + 2, 19) if looks and is_over else None


def _on_leave(scene: Scene, day: int) -> bool:
    on = scene.on(day)
    return any(one.from_on <= on <= one.until_on for one in scene.record.leaves)


def _version(scene: Scene, one: SessionDraft, day: int, at: datetime, seen_at: datetime | None) -> PlannedSession:
    return PlannedSession(
        id=scene.next_id("session"),
        version_id=scene.next_id("version"),
        version=1,
        client_id=scene.client_id,
        planned_on=scene.on(day),
        kind=one.kind,
        mode=one.mode,
        title=one.title,
        purpose=one.purpose,
        minutes=one.minutes,
        hard_minutes=one.hard_minutes if one.is_hard else 0.0,
        is_hard=one.is_hard,
        rounds=one.rounds if one.is_hard else 0,
        steps_json=_steps_json(one.steps),
        easy_version=one.easy_version,
        place=None,
        is_cancelled=False,
        created_at=at,
        person_id=scene.coach_id,
        reason=None,
        published_at=at,
        seen_at=seen_at,
    )


@cache
def _steps_json(steps: tuple[Node, ...]) -> str:
    """Sessions alike have steps alike: they are written out once."""
    return to_json(steps)


@cache
def _round_seconds(steps: tuple[Node, ...]) -> tuple[int, ...]:
    return tuple(step.duration_s for step in flatten(steps) if step.part is Part.WORK)


def _with_loop(scene: Scene, plan: Plan, week: WeekDraft) -> tuple[SessionDraft, ...]:
    """The week's sessions, an easy one turned into the standard loop every four weeks."""
    if plan.weeks_published % c.LOOP_EVERY_WEEKS != 2:
        return week.sessions
    easy = [one for one in week.sessions if one.kind is SessionKind.EASY and not one.title.startswith("Longest")]
    if not easy:
        return week.sessions
    chosen = easy[0]
    shape = steady_content(Shape.LOOP, chosen.mode, chosen.minutes, scene.rules)
    steps = standard_loop_steps(chosen.minutes, chosen.mode)
    loop = SessionDraft(chosen.weekday, chosen.minutes, shape.kind, chosen.mode, shape.title, shape.purpose, steps)
    return tuple(loop if one is chosen else one for one in week.sessions)
