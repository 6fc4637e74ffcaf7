"""What a signal is, and the scene all signal rules read: one client's records as of their own today."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from enum import IntEnum, StrEnum

from app.coaching.facts import Facts, facts_of
from app.coaching.hard_work import FORTNIGHT_DAYS, HardDay, hard_ahead, hard_done
from app.coaching.history import History
from app.coaching.leave_to_train import computed_stops
from app.coaching.matching import WeekComparison, compare_weeks, is_on_leave
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.rules import Rules
from app.coaching.screening_decision import Decision, screening_of
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import week_start

#: How far back the rules look for hard work and weeks.
LOOK_BACK_DAYS = 56
WEEKS_BACK = 4


class Shelf(StrEnum):
    """When a line must be dealt with."""

    TODAY = "today"
    PLANNING = "planning"


SHELF_WORDS = {
    Shelf.TODAY: "Today, before they start",
    Shelf.PLANNING: "When you sit down to plan",
}


class Family(IntEnum):
    """The order of lines on a shelf: safety, then hard work today with a doubt, then the rest."""

    SAFETY = 0
    HARD_TODAY = 1
    REST = 2


class Act(StrEnum):
    """What a line suggests doing; a page turns each into a button or a link."""

    EASE_TODAY = "ease_today"
    MOVE_TODAY = "move_today"
    HOLD = "hold"
    PROMOTION_PAGE = "promotion_page"
    CLEARANCE_PAGE = "clearance_page"
    CONTACT = "contact"
    NOTE = "note"
    PUT_OFF = "put_off"
    PLAN = "plan"
    OPEN_CLIENT = "open_client"
    SEND_QUESTIONS = "send_questions"
    LIFT = "lift"
    ASK_IN_WRITING = "ask_in_writing"
    START = "start"
    INCIDENTS = "incidents"
    DAYS_AWAY = "days_away"


@dataclass(frozen=True, slots=True)
class Signal:
    """One thing that wants the coach's eye, with its reasons.

    `key` names the records that raised it and the limit crossed, so that a line handled stays away until there is
    something new.
    """

    name: str
    client_id: int
    shelf: Shelf
    family: Family
    sentence: str
    why: Why
    key: str
    acts: tuple[Act, ...]
    #: The day of the newest record behind it.
    evidence_on: date
    #: Among lines of one rule: those that all training waits for stand first.
    stops_all: bool = False
    #: The hold it is about, where lifting it is the act.
    hold_id: int | None = None
    #: Said before the client's other reasons on its shelf, since it may settle them.
    leads: bool = False


@dataclass(frozen=True, slots=True)
class Scene:
    """Everything the signal rules read, worked out once a client."""

    history: History
    today: date
    rules: Rules
    facts: Facts
    done: tuple[HardDay, ...]
    ahead: tuple[HardDay, ...]
    #: The last four weeks and the present one, oldest first.
    weeks: tuple[WeekComparison, ...]
    vigorous: Decision
    light: Decision

    @property
    def hard_today(self) -> HardDay | None:
        """A published hard session that still stands for today."""
        return next((day for day in self.ahead if day.on == self.today), None)

    @property
    def sessions_today(self) -> tuple[PlannedSession, ...]:
        """Published sessions of today that no entry answers yet."""
        answered = {log.planned_session_id for log in self.history.logs}
        return tuple(s for s in self.planned_on(self.today) if s.id not in answered)

    @property
    def hard_waits(self) -> bool:
        """Whether anything stops hard work now: questions, the screening, a hold, a reading, a gap, a pregnancy.

        Then no line asks for hard work. Worked out on asking: few clients come to it.
        """
        if not self.vigorous.is_ok or self.history.open_holds:
            return True
        return bool(computed_stops(self.history, self.today, self.rules))

    @property
    def is_on_leave(self) -> bool:
        """Whether today is agreed time off."""
        return is_on_leave(self.history.leaves, self.today)

    def planned_on(self, day: date) -> tuple[PlannedSession, ...]:
        """Published sessions of a day."""
        return tuple(s for s in self.history.planned if s.planned_on == day and not s.is_cancelled)

    def logs_since(self, day: date) -> tuple[SessionLog, ...]:
        """Entries about a day and later."""
        return tuple(log for log in self.history.logs if log.done_on >= day)


def scene_of(history: History, today: date, rules: Rules) -> Scene:
    """The scene of one client on their own today."""
    monday = week_start(today)
    mondays = [monday - timedelta(weeks=n) for n in range(WEEKS_BACK, -1, -1)]
    facts = facts_of(history, today, rules)
    screening = screening_of(history, today, rules)
    return Scene(
        history=history,
        today=today,
        rules=rules,
        facts=facts,
        done=hard_done(history, rules, since_on=today - timedelta(days=LOOK_BACK_DAYS), facts=facts),
        ahead=tuple(day for day in hard_ahead(history, today) if day.on <= today + timedelta(days=FORTNIGHT_DAYS)),
        weeks=compare_weeks(history, mondays, today, rules, facts=facts),
        vigorous=screening.vigorous,
        light=screening.light,
    )


def why(
    rule: str,
    *figures: tuple[str, str],
    provenance: Provenance = Provenance.COMMON_PRACTICE,
    source: str | None = None,
    would_change: str | None = None,
    formulae: tuple[str, ...] = (),
) -> Why:
    """The reasons behind a line, from plain pairs."""
    named = tuple(Figure(name, text) for name, text in figures)
    return Why(named, rule, provenance, source, would_change, formulae)


def key_of(name: str, ids: Sequence[object], limit: object = "") -> str:
    """A signal's key: its records and the limit crossed, in one order."""
    joined = ",".join(sorted(str(one) for one in ids))
    return f"{name}:{joined}:{limit}"


def to_plan(
    scene: Scene, name: str, sentence: str, reasons: Why, *, key: str, acts: tuple[Act, ...], evidence_on: date
) -> Signal:
    """A line for planning day that is not one of safety."""
    return Signal(
        name, scene.history.client.id, Shelf.PLANNING, Family.REST, sentence, reasons, key, acts, evidence_on
    )
