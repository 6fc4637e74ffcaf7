"""Reserve: back and forth, never outside rest and maximum."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology import heart_rate_reserve as reserve
from app.physiology.values import OutOfRange

MAXIMA, RESTS, SHARES = st.floats(130, 220), st.floats(40, 100), st.floats(0, 1)


@given(MAXIMA, RESTS, SHARES)
def test_there_and_back_is_the_same_share_of_heart_rate(top, rest, share):
    bpm = reserve.target_heart_rate_karvonen_1957(top, rest, share)

    back = reserve.reserve_fraction_karvonen_1957(top, rest, min(max(bpm, rest), top))
    assert back == pytest.approx(share, abs=1e-9)


@given(st.floats(5, 90), SHARES)
def test_there_and_back_is_the_same_share_of_oxygen(vo2max, share):
    vo2 = reserve.target_vo2_reserve(vo2max, share)

    assert reserve.vo2_reserve_fraction(vo2max, min(vo2, vo2max)) == pytest.approx(share, abs=1e-9)


@given(MAXIMA, RESTS, SHARES, SHARES)
def test_a_larger_share_is_never_a_lower_heart_rate(top, rest, one, other):
    low, high = sorted((one, other))

    targets = [reserve.target_heart_rate_karvonen_1957(top, rest, share) for share in (low, high)]
    assert rest <= targets[0] <= targets[1] <= top + 1e-9


@pytest.mark.parametrize(("top", "rest"), [(59, 50), (241, 60), (180, 24), (180, 121), (70, 70), (70, 80)])
def test_an_impossible_pair_is_refused(top, rest):
    with pytest.raises(OutOfRange):
        reserve.target_heart_rate_karvonen_1957(top, rest, 0.5)


def test_a_heart_rate_over_the_maximum_says_that_the_maximum_is_wrong():
    with pytest.raises(OutOfRange, match="Heart rate must be from 60 to 180 bpm"):
        reserve.reserve_fraction_karvonen_1957(180, 60, 181)


@pytest.mark.parametrize("vo2max", [3.5, 3.4, 101])
def test_an_impossible_vo2max_is_refused(vo2max):
    with pytest.raises(OutOfRange, match="VO2max"):
        reserve.target_vo2_reserve(vo2max, 0.5)


def test_both_errors_go_into_the_target():
    assert reserve.target_heart_rate_sd(10, 5, 0.6) == pytest.approx((6**2 + 2**2) ** 0.5)


def test_a_cross_trainer_at_60_percent():
    assert reserve.hrr_percent_from_vo2_reserve_percent_dalleck_2006(60).value == pytest.approx(60.9)


@pytest.mark.parametrize("percent", [39, 86])
def test_a_line_is_not_drawn_past_its_printed_pairs(percent):
    with pytest.raises(OutOfRange):
        reserve.hrmax_percent_from_vo2max_percent_swain_1994(percent)
