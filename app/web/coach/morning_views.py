"""The morning, ready to print: lines with their acts, what came in since yesterday, what was dealt with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from app.coaching.heat import HEAT_PROVENANCE, HEAT_SOURCE, note_words
from app.coaching.housekeeping import HouseLine
from app.coaching.morning_groups import groups_of
from app.coaching.people import ClientState
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.signals import Shelf
from app.usecases.morning.page import MorningPage
from app.usecases.morning.together import DealtTogether
from app.usecases.morning.told import DealtLine, Entry
from app.usecases.plan_sessions.changed_today import EASED, ChangedToday
from app.usecases.plan_sessions.swapping import SwappedToday
from app.web.coach import morning_words as words
from app.web.coach.house_views import HouseView, house_views
from app.web.coach.morning_lines import GroupView, LineView, group_view, line_view
from app.web.coach.swap_views import SwappedView, swapped_view
from app.web.filters import day

#: More than this many entries, and lines for planning day, are folded away: the morning is read before a walk.
ENTRIES_SHOWN = 8
LINES_SHOWN = 6


@dataclass(frozen=True, slots=True)
class EntryView:
    """One thing a client entered since yesterday."""

    client_id: int
    name: str
    at: str
    #: Where the entry is looked at.
    address: str
    text: str
    own_words: str
    #: How it came here when the client did not type it: told by phone, from paper.
    told: str
    is_twin: bool


@dataclass(frozen=True, slots=True)
class DealtView:
    """One line handled or put off, with its way back."""

    address: str
    name: str
    client_id: int
    sentence: str
    state: str


@dataclass(frozen=True, slots=True)
class DealtManyView:
    """One act for many, with its one way back."""

    address: str
    names: tuple[str, ...]
    words: str
    state: str


@dataclass(frozen=True, slots=True)
class ChangedView:
    """One session of today made easy or moved, with its way back."""

    client_id: int
    name: str
    state: str
    sentence: str
    #: The session's page; a move is taken back there, where the day is looked at again.
    address: str
    version: int
    is_eased: bool


@dataclass(frozen=True, slots=True)
class AgreeView:
    """Everybody whose hard work waits for a newer text."""

    sentence: str
    people: tuple[tuple[int, str], ...]
    why: Why


@dataclass(frozen=True, slots=True)
class HotView:
    """Everybody whose hard work of today is outdoors on a hot day."""

    sentence: str
    #: The session's number, the client's name, and what the heat asks of it.
    people: tuple[tuple[int, str, str], ...]
    why: Why


@dataclass(frozen=True, slots=True)
class WaitingView:
    """Everybody who waits only for the questions."""

    sentence: str
    people: tuple[tuple[int, str], ...]
    #: Those who have a phone here, with nobody signed in on it.
    to_invite: tuple[tuple[int, str], ...]
    #: Those who have no phone here at all.
    without_phone: tuple[tuple[int, str], ...]
    why: Why

    @property
    def may_be_sent(self) -> bool:
        """Whether anybody would read the questions on a phone."""
        return len(self.without_phone) + len(self.to_invite) < len(self.people)


@dataclass(frozen=True, slots=True)
class Beside:
    """What stands on the page beside the clients' lines."""

    #: What was done for many, and swapped, today, with its way back.
    for_many: tuple[DealtTogether, ...]
    swapped: tuple[SwappedToday, ...]
    changed: tuple[ChangedToday, ...]
    house: tuple[HouseLine, ...]


@dataclass(frozen=True, slots=True)
class MorningView:
    """The whole page."""

    title: str
    lede: str
    today: tuple[LineView, ...]
    planning: tuple[LineView, ...]
    #: The practice's own duties, on each shelf after the clients' lines.
    house_today: tuple[HouseView, ...]
    house_planning: tuple[HouseView, ...]
    #: The same reason for many.
    groups: tuple[GroupView, ...]
    #: Lines for planning day that are folded away; none of them is about safety.
    later: tuple[LineView, ...]
    later_words: str
    #: What was noted of the heat of today; None when nobody noted any.
    heat_noted: str | None
    hot: HotView | None
    waiting: WaitingView | None
    agree_again: AgreeView | None
    entries: tuple[EntryView, ...]
    older_entries: tuple[EntryView, ...]
    #: Those marked as read, folded away.
    read_entries: tuple[EntryView, ...]
    #: When the newest of the unread was entered: up to there it is marked.
    read_until: datetime | None
    dealt: tuple[DealtView, ...]
    #: What was done for many at once, each with its one way back.
    dealt_many: tuple[DealtManyView, ...]
    swapped: tuple[SwappedView, ...]
    changed: tuple[ChangedView, ...]
    picker: tuple[tuple[str, str], ...]
    is_empty_practice: bool
    is_calm: bool


def morning_view(page: MorningPage, beside: Beside) -> MorningView:
    """The page from what was found about clients, and from what stands beside it."""
    in_many = {handled_id for one in beside.for_many for handled_id in one.handled_ids}
    names = {one.id: one.name for one in page.clients}
    entries = tuple(_entry(one) for one in page.entries if not one.is_read)
    hot = _hot(page)
    groups = groups_of(one.line for one in page.planning)
    together = {line.client.id for group in groups for line in group.lines}
    views = {one.line.client.id: line_view(one) for one in page.planning}
    planning, later = _folded(tuple(view for id_, view in views.items() if id_ not in together))
    return MorningView(
        title=words.title(page, groups, duties=len(beside.house)),
        lede=words.lede(page),
        today=tuple(line_view(one) for one in page.today),
        planning=planning,
        house_today=house_views(beside.house, Shelf.TODAY, names),
        house_planning=house_views(beside.house, Shelf.PLANNING, names),
        groups=tuple(group_view(one, views) for one in groups),
        later=later,
        later_words=words.later(tuple(one.name for one in later)),
        heat_noted=note_words(page.hot.note) if page.hot else None,
        hot=hot,
        waiting=_waiting(page),
        agree_again=_agree_again(page),
        entries=entries[:ENTRIES_SHOWN],
        older_entries=entries[ENTRIES_SHOWN:],
        read_entries=tuple(_entry(one) for one in page.entries if one.is_read),
        read_until=max((one.entered_at for one in page.entries if not one.is_read), default=None),
        dealt=tuple(_dealt(one) for one in page.dealt if one.handled.id not in in_many),
        swapped=tuple(swapped_view(one, names[one.client_id]) for one in beside.swapped if one.client_id in names),
        changed=tuple(_changed(one, names) for one in beside.changed if one.session.client_id in names),
        dealt_many=tuple(_dealt_many(one, names) for one in beside.for_many),
        picker=_picker(page),
        is_empty_practice=not page.clients,
        is_calm=not (page.today or page.planning or page.waiting or page.to_agree_again or hot or beside.house),
    )


def _picker(page: MorningPage) -> tuple[tuple[str, str], ...]:
    """Everybody a line may be kept about; who is paused says so beside the name."""
    here = (one for one in page.clients if one.state is not ClientState.LEFT)
    return tuple(
        (str(one.id), f"{one.name}, paused: {paused}" if (paused := page.paused.get(one.id)) else one.name)
        for one in here
    )


def _folded(lines: tuple[LineView, ...]) -> tuple[tuple[LineView, ...], tuple[LineView, ...]]:
    """The lines that stand open, and those that are folded away: never one about safety, never a single one."""
    calm = [one for one in lines if not one.top.is_alarm][LINES_SHOWN:]
    if len(calm) < 2:
        return lines, ()
    return tuple(one for one in lines if one not in calm), tuple(calm)


def _waiting(page: MorningPage) -> WaitingView | None:
    if not page.waiting:
        return None
    count = len(page.waiting)
    unreached = [client for client in page.waiting if client.id not in page.signed_in]
    return WaitingView(
        sentence=words.waiting(count, len(page.easy_meanwhile), page.waiting_put_off),
        people=tuple((client.id, client.name) for client in page.waiting),
        to_invite=tuple((client.id, client.name) for client in unreached if client.has_phone),
        without_phone=tuple((client.id, client.name) for client in unreached if not client.has_phone),
        why=_waiting_why(count),
    )


def _hot(page: MorningPage) -> HotView | None:
    if page.hot is None or not page.hot.reached:
        return None
    reached, noted = page.hot.reached, note_words(page.hot.note)
    reasons = Why(
        (Figure("noted for today", noted), Figure("middle or hard outdoors today", f"{len(reached)}")),
        "The heat noted for today against each client's limit: lower for who bears heat badly.",
        HEAT_PROVENANCE,
        f"{HEAT_SOURCE}; limits of the air's temperature: common practice, no published source",
        "A newer note of the heat, or the session moved, made easy or taken indoors.",
    )
    people = tuple((one.session.id, one.client.name, one.asks) for one in reached)
    return HotView(words.hot(len(reached), noted), people, reasons)


def _agree_again(page: MorningPage) -> AgreeView | None:
    people = page.to_agree_again
    if not people:
        return None
    reasons = Why(
        (Figure("agreed to an earlier text", f"{len(people)}"),),
        "A consent is renewed when its text changes; until then the hard work it was given for waits.",
        Provenance.HOUSE,
        None,
        "Their consent to the new text: on the phone under My way, or read with you and kept on the safety page.",
    )
    return AgreeView(words.agree_again(len(people)), tuple((one.id, one.name) for one in people), reasons)


def _waiting_why(count: int) -> Why:
    return Why(
        (Figure("never answered here", f"{count}"),),
        "Symptoms, diseases and consent are asked afresh of everybody, also of those brought in from elsewhere.",
        Provenance.HOUSE,
        None,
        "Their answers, on the phone or told to you.",
    )


def _entry(one: Entry) -> EntryView:
    person = f"/clients/{one.client.id}"
    return EntryView(
        client_id=one.client.id,
        name=one.client.name,
        at=words.entered(one),
        address=person if one.log is None else f"{person}/sessions/{one.log.id}",
        text=words.entry_words(one),
        own_words=words.own_words(one),
        told=words.told(one),
        is_twin=one.is_twin,
    )


def _changed(one: ChangedToday, names: Mapping[int, str]) -> ChangedView:
    session, is_eased = one.session, one.how == EASED
    return ChangedView(
        client_id=session.client_id,
        name=names[session.client_id],
        state="made easy today" if is_eased else "moved today",
        sentence=f"“{one.title_before}” is its easy version today."
        if is_eased
        else f"“{one.title_before}” is on {day(session.planned_on)}.",
        address=f"/plan/sessions/{session.id}",
        version=session.version,
        is_eased=is_eased,
    )


def _dealt_many(one: DealtTogether, names: Mapping[int, str]) -> DealtManyView:
    state = "handled" if one.until_on is None else f"put off until {day(one.until_on)}"
    return DealtManyView(
        address=f"/together/undo?of={one.entry_id}",
        names=tuple(names[id_] for id_ in one.client_ids if id_ in names),
        words=words.SIGNAL_WORDS[one.signal].capitalize(),
        state="contact kept" if one.contact_ids else state,
    )


def _dealt(one: DealtLine) -> DealtView:
    until = one.handled.until_on
    return DealtView(
        address=f"/morning/{one.client.id}/handled/{one.handled.id}/undo",
        name=one.client.name,
        client_id=one.client.id,
        sentence=one.signal.sentence,
        state="handled" if until is None else f"put off until {day(until)}",
    )
