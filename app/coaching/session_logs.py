"""What was done: the log of a session, its rounds, and the words of the form."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.effort import Talk
from app.coaching.people import Mode, Origin
from app.coaching.prescriptions import SessionKind

#: A distance or a rating that stood in a column of its own and is kept in the note.
_FIGURE_OF_A_FILE = re.compile(r"[0-9.,]+ km(?: \([0-9.,]+ miles\))?|Effort [0-9.,]+ on the 6-20 scale\..*")


class Answer(StrEnum):
    """What the client says became of a planned session."""

    AS_PLANNED = "as_planned"
    PARTLY = "partly"
    EASY_VERSION = "easy_version"
    SOMETHING_ELSE = "something_else"
    NOT_DONE = "not_done"


class Posture(StrEnum):
    """How the client stood right after the last round."""

    STOOD = "stood"
    HANDS_ON_KNEES = "hands_on_knees"
    BENT_OR_SAT = "bent_or_sat"


class WhyNot(StrEnum):
    """Why a session was not done; asked kindly, from a short list."""

    NO_TIME = "no_time"
    TIRED = "tired"
    ILL = "ill"
    SORE = "sore"
    WEATHER = "weather"
    TRAVEL = "travel"
    CARING = "caring"
    FORGOT = "forgot"
    NOT_IN_THE_MOOD = "not_in_the_mood"
    OTHER = "other"


class SpoiltBy(StrEnum):
    """What spoilt a hard session without being the client's doing; it then counts as neither good nor bad."""

    HEAT = "heat"
    KIT = "kit"
    TRAFFIC = "traffic"


@dataclass(frozen=True, slots=True)
class RoundDone:
    """One work round as entered."""

    number: int
    duration_s: int
    is_complete: bool
    power_w: float | None
    speed_m_per_s: float | None
    heart_rate_end_bpm: int | None
    cadence_per_min: float | None
    effort: float | None
    heart_rate_mean_bpm: int | None = None
    #: Counted in the round, by whoever swims or rows it.
    strokes: int | None = None
    #: How the client stood right after this one.
    posture: Posture | None = None


@dataclass(frozen=True, slots=True)
class SessionLog:
    """One entry about one session on one local day."""

    id: int
    client_id: int
    #: The planned session the entry answers; None for something extra.
    planned_session_id: int | None
    done_on: date
    answer: Answer
    kind: SessionKind
    mode: Mode
    #: Endurance minutes done, warm-up and recoveries included; None when not done.
    minutes: float | None
    effort: float | None
    talk: Talk | None
    #: The client felt it as a race, a match or an all-out effort, whatever was planned.
    felt_all_out: bool
    posture: Posture | None
    why_not: WhyNot | None
    spoilt_by: SpoiltBy | None
    note: str | None
    origin: Origin
    entered_at: datetime
    person_id: int
    #: Entered more than 48 h after the day.
    from_memory: bool
    rounds: tuple[RoundDone, ...]
    revision: int
    #: Heavy leg strength or a long hill: not hard, and hard work waits a day after it.
    heavy_legs: bool = False
    #: Whether the first half minute of a round hurt; None is not said.
    first_30_hurt: bool | None = None

    @property
    def own_words(self) -> str | None:
        """The note without the figures that bringing a file in puts there; None when nobody wrote a word."""
        lines = (self.note or "").splitlines()
        if self.origin is Origin.FILE:
            lines = [line for line in lines if not _FIGURE_OF_A_FILE.fullmatch(line.strip())]
        return "\n".join(lines).strip() or None
