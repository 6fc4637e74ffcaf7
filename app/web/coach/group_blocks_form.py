"""The form of a block for several clients: what is the same for everybody, and what is different for some."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.coaching.people import Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.weeks import week_start
from app.usecases.plan_blocks.for_group import Different, GroupWish
from app.web.coach.plan_blocks_form import FURTHEST_START, HARD_FIELDS, MOST_WEEKLY_MIN
from app.web.coach.ticks import ticked
from app.web.deps import Desk
from app.web.forms import Fields

#: The answer that names no session of the library.
BASE = "base"
#: A block has so many at most.
MOST_WEEKS = 26
#: What may be different for one client, besides the days of hard sessions.
_DIFFERENT = ("starts_on", "mode", "start_minutes", "target_minutes", "every", "volume_minutes")
#: Those that only a base block has, and only one of intervals.
_OF_BASE, _OF_HARD = ("start_minutes", "target_minutes", "every"), ("volume_minutes",)


@dataclass(frozen=True, slots=True)
class DifferentView:
    """The fields of what is different for one client, by the names they are sent under."""

    starts_on: str
    mode: str
    start_minutes: str
    target_minutes: str
    every: str
    volume_minutes: str
    #: Names and weekdays of the boxes for hard sessions.
    hard_fields: tuple[tuple[str, str], ...]
    is_open: bool
    #: Names and answers of what is typed and does not show in the form as it stands: they go along.
    along: tuple[tuple[str, str], ...]


def read_group(desk: Desk, fields: Fields) -> GroupWish | None:
    """What is the same for everybody; None with errors beside the fields."""
    starts_on = _first_week(desk, fields, "starts_on", required=True)
    weeks = fields.whole("weeks", lowest=2, highest=MOST_WEEKS, unit="weeks")
    key = None if is_base(fields) else fields.text("protocol_key")
    if key is not None and key not in desk.library.offered:
        fields.refuse("protocol_key", "Choose one of the library, or base.")
    if not ticked(desk.form):
        fields.refuse("to_clients", "Tick at least one client.")
    if fields.errors or starts_on is None or weeks is None:
        return None
    return GroupWish(
        starts_on=starts_on,
        weeks=weeks,
        protocol_key=key,
        own=desk.library.own_entry(key),
        hard_weekdays=tuple(number for number, (name, _) in enumerate(HARD_FIELDS) if fields.yes(name)),
        may_replace=fields.yes("replace"),
        may_cancel=fields.yes("cancel_published"),
    )


def is_base(fields: Fields) -> bool:
    """Whether a base block is wished for, not a session of the library."""
    return fields.value("protocol_key") in ("", BASE)


def read_different(desk: Desk, fields: Fields) -> dict[int, Different]:
    """What is different for the clients ticked; whoever's answers are not understood is missing, with the errors."""
    found, read = {}, _read_base if is_base(fields) else _read_hard
    for client_id in ticked(desk.form):
        before = len(fields.errors)
        one = read(desk, fields, client_id)
        if len(fields.errors) == before:
            found[client_id] = one
    return found


def different_view(fields: Fields, client_id: int, weekdays: Sequence[int]) -> DifferentView:
    """The fields of one client; open once something is typed."""
    names = {name: field_of(client_id, name) for name in _DIFFERENT}
    hard = {day: field_of(client_id, f"hard_{day}") for day in range(len(WEEKDAYS))}
    shown = [names[name] for name in ("starts_on", "mode", *(_OF_BASE if is_base(fields) else _OF_HARD))]
    if not is_base(fields):
        shown += [hard[day] for day in weekdays]
    typed = {name: value for name in (*names.values(), *hard.values()) if (value := fields.value(name).strip())}
    return DifferentView(
        **names,
        hard_fields=tuple((hard[day], WEEKDAYS[day]) for day in weekdays),
        is_open=bool(typed),
        along=tuple((name, value) for name, value in typed.items() if name not in shown),
    )


def field_of(client_id: int, name: str) -> str:
    """What a field of one client is called."""
    return f"d{client_id}_{name}"


def _read_base(desk: Desk, fields: Fields, client_id: int) -> Different:
    start, target = (
        fields.whole_minutes(field_of(client_id, name), lowest=10, highest=MOST_WEEKLY_MIN, required=False)
        for name in ("start_minutes", "target_minutes")
    )
    if start and target and target < start:
        fields.refuse(field_of(client_id, "target_minutes"), "This is below the first week; make one of them fit.")
    return Different(
        starts_on=_first_week(desk, fields, field_of(client_id, "starts_on"), required=False),
        mode=fields.choice(field_of(client_id, "mode"), Mode, required=False),
        start_minutes=start,
        target_minutes=target,
        every=fields.whole(field_of(client_id, "every"), lowest=2, highest=6, unit="weeks", required=False),
    )


def _read_hard(desk: Desk, fields: Fields, client_id: int) -> Different:
    return Different(
        starts_on=_first_week(desk, fields, field_of(client_id, "starts_on"), required=False),
        mode=fields.choice(field_of(client_id, "mode"), Mode, required=False),
        volume_minutes=fields.whole_minutes(
            field_of(client_id, "volume_minutes"), lowest=30, highest=MOST_WEEKLY_MIN, required=False
        ),
        hard_weekdays=tuple(day for day in range(len(WEEKDAYS)) if fields.yes(field_of(client_id, f"hard_{day}"))),
    )


def _first_week(desk: Desk, fields: Fields, name: str, *, required: bool) -> date | None:
    day = fields.day(
        name,
        earliest=week_start(desk.today),
        latest=desk.today + FURTHEST_START,
        required=required,
        too_late="Within half a year, please.",
        too_early="That week is over.",
    )
    return week_start(day) if day else None
