"""What was reported before a symptom hold, for the clinician: their choice of words and the day, nothing added."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.history import History
from app.coaching.holds import Hold, HoldKind
from app.coaching.symptoms import sign_of


@dataclass(frozen=True, slots=True)
class ReportedLine:
    """One day's report: the sign the client chose and their own words.

    Without a sign the hold was raised by a coach, whose words stay in the record: they may be a guess at what it was.
    """

    on: date
    chosen: str | None
    own_words: str | None


def reported_lines(history: History) -> tuple[ReportedLine, ...]:
    """Everything the open symptom holds are about, in the order of the days; empty without such a hold."""
    held = [hold for hold in history.open_holds if hold.kind is HoldKind.SYMPTOM]
    found = [line for hold in held for line in _of_hold(history, hold)]
    return tuple(sorted(found, key=lambda one: one.on))


def _of_hold(history: History, hold: Hold) -> list[ReportedLine]:
    reports = [one for one in history.symptoms if one.hold_id == hold.id]
    if not reports:
        return [ReportedLine(hold.began_on, None, None)]
    return [ReportedLine(one.felt_on, sign_of(one.sign).words, one.text) for one in reports]
