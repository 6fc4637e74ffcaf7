"""The practice itself, as every page knows it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class PracticeKind(StrEnum):
    """Whether the folder holds real people; only invented ones may be moved in time."""

    REAL = "real"
    DEMO = "demo"
    SIMULATED = "simulated"


@dataclass(frozen=True, slots=True)
class Practice:
    """Name, kind, zone and how the practice is reached."""

    name: str
    kind: PracticeKind
    zone: str
    emergency_number: str | None
    public_url: str | None
    setup_code_sha256: str | None
    #: Where clients reach their coach by telephone.
    phone: str | None = None

    @property
    def emergency_words(self) -> str:
        """The number to call, or words for it when the practice has not set one."""
        return self.emergency_number or "your local emergency number"
