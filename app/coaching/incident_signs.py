"""An incident whose words name a sign to stop for while training goes on: asked once more before it is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.hold_rules import covering_hold
from app.coaching.holds import Family, Hold, HoldKind, Stops
from app.coaching.reasons import REASON_ASKED
from app.coaching.symptoms import sign_of
from app.coaching.worrying_words import worrying_words

#: What the words name, as it is said, and the sign whose hold a yes raises.
_NAMED = {
    "chest": ("the chest", "chest"),
    "breath": ("breath", "breath"),
    "faint": ("fainting", "fainted"),
    "dizziness": ("dizziness", "dizzy"),
    "heartbeat": ("the heartbeat", "heartbeat"),
    "jaw or arm": ("the jaw or an arm", "chest"),
    "numbness": ("numbness or one side", "one_side"),
}
#: What an injury explains by itself.
_OF_AN_INJURY = frozenset({"jaw or arm", "numbness"})
WHY_NOT = f"Say why training goes on. {REASON_ASKED}"


def named_unpaused(
    told: Sequence[str], sign: str | None, holds: Sequence[Hold], happened_on: date
) -> tuple[str, ...]:
    """Which signs to stop for the words of an incident name though its hold would not stop all training.

    sign: the sign whose hold it raises, None for none. holds: the client's; nothing is asked where one that stands
    already stops everything and asks for as late a paper.
    Source: house choice.
    """
    chosen = None if sign is None else sign_of(sign)
    is_of_the_body = chosen is not None and chosen.family is not Family.C
    if chosen is not None and (chosen.family is Family.A or chosen.needs_clinician):
        return ()
    if covering_hold(holds, kind=HoldKind.SYMPTOM, stops=Stops.ALL, mode=None, began_on=happened_on) is not None:
        return ()
    found = worrying_words("\n".join(told))
    return tuple(one for one in found if not (is_of_the_body and one in _OF_AN_INJURY))


def sign_named(named: Sequence[str]) -> str:
    """The sign whose hold is raised where a coach says that training stops: the first of those named."""
    return _NAMED[named[0]][1]


def asks_to_pause(named: Sequence[str], sign: str | None, name: str) -> str:
    """The question before such an incident is kept."""
    paused = "Nothing is paused by this record." if sign is None else "Not all training is paused by this record."
    return f"The words speak of {_said(named)}. {paused} Pause all training of {name}?"


def not_paused_words(named: Sequence[str], because: str) -> str:
    """What is added to an incident that was kept without pausing all training."""
    return f"The words speak of {_said(named)}; asked, and not all training was paused: {because}"


def _said(named: Sequence[str]) -> str:
    *others, last = (_NAMED[one][0] for one in named)
    return f"{', '.join(others)} and {last}" if others else last
