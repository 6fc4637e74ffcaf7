"""A structured session: a tree of steps with repeats, and the sums and words made from it."""

from __future__ import annotations

import json
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from app.coaching.effort import Band
from app.coaching.reasons import DomainError

SECONDS_A_MINUTE = 60
MOST_REPEATS = 40


class Part(StrEnum):
    """What a step is for."""

    WARM_UP = "warm_up"
    MAIN = "main"
    WORK = "work"
    RECOVERY = "recovery"
    COOL_DOWN = "cool_down"


@dataclass(frozen=True, slots=True)
class Step:
    """One stretch at one effort band. `say` is what the client reads."""

    part: Part
    duration_s: int
    band: Band
    say: str


@dataclass(frozen=True, slots=True)
class Repeat:
    """Steps that are done several times in a row."""

    times: int
    steps: tuple[Step, ...]


Node = Step | Repeat


def flatten(nodes: Sequence[Node]) -> Iterator[Step]:
    """Every step in the order it is done, repeats unrolled."""
    for node in nodes:
        if isinstance(node, Step):
            yield node
        else:
            for _ in range(node.times):
                yield from node.steps


def total_minutes(nodes: Sequence[Node]) -> int:
    """Whole minutes of the session, rounded to the nearest."""
    return round(sum(step.duration_s for step in flatten(nodes)) / SECONDS_A_MINUTE)


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
    """The tree from its JSON text.

    Raises: DomainError when the text is not such a tree.
    """
    try:
        return tuple(_node_in(raw) for raw in json.loads(text))
    except (ValueError, KeyError, TypeError) as problem:
        raise DomainError("these steps cannot be read") from problem


def _node_out(node: Node) -> dict[str, Any]:
    if isinstance(node, Repeat):
        return {"times": node.times, "steps": [_node_out(step) for step in node.steps]}
    return {"part": node.part.value, "s": node.duration_s, "band": node.band.value, "say": node.say}


def _node_in(raw: dict[str, Any]) -> Node:
    if "times" in raw:
        times = int(raw["times"])
        if not 1 <= times <= MOST_REPEATS:
            raise DomainError(f"a set repeats 1 to {MOST_REPEATS} times, not {times}")
        return Repeat(times, tuple(_step_in(step) for step in raw["steps"]))
    return _step_in(raw)


def _step_in(raw: dict[str, Any]) -> Step:
    duration_s = int(raw["s"])
    if duration_s <= 0:
        raise DomainError("a step lasts longer than nothing")
    return Step(Part(raw["part"]), duration_s, Band(raw["band"]), str(raw["say"]))
