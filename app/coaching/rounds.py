"""The rounds of a recording: those the coach set, else those of the plan, else whatever stands out by itself."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from app.coaching.people import Mode
from app.coaching.recordings import Recording
from app.coaching.rounds_free import rounds_without_plan
from app.coaching.rounds_planned import rounds_with_plan
from app.coaching.rounds_signal import round_series
from app.coaching.rounds_values import FoundRounds, RoundEdges, RoundsAsked, Sureness, rounds_by_hand
from app.physiology.values import Missing

_NOT_THOSE_PLANNED = "the planned rounds were not seen; these stand out by themselves"


def find_rounds(
    recording: Recording,
    *,
    mode: Mode | None = None,
    asked: RoundsAsked | None = None,
    by_hand: Sequence[RoundEdges] = (),
    heart_rate_counts: bool = True,
) -> FoundRounds | Missing:
    """The rounds of a recording; Missing with the reason when it shows none.

    mode: what the client moved by; None when nobody said, and then the speed tells riding from going on foot.
    by_hand: edges the coach set. They win over every reading, now and later.
    heart_rate_counts: False for a client whose heart rate is not reliable.
    Raises: DomainError for edges set by hand that cannot be.
    """
    if by_hand:
        return rounds_by_hand(by_hand, duration_s=recording.duration_s, asked=asked)
    longest = max(asked.work_s) if asked else None
    series = round_series(recording, mode, heart_rate_counts=heart_rate_counts, longest_work_s=longest)
    if isinstance(series, Missing):
        return series
    if asked is None:
        return rounds_without_plan(series)
    found = rounds_with_plan(series, asked)
    if not isinstance(found, Missing):
        return found
    others = _by_themselves(recording, mode, heart_rate_counts=heart_rate_counts)
    if isinstance(others, Missing):
        return found
    return replace(
        others,
        sureness=Sureness.LIKELY,
        because=(_NOT_THOSE_PLANNED, *others.because),
    )


def _by_themselves(recording: Recording, mode: Mode | None, *, heart_rate_counts: bool) -> FoundRounds | Missing:
    series = round_series(recording, mode, heart_rate_counts=heart_rate_counts)
    return series if isinstance(series, Missing) else rounds_without_plan(series)
