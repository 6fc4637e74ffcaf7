"""What one logged session amounts to: its minutes by effort band, and whether it was hard."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

from app.coaching.effort import Band, Talk, band_of_effort, band_of_session
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, RoundDone, SessionLog
from app.coaching.steps import SECONDS_A_MINUTE, from_json, minutes_in_band

_ORDER = (Band.EASY, Band.MIDDLE, Band.HARD)
#: One or two full rounds, then stopped: counts for ceiling and spacing only (common practice, no published source).
_TOO_FEW_ROUNDS = 2
#: Answers whose minutes are those of the plan's steps.
_BY_PLAN = frozenset({Answer.AS_PLANNED, Answer.PARTLY})
_KINDS_LIKE_A_RACE = frozenset({SessionKind.RACE, SessionKind.TEST})


@dataclass(frozen=True, slots=True)
class MinutesByBand:
    """Minutes in each band, and those of which the effort is not known."""

    easy: float = 0.0
    middle: float = 0.0
    hard: float = 0.0
    unknown: float = 0.0

    @property
    def known(self) -> float:
        """Minutes of which the band is known."""
        return self.easy + self.middle + self.hard

    @property
    def total(self) -> float:
        """All minutes."""
        return self.known + self.unknown

    def __add__(self, other: MinutesByBand) -> MinutesByBand:
        return MinutesByBand(
            self.easy + other.easy,
            self.middle + other.middle,
            self.hard + other.hard,
            self.unknown + other.unknown,
        )


@dataclass(frozen=True, slots=True)
class HardDone:
    """Why a done session is hard, and what it counts for."""

    because: tuple[str, ...]
    counts_for_progress: bool


def is_endurance(session: SessionLog | PlannedSession) -> bool:
    """Whether a session belongs to the weekly time; strength is kept apart."""
    return session.kind is not SessionKind.STRENGTH and session.mode is not Mode.STRENGTH


def done_minutes(log: SessionLog) -> float:
    """Minutes done; nothing when it was not done."""
    return 0.0 if log.answer is Answer.NOT_DONE or log.minutes is None else log.minutes


def minutes_by_band(
    log: SessionLog, planned: PlannedSession | None, *, after_transition: bool, rules: Rules
) -> MinutesByBand:
    """Minutes of one session by band.

    From rounds; else the plan's steps scaled to the minutes done; else the whole session by talk answer, then effort.
    A session felt harder than anything in its plan is counted by the answer, not by the plan.
    Source: common practice, no published source.
    """
    minutes = done_minutes(log)
    if minutes <= 0:
        return MinutesByBand()
    if log.rounds:
        return _by_rounds(log.rounds, minutes, rules)
    said = band_of_session(talk=log.talk, effort=log.effort, after_transition=after_transition, rules=rules)
    if planned is not None and log.answer in _BY_PLAN:
        by_plan = _by_steps(planned, minutes)
        if by_plan is not None and not _is_above(said.band if said else None, by_plan):
            return by_plan
    return _whole(said.band if said else None, minutes)


def is_hard_done(log: SessionLog, planned: PlannedSession | None, rules: Rules) -> HardDone | None:
    """Whether a done session was hard, whatever was planned; None when it was not.

    Source: common practice, no published source.
    """
    if not is_hard(log, planned, rules):
        return None
    because = _hard_because(log, planned, rules)
    return HardDone(because, counts_for_progress=_is_progress(log, planned))


def is_hard(log: SessionLog, planned: PlannedSession | None, rules: Rules) -> bool:
    """The same as an answer alone, which is found sooner: a full round is enough.

    Source: common practice, no published source.
    """
    if log.answer is Answer.NOT_DONE or not _may_be_hard(log, planned, rules) or not is_endurance(log):
        return False
    return any(one.is_complete for one in log.rounds) or bool(_hard_because(log, planned, rules))


def complete_rounds(log: SessionLog) -> int:
    """Work rounds done in full."""
    return [one.is_complete for one in log.rounds].count(True)


def _hard_because(log: SessionLog, planned: PlannedSession | None, rules: Rules) -> tuple[str, ...]:
    minutes = done_minutes(log)
    effort = log.effort if log.effort is not None else 0.0
    hard = minutes_by_band(log, planned, after_transition=True, rules=rules).hard
    was_test = log.kind is SessionKind.TEST and planned is not None and planned.is_hard
    found = []
    done = complete_rounds(log)
    if done >= 1:
        found.append(f"{done} complete work rounds")
    if hard >= rules.hard_session_minutes:
        found.append(f"{hard:.0f} min of hard work")
    if minutes >= rules.hard_effort_minutes and effort >= rules.hard_effort_lowest:
        found.append(f"{minutes:.0f} min at effort {effort:g}")
    if log.talk is Talk.FEW_WORDS:
        found.append("main part: only a few words")
    if log.felt_all_out or log.kind is SessionKind.RACE or was_test:
        found.append("a race, a test or felt all-out")
    return tuple(found)


def _may_be_hard(log: SessionLog, planned: PlannedSession | None, rules: Rules) -> bool:
    """Whether anything at all speaks of hard work; of most entries nothing does, and they are looked at no closer."""
    if log.rounds or log.felt_all_out or log.talk is Talk.FEW_WORDS or log.kind in _KINDS_LIKE_A_RACE:
        return True
    if log.effort is not None and log.effort >= rules.hard_effort_lowest:
        return True
    return planned is not None and log.answer in _BY_PLAN and _minutes_of_steps(planned.steps_json)[-1] > 0


def _is_progress(log: SessionLog, planned: PlannedSession | None) -> bool:
    if log.spoilt_by is not None or log.kind is not SessionKind.INTERVALS:
        return False
    done = complete_rounds(log)
    if not log.rounds:
        return log.answer is Answer.AS_PLANNED
    asked = planned.rounds if planned is not None else None
    if asked is not None and done >= asked:
        return done >= 1
    return done > _TOO_FEW_ROUNDS


def _by_rounds(rounds: tuple[RoundDone, ...], minutes: float, rules: Rules) -> MinutesByBand:
    worked = dict.fromkeys(_ORDER, 0.0)
    for one in rounds:
        band = Band.HARD if one.effort is None else band_of_effort(one.effort, rules)
        worked[band] += one.duration_s / SECONDS_A_MINUTE
    around = max(0.0, minutes - sum(worked.values()))
    return MinutesByBand(worked[Band.EASY] + around, worked[Band.MIDDLE], worked[Band.HARD])


def planned_minutes_by_band(planned: PlannedSession) -> MinutesByBand:
    """A planned session's minutes by band, from its steps; unknown where it has none to read."""
    try:
        return _by_steps(planned, planned.minutes) or MinutesByBand(unknown=float(planned.minutes))
    except DomainError:
        return MinutesByBand(unknown=float(planned.minutes))


def _by_steps(planned: PlannedSession, minutes: float) -> MinutesByBand | None:
    easy, middle, hard = _minutes_of_steps(planned.steps_json)
    whole = easy + middle + hard
    if whole <= 0:
        return None
    return MinutesByBand(easy * minutes / whole, middle * minutes / whole, hard * minutes / whole)


@lru_cache(maxsize=4096)
def _minutes_of_steps(steps_json: str) -> tuple[float, float, float]:
    """Minutes in each band of a plan's steps; the same few plans are read again and again."""
    nodes = from_json(steps_json)
    easy, middle, hard = (minutes_in_band(nodes, band) for band in _ORDER)
    return easy, middle, hard


def _is_above(said: Band | None, by_plan: MinutesByBand) -> bool:
    if said is None or said is Band.EASY:
        return False
    parts = (by_plan.easy, by_plan.middle, by_plan.hard)
    top = max(place for place, part in enumerate(parts) if part > 0)
    return _ORDER.index(said) > top


def _whole(band: Band | None, minutes: float) -> MinutesByBand:
    if band is None:
        return MinutesByBand(unknown=minutes)
    return MinutesByBand(**{band.value: minutes})
