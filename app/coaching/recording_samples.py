"""A recording as a file gives it: samples at their own times, before they are laid on an even clock."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from app.coaching.reasons import DomainError
from app.coaching.recordings import Series, SpeedSource


class NotASession(DomainError):
    """The samples of a file make no recording of a session; the sentence says why."""


class Place(StrEnum):
    """Where a sample was taken. Kept out of every recording unless the client asks for it."""

    LATITUDE = "latitude_deg"
    LONGITUDE = "longitude_deg"


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """One value a sample and channel, NaN where the file says nothing or nothing that can be."""

    #: Seconds, in UTC since 1970 where `has_calendar`, else since any beginning; NaN where the file has no time.
    at_s: Series
    #: By the channel's name, or a Place.
    values: Mapping[str, Series]
    #: Whether `at_s` is an instant, not only a distance in time.
    has_calendar: bool
    #: Indices of samples that begin a new stretch: between it and the one before the recorder stood still.
    stretch_starts: tuple[int, ...] = ()
    speed_source: SpeedSource | None = None
    #: What the reader left out, in sentences.
    notes: tuple[str, ...] = field(default=())
