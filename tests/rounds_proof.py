"""How well rounds are found in recordings whose truth is known: precision, recall, and how far edges lie off."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

import numpy as np

from app.coaching.rounds import find_rounds
from app.coaching.rounds_values import RoundsAsked
from app.physiology.values import Missing
from tests.recorded_sessions import Recorded, Seen, easy, intervals

#: What must hold for 95 of 100 edges, s.
MOST_ERROR_S = {Seen.POWER: 3.0, Seen.SPEED: 6.0, Seen.SPEED_ONLY: 6.0, Seen.HEART_RATE: 20.0, Seen.HILL_RIDE: 6.0}
#: Rounds, work and recovery of the sets; a heart shows none of under a minute and a half.
LONG_SETS = ((4, 240, 240), (2, 240, 240), (3, 240, 240), (4, 300, 180), (5, 240, 180), (3, 450, 210), (6, 180, 180))
SHORT_SETS = ((20, 30, 30), (10, 60, 60), (8, 60, 90))
VERY_SHORT_SETS = ((20, 15, 15), (30, 15, 15))


@dataclass(slots=True)
class Score:
    """What was found against what was there."""

    there: int = 0
    found: int = 0
    right: int = 0
    errors_s: list[float] = field(default_factory=list)

    @property
    def precision(self) -> float:
        """Share of the rounds found that were rounds."""
        return self.right / self.found if self.found else 1.0

    @property
    def recall(self) -> float:
        """Share of the rounds there that were found."""
        return self.right / self.there if self.there else 1.0

    def edge_error_s(self, percent: float) -> float:
        """So many of 100 edges lie within this."""
        return float(np.percentile(np.abs(self.errors_s), percent)) if self.errors_s else 0.0

    def add(self, recorded: Recorded, *, with_plan: bool) -> None:
        """Read one recording and hold it against its truth; a round is right when it shares over half of one."""
        self.there += len(recorded.truth)
        asked = recorded.asked if with_plan else None
        rounds = find_rounds(recorded.recording, mode=recorded.mode, asked=asked)
        if isinstance(rounds, Missing):
            return
        self.found += len(rounds.rounds)
        for one in rounds.rounds:
            for start, end in recorded.truth:
                if min(end, one.end_s) - max(start, one.start_s) > (end - start) / 2:
                    self.right += 1
                    self.errors_s += [one.start_s - start, one.end_s - end]
                    break


def score(recordings: Iterable[Recorded], *, with_plan: bool) -> Score:
    """All of them together."""
    found = Score()
    for one in recordings:
        found.add(one, with_plan=with_plan)
    return found


def score_thrice(recordings: Iterable[Recorded]) -> tuple[Score, Score, Score]:
    """All of them together, read with a plan of long rounds, with one of short rounds, and without any."""
    with_long, with_short, without = Score(), Score(), Score()
    for number, one in enumerate(recordings):
        with_long.add(one, with_plan=True)
        shapes = (*SHORT_SETS, *VERY_SHORT_SETS)
        short = RoundsAsked.alike(*shapes[number % len(shapes)])
        with_short.add(replace(one, asked=short), with_plan=True)
        without.add(one, with_plan=False)
    return with_long, with_short, without


def sets(
    count: int, seen: Seen, shapes: tuple[tuple[int, int, int], ...], *, with_changes: bool, seed: int = 0
) -> Iterable[Recorded]:
    """So many sets of rounds; with changes, some leave the last round out and some do one more than asked."""
    for number in range(count):
        rounds, work, recovery = shapes[number % len(shapes)]
        changes = {3: {"skip": 1}, 4: {"extra": 1}}.get(number % 5, {}) if with_changes else {}
        rng = np.random.default_rng([seed, number])
        yield intervals(rng, seen, rounds=rounds, work_s=work, recovery_s=recovery, **changes)


def easy_sessions(count: int, seen: Seen, *, seed: int = 1) -> Iterable[Recorded]:
    """So many easy sessions."""
    return (easy(np.random.default_rng([seed, number]), seen) for number in range(count))
