"""What was worked out of the history asked about last is kept: many rules ask the same of one client in a row."""

from __future__ import annotations

from collections import deque
from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec, TypeVar

from app.coaching.history import History

P = ParamSpec("P")
R = TypeVar("R")


def kept_for_last(work: Callable[Concatenate[History, P], R]) -> Callable[Concatenate[History, P], R]:
    """A function of one history and a few small values that answers at once when it is asked the same again.

    The history is held by identity, for values are never changed. Of one history alone, its last two questions: as
    of a day, and as of all days.
    """
    last: deque[tuple[History, tuple[object, ...], dict[str, object], R]] = deque(maxlen=2)

    @wraps(work)
    def asked(history: History, /, *args: P.args, **named: P.kwargs) -> R:
        for of, same_args, same_named, found in tuple(last):
            if of is history and same_args == args and same_named == named:
                return found
        found = work(history, *args, **named)
        if last and last[-1][0] is not history:
            last.clear()
        last.append((history, args, dict(named), found))
        return found

    return asked
