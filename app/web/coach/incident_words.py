"""An incident as the page and the print say it."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.hold_rules import HOLD_WORDS
from app.coaching.incidents import INCIDENT_WORDS, Incident, days_without_word, waits_for_word
from app.coaching.weeks import day_words
from app.usecases.incidents import IncidentFile
from app.web.filters import clock


@dataclass(frozen=True, slots=True)
class IncidentView:
    """One incident in words."""

    id: int
    title: str
    state: str
    is_open: bool
    waits: str | None
    facts: tuple[tuple[str, str], ...]
    recorded: str
    hold: str | None
    entries: tuple[tuple[str, str, str], ...]


def incident_view(one: Incident, file: IncidentFile) -> IncidentView:
    """One incident with its entries, in the order they came."""
    waiting = waits_for_word(one, file.today, file.client.zone)
    days = days_without_word(one, file.today, file.client.zone)
    return IncidentView(
        id=one.id,
        title=f"{day_words(one.happened_on)}, {one.about_when}: {one.activity}",
        state="open" if one.is_open else "closed",
        is_open=one.is_open,
        waits=f"No word for {days} days." if waiting else None,
        facts=(
            ("When", f"{day_words(one.happened_on)}, {one.about_when}"),
            ("What they were doing", one.activity),
            ("Where", one.place),
            ("What was felt or seen", one.symptoms),
            ("What was done", one.action_taken),
            ("How it ended that day", one.outcome),
        ),
        recorded=_written(one.recorded_at, one.person_id, file),
        hold=_hold_words(one, file),
        entries=tuple(
            (INCIDENT_WORDS[entry.word], entry.text, _written(entry.added_at, entry.person_id, file))
            for entry in one.entries
        ),
    )


def _written(at: datetime, person_id: int, file: IncidentFile) -> str:
    local = at.astimezone(ZoneInfo(file.client.zone))
    return f"{day_words(local.date())}, {clock(local)}, by {file.name_of(person_id)}"


def _hold_words(one: Incident, file: IncidentFile) -> str | None:
    hold = file.holds.get(one.hold_id) if one.hold_id is not None else None
    if hold is None:
        return None
    state = "open" if hold.lifted_at is None else "lifted"
    return f"{HOLD_WORDS[hold.kind].capitalize()}: {hold.cause} ({state})"
