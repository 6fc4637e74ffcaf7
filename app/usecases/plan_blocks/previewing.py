"""A block's weeks before they are kept: what they would be, what they would break, and what stands there."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from functools import lru_cache

from sqlalchemy.orm import Session

from app.coaching.first_rounds import rounds_so_far
from app.coaching.hard_work import FORTNIGHT_DAYS, hard_done
from app.coaching.interval_plans import IntervalPlan, interval_plans
from app.coaching.leave_to_train import stopped_now
from app.coaching.lookahead import as_if_sent
from app.coaching.lookahead_fit import before_sending
from app.coaching.lookahead_gathered import gathered
from app.coaching.lookahead_hard import interval_weeks_until
from app.coaching.paused_told import not_drafted
from app.coaching.people import AvailableDay
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.plan_reasons import PlanReason, base_reasons, interval_reasons
from app.coaching.planner import BaseWishes, base_block
from app.coaching.planner_intervals import IntervalWishes
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError, Refused
from app.coaching.rules import Rules
from app.coaching.steps import Node, to_json
from app.coaching.strength_beside import has_balance, nearest_strength_days
from app.coaching.time_away import Kept, Life, to_agree
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.coaching.weeks import start_of_day
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.standing import Standing, beside_kept, replaces_words, standing_there
from app.usecases.plan_blocks.wishes import BaseWish, BlockPreview, HardWish, wishes_json

AIM_BASE = "Build the aerobic base"
AIM_HARD = "Hard rounds, even and upright"


@dataclass(frozen=True, slots=True)
class _Written:
    """A block's weeks with all that is told beside them."""

    phase: Phase
    aim: str
    is_introductory: bool
    weeks: tuple[WeekDraft, ...]
    reasons: tuple[PlanReason, ...]
    plans: tuple[IntervalPlan, ...] = ()
    chosen: IntervalPlan | None = None


def preview_base(db: Session, *, desk: BlockDesk, wish: BaseWish, rules: Rules) -> BlockPreview:
    """A base block as it would be kept. Raises: DomainError when it cannot be written so."""
    there = standing_there(db, desk, wish.starts_on, wish.weeks)
    rise = min(wish.rise_minutes, rules.rise_minutes_most)
    gentler = replace(rules, rise_minutes_most=rise, rise_minutes=min(rules.rise_minutes, rise))
    asked = BaseWishes(
        start_volume_min=wish.start_minutes,
        target_min=wish.target_minutes,
        weeks=wish.weeks,
        every=wish.every,
        starts_on=wish.starts_on,
        mode=wish.mode,
        longest_before_min=desk.longest_minutes,
        life=_life(desk, wish.life, there),
    )
    weeks = base_block(asked, days=_days(desk, wish.minutes_by_weekday), rules=gentler)
    reasons = base_reasons(
        asked,
        weeks,
        usual_start_min=desk.start_minutes,
        start_words=desk.start_words,
        age=desk.age,
        rules=gentler,
    )
    written = _Written(desk.phase or Phase.AEROBIC_BASE, AIM_BASE, False, weeks, reasons)
    return _preview(desk, written, there, wish, rules)


def preview_intervals(db: Session, *, desk: BlockDesk, wish: HardWish, rules: Rules) -> BlockPreview:
    """An interval block as it would be kept. Raises: Refused outside a hard-work phase; DomainError."""
    if desk.phase is None or desk.phase not in HARD_WORK_PHASES:
        raise Refused(f"Hard sessions belong to an interval or keeping phase; this client is in: {desk.phase_words}.")
    there = standing_there(db, desk, wish.starts_on, wish.weeks)
    asked = IntervalWishes(
        phase=desk.phase,
        hard_weekdays=wish.hard_weekdays,
        protocol_key=wish.protocol_key,
        own=wish.own,
        weeks=wish.weeks,
        volume_min=wish.volume_minutes,
        is_introductory=wish.is_introductory,
        age=desk.age,
        starts_on=wish.starts_on,
        mode=wish.mode,
        older_from=desk.older_from,
        weeks_before=interval_weeks_until(desk.known, wish.starts_on),
        longest_min=desk.longest_minutes,
        before_min=round(desk.recent_minutes) or None,
        life=_life(desk, wish.life, there),
        hard_there=_hard_there(desk, there, rules),
        first_rounds=rounds_so_far(desk.known, wish.starts_on, desk.today, rules).first_rounds,
        blocked=_blocked(desk, there, wish.starts_on),
    )
    plans = interval_plans(asked, days=_days(desk, wish.minutes_by_weekday), rules=rules)
    chosen = next((plan for plan in plans if plan.key is wish.choice), plans[0])
    reasons = interval_reasons(asked, rules)
    written = _Written(desk.phase, AIM_HARD, wish.is_introductory, chosen.weeks, reasons, plans, chosen)
    return _preview(desk, written, there, wish, rules)


def _preview(
    desk: BlockDesk, written: _Written, there: Standing, wish: BaseWish | HardWish, rules: Rules
) -> BlockPreview:
    ahead, left_out = _without_past(written.weeks, desk.today)
    ahead, given_way = beside_kept(ahead, there.kept)
    if not any(week.sessions for week in ahead):
        raise DomainError("Nothing of this block lies ahead; let it start later.")
    planned = tuple(
        _as_planned(desk, week, draft, number) for number, (week, draft) in enumerate(_all(ahead), start=1)
    )
    _refuse_stopped(desk, planned, rules)
    going = [*planned, *[replace(one.session, is_cancelled=True) for one in there.replaced]]
    found = before_sending(as_if_sent(desk.known, desk.today), going, desk.today, rules)
    return BlockPreview(
        phase=written.phase,
        aim=written.aim,
        is_introductory=written.is_introductory,
        weeks=ahead,
        planned=planned,
        left_out=(*left_out, *given_way),
        drafts_there=there.drafts,
        published_there=there.published,
        kept_there=there.kept,
        plans=written.plans,
        chosen=written.chosen.key if written.chosen else None,
        reasons=written.reasons,
        strength_instead=_strength_instead(wish, written),
        replaces=replaces_words(desk, ahead, there.replaced),
        found=gathered(found, len(planned)),
        wishes_json=wishes_json(wish),
        place_by_weekday={day.weekday: day.place for day in desk.days},
        agrees=to_agree(wish.life.away, desk.known.leaves, desk.today),
        days=tuple(_days(desk, wish.minutes_by_weekday)),
    )


def _refuse_stopped(desk: BlockDesk, planned: Sequence[PlannedSession], rules: Rules) -> None:
    """Hard and middle work is not drafted for a client who is stopped. Raises: Refused."""
    stopped = stopped_now(desk.known, desk.today, rules)
    if refused := next(filter(None, (not_drafted(stopped, one, desk.client.name) for one in planned)), ""):
        raise Refused(refused)


def _strength_instead(wish: BaseWish | HardWish, written: _Written) -> tuple[int, ...]:
    """The nearest days on which strength takes no outing's place; empty where the wish fits."""
    hard = {one.weekday for week in written.weeks for one in week.sessions if one.is_hard}
    slots = {day: minutes for day, minutes in wish.minutes_by_weekday.items() if minutes > 0}
    return nearest_strength_days(slots, wish.life, hard)


def _life(desk: BlockDesk, life: Life, there: Standing) -> Life:
    """What is wished for, the leave agreed already, and the tests and races that stay."""
    kept = [
        Kept(one.session.planned_on, one.session.minutes, one.session.title)
        for one in there.kept
        if one.session.kind is not SessionKind.STRENGTH
    ]
    return replace(
        life,
        away=tuple(sorted({*life.away, *desk.away})),
        kept=tuple(sorted(kept)),
        has_balance=has_balance(desk.age),
    )


def _hard_there(desk: BlockDesk, there: Standing, rules: Rules) -> tuple[date, ...]:
    """Hard days done in the last fortnights, and those planned that the block does not replace."""
    gone = {entry.session.id for entry in there.replaced}
    done = hard_done(desk.known, rules, since_on=desk.today - timedelta(days=2 * FORTNIGHT_DAYS))
    answered = {log.planned_session_id for log in desk.known.logs}
    ahead = [
        session.planned_on
        for session in as_if_sent(desk.known, desk.today).planned
        if session.is_hard and session.planned_on >= desk.today and session.id not in gone | answered
    ]
    return tuple(sorted({*(day.on for day in done), *ahead}))


def _blocked(desk: BlockDesk, there: Standing, starts_on: date) -> tuple[date, ...]:
    """Days of the first week that are over, those something stays on, and those the day after strength that stays."""
    over = [starts_on + timedelta(days=n) for n in range(7) if starts_on + timedelta(days=n) < desk.today]
    stays = [entry.session.planned_on for entry in there.kept]
    strength = [entry.session.planned_on for entry in there.kept if entry.session.kind is SessionKind.STRENGTH]
    return tuple(sorted({*over, *stays, *(day + timedelta(days=1) for day in strength)}))


def _all(weeks: Sequence[WeekDraft]) -> list[tuple[WeekDraft, SessionDraft]]:
    """Every session of a block with its week."""
    return [(week, draft) for week in weeks for draft in week.sessions]


def _days(desk: BlockDesk, minutes_by_weekday: Mapping[int, int]) -> list[AvailableDay]:
    return [
        AvailableDay(desk.client.id, weekday, minutes, None, None)
        for weekday, minutes in sorted(minutes_by_weekday.items())
        if minutes > 0
    ]


def _without_past(weeks: Sequence[WeekDraft], today: date) -> tuple[tuple[WeekDraft, ...], tuple[str, ...]]:
    ahead, left_out = [], []
    for week in weeks:
        kept = tuple(one for one in week.sessions if week.starts_on + timedelta(days=one.weekday) >= today)
        gone = len(week.sessions) - len(kept)
        if gone:
            left_out.append(f"{gone} of the first week's sessions are left out: their days are over.")
        ahead.append(replace(week, sessions=kept))
    return tuple(ahead), tuple(left_out)


@lru_cache(maxsize=512)
def _steps_json(steps: tuple[Node, ...]) -> str:
    """Sessions alike have steps alike: they are written out once."""
    return to_json(steps)


def _as_planned(desk: BlockDesk, week: WeekDraft, draft: SessionDraft, number: int) -> PlannedSession:
    """A draft as a planned session with an identity of its own, for looking ahead."""
    return PlannedSession(
        id=-number,
        version_id=-number,
        version=1,
        client_id=desk.client.id,
        planned_on=week.starts_on + timedelta(days=draft.weekday),
        kind=draft.kind,
        mode=draft.mode,
        title=draft.title,
        purpose=draft.purpose,
        minutes=draft.minutes,
        hard_minutes=draft.hard_minutes,
        is_hard=draft.is_hard,
        rounds=draft.rounds,
        steps_json=_steps_json(draft.steps),
        easy_version=draft.easy_version,
        place=None,
        is_cancelled=False,
        created_at=start_of_day(desk.today, desk.client.zone),
        person_id=0,
        reason=None,
        published_at=None,
        seen_at=None,
    )
