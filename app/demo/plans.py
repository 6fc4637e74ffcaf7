"""The year as it was planned: decisions, blocks, weeks and published sessions, stretch by stretch."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta

from app.coaching.interval_plans import interval_block
from app.coaching.people import Mode, age_on
from app.coaching.phases import HARD_WORK_PHASES, DecisionKind, Phase
from app.coaching.planner import BaseWishes, base_block, easier_every
from app.coaching.planner_intervals import IntervalWishes
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import ConsentKind
from app.coaching.session_shapes import Shape, steady_content
from app.coaching.session_steps import recovery_said, standard_loop_steps
from app.coaching.steps import to_json
from app.coaching.week_drafts import SessionDraft, WeekDraft
from app.demo import papers
from app.demo.diary import Diary, agree, plain_json
from app.demo.parts import Stretch
from app.storage import hills, prescriptions
from app.storage.audit import leave_trace
from app.usecases import client_particulars, promoting

#: A block of the demo has at most so many weeks.
BLOCK_WEEKS = 12
INTRODUCTORY_WEEKS = 8
#: Weeks ahead that the client can see; later ones are drafts.
PUBLISHED_AHEAD = 2
#: Questions and consents come so many days before a step towards hard work.
ASKED_BEFORE_DAYS = 4
LOOP_EVERY_WEEKS = 4
FALLBACK_REASON = "A week or two short on paper; known well enough to begin carefully."


def take_decision(diary: Diary, stretch: Stretch) -> None:
    """The phase decision a stretch begins with, taken by the coach on its Monday on the records as they stood."""
    monday = diary.monday(stretch.first_week)
    if stretch.kind is DecisionKind.START:
        client_particulars.start_base(
            diary.db,
            actor=diary.coach,
            client_id=diary.client.id,
            since_on=monday,
            base_weeks_asked=diary.part.base_weeks_asked,
            reason=stretch.reason,
            rules=diary.rules,
            now=diary.at(monday, 7, 30),
        )
        return
    if stretch.kind is DecisionKind.PROMOTE:
        day = monday - timedelta(days=ASKED_BEFORE_DAYS)
        papers.ask(diary, day)
        papers.measure(diary, day)
        agree(diary, day, ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
    promoting.decide(
        diary.db,
        actor=diary.coach,
        client_id=diary.client.id,
        kind=stretch.kind,
        phase=stretch.phase,
        since_on=monday,
        reason=stretch.reason,
        override_reason=stretch.override or FALLBACK_REASON,
        now=diary.at(monday, 7, 30),
        until_on=None if stretch.until_week is None else diary.monday(stretch.until_week) + timedelta(days=6),
    )


def weeks_of(diary: Diary, stretch: Stretch, weeks_before: int) -> tuple[WeekDraft, ...]:
    """The weeks of a stretch as the planner writes them."""
    count = stretch.last_week - stretch.first_week + 1
    starts_on = diary.monday(stretch.first_week)
    age = age_on(diary.client.born_on, starts_on)
    if stretch.phase not in HARD_WORK_PHASES:
        first, most = stretch.minutes
        wishes = BaseWishes(
            start_volume_min=first,
            target_min=most,
            weeks=count,
            every=easier_every(age, diary.rules),
            starts_on=starts_on,
            mode=diary.part.mode,
            longest_before_min=max(35, first // 3 + 5),
        )
        return base_block(wishes, days=diary.slots, rules=diary.rules)
    weeks: list[WeekDraft] = []
    for done in range(0, count, INTRODUCTORY_WEEKS):
        asked = IntervalWishes(
            phase=stretch.phase,
            hard_weekdays=tuple(diary.day(offset).weekday() for offset in stretch.hard_days),
            protocol_key=stretch.protocol,
            weeks=min(INTRODUCTORY_WEEKS, count - done),
            volume_min=stretch.minutes[0],
            is_introductory=done == 0 and stretch.phase is not Phase.KEEPING,
            age=age,
            starts_on=starts_on + timedelta(weeks=done),
            mode=stretch.mode or diary.part.mode,
            weeks_before=weeks_before + done,
            longest_min=None,
        )
        weeks += interval_block(asked, days=diary.slots, rules=diary.rules)
    return tuple(weeks)


def keep_blocks(diary: Diary, stretch: Stretch, weeks: Sequence[WeekDraft]) -> dict[date, int]:
    """The blocks of a stretch; the block of each week by its Monday."""
    size = INTRODUCTORY_WEEKS if stretch.phase in HARD_WORK_PHASES else BLOCK_WEEKS
    block_of: dict[date, int] = {}
    for first in range(0, len(weeks), size):
        part = weeks[first : first + size]
        is_tail = len(weeks) - first - size in range(1, 4)
        if first and block_of and len(part) < 4:
            continue
        part = weeks[first:] if is_tail else part
        written_on = min(part[0].starts_on - timedelta(days=1), diary.day(-1))
        block_id = prescriptions.add_block(
            diary.db,
            client_id=diary.client.id,
            phase=stretch.phase,
            aim=stretch.aim,
            starts_on=part[0].starts_on,
            weeks=len(part),
            is_introductory=stretch.phase in HARD_WORK_PHASES and first == 0,
            wishes_json=plain_json(minutes=list(stretch.minutes), protocol=stretch.protocol),
            person_id=diary.coach.person_id,
            at=diary.at(written_on, 17),
        )
        block_of |= {week.starts_on: block_id for week in part}
    return block_of


def keep_week(diary: Diary, week: WeekDraft, block_id: int | None) -> list[tuple[int, date, SessionDraft]]:
    """One week of the plan, published on the Friday before; its sessions with their identities."""
    db, client_id = diary.db, diary.client.id
    prescriptions.keep_week(
        db,
        client_id=client_id,
        starts_on=week.starts_on,
        block_id=block_id,
        is_easier=week.is_easier,
        target_minutes=week.target_minutes,
    )
    is_published = week.starts_on <= diary.monday(PUBLISHED_AHEAD)
    at = _published_at(diary, week.starts_on)
    kept = []
    for session in with_loop(diary, week):
        day = week.starts_on + timedelta(days=session.weekday)
        session_id = prescriptions.add_session(
            db,
            client_id=client_id,
            draft=_version(diary, day, session),
            person_id=diary.coach.person_id,
            at=at,
            publish=is_published,
        )
        if week.starts_on == diary.monday(0) and diary.part.has_phone and diary.part.has_looked:
            _look(diary, session_id, at + timedelta(hours=3))
        kept.append((session_id, day, session))
    if is_published:
        leave_trace(
            db,
            at=at,
            person_id=diary.coach.person_id,
            client_id=client_id,
            action="published",
            subject="plan",
            change={"weeks": [week.starts_on.isoformat()]},
        )
    return kept


def _look(diary: Diary, session_id: int, at: datetime) -> None:
    """The client saw a session on the phone."""
    version = prescriptions.newest(diary.db, planned_session_id=session_id)
    if version is not None:
        prescriptions.mark_seen(diary.db, version_id=version.version_id, client_id=diary.client.id, at=at)


def _published_at(diary: Diary, monday: date) -> datetime:
    """The Friday before the week, or the last Friday that has been."""
    friday = monday - timedelta(days=3)
    last = diary.today - timedelta(days=(diary.today.weekday() - 4) % 7 or 7)
    return diary.at(min(friday, last), 16)


def with_loop(diary: Diary, week: WeekDraft) -> tuple[SessionDraft, ...]:
    """The week's sessions, an easy one turned into the standard loop every four weeks."""
    if not is_loop_week(diary, week.starts_on):
        return week.sessions
    easy = [one for one in week.sessions if one.kind is SessionKind.EASY and not one.title.startswith("Longest")]
    if not easy or easy[0].mode is Mode.STRENGTH:
        return week.sessions
    chosen = easy[0]
    shape = steady_content(Shape.LOOP, chosen.mode, chosen.minutes, diary.rules)
    loop = SessionDraft(
        chosen.weekday,
        chosen.minutes,
        shape.kind,
        chosen.mode,
        shape.title,
        shape.purpose,
        standard_loop_steps(chosen.minutes, chosen.mode),
    )
    return tuple(loop if one is chosen else one for one in week.sessions)


def is_loop_week(diary: Diary, monday: date) -> bool:
    """Whether the standard loop is done in a week: every four weeks up to the last one, and again when it is due."""
    if diary.part.loop is None:
        return False
    week = (monday - diary.monday(0)).days // 7
    away = week - diary.part.last_loop_week
    is_on = away % LOOP_EVERY_WEEKS == 0 and (monday - diary.joined_on).days >= 7
    return is_on and (away <= 0 or diary.part.last_loop_week >= -LOOP_EVERY_WEEKS + 1)


def _version(diary: Diary, day: date, session: SessionDraft) -> prescriptions.VersionDraft:
    is_uphill = diary.part.hill is not None and session.is_hard and session.mode is diary.part.mode
    hill = hills.by_name(diary.db, name=diary.part.hill or "") if is_uphill else None
    return prescriptions.VersionDraft(
        planned_on=day,
        kind=session.kind,
        mode=session.mode,
        title=session.title,
        purpose=session.purpose,
        minutes=session.minutes,
        hard_minutes=session.hard_minutes,
        is_hard=session.is_hard,
        rounds=session.rounds,
        steps_json=recovery_said(to_json(session.steps), session.mode, is_uphill=hill is not None),
        easy_version=session.easy_version,
        place=hill.place if hill else diary.part.place,
        hill_id=hill.id if hill else None,
    )
