"""The morning, ready to print: lines with their acts, what came in since yesterday, what was dealt with."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from urllib.parse import urlencode

from markupsafe import Markup

from app.coaching.morning_groups import LineGroup, groups_of
from app.coaching.people import ClientState
from app.coaching.phases import PHASE_WORDS
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.signals import Act, Family, Signal, needs_word
from app.usecases.morning.page import DealtLine, Entry, MorningLine, MorningPage, Returned
from app.web.charts.ribbon import draw_ribbon
from app.web.coach import morning_words as words
from app.web.filters import day

#: More than this many entries, and lines for planning day, are folded away: the morning is read before a walk.
ENTRIES_SHOWN = 8
LINES_SHOWN = 6


@dataclass(frozen=True, slots=True)
class ActView:
    """One act: a link, a small form opened in place, or a button that does it at once."""

    sort: str  # "go", "form" or "post"
    address: str
    label: str
    key: str
    is_main: bool = False
    values: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class ReasonView:
    """One reason with what may be done about it."""

    sentence: str
    is_alarm: bool
    why: Why
    acts: tuple[ActView, ...]
    #: For one that was dealt with and is back: what is new, and what it said then.
    returned: Returned | None = None


@dataclass(frozen=True, slots=True)
class LineView:
    """One client's line."""

    id: int
    name: str
    meta: str
    top: ReasonView
    more: tuple[ReasonView, ...]
    more_words: str
    ribbon: Markup


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
class AgreeView:
    """Everybody whose hard work waits for a newer text."""

    sentence: str
    people: tuple[tuple[int, str], ...]
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
class GroupView:
    """One line for several clients with the same reason."""

    key: str
    sentence: str
    message: str
    lines: tuple[LineView, ...]


@dataclass(frozen=True, slots=True)
class MorningView:
    """The whole page."""

    title: str
    lede: str
    today: tuple[LineView, ...]
    planning: tuple[LineView, ...]
    #: The same reason for many.
    groups: tuple[GroupView, ...]
    #: Lines for planning day that are folded away; none of them is about safety.
    later: tuple[LineView, ...]
    later_words: str
    waiting: WaitingView | None
    agree_again: AgreeView | None
    entries: tuple[EntryView, ...]
    older_entries: tuple[EntryView, ...]
    #: Those marked as read, folded away.
    read_entries: tuple[EntryView, ...]
    #: When the newest of the unread was entered: up to there it is marked.
    read_until: datetime | None
    dealt: tuple[DealtView, ...]
    picker: tuple[tuple[str, str], ...]
    is_empty_practice: bool
    is_calm: bool


def morning_view(page: MorningPage) -> MorningView:
    """The page from what was found."""
    entries = tuple(_entry(one) for one in page.entries if not one.is_read)
    groups = groups_of(one.line for one in page.planning)
    together = {line.client.id for group in groups for line in group.lines}
    views = {one.line.client.id: line_view(one) for one in page.planning}
    planning, later = _folded(tuple(view for id_, view in views.items() if id_ not in together))
    return MorningView(
        title=words.title(page, groups),
        lede=words.lede(page),
        today=tuple(line_view(one) for one in page.today),
        planning=planning,
        groups=tuple(_group(one, views) for one in groups),
        later=later,
        later_words=words.later(tuple(one.name for one in later)),
        waiting=_waiting(page),
        agree_again=_agree_again(page),
        entries=entries[:ENTRIES_SHOWN],
        older_entries=entries[ENTRIES_SHOWN:],
        read_entries=tuple(_entry(one) for one in page.entries if one.is_read),
        read_until=max((one.entered_at for one in page.entries if not one.is_read), default=None),
        dealt=tuple(_dealt(one) for one in page.dealt),
        picker=tuple((str(one.id), one.name) for one in page.clients if one.state is not ClientState.LEFT),
        is_empty_practice=not page.clients,
        is_calm=not (page.today or page.planning or page.waiting or page.to_agree_again),
    )


def _group(group: LineGroup, views: Mapping[int, LineView]) -> GroupView:
    count = len(group.lines)
    return GroupView(
        key=group.name.replace("_", "-"),
        sentence=f"{words.in_words(count).capitalize()} {group.words}.",
        message=group.message,
        lines=tuple(views[line.client.id] for line in group.lines),
    )


def _folded(lines: tuple[LineView, ...]) -> tuple[tuple[LineView, ...], tuple[LineView, ...]]:
    """The lines that stand open, and those that are folded away: never one about safety, never a single one."""
    calm = [one for one in lines if not one.top.is_alarm][LINES_SHOWN:]
    if len(calm) < 2:
        return lines, ()
    return tuple(one for one in lines if one not in calm), tuple(calm)


def line_view(one: MorningLine) -> LineView:
    """One line."""
    client, more = one.line.client, one.line.more
    phase = PHASE_WORDS[one.phase] if one.phase else "no phase yet"
    state = "" if client.state is ClientState.ACTIVE else f", {client.state.value.replace('_', ' ')}"
    return LineView(
        id=client.id,
        name=client.name,
        meta=f"{words.meta(one, phase)}{state}",
        top=_reason(one, one.line.top, is_top=True),
        more=tuple(_reason(one, signal, is_top=False) for signal in more),
        more_words=f"{words.in_words(len(more))} more {'reason' if len(more) == 1 else 'reasons'}".capitalize(),
        ribbon=draw_ribbon(one.ribbon, name=client.name, key=f"m{client.id}"),
    )


def _reason(one: MorningLine, signal: Signal, *, is_top: bool) -> ReasonView:
    found = [_act(one, signal, act) for act in signal.acts if is_top or act is Act.LIFT]
    acts = [act for act in found if act is not None]
    keys = {act.key for act in acts}
    acts += [act for act in _always(one, signal, is_top=is_top) if act.key not in keys]
    first = [_main(acts[0])] if is_top else acts[:1]
    return ReasonView(
        sentence=signal.sentence,
        is_alarm=signal.family is Family.SAFETY,
        why=signal.why,
        acts=tuple(first + acts[1:]),
        returned=one.returned.get(signal.name),
    )


def _main(act: ActView) -> ActView:
    return ActView(act.sort, act.address, act.label, act.key, is_main=True, values=act.values)


def _always(one: MorningLine, signal: Signal, *, is_top: bool) -> list[ActView]:
    """What every line can be answered by: words to the client, later, and done with it."""
    note = [_form(one, signal, "note", "Note", "n")] if is_top else []
    later = [] if signal.family is Family.SAFETY else [_form(one, signal, "put-off", "Put off", "p")]
    return [*note, *later, _handled(one, signal)]


def _handled(one: MorningLine, signal: Signal) -> ActView:
    """A line asks what was done where a word is needed or more than one reason stands; else one press handles it."""
    if needs_word(signal) or one.line.more:
        return _form(one, signal, "handled", "Handled", "h")
    return _post(one, "handled", "Handled", "h", ("signal", signal.name), ("key", signal.key))


def _act(one: MorningLine, signal: Signal, act: Act) -> ActView | None:
    """The act as this person may do it on this line; None when it is not there to be done."""
    if act in (Act.EASE_TODAY, Act.MOVE_TODAY):
        return _session_act(one, signal, act)
    if act in (Act.PLAN, Act.PROMOTION_PAGE, Act.LIFT, Act.START) and not one.may_decide:
        return None
    base = f"/clients/{one.line.client.id}"
    is_safety = signal.family is Family.SAFETY
    table = {
        Act.HOLD: ActView("go", f"{base}/holds/new", "Raise a hold", "r"),
        Act.PROMOTION_PAGE: ActView("go", f"{base}/promotion", "Decide", "d"),
        Act.CLEARANCE_PAGE: ActView("go", f"{base}/safety", "Safety page", "s"),
        Act.PLAN: ActView("go", f"{base}/plan", "Open the plan", "o"),
        Act.CONTACT: _form(one, signal, "contact", "Call, and log it" if is_safety else "Contact", "c"),
        Act.NOTE: _form(one, signal, "note", "Note to the client", "n"),
        Act.PUT_OFF: None if is_safety else _form(one, signal, "put-off", "Put off", "p"),
        Act.SEND_QUESTIONS: _questions(one),
        Act.LIFT: ActView("go", f"/holds/{signal.hold_id}/lift", "Read it and lift", "l"),
        Act.INCIDENTS: ActView("go", f"{base}/incidents", "Incident page", "i"),
        Act.DAYS_AWAY: ActView("go", f"{base}/days-away", "The changed plan", "g"),
        Act.START: ActView("go", f"{base}/start", "Start the base", "b"),
    }
    return table.get(act)


def _questions(one: MorningLine) -> ActView:
    """By a note on the phone, or asked by the coach and entered."""
    if one.is_signed_in:
        return _post(one, "questions", "Questions to the phone", "q")
    return ActView("go", f"/clients/{one.line.client.id}/entry/questions", "Questions, asked by you", "q")


def _session_act(one: MorningLine, signal: Signal, act: Act) -> ActView | None:
    if one.session is None:
        return None
    if act is Act.MOVE_TODAY:
        return _form(one, signal, "move", "Move", "m")
    reason = words.EASED_BECAUSE.get(signal.name, words.EASED_ANYHOW)
    session = ("planned_session_id", str(one.session.id))
    return _post(one, "ease", "Easy version today", "e", session, ("reason", reason))


def _form(one: MorningLine, signal: Signal, word: str, label: str, key: str) -> ActView:
    query = urlencode({"signal": signal.name})
    return ActView("form", f"/morning/{one.line.client.id}/{word}?{query}", label, key)


def _post(one: MorningLine, word: str, label: str, key: str, *values: tuple[str, str]) -> ActView:
    return ActView("post", f"/morning/{one.line.client.id}/{word}", label, key, values=values)


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


def _dealt(one: DealtLine) -> DealtView:
    until = one.handled.until_on
    return DealtView(
        address=f"/morning/{one.client.id}/handled/{one.handled.id}/undo",
        name=one.client.name,
        client_id=one.client.id,
        sentence=one.signal.sentence,
        state="handled" if until is None else f"put off until {day(until)}",
    )
