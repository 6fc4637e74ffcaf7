"""All tables; importing this package fills the metadata."""

from app.storage.tables import (
    conversations,
    data_requests,
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
    "data_requests",
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
