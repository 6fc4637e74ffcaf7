"""What waits of one client's plan to be published, and what publishing it would break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta

from app.coaching.consents import ASKED_FOR_EVERYTHING, ASKED_FOR_HARD_WORK, current_consent, missing_words
from app.coaching.lookahead import Breach, Level, may_publish, needs_reason
from app.coaching.lookahead_gathered import Gathered, gathered
from app.coaching.people import Client
from app.coaching.plan_message import plan_message
from app.coaching.plan_weeks import PlanEntry
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.screening import Consent, ConsentKind
from app.coaching.weeks import week_start

#: From this weekday on the week that is written is the coming one (house choice).
_SATURDAY = 5
#: Said where a plan goes to somebody who has not agreed; what the client was promised is a talk first.
_TALK_FIRST = "the client may want to ask first, and was told that you talk it over."
NOT_COACHED = f"“Being coached” is not agreed to: {_TALK_FIRST}"
#: What a client reads beside a change of today that nobody gave a reason of its own, where one sending goes to many.
TODAY_CHANGED = "It is part of a change of your plan. Ask if you would like to know why."


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
    #: Every consent the client gave.
    consents: tuple[Consent, ...] = ()
    #: The days on which the client keeps something that does not change now.
    standing_on: frozenset[date] = frozenset()

    @property
    def not_agreed(self) -> str | None:
        """Which consents are missing for what goes, and what waits for each; None when none is."""
        return missing_consents(self.consents, self.entries)

    @property
    def is_before_the_talk(self) -> bool:
        """Whether sessions go to somebody who has not agreed to being coached; taking some away asks nothing."""
        return any(one.is_going for one in self.entries) and not is_coached(self.consents)

    @property
    def talk_first(self) -> str:
        """Why a talk comes before these sessions, and that sending them all the same is asked about; "" when none."""
        said = f"{_TALK_FIRST.capitalize()} Sending it all the same asks for a reason."
        return said if self.is_before_the_talk else ""

    @property
    def told(self) -> tuple[Gathered, ...]:
        """What it would break, each thing once."""
        return gathered(self.found, sum(entry.is_going for entry in self.entries))

    @property
    def message(self) -> str:
        """A first wording of what is said to the client along with it; "" where no phone would show it."""
        return plan_message(self.client.name, self.entries, self.standing_on) if self.client.has_phone else ""

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
        """Whether a reason is asked for: by the look ahead, an open consent, or a change of the client's today."""
        return self.is_against or bool(self.today_changes)

    @property
    def is_against(self) -> bool:
        """Whether it goes out against something: the look ahead asks, or a talk comes first."""
        return self.is_before_the_talk or needs_reason(self.found)

    @property
    def today_changes(self) -> tuple[PlanEntry, ...]:
        """What changes today for somebody who was given it otherwise."""
        return tuple(entry for entry in self.entries if self.is_same_day(entry))

    @property
    def unexplained(self) -> tuple[PlanEntry, ...]:
        """The changes of today that carry no reason the client could read."""
        return tuple(entry for entry in self.today_changes if not entry.session.reason)

    @property
    def today_words(self) -> str:
        """Why a change of today asks for a reason, and which the client reads beside it; "" when today stays."""
        if not self.today_changes:
            return ""
        given = dict.fromkeys(entry.session.reason for entry in self.today_changes if entry.session.reason)
        read = f" Read beside it on the phone: {' '.join(f'“{reason}”' for reason in given)}" if given else ""
        return f"It changes the plan of today, which {self.client.name} has already: that asks for a reason.{read}"

    @property
    def said(self) -> tuple[str, ...]:
        """What stood against it when it was looked at, as the trail keeps it."""
        of_plan = tuple(f"{breach.level.value}: {breach.sentence}" for breach in self.found)
        return (*of_plan, f"{Level.ASKS.value}: {NOT_COACHED}") if self.is_before_the_talk else of_plan

    def is_same_day(self, entry: PlanEntry) -> bool:
        """Whether it changes what the client was given for today, or brings what was given for another day to it."""
        return entry.frozen_on is not None and self.today in (entry.frozen_on, entry.session.planned_on)


def is_coached(consents: Sequence[Consent]) -> bool:
    """Whether the consent to being coached is in force."""
    return current_consent(consents, ConsentKind.COACHING) is not None


def missing_consents(consents: Sequence[Consent], entries: Sequence[PlanEntry]) -> str | None:
    """Which consents what goes asks for and the client has not given."""
    has_hard = any(entry.is_going and is_hard_or_middle(entry.session) for entry in entries)
    kinds = (*ASKED_FOR_EVERYTHING, *ASKED_FOR_HARD_WORK) if has_hard else ASKED_FOR_EVERYTHING
    return missing_words(consents, kinds)
