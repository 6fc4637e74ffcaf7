"""Whether an easy session was easy: what decides, what disagrees, and the drift over the hour."""

import numpy as np
import pytest

from app.coaching.easy_judged import EasyTold, judge_easy
from app.coaching.effort import Talk
from app.coaching.people import Mode
from app.coaching.recordings import Recording
from app.coaching.rules import Rules
from app.physiology.values import Missing
from tests.recorded_sessions import Seen, easy

RULES = Rules()
MINUTES = 70


def ride(*, heart_first=120.0, heart_second=120.0, power=130.0, stops=()):
    """Ten minutes with a heart still rising, then an hour in two halves."""
    watts = np.full(MINUTES * 60, float(power))
    heart = np.concatenate([np.linspace(80, 118, 600), np.full(1800, heart_first), np.full(1800, heart_second)])
    for start, end in stops:
        watts[start:end] = 0
        heart[start : end + 60] -= 25
    return Recording(time_s=np.arange(len(watts), dtype=float), power_w=watts, heart_rate_bpm=heart)


def judged(recording=None, **told):
    return judge_easy(recording, EasyTold(**told), rules=RULES, mode=Mode.INDOOR_RIDE)


def test_the_talk_answer_beats_the_number_and_the_disagreement_is_said():
    found = judged(talk=Talk.CHAT, effort=7.0)

    assert (found.was_easy, found.decided_by) == (True, "talk answer")
    assert found.disagreements == ("“could chat in comfort” but effort 7",)
    assert found.sentence == "It was easy: “could chat in comfort”."


def test_the_number_decides_without_a_talk_answer():
    assert judged(effort=6.0).sentence == "It was not easy: effort 6."


@pytest.mark.parametrize(("minutes_above", "was_easy"), [(5, True), (6, False)])
def test_heart_rate_decides_only_where_nothing_was_answered(minutes_above, was_easy):
    recording = ride()
    recording.heart_rate_bpm[1200 : 1200 + 60 * minutes_above] = 150

    found = judged(recording, easy_highest_bpm=135.0)

    assert (found.was_easy, found.decided_by) == (was_easy, "heart rate")
    assert found.above_min == pytest.approx(minutes_above, abs=0.3)


def test_a_heart_above_the_edge_disagrees_with_an_easy_answer_but_does_not_decide():
    found = judged(ride(heart_second=150.0), talk=Talk.CHAT, easy_highest_bpm=135.0)

    assert found.was_easy
    assert found.disagreements[0].startswith("30 min with the heart above the edge of easy")


def test_a_heart_rate_that_is_not_reliable_says_nothing():
    found = judged(ride(heart_second=150.0), easy_highest_bpm=135.0, heart_rate_counts=False)

    assert found.was_easy is None
    assert found.above_min == found.drift_percent == Missing("heart rate is not reliable for this client")


def test_the_third_answer_is_easy_after_the_transition_only():
    assert judged(talk=Talk.SENTENCES).was_easy
    assert not judged(talk=Talk.SENTENCES, after_transition=False).was_easy


def test_drift_leaves_the_first_ten_minutes_out():
    found = judged(ride(heart_first=120.0, heart_second=126.0), talk=Talk.CHAT)

    assert found.drift_percent == pytest.approx(100 * (1 - 120 / 126), abs=0.05)
    assert found.was_easy


def test_drift_leaves_stops_and_what_follows_them_out():
    found = judged(ride(stops=((1300, 1360), (2000, 2090))), talk=Talk.CHAT)

    assert found.drift_percent == pytest.approx(0, abs=0.01)


def test_a_hot_day_has_no_drift():
    assert judged(ride(), was_hot=True).drift_percent == Missing("a hot day makes the heart drift by itself")


def test_unsteady_going_has_no_drift():
    recording = ride()
    recording.power_w[600::2] = 130
    recording.power_w[1200:2400] = 190

    assert "not steady" in judged(recording).drift_percent.reason


def test_a_short_outing_has_no_drift():
    whole = ride()
    short = Recording(
        time_s=whole.time_s[:1500], power_w=whole.power_w[:1500], heart_rate_bpm=whole.heart_rate_bpm[:1500]
    )

    assert "fewer than 20 min" in judged(short).drift_percent.reason


def test_nothing_answered_and_nothing_recorded_is_not_known():
    found = judged()

    assert (found.was_easy, found.decided_by) == (None, "nothing")
    assert found.drift_percent == Missing("nothing was recorded")


def test_a_real_easy_ride_with_hills_and_stops_drifts_by_a_few_percent():
    recorded = easy(np.random.default_rng(4), Seen.POWER, minutes=90)

    found = judge_easy(recorded.recording, EasyTold(talk=Talk.CHAT), rules=RULES, mode=Mode.RIDE)

    assert -5 < found.drift_percent < 15
