"""Measurements: they print figures and assert no time, at most a generous ratio to an empty loop."""
