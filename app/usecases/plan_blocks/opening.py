"""What a block is written from: where the client is, the days they really have, and what fits the phase."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.done_work import done_minutes, is_endurance
from app.coaching.entry_ramp import DoingNow, doing_now, recent_minutes
from app.coaching.first_rounds import RoundsSoFar, rounds_so_far
from app.coaching.history import History
from app.coaching.people import AvailableDay, Client, Mode, age_on
from app.coaching.phases import HARD_WORK_PHASES, PHASE_WORDS, Phase
from app.coaching.planner import START_RISE_MIN, easier_every, starting_volume
from app.coaching.planner_intervals import OLDER_FROM
from app.coaching.prescriptions import PlannedSession
from app.coaching.rules import Rules
from app.coaching.screening import Intensity
from app.coaching.screening_decision import Stopped, decide, newest_answers
from app.coaching.time_away import Stretch, from_leaves
from app.coaching.told_away import told_stretches
from app.coaching.weeks import local_day, week_start
from app.coaching.windows import FORTNIGHT, WHOLE_BASE
from app.storage import history, prescriptions
from app.usecases.gate import open_record

LONGEST_DAYS = 30
STEP_MIN = 5
HORIZON = timedelta(weeks=30)
#: Leave that ended so long ago still shapes the first weeks of a block.
WEEKS_OFF_SEEN = timedelta(weeks=6)


@dataclass(frozen=True, slots=True)
class BlockDesk:
    """Everything a block's page starts from."""

    client: Client
    age: int | None
    phase: Phase | None
    today: date
    days: tuple[AvailableDay, ...]
    #: Average of the last four complete weeks.
    recent_minutes: float
    start_minutes: int
    #: Why it starts there, in a sentence.
    start_words: str
    #: Of the last 30 days; 0 for a client new to training without any, None when it is unknown.
    longest_minutes: int | None
    starts_on: date
    #: The next Monday, whatever is planned from there on.
    next_monday: date
    every: int
    mode: Mode
    known: History
    #: Agreed leave that is not over, as days on which nothing is possible.
    away: tuple[Stretch, ...]
    #: The day the client turns 60, if it is still to come; None also when the birth date is unknown.
    older_from: date | None
    #: Whether nothing at all can be published, easy work included.
    is_all_stopped: bool
    #: Hard rounds done, and those published before the first free Monday.
    rounds_before: RoundsSoFar

    @property
    def may_be_hard(self) -> bool:
        """Whether the phase allows hard work."""
        return self.phase in HARD_WORK_PHASES

    @property
    def is_unasked(self) -> bool:
        """Whether the client never answered the safety questions, so that not everything can be published."""
        return newest_answers(self.known) is None

    @property
    def phase_words(self) -> str:
        """The phase in words."""
        return PHASE_WORDS[self.phase] if self.phase else "no phase yet"

    @property
    def begins_small(self) -> bool:
        """Whether a hard block begins with fewer rounds: not enough before it, or the first with two a week."""
        if self.phase is Phase.INTERVAL_TWO:
            return not any(block.phase is Phase.INTERVAL_TWO for block in self.known.blocks)
        return not self.rounds_before.is_introduction_over

    @property
    def first_rounds(self) -> int:
        """The rounds a block that begins small begins with."""
        return self.rounds_before.first_rounds

    @property
    def first_monday_of_rounds(self) -> date:
        """Where a hard block begins: at once while no rounds are done or published, else after everything planned."""
        return self.starts_on if self.rounds_before.most else self.next_monday


def open_blocks(db: Session, *, actor: Actor, client_id: int, rules: Rules, now: datetime) -> BlockDesk:
    """Where a client is, for writing a block."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    today = local_day(now, client.zone)
    known = history.load(
        db, client_ids=[client_id], from_on=today - WHOLE_BASE, until_on=today + HORIZON + FORTNIGHT
    )[0]
    newest = prescriptions.newest_between(
        db, client_ids=[client_id], from_on=week_start(today), until_on=today + HORIZON
    )
    now_doing = doing_now(known, today)
    start, words = _start(now_doing)
    age, next_monday = age_on(client.born_on, today), _next_monday(today)
    starts_on = max(next_monday, _free_monday(newest, today))
    return BlockDesk(
        client=client,
        age=age,
        phase=known.phase,
        today=today,
        days=known.available,
        recent_minutes=recent_minutes(known, today),
        start_minutes=start,
        start_words=words,
        longest_minutes=_longest(known, today, now_doing),
        starts_on=starts_on,
        next_monday=next_monday,
        every=easier_every(age, rules),
        mode=_usual_mode(known),
        known=known,
        away=_away(known, today - WEEKS_OFF_SEEN),
        older_from=_older_from(client.born_on, today),
        is_all_stopped=decide(known, Intensity.LIGHT_MODERATE, today, rules).stops is Stopped.ALL,
        rounds_before=rounds_so_far(known, starts_on, today, rules),
    )


def _away(known: History, since: date) -> tuple[Stretch, ...]:
    """Agreed time off, and what the client told of days away, that end on a day or later."""
    agreed = from_leaves(one for one in known.leaves if one.until_on >= since)
    return tuple(sorted({*agreed, *told_stretches(known.told_away, since)}))


def _older_from(born_on: date | None, today: date) -> date | None:
    # Sixty years on from a leap day there is one again, in this century.
    day = None if born_on is None else born_on.replace(year=born_on.year + OLDER_FROM)
    return day if day and day > today else None


def _start(now: DoingNow) -> tuple[int, str]:
    minutes = math.floor(now.minutes / STEP_MIN) * STEP_MIN
    if now.is_new:
        return starting_volume(
            minutes
        ), f"{now.words}, and {START_RISE_MIN} min more: how a client new to training begins."
    if minutes < START_RISE_MIN:
        return START_RISE_MIN, f"{now.words}; {START_RISE_MIN} min are where anybody may begin again."
    return minutes, f"{now.words}."


def _longest(known: History, today: date, now: DoingNow) -> int | None:
    first = today - timedelta(days=LONGEST_DAYS)
    done = [done_minutes(log) for log in known.logs if first <= log.done_on <= today and is_endurance(log)]
    if done and max(done) >= 1:
        return round(max(done))
    return 0 if now.is_new else None


def _next_monday(today: date) -> date:
    """The next Monday, or today when it is one."""
    return today if today.weekday() == 0 else week_start(today) + timedelta(weeks=1)


def _free_monday(newest: Sequence[PlannedSession], today: date) -> date:
    """The Monday after everything planned."""
    planned = [week_start(one.planned_on) + timedelta(weeks=1) for one in newest if not one.is_cancelled]
    return max(planned, default=today)


def _usual_mode(known: History) -> Mode:
    """What the client moved by most in the logs known; walking when nothing is."""
    modes = [log.mode for log in known.logs if log.mode not in (Mode.STRENGTH, Mode.OTHER)]
    return max(set(modes), key=lambda mode: (modes.count(mode), mode.value)) if modes else Mode.WALK
