"""Where the rounds of an entry and those of its recording do not say the same length."""

from __future__ import annotations

from collections.abc import Sequence

from app.coaching.round_figures import RoundFigures
from app.coaching.session_logs import RoundDone
from app.coaching.session_renderings import clock_words

#: Closer than this the edges of a round are a matter of a finger on a watch (house choice).
ALIKE_WITHIN_S = 15


def rounds_that_differ(written: Sequence[RoundDone], recorded: Sequence[RoundFigures]) -> tuple[str, ...]:
    """A sentence for each round whose written and recorded lengths differ by more than a finger's slip.

    Neither is called right: the client, who was there, may change the entry or leave it.
    Source: house choice.
    """
    lengths = {one.number: round(one.end_s - one.start_s) for one in recorded}
    return tuple(
        f"Round {one.number}: {clock_words(round(one.duration_s))} in your entry, "
        f"{clock_words(lengths[one.number])} in the recording."
        for one in sorted(written, key=lambda one: one.number)
        if one.number in lengths and abs(one.duration_s - lengths[one.number]) > ALIKE_WITHIN_S
    )
