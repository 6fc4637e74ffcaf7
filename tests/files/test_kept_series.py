"""A recording kept as bytes comes back as it was, to a step nobody measures; damaged bytes are refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.extra import numpy as arrays

from app.coaching.recording_about import About, about, edges_from_json, edges_to_json, from_json, to_json
from app.coaching.recording_samples import Place
from app.coaching.recording_series import lay
from app.coaching.recordings import Recording
from app.coaching.rounds_values import RoundEdges
from app.files import recordings
from app.files.kept_series import BrokenSeries, pack, unpack
from tests.tracks import rounds_gpx

NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
NOTHING = About((), (), (), None)


def laid():
    found = recordings.read(rounds_gpx(), {}).samples
    assert found is not None
    return lay(found, latest_at=NOW)


def test_a_recording_comes_back_with_its_places_only_when_they_were_given() -> None:
    found = laid()

    whole = pack(found.recording, found.places)
    back, places = unpack(whole, about=from_json(to_json(about(found))), started_at=found.recording.started_at)
    without = unpack(pack(found.recording, {}), about=NOTHING, started_at=None)[1]

    assert back.channels == found.recording.channels
    assert back.power_w == pytest.approx(found.recording.power_w, abs=0.05)
    assert back.speed_m_per_s == pytest.approx(found.recording.speed_m_per_s, abs=0.0005)
    assert (back.faults, back.started_at, back.speed_source) == (
        found.recording.faults,
        found.recording.started_at,
        found.recording.speed_source,
    )
    assert places[Place.LATITUDE] == pytest.approx(found.places[Place.LATITUDE], abs=1e-6)
    assert without == {}


def test_an_hour_is_a_few_kilobytes() -> None:
    found = laid()

    assert len(pack(found.recording, {})) < 20_000


@settings(max_examples=50)
@given(
    arrays.arrays(
        np.float64, st.integers(1, 200), elements=st.one_of(st.just(float("nan")), st.floats(0, 2500, width=32))
    )
)
def test_whatever_is_kept_comes_back_with_its_holes(values: np.ndarray) -> None:
    recording = Recording(time_s=np.arange(values.size, dtype=np.float64), power_w=values)

    back = unpack(pack(recording, {}), about=NOTHING, started_at=None)[0].power_w

    assert back is not None
    assert np.array_equal(np.isnan(back), np.isnan(values))
    assert np.nanmax(np.abs(back - values), initial=0.0) <= 0.05 + 1e-9


@pytest.mark.parametrize("damage", [lambda b: b[:-4], lambda b: b"x" + b, lambda b: b[:0], lambda b: b[:20] + b[40:]])
def test_damaged_bytes_are_refused(damage) -> None:
    found = laid()

    with pytest.raises(BrokenSeries, match="damaged"):
        unpack(damage(pack(found.recording, {})), about=NOTHING, started_at=None)


def test_what_is_said_about_it_and_the_rounds_set_by_hand_come_back() -> None:
    said = replace(about(laid()), notes=("One thing.",))
    edges = (RoundEdges(600.0, 840.0), RoundEdges(1080.5, 1320.0))

    assert from_json(to_json(said)) == said
    assert edges_from_json(edges_to_json(edges)) == edges
