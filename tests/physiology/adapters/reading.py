"""Pieces that adapters share: lists, gaps and figures as the rows write them."""

from __future__ import annotations

import re
from collections.abc import Mapping

from app.physiology.values import Estimate, Missing

Inputs = Mapping[str, str]

_NUMBER = re.compile(r"-?\d+(?:\.\d+)?")


def numbers(text: str) -> list[float]:
    """`3|4.5` as numbers."""
    return [float(part) for part in text.split("|")]


def all_numbers(text: str) -> list[float]:
    """Every number of a text, in order."""
    return [float(one) for one in _NUMBER.findall(text)]


def first_number(text: str) -> float:
    """The number a text begins with, its unit left out."""
    return float(text.split(maxsplit=1)[0])


def plain(answer: float | Estimate | Missing) -> float | str:
    """As the rows write it: a gap is `undefined`."""
    if isinstance(answer, Missing):
        return "undefined"
    return answer.value if isinstance(answer, Estimate) else answer
