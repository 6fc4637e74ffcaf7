"""One client's whole year, written from the first day to the last in the order it happened."""

from __future__ import annotations

from datetime import date, timedelta

from app.coaching.people import ClientState
from app.coaching.phases import HARD_WORK_PHASES
from app.coaching.screening import ConsentKind
from app.demo import papers
from app.demo.answers import Kept, answer_week
from app.demo.diary import Diary, agree
from app.demo.lately import tell
from app.demo.parts import Stretch
from app.demo.plans import keep_blocks, keep_week, take_decision, weeks_of
from app.storage import clients

#: The longer test comes in these weeks, counted from the demo's week.
RETEST_WEEKS = (-31, -19, -7)
CLEARED_DAYS_AGO = 351
#: Who agreed longer ago than this agreed afresh at the talk half a year ago, so that nothing runs out now.
AGREED_LONG_AGO = timedelta(days=300)
AGREED_AFRESH_DAYS_AGO = 170
#: Left to run out together with his clearance.
NOT_AGREED_AFRESH = frozenset({"anton"})
#: The keys of clients whose screening questions nobody has answered yet.
NOT_ASKED = frozenset({"yuki", "dagny"})
_DAY_BEFORE = timedelta(days=1)


def write_year(diary: Diary) -> None:
    """Papers, decisions, plans, answers and tests of a client, then the events of the last days."""
    written_until = diary.joined_on - _DAY_BEFORE
    if diary.part.has_disease and diary.part.state is ClientState.ACTIVE:
        papers.file_clearance(diary, diary.day(-CLEARED_DAYS_AGO))
    weeks_before, phase = 0, None
    for stretch in diary.part.year:
        until = diary.monday(stretch.first_week) - _DAY_BEFORE
        written_until = _papers(diary, written_until, until)
        if stretch.phase is not phase:
            take_decision(diary, stretch)
        phase = stretch.phase
        _write_stretch(diary, stretch, weeks_before)
        if stretch.phase in HARD_WORK_PHASES:
            weeks_before += stretch.last_week - stretch.first_week + 1
    _papers(diary, written_until, diary.today)
    if diary.joined_on < diary.today - AGREED_LONG_AGO and diary.part.key not in NOT_AGREED_AFRESH:
        agree(diary, diary.day(-AGREED_AFRESH_DAYS_AGO), ConsentKind.COACHING, ConsentKind.HEALTH_DATA)
    if diary.part.agreed_days_ago is not None:
        agree(diary, diary.day(-diary.part.agreed_days_ago), ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
    if diary.part.state is ClientState.WAITING_FOR_CLEARANCE or not diary.part.year:
        clients.set_state(diary.db, client_id=diary.client.id, state=diary.part.state)
    tell(diary)


def _papers(diary: Diary, after: date, until: date) -> date:
    if diary.part.key not in NOT_ASKED:
        papers.papers_between(diary, after, until)
    return until


def _write_stretch(diary: Diary, stretch: Stretch, weeks_before: int) -> None:
    weeks = weeks_of(diary, stretch, weeks_before)
    block_of = keep_blocks(diary, stretch, weeks)
    for number, week in enumerate(weeks, start=stretch.first_week):
        kept = keep_week(diary, week, block_of.get(week.starts_on))
        answer_week(diary, number, [Kept(*one) for one in kept])
        if stretch.phase in HARD_WORK_PHASES and number in RETEST_WEEKS:
            papers.retest(diary, week.starts_on + timedelta(days=kept[0][2].weekday))
