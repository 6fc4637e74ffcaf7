"""Invented names, put together from syllables of our own; nobody is meant."""

from __future__ import annotations

import numpy as np

_FIRST = (
    "Al",
    "Be",
    "Cor",
    "Da",
    "El",
    "Fi",
    "Gre",
    "Ha",
    "Is",
    "Jo",
    "Ka",
    "Li",
    "Mo",
    "Ne",
    "Or",
    "Pel",
    "Ro",
    "Sa",
)
_LAST = ("bin", "da", "dor", "la", "len", "lin", "mar", "mir", "na", "ric", "ra", "ro", "sa", "ta", "va", "wen")
_PLACE = (
    "Alder",
    "Birk",
    "Brae",
    "Cold",
    "Dun",
    "Elm",
    "Fen",
    "Glim",
    "Hazel",
    "Kest",
    "Lark",
    "Moss",
    "Ness",
    "Osk",
)
_KIND = ("acre", "beck", "by", "combe", "dale", "holt", "low", "mere", "ridge", "stead", "thwaite", "wick")


def invented_name(rng: np.random.Generator) -> str:
    """A first and a last name."""
    first, last, place, kind = (words[int(rng.integers(len(words)))] for words in (_FIRST, _LAST, _PLACE, _KIND))
    return f"{first}{last} {place}{kind}"
