"""All tables; importing this package fills the metadata."""

from app.storage.tables import desk, intake, people, safety, scans, training
from app.storage.tables.base import Base

__all__ = ["Base", "desk", "intake", "people", "safety", "scans", "training"]
