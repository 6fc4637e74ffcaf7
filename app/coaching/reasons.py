"""A judgement is a level with its reasons, and each reason carries the figures it used."""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.provenance import Provenance

__all__ = ["DomainError", "Figure", "Provenance", "Refused", "StaleEdit", "Why"]


class DomainError(Exception):
    """A broken promise, with a sentence the coach can read."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line of "Why?": what it is and what it says, ready to print."""

    name: str
    text: str


@dataclass(frozen=True, slots=True)
class Why:
    """What opens behind a statement: figures, the rule in words, its provenance, and what would change it.

    `formulae` names the cards (app/coaching/catalogue.py) a figure was reckoned by; a rule of the practice has none.
    """

    figures: tuple[Figure, ...]
    rule: str
    provenance: Provenance
    source: str | None = None
    would_change: str | None = None
    formulae: tuple[str, ...] = ()


#: Going against a rule asks for so many characters, of a few different letters, so that it can be read later (house
#: choice).
REASON_LEAST = 10
_LETTERS_LEAST = 4
REASON_ASKED = f"At least {REASON_LEAST} characters, so that it can be read later."


def is_reason(text: str | None) -> bool:
    """Whether words that go against a rule say something: not a letter, not one letter many times."""
    said = " ".join((text or "").split())
    letters = {letter for letter in said.casefold() if letter.isalnum()}
    return len(said) >= REASON_LEAST and len(letters) >= _LETTERS_LEAST


class StaleEdit(DomainError):
    """Somebody changed the record meanwhile; the sentence says what, and nothing typed is lost."""


class Refused(DomainError):
    """What was asked for is against the rules; the sentence says which and what would change it."""
