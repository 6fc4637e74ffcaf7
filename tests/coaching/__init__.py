"""Tests of what the practice decides."""
