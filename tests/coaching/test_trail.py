"""The trail in words: what was kept in one piece is read as people say it."""

from __future__ import annotations

import json

import pytest

from app.coaching.trail import Change, changes_in


def test_phases_are_read_by_their_names() -> None:
    kept = json.dumps({"before": {"phase": "aerobic_base"}, "after": {"phase": "interval_one"}})

    assert changes_in(kept) == (Change("phase", "aerobic base", "interval phase, one a week"),)


@pytest.mark.parametrize(
    ("value", "words"),
    [
        ("told_by_phone", "told by phone"),
        (["talk_test", "loop"], "talk test; loop"),
        ("anna_b@example.org", "anna_b@example.org"),
        ("Sent as 4_min.csv", "Sent as 4_min.csv"),
        ("keeping", "keeping"),
        (None, "-"),
        (True, "yes"),
    ],
)
def test_a_kept_word_is_read_in_its_parts_and_what_somebody_wrote_stands(value: object, words: str) -> None:
    assert changes_in(json.dumps({"after": {"heart_rate_use": value}})) == (Change("heart rate use", "-", words),)
