"""The bibliography: every [key] used in the code, who wrote it, where it stands, and how far we read it."""

from __future__ import annotations

from app.physiology.source import Source
from app.physiology.sources_intensity import INTENSITY
from app.physiology.sources_load import LOAD
from app.physiology.sources_norms import NORMS
from app.physiology.sources_power import POWER
from app.physiology.sources_safety import SAFETY
from app.physiology.sources_vo2max import VO2MAX

__all__ = ["SOURCES", "Source"]

_ALL = (*INTENSITY, *LOAD, *NORMS, *POWER, *SAFETY, *VO2MAX)

SOURCES: dict[str, Source] = {source.key: source for source in sorted(_ALL, key=lambda one: one.key)}
