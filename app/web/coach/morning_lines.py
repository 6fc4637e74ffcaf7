"""Lines of the morning, ready to print: each reason with the acts this person may do about it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from markupsafe import Markup

from app.coaching.morning_groups import LineGroup
from app.coaching.people import ClientState
from app.coaching.phases import PHASE_WORDS
from app.coaching.reasons import Why
from app.coaching.signals import Act, Family, Signal, needs_act, needs_word
from app.usecases.morning.page import MorningLine, Returned
from app.web.charts.ribbon import draw_ribbon
from app.web.coach import morning_words as words


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
class GroupView:
    """One line for several clients with the same reason."""

    key: str
    sentence: str
    message: str
    lines: tuple[LineView, ...]
    #: What can be done for all of them at once.
    acts: tuple[ActView, ...]


def line_view(one: MorningLine) -> LineView:
    """One line."""
    client, more = one.line.client, one.line.more
    phase = PHASE_WORDS[one.beside.phase] if one.beside.phase else "no phase yet"
    state = "" if client.state is ClientState.ACTIVE else f", {client.state.value.replace('_', ' ')}"
    return LineView(
        id=client.id,
        name=client.name,
        meta=f"{words.meta(one, phase)}{state}",
        top=_reason(one, one.line.top, is_top=True),
        more=tuple(_reason(one, signal, is_top=False) for signal in more),
        more_words=f"{words.in_words(len(more))} more {'reason' if len(more) == 1 else 'reasons'}".capitalize(),
        ribbon=draw_ribbon(one.beside.ribbon, name=client.name, key=f"m{client.id}"),
    )


def _reason(one: MorningLine, signal: Signal, *, is_top: bool) -> ReasonView:
    found = [_act(one, signal, act) for act in signal.acts if is_top or act in (Act.LIFT, Act.ASK_IN_WRITING)]
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
    is_about_today = Act.EASE_TODAY in signal.acts or Act.MOVE_TODAY in signal.acts
    swap = [_form(one, signal, "swap", "Swap", "w")] if is_top and one.beside.session and is_about_today else []
    note = [*swap, _form(one, signal, "note", "Note to the client", "n")] if is_top else []
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
        Act.LIFT: ActView(
            "go", f"/holds/{signal.hold_id}/lift", "Read it and lift" if signal.leads else "Read it", "l"
        ),
        Act.ASK_IN_WRITING: ActView("go", f"{base}/safety/letter", "Ask for it in writing", "l"),
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
    if one.beside.session is None:
        return None
    if act is Act.MOVE_TODAY:
        return _form(one, signal, "move", "Move", "m")
    return _form(one, signal, "ease", "Easy version today", "e")


def _form(one: MorningLine, signal: Signal, word: str, label: str, key: str) -> ActView:
    query = urlencode({"signal": signal.name})
    return ActView("form", f"/morning/{one.line.client.id}/{word}?{query}", label, key)


def _post(one: MorningLine, word: str, label: str, key: str, *values: tuple[str, str]) -> ActView:
    return ActView("post", f"/morning/{one.line.client.id}/{word}", label, key, values=values)


def group_view(group: LineGroup, views: Mapping[int, LineView]) -> GroupView:
    """One line for many, with what each of them says."""
    count = len(group.lines)
    return GroupView(
        key=group.name.replace("_", "-"),
        sentence=f"{words.in_words(count).capitalize()} {group.words}.",
        message=group.message,
        lines=tuple(views[line.client.id] for line in group.lines),
        acts=_group_acts(group),
    )


def _group_acts(group: LineGroup) -> tuple[ActView, ...]:
    """One act for all of them; a reason that asks for something to be done first is not settled by words."""
    of = ",".join(str(line.client.id) for line in group.lines)
    query = urlencode({"signal": group.name, "of": of})
    given = [("contact", "Contact with all", "c"), ("put-off", "Put all off", "p")]
    given += [] if any(needs_act(line.top) for line in group.lines) else [("handled", "All handled", "h")]
    acts = [ActView("form", f"/together/{word}?{query}", label, key) for word, label, key in given]
    if all(Act.SEND_QUESTIONS in line.top.acts for line in group.lines):
        acts.insert(0, ActView("post", "/together/questions", "Questions to their phones", "q", values=(("of", of),)))
    return (_main(acts[0]), *acts[1:])
