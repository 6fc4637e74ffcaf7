"""Finding the rounds of a recording: against a truth that is known, with a plan and without, and by hand."""

import numpy as np
import pytest

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.coaching.recordings import Recording
from app.coaching.rounds import find_rounds
from app.coaching.rounds_rhythm import Rhythm
from app.coaching.rounds_values import (
    EdgesFrom,
    RoundEdges,
    RoundsAsked,
    RoundSignal,
    Sureness,
    rounds_asked,
    short_by_speed,
)
from app.coaching.steps import Part, Repeat, Step, to_json
from app.physiology.values import Missing
from tests import factories as make
from tests.recorded_sessions import Seen, easy, intervals
from tests.rounds_proof import (
    LONG_SETS,
    MOST_ERROR_S,
    SHORT_SETS,
    VERY_SHORT_SETS,
    easy_sessions,
    score,
    score_thrice,
    sets,
)

FOUR = RoundsAsked.alike(4, 240, 240)


def blocks(*parts: tuple[int, float]) -> Recording:
    """Power without any noise: so many seconds at so many watts, one after the other."""
    power = np.concatenate([np.full(length, float(watts)) for length, watts in parts])
    return Recording(time_s=np.arange(len(power), dtype=float), power_w=power)


def edges(found):
    return [(one.start_s, one.end_s) for one in found.rounds]


@pytest.mark.parametrize("seen", Seen)
@pytest.mark.parametrize("with_plan", [True, False])
def test_rounds_are_found_with_their_edges_in_what_a_recorder_really_writes(seen, with_plan):
    found = score(sets(7, seen, LONG_SETS, with_changes=with_plan), with_plan=with_plan)

    assert found.precision >= 0.95
    assert found.recall >= 0.85
    assert found.edge_error_s(95) <= MOST_ERROR_S[seen]


@pytest.mark.parametrize("seen", Seen)
@pytest.mark.parametrize("with_plan", [True, False])
def test_an_easy_session_with_hills_stops_and_drop_outs_shows_no_round(seen, with_plan):
    assert score(easy_sessions(12, seen), with_plan=with_plan).found == 0


def test_without_noise_the_edges_are_exact():
    recording = blocks((600, 120), (240, 220), (240, 100), (240, 220), (300, 120))

    found = find_rounds(recording, mode=Mode.INDOOR_RIDE)

    assert edges(found) == [(600, 840), (1080, 1320)]
    assert found.signal is RoundSignal.POWER
    assert found.edges_from is EdgesFrom.RECORDING


def test_a_brisk_warm_up_is_no_round():
    brisk = ((30, 180), (70, 120)) * 3
    recording = blocks((600, 120), *brisk, *((30, 240), (30, 110)) * 8, (300, 120))

    found = find_rounds(recording, mode=Mode.INDOOR_RIDE)

    assert len(found.rounds) == 8
    assert found.rounds[0].start_s == 900


def test_a_stop_at_a_traffic_light_stays_inside_its_round():
    recording = blocks((600, 120), (100, 220), (30, 0), (140, 220), (240, 100), (240, 220), (300, 120))

    found = find_rounds(recording, mode=Mode.RIDE, asked=RoundsAsked.alike(2, 240, 240))

    assert edges(found) == [(600, 870), (1110, 1350)]


def test_a_stretched_recovery_is_named_and_moves_nothing():
    recording = blocks((700, 120), (240, 220), (500, 100), (240, 220), (240, 100), (240, 220), (300, 120))

    found = find_rounds(recording, asked=RoundsAsked.alike(3, 240, 240))

    assert edges(found) == [(700, 940), (1440, 1680), (1920, 2160)]
    assert "the recovery after round 1 took 500 s in place of 240 s" in found.because
    assert found.skipped == ()


def test_a_round_left_out_in_the_middle_is_named_by_its_place():
    recording = blocks((700, 120), (240, 220), (720, 100), (240, 220), (240, 100), (240, 220), (300, 120))

    found = find_rounds(recording, asked=FOUR)

    assert [one.asked_number for one in found.rounds] == [1, 3, 4]
    assert found.skipped == (2,)
    assert "round 2 of the plan was not done" in found.because


def test_the_last_round_left_out_is_the_last_one_missing():
    recording = blocks((700, 120), *((240, 220), (240, 100)) * 3, (300, 120))

    assert find_rounds(recording, asked=FOUR).skipped == (4,)


def test_one_round_more_than_asked_is_found_and_told_apart():
    recording = blocks((700, 120), *((240, 220), (240, 100)) * 5, (300, 120))

    found = find_rounds(recording, asked=FOUR)

    assert [one.asked_number for one in found.rounds] == [1, 2, 3, 4, None]
    assert "1 more than the plan's 4" in found.because


def test_a_round_cut_short_keeps_its_true_end():
    recording = blocks((700, 120), *((240, 220), (240, 100)) * 3, (110, 220), (500, 110))

    found = find_rounds(recording, asked=FOUR)

    assert edges(found)[-1] == (2140, 2250)
    assert found.rounds[-1].asked_s == 240


def test_a_plan_of_unlike_rounds_is_laid_in_its_order():
    recording = blocks((600, 110), (180, 230), (200, 100), (120, 230), (150, 100), (60, 230), (400, 110))
    asked = RoundsAsked((180, 120, 60), (180, 120, 0))

    found = find_rounds(recording, asked=asked)

    assert edges(found) == [(600, 780), (980, 1100), (1250, 1310)]
    assert [one.asked_number for one in found.rounds] == [1, 2, 3]


def test_another_set_than_planned_is_found_and_said():
    recording = blocks((600, 110), *((60, 230), (60, 100)) * 10, (400, 110))

    found = find_rounds(recording, asked=FOUR)

    assert len(found.rounds) == 10
    assert "the planned rounds were not seen; these stand out by themselves" in found.because
    assert found.sureness is Sureness.LIKELY


def test_edges_set_by_hand_win_over_any_reading():
    recording = intervals(np.random.default_rng(3), Seen.POWER).recording
    by_hand = (RoundEdges(100, 340), RoundEdges(580, 820.5))

    found = find_rounds(recording, asked=FOUR, by_hand=by_hand)

    assert edges(found) == [(100, 340), (580, 820.5)]
    assert found.edges_from is EdgesFrom.HAND
    assert found.edge_error_s is None
    assert found.skipped == (3, 4)


@pytest.mark.parametrize(
    "by_hand",
    [
        (RoundEdges(100, 103),),
        (RoundEdges(500, 740), RoundEdges(700, 900)),
        (RoundEdges(900, 1100),),
        (RoundEdges(-5, 240),),
    ],
)
def test_edges_that_cannot_be_are_refused_with_a_sentence(by_hand):
    with pytest.raises(DomainError, match="Round"):
        find_rounds(blocks((1000, 100)), by_hand=by_hand)


def test_heart_rate_alone_says_how_far_off_its_edges_may_be():
    recorded = intervals(np.random.default_rng(5), Seen.HEART_RATE)

    found = find_rounds(recorded.recording, asked=recorded.asked)

    assert found.edge_error_s == 20
    assert "read from heart rate alone, its edges moved back by how slowly a heart follows" in found.because


def test_a_heart_rate_that_is_not_reliable_shows_nothing():
    recorded = intervals(np.random.default_rng(5), Seen.HEART_RATE)

    found = find_rounds(recorded.recording, asked=recorded.asked, heart_rate_counts=False)

    assert found == Missing(
        "no channel of this recording is known well enough to see rounds: power, speed or heart rate"
    )


def test_the_speed_of_a_ride_alone_is_not_taken_for_effort():
    speed = np.concatenate([np.full(300, 6.0), *(np.r_[np.full(240, 10.0), np.full(240, 6.0)] for _ in range(4))])
    recording = Recording(time_s=np.arange(len(speed), dtype=float), speed_m_per_s=speed)

    assert "hills and wind" in find_rounds(recording, mode=Mode.RIDE).reason


def test_a_recording_of_one_level_and_one_without_length_say_so():
    assert find_rounds(blocks((1800, 130))) == Missing("this recording has one level of effort only")
    rounded = blocks((900, 130), (900, 130.01))
    assert find_rounds(rounded) == Missing("this recording has one level of effort only")
    assert find_rounds(Recording(time_s=np.arange(1.0))) == Missing("this recording has no length")


def test_the_asked_rounds_of_a_plan_come_from_its_steps():
    work, rest = Step(Part.WORK, 240, Band.HARD, "go"), Step(Part.RECOVERY, 180, Band.EASY, "easy")
    steps = (Step(Part.WARM_UP, 900, Band.EASY, "warm"), Repeat(2, (work, rest)), work)

    assert rounds_asked(make.planned_hard(steps_json=to_json(steps))) == RoundsAsked((240,) * 3, (180, 180, 0), 900)
    assert rounds_asked(make.planned_hard(steps_json=to_json(steps[:1]))) is None


def test_an_easy_hour_against_a_plan_of_rounds_shows_none():
    recorded = easy(np.random.default_rng(11), Seen.SPEED)

    assert isinstance(find_rounds(recorded.recording, mode=recorded.mode, asked=FOUR), Missing)


@pytest.mark.parametrize("seen", [Seen.SPEED, Seen.SPEED_ONLY])
@pytest.mark.parametrize(("with_plan", "least"), [(True, 0.95), (False, 0.8)])
def test_short_rounds_on_foot_are_found_by_their_rhythm(seen, with_plan, least):
    found = score(sets(9, seen, SHORT_SETS, with_changes=with_plan), with_plan=with_plan)

    assert found.precision >= 0.95
    assert found.recall >= least


@pytest.mark.parametrize(
    ("seen", "shapes", "least"),
    [
        (Seen.HILL_RIDE, SHORT_SETS, 0.85),
        (Seen.HILL_RIDE, VERY_SHORT_SETS, 0.0),
        (Seen.POWER, VERY_SHORT_SETS, 0.95),
        (Seen.SPEED, VERY_SHORT_SETS, 0.65),
    ],
)
def test_short_rounds_on_a_hill_and_very_short_ones_are_found_with_their_plan_or_not_at_all(seen, shapes, least):
    found = score(sets(9, seen, shapes, with_changes=True), with_plan=True)

    assert found.precision >= 0.93
    assert found.recall >= least
    assert found.edge_error_s(95) <= MOST_ERROR_S[seen]


@pytest.mark.parametrize("seen", [Seen.SPEED, Seen.SPEED_ONLY, Seen.HILL_RIDE])
def test_an_easy_session_shows_no_round_of_a_short_plan(seen):
    assert score_thrice(easy_sessions(12, seen))[1].found == 0


def test_a_round_that_noise_hides_is_found_where_the_rhythm_says_that_it_lies():
    """The third of six half minutes hardly stands out; by the plan it lies between the second and the fourth."""
    hidden = {3: 3.4}
    parts = [np.full(600, 2.5)]
    for number in range(1, 7):
        parts += [np.full(30, hidden.get(number, 4.0)), np.full(30, 2.0)]
    speed = np.concatenate([*parts, np.full(300, 2.5)])
    recording = Recording(time_s=np.arange(len(speed), dtype=float), speed_m_per_s=speed)

    found = find_rounds(recording, mode=Mode.TREADMILL, asked=RoundsAsked.alike(6, 30, 30))

    assert edges(found) == [(600 + 60 * n, 630 + 60 * n) for n in range(6)]


@pytest.mark.parametrize(
    ("gap_s", "count"), [(30, 0), (45, 0), (90, 1), (110, 1), (150, 2), (75, 1), (62, 0), (1000, 16)]
)
def test_a_gap_has_room_for_as_many_rounds_as_its_rests_stay_usual(gap_s, count):
    """Half a minute of work, half a minute of rest: 90 s hold one more round with both its rests."""
    assert Rhythm(30, 30).left_out(gap_s) == count


@pytest.mark.parametrize("asked", [RoundsAsked.alike(20, 30, 30), None])
def test_short_rounds_by_speed_say_how_many_may_be_missed_and_are_never_sure(asked):
    one = next(iter(sets(1, Seen.SPEED, SHORT_SETS, with_changes=False)))

    found = find_rounds(one.recording, mode=one.mode, asked=asked)

    assert short_by_speed(30, is_ride=False, is_planned=asked is not None) in found.because
    assert found.sureness is not Sureness.SURE


def test_long_rounds_and_short_ones_by_power_need_no_such_words():
    long = next(iter(sets(1, Seen.SPEED, LONG_SETS, with_changes=False)))
    short = next(iter(sets(1, Seen.POWER, SHORT_SETS, with_changes=False)))

    for one in (long, short):
        because = find_rounds(one.recording, mode=one.mode, asked=one.asked).because
        assert not any("short for speed" in said for said in because)


def test_each_kind_of_short_round_has_its_own_share_of_mistakes():
    ways = [(work, ride, plan) for work in (15, 30) for ride in (False, True) for plan in (False, True)]

    said = {short_by_speed(work, is_ride=ride, is_planned=plan) for work, ride, plan in ways}

    assert len(said) == len(ways)
    assert all("of a hundred like these" in one for one in said)


def test_brisk_stretches_before_short_rounds_are_none_of_them():
    """Thirty seconds at nearly the rounds' power, over a minute apart, before fifteen by fifteen."""
    brisk = ((30, 205), (70, 120)) * 3
    recording = blocks((600, 120), *brisk, *((15, 220), (15, 90)) * 20, (300, 120))

    found = find_rounds(recording, mode=Mode.INDOOR_RIDE, asked=RoundsAsked.alike(20, 15, 15))

    assert len(found.rounds) == 20
    assert found.rounds[0].start_s == 900


def test_short_rounds_that_were_not_seen_are_told_to_be_hard_to_see():
    speed = np.full(3000, 2.5)
    speed[1000:1030] = speed[1060:1090] = 4.0
    recording = Recording(time_s=np.arange(3000.0), speed_m_per_s=speed)

    found = find_rounds(recording, mode=Mode.RUN, asked=RoundsAsked.alike(10, 30, 30))

    assert isinstance(found, Missing)
    assert found.reason.endswith(short_by_speed(30, is_ride=False, is_planned=True))
