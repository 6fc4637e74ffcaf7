"""Clients ticked in a list of names: each box is called k and the client's number."""

from __future__ import annotations

from collections.abc import Mapping

_LONGEST_ID = 15


def ticked(values: Mapping[str, str]) -> list[int]:
    """The numbers of the clients ticked, in the order of the boxes."""
    found = (id_of(name[1:]) for name, value in values.items() if name[:1] == "k" and value == "yes")
    return [one for one in found if one is not None]


def id_of(text: str) -> int | None:
    """A record's number from an address or a field's name; None for anything else."""
    return int(text) if text.isascii() and text.isdigit() and len(text) < _LONGEST_ID else None
