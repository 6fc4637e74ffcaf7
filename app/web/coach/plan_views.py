"""Plans ready to print: weeks with their days in words, and what publishing would break."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from markupsafe import Markup

from app.coaching.block_order import block_end, block_words
from app.coaching.done_work import MinutesByBand
from app.coaching.holds import Stops
from app.coaching.lookahead import Breach, Level
from app.coaching.lookahead_gathered import Gathered
from app.coaching.lookahead_mend_values import Mend
from app.coaching.lookahead_mend_ways import tries_for
from app.coaching.lookahead_values import DAYS_OFF, HARD_WEEK, PAPER_ENDS, UNASKED
from app.coaching.people import Client, Mode
from app.coaching.plan_weeks import STANDING_WORDS, PlanDay, PlanEntry, PlanWeek, Standing
from app.coaching.planned_effort import is_hard_or_middle
from app.coaching.prescriptions import Block
from app.coaching.protocol_library import Library
from app.coaching.protocols import source_words
from app.coaching.reasons import Why
from app.coaching.ribbon import Ribbon
from app.coaching.session_steps import NOUNS
from app.coaching.weeks import week_start
from app.coaching.words import counted, short_day
from app.usecases.plan_sessions.whole import PlanPage
from app.web.charts.ribbon import draw_ribbon
from app.web.charts.split import draw_split
from app.web.filters import minutes

#: An address may name any week; further away than this nothing is ever planned.
FURTHEST = timedelta(days=3650)

MODE_OPTIONS = tuple(
    (mode.value, "another way" if mode is Mode.OTHER else NOUNS[mode]) for mode in Mode if mode is not Mode.STRENGTH
)


@dataclass(frozen=True, slots=True)
class EntryView:
    """One session on a day."""

    address: str
    title: str
    detail: str
    is_hard: bool
    #: Said beside it when it is not simply published; "" when it is.
    standing: str
    is_cancelled: bool
    note: str
    id: int
    version: int
    #: Where it is made easier; "" when it is easy already.
    easier_address: str


@dataclass(frozen=True, slots=True)
class DayView:
    """One day of a week."""

    on: date
    #: "Mon 23"; with the month on its first day.
    name: str
    entries: tuple[EntryView, ...]
    is_today: bool
    is_over: bool
    is_leave: bool
    add_address: str


@dataclass(frozen=True, slots=True)
class WeekView:
    """One week of a plan."""

    monday: date
    sentence: str
    #: The days drawn, and the minutes by effort drawn; empty when nothing is planned.
    ribbon: Markup
    split: Markup
    state: str
    waiting: int
    field: str
    days: tuple[DayView, ...]
    is_easier: bool
    is_over: bool
    is_now: bool
    is_empty: bool
    copy_to: date
    #: Whether it is ticked for publishing before anybody says so: not the drafts of a block that is overtaken.
    is_ticked: bool
    #: "from the block of 12 Oct (...)" when a later block has overtaken it; "" otherwise.
    overtaken: str
    #: Whether its days are folded away: over, or far ahead.
    is_folded: bool


@dataclass(frozen=True, slots=True)
class BreachView:
    """One thing the look ahead found."""

    word: str
    sentence: str
    why: Why
    is_refused: bool
    #: Where it is mended, and the words of that link; "" when nowhere in particular.
    mend_address: str = ""
    mend_label: str = ""
    #: One-click mends, the mildest first.
    mends: tuple[Mend, ...] = ()
    #: Said where a change of the plan could mend it and none is found; "" otherwise.
    unmended: str = ""


@dataclass(frozen=True, slots=True)
class ProtocolView:
    """One entry of the library."""

    key: str
    name: str
    purpose: str
    suits: str
    rounds: str
    evidence: str
    source: str
    provenance: str


#: This week and the next stand open; those after them are a line each until opened.
WEEKS_OPEN = 2

STANDING_HEADS = {
    "ceiling": "Ceiling",
    HARD_WEEK: "Hard week",
    "spacing": "Spacing",
    "gap": "Gap",
    DAYS_OFF: "After days off",
    "hold": "On hold",
    "stopped": "Stopped",
    "no_leave": "No leave",
    PAPER_ENDS: "Paper ends",
    UNASKED: "Not asked yet",
    "phase": "Phase",
}
LEVEL_HEADS = {
    Level.REFUSES: "Not published",
    Level.ASKS: "Asks for a reason",
    Level.SAYS: "To know",
}


def week_views(page: PlanPage) -> tuple[WeekView, ...]:
    """The weeks of a plan, ready to print."""
    return tuple(
        _week(page.client, week, ribbon, page.today) for week, ribbon in zip(page.weeks, page.ribbons, strict=True)
    )


def overtaken_words(block: Block | None) -> str:
    """Which overtaken block something comes from; "" for none."""
    return f"from {block_words(block)}" if block else ""


def breach_views(found: Sequence[Breach | Gathered], client_id: int) -> tuple[BreachView, ...]:
    """What the look ahead found, what refuses first."""
    return tuple(_breach(one, LEVEL_HEADS[one.level], client_id) for one in found)


def found_views(page: PlanPage) -> tuple[BreachView, ...]:
    """What publishing the drafts of a plan would break, with its mends."""
    return _with_mends(page, page.found, breach_views(page.found, page.client.id), page.found_mends)


def standing_views(page: PlanPage) -> tuple[BreachView, ...]:
    """What a plan breaks as it stands, named by what is broken, with its mends."""
    views = [_breach(one, STANDING_HEADS[one.kind], page.client.id) for one in page.standing]
    return _with_mends(page, page.standing, views, page.standing_mends)


def _with_mends(
    page: PlanPage,
    found: Sequence[Gathered],
    views: Sequence[BreachView],
    mends: Sequence[tuple[Mend, ...] | None],
) -> tuple[BreachView, ...]:
    if not page.may_plan:
        return tuple(views)
    return tuple(
        replace(view, mends=offered or (), unmended=_unmended(one, offered, page))
        for view, one, offered in zip(views, found, mends, strict=True)
    )


def _unmended(one: Gathered, offered: tuple[Mend, ...] | None, page: PlanPage) -> str:
    if offered or not tries_for(one.kind):
        return ""
    if page.beside_holds.all_because or any(hold.stops is Stops.ALL for hold in page.open_holds):
        return "All training is stopped: nothing goes out, easy or moved, until what stops it is over."
    if offered is None:
        return "What mends this is looked for once the points above are settled."
    if one.on == page.today:
        return "It is about today, which the client has: open the session to make it easy or move it."
    return "No single change of the plan mends this."


def _breach(one: Breach | Gathered, word: str, client_id: int) -> BreachView:
    is_refused = one.level is Level.REFUSES
    if one.kind != UNASKED:
        return BreachView(word, one.sentence, one.why, is_refused)
    address = questions_address(client_id)
    return BreachView(word, one.sentence, one.why, is_refused, address, "Ask the questions")


def reach_words(client: Client, *, is_signed_in: bool) -> str:
    """Whether and when the client sees what is published."""
    if is_signed_in:
        return f"{client.name} sees it on the phone at once."
    if client.has_phone:
        return f"No phone of {client.name} is signed in: it is seen there once one is."
    return f"{client.name} has no phone here: print the week, or tell it when you speak."


@dataclass(frozen=True, slots=True)
class Mending:
    """What would let a refused plan go out, and where that is done."""

    sentence: str
    address: str = ""
    label: str = ""


def mendings(found: Sequence[Breach | Gathered], client_id: int) -> tuple[Mending, ...]:
    """What to do about everything that refuses, each once."""
    kinds = dict.fromkeys(one.kind for one in found if one.level is Level.REFUSES)
    return tuple(dict.fromkeys(_mending(kind, client_id) for kind in kinds))


def _mending(kind: str, client_id: int) -> Mending:
    safety = f"/clients/{client_id}/safety"
    if kind == UNASKED:
        said = "Ask the safety questions: moving or changing a session does not help before they are answered."
        return Mending(said, questions_address(client_id), "Ask the questions")
    if kind in ("no_leave", "hold", "stopped"):
        said = "Settle what training waits for: moving a session does not help while it stands."
        return Mending(said, safety, "To the safety page")
    if kind == PAPER_ENDS:
        said = "Get a new paper first, or make these sessions easy: the one there is ends before them."
        return Mending(said, safety, "To the safety page")
    if kind == "phase":
        said = "Hard work waits for its phase: make it easy, or decide the phase."
        return Mending(said, f"/clients/{client_id}/promotion", "To the decision")
    address = f"/clients/{client_id}/plan"
    return Mending("Change or move what is refused; the plan offers mends for it.", address, "To the plan")


def questions_address(client_id: int) -> str:
    """Where the safety questions are asked."""
    return f"/clients/{client_id}/entry/questions"


def blocks_words(now: Block | None, week: int | None, following: Block | None) -> str:
    """The block in force and the next one, in sentences."""
    if now is None:
        words = "No block stands today."
    else:
        words = f"{now.aim}: week {week} of {now.weeks}, until {short_day(block_end(now))}."
    if following is None:
        return words
    return f"{words} Next: {following.aim}, {counted(following.weeks, 'week')} from {short_day(following.starts_on)}."


def protocol_options(library: Library) -> list[tuple[str, str]]:
    """What may be chosen of the library, the practice's own last."""
    return [(key, f"{one.name} ({one.rounds_least} to {one.rounds_most})") for key, one in library.offered.items()]


def protocol_views(library: Library) -> tuple[ProtocolView, ...]:
    """What may be chosen of the library, ready to print."""
    return tuple(
        ProtocolView(
            one.key,
            one.name,
            one.purpose,
            one.suits,
            f"{one.rounds_least} to {one.rounds_most} rounds",
            one.evidence,
            source_words(one),
            one.provenance.value,
        )
        for one in library.offered.values()
    )


def near(day: date | None, today: date) -> date:
    """A day from an address, or today when it names none or one no plan reaches."""
    return today if day is None or abs(day - today) > FURTHEST else day


def _week(client: Client, week: PlanWeek, ribbon: Ribbon, today: date) -> WeekView:
    key = f"week-{week.monday.isoformat()}"
    return WeekView(
        monday=week.monday,
        sentence=_week_words(week),
        ribbon=draw_ribbon(ribbon, name=f"{client.name}, week of {short_day(week.monday)}", key=f"{key}-days"),
        split=draw_split(week.by_band, said=_split_words(week.by_band), key=f"{key}-split"),
        state=_state(week),
        waiting=week.waiting,
        field=key,
        days=tuple(_day(client, day) for day in week.days),
        is_easier=week.is_easier,
        is_over=week.monday + timedelta(days=6) < today,
        is_now=week.monday == week_start(today),
        is_empty=week.is_empty,
        copy_to=week.monday + timedelta(weeks=1),
        is_ticked=week.overtaken is None,
        overtaken=overtaken_words(week.overtaken) if week.waiting else "",
        is_folded=not week_start(today) <= week.monday < week_start(today) + timedelta(weeks=WEEKS_OPEN),
    )


def _week_words(week: PlanWeek) -> str:
    if week.sessions == 0:
        return "Nothing planned."
    hard = counted(week.hard_sessions, "hard session") if week.hard_sessions else "none hard"
    parts = [f"{counted(week.sessions, 'session')}, {minutes(week.minutes)}", hard]
    if week.by_band.total:
        parts.append(_split_words(week.by_band))
    if week.target_minutes and week.target_minutes != week.minutes:
        parts.append(f"aim {minutes(week.target_minutes)}")
    return "; ".join(parts) + "."


def _split_words(by_band: MinutesByBand) -> str:
    named = (
        ("easy", by_band.easy),
        ("middle", by_band.middle),
        ("hard", by_band.hard),
        ("not said", by_band.unknown),
    )
    parts = [f"{minutes(amount)} {name}" for name, amount in named if amount]
    return "all easy" if by_band.easy == by_band.total else ", ".join(parts)


def _state(week: PlanWeek) -> str:
    if week.is_empty:
        return ""
    if week.waiting == 0:
        is_sent = all(not entry.is_waiting for day in week.days for entry in day.entries)
        return "published" if is_sent else ""
    sent = any(entry.standing is Standing.PUBLISHED for day in week.days for entry in day.entries)
    return f"{counted(week.waiting, 'change')} not published" if sent else "draft"


def _day(client: Client, day: PlanDay) -> DayView:
    return DayView(
        on=day.on,
        name=short_day(day.on) if day.on.day == 1 else f"{day.on:%a} {day.on.day}",
        entries=tuple(entry_view(entry) for entry in day.entries),
        is_today=day.is_today,
        is_over=day.is_over,
        is_leave=day.is_leave,
        add_address=f"/clients/{client.id}/plan/add?on={day.on.isoformat()}",
    )


def entry_view(entry: PlanEntry) -> EntryView:
    """One session in words."""
    session, seen = entry.session, entry.frozen_on
    detail = minutes(session.minutes)
    if session.rounds:
        detail += f", {counted(session.rounds, 'round')}"
    moved = seen is not None and seen != session.planned_on
    return EntryView(
        address=f"/plan/sessions/{session.id}",
        title=session.title,
        detail=detail,
        is_hard=session.is_hard,
        standing="" if entry.standing is Standing.PUBLISHED else STANDING_WORDS[entry.standing],
        is_cancelled=session.is_cancelled,
        note=f"The client still sees {short_day(seen)}." if moved and seen is not None else "",
        id=session.id,
        version=session.version,
        easier_address=f"/plan/sessions/{session.id}?easier=yes#change" if is_hard_or_middle(session) else "",
    )
