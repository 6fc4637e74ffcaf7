"""Bringing a practice in from the spreadsheets it was kept in: look first, then keep, then confirm."""
