"""Bytes in and out: what clients bring and what the practice hands over."""
