"""The client's phone, one file per area."""
