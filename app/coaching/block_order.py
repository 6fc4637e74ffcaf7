"""Blocks in their order: which is in force on a day, which comes next, and which a later one has overtaken."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, timedelta

from app.coaching.history import History
from app.coaching.prescriptions import Block


def block_end(block: Block) -> date:
    """A block's last Sunday."""
    return block.starts_on + timedelta(weeks=block.weeks) - timedelta(days=1)


def block_on(blocks: Sequence[Block], day: date) -> Block | None:
    """The block a day lies in; of several the one written last."""
    holding = [one for one in blocks if one.starts_on <= day <= block_end(one)]
    return max(holding, key=lambda one: one.id, default=None)


def next_block(blocks: Sequence[Block], day: date) -> Block | None:
    """The first block that begins after a day, written after the one in force, of the phase planned last."""
    now = block_on(blocks, day)
    newest = max(blocks, key=lambda one: one.id, default=None)
    later = [
        one
        for one in blocks
        if one.starts_on > day and (now is None or one.id > now.id) and newest and one.phase is newest.phase
    ]
    return min(later, key=lambda one: (one.starts_on, -one.id), default=None)


def overtaken_block(history: History, monday: date) -> Block | None:
    """The block a planned week was written in, when a later one has overtaken it; None when it still counts.

    A later block overtakes the weeks from its own start on, and every week when it serves another phase.
    """
    week = next((one for one in history.weeks if one.starts_on == monday), None)
    block = next((one for one in history.blocks if week is not None and one.id == week.block_id), None)
    if block is None:
        return None
    later = [one for one in history.blocks if one.id > block.id]
    is_overtaken = any(one.starts_on <= monday or one.phase is not block.phase for one in later)
    return block if is_overtaken else None


def block_words(block: Block) -> str:
    """A block in a sentence: "the block of 12 Oct (Build the aerobic base)"."""
    return f"the block of {block.starts_on.day} {block.starts_on:%b} ({block.aim})"
