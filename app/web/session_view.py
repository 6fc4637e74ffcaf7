"""A planned session as a client reads it: what, how hard in plain words, and its steps."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from app.coaching.effort import EFFORT_WORDS, HIGHEST_EFFORT, Band
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.steps import Node, Part, Repeat, Step, flatten, from_json
from app.coaching.words import duration_words
from app.web.target_view import TargetView, target_view

HOW_HARD = {
    Band.EASY: "Easy: you could chat in comfort the whole way. If you cannot, slow down.",
    Band.MIDDLE: "Middle: brisk and steady, talk comes in pieces. Not a race.",
    Band.HARD: "Hard in its hard part, easy in all the rest. By the end of a round only a few words.",
}
#: A number of the effort scale in a sentence about effort; a number of minutes, seconds or rounds is none.
_EFFORT_NUMBER = re.compile(r"\b(\d{1,2})\b(?!\s*(?:s|min|minutes?|seconds?|rounds?|times|km|W)\b|[%:,.]\d)")
#: Beside a title, so that no title hides how hard its session is planned.
EFFORT_NAMES = {Band.EASY: "Easy", Band.MIDDLE: "Middle", Band.HARD: "Hard"}
STRENGTH_NAME = "Strength"
HOW_HARD_STRENGTH = "Calm breath, and two repetitions left in hand."


@dataclass(frozen=True, slots=True)
class Line:
    """One step, or a set of steps or sets done several times (then `times` is given)."""

    time: str
    say: str
    times: int | None = None
    steps: tuple[Line, ...] = ()

    @property
    def heading(self) -> str:
        """How often a set is done: "4 times 4 min, 4 min easy between"."""
        return f"{'Once' if self.times == 1 else f'{self.times} times'}{' ' if self.time else ''}{self.time}"


@dataclass(frozen=True, slots=True)
class SessionView:
    """A session ready to print."""

    title: str
    #: Easy, Middle or Hard, and Strength for strength that is not hard.
    effort: str
    purpose: str
    how_hard: str
    minutes: int
    place: str | None
    lines: tuple[Line, ...]
    easy_version: str | None
    #: The numbers of the effort scale that the steps name, with their words.
    efforts: tuple[tuple[int, str], ...]
    #: What its rounds aim at and how they should feel; None for sessions without equal rounds.
    target: TargetView | None


def session_view(session: PlannedSession) -> SessionView:
    """The session in the client's words."""
    nodes = from_json(session.steps_json)
    is_strength = session.kind is SessionKind.STRENGTH
    return SessionView(
        title=session.title,
        effort=effort_name(session),
        purpose=session.purpose,
        how_hard=HOW_HARD_STRENGTH if is_strength else HOW_HARD[band_of_plan(session)],
        minutes=session.minutes,
        place=session.place,
        lines=_lines(nodes),
        easy_version=session.easy_version,
        efforts=_efforts(nodes),
        target=target_view(session),
    )


def effort_name(session: PlannedSession) -> str:
    """How hard a session is planned, in the one word that stands beside its title."""
    band = band_of_plan(session)
    is_calm_strength = session.kind is SessionKind.STRENGTH and band is Band.EASY
    return STRENGTH_NAME if is_calm_strength else EFFORT_NAMES[band]


def _efforts(nodes: Sequence[Node]) -> tuple[tuple[int, str], ...]:
    sentences = {part for step in flatten(nodes) for part in re.split(r"(?<=[.!?])\s", step.say)}
    about_effort = [one for one in sentences if "effort" in one.lower()]
    named = {int(number) for one in about_effort for number in _EFFORT_NUMBER.findall(one)}
    return tuple((number, EFFORT_WORDS[number]) for number in sorted(named) if number <= HIGHEST_EFFORT)


def _lines(nodes: Sequence[Node]) -> tuple[Line, ...]:
    """A last round without a rest behind it is counted with those before it."""
    lines: list[Line] = []
    for before, node in zip((None, *nodes), nodes, strict=False):
        one_more = _one_more(before, node)
        if one_more is None:
            lines.append(_line(node))
        else:
            lines[-1] = one_more
    return tuple(lines)


def _one_more(before: Node | None, last: Node) -> Line | None:
    """Rounds counted together with the one that follows them without a rest; None when it is no such round."""
    match before, last:
        case Repeat(times, (Step() as work, Step() as rest)), Step():
            is_same = work.part is last.part is Part.WORK and work.duration_s == last.duration_s
            if is_same and work.band is last.band and rest.band is Band.EASY:
                return _rounds(work, rest, times, last)
    return None


def _rounds(work: Step, rest: Step, times: int, last: Step) -> Line:
    time = f"{duration_words(work.duration_s)}, {duration_words(rest.duration_s)} easy between"
    last_says = last.say.removeprefix(work.say).strip()
    more = (Line("the last", last_says),) if last_says else ()
    return Line(time, "", times + 1, (_line(work), _line(rest), *more))


def _line(node: Step | Repeat) -> Line:
    if isinstance(node, Step):
        return Line(duration_words(node.duration_s), node.say)
    return Line("", "", node.times, _lines(node.steps))
