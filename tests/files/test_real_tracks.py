"""Tracks that nobody here made (tests/data/gpx), from their bytes to a recording or a sentence."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import numpy as np
import pytest

from app.coaching.recording_samples import NotASession
from app.coaching.recording_series import Laid, lay
from app.coaching.recordings import FaultKind
from app.files import recordings

FOLDER = Path(__file__).parent.parent / "data" / "gpx"
NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)


def laid(name: str) -> Laid:
    found = recordings.read((FOLDER / name).read_bytes(), {}).samples
    assert found is not None
    return lay(found, latest_at=NOW)


def test_a_walk_by_a_lake_keeps_its_holes() -> None:
    found = laid("cerknicko-jezero.gpx").recording

    # First and last time of its points: 14:23:59 and 16:23:49.
    assert found.started_at == datetime(2010, 8, 5, 14, 23, 59, tzinfo=UTC)
    assert found.duration_s == 7191
    assert found.channels == ("speed_m_per_s", "altitude_m", "distance_m")
    assert FaultKind.GAP in {one.kind for one in found.faults}
    # From 4561 s to 4563 s the places lie 184 m apart, further than anybody walks.
    assert "The place jumped at 1:16:03; that distance is not counted." in [one.sentence for one in found.faults]
    assert found.speed_m_per_s is not None
    assert np.isnan(found.speed_m_per_s).any()


def test_points_without_a_time_are_left_out_and_the_others_stay() -> None:
    found = laid("korita-zbevnica.gpx")

    assert found.recording.started_at == datetime(2010, 10, 3, 9, 36, 30, tzinfo=UTC)
    assert "358 points without a time were left out." in found.notes


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("cerknicko-without-times.gpx", "Most points in this file have no time"),
        ("Mojstrovka.gpx", "This recording is 1 second long"),
    ],
)
def test_a_track_that_is_no_recording_is_refused(name: str, sentence: str) -> None:
    with pytest.raises(NotASession, match=sentence):
        laid(name)
