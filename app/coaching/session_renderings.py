"""One session, said in several ways: the coach's table, a list of timed cues, and plain text to paste.

Each way carries every step: nothing is summed up, rounded or left out.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.coaching.effort import Band
from app.coaching.heat import HeatCaution
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.session_target import SessionTarget, target_from_json
from app.coaching.steps import (
    PART_WORDS,
    SECONDS_A_MINUTE,
    Node,
    Part,
    Step,
    flatten,
    from_json,
    total_seconds,
    work_rounds,
)
from app.coaching.target_values import RoundsAsked, rounds_asked
from app.coaching.target_words import round_aim, round_lines, target_words
from app.coaching.words import duration_words, minutes_words

_INDENT = "  "
STOP_AT_ONCE = (
    "Stop at once with pain or pressure in the chest, jaw, neck or arm, breath much shorter than the effort "
    "explains, dizziness, or a racing or uneven heartbeat. If it does not settle within a few minutes: call "
    "{emergency}."
)


@dataclass(frozen=True, slots=True)
class Cue:
    """One step as a clock tells it, in seconds from the start."""

    starts_s: int
    duration_s: int
    part: Part
    band: Band
    say: str
    #: Which round it is, from 1; None for a step that is none.
    number: int | None

    @property
    def ends_s(self) -> int:
        """When the next one begins."""
        return self.starts_s + self.duration_s


@dataclass(frozen=True, slots=True)
class TableRow:
    """One row of the coach's table: a step, or the head of a set whose rows follow one level deeper."""

    level: int
    #: The step; None for the head of a set.
    step: Step | None
    #: How often a set is done; 1 for a step.
    times: int
    #: When it begins, in seconds from the start; inside a set, the first time.
    starts_s: int
    #: How long it takes, all its repeats counted, in seconds.
    whole_s: int
    #: How often it is done in all, the sets around it counted.
    in_all: int


@dataclass(frozen=True, slots=True)
class PlainText:
    """A session in text alone: one line to name it, and everything else beneath."""

    summary: str
    body: str


def cues(nodes: Sequence[Node]) -> tuple[Cue, ...]:
    """Every step in the order it is done, with when it begins, rounds counted."""
    at, rounds, found = 0, 0, []
    for step in flatten(nodes):
        is_round = step.part is Part.WORK
        rounds += is_round
        found.append(
            Cue(at, step.duration_s, step.part, step.band, step.say, rounds if is_round else None),
        )
        at += step.duration_s
    return tuple(found)


def table_rows(nodes: Sequence[Node]) -> tuple[TableRow, ...]:
    """The tree row by row, sets before what they hold."""
    return tuple(_rows(nodes, level=0, at=0, in_all=1))


def _rows(nodes: Sequence[Node], *, level: int, at: int, in_all: int) -> Iterator[TableRow]:
    for node in nodes:
        whole_s = total_seconds((node,))
        if isinstance(node, Step):
            yield TableRow(level, node, 1, at, whole_s, in_all)
        else:
            yield TableRow(level, None, node.times, at, whole_s, in_all * node.times)
            yield from _rows(node.steps, level=level + 1, at=at, in_all=in_all * node.times)
        at += whole_s


def text_lines(nodes: Sequence[Node]) -> tuple[str, ...]:
    """The session as lines of text: a step in a line, a set as a line with its steps set in beneath it."""
    return tuple(_text(nodes, ""))


def _text(nodes: Sequence[Node], before: str) -> Iterator[str]:
    for node in nodes:
        if isinstance(node, Step):
            yield f"{before}{step_words(node)}: {node.say}"
        else:
            yield f"{before}{'once' if node.times == 1 else f'{node.times} times'}:"
            yield from _text(node.steps, before + _INDENT)


def step_words(step: Step) -> str:
    """What a step is, in a few words: "4 min hard, round"."""
    return f"{duration_words(step.duration_s)} {step.band.value}, {PART_WORDS[step.part]}"


def target_lines(session: PlannedSession) -> tuple[str, ...]:
    """What its rounds aim at, in the client's words; empty without a target, or with one that cannot be read."""
    found = _target(session)
    if found is None:
        return ()
    target, asked = found
    each = round_lines(target, asked.rounds, asked.work_s) if target.rounds else ()
    by_round = (f"Round {one.number}: {one.pace}, {one.distance} in {one.time}" for one in each)
    return (*target_words(target, asked.work_s), *by_round)


def round_aims(session: PlannedSession) -> tuple[str, ...]:
    """What each of its rounds aims at, first to last, as a clock says it; empty where words are all there is."""
    found = _target(session)
    if found is None:
        return ()
    target, asked = found
    aims = tuple(round_aim(target, number) for number in range(1, asked.rounds + 1))
    return aims if all(aims) else ()


def say_with_aim(cue: Cue, aims: Sequence[str]) -> str:
    """What a clock says at a cue: what the round aims at before the words of its step."""
    return f"{aims[cue.number - 1]} {cue.say}" if aims and cue.number is not None else cue.say


def _target(session: PlannedSession) -> tuple[SessionTarget, RoundsAsked] | None:
    asked = rounds_asked(session)
    try:
        target = target_from_json(session.target_json)
    except DomainError:
        return None
    return None if target is None or asked is None else (target, asked)


def safety_lines(session: PlannedSession, heat: HeatCaution | None, emergency_words: str) -> tuple[str, ...]:
    """What stands before hard or middle work in any text: heat, and the signs that end it at once."""
    if not is_hard_or_middle(session):
        return ()
    stop = STOP_AT_ONCE.format(emergency=emergency_words)
    return (f"Heat. {heat.words}", stop) if heat is not None else (stop,)


def client_text(session: PlannedSession, *, first: Sequence[str] = ()) -> PlainText:
    """A session as text for a message to the client; `first` stands before everything it asks."""
    about = (f"Why: {session.purpose}" if session.purpose else "", f"Where: {session.place}" if session.place else "")
    nodes = from_json(session.steps_json)
    aims = target_lines(session)
    beneath = (*filter(None, about), *first, *aims, *text_lines(nodes), *filter(None, (session.easy_version,)))
    return PlainText(f"{session.title}, {minutes_words(session.minutes)}", "\n".join(beneath))


def calendar_text(session: PlannedSession, *, first: Sequence[str] = ()) -> PlainText:
    """A session as title and notes of a day in a calendar: with a clock that runs from 0:00, repeats written out."""
    nodes = from_json(session.steps_json)
    rounds, title, aims = work_rounds(nodes), session.title, round_aims(session)
    said = tuple(_clocked(cue, rounds, aims) for cue in cues(nodes))
    beneath = (
        *filter(None, (session.purpose, f"Where: {session.place}" if session.place else "")),
        *first,
        *target_lines(session),
        *said,
        *filter(None, (session.easy_version,)),
    )
    return PlainText(f"{title} ({minutes_words(session.minutes)})", "\n".join(beneath))


def _clocked(cue: Cue, rounds: int, aims: Sequence[str]) -> str:
    what = f"{clock_words(cue.starts_s)} {cue_words(cue, rounds)}, {duration_words(cue.duration_s)}"
    return f"{what}: {say_with_aim(cue, aims)}"


def cue_words(cue: Cue, rounds: int) -> str:
    """What a cue is: "round 2 of 4, hard"."""
    what = PART_WORDS[cue.part] if cue.number is None else f"round {cue.number} of {rounds}"
    return f"{what}, {cue.band.value}"


def clock_words(seconds: int) -> str:
    """A time since the start as a clock shows it: "0:00", "12:30", "1:05:00"."""
    minutes, rest = divmod(seconds, SECONDS_A_MINUTE)
    hours, below = divmod(minutes, 60)
    return f"{hours}:{below:02d}:{rest:02d}" if hours else f"{below}:{rest:02d}"
