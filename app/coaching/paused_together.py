"""What is paused for a client, everything in force taken as one, told in the client's words."""

from __future__ import annotations

from dataclasses import dataclass

from app.coaching.hold_rules import StoppedWork
from app.coaching.holds import Stops
from app.coaching.people import Mode
from app.coaching.signals_safety import MODE_NAMES


@dataclass(frozen=True, slots=True)
class PausedTogether:
    """How much is paused at once; None when nothing is."""

    stops: Stops | None = None
    #: Ways of moving that are paused by themselves, each once.
    modes: tuple[Mode, ...] = ()

    @property
    def is_walking_paused(self) -> bool:
        """Whether walking is paused by itself, so that no walk is offered instead."""
        return Mode.WALK in self.modes

    @property
    def mode_words(self) -> str:
        """The paused ways of moving at the head of a sentence: "Walking, running"."""
        names = [MODE_NAMES[mode] for mode in self.modes]
        return ", ".join([*names[:1], *(name[:1].lower() + name[1:] for name in names[1:])])


def paused_together(stopped: StoppedWork) -> PausedTogether:
    """Everything that is stopped, as one pause: the strictest decides what is left to do."""
    modes = tuple(dict.fromkeys(mode for mode, _ in stopped.modes))
    if stopped.all_because:
        return PausedTogether(Stops.ALL, modes)
    if modes:
        return PausedTogether(Stops.MODE_AND_HARD, modes)
    return PausedTogether(Stops.HARD if stopped.hard_because else None)
