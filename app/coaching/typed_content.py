"""From typed words to a whole session, and from a planned session back to the words it may be typed in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import lru_cache

from app.coaching.distance_told import over_distance, parted
from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocols import COMMON, PROTOCOLS, IntervalProtocol, session_title
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import (
    SessionContent,
    Shape,
    middle_rounds_content,
    protocol_content,
    shape_of,
    span_words,
    steady_content,
    steady_title,
)
from app.coaching.session_steps import STRENGTH, STRENGTH_AND_BALANCE, recovery_said, strength_steps
from app.coaching.steps import Part, Step, flatten, from_json
from app.coaching.typed_session import MOST_ROUNDS, SHAPE_NAMES, Typed, TypedRounds, TypedSteady

#: Where a session typed as uphill is done.
UPHILL = "uphill"
_UPHILL_KEY = "uphill_walk"


def typed_content(typed: Typed, *, age: int | None, first_of_phase: bool, rules: Rules) -> SessionContent:
    """The whole session that follows from typed words.

    Raises: DomainError when the minutes are too few, or no rounds are done that way.
    """
    if isinstance(typed, TypedSteady):
        content = steady_content(typed.shape, typed.mode, typed.minutes, rules)
        return content if typed.distance_m is None else over_distance(content, typed.distance_m)
    if typed.band is Band.MIDDLE:
        return middle_rounds_content(typed.rounds, typed.work_s, typed.recovery_s, typed.mode, rules)
    content = protocol_content(
        _protocol(typed), typed.mode, typed.rounds, age=age, first_of_phase=first_of_phase, rules=rules
    )
    said = recovery_said(content.steps_json, typed.mode, is_uphill=typed.is_uphill)
    return replace(content, steps_json=said)


def place_of(typed: Typed) -> str | None:
    """The place the words themselves name."""
    return UPHILL if typed.is_uphill else None


def is_uphill_place(session: PlannedSession) -> bool:
    """Whether a session goes uphill: said in a word, or on a hill of the practice."""
    return session.place == UPHILL or session.hill_id is not None


def typed_of(session: PlannedSession) -> Typed | None:
    """The words' value of a planned session; None for one that words cannot say whole: own steps, title or target."""
    if session.target_json is not None:
        return None
    shape = shape_of(session)
    is_uphill = is_uphill_place(session) and shape is not Shape.STRENGTH
    seems = TypedSteady(session.minutes, shape, session.mode, is_uphill)
    return _typed_of(session.title, session.steps_json, seems)


@lru_cache(maxsize=4096)
def _typed_of(title: str, steps_json: str, seems: TypedSteady) -> Typed | None:
    try:
        steps = list(flatten(from_json(steps_json)))
    except DomainError:
        return None
    if seems.shape is Shape.INTERVALS:
        return _rounds_of(title, steps, seems.mode, seems.is_uphill)
    if seems.shape is Shape.MIDDLE and any(step.part is Part.RECOVERY for step in steps):
        return _middle_rounds_of(title, steps, seems)
    is_known = seems.shape in SHAPE_NAMES or seems.shape is Shape.STRENGTH
    is_fitting = (seems.mode is Mode.STRENGTH) == (seems.shape is Shape.STRENGTH)
    return _steady_of(title, steps, seems) if is_known and is_fitting else None


def _steady_of(title: str, steps: list[Step], typed: TypedSteady) -> TypedSteady | None:
    try:
        made = steady_content(typed.shape, typed.mode, typed.minutes, Rules())
    except DomainError:
        return None
    if typed.shape is Shape.STRENGTH and title in (STRENGTH, STRENGTH_AND_BALANCE):
        forms = [_form(flatten(made)) for made in (strength_steps(typed.minutes), from_json(made.steps_json))]
        return typed if _form(steps) in forms else None
    name, metres = parted(title)
    is_same = name == steady_title(typed.shape, typed.mode) and _form(steps) == _form(
        flatten(from_json(made.steps_json))
    )
    return replace(typed, distance_m=metres) if is_same else None


def _middle_rounds_of(title: str, steps: list[Step], seems: TypedSteady) -> TypedRounds | None:
    work = [step.duration_s for step in steps if step.part is Part.MAIN]
    rest = [step.duration_s for step in steps if step.part is Part.RECOVERY]
    typed = TypedRounds(len(work), work[0] if work else 0, rest[0], seems.mode, seems.is_uphill, Band.MIDDLE)
    made = middle_rounds_content(typed.rounds, typed.work_s, typed.recovery_s, typed.mode, Rules())
    is_same = title == made.title and _form(steps) == _form(flatten(from_json(made.steps_json)))
    return typed if is_same else None


def _rounds_of(title: str, steps: list[Step], mode: Mode, is_uphill: bool) -> TypedRounds | None:
    work = [step.duration_s for step in steps if step.part is Part.WORK]
    rest = {step.duration_s for step in steps if step.part is Part.RECOVERY}
    if len(set(work)) != 1 or len(rest) != 1 or not 1 < len(work) <= MOST_ROUNDS:
        return None
    typed = TypedRounds(len(work), work[0], rest.pop(), mode, is_uphill)
    return typed if title == session_title(_protocol(typed), typed.rounds) else None


def _form(steps: Iterable[Step]) -> list[tuple[Part, int, Band]]:
    return [(step.part, step.duration_s, step.band) for step in steps]


def _protocol(typed: TypedRounds) -> IntervalProtocol:
    """The library's entry for such rounds, else an entry of their own."""
    fitting = [one for one in PROTOCOLS.values() if _fits(one, typed)]
    if typed.is_uphill and typed.mode is Mode.WALK:
        fitting.sort(key=lambda one: one.key != _UPHILL_KEY)
    else:
        fitting = [one for one in fitting if one.key != _UPHILL_KEY]
        fitting.sort(key=lambda one: one.rounds != typed.rounds)
    return fitting[0] if fitting else _own_protocol(typed)


def _fits(protocol: IntervalProtocol, typed: TypedRounds) -> bool:
    is_same_time = (protocol.work_s, protocol.recovery_s) == (typed.work_s, typed.recovery_s)
    return (
        is_same_time
        and typed.mode in protocol.modes
        and protocol.rounds_least <= typed.rounds <= protocol.rounds_most
    )


def _own_protocol(typed: TypedRounds) -> IntervalProtocol:
    return IntervalProtocol(
        key="typed",
        name=f"{typed.rounds} × {span_words(typed.work_s)}, {span_words(typed.recovery_s)} off",
        purpose="Hard rounds with easy recoveries.",
        suits="As the coach wrote it.",
        work_s=typed.work_s,
        recovery_s=typed.recovery_s,
        rounds=typed.rounds,
        rounds_least=1,
        rounds_most=MOST_ROUNDS,
        modes=(typed.mode,),
        evidence="Rounds of the coach's own.",
        source=None,
        provenance=COMMON,
        round_words=None,
        step_up=None,
        step_down=None,
    )
