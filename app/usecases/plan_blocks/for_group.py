"""One block for several clients, written for each from their own records: what differs, what is refused and why."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Client
from app.coaching.planner import WEEKDAYS
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import DomainError, StaleEdit
from app.coaching.rules import Rules
from app.coaching.session_steps import NOUNS
from app.coaching.words import counted, minutes_words
from app.usecases.gate import planned_clients
from app.usecases.plan_blocks.opening import BlockDesk, open_blocks
from app.usecases.plan_blocks.previewing import preview_base, preview_intervals
from app.usecases.plan_blocks.wishes import BaseWish, BlockPreview, HardWish
from app.usecases.plan_blocks.writing import keep_block


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

    Raises: StaleEdit when a plan changed since it was looked at.
    """
    going = [row for row in rows if row.preview is not None]
    for row in going:
        if seen.get(row.client.id) != row.seen:
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
    own = [f"Days: {days} min. By {NOUNS[desk.mode]}, what they do most."]
    if wish.protocol_key is None:
        base = BaseWish(
            starts_on=wish.starts_on,
            weeks=wish.weeks,
            start_minutes=desk.start_minutes,
            target_minutes=max(round(rules.target_minutes), desk.start_minutes),
            rise_minutes=round(rules.rise_minutes_most),
            every=desk.every,
            mode=desk.mode,
            minutes_by_weekday=minutes,
        )
        own.append(f"Starts at {minutes_words(desk.start_minutes)} a week: {desk.start_words}")
        own.append(f"An easier week every {desk.every} weeks.")
        return preview_base(db, desk=desk, wish=base, rules=rules), tuple(own)
    hard_days = tuple(day for day in wish.hard_weekdays if day in minutes) or tuple(sorted(minutes))
    if not set(hard_days) <= set(wish.hard_weekdays):
        own.append("None of the days asked for is theirs; the hard session goes to one of their own.")
    volume = max(desk.start_minutes, round(rules.base_recent_minutes))
    own.append(f"{minutes_words(volume)} a week; {_first_words(desk)}")
    hard = HardWish(
        starts_on=wish.starts_on,
        weeks=wish.weeks,
        volume_minutes=volume,
        hard_weekdays=hard_days,
        protocol_key=wish.protocol_key,
        is_introductory=desk.is_first_hard_block,
        mode=desk.mode if desk.mode in PROTOCOLS[wish.protocol_key].modes else PROTOCOLS[wish.protocol_key].modes[0],
        minutes_by_weekday=minutes,
    )
    return preview_intervals(db, desk=desk, wish=hard, rules=rules), tuple(own)


def _first_words(desk: BlockDesk) -> str:
    return (
        "introductory, as the first block of hard work." if desk.is_first_hard_block else "not the first of its kind."
    )


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
