"""One recording: an even clock of a second, channels on it or absent."""

import numpy as np
import pytest

from app.coaching.recordings import BrokenRecording, Recording

CLOCK = np.arange(4, dtype=np.float64)


def test_a_recording_names_the_channels_it_has_in_one_order() -> None:
    recording = Recording(time_s=CLOCK, heart_rate_bpm=CLOCK + 100, power_w=CLOCK + 200)

    assert recording.channels == ("power_w", "heart_rate_bpm")
    assert recording.channel("speed_m_per_s") is None
    assert recording.duration_s == 4.0


@pytest.mark.parametrize("clock", [CLOCK + 1, CLOCK * 2, CLOCK[::-1]])
def test_a_clock_that_skips_or_starts_late_is_refused(clock: np.ndarray) -> None:
    with pytest.raises(BrokenRecording, match="every second from 0"):
        Recording(time_s=clock)


def test_a_channel_of_another_length_is_refused() -> None:
    with pytest.raises(BrokenRecording, match="heart_rate_bpm"):
        Recording(time_s=CLOCK, heart_rate_bpm=CLOCK[:3])


def test_a_channel_nobody_knows_is_refused() -> None:
    with pytest.raises(BrokenRecording, match="no channel temperature"):
        Recording(time_s=CLOCK).channel("temperature")
