"""Sources about VO2max: tests, norms, decline and change."""

from __future__ import annotations

from app.physiology.source import Source

#: In alphabetical order of their keys.
VO2MAX: tuple[Source, ...] = ()
