"""The forms of a block: their first values, and what was typed as wishes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, timedelta

from app.coaching.interval_plans import PlanKey
from app.coaching.people import Mode
from app.coaching.planner import WEEKDAYS
from app.coaching.protocol_library import Library
from app.coaching.rules import Rules
from app.coaching.time_away import POSSIBLE_WORDS, Life, Possible, Stretch
from app.coaching.typed_values import NotUnderstood, minutes
from app.coaching.weeks import week_start
from app.usecases.plan_blocks.opening import BlockDesk
from app.usecases.plan_blocks.wishes import BaseWish, HardWish
from app.web.forms import Fields

LONGEST_SLOT_MIN = 600
MOST_WEEKLY_MIN = 1500
FURTHEST_START = timedelta(days=182)
#: Days away lie within the longest block, which may start half a year from now.
FURTHEST_AWAY = 2 * FURTHEST_START
AWAY_ROWS = 3
DAY_FIELDS = tuple((f"day_{number}", f"mode_{number}", name) for number, name in enumerate(WEEKDAYS))
HARD_FIELDS = tuple((f"hard_{number}", name) for number, name in enumerate(WEEKDAYS))
STRENGTH_FIELDS = tuple((f"strength_{number}", name) for number, name in enumerate(WEEKDAYS))
AWAY_FIELDS = tuple((f"away_from_{n}", f"away_until_{n}", f"away_possible_{n}") for n in range(1, AWAY_ROWS + 1))
POSSIBLE_OPTIONS = tuple((one.value, words) for one, words in POSSIBLE_WORDS.items())


def shared_values(block: BlockDesk) -> dict[str, object]:
    """What both forms begin with: the client's real week, and the first free Monday."""
    slots = {f"day_{one.weekday}": one.minutes for one in block.days}
    return {"starts_on": block.starts_on.isoformat(), "mode": block.mode, "keep_days": not block.days, **slots}


def with_strength_instead(form: Mapping[str, str]) -> Mapping[str, str]:
    """The form with strength on the days offered, where that was chosen."""
    chosen = form.get("strength_instead", "")
    if not chosen:
        return form
    days = {name for number, (name, _) in enumerate(STRENGTH_FIELDS) if str(number) in chosen.split("-")}
    others = {name: value for name, value in form.items() if not name.startswith("strength_")}
    return others | dict.fromkeys(sorted(days), "yes")


def read_base(fields: Fields, block: BlockDesk, rules: Rules) -> BaseWish | None:
    """A base block as it is wished for; None when something is not understood."""
    starts_on = _starts_on(fields, block)
    weeks = fields.whole("weeks", lowest=2, highest=26, unit="weeks")
    start = fields.whole_minutes("start_minutes", lowest=10, highest=MOST_WEEKLY_MIN)
    target = fields.whole_minutes("target_minutes", lowest=10, highest=MOST_WEEKLY_MIN)
    rise = fields.whole("rise_minutes", lowest=0, highest=round(rules.rise_minutes_most), unit="min")
    every = fields.whole("every", lowest=2, highest=6, unit="weeks")
    mode = fields.choice("mode", Mode)
    days, life = _read_days(fields), _read_life(fields, block)
    if fields.errors or not (starts_on and weeks and start and target and every and mode) or rise is None:
        return None
    return BaseWish(
        starts_on=week_start(starts_on),
        weeks=weeks,
        start_minutes=start,
        target_minutes=target,
        rise_minutes=rise,
        every=every,
        mode=mode,
        minutes_by_weekday=days,
        life=life,
    )


def read_hard(fields: Fields, block: BlockDesk, library: Library) -> HardWish | None:
    """An interval block as it is wished for; None when something is not understood."""
    starts_on = _starts_on(fields, block)
    weeks = fields.whole("weeks", lowest=2, highest=26, unit="weeks")
    volume = fields.whole_minutes("volume_minutes", lowest=30, highest=MOST_WEEKLY_MIN)
    protocol_key = fields.text("protocol_key")
    if protocol_key is not None and protocol_key not in library.offered:
        fields.refuse("protocol_key", "Choose one of the library.")
    mode = fields.choice("mode", Mode)
    days, life = _read_days(fields), _read_life(fields, block)
    hard = tuple(number for number, (name, _) in enumerate(HARD_FIELDS) if fields.yes(name))
    if not hard:
        fields.refuse("hard_0", "Tick the day for the hard session.")
    choice = fields.choice("choice", PlanKey, required=False)
    if fields.errors or not (starts_on and weeks and volume and protocol_key and mode):
        return None
    return HardWish(
        starts_on=week_start(starts_on),
        weeks=weeks,
        volume_minutes=volume,
        hard_weekdays=hard,
        protocol_key=protocol_key,
        own=library.own_entry(protocol_key),
        is_introductory=fields.yes("introductory"),
        mode=mode,
        minutes_by_weekday=days,
        life=life,
        choice=choice,
    )


def _starts_on(fields: Fields, block: BlockDesk) -> date | None:
    return fields.day(
        "starts_on",
        earliest=week_start(block.today),
        latest=block.today + FURTHEST_START,
        too_late="Within half a year, please.",
        too_early="That week is over.",
    )


def days_hold(fields: Fields) -> str:
    """How much the days written in the form hold together, as a sentence; "" while none is."""
    total = 0.0
    for name, _, _ in DAY_FIELDS:
        try:
            total += minutes(fields.value(name)) if fields.value(name).strip() else 0
        except NotUnderstood:
            return ""
    return f"The days written here hold {total:.0f} min a week." if total else ""


def _read_days(fields: Fields) -> dict[int, int]:
    found = {}
    for number, (name, _, _) in enumerate(DAY_FIELDS):
        slot = fields.whole_minutes(name, lowest=0, highest=LONGEST_SLOT_MIN, required=False)
        if slot:
            found[number] = slot
    if not found and not fields.errors:
        fields.refuse("day_0", "Give at least one day its minutes.")
    return found


def _read_life(fields: Fields, block: BlockDesk) -> Life:
    """Days away, days done another way, and strength beside it."""
    modes = [(number, fields.choice(name, Mode, required=False)) for number, (_, name, _) in enumerate(DAY_FIELDS)]
    away = [_read_away(fields, block, *names) for names in AWAY_FIELDS]
    return Life(
        away=tuple(sorted({one for one in away if one is not None})),
        mode_by_weekday=tuple((number, mode) for number, mode in modes if mode is not None),
        strength_weekdays=tuple(number for number, (name, _) in enumerate(STRENGTH_FIELDS) if fields.yes(name)),
    )


def _read_away(fields: Fields, block: BlockDesk, from_name: str, until_name: str, what_name: str) -> Stretch | None:
    if not fields.value(from_name).strip() and not fields.value(until_name).strip():
        return None
    first, last = (
        fields.day(
            name,
            earliest=block.today - FURTHEST_START,
            latest=block.today + FURTHEST_AWAY,
            too_late="Within a year, please.",
        )
        for name in (from_name, until_name)
    )
    possible = fields.choice(what_name, Possible)
    if first is None or last is None or possible is None:
        return None
    if last < first:
        fields.refuse(until_name, "This is before the first day away.")
        return None
    return Stretch(first, last, possible)
