"""Heavy leg work keeps hard work a day away: in the look ahead, and in the morning.

Common practice, no published source.
"""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.heavy_legs import heavy_before, legs_breaches, legs_words
from app.coaching.lookahead_values import Level
from app.coaching.reasons import Provenance
from tests import factories as make
from tests.coaching.signal_scenes import calm, easy_done, found, hard_planned
from tests.factories import TODAY


@pytest.mark.parametrize(("days_before", "is_blocked"), [(0, True), (1, True), (2, False)])
def test_heavy_legs_block_hard_work_on_the_day_and_the_day_after(days_before, is_blocked):
    heavy = make.log(done_on=TODAY - timedelta(days=days_before), heavy_legs=True)

    found_before = legs_breaches(make.history(logs=(heavy,)), [make.planned_hard()])

    assert [(one.level, one.kind, one.on) for one in found_before] == [(Level.ASKS, "legs", TODAY)] * is_blocked


def test_work_after_the_hard_day_blocks_nothing_before_it():
    heavy = make.log(done_on=TODAY + timedelta(days=1), heavy_legs=True)

    assert heavy_before(make.history(logs=(heavy,)), TODAY) is None


def test_strength_that_was_not_heavy_blocks_nothing():
    assert legs_breaches(make.history(logs=(make.log(),)), [make.planned_hard()]) == []


def test_the_reason_says_that_it_is_common_practice():
    heavy = make.log(heavy_legs=True)

    (breach,) = legs_breaches(make.history(logs=(heavy,)), [make.planned_hard()])

    assert breach.why.provenance is Provenance.COMMON_PRACTICE


def test_the_client_reads_which_day_it_was():
    assert legs_words(make.log(heavy_legs=True), TODAY).startswith("Heavy work for the legs today:")
    assert legs_words(make.log(heavy_legs=True), TODAY + timedelta(days=1)).startswith("Heavy work for the legs yest")


def test_the_morning_says_it_of_todays_rounds_and_offers_easy_or_another_day():
    signal = found(calm(planned=(hard_planned(0),), logs=(easy_done(-1, heavy_legs=True),)), "legs_heavy")

    assert signal is not None
    assert [act.value for act in signal.acts] == ["ease_today", "move_today", "contact"]


def test_the_morning_is_silent_without_a_hard_session_today():
    assert found(calm(planned=(hard_planned(1),), logs=(easy_done(-1, heavy_legs=True),)), "legs_heavy") is None
