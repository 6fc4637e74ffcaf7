"""Shapes a coach picks a session from, and the whole session each makes: steps, sums, words."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.planner_intervals import EASY_VERSION_MIN
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.protocols import IntervalProtocol, session_title
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_steps import (
    NOUNS,
    STRENGTH_AND_BALANCE,
    VERBS,
    easy_steps,
    easy_version,
    long_steps,
    measured_steps,
    standard_loop_steps,
    steps_for,
    strength_and_balance_steps,
)
from app.coaching.steps import (
    SECONDS_A_MINUTE,
    Node,
    Part,
    Repeat,
    Step,
    minutes_in_band,
    to_json,
    total_minutes,
    work_rounds,
)

#: Easy minutes at either end of a session at middle effort (house choice).
MIDDLE_EDGE_MIN = 10
MIDDLE_LEAST_MIN = 25
_MIDDLE_WORDS = "Steady. You could say a sentence and would rather not. Never a race."
#: Warm-up and cool-down around a test or race (as in `measured_steps`).
MEASURED_EDGES_MIN = 25


class Shape(StrEnum):
    """What a coach picks: the session's kind and, where a kind has several, which of them."""

    EASY = "easy"
    LONGEST = "longest"
    LOOP = "loop"
    MIDDLE = "middle"
    INTERVALS = "intervals"
    TEST = "test"
    RACE = "race"
    STRENGTH = "strength"


SHAPE_WORDS = {
    Shape.EASY: "easy",
    Shape.LONGEST: "easy, the week's longest",
    Shape.LOOP: "standard loop, easy",
    Shape.MIDDLE: "middle effort",
    Shape.INTERVALS: "intervals",
    Shape.TEST: "test, all out",
    Shape.RACE: "race",
    Shape.STRENGTH: "strength",
}

KIND_OF = {
    Shape.EASY: SessionKind.EASY,
    Shape.LONGEST: SessionKind.EASY,
    Shape.LOOP: SessionKind.TEST,
    Shape.MIDDLE: SessionKind.MIDDLE,
    Shape.INTERVALS: SessionKind.INTERVALS,
    Shape.TEST: SessionKind.TEST,
    Shape.RACE: SessionKind.RACE,
    Shape.STRENGTH: SessionKind.STRENGTH,
}

_PURPOSES = {
    Shape.EASY: "Build the base at a talking effort.",
    Shape.LONGEST: "Time at it, easy to the end.",
    Shape.LOOP: "Same route, same talk: compare distance and heart rate with last time.",
    Shape.MIDDLE: "A steady stretch between easy and hard.",
    Shape.INTERVALS: "Hard rounds with easy recoveries.",
    Shape.TEST: "Measure where you stand.",
    Shape.RACE: "The day you trained for.",
    Shape.STRENGTH: "Strong legs and steady balance.",
}


@dataclass(frozen=True, slots=True)
class SessionContent:
    """Everything about a session that follows from its shape."""

    kind: SessionKind
    minutes: int
    hard_minutes: float
    is_hard: bool
    rounds: int
    steps_json: str
    title: str
    purpose: str
    easy_version: str | None


def shape_of(session: PlannedSession) -> Shape:
    """The shape a planned session was made from, as near as can be told."""
    if session.kind is SessionKind.EASY:
        is_longest = session.steps_json == to_json(long_steps(max(1, session.minutes), session.mode))
        return Shape.LONGEST if is_longest else Shape.EASY
    if session.kind is SessionKind.TEST:
        return Shape.TEST if session.is_hard else Shape.LOOP
    return Shape(session.kind.value)


def steady_content(shape: Shape, mode: Mode, minutes: int, rules: Rules) -> SessionContent:
    """A session without rounds.

    Raises: DomainError when the minutes are too few for its warm-up and cool-down.
    """
    steps = _steady_steps(shape, mode, minutes)
    return _content(shape, mode, steps, title=steady_title(shape, mode), purpose=_PURPOSES[shape], rules=rules)


def protocol_content(
    protocol: IntervalProtocol, mode: Mode, rounds: int, *, age: int | None, first_of_phase: bool, rules: Rules
) -> SessionContent:
    """A session of the library with so many rounds.

    Raises: DomainError when the entry is not done that way, or not in so many rounds.
    """
    steps = steps_for(protocol, mode=mode, rounds=rounds, age=age, first_of_phase=first_of_phase)
    title = session_title(protocol, rounds)
    return _content(Shape.INTERVALS, mode, steps, title=title, purpose=protocol.purpose, rules=rules)


def _content(
    shape: Shape, mode: Mode, steps: Sequence[Node], *, title: str, purpose: str, rules: Rules
) -> SessionContent:
    hard_minutes = minutes_in_band(steps, Band.HARD)
    # A single round is under the minutes that make a session hard; rounds are planned as hard all the same, which is
    # the stricter reading.
    always_hard = shape in (Shape.INTERVALS, Shape.TEST, Shape.RACE)
    is_hard = always_hard or hard_minutes >= rules.hard_session_minutes
    minutes = total_minutes(steps)
    return SessionContent(
        kind=KIND_OF[shape],
        minutes=minutes,
        hard_minutes=hard_minutes,
        is_hard=is_hard,
        rounds=work_rounds(steps),
        steps_json=to_json(steps),
        title=title,
        purpose=purpose,
        easy_version=easy_version(min(EASY_VERSION_MIN, minutes), mode) if is_hard else None,
    )


def _steady_steps(shape: Shape, mode: Mode, minutes: int) -> tuple[Node, ...]:
    if shape is Shape.LONGEST:
        return long_steps(minutes, mode)
    if shape is Shape.LOOP:
        return standard_loop_steps(minutes, mode)
    if shape is Shape.STRENGTH:
        return strength_and_balance_steps(minutes)
    if shape is Shape.MIDDLE:
        return _middle_steps(minutes, mode)
    if shape in (Shape.TEST, Shape.RACE):
        return _measured(shape, minutes, mode)
    if shape is Shape.INTERVALS:
        raise DomainError("Rounds need a session of the library.")
    return easy_steps(minutes, mode)


def _middle_steps(minutes: int, mode: Mode) -> tuple[Node, ...]:
    if minutes < MIDDLE_LEAST_MIN:
        raise DomainError(f"A session at middle effort takes at least {MIDDLE_LEAST_MIN} min with its easy ends.")
    edge = MIDDLE_EDGE_MIN * SECONDS_A_MINUTE
    main = minutes * SECONDS_A_MINUTE - 2 * edge
    return (
        Step(Part.WARM_UP, edge, Band.EASY, f"Begin slower than you think you need to {VERBS[mode]}."),
        Step(Part.MAIN, main, Band.MIDDLE, _MIDDLE_WORDS),
        Step(Part.COOL_DOWN, edge, Band.EASY, "Ease off until you chat again."),
    )


def _measured(shape: Shape, minutes: int, mode: Mode) -> tuple[Node, ...]:
    main = minutes - MEASURED_EDGES_MIN
    if main < 1:
        raise DomainError(f"Warm-up and cool-down take {MEASURED_EDGES_MIN} min of it; give it more minutes.")
    say = (
        "As evenly as you can for the whole time; the last third may cost something."
        if shape is Shape.TEST
        else "Start slower than the others. Even to the half, then what is left."
    )
    return measured_steps(main, mode, say)


def middle_rounds_content(rounds: int, work_s: int, recovery_s: int, mode: Mode, rules: Rules) -> SessionContent:
    """Stretches at middle effort with easy ones between; they are no hard rounds and are not counted as such."""
    edge = MIDDLE_EDGE_MIN * SECONDS_A_MINUTE
    work = Step(Part.MAIN, work_s, Band.MIDDLE, _MIDDLE_WORDS)
    rest = Step(Part.RECOVERY, recovery_s, Band.EASY, "Easy again, until you chat.")
    before_last: tuple[Node, ...] = (Repeat(rounds - 1, (work, rest)),) if rounds > 1 else ()
    steps = (
        Step(Part.WARM_UP, edge, Band.EASY, f"Begin slower than you think you need to {VERBS[mode]}."),
        *before_last,
        work,
        Step(Part.COOL_DOWN, edge, Band.EASY, "Ease off until you chat again."),
    )
    title = middle_rounds_title(rounds, work_s, mode)
    return _content(Shape.MIDDLE, mode, steps, title=title, purpose=_PURPOSES[Shape.MIDDLE], rules=rules)


def middle_rounds_title(rounds: int, work_s: int, mode: Mode) -> str:
    """What such a session is called."""
    return f"Middle effort {rounds} × {span_words(work_s)}, {NOUNS[mode]}"


def span_words(duration_s: int) -> str:
    """A stretch in whole minutes, else in seconds: "4 min", "30 s"."""
    is_whole = duration_s % SECONDS_A_MINUTE == 0
    return f"{duration_s // SECONDS_A_MINUTE} min" if is_whole else f"{duration_s} s"


def steady_title(shape: Shape, mode: Mode) -> str:
    """What a session without rounds is called."""
    noun = NOUNS[mode]
    names = {
        Shape.EASY: f"Easy {noun}",
        Shape.LONGEST: f"Longest easy {noun}",
        Shape.LOOP: f"Standard loop, {noun}",
        Shape.MIDDLE: f"Middle effort, {noun}",
        Shape.TEST: f"Test, {noun}",
        Shape.RACE: f"Race, {noun}",
        Shape.STRENGTH: STRENGTH_AND_BALANCE,
    }
    return names[shape] if shape in names else noun.capitalize()
