"""A planned session made smaller: fewer rounds, fewer minutes, or done on foot."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from app.coaching.distance_told import without_distance
from app.coaching.easy_version import eased
from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_shapes import SessionContent, Shape, shape_of, steady_content
from app.coaching.session_target import fewer_rounds, lowered, target_from_json, target_to_json
from app.coaching.steps import (
    Node,
    Part,
    Repeat,
    Step,
    from_json,
    minutes_in_band,
    to_json,
    total_minutes,
    work_rounds,
)
from app.coaching.words import counted, percent

#: Plans are written in steps of five minutes, and none is shorter than ten.
STEP_MIN = 5
LEAST_MIN = 10
_COUNT = re.compile(r"[0-9]+(?= ×)")
_COUNTED = re.compile(r": [0-9]+ rounds?$")


def with_rounds(session: PlannedSession, rounds: int, *, target_off: float = 0.0) -> PlannedSession | None:
    """The session with at most so many rounds; None when its steps do not tell rounds apart. Sets go whole.

    target_off: how much lower than the last target the client is asked to aim; a target with figures is lowered, else
    it is said in the purpose.
    """
    try:
        nodes = from_json(session.steps_json)
    except DomainError:
        return None
    there = work_rounds(nodes)
    if session.kind is not SessionKind.INTERVALS or there == 0 or rounds < 1:
        return None
    kept = _without(nodes, max(0, there - rounds))
    left = work_rounds(kept)
    if left == 0:
        return None
    target = target_from_json(session.target_json)
    has_figure = target is not None and target.has_figures
    lower = f" Aim {percent(target_off)} under your last target." if target_off and not has_figure else ""
    return replace(
        session,
        title=session.title if there <= rounds else _title(session.title, left),
        purpose=f"{session.purpose}{lower}",
        minutes=total_minutes(kept),
        hard_minutes=minutes_in_band(kept, Band.HARD),
        rounds=left,
        steps_json=to_json(kept),
        target_json=target_to_json(lowered(fewer_rounds(target, left), target_off)),
    )


def with_minutes(session: PlannedSession, minutes: int, rules: Rules, *, mode: Mode | None = None) -> PlannedSession:
    """An easy session of so many minutes, done as it is planned or another way; harder ones become easy.

    A standard loop that is shortened or walked is no loop any more, so it becomes an easy outing.
    """
    by = mode or session.mode
    if (minutes, by) != (session.minutes, session.mode):
        session = without_distance(session)
    shape = shape_of(session) if shape_of(session) in (Shape.EASY, Shape.LONGEST) else Shape.EASY
    content = steady_content(shape, by, minutes, rules)
    keeps_name = shape is shape_of(session) and by is session.mode
    return _as(session, content, by, title=session.title if keeps_name else content.title)


def on_foot(session: PlannedSession, rules: Rules) -> PlannedSession:
    """The session as an easy walk of the same minutes; a harder one as its easy version on foot."""
    easy = session if session.kind is SessionKind.EASY else eased(session)
    return with_minutes(easy, easy.minutes, rules, mode=Mode.WALK)


def share_of(minutes: int, share: float) -> int:
    """A share of some minutes, down to whole steps of five and never under ten, nor above what it was."""
    return min(minutes, max(LEAST_MIN, int(minutes * share / STEP_MIN + 1e-9) * STEP_MIN))


def _as(session: PlannedSession, content: SessionContent, mode: Mode, *, title: str) -> PlannedSession:
    return replace(
        session,
        kind=content.kind,
        mode=mode,
        title=title,
        purpose=session.purpose if title == session.title else content.purpose,
        minutes=content.minutes,
        hard_minutes=content.hard_minutes,
        is_hard=content.is_hard,
        rounds=content.rounds,
        steps_json=content.steps_json,
        easy_version=content.easy_version,
        target_json=None,
    )


def _without(nodes: Sequence[Node], too_many: int) -> tuple[Node, ...]:
    """The steps without some rounds, taken from the front so that the last one keeps its words."""
    left = list(nodes)
    while too_many > 0:
        place = next(place for place, node in enumerate(left) if _holds_work(node))
        node = left[place]
        if isinstance(node, Repeat):
            left[place : place + 1] = [replace(node, times=node.times - 1)] if node.times > 1 else []
            too_many -= work_rounds(node.steps)
        else:
            follows = left[place + 1 : place + 2]
            is_rest = any(isinstance(one, Step) and one.part is Part.RECOVERY for one in follows)
            del left[place : place + 1 + is_rest]
            too_many -= 1
    return tuple(left)


def _holds_work(node: Node) -> bool:
    return work_rounds((node,)) > 0


def _title(title: str, rounds: int) -> str:
    if _COUNT.search(title):
        return _COUNT.sub(str(rounds), title, count=1)
    return f"{_COUNTED.sub('', title)}: {counted(rounds, 'round')}"[:200]
