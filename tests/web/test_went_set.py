"""A whole set drawn and put into figures: what was left of W' under it, its slope, and itself over an earlier one."""

from __future__ import annotations

import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest

from app.coaching.capacity_left import capacity_left
from app.coaching.session_reading import read_session
from app.physiology.values import Missing
from app.web.charts.reserve import LeftAt, Reserve, draw_reserve
from app.web.went_set import left_view, set_view, two_sets
from tests import factories
from tests.coaching.test_session_reading import BESIDE, PLANNED, log, recording
from tests.seed import TODAY

STEADY = (200.0, 200.0, 200.0, 200.0)


def read(levels=STEADY, **changes):
    return read_session(log(**changes), PLANNED, recording(levels), by_hand=(), beside=BESIDE)


def _of_class(markup, name):
    return [one for one in ET.fromstring(str(markup)).iter() if one.get("class") == name]


def _left(reading, **changes):
    critical = factories.measured(value=180.0, capacity=10_000.0, **changes)
    return capacity_left(reading.recording, reading.rounds, (critical,), mode=reading.log.mode, day=TODAY)


def test_the_figure_stands_at_the_end_of_each_round():
    """Four minutes at 20 W over 180 W spend 4.8 of 10 kJ; the last figure is the sentence's too."""
    reading = read()

    view = left_view(reading, _left(reading), key="k")

    figures = [one.text for one in _of_class(view.drawn.wide, "value")]
    assert len(figures) == 4
    assert figures[0] == "52 %"
    assert f"were left ({figures[-1]}, ±" in view.sentence
    assert view.why.formulae[0] == "w_balance_differential_skiba_2015"


def test_the_band_is_drawn_only_where_the_errors_of_the_fit_are_known():
    reading = read()

    with_errors = left_view(reading, _left(reading), key="k").drawn.wide
    without = left_view(reading, _left(reading, covariance=None), key="k").drawn.wide

    assert len(_of_class(with_errors, "m-trace-band")) == 1
    assert _of_class(without, "m-trace-band") == []


def test_below_nothing_the_axis_goes_on_and_the_words_say_what_it_means():
    reading = read((260.0,) * 4)

    view = left_view(reading, _left(reading), key="k")

    assert "the measured figure is too low for what was done" in view.sentence
    assert "−" in _of_class(view.drawn.wide, "value")[-1].text


def test_the_reason_stands_where_nothing_says_what_was_left():
    view = left_view(read(), Missing("no critical power was measured up to that day"), key="k")

    assert not view.drawn
    assert "no critical power was measured" in view.gap


def test_figures_that_would_lie_on_each_other_are_left_out_but_never_the_last():
    ends = tuple(LeftAt(60.0 * n, 100 - n, None) for n in range(1, 31))

    svg = draw_reserve(Reserve(ends, (), ends, 1800.0, "W'"), finding="T", desc="D", key="k", width=380)

    places = [float(one.get("x")) for one in _of_class(svg, "value")]
    assert _of_class(svg, "value")[-1].text == "70 %"
    assert min(b - a for a, b in pairwise(places)) >= 36


def test_the_slope_of_the_rounds_stands_with_its_error():
    """210, 200, 190, 200 W: by hand -4 W a round, error sqrt(120 / 2 / 5) = 3.46 W; 2 and 1.7 % of 200 W."""
    rows = dict(set_view(read((210.0, 200.0, 190.0, 200.0))).rows)

    assert rows["slope from round to round"] == "−2.0 %, ± 1.7"
    assert rows["work done"] == "192 kJ"


def test_a_session_of_one_round_has_no_figures_of_a_set():
    assert set_view(read(STEADY[:1])).rows == ()


@pytest.mark.parametrize("width", ["wide", "narrow"])
def test_this_set_is_filled_and_the_earlier_one_hollow_on_the_same_minutes(width):
    svg = getattr(two_sets(read(), read((210.0, 205.0, 196.0, 185.0)), name="Thu 5 Nov", key="k"), width)

    # One of each is the mark beside the name.
    filled, hollow = _of_class(svg, "m-done-step")[:-1], _of_class(svg, "m-plan")[:-1]
    assert len(filled) == len(hollow) == 4
    assert float(filled[0].get("x")) == pytest.approx(float(hollow[0].get("x")), abs=0.1)
    assert float(hollow[0].get("y")) < float(filled[0].get("y"))
    assert [one.text for one in _of_class(svg, "round-word")] == ["this session", "Thu 5 Nov"]


def test_a_set_by_power_is_not_laid_over_one_without_it():
    by_speed = tuple(factories.work_round(number=n, speed_m_per_s=4.0, power_w=None) for n in range(1, 5))
    before = read_session(log(rounds=by_speed), PLANNED, None, by_hand=(), beside=BESIDE)

    assert not two_sets(read(), before, name="Thu 5 Nov", key="k")
