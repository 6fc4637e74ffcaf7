"""All tables; importing this package fills the metadata."""

from app.storage.tables import (
    conversations,
    desk,
    forecasts,
    hills,
    illness,
    incidents,
    intake,
    measured,
    people,
    pressure_limits,
    protocols,
    recordings,
    safety,
    scans,
    templates,
    training,
)
from app.storage.tables.base import Base

__all__ = [
    "Base",
    "conversations",
    "desk",
    "forecasts",
    "hills",
    "illness",
    "incidents",
    "intake",
    "measured",
    "people",
    "pressure_limits",
    "protocols",
    "recordings",
    "safety",
    "scans",
    "templates",
    "training",
]
