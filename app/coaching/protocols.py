"""The library of interval sessions: what each is for, whom it suits, its rounds and where it comes from."""

from __future__ import annotations

import re

from app.coaching.people import Mode
from app.coaching.protocol_entries import ENTRIES
from app.coaching.protocol_entries_more import MORE_ENTRIES
from app.coaching.protocol_values import COMMON, NO_SOURCE, IntervalProtocol
from app.coaching.reasons import DomainError

__all__ = [
    "COMMON",
    "NO_SOURCE",
    "PROTOCOLS",
    "IntervalProtocol",
    "protocol_of",
    "protocols_for",
    "session_title",
    "source_words",
]

_ALL = (*ENTRIES, *MORE_ENTRIES)

PROTOCOLS: dict[str, IntervalProtocol] = {protocol.key: protocol for protocol in _ALL}


def protocol_of(key: str) -> IntervalProtocol:
    """The library's entry of that key.

    Raises: DomainError when the library has none.
    """
    if key not in PROTOCOLS:
        raise DomainError(f"the library has no session called {key}")
    return PROTOCOLS[key]


def protocols_for(mode: Mode) -> tuple[IntervalProtocol, ...]:
    """Everything in the library that can be done that way, in the library's order."""
    return tuple(protocol for protocol in _ALL if mode in protocol.modes)


def source_words(protocol: IntervalProtocol) -> str:
    """Where it comes from, with the same words everywhere."""
    return protocol.source if protocol.source else NO_SOURCE


def session_title(protocol: IntervalProtocol, rounds: int) -> str:
    """What a session of so many rounds is called: "3 × 4 min, 4 min off"; the entry's own count gives way."""
    named = re.sub(r"[0-9]+(?= ×)", str(rounds), protocol.name, count=1)
    if named == protocol.name and "×" not in named:
        named = f"{named}: {rounds} {'round' if rounds == 1 else 'rounds'}"
    return named[0].upper() + named[1:]
