"""The short form of the long proof: a few dozen files of every kind of wrong."""

from __future__ import annotations

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.hostile_recordings import FILES, check, read_whole_way


@settings(max_examples=50)
@given(content=FILES, choose=st.integers(0, 6))
def test_a_file_becomes_a_recording_or_is_refused_in_one_sentence(content: bytes, choose: int) -> None:
    check(read_whole_way(content, choose))
