"""Words of a session kept as easy or middle that sound hard: asked about before it is sent, so that none goes unseen.

It reads words, not meaning, and refuses nothing: the coach says why, or mends the session.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from app.coaching.effort import Band
from app.coaching.lookahead_values import Breach, Level
from app.coaching.planned_effort import band_of_plan
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Figure, Provenance, Why
from app.coaching.words import short_day

_NOT_HARD = re.compile(
    r"\b(?:not(?: too)?|nothing|never|no|isn't) (?:hard|intervals?|sprint\w*|all[ -]out|flat[ -]out)\b", re.I
)
_HARD = re.compile(
    r"\b(?:flat[ -]out|all[ -]out|(?:as )?(?:hard|fast) as|sprint\w*|hard(?:er|est)?|intervals?|maxim(?:al|um)|"
    r"\d+ ?[x×] ?\d+(?:[.,]\d+)? ?min\w*)\b",
    re.I,
)
_KINDS = frozenset({SessionKind.EASY, SessionKind.MIDDLE})


def hard_words(words: str) -> tuple[str, ...]:
    """The words that sound hard, as they were written; empty when there are none.

    Source: common practice, no published source.
    """
    return tuple(found.group() for found in _HARD.finditer(_NOT_HARD.sub(" ", words)))


def wording_breaches(drafts: Sequence[PlannedSession]) -> list[Breach]:
    """Easy and middle drafts whose title or purpose sounds hard."""
    found = []
    for draft in drafts:
        words = hard_words(f"{draft.title}. {draft.purpose}")
        if not words or draft.kind not in _KINDS or band_of_plan(draft) is Band.HARD:
            continue
        said = ", ".join(f'"{word}"' for word in words)
        why = Why(
            (Figure("words", said), Figure("planned as", draft.kind.value)),
            "Words that sound hard belong to a session planned as hard.",
            Provenance.COMMON_PRACTICE,
        )
        on = short_day(draft.planned_on)
        sentence = f"{draft.title} on {on} is planned as {draft.kind.value} and sounds hard: {said}."
        found.append(Breach(Level.ASKS, "wording", draft.planned_on, sentence, why))
    return found
