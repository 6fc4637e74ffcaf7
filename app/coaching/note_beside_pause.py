"""What stands beside a note to a client who is stopped: to whoever writes it, and to the client who reads it.

Warm words are read as leave to train. No note lifts anything, so the pause is said again next to it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from app.coaching.client_voice import waits_only_for_answers
from app.coaching.history import History
from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Hold, Stops
from app.coaching.leave_to_train import stopped_beside_holds, stopped_now
from app.coaching.paused_together import PausedTogether, paused_together
from app.coaching.paused_told import paused_words
from app.coaching.people import Note, Visibility
from app.coaching.rules import Rules


def standing_pause(history: History, today: date, rules: Rules) -> StoppedWork:
    """Everything that is stopped now; nothing where hard work only waits as it does for everybody in the base."""
    stopped = stopped_now if history.open_holds else stopped_beside_holds
    return stopped(history, today, rules)


def told_to_writer(history: History, today: date, rules: Rules) -> str:
    """What is paused and why, to the coach who writes a note; "" when nothing is."""
    return paused_words(standing_pause(history, today, rules))


def told_in_short(history: History, today: date, rules: Rules) -> str:
    """What is paused, behind a name in a list: "running and hard work"; "" when nothing is."""
    what, _ = _paused(paused_together(standing_pause(history, today, rules)), all_training="all training")
    return f"{what[:1].lower()}{what[1:]}"


def told_to_reader(
    together: PausedTogether, holds: Sequence[Hold], written_at: datetime, *, waits_for_answers: bool
) -> str:
    """That a pause still stands, beside a note the client reads; "" when nothing is paused.

    holds: the open ones; a note that was written before one of them says so.
    """
    if waits_for_answers:
        return "Your training still waits for your answers, whatever this note says."
    what, verb = _paused(together, all_training="Your training")
    if not what:
        return ""
    earlier = "Your coach wrote this before the pause. " if any(one.raised_at > written_at for one in holds) else ""
    return f"{earlier}{what} {verb} still paused, whatever this note says."


@dataclass(frozen=True, slots=True)
class NoteShown:
    """A note as the client reads it."""

    note: Note
    #: That a pause still stands; "" while nothing is paused.
    pause: str


def notes_shown(notes: Sequence[Note], history: History, today: date, rules: Rules) -> tuple[NoteShown, ...]:
    """Those of the notes that are to the client, each with what stands beside it."""
    stopped = standing_pause(history, today, rules)
    together, waits = paused_together(stopped), waits_only_for_answers(history, stopped)
    return tuple(
        NoteShown(one, told_to_reader(together, history.open_holds, one.written_at, waits_for_answers=waits))
        for one in notes
        if one.visibility is Visibility.CLIENT
    )


def _paused(together: PausedTogether, *, all_training: str) -> tuple[str, str]:
    """What is paused, with the verb that goes with it."""
    if together.stops is None:
        return "", ""
    if together.stops is Stops.ALL:
        return all_training, "is"
    if together.modes:
        return f"{together.mode_words} and hard work", "are"
    return "Hard work", "is"
