"""What waits of one client's plan to be published, and what publishing it would break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.consents import ASKED_FOR_EVERYTHING, ASKED_FOR_HARD_WORK, missing_words
from app.coaching.lookahead import Breach, may_publish, needs_reason
from app.coaching.lookahead_gathered import Gathered, gathered
from app.coaching.people import Client
from app.coaching.plan_message import plan_message
from app.coaching.plan_weeks import PlanEntry
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.screening import Consent
from app.coaching.weeks import week_start

#: From this weekday on the week that is written is the coming one (house choice).
_SATURDAY = 5


def week_to_send(today: date) -> date:
    """Monday of the week that is sent next: this one, and from Saturday on the coming one."""
    return week_start(today) + timedelta(weeks=1 if today.weekday() >= _SATURDAY else 0)


@dataclass(frozen=True, slots=True)
class Waiting:
    """The changes that would go out for one client."""

    client: Client
    today: date
    entries: tuple[PlanEntry, ...]
    found: tuple[Breach, ...]
    #: Which consents are missing for what goes, and what waits for each; None when none is.
    not_agreed: str | None = None

    @property
    def told(self) -> tuple[Gathered, ...]:
        """What it would break, each thing once."""
        return gathered(self.found, sum(entry.is_going for entry in self.entries))

    @property
    def message(self) -> str:
        """A first wording of what is said to the client along with it; "" where no phone would show it."""
        return plan_message(self.client.name, self.entries) if self.client.has_phone else ""

    @property
    def seen(self) -> str:
        """The versions looked at, to notice when they change meanwhile."""
        return ",".join(str(entry.session.version_id) for entry in self.entries)

    @property
    def is_refused(self) -> bool:
        """Whether something in it may not be published."""
        return not may_publish(self.found)

    @property
    def asks_reason(self) -> bool:
        """Whether a reason is asked for: by the look ahead, or because today's session changes under the client."""
        return needs_reason(self.found) or any(self.is_same_day(entry) for entry in self.entries)

    def is_same_day(self, entry: PlanEntry) -> bool:
        """Whether it changes what the client was given for today."""
        return entry.frozen_on == self.today


def missing_consents(consents: Sequence[Consent], entries: Sequence[PlanEntry]) -> str | None:
    """Which consents what goes asks for and the client has not given."""
    has_hard = any(entry.is_going and is_hard_or_middle(entry.session) for entry in entries)
    kinds = (*ASKED_FOR_EVERYTHING, *ASKED_FOR_HARD_WORK) if has_hard else ASKED_FOR_EVERYTHING
    return missing_words(consents, kinds)
