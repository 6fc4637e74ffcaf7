"""Change in per cent and against the typical error."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.physiology.percent_change import (
    PEAK_POWER_ERROR_PERCENT,
    Response,
    change_percent,
    response_montero_2017,
)
from app.physiology.values import Missing, OutOfRange


@given(st.floats(1, 1e5), st.floats(-99, 500))
def test_a_change_gives_the_later_figure_back(before, percent):
    after = before * (1 + percent / 100)

    assert change_percent(before=before, after=after) == pytest.approx(percent, abs=1e-6)


@pytest.mark.parametrize(
    ("after", "word"),
    [(259.8, Response.WITHIN_ERROR), (260, Response.UP), (240.2, Response.WITHIN_ERROR), (240, Response.DOWN)],
)
def test_a_change_is_named_by_the_typical_error(after, word):
    assert response_montero_2017(before=250, after=after) is word


def test_the_published_typical_error_is_the_default():
    assert PEAK_POWER_ERROR_PERCENT == 3.96


@pytest.mark.parametrize("after", [204, 196])
def test_exactly_at_the_typical_error_a_change_is_within_it(after):
    assert response_montero_2017(before=200, after=after, typical_error_percent=2) is Response.WITHIN_ERROR


@pytest.mark.parametrize(("after", "word"), [(1003, Response.UP), (997, Response.DOWN)])
def test_a_change_of_less_than_one_per_cent_has_its_direction_too(after, word):
    assert response_montero_2017(before=1000, after=after, typical_error_percent=0.1) is word


def test_after_nothing_there_is_no_comparison():
    assert isinstance(change_percent(before=0, after=25), Missing)
    assert isinstance(response_montero_2017(before=0, after=25), Missing)


@pytest.mark.parametrize("values", [(-1, 3), (3, -1)])
def test_a_negative_figure_is_refused(values):
    with pytest.raises(OutOfRange):
        change_percent(before=values[0], after=values[1])


def test_a_test_without_error_is_refused():
    with pytest.raises(OutOfRange, match="typical error"):
        response_montero_2017(before=250, after=258, typical_error_percent=0)
