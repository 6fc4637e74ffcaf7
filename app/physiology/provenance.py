"""How far a figure can be trusted: one set of words for code, sources and screen."""

from __future__ import annotations

from enum import StrEnum


class Provenance(StrEnum):
    """How far a figure can be trusted; the same words in code and on screen."""

    PUBLISHED_READ = "published, read"
    PUBLISHED_SECOND_HAND = "published, second-hand"
    FROM_MEMORY = "from memory, unchecked"
    HOUSE = "house choice"
    COMMON_PRACTICE = "common practice, no published source"
