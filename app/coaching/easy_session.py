"""An easy session held against its recording: what is known of it, and whether its heart alone says "not easy"."""

from __future__ import annotations

from dataclasses import dataclass, replace

from app.coaching.easy_judged import EasyJudged, EasyTold, judge_easy
from app.coaching.heart_rate_trust import trust_of
from app.coaching.heat import HeatNote, bears_heat_badly, is_hot
from app.coaching.history import History
from app.coaching.measured import Measured, MeasuredKind, is_too_old, newest_measured
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.recordings import Recording
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog

#: The upper edge of easy as a part of a measured maximum: where moderate ends and vigorous begins [garber2011],
#: 77 % and up; that easy ends there too is a house choice. Never of a maximum from a formula.
EASY_HIGHEST_FRACTION = 0.77
_INDOORS = frozenset({Mode.INDOOR_RIDE, Mode.TREADMILL, Mode.SWIM})


@dataclass(frozen=True, slots=True)
class Beside:
    """What an easy session is judged with beside its entry and its recording."""

    known: History
    figures: tuple[Measured, ...]
    #: How hot the day was, as the coach noted it; None when nobody did.
    heat: HeatNote | None
    after_transition: bool
    rules: Rules


def is_easy_session(log: SessionLog, planned: PlannedSession | None) -> bool:
    """Whether it was meant to be easy: by its plan, else by the entry; the easy version of hard work is too."""
    if log.answer is Answer.NOT_DONE:
        return False
    if planned is None or log.answer in (Answer.EASY_VERSION, Answer.SOMETHING_ELSE):
        return log.kind is SessionKind.EASY
    return planned.kind is SessionKind.EASY


def judged_easy(log: SessionLog, recording: Recording, beside: Beside) -> EasyJudged:
    """Whether an easy session was easy, from what was said and recorded."""
    return judge_easy(recording, easy_told(log, beside), rules=beside.rules, mode=log.mode)


def minutes_not_easy(log: SessionLog, recording: Recording, beside: Beside) -> float | None:
    """Minutes of the heart above the edge of easy, where they alone would say that it was not easy; None else."""
    heart_alone = replace(easy_told(log, beside), talk=None, effort=None)
    found = judge_easy(recording, heart_alone, rules=beside.rules, mode=log.mode)
    return found.above_min if found.was_easy is False and isinstance(found.above_min, float) else None


def easy_told(log: SessionLog, beside: Beside) -> EasyTold:
    """What is known of a session beside its recording: answers, heat, and the edge of easy where it may be used."""
    day = log.done_on
    highest = newest_measured(beside.figures, MeasuredKind.HIGHEST_HEART_RATE, None, day)
    is_known = highest is not None and not is_too_old(highest, day)
    is_out = log.mode not in _INDOORS
    bears_badly = bool(bears_heat_badly(beside.known, day))
    return EasyTold(
        talk=log.talk,
        effort=log.effort,
        after_transition=beside.after_transition,
        was_hot=is_out and beside.heat is not None and is_hot(beside.heat, bears_badly=bears_badly),
        easy_highest_bpm=EASY_HIGHEST_FRACTION * highest.value if highest is not None and is_known else None,
        heart_rate_counts=not trust_of(beside.known, day).is_off,
    )
