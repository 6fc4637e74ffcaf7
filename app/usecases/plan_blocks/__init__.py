"""Blocks: what one is written from, a preview of its weeks, and keeping them as drafts."""
