"""Words of a session kept as easy or middle that sound hard: asked about before it is sent, so that none goes unseen.

It reads words, not meaning, and refuses nothing: the coach says why, or mends the session.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from functools import lru_cache

from app.coaching.easy_version import own_words
from app.coaching.effort import Band
from app.coaching.hard_vocabulary import SOUNDS_HARD, TAKEN_BACK, Wording
from app.coaching.lookahead_values import Breach, Level
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.words import short_day

_PLANNED_AS = {Band.EASY: "easy", Band.MIDDLE: "middle effort"}
_DASHES_AND_QUOTES = str.maketrans(
    {"‐": "-", "‑": "-", "‒": "-", "–": "-", "—": "-", "’": "'", "‘": "'", "′": "'", "\u00ad": "", "\u200b": ""}
)

Span = tuple[int, int]


@lru_cache(maxsize=4096)
def hard_words(words: str, band: Band = Band.EASY) -> tuple[str, ...]:
    """The words that sound hard in a session of a band, as they were written; empty when there are none.

    Words that are taken back count as long as they stand whole inside what takes them back.
    Source: house choice, no published source.
    """
    said = _plain(words)
    sounding = _spans(SOUNDS_HARD, said, band)
    calm = _spans(TAKEN_BACK, said, band) if sounding else ()
    hard = [one for one in sounding if not any(_is_within(one, other) for other in calm)]
    whole = sorted({one for one in hard if not any(_is_within(one, other) and one != other for other in hard)})
    return tuple(dict.fromkeys(said[start:end] for start, end in whole))


def wording_breaches(drafts: Sequence[PlannedSession]) -> list[Breach]:
    """Easy and middle drafts whose title or purpose sounds hard; strength has words of its own and is none."""
    found = []
    for draft in drafts:
        band = band_of_plan(draft)
        if band is Band.HARD or draft.kind is SessionKind.STRENGTH:
            continue
        if words := hard_words(own_words(draft), band):
            found.append(_breach(draft, _PLANNED_AS[band], ", ".join(f'"{word}"' for word in words)))
    return found


def _breach(draft: PlannedSession, planned_as: str, said: str) -> Breach:
    why = Why(
        (Figure("words", said), Figure("planned as", planned_as)),
        "Words that sound hard belong to a session planned as hard.",
        Provenance.HOUSE,
    )
    sentence = f"{draft.title} on {short_day(draft.planned_on)} is planned as {planned_as} and sounds hard: {said}."
    return Breach(Level.ASKS, "wording", draft.planned_on, sentence, why)


def _plain(words: str) -> str:
    """One line of words with one sort of blank, dash and apostrophe, so that none of them hides a word."""
    return re.sub(r"\s+", " ", unicodedata.normalize("NFKC", words).translate(_DASHES_AND_QUOTES)).strip()


def _spans(rows: Sequence[Wording], said: str, band: Band) -> list[Span]:
    return [found.span() for row in rows if band in row.bands for found in row.pattern.finditer(said)]


def _is_within(one: Span, other: Span) -> bool:
    return other[0] <= one[0] and one[1] <= other[1]
