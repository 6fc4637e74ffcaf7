"""The coach's desk, one file per area."""
