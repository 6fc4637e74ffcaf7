"""Whole stories, told over HTTP against a real server on a real folder."""
