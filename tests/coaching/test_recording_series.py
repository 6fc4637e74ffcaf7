"""Samples on an even clock: order, holes, pauses, drop-outs and spikes named; places used and then gone."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.recording_faults import MOST_FAULTS
from app.coaching.recording_samples import NotASession, Place, Samples
from app.coaching.recording_series import lay
from app.coaching.recordings import FaultKind, SpeedSource

NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
STARTED = datetime(2026, 11, 24, 16, 30, tzinfo=UTC)
COUNT = 300


def samples(seconds=None, *, calendar: bool = True, stretches: tuple[int, ...] = (), **values) -> Samples:
    at_s = np.arange(COUNT, dtype=np.float64) if seconds is None else np.asarray(seconds, dtype=np.float64)
    given = values or {"power_w": np.full(at_s.size, 200.0)}
    return Samples(
        at_s=at_s + (STARTED.timestamp() if calendar else 0.0),
        values={name: np.asarray(one, dtype=np.float64) for name, one in given.items()},
        has_calendar=calendar,
        stretch_starts=stretches,
        speed_source=SpeedSource.SATELLITE,
    )


def northwards(at_s, speed_m_per_s: float = 3.0) -> dict[str, np.ndarray]:
    """Places on a meridian: 111 195.08 m to a degree on a sphere of the mean radius."""
    covered = np.asarray(at_s, dtype=np.float64) * speed_m_per_s
    return {Place.LATITUDE: 48 + covered / 111_195.08, Place.LONGITUDE: np.full(covered.size, 11.0)}


def laid(given: Samples):
    return lay(given, latest_at=NOW)


def kinds(found) -> list[tuple[FaultKind, float, float, str | None]]:
    return [(one.kind, one.start_s, one.end_s, one.channel) for one in found.recording.faults]


def test_every_second_has_a_value_and_the_start_is_an_instant() -> None:
    found = laid(samples(np.arange(0, 300, 2), power_w=np.arange(150) * 2.0))

    assert found.recording.started_at == STARTED
    assert found.recording.duration_s == 299
    assert found.recording.power_w is not None
    assert found.recording.power_w[:4].tolist() == [0, 1, 2, 3]
    assert found.recording.faults == ()


def test_a_hole_between_points_is_a_gap_and_stays_one() -> None:
    at_s = np.concatenate((np.arange(100), np.arange(130, 300)))

    found = laid(samples(at_s))

    assert kinds(found) == [(FaultKind.GAP, 100.0, 130.0, None)]
    assert found.recording.power_w is not None
    assert np.isnan(found.recording.power_w[100:130]).all()
    assert not np.isnan(found.recording.power_w[130:]).any()
    assert found.recording.faults[0].sentence == "Nothing was recorded from 1:40 to 2:10."


def test_a_pause_of_the_recorder_bridges_neither_time_nor_distance() -> None:
    at_s = np.concatenate((np.arange(100), np.arange(160, 300)))
    places = northwards(at_s)

    found = laid(samples(at_s, stretches=(100,), **places))

    assert kinds(found) == [(FaultKind.PAUSE, 100.0, 160.0, None)]
    assert found.recording.distance_m is not None
    assert found.recording.distance_m[-1] == pytest.approx(3.0 * (99 + 139), rel=1e-5)


def test_speed_comes_from_places_and_the_places_stay_apart() -> None:
    found = laid(samples(**northwards(np.arange(COUNT))))

    assert found.recording.channels == ("speed_m_per_s", "distance_m")
    assert found.recording.speed_source is SpeedSource.SATELLITE
    assert found.recording.speed_m_per_s == pytest.approx(np.full(COUNT, 3.0), rel=1e-5)
    assert set(found.places) == set(Place)


def test_the_files_own_speed_counts_when_it_is_mostly_there() -> None:
    found = laid(samples(speed_m_per_s=np.full(COUNT, 4.0), **northwards(np.arange(COUNT))))

    assert found.recording.speed_m_per_s is not None
    assert found.recording.speed_m_per_s[150] == 4.0


def test_standing_is_named_a_pause_and_keeps_its_values() -> None:
    covered = np.concatenate((np.arange(120) * 3.0, np.full(60, 357.0), 357 + np.arange(1, 121) * 3.0))

    found = laid(samples(distance_m=covered))

    assert [one[0] for one in kinds(found)] == [FaultKind.PAUSE]
    assert found.recording.faults[0].start_s == pytest.approx(120, abs=3)
    assert found.recording.faults[0].end_s == pytest.approx(180, abs=3)
    assert found.recording.speed_m_per_s is not None
    assert not np.isnan(found.recording.speed_m_per_s).any()


def test_turning_the_pedals_on_the_spot_is_no_pause() -> None:
    speed = np.concatenate((np.full(150, 5.0), np.zeros(150)))

    found = laid(samples(speed_m_per_s=speed, power_w=np.full(COUNT, 150.0)))

    assert found.recording.faults == ()


def test_a_strap_that_loses_contact_is_a_drop_out_not_a_heart_that_stops() -> None:
    heart = np.full(COUNT, 140.0)
    heart[50:90] = 0

    found = laid(samples(heart_rate_bpm=heart, power_w=np.full(COUNT, 200.0)))

    assert kinds(found) == [(FaultKind.DROP_OUT, 50.0, 90.0, "heart_rate_bpm")]


@pytest.mark.parametrize(
    ("name", "usual", "wrong", "words"),
    [
        ("heart_rate_bpm", 140.0, 255.0, "of 255 a minute, which cannot be, at 1:40"),
        ("heart_rate_bpm", 140.0, 190.0, "jumped to 190 a minute and back at 1:40"),
        ("power_w", 200.0, 9999.0, "of 9999 W, which cannot be, at 1:40"),
        ("cadence_per_min", 90.0, 200.0, "jumped to 200 a minute and back at 1:40"),
    ],
)
def test_a_spike_is_left_out_and_named(name: str, usual: float, wrong: float, words: str) -> None:
    values = np.full(COUNT, usual)
    values[100:102] = wrong

    found = laid(samples(**{name: values}))

    assert [one[:1] + one[3:] for one in kinds(found)] == [(FaultKind.SPIKE, name)]
    assert words in found.recording.faults[0].sentence
    channel = found.recording.channel(name)
    assert channel is not None
    assert channel == pytest.approx(np.full(COUNT, usual))


def test_a_sprint_is_no_spike() -> None:
    power = np.full(COUNT, 120.0)
    power[100:102] = 1100

    assert laid(samples(power_w=power)).recording.faults == ()


def test_a_place_that_jumps_adds_no_distance() -> None:
    places = northwards(np.arange(COUNT))
    places[Place.LATITUDE][100] += 0.5

    found = laid(samples(**places))

    assert found.recording.distance_m is not None
    assert found.recording.distance_m[-1] == pytest.approx(3.0 * (COUNT - 1), rel=1e-5)
    assert [one[0] for one in kinds(found)] == [FaultKind.SPIKE]


def test_places_that_hardly_change_say_nothing_about_speed() -> None:
    at_s = np.arange(400)
    still = {Place.LATITUDE: np.full(400, 48.0), Place.LONGITUDE: np.full(400, 11.0)}

    found = laid(samples(at_s, power_w=np.full(400, 180.0), **still))

    assert found.recording.channels == ("power_w",)
    assert found.recording.speed_source is None
    assert "hardly change" in found.notes[0]


def test_a_point_that_jumps_ahead_in_time_goes_and_the_others_stay() -> None:
    at_s = np.arange(COUNT, dtype=np.float64)
    at_s[100] = 9000
    at_s[200] = 199

    found = laid(samples(at_s))

    assert found.recording.duration_s == COUNT
    assert found.notes == ("1 point whose time did not move on was left out.",)


@pytest.mark.parametrize("at_s", [np.arange(COUNT)[::-1], np.arange(COUNT) * (-1.0) ** np.arange(COUNT)])
def test_a_clock_that_runs_backwards_is_refused(at_s: np.ndarray) -> None:
    with pytest.raises(NotASession, match="its clock cannot be trusted"):
        laid(samples(at_s))


def test_a_track_without_times_is_a_route() -> None:
    with pytest.raises(NotASession, match="it is a route"):
        laid(samples(np.full(COUNT, np.nan)))


@pytest.mark.parametrize("years", [73, -40])
def test_a_clock_that_was_never_set_gives_no_start_but_keeps_the_seconds(years: int) -> None:
    at_s = np.arange(COUNT) + timedelta(days=365.25 * years).total_seconds()

    found = laid(samples(at_s))

    assert found.recording.started_at is None
    assert found.recording.duration_s == COUNT
    assert "The recorder's clock stood at the year" in found.notes[0]


def test_points_from_before_the_clock_was_set_are_left_out() -> None:
    at_s = np.concatenate((np.arange(5) - 5e8, np.arange(COUNT)))

    found = laid(samples(at_s))

    assert found.recording.started_at == STARTED
    assert found.notes == ("5 points hours away from the rest were left out.",)


@pytest.mark.parametrize(
    ("at_s", "sentence"),
    [
        (np.arange(5), "5 seconds long"),
        (np.arange(6, dtype=np.float64) * 20_000, "longer than a day"),
    ],
)
def test_what_is_too_short_or_too_long_is_no_session(at_s: np.ndarray, sentence: str) -> None:
    with pytest.raises(NotASession, match=sentence):
        laid(samples(at_s))


def test_altitude_alone_is_nothing_to_judge_a_session_by() -> None:
    with pytest.raises(NotASession, match="nothing to judge"):
        laid(samples(altitude_m=np.full(COUNT, 500.0)))


def test_points_a_minute_apart_say_so() -> None:
    found = laid(samples(np.arange(20) * 60.0))

    assert "Its points stand 60 s apart" in found.notes[0]


def test_only_the_longest_faults_are_listed() -> None:
    heart = np.full(2400, 140.0)
    heart[np.arange(2400) % 8 > 0] = np.nan

    found = laid(samples(np.arange(2400), heart_rate_bpm=heart, power_w=np.full(2400, 200.0)))

    assert len(found.recording.faults) == MOST_FAULTS
    assert found.notes == ("100 shorter faults are not listed.",)


@settings(max_examples=50)
@given(
    steps=st.lists(st.floats(0, 30), min_size=30, max_size=60),
    values=st.lists(st.one_of(st.just(float("nan")), st.floats(-1e6, 1e6)), min_size=61, max_size=61),
)
def test_whatever_comes_in_the_clock_is_even_and_no_value_leaves_its_limits(
    steps: list[float], values: list[float]
) -> None:
    at_s = np.concatenate(([0.0], np.cumsum(steps)))
    given_values = np.array(values[: at_s.size])
    both = {"power_w": given_values, "heart_rate_bpm": given_values, "speed_m_per_s": np.full(at_s.size, 3.0)}
    if at_s[-1] < 30:
        at_s = at_s + np.linspace(0, 30, at_s.size)

    found = laid(replace(samples(at_s, **both), stretch_starts=(1, 5, 29)))

    for name in found.recording.channels:
        channel = found.recording.channel(name)
        assert channel is not None
        known = channel[~np.isnan(channel)]
        assert ((known >= 0) & (known <= 2500)).all()
    for one in found.recording.faults:
        assert 0 <= one.start_s < one.end_s <= found.recording.duration_s
