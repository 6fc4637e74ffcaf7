"""A planned session as a client reads it: what, how hard in plain words, and its steps."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.effort import Band
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.steps import SECONDS_A_MINUTE, Repeat, Step, from_json

HOW_HARD = {
    Band.EASY: "Easy: you could chat in comfort the whole way. If you cannot, slow down.",
    Band.MIDDLE: "Middle: brisk and steady, talk comes in pieces. Not a race.",
    Band.HARD: "Hard in its hard part, easy in all the rest. By the end of a round only a few words.",
}
HOW_HARD_STRENGTH = "Calm breath, and two repetitions left in hand."


@dataclass(frozen=True, slots=True)
class Line:
    """One step, or a set of steps done several times (then `times` is given)."""

    time: str
    say: str
    times: int | None = None
    steps: tuple[Line, ...] = ()


@dataclass(frozen=True, slots=True)
class SessionView:
    """A session ready to print."""

    title: str
    purpose: str
    how_hard: str
    minutes: int
    place: str | None
    lines: tuple[Line, ...]
    easy_version: str | None


def session_view(session: PlannedSession) -> SessionView:
    """The session in the client's words."""
    is_strength = session.kind is SessionKind.STRENGTH
    return SessionView(
        title=session.title,
        purpose=session.purpose,
        how_hard=HOW_HARD_STRENGTH if is_strength else HOW_HARD[band_of_plan(session)],
        minutes=session.minutes,
        place=session.place,
        lines=tuple(_line(node) for node in from_json(session.steps_json)),
        easy_version=session.easy_version,
    )


def duration_words(seconds: int) -> str:
    """How long a step is: "30 s", "4 min", "1:30 min"."""
    if seconds < SECONDS_A_MINUTE:
        return f"{seconds} s"
    whole, rest = divmod(seconds, SECONDS_A_MINUTE)
    return f"{whole} min" if rest == 0 else f"{whole}:{rest:02d} min"


def _line(node: Step | Repeat) -> Line:
    if isinstance(node, Step):
        return Line(duration_words(node.duration_s), node.say)
    return Line("", "", node.times, tuple(_line(step) for step in node.steps))
