"""The practice's own duties as lines of the morning."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.coaching.housekeeping import HouseLine
from app.coaching.reasons import Why
from app.coaching.signals import Shelf


@dataclass(frozen=True, slots=True)
class HouseView:
    """One duty, with the page it is done on."""

    key: str
    #: Whom it is about; the practice itself for copies.
    name: str
    sentence: str
    why: Why
    address: str
    label: str


def house_views(lines: Sequence[HouseLine], shelf: Shelf, names: Mapping[int, str]) -> tuple[HouseView, ...]:
    """The duties of one shelf."""
    return tuple(_view(one, names) for one in lines if one.shelf is shelf)


def _view(one: HouseLine, names: Mapping[int, str]) -> HouseView:
    if one.client_id is None:
        return HouseView("copy", "The practice", one.sentence, one.why, "/practice/backup", "How to make one")
    return HouseView(
        f"request-{one.request_id}",
        names[one.client_id],
        one.sentence,
        one.why,
        f"/clients/{one.client_id}/requests",
        "Open the request",
    )
