"""One block for several clients, written for each from their own records: what differs, what is refused and why."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Client, Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.protocols import IntervalProtocol, protocol_of
from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.rules import Rules
from app.coaching.session_steps import NOUNS
from app.coaching.words import counted, minutes_words, short_day
from app.usecases.gate import planned_clients
from app.usecases.plan_blocks.opening import BlockDesk, open_blocks
from app.usecases.plan_blocks.previewing import preview_base, preview_intervals
from app.usecases.plan_blocks.wishes import BaseWish, BlockPreview, HardWish
from app.usecases.plan_blocks.writing import keep_block


@dataclass(frozen=True, slots=True)
class Different:
    """What is wished otherwise for one client; what is None or empty is as for the group."""

    starts_on: date | None = None
    #: What they move by.
    mode: Mode | None = None
    #: Of a base block.
    start_minutes: int | None = None
    target_minutes: int | None = None
    every: int | None = None
    #: Of an interval block.
    volume_minutes: int | None = None
    hard_weekdays: tuple[int, ...] = ()

    @property
    def words(self) -> str:
        """All of it in a sentence; "" when nothing is different."""
        said = (
            self.starts_on and f"first week {short_day(self.starts_on)}",
            self.mode and f"by {NOUNS[self.mode]}",
            self.start_minutes and f"starts at {minutes_words(self.start_minutes)} a week",
            self.target_minutes and f"up to {minutes_words(self.target_minutes)} a week",
            self.every and f"an easier week every {self.every} weeks",
            self.volume_minutes and f"{minutes_words(self.volume_minutes)} a week",
            self.hard_weekdays and f"hard on {_weekdays_words(self.hard_weekdays)}",
        )
        found = "; ".join(one for one in said if one)
        return f"Different from the group: {found}." if found else ""


AS_THE_GROUP = Different()


@dataclass(frozen=True, slots=True)
class GroupWish:
    """What is the same for everybody; the rest comes from each client's own records."""

    starts_on: date
    weeks: int
    #: None: a base block; else the library's entry of the hard sessions.
    protocol_key: str | None
    #: Days asked for hard sessions; a client without any of them gets their own days.
    hard_weekdays: tuple[int, ...] = ()
    may_replace: bool = False
    may_cancel: bool = False
    #: The entry where it is one of the practice's own.
    own: IntervalProtocol | None = None
    #: What is different for some, by client.
    different: Mapping[int, Different] = field(default_factory=dict)

    @property
    def protocol(self) -> IntervalProtocol | None:
        """The entry of the hard sessions; None for a base block."""
        return self.own or (protocol_of(self.protocol_key) if self.protocol_key else None)


@dataclass(frozen=True, slots=True)
class GroupRow:
    """The block of one client, or why there is none."""

    desk: BlockDesk
    preview: BlockPreview | None
    refused: str
    #: What is this client's own, in sentences.
    own: tuple[str, ...]

    @property
    def client(self) -> Client:
        """Whose block it is."""
        return self.desk.client

    @property
    def seen(self) -> str:
        """The print of the preview; "" without one."""
        return self.preview.seen if self.preview else ""


def preview_group(
    db: Session, *, actor: Actor, client_ids: Collection[int], wish: GroupWish, rules: Rules, now: datetime
) -> tuple[GroupRow, ...]:
    """The block for each of some clients; clients of others are passed over."""
    chosen = [one for one in planned_clients(db, actor=actor, now=now) if one.id in client_ids]
    desks = [open_blocks(db, actor=actor, client_id=one.id, rules=rules, now=now) for one in chosen]
    return tuple(_row(db, desk, wish, rules) for desk in desks)


def keep_group(
    db: Session, *, actor: Actor, rows: Sequence[GroupRow], wish: GroupWish, seen: Mapping[int, str], now: datetime
) -> tuple[str, ...]:
    """Keep the block of everybody who has one, all or none; returns their names.

    Raises: StaleEdit when a plan changed since it was looked at, also when it no longer fits somebody.
    """
    going = [row for row in rows if row.preview is not None]
    for row in rows:
        if seen.get(row.client.id, "") != row.seen:
            raise StaleEdit(
                f"The plan of {row.client.name} or the form changed. Nothing was kept; see it as it is now."
            )
    for row in going:
        if row.preview is not None:
            keep_block(
                db,
                actor=actor,
                desk=row.desk,
                preview=row.preview,
                seen=row.seen,
                may_replace=wish.may_replace,
                may_cancel=wish.may_cancel,
                now=now,
            )
    return tuple(row.client.name for row in going)


def _row(db: Session, desk: BlockDesk, wish: GroupWish, rules: Rules) -> GroupRow:
    if not desk.days:
        return GroupRow(desk, None, "No days of the week are known yet; set the real week first.", ())
    try:
        preview, own = _written(db, desk, wish, rules)
    except DomainError as refusal:
        return GroupRow(desk, None, _sentence(refusal), ())
    against = _in_the_way(preview, wish)
    return GroupRow(desk, None, against, own) if against else GroupRow(desk, preview, "", own)


def _written(db: Session, desk: BlockDesk, wish: GroupWish, rules: Rules) -> tuple[BlockPreview, tuple[str, ...]]:
    minutes = {day.weekday: day.minutes for day in desk.days if day.minutes > 0}
    days = ", ".join(f"{WEEKDAYS[day][:3]} {slot}" for day, slot in sorted(minutes.items()))
    different = wish.different.get(desk.client.id, AS_THE_GROUP)
    by = "" if different.mode else f" {_mode_words(desk, _mode(desk, wish.protocol))}"
    own = [f"Days: {days} min.{by}", *filter(None, [different.words])]
    protocol = wish.protocol
    if protocol is None:
        base = _base_wish(desk, wish, rules, minutes=minutes)
        own.extend(_base_words(desk, different))
        return preview_base(db, desk=desk, wish=base, rules=rules), tuple(own)
    hard = _hard_wish(desk, wish, rules, minutes=minutes, protocol=protocol)
    if not set(hard.hard_weekdays) <= {*wish.hard_weekdays, *different.hard_weekdays}:
        own.append("None of the days asked for is theirs; the hard session goes to one of their own.")
    own.append(f"{minutes_words(hard.volume_minutes)} a week; {_first_words(desk)}")
    return preview_intervals(db, desk=desk, wish=hard, rules=rules), tuple(own)


def _base_wish(desk: BlockDesk, wish: GroupWish, rules: Rules, *, minutes: Mapping[int, int]) -> BaseWish:
    different = wish.different.get(desk.client.id, AS_THE_GROUP)
    start = different.start_minutes or desk.start_minutes
    return BaseWish(
        starts_on=different.starts_on or wish.starts_on,
        weeks=wish.weeks,
        start_minutes=start,
        target_minutes=different.target_minutes or max(round(rules.target_minutes), start),
        rise_minutes=round(rules.rise_minutes_most),
        every=different.every or desk.every,
        mode=different.mode or desk.mode,
        minutes_by_weekday=minutes,
    )


def _base_words(desk: BlockDesk, different: Different) -> tuple[str, str]:
    """Where the weeks start and how often one is easier by the records, said also where something else is wished."""
    start, every = minutes_words(desk.start_minutes), f"every {desk.every} weeks."
    return (
        f"{'By their records it would start' if different.start_minutes else 'Starts'} at {start} a week: "
        f"{desk.start_words}",
        f"{'By their age an easier week would come' if different.every else 'An easier week'} {every}",
    )


def _hard_wish(
    desk: BlockDesk, wish: GroupWish, rules: Rules, *, minutes: Mapping[int, int], protocol: IntervalProtocol
) -> HardWish:
    different = wish.different.get(desk.client.id, AS_THE_GROUP)
    gone = [day for day in different.hard_weekdays if day not in minutes]
    if gone:
        raise DomainError(f"{_weekdays_words(gone)} is none of their days")
    if different.mode is not None and different.mode not in protocol.modes:
        raise DomainError(f"the session is not written for {NOUNS[different.mode]}")
    asked = different.hard_weekdays or tuple(day for day in wish.hard_weekdays if day in minutes)
    return HardWish(
        starts_on=different.starts_on or wish.starts_on,
        weeks=wish.weeks,
        volume_minutes=different.volume_minutes or max(desk.start_minutes, round(rules.base_recent_minutes)),
        hard_weekdays=asked or tuple(sorted(minutes)),
        protocol_key=protocol.key,
        own=wish.own,
        is_introductory=desk.begins_small,
        mode=different.mode or _mode(desk, protocol),
        minutes_by_weekday=minutes,
    )


def _mode(desk: BlockDesk, protocol: IntervalProtocol | None) -> Mode:
    """What the client does most, where the hard session is written for it."""
    modes = protocol.modes if protocol else (desk.mode,)
    return desk.mode if desk.mode in modes else modes[0]


def _mode_words(desk: BlockDesk, mode: Mode) -> str:
    if mode is desk.mode:
        return f"By {NOUNS[mode]}, what they do most."
    return f"By {NOUNS[mode]}: the session is not written for {NOUNS[desk.mode]}, what they do most."


def _first_words(desk: BlockDesk) -> str:
    return f"it begins with {desk.first_rounds} rounds." if desk.begins_small else "not the first of its kind."


def _weekdays_words(days: Sequence[int]) -> str:
    return ", ".join(WEEKDAYS[day][:3] for day in days)


def _in_the_way(preview: BlockPreview, wish: GroupWish) -> str:
    if preview.published_there and not wish.may_cancel:
        there = counted(len(preview.published_there), "published session")
        return f"{there} would be taken away; tick that they may, or write this block on the client's own page."
    if preview.drafts_there and not wish.may_replace:
        return f"{counted(len(preview.drafts_there), 'draft')} would be replaced; tick that they may."
    return ""


def _sentence(refusal: DomainError) -> str:
    text = str(refusal)
    return f"{text[:1].upper()}{text[1:]}{'' if text.endswith('.') else '.'}"
