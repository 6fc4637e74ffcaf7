"""The morning of everybody a person may read, in a fixed number of queries."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor, Relation, actions_for
from app.coaching.morning import Line, all_signals, morning_of
from app.coaching.people import Client, Origin
from app.coaching.returned import Shown, returned_words
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import accounts, conversations
from app.storage import signals as kept
from app.usecases.gate import readable_clients
from app.usecases.morning.hot import HotDay, heat_noted, hot_day
from app.usecases.morning.opening import UNREAD_MOST, who_is_told_of
from app.usecases.morning.remembered import Remembered, tell
from app.usecases.morning.told import BesideLine, DealtLine, Entry, Told


@dataclass(frozen=True, slots=True)
class MorningLine:
    """One client's line with all that is shown beside it."""

    line: Line
    today: date
    beside: BesideLine
    may_decide: bool
    #: Whether a note would be read on a phone: somebody is signed in there.
    is_signed_in: bool
    #: Of the reasons that were dealt with and are back: what is new, and what the line said then, by name.
    returned: Mapping[str, Returned]


@dataclass(frozen=True, slots=True)
class Returned:
    """Why a line that was dealt with speaks again."""

    sentence: str
    #: None for one that was dealt with before its words were kept.
    said_then: str | None


@dataclass(frozen=True, slots=True)
class MorningPage:
    """Everything the morning shows."""

    today: tuple[MorningLine, ...]
    planning: tuple[MorningLine, ...]
    #: Clients who wait only for their questions, said in one grouped line.
    waiting: tuple[Client, ...]
    #: Those of them whose easy plan goes on meanwhile.
    easy_meanwhile: frozenset[int]
    #: How many more wait for theirs and were put off.
    waiting_put_off: int
    #: Whose hard work waits for a newer text of a consent, said in one grouped line.
    to_agree_again: tuple[Client, ...]
    #: Everybody who has a phone signed in.
    signed_in: frozenset[int]
    clients: tuple[Client, ...]
    #: What is paused of those for whom something is, in short.
    paused: Mapping[int, str]
    #: How many clients have a session that was done or entered yesterday, and of how many it was entered for them.
    logged_yesterday: int
    entered_for: int
    entries: tuple[Entry, ...]
    dealt: tuple[DealtLine, ...]
    #: The heat noted for today; None when nobody noted any.
    hot: HotDay | None


def this_morning(
    db: Session, *, actor: Actor, rules: Rules, now: datetime, remembered: Remembered | None = None
) -> MorningPage:
    """The morning of everybody a person may read; a fixed number of queries however many they are.

    remembered: what was told of clients before; without it everything is worked out afresh.
    """
    readable = readable_clients(db, actor=actor, now=now)
    spoken_of = who_is_told_of(db, readable, now)
    days = {one.id: local_day(now, one.zone) for one in spoken_of}
    heat = heat_noted(db, days.values())
    told = tell(db, spoken_of, rules=rules, now=now, heat=heat, remembered=remembered)
    found = morning_of([one.part for one in told])
    signed_in = accounts.clients_signed_in(db, client_ids=days.keys(), now=now)
    before = {one.id for line in (*found.today, *found.planning) for one in line.back.values()}
    shown = kept.shown_then(db, handled_ids=before)
    lines = {one.client.id: _line(one, actor, is_signed_in=one.client.id in signed_in, shown=shown) for one in told}

    def dress(several: Sequence[Line]) -> tuple[MorningLine, ...]:
        return tuple(dressed for one in several if (dressed := lines[one.client.id]) is not None)

    return MorningPage(
        today=dress(found.today),
        planning=dress(found.planning),
        waiting=found.waiting_for_questions,
        easy_meanwhile=found.easy_meanwhile,
        waiting_put_off=found.waiting_put_off,
        to_agree_again=found.to_agree_again,
        signed_in=signed_in,
        clients=tuple(readable),
        paused={one.client.id: one.paused for one in told if one.paused},
        logged_yesterday=sum(bool(one.logged) for one in told),
        entered_for=sum(bool(one.logged) and Origin.CLIENT not in one.logged for one in told),
        entries=_entries(told, conversations.read_until(db, person_id=actor.person_id)),
        dealt=tuple(line for one in told for line in one.dealt),
        hot=hot_day(heat.values(), (one.in_heat for one in told)),
    )


def _line(one: Told, actor: Actor, *, is_signed_in: bool, shown: Mapping[int, Shown]) -> MorningLine | None:
    line = one.part.line
    if line is None or one.beside is None:
        return None
    is_own = one.client.coach_id == actor.person_id
    relation = Relation.OWN_CLIENT if is_own else Relation.HANDED_OVER
    return MorningLine(
        line=line,
        today=one.today,
        beside=one.beside,
        may_decide=Action.DECIDE in actions_for(actor.role, relation),
        is_signed_in=is_signed_in,
        returned=_returned(line, one.today, shown, reader_id=actor.person_id),
    )


def _returned(line: Line, today: date, shown: Mapping[int, Shown], *, reader_id: int) -> dict[str, Returned]:
    zone, by_name = line.client.zone, {one.name: one for one in all_signals(line)}
    return {
        name: Returned(
            returned_words(by_name[name], before, shown.get(before.id), reader_id=reader_id, today=today, zone=zone),
            shown[before.id].sentence if before.id in shown else None,
        )
        for name, before in line.back.items()
    }


def _entries(told: Iterable[Told], read_until: datetime | None) -> tuple[Entry, ...]:
    """What was entered since the client's yesterday began, or since it was last marked as read when that is longer
    ago; newest first."""
    found = []
    for one in told:
        zone, since = one.client.zone, one.today - timedelta(days=1)
        if read_until is not None:
            since = max(one.today - UNREAD_MOST, min(since, local_day(read_until, zone)))
        found += [
            replace(entry, is_read=True) if _is_read(entry, read_until) else entry
            for entry in one.entries
            if local_day(entry.entered_at, zone) >= since
        ]
    return tuple(sorted(found, key=lambda e: (e.entered_at, e.client.id), reverse=True))


def _is_read(entry: Entry, read_until: datetime | None) -> bool:
    return read_until is not None and entry.entered_at <= read_until
