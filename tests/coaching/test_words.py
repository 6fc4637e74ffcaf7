"""Words for figures: a short figure never looks met, and minutes are said back as they were meant."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.words import done_minutes_words, ends_words, figure_beside, one_of, percent_beside


@pytest.mark.parametrize(
    ("fraction", "words"),
    [
        (0.70, "70 %"),
        (0.746, "74.6 %"),
        (0.7499, "just under 75 %"),
        (0.75, "75 %"),
        (0.754, "75 %"),
        (0.80, "80 %"),
    ],
)
def test_a_share_just_short_of_its_limit_shows_that_it_is(fraction, words):
    assert percent_beside(fraction, 0.75) == words


@given(st.floats(0, 2000), st.integers(1, 1500))
def test_a_figure_reads_as_its_limit_only_when_it_reaches_it(value, least):
    assert (figure_beside(value, least) != str(least)) or value >= least


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(12.5, "12 min 30 s"), (45, "45 min"), (70 + 1 / 3, "1 h 10 min 20 s"), (59.999, "1 h"), (0.5, "0 min 30 s")],
)
def test_minutes_done_are_said_with_their_seconds(minutes, words):
    assert done_minutes_words(minutes) == words


def test_a_noun_has_the_article_it_is_spoken_with():
    assert [one_of(noun) for noun in ("ride", "indoor ride")] == ["a ride", "an indoor ride"]


def test_what_ends_today_does_not_end_in_no_days():
    last_on = date(2026, 11, 29)

    assert (ends_words(last_on, 0), ends_words(last_on, 3)) == ("today", "on Sun 29 Nov, in 3 days")
