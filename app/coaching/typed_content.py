"""From typed words to a whole session, and from a planned session back to the words it may be typed in."""

from __future__ import annotations

from collections.abc import Iterable
from functools import lru_cache

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocols import COMMON, PROTOCOLS, IntervalProtocol, session_title
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import (
    SessionContent,
    Shape,
    protocol_content,
    shape_of,
    steady_content,
    steady_title,
)
from app.coaching.steps import Part, Step, flatten, from_json
from app.coaching.typed_session import MOST_ROUNDS, SHAPE_NAMES, Typed, TypedRounds, TypedSteady, span_words

#: Where a session typed as uphill is done.
UPHILL = "uphill"
_UPHILL_KEY = "uphill_walk"


def typed_content(typed: Typed, *, age: int | None, first_of_phase: bool, rules: Rules) -> SessionContent:
    """The whole session that follows from typed words.

    Raises: DomainError when the minutes are too few, or no rounds are done that way.
    """
    if isinstance(typed, TypedSteady):
        return steady_content(typed.shape, typed.mode, typed.minutes, rules)
    return protocol_content(
        _protocol(typed), typed.mode, typed.rounds, age=age, first_of_phase=first_of_phase, rules=rules
    )


def place_of(typed: Typed) -> str | None:
    """The place the words themselves name."""
    return UPHILL if typed.is_uphill else None


def typed_of(session: PlannedSession) -> Typed | None:
    """The words' value of a planned session; None for one that words cannot say whole: own steps, title or target."""
    shape = shape_of(session)
    is_uphill = session.place == UPHILL and shape is not Shape.STRENGTH
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
    is_known = seems.shape in SHAPE_NAMES or seems.shape is Shape.STRENGTH
    is_fitting = (seems.mode is Mode.STRENGTH) == (seems.shape is Shape.STRENGTH)
    return _steady_of(title, steps, seems) if is_known and is_fitting else None


def _steady_of(title: str, steps: list[Step], typed: TypedSteady) -> TypedSteady | None:
    try:
        made = steady_content(typed.shape, typed.mode, typed.minutes, Rules())
    except DomainError:
        return None
    is_same = title == steady_title(typed.shape, typed.mode) and _form(steps) == _form(
        flatten(from_json(made.steps_json))
    )
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
