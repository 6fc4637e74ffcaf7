"""Published findings that stand as constants in the code are the ones of the reference tables."""

from __future__ import annotations

import pytest

from app.physiology import critical_speed, load, load_averages, w_balance
from tests.physiology.reference_rows import rows

WANTED = ("SRPE-10", "RAMP-10", "RAMP-11", "RAMP-12", "WB-40", "WB-41", "WB-42", "WB-43")
FOUND = {row.id: float(row.expected) for row in rows() if row.id in WANTED}


def test_session_load_repeats_as_badly_as_was_measured():
    assert FOUND["SRPE-10"] == load.SESSION_LOAD_ERROR_PERCENT


def test_the_hazards_of_one_long_run_are_the_published_ones():
    from_percent, ratios = zip(*load_averages.SINGLE_RUN_HAZARDS, strict=True)

    assert ratios == (FOUND["RAMP-10"], FOUND["RAMP-11"], FOUND["RAMP-12"])
    assert from_percent == (10, 30, 100)


def test_recovery_after_exhaustion_is_the_measured_one():
    times_s, shares = zip(*w_balance.MEASURED_RECOVERY, strict=True)

    assert [100 * share for share in shares] == pytest.approx([FOUND["WB-40"], FOUND["WB-41"], FOUND["WB-42"]])
    assert times_s == (2 * 60, 6 * 60, 15 * 60)
    assert FOUND["WB-43"] == w_balance.HALF_TIME_S


def test_the_field_test_runs_its_three_published_distances():
    assert critical_speed.FIELD_TEST_DISTANCES_M == (1200, 2400, 3600)
