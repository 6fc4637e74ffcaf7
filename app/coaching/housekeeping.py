"""Lines of the morning about the practice's own duties: a copy that is too old, a request about data that is due."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.coaching.data_requests import DUE_SOURCE, REQUEST_WORDS, DataRequest
from app.coaching.reasons import Provenance, Why
from app.coaching.rules import Rules
from app.coaching.signals_values import Shelf, why
from app.coaching.weeks import day_words
from app.coaching.words import counted, short_day

#: So many days before it is due a request is said before anything is planned (house choice).
DUE_SOON_DAYS = 3


@dataclass(frozen=True, slots=True)
class HouseLine:
    """One duty that waits, with its reasons; it goes when it is done, and is neither handled nor put off."""

    name: str
    shelf: Shelf
    sentence: str
    why: Why
    #: The client and the request it is about; None for the practice as a whole.
    client_id: int | None = None
    request_id: int | None = None


def backup_stale(newest_on: date | None, begun_on: date, today: date, rules: Rules) -> HouseLine | None:
    """The last verified copy of the practice is older than it may be, or none was ever made.

    newest_on: the day of the newest copy that read back whole; begun_on: since when the practice is kept here.
    """
    days = (today - (newest_on or begun_on)).days
    if days <= rules.backup_days:
        return None
    last = (
        f"The last copy of the practice is {counted(days, 'day')} old, of {short_day(newest_on)}"
        if newest_on
        else f"No copy of the practice was made since it began on {day_words(begun_on)}"
    )
    reasons = why(
        "A copy that was read back whole, at least every so many days, and one of them on another machine.",
        ("last copy", day_words(newest_on) if newest_on else "none in the folder of copies"),
        ("days", str(days)),
        ("limit", f"{rules.backup_days} days"),
        would_change="A new copy.",
    )
    return HouseLine("backup_stale", Shelf.PLANNING, f"{last}; every {rules.backup_days} days is the rule.", reasons)


def request_due(request: DataRequest, today: date) -> HouseLine | None:
    """A request about somebody's data that is not answered: from three days before it is due it stands first."""
    if not request.is_open:
        return None
    due_on = request.due_on
    left = (due_on - today).days
    what = REQUEST_WORDS[request.kind]
    if left < 0:
        due = f"it was due on {day_words(due_on)}, {counted(-left, 'day')} ago"
    else:
        due = (
            f"due today, {day_words(due_on)}"
            if left == 0
            else f"due in {counted(left, 'day')}, on {day_words(due_on)}"
        )
    reasons = why(
        "A request about somebody's own data is answered within one month. It may take two more where it is hard to "
        "answer, if the person is told why within the first month: write that down with the request. Local rules may "
        "say more.",
        ("asked on", day_words(request.asked_on)),
        ("due on", day_words(due_on)),
        provenance=Provenance.FROM_MEMORY,
        source=DUE_SOURCE,
        would_change="The answer, kept with its day.",
    )
    return HouseLine(
        "request_due",
        Shelf.TODAY if left <= DUE_SOON_DAYS else Shelf.PLANNING,
        f"Asked on {short_day(request.asked_on)} for {what}: {due}.",
        reasons,
        client_id=request.client_id,
        request_id=request.id,
    )
