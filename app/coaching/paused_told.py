"""What pauses a client's training, told to the coach in one sentence."""

from __future__ import annotations

from collections.abc import Sequence

from app.coaching.hold_rules import StoppedWork, may_train_within
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import PlannedSession
from app.coaching.signals_safety import MODE_NAMES


def paused_words(stopped: StoppedWork) -> str:
    """What is paused and why; "" when nothing is."""
    if stopped.all_because:
        return f"All training is paused: {_sentences(stopped.all_because)}"
    if not stopped.hard_because:
        return ""
    modes = dict.fromkeys(MODE_NAMES[mode].lower() for mode, _ in stopped.modes)
    what = " and ".join(dict.fromkeys((*modes, "hard work")))
    paused = f"{what[:1].upper()}{what[1:]} {'are' if modes else 'is'} paused"
    return f"{paused}: {_sentences(stopped.hard_because)}"


def not_drafted(stopped: StoppedWork, session: PlannedSession, name: str) -> str:
    """Why hard or middle work is not even drafted for a client who is stopped; "" where nothing speaks against it.

    What is refused at publishing would only lie there waiting, and be sent the day the pause ends.
    """
    if session.is_cancelled or not is_hard_or_middle(session) or not may_train_within(stopped, session).is_paused:
        return ""
    return f"No hard or middle work for {name} now. {paused_words(stopped)}"


def _sentences(because: Sequence[str]) -> str:
    """Reasons behind a colon: the first goes on, each other is a sentence of its own."""
    first, *others = (one.replace("your coach", "the coach") for one in because)
    return " ".join([first, *(f"{one[:1].upper()}{one[1:]}" for one in others)])
