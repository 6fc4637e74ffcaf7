"""The tests, one folder per floor."""
