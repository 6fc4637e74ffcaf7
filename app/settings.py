"""What the desk is started with: folder, address, and how it is reached."""

from __future__ import annotations

import os
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

from app.coaching.typed_values import zones

DEFAULT_PORT = 8321
#: Said of a machine whose place cannot be told.
NO_ZONE = "UTC"
_CLOCK_OF_MACHINE = Path("/etc/localtime")


@dataclass(frozen=True, slots=True)
class Settings:
    """Start-up settings; everything a practice may change lives in its own file instead."""

    data_dir: Path
    host: str = "127.0.0.1"
    port: int = DEFAULT_PORT
    #: The address phones use, with TLS in front; None: reachable in the practice's network only.
    public_url: str | None = None
    #: Address of the proxy whose forwarding headers are believed.
    trusted_proxy: str | None = None
    #: Pretend it is 07:00 of this day, then run on; only for invented people.
    today: date | None = None
    #: Weak and quick password hashing, for tests on invented people only.
    quick_hashing: bool = False


def default_data_dir() -> Path:
    """Where the practice's file lives unless --data says otherwise."""
    named = os.environ.get("FOOTHILL_DATA")
    return Path(named) if named else Path.home() / "foothill"


def local_zone(clock: Path = _CLOCK_OF_MACHINE) -> str:
    """The machine's own zone by name, as a first guess for a new practice; UTC when it cannot be told or typed."""
    try:
        target = clock.resolve(strict=True).as_posix()
        found = ZoneInfo(target.partition("zoneinfo/")[2]).key
    except (OSError, ValueError, ZoneInfoNotFoundError):
        return NO_ZONE
    return found if found in zones() else NO_ZONE
