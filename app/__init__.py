"""Foothill, the endurance coach's desk."""

__version__ = "0.1.0"
