"""A structured session: a tree of steps with repeats, and the sums and words made from it."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum

from app.coaching.effort import Band
from app.coaching.reasons import DomainError

SECONDS_A_MINUTE = 60
MOST_REPEATS = 40
#: Sets within sets: so deep a tree may be, so many steps it may come to, and so long one of them may last.
MOST_DEEP = 3
MOST_STEPS = 500
LONGEST_STEP_S = 12 * 60 * SECONDS_A_MINUTE
LONGEST_SAY = 2000
_KEYS_OF_SET, _KEYS_OF_STEP = frozenset({"times", "steps"}), frozenset({"part", "s", "band", "say"})
#: Control characters, half pairs, and the two signs that end a line or a paragraph.
_NOT_ON_A_LINE = re.compile("[\x00-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff]")


class Part(StrEnum):
    """What a step is for."""

    WARM_UP = "warm_up"
    MAIN = "main"
    WORK = "work"
    RECOVERY = "recovery"
    COOL_DOWN = "cool_down"


PART_WORDS = {
    Part.WARM_UP: "warm-up",
    Part.MAIN: "main part",
    Part.WORK: "round",
    Part.RECOVERY: "recovery",
    Part.COOL_DOWN: "cool-down",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One stretch at one effort band. `say` is what the client reads, on one line."""

    part: Part
    duration_s: int
    band: Band
    say: str


@dataclass(frozen=True, slots=True)
class Repeat:
    """Steps, or sets of steps, that are done several times in a row."""

    times: int
    steps: tuple[Node, ...]


Node = Step | Repeat


def flatten(nodes: Sequence[Node]) -> Iterator[Step]:
    """Every step in the order it is done, repeats unrolled."""
    for node in nodes:
        if isinstance(node, Step):
            yield node
        else:
            for _ in range(node.times):
                yield from flatten(node.steps)


def total_seconds(nodes: Sequence[Node]) -> int:
    """How long the whole of it takes."""
    return sum(step.duration_s for step in flatten(nodes))


def total_minutes(nodes: Sequence[Node]) -> int:
    """Whole minutes of the session, rounded to the nearest."""
    return round(total_seconds(nodes) / SECONDS_A_MINUTE)


def minutes_in_band(nodes: Sequence[Node], band: Band) -> float:
    """Minutes of all steps in one band."""
    return sum(step.duration_s for step in flatten(nodes) if step.band is band) / SECONDS_A_MINUTE


def work_rounds(nodes: Sequence[Node]) -> int:
    """How many work steps the session holds."""
    return sum(1 for step in flatten(nodes) if step.part is Part.WORK)


def to_json(nodes: Sequence[Node]) -> str:
    """The tree as JSON text; `from_json` gives the same tree back."""
    return json.dumps([_node_out(node) for node in nodes], ensure_ascii=False, separators=(",", ":"))


def from_json(text: str) -> tuple[Node, ...]:
    """The tree from its JSON text, read strictly: what cannot be kept is refused, never dropped or rounded.

    Raises: DomainError when the text is not such a tree.
    """
    try:
        raw = json.loads(text)
        if not isinstance(raw, list):
            raise TypeError("a session is a list")
        nodes = tuple(_node_in(one) for one in raw)
    except (ValueError, KeyError, TypeError, RecursionError) as problem:
        raise DomainError("these steps cannot be read") from problem
    refuse_nonsense(nodes)
    return nodes


def refuse_nonsense(nodes: Sequence[Node]) -> None:
    """Hold a tree to what every rendering can carry.

    Raises: DomainError for an empty set, too many repeats, steps or levels, a step without length, words in lines.
    """
    if _count(nodes, 0) > MOST_STEPS:
        raise DomainError(f"a session has at most {MOST_STEPS} steps, repeats counted")


def _count(nodes: Sequence[Node], level: int) -> int:
    """How many steps a tree comes to, without unrolling it; refuses on the way what no step or set may be."""
    if level > MOST_DEEP:
        raise DomainError(f"sets stand within sets at most {MOST_DEEP} deep")
    found = 0
    for node in nodes:
        if isinstance(node, Step):
            _refuse_step(node)
            found += 1
        elif not 1 <= node.times <= MOST_REPEATS:
            raise DomainError(f"a set repeats 1 to {MOST_REPEATS} times, not {node.times}")
        elif not node.steps:
            raise DomainError("a set holds at least one step")
        else:
            found += node.times * _count(node.steps, level + 1)
    return found


def _refuse_step(step: Step) -> None:
    if step.duration_s <= 0:
        raise DomainError("a step lasts longer than nothing")
    if step.duration_s > LONGEST_STEP_S:
        raise DomainError(f"a step lasts at most {LONGEST_STEP_S // SECONDS_A_MINUTE} min")
    # What is printable throughout is on one line; looking letter by letter takes ten times as long.
    if len(step.say) > LONGEST_SAY or not (step.say.isprintable() or _NOT_ON_A_LINE.search(step.say) is None):
        raise DomainError(f"a step is said on one line of at most {LONGEST_SAY} letters")


def _node_out(node: Node) -> dict[str, object]:
    if isinstance(node, Repeat):
        return {"times": node.times, "steps": [_node_out(step) for step in node.steps]}
    return {"part": node.part.value, "s": node.duration_s, "band": node.band.value, "say": node.say}


def _node_in(raw: object) -> Node:
    """A set or a step; exact types, since a yes counts as a number and a part of a second would be lost."""
    if isinstance(raw, dict) and raw.keys() == _KEYS_OF_SET:
        if type(raw["times"]) is int and type(raw["steps"]) is list:
            return Repeat(raw["times"], tuple(_node_in(one) for one in raw["steps"]))
    elif isinstance(raw, dict) and raw.keys() == _KEYS_OF_STEP and type(raw["s"]) is int and type(raw["say"]) is str:
        return Step(Part(raw["part"]), raw["s"], Band(raw["band"]), raw["say"])
    raise TypeError("neither a step nor a set")
