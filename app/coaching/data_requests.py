"""What a person asks of the practice about their own data: a copy, a correction, erasure; and by when it is due."""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from app.coaching.people import Origin

LONGEST_WORDS = 2000
#: What the law names, for every "Why?" about it.
DUE_SOURCE = "Regulation (EU) 2016/679, Art. 12(3): within one month of receipt, without undue delay"


class DataRequestKind(StrEnum):
    """What is asked for."""

    ACCESS = "access"
    CORRECTION = "correction"
    ERASURE = "erasure"


REQUEST_WORDS = {
    DataRequestKind.ACCESS: "a copy of what is kept",
    DataRequestKind.CORRECTION: "a correction of what is kept",
    DataRequestKind.ERASURE: "erasure of what is kept",
}


@dataclass(frozen=True, slots=True)
class DataRequest:
    """One request, open until a day is kept on which it was answered."""

    id: int
    client_id: int
    kind: DataRequestKind
    asked_on: date
    text: str | None
    origin: Origin
    recorded_at: datetime
    person_id: int
    done_on: date | None
    done_how: str | None
    done_at: datetime | None
    done_by: int | None

    @property
    def is_open(self) -> bool:
        """Whether it waits for its answer."""
        return self.done_on is None

    @property
    def due_on(self) -> date:
        """The last day of the answer."""
        return month_after(self.asked_on)


def month_after(day: date) -> date:
    """The same day of the next month, else that month's last; a rest day moves it no later (house choice, the
    stricter reading)."""
    year, month = divmod(day.year * 12 + day.month, 12)
    last = calendar.monthrange(year, month + 1)[1]
    return date(year, month + 1, min(day.day, last))
