"""A planned session with fewer or more minutes and the same work in it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.coaching.distance_told import without_distance
from app.coaching.effort import Band
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import Shape, shape_of, steady_content
from app.coaching.steps import SECONDS_A_MINUTE, Node, Part, Step, from_json, to_json, total_minutes

#: Less of its main part than this is not a session any more.
_MAIN_LEAST_S = 5 * SECONDS_A_MINUTE
_STEADY = (Shape.EASY, Shape.LONGEST, Shape.LOOP)


def resized(session: PlannedSession, minutes: int, rules: Rules) -> PlannedSession:
    """The session with so many minutes: only easy time is taken or added, and its words stay.

    A distance it told is told no more.

    Raises: DomainError when it holds too little easy time for that.
    """
    session = without_distance(session)
    if _is_as_made(session, rules):
        return _made_anew(session, minutes, rules)
    nodes = _less(from_json(session.steps_json), (session.minutes - minutes) * SECONDS_A_MINUTE)
    if total_minutes(nodes) != minutes:
        raise DomainError("its steps and its minutes do not agree")
    return replace(session, minutes=minutes, steps_json=to_json(nodes))


def _is_as_made(session: PlannedSession, rules: Rules) -> bool:
    """Whether it is a steady session with the steps it would be given."""
    shape = shape_of(session)
    return shape in _STEADY and (
        steady_content(shape, session.mode, session.minutes, rules).steps_json == session.steps_json
    )


def _made_anew(session: PlannedSession, minutes: int, rules: Rules) -> PlannedSession:
    steps_json = steady_content(shape_of(session), session.mode, minutes, rules).steps_json
    return replace(session, minutes=minutes, steps_json=steps_json)


def _less(nodes: Sequence[Node], seconds: int) -> tuple[Node, ...]:
    places = [n for n, node in enumerate(nodes) if _may_give(node, seconds)]
    if not places:
        raise DomainError("it holds too little easy time for that")
    place = max(places, key=lambda n: _duration(nodes[n]))
    return tuple(_shorter_step(node, seconds) if n == place else node for n, node in enumerate(nodes))


def _may_give(node: Node, seconds: int) -> bool:
    """Whether a step is easy main work long enough; warm-up, rounds and cool-down are left whole."""
    is_easy_main = isinstance(node, Step) and node.part is Part.MAIN and node.band is Band.EASY
    return is_easy_main and _duration(node) - seconds >= _MAIN_LEAST_S


def _duration(node: Node) -> int:
    return node.duration_s if isinstance(node, Step) else 0


def _shorter_step(node: Node, seconds: int) -> Node:
    return replace(node, duration_s=node.duration_s - seconds) if isinstance(node, Step) else node
