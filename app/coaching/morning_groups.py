"""The same reason for many clients: one line, and one message that fits all of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from app.coaching.morning import Line
from app.coaching.signals import Family

#: From so many clients on they stand together (house choice).
GROUP_LEAST = 3

#: What is said of all of them, after their number, and what may be sent to each. Words of the practice, invented.
_GROUPS = {
    "contact_overdue": (
        "clients have not been spoken with for too long",
        "Hello, it is a while since we spoke. How is it going? When may I call you this week?",
    ),
    "quiet": (
        "clients are quieter than usual",
        "Hello, nothing has come from you for some days, and that is all right. How are you? A word is enough.",
    ),
    "questions_due": (
        "clients are due to answer the health questions again",
        "Hello, it is time for the short health questions again. You find them on your phone; it takes five minutes.",
    ),
    "retest_due": (
        "clients are due for a test",
        "Hello, it is time for the same test again, as last time: same place, same hour, rested. Which day suits?",
    ),
    "block_ending": (
        "clients have a block that ends with none after it",
        "Hello, this block is nearly done. I am writing the next one: are your days and times still the same?",
    ),
    "clearance_ending": (
        "clients have a clearance that ends soon",
        "Hello, your doctor's clearance ends soon. Please ask for a new one in time; I can send you the letter.",
    ),
    "pressure_due": (
        "clients are due for a blood pressure reading",
        "Hello, please measure your blood pressure once, seated, after five minutes of rest, and tell me.",
    ),
    "consent_ending": (
        "clients are due to agree again",
        "Hello, once a year I ask you to read and agree again to how we work. You find it on your phone.",
    ),
    "missed_key_session": (
        "clients missed a session that matters",
        "Hello, this week's main session did not happen, and nothing is lost by it. What came between?",
    ),
    "low_share": (
        "clients do little of what is planned",
        "Hello, the plan seems not to fit your weeks. Which days really work for you just now?",
    ),
    "reason_given": (
        "clients named a reason that came back",
        "Hello, the same thing has come between more than once. Shall we plan around it?",
    ),
    "volume_step": (
        "clients grew their week by a large step",
        "Hello, that was a big week. Please keep the next one no longer, so that your legs can follow.",
    ),
    "long_outing": (
        "clients went out much longer than before",
        "Hello, that was a long one. Please let the next ones be shorter than it, so that your legs can follow.",
    ),
    "hard_gap": (
        "clients had no hard session for longer than planned",
        "Hello, the hard session did not happen lately. Nothing is made up. How are you, and what came between?",
    ),
    "readiness_down": (
        "clients noted worse days than usual",
        "Hello, your notes of these days read worse than usual. How are you? Easy or rest until we have spoken.",
    ),
    "easy_not_easy": (
        "clients did easy sessions that were not easy",
        "Hello, some easy outings were harder than easy. Go slower, or walk uphill: you should chat all the way.",
    ),
    "easy_drifting_up": (
        "clients find easy sessions less and less easy",
        "Hello, your easy outings have become harder to chat in. Please go slower for now. Is anything different?",
    ),
    "year_course": (
        "clients did less hard work this year than their course has",
        "Hello, the year went another way than its course, and that happens. Shall we look at what fits now?",
    ),
}


@dataclass(frozen=True, slots=True)
class LineGroup:
    """Lines with one top reason."""

    name: str
    words: str
    message: str
    lines: tuple[Line, ...]


def groups_of(lines: Iterable[Line]) -> tuple[LineGroup, ...]:
    """The lines that stand together, in the order of their first; never one of safety."""
    by_name: dict[str, list[Line]] = {}
    for line in lines:
        if line.top.name in _GROUPS and line.top.family is Family.REST:
            by_name.setdefault(line.top.name, []).append(line)
    return tuple(
        LineGroup(name, *_GROUPS[name], tuple(some)) for name, some in by_name.items() if len(some) >= GROUP_LEAST
    )


def is_grouped(name: str) -> bool:
    """Whether a reason may stand as one line for many."""
    return name in _GROUPS


def message_for(name: str) -> str:
    """Words that may be sent about one reason; empty when it is better spoken about."""
    return _GROUPS[name][1] if name in _GROUPS else ""
