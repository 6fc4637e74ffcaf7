"""The target of a session and how its rounds should feel, as the client reads them."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.ladders import clock
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.round_feel import Feel, round_feel
from app.coaching.session_steps import target_words as effort_words
from app.coaching.session_target import SessionTarget, target_from_json
from app.coaching.steps import Part, flatten, from_json
from app.coaching.target_values import RoundsAsked, rounds_asked
from app.coaching.target_words import RoundLine, round_lines, target_words
from app.physiology.units import MILE_M


@dataclass(frozen=True, slots=True)
class RoundView:
    """One round of a run: its pace, how far, and the clock on the way."""

    number: int
    pace: str
    distance: str
    time: str
    #: "400 m 2:04", in order; without the end when that is the round's own time.
    on_the_way: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class TargetView:
    """What to aim for, and how it should feel; figures and rounds are empty where words are all there is."""

    words: tuple[str, ...]
    rounds: tuple[RoundView, ...]
    basis: str
    feel: tuple[Feel, ...]


def target_view(session: PlannedSession) -> TargetView | None:
    """The target and the feel of a session with equal rounds; None for any other."""
    asked = _asked(session)
    if asked is None:
        return None
    target = _target(session)
    return TargetView(
        words=() if target is None else target_words(target, asked.work_s),
        rounds=() if target is None else round_views(target, asked),
        basis="" if target is None else target.basis,
        feel=round_feel(asked.work_s, session.mode, first_of_phase=_is_first(session)),
    )


def round_views(target: SessionTarget, asked: RoundsAsked) -> tuple[RoundView, ...]:
    """Each round of a run with its splits, ready to print."""
    return tuple(_round(one) for one in round_lines(target, asked.rounds, asked.work_s))


def _round(line: RoundLine) -> RoundView:
    return RoundView(
        line.number,
        line.pace,
        line.distance,
        line.time,
        tuple(f"{_place(one.distance_m)} {clock(one.time_s)}" for one in line.splits),
    )


def _place(distance_m: float) -> str:
    return "mile" if distance_m == MILE_M else f"{distance_m:.0f} m"


def _asked(session: PlannedSession) -> RoundsAsked | None:
    if session.kind is not SessionKind.INTERVALS or session.mode is Mode.STRENGTH:
        return None
    try:
        return rounds_asked(session)
    except DomainError:
        return None


def _target(session: PlannedSession) -> SessionTarget | None:
    try:
        return target_from_json(session.target_json)
    except DomainError:
        return None


def _is_first(session: PlannedSession) -> bool:
    """Whether the steps speak as in the first sessions, so that the feel says the same."""
    first = effort_words(first_of_phase=True)
    return any(first in step.say for step in flatten(from_json(session.steps_json)) if step.part is Part.WORK)
