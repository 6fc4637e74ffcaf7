"""One publication, as the code names it."""

from __future__ import annotations

from dataclasses import dataclass

from app.physiology.provenance import Provenance


@dataclass(frozen=True, slots=True)
class Source:
    """One publication. `about` says in our own words what is taken from it; it is not its title."""

    key: str
    authors: str
    year: int
    where: str
    about: str
    provenance: Provenance
    doi: str | None = None

    @property
    def short(self) -> str:
        """As it is named in a sentence: Riebe et al. 2015."""
        return f"{self.authors} {self.year}"
