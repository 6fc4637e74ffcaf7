"""Strongest stretches offered as evidence for critical power: which, what speaks for them, and the fit done again."""

import numpy as np
import pytest

from app.coaching.measured import Fitted, Trial
from app.coaching.reasons import DomainError
from app.coaching.recordings import Recording
from app.coaching.strongest_stretches import Effort, Stretch, apart, fit_with, strongest_stretches
from app.physiology.values import Missing

#: CP 200 W and W' 15 kJ, exactly.
PRESENT = Fitted(200.0, None, 15_000.0, None, None, "line", (), ())


def ride(*parts, heart=None):
    power = np.concatenate([np.full(length, float(watts)) for length, watts in parts])
    rate = None if heart is None else np.full(len(power), float(heart))
    return Recording(time_s=np.arange(len(power), dtype=float), power_w=power, heart_rate_bpm=rate)


def found_in(recording, effort=None, present=None):
    return {
        one.length_s: one for one in strongest_stretches(recording, effort or Effort(), log_id=1, present=present)
    }


def test_each_length_is_found_where_it_is_strongest():
    found = found_in(ride((600, 100), (180, 300), (420, 250), (900, 120)))

    assert (found[180].start_s, found[180].power_w) == (600, pytest.approx(300))
    assert (found[600].start_s, found[600].power_w) == (600, pytest.approx(265))
    assert found[120].power_w == pytest.approx(300)


def test_lengths_longer_than_the_recording_are_left_out():
    assert sorted(found_in(ride((300, 150)))) == [120, 180, 240, 300]


def test_a_stretch_with_a_gap_is_not_offered():
    recording = ride((600, 100), (300, 300), (600, 100))
    recording.power_w[700:760] = np.nan

    assert found_in(recording)[300].power_w < 290


def test_without_power_or_in_a_minute_nothing_is_offered():
    assert strongest_stretches(Recording(time_s=np.arange(600.0)), Effort(), log_id=1) == Missing(
        "strongest stretches need power"
    )
    assert isinstance(strongest_stretches(ride((60, 200)), Effort(), log_id=1), Missing)


def test_what_speaks_for_all_out_and_against_it_is_said():
    hard = found_in(ride((400, 260), heart=176), Effort(was_all_out=True, effort=9, highest_heart_rate_bpm=180))
    easy = found_in(ride((400, 130), heart=120), Effort(effort=4, highest_heart_rate_bpm=180), PRESENT)

    assert hard[300].for_all_out == (
        "a race, a test, or felt all-out",
        "effort 9 of the session",
        "heart rate at its end 98 % of the measured maximum",
    )
    assert easy[300].against_all_out == (
        "effort 4 of the session",
        "heart rate at its end 67 % of the measured maximum",
        "130 W where the present fit gives 250 W",
    )


def test_more_than_the_fit_calls_possible_says_that_the_fit_is_too_low():
    found = found_in(ride((300, 255)), present=PRESENT)

    assert found[300].expected_w == 250
    assert found[300].beats_the_fit


def test_overlapping_stretches_are_one_effort():
    stretches = strongest_stretches(ride((600, 100), (180, 300), (420, 250), (1300, 120)), Effort(), log_id=1)

    chosen = apart(stretches)

    assert [one.length_s for one in chosen] == [1200]
    with pytest.raises(DomainError, match="overlap"):
        fit_with(stretches[:2], ())


def test_the_fit_is_done_again_with_accepted_stretches_and_its_error():
    accepted = [Stretch(log, length, 0, 210 + 18_000 / length, None, (), ()) for log, length in ((1, 180), (2, 900))]

    fitted = fit_with(accepted, [Trial(420, 210 + 18_000 / 420)])

    assert fitted.value == pytest.approx(210)
    assert fitted.capacity == pytest.approx(18_000)
    assert fitted.value_error == pytest.approx(0, abs=1e-6)


def test_one_length_alone_gives_no_fit():
    assert isinstance(fit_with([Stretch(1, 300, 0, 260.0, None, (), ())], []), Missing)
