"""Tests of the simulated practice."""
