"""The morning: one line a client, what must be decided before they start first, then what can wait for planning."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from itertools import chain

from app.coaching.asked_afresh import newer_text_stop
from app.coaching.history import Handled, History
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Client, ClientState
from app.coaching.returned import dealt_before
from app.coaching.rules import Rules
from app.coaching.signals import Family, Scene, Shelf, Signal, look, safety_rank
from app.coaching.weeks import local_day

WAITING = "waiting_for_questions"
_IN_TRAINING = frozenset({ClientState.ACTIVE, ClientState.WAITING_FOR_CLEARANCE})


@dataclass(frozen=True, slots=True)
class Line:
    """One client's line: the top reason, and the others behind it."""

    client: Client
    top: Signal
    more: tuple[Signal, ...]
    #: What the reasons stand on, for the ribbon beside them; no part of what the line says.
    scene: Scene | None = field(default=None, compare=False)
    #: The reasons that were dealt with and speak again since they have other evidence, by name.
    back: Mapping[str, Handled] = field(default_factory=dict)

    @property
    def shelf(self) -> Shelf:
        """The shelf of its top reason."""
        return self.top.shelf


@dataclass(frozen=True, slots=True)
class Morning:
    """Both shelves in order, and the clients who wait only for their questions, as one group."""

    today: tuple[Line, ...]
    planning: tuple[Line, ...]
    waiting_for_questions: tuple[Client, ...]
    #: Those of them whose easy plan goes on meanwhile; of the others nothing begins.
    easy_meanwhile: frozenset[int]
    #: How many more wait whose line was put off.
    waiting_put_off: int
    #: Whose hard work waits for a text that changed after they agreed to it, said in one line for all.
    to_agree_again: tuple[Client, ...]
    clients: int

    @property
    def lines(self) -> int:
        """Lines on both shelves."""
        return len(self.today) + len(self.planning)


@dataclass(frozen=True, slots=True)
class Part:
    """One client's part of a morning: what follows from their own records, their own today and the rules alone."""

    client: Client
    #: Everything that wants the coach's eye, dealt with or not.
    every: tuple[Signal, ...]
    #: None when nothing of it is still to be said in a line of their own.
    line: Line | None
    is_waiting: bool
    is_put_off: bool
    #: Waits for the questions while the easy plan goes on.
    is_easy_meanwhile: bool
    has_to_agree_again: bool


def morning(
    histories: Sequence[History],
    today_by_client: Mapping[int, date],
    rules: Rules,
    handled: Iterable[Handled] = (),
) -> Morning:
    """The morning of some clients, each on their own today.

    Safety first (symptoms before papers), then hard work planned today with a doubt, then the rest by age of
    evidence, then by name. There is no score. A line handled stays away until its key changes, one put off until its
    date; a safety line cannot be put off past the day.
    """
    given = list(handled)
    return morning_of([part_of(one, today_by_client[one.client.id], rules, given) for one in histories])


def part_of(history: History, today: date, rules: Rules, handled: Sequence[Handled] = ()) -> Part:
    """One client's part of the morning."""
    dealt = [*handled, *history.handled]
    every, scene = look(history, today, rules)
    found = [s for s in every if not is_dealt_with(s, dealt, today, history.client.zone)]
    is_waiting = any(signal.name == WAITING for signal in found)
    said = [s for s in found if s.name != WAITING or s.family is Family.SAFETY]
    back = _back(said, dealt, today, history.client.zone)
    return Part(
        client=history.client,
        every=every,
        line=Line(history.client, said[0], tuple(said[1:]), scene, back) if said else None,
        is_waiting=is_waiting,
        is_put_off=not is_waiting and any(signal.name == WAITING for signal in every),
        is_easy_meanwhile=is_waiting and not stopped_now(history, today, rules).all_because,
        has_to_agree_again=history.client.state in _IN_TRAINING and newer_text_stop(history) is not None,
    )


def morning_of(parts: Sequence[Part]) -> Morning:
    """The morning from the parts of its clients, in the order `morning` says."""
    ordered = sorted((one.line for one in parts if one.line is not None), key=_order)
    return Morning(
        today=tuple(line for line in ordered if line.shelf is Shelf.TODAY),
        planning=tuple(line for line in ordered if line.shelf is Shelf.PLANNING),
        waiting_for_questions=_by_name(one for one in parts if one.is_waiting),
        easy_meanwhile=frozenset(one.client.id for one in parts if one.is_easy_meanwhile),
        waiting_put_off=sum(one.is_put_off for one in parts),
        to_agree_again=_by_name(one for one in parts if one.has_to_agree_again),
        clients=len(parts),
    )


def _by_name(parts: Iterable[Part]) -> tuple[Client, ...]:
    return tuple(sorted((one.client for one in parts), key=lambda client: (client.name, client.id)))


def is_dealt_with(signal: Signal, handled: Iterable[Handled], today: date, zone: str) -> bool:
    """Whether a line was handled with this very key, or put off and its date has not come."""
    fitting = (
        one for one in handled if (one.client_id, one.signal, one.key) == (signal.client_id, signal.name, signal.key)
    )
    return any(_keeps_away(one, signal, today, zone) for one in fitting)


def _back(said: Iterable[Signal], dealt: Sequence[Handled], today: date, zone: str) -> dict[str, Handled]:
    found = ((one.name, dealt_before(one, dealt, today, zone)) for one in said)
    return {name: before for name, before in found if before is not None}


def _keeps_away(one: Handled, signal: Signal, today: date, zone: str) -> bool:
    if one.until_on is None:
        return True
    if signal.family is Family.SAFETY:
        return today < one.until_on and local_day(one.at, zone) == today
    return today < one.until_on


def _order(line: Line) -> tuple[int, int, bool, date, str, int]:
    top = line.top
    return (top.family, safety_rank(top), not top.stops_all, top.evidence_on, line.client.name, line.client.id)


def all_signals(line: Line) -> tuple[Signal, ...]:
    """Every reason of a line, the top one first."""
    return tuple(chain((line.top,), line.more))
