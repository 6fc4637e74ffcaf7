"""Recordings beside the log: looked at first, kept as a series and never as a file, taken away and brought back."""
