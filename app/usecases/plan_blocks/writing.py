"""Writing a block: its weeks as a preview with what they would break, and keeping them as drafts."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.lookahead import as_if_sent, breaches
from app.coaching.lookahead_gathered import Gathered, gathered
from app.coaching.lookahead_hard import interval_weeks_until
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import HARD_WORK_PHASES, Phase
from app.coaching.plan_weeks import PlanEntry
from app.coaching.planner import WEEKDAYS, BaseWishes, SessionDraft, WeekDraft, base_block
from app.coaching.planner_intervals import IntervalWishes, interval_block
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError, Refused, StaleEdit
from app.coaching.rules import Rules
from app.coaching.steps import to_json
from app.coaching.weeks import start_of_day
from app.storage import prescriptions
from app.storage.audit import leave_trace
from app.usecases.gate import open_record
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.standing import beside_kept, replaces_words, standing_there

AIM_BASE = "Build the aerobic base"
AIM_HARD = "Hard rounds, even and upright"


@dataclass(frozen=True, slots=True)
class BaseWish:
    """What a base block is written from."""

    starts_on: date
    weeks: int
    start_minutes: int
    target_minutes: int
    #: The most a week may add; never more than the practice's rule.
    rise_minutes: int
    every: int
    mode: Mode
    minutes_by_weekday: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class HardWish:
    """What an interval block is written from."""

    starts_on: date
    weeks: int
    volume_minutes: int
    hard_weekdays: tuple[int, ...]
    protocol_key: str
    is_introductory: bool
    mode: Mode
    minutes_by_weekday: Mapping[int, int]


@dataclass(frozen=True, slots=True)
class BlockPreview:
    """A block as it would be kept, and what stands in its weeks already."""

    phase: Phase
    aim: str
    is_introductory: bool
    weeks: tuple[WeekDraft, ...]
    #: In sentences: what of the first week is left out because its day is over.
    left_out: tuple[str, ...]
    drafts_there: tuple[PlanEntry, ...]
    published_there: tuple[PlanEntry, ...]
    #: Tests, races and strength in its weeks, which stay.
    kept_there: tuple[PlanEntry, ...]
    #: In sentences: the hard sessions wished for that no day can hold.
    no_hard: tuple[str, ...]
    #: In sentences: what it takes the place of, and which drafts stay outside its weeks.
    replaces: tuple[str, ...]
    found: tuple[Gathered, ...]
    wishes_json: str
    place_by_weekday: Mapping[int, str | None]

    @property
    def seen(self) -> str:
        """The wishes and the versions standing there, to notice when either changes after the preview."""
        there = (*self.drafts_there, *self.published_there)
        versions = ",".join(str(number) for number in sorted(entry.session.version_id for entry in there))
        return hashlib.sha256(f"{self.wishes_json}|{versions}".encode()).hexdigest()

    @property
    def starts_on(self) -> date:
        """Its first Monday."""
        return self.weeks[0].starts_on


def preview_base(db: Session, *, desk: BlockDesk, wish: BaseWish, rules: Rules) -> BlockPreview:
    """A base block as it would be kept. Raises: DomainError when it cannot be written so."""
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
    )
    weeks = base_block(asked, days=_days(desk, wish.minutes_by_weekday), rules=gentler)
    phase = desk.phase or Phase.AEROBIC_BASE
    return _preview(db, desk, weeks, phase=phase, aim=AIM_BASE, is_introductory=False, wish=wish, rules=rules)


def preview_intervals(db: Session, *, desk: BlockDesk, wish: HardWish, rules: Rules) -> BlockPreview:
    """An interval block as it would be kept. Raises: Refused outside a hard-work phase; DomainError."""
    if desk.phase is None or desk.phase not in HARD_WORK_PHASES:
        raise Refused(f"Hard sessions belong to an interval or keeping phase; this client is in: {desk.phase_words}.")
    wishes = IntervalWishes(
        phase=desk.phase,
        hard_weekdays=wish.hard_weekdays,
        protocol_key=wish.protocol_key,
        weeks=wish.weeks,
        volume_min=wish.volume_minutes,
        is_introductory=wish.is_introductory,
        age=desk.age,
        starts_on=wish.starts_on,
        mode=wish.mode,
        weeks_before=interval_weeks_until(desk.known, wish.starts_on),
        longest_min=desk.longest_minutes,
    )
    weeks = interval_block(wishes, days=_days(desk, wish.minutes_by_weekday), rules=rules)
    return _preview(
        db,
        desk,
        weeks,
        phase=desk.phase,
        aim=AIM_HARD,
        is_introductory=wish.is_introductory,
        wish=wish,
        rules=rules,
    )


def keep_block(
    db: Session,
    *,
    actor: Actor,
    desk: BlockDesk,
    preview: BlockPreview,
    seen: str,
    may_replace: bool,
    may_cancel: bool,
    now: datetime,
) -> tuple[tuple[str, str], ...]:
    """Keep a block with its weeks and sessions as drafts; returns what stands in its way, by field.

    What stood there becomes a draft of its own that takes it away: the client sees no change before publishing.
    Raises: StaleEdit when those weeks changed since the preview.
    """
    open_record(db, actor=actor, client_id=desk.client.id, action=Action.DECIDE, now=now)
    if seen != preview.seen:
        raise StaleEdit(
            "The form or these weeks changed since the preview. Nothing was kept; see how it would be now."
        )
    problems = _unasked(preview, may_replace=may_replace, may_cancel=may_cancel)
    if problems:
        return problems
    for entry in (*preview.drafts_there, *preview.published_there):
        _take_away(db, actor, entry.session, now)
    block_id = _add_block(db, actor, desk, preview, now)
    _add_sessions(db, actor, desk, preview, now)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=desk.client.id,
        action="wrote",
        subject="block",
        subject_id=block_id,
        change=_told(preview),
    )
    return ()


def _add_block(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> int:
    block_id = prescriptions.add_block(
        db,
        client_id=desk.client.id,
        phase=preview.phase,
        aim=preview.aim,
        starts_on=preview.starts_on,
        weeks=len(preview.weeks),
        is_introductory=preview.is_introductory,
        wishes_json=preview.wishes_json,
        person_id=actor.person_id,
        at=now,
    )
    for week in preview.weeks:
        prescriptions.keep_week(
            db,
            client_id=desk.client.id,
            starts_on=week.starts_on,
            block_id=block_id,
            is_easier=week.is_easier,
            target_minutes=week.target_minutes,
        )
    return block_id


def _add_sessions(db: Session, actor: Actor, desk: BlockDesk, preview: BlockPreview, now: datetime) -> None:
    for week, draft in _all(preview.weeks):
        place = preview.place_by_weekday.get(draft.weekday)
        prescriptions.add_session(
            db,
            client_id=desk.client.id,
            draft=prescriptions.draft_from(_as_planned(desk, week, draft, 1), place=place),
            person_id=actor.person_id,
            at=now,
        )


def _unasked(preview: BlockPreview, *, may_replace: bool, may_cancel: bool) -> tuple[tuple[str, str], ...]:
    problems = []
    if preview.drafts_there and not may_replace:
        problems.append(("replace", "Tick to replace the drafts that stand in these weeks."))
    if preview.published_there and not may_cancel:
        problems.append(("cancel_published", "Tick to take published sessions away when this block is published."))
    return tuple(problems)


def _preview(
    db: Session,
    desk: BlockDesk,
    weeks: Sequence[WeekDraft],
    *,
    phase: Phase,
    aim: str,
    is_introductory: bool,
    wish: BaseWish | HardWish,
    rules: Rules,
) -> BlockPreview:
    ahead, left_out = _without_past(weeks, desk.today)
    drafts_there, published_there, kept_there = standing_there(db, desk, ahead)
    ahead, given_way = beside_kept(ahead, kept_there)
    if not any(week.sessions for week in ahead):
        raise DomainError("Nothing of this block lies ahead; let it start later.")
    places = {day.weekday: day.place for day in desk.days}
    going = [
        *[_as_planned(desk, week, draft, number) for number, (week, draft) in enumerate(_all(ahead), start=1)],
        *[replace(one.session, is_cancelled=True) for one in (*drafts_there, *published_there)],
    ]
    return BlockPreview(
        phase=phase,
        aim=aim,
        is_introductory=is_introductory,
        weeks=ahead,
        left_out=(*left_out, *given_way),
        drafts_there=drafts_there,
        published_there=published_there,
        kept_there=kept_there,
        no_hard=_no_hard(wish, weeks),
        replaces=replaces_words(desk, ahead, (*drafts_there, *published_there)),
        found=gathered(breaches(as_if_sent(desk.known, desk.today), going, desk.today, rules), len(_all(ahead))),
        wishes_json=_wishes_json(wish),
        place_by_weekday=places,
    )


def _all(weeks: Sequence[WeekDraft]) -> list[tuple[WeekDraft, SessionDraft]]:
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


def _no_hard(wish: BaseWish | HardWish, weeks: Sequence[WeekDraft]) -> tuple[str, ...]:
    """Which hard days wished for hold no hard session in some week, and what to do about it."""
    if isinstance(wish, BaseWish):
        return ()
    without = [week for week in weeks if not any(session.is_hard for session in week.sessions)]
    if not without:
        return ()
    which = "No week has" if len(without) == len(weeks) else f"{len(without)} of {len(weeks)} weeks do not have"
    days = ", ".join(f"{WEEKDAYS[day]} has {wish.minutes_by_weekday.get(day, 0)} min" for day in wish.hard_weekdays)
    return (f"{which} the hard session: {days}, too little for it. Give the day more minutes, or tick another.",)


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
        steps_json=to_json(draft.steps),
        easy_version=draft.easy_version,
        place=None,
        is_cancelled=False,
        created_at=start_of_day(desk.today, desk.client.zone),
        person_id=0,
        reason=None,
        published_at=None,
        seen_at=None,
    )


def _take_away(db: Session, actor: Actor, session: PlannedSession, now: datetime) -> None:
    prescriptions.add_version(
        db,
        planned_session_id=session.id,
        client_id=session.client_id,
        draft=prescriptions.draft_from(session, is_cancelled=True, reason="Replaced by a new block."),
        person_id=actor.person_id,
        at=now,
        publish=False,
    )


def _told(preview: BlockPreview) -> dict[str, object]:
    return {
        "before": {"sessions": [one.session.id for one in (*preview.drafts_there, *preview.published_there)]},
        "after": {
            "aim": preview.aim,
            "starts_on": preview.starts_on.isoformat(),
            "weeks": len(preview.weeks),
            "minutes": [week.minutes for week in preview.weeks],
        },
    }


def _wishes_json(wish: BaseWish | HardWish) -> str:
    values = {name: getattr(wish, name) for name in type(wish).__dataclass_fields__}
    values["minutes_by_weekday"] = {str(day): minutes for day, minutes in wish.minutes_by_weekday.items()}
    return json.dumps(values, default=str)
