"""Ten minutes of files of every kind of wrong: each is read, or refused in one sentence, and nothing else happens."""

from __future__ import annotations

import os
import time
from collections import Counter

import hypothesis
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.hostile_recordings import FILES, check, read_whole_way
from tests.prove import report

SECONDS = 60 * float(os.environ.get("FOOTHILL_FUZZ_MINUTES", "10"))
#: Files a seed; another seed follows until the time is over.
A_SEED = 500
#: No file may take longer, whatever it is.
MOST_S = 5.0


class Tried:
    """What became of the files so far."""

    def __init__(self) -> None:
        self.files = 0
        self.taken = 0
        self.largest = 0
        self.slowest_s = 0.0
        self.refusals: Counter[str] = Counter()

    def one(self, content: bytes, choose: int) -> None:
        """Read one file the whole way."""
        began = time.thread_time()
        found = read_whole_way(content, choose)
        self.slowest_s = max(self.slowest_s, time.thread_time() - began)
        check(found)
        assert self.slowest_s < MOST_S
        self.files += 1
        self.largest = max(self.largest, len(content))
        if isinstance(found, str):
            self.refusals[" ".join(found.split()[:4])] += 1
        else:
            self.taken += 1


def _some(seed: int, tried: Tried) -> None:
    @hypothesis.seed(seed)
    @settings(
        max_examples=A_SEED, deadline=None, database=None, suppress_health_check=list(HealthCheck), print_blob=True
    )
    @given(content=FILES, choose=st.integers(0, 6))
    def each(content: bytes, choose: int) -> None:
        tried.one(content, choose)

    each()


def test_ten_minutes_of_hostile_files() -> None:
    tried, began, seed = Tried(), time.monotonic(), 0

    while time.monotonic() - began < SECONDS:
        _some(seed, tried)
        seed += 1

    took = time.monotonic() - began
    rows = [
        ("files tried", f"{tried.files:,}"),
        ("read as a recording", f"{tried.taken:,}"),
        ("refused in a sentence", f"{sum(tried.refusals.values()):,}"),
        ("different refusals", len(tried.refusals)),
        ("largest file", f"{tried.largest:,} bytes"),
        ("slowest file", f"{tried.slowest_s:.2f} s of processor time"),
        ("seeds", seed),
        ("time", f"{took:.0f} s"),
    ]
    print()
    print(
        report.keep(
            "Hostile recordings",
            command="make prove (pytest tests/prove/test_recording_fuzz.py)",
            sentence="GPX trees, tables, damaged good files and plain bytes, made by hypothesis, go the whole way: "
            "read, asked about, laid on an even clock, packed, unpacked, judged. A file becomes a recording within "
            "its limits or is refused in one sentence; anything else fails.",
            columns=("figure", "value"),
            rows=rows,
        )
    )
    assert tried.taken
    assert tried.refusals
