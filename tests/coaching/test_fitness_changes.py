"""Like beside like: differences of two results, and what the tests' own error allows."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.catalogue import functions
from app.coaching.effort import Talk
from app.coaching.fitness_changes import NO_VERDICT, REPEATED, compare_with_last
from app.coaching.fitness_tests import Protocol
from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.people import HeartRateUse, Mode
from tests import factories
from tests.factories import TODAY

BEFORE = TODAY - timedelta(weeks=8)
TRUSTED = HeartRateTrust(HeartRateUse.RELIABLE)
OFF = HeartRateTrust(HeartRateUse.NOT_RELIABLE)


def lab(**changes):
    given = {"protocol": Protocol.LABORATORY, "mode": Mode.RIDE, "value": 30.0, "unit": "mL/kg/min", "error": 1.5}
    return factories.standard_loop(
        **(given | {"distance_m": None, "duration_s": None, "heart_rate_bpm": None, "talk": None} | changes)
    )


def test_the_first_result_stands_alone():
    one = lab(id=1)

    assert compare_with_last(one, (one,), TRUSTED) is None


@pytest.mark.parametrize(
    ("now", "words"),
    [
        (31.4, "Within test error: cannot tell yet."),
        (31.5, "Probably real."),
        (34.1, "Probably real."),
        (34.2, "Clear: more than test error alone makes."),
        (25.8, "Clear: more than test error alone makes."),
    ],
)
def test_a_verdict_is_one_of_three_and_asks_for_both_errors(now, words):
    # By hand: 1.96 x 1.5 x root 2 is 4.16; a chance of 75 % is at 0.674 x 1.5 x root 2, 1.43.
    one, two = lab(id=1, tested_on=BEFORE), lab(id=2, tested_on=TODAY, value=now)

    compared = compare_with_last(two, (one, two), TRUSTED)

    assert compared.verdict == words
    assert ("clear from", "4 mL/kg/min") in [(one.name, one.text) for one in compared.why.figures]


def test_two_different_errors_count_together():
    # By hand: root of (3² + 4²) is 5, times 1.96 is 9.8.
    one, two = lab(id=1, tested_on=BEFORE, error=3.0), lab(id=2, tested_on=TODAY, value=39.9, error=4.0)

    assert compare_with_last(two, (one, two), TRUSTED).verdict.startswith("Clear")
    assert (
        compare_with_last(lab(id=2, tested_on=TODAY, value=39.7, error=4.0), (one,), TRUSTED).verdict
        == "Probably real."
    )


def test_without_an_error_of_any_kind_there_is_no_verdict():
    one, two = (
        lab(id=1, tested_on=BEFORE, error=None, unit="W"),
        lab(id=2, tested_on=TODAY, value=40.0, unit="W"),
    )

    compared = compare_with_last(two, (one, two), TRUSTED)

    assert (compared.verdict, compared.why) == (NO_VERDICT, None)
    assert compared.differences == ("+10 W",)


@pytest.mark.parametrize(
    ("protocol", "mode", "figures", "verdict", "source"),
    [
        # 5.6 % of 30 is 1.68, clear from 4.66.
        (Protocol.LABORATORY, Mode.RIDE, {"value": 34.6, "unit": "mL/kg/min"}, "Probably real.", "Katch"),
        (Protocol.LABORATORY, Mode.RIDE, {"value": 34.7, "unit": "mL/kg/min"}, "Clear", "Katch"),
        (Protocol.SIX_MINUTE_WALK, Mode.WALK, {"distance_m": 554.0}, "Probably real.", "Chuang"),
        (Protocol.SIX_MINUTE_WALK, Mode.WALK, {"distance_m": 555.0}, "Clear", "Chuang"),
        (Protocol.SIX_MINUTE_WALK, Mode.TREADMILL, {"distance_m": 556.0}, "Probably real.", "Chuang"),
        (Protocol.TWELVE_MINUTE_RUN, Mode.RUN, {"distance_m": 644.0}, "Probably real.", "Alvero"),
        (Protocol.TWELVE_MINUTE_RUN, Mode.RUN, {"distance_m": 645.0}, "Clear", "Alvero"),
    ],
)
def test_a_published_error_serves_where_none_was_typed(protocol, mode, figures, verdict, source):
    plain = {"protocol": protocol, "mode": mode, "value": None, "unit": None, "error": None}
    was = {"value": 30.0, "unit": "mL/kg/min"} if "value" in figures else {"distance_m": 500.0}
    one, two = lab(id=1, tested_on=BEFORE, **plain | was), lab(id=2, tested_on=TODAY, **plain | figures)

    compared = compare_with_last(two, (one, two), TRUSTED)

    assert compared.verdict.startswith(verdict)
    assert compared.why.source.startswith(source)


@pytest.mark.parametrize("protocol", [Protocol.ONE_MILE_WALK, Protocol.STANDARD_LOOP, Protocol.FIVE_KM])
def test_tests_whose_retest_error_was_never_published_get_no_verdict(protocol):
    one, two = (
        factories.standard_loop(id=1, tested_on=BEFORE, protocol=protocol),
        factories.standard_loop(id=2, tested_on=TODAY, protocol=protocol, heart_rate_bpm=100),
    )

    assert compare_with_last(two, (one, two), TRUSTED).verdict == NO_VERDICT


def test_a_chance_is_said_to_the_next_five_per_cent_and_never_sure():
    near, far = lab(id=2, tested_on=TODAY, value=33.0), lab(id=2, tested_on=TODAY, value=60.0)
    one = lab(id=1, tested_on=BEFORE)

    said = [compare_with_last(two, (one, two), TRUSTED).why.figures[-1].text for two in (near, far)]

    assert said == ["about 90 %", "over 95 %"]


@pytest.mark.parametrize(
    "other",
    [{"mode": Mode.RUN}, {"unit": "W"}, {"protocol": Protocol.FIVE_KM}],
)
def test_unlike_is_not_compared(other):
    one, two = lab(id=1, tested_on=BEFORE, **other), lab(id=2, tested_on=TODAY)

    assert compare_with_last(two, (one, two), TRUSTED) is None


def test_a_loop_at_another_talk_or_on_another_route_is_not_compared():
    now = factories.standard_loop(id=3, tested_on=TODAY, distance_m=1900.0, talk=Talk.CHAT)
    harder = factories.standard_loop(id=1, tested_on=BEFORE, distance_m=1900.0, talk=Talk.SENTENCES)
    longer = factories.standard_loop(id=2, tested_on=BEFORE, distance_m=2100.0, talk=Talk.CHAT)

    assert compare_with_last(now, (harder, longer, now), TRUSTED) is None


def test_the_order_of_the_list_does_not_matter():
    one, two, three = (
        lab(id=1, tested_on=BEFORE),
        lab(id=2, tested_on=TODAY - timedelta(days=15)),
        lab(id=3, tested_on=TODAY),
    )

    assert compare_with_last(three, (three, one, two), TRUSTED).before == two


@pytest.mark.parametrize(
    ("was", "now"),
    [({"distance_m": None}, {}), ({}, {"distance_m": None})],
)
def test_a_walk_without_its_distance_gets_no_verdict(was, now):
    walk = {"protocol": Protocol.SIX_MINUTE_WALK}
    one, two = (
        factories.standard_loop(id=1, tested_on=BEFORE, **walk | was),
        factories.standard_loop(id=2, tested_on=TODAY, **walk | now),
    )

    assert compare_with_last(two, (one, two), TRUSTED).verdict == NO_VERDICT


def test_other_tests_are_never_alike():
    one, two = (
        lab(id=1, tested_on=BEFORE, protocol=Protocol.OTHER),
        lab(id=2, tested_on=TODAY, protocol=Protocol.OTHER),
    )

    assert compare_with_last(two, (one, two), TRUSTED) is None


def test_loops_without_a_distance_are_alike():
    one, two = (
        factories.standard_loop(id=1, tested_on=BEFORE, distance_m=None),
        factories.standard_loop(id=2, tested_on=TODAY, distance_m=None),
    )

    assert compare_with_last(two, (one, two), TRUSTED).before == one


def walk(number, days_ago, metres, **changes):
    """A six-minute walk so many days ago."""
    given = {"protocol": Protocol.SIX_MINUTE_WALK, "duration_s": None, "heart_rate_bpm": None, "talk": None}
    return factories.standard_loop(
        **(given | {"id": number, "tested_on": TODAY - timedelta(days=days_ago), "distance_m": metres} | changes)
    )


def said(compared):
    return {one.name: one.text for one in compared.why.figures}


def test_a_first_test_repeated_within_two_weeks_is_averaged_and_not_judged():
    compared = compare_with_last(walk(2, 0, 520.0), (walk(1, 14, 500.0),), TRUSTED)

    assert (compared.verdict, compared.why) == (REPEATED, None)
    assert compared.differences == ("20 m longer",)
    assert compared.averaged == "The mean of 2 tests within two weeks (510 m)."


def test_a_test_one_day_later_than_two_weeks_is_a_result_of_its_own():
    compared = compare_with_last(walk(2, 0, 520.0), (walk(1, 15, 500.0),), TRUSTED)

    assert compared.averaged == ""
    assert said(compared)["tests averaged"] == "1 before, 1 after"


def test_tests_repeated_on_each_side_are_averaged():
    # By hand: means 510 and 554; 54.08 is the limit of one against one, so two against two are clear from 38.2.
    before = (walk(1, 100, 500.0), walk(2, 95, 520.0))
    now = (walk(3, 7, 550.0), walk(4, 0, 558.0))

    compared = compare_with_last(now[1], (*before, *now), TRUSTED)

    assert compared.differences == ("44 m longer",)
    assert compared.verdict.startswith("Clear")
    assert said(compared)["clear from"] == "38 m"
    assert said(compared)["tests averaged"] == "2 before, 2 after"
    assert compared.averaged == (
        "The mean of 2 tests within two weeks (554 m), against the mean of 2 tests within two weeks (510 m)."
    )


def test_one_against_two_is_less_sure_than_two_against_two():
    # By hand: 54.08 times the root of (1 + 1/2)/2 is 46.8.
    before = (walk(1, 100, 500.0), walk(2, 95, 520.0))

    compared = compare_with_last(walk(3, 7, 554.0), before, TRUSTED)

    assert said(compared)["clear from"] == "47 m"
    assert compared.verdict.startswith("Probably")
    assert compared.averaged.startswith("One test (554 m), against the mean of 2")


def test_an_earlier_row_is_judged_by_what_was_known_then():
    walks = (walk(1, 100, 500.0), walk(2, 7, 550.0), walk(3, 0, 590.0))

    assert said(compare_with_last(walks[1], walks, TRUSTED))["tests averaged"] == "1 before, 1 after"


def test_a_repeat_with_other_figures_is_not_averaged():
    one, two = walk(1, 7, 500.0), walk(2, 0, 520.0, heart_rate_bpm=110)

    assert compare_with_last(two, (one, two), TRUSTED).averaged == ""


def test_typed_errors_of_all_averaged_tests_count():
    # By hand: the root of the mean of 1, 1 and 49 is 4.12.
    one, two, three = (
        lab(id=1, tested_on=BEFORE, error=1.0),
        lab(id=2, tested_on=BEFORE + timedelta(days=3), error=1.0),
        lab(id=3, tested_on=TODAY, error=7.0),
    )

    assert said(compare_with_last(three, (one, two), TRUSTED))["typical error of one test"] == "4.1 mL/kg/min"


def test_all_figures_of_a_repeat_are_averaged():
    one = factories.standard_loop(id=1, tested_on=TODAY - timedelta(days=7), duration_s=2700.0, heart_rate_bpm=118)
    two = factories.standard_loop(id=2, tested_on=TODAY, duration_s=2640.0, heart_rate_bpm=113)

    compared = compare_with_last(two, (one, two), TRUSTED)

    assert "(4000 m, 44:30 min, 115.5 beats a minute)" in compared.averaged


def test_a_value_is_averaged_in_its_own_unit():
    one, two = lab(id=1, tested_on=TODAY - timedelta(days=2), value=30.0), lab(id=2, tested_on=TODAY, value=31.0)

    assert "(30.5 mL/kg/min)" in compare_with_last(two, (one, two), TRUSTED).averaged


def test_a_judged_change_names_the_cards_it_was_reckoned_by():
    compared = compare_with_last(walk(2, 0, 560.0), (walk(1, 60, 500.0),), TRUSTED)

    assert compared.why.formulae == ("judge_change", "typical_error_six_minute_walk_chuang_2012")
    assert set(compared.why.formulae) <= set(functions())


def _loops(days_between: int = 30):
    one = factories.standard_loop(id=1, tested_on=TODAY - timedelta(days=days_between), heart_rate_bpm=118)
    return one, factories.standard_loop(id=2, tested_on=TODAY, duration_s=2640.0, heart_rate_bpm=113)


def test_a_heart_rate_that_is_not_reliable_is_left_out_of_the_comparison():
    one, two = _loops()

    compared = compare_with_last(two, (one, two), OFF)

    assert compared.differences == ("same distance", "1:00 min faster", "heart rate recorded only, not compared")


@pytest.mark.parametrize(("days_ago", "is_compared"), [(31, True), (30, False), (7, False), (0, False)])
def test_heart_rates_do_not_compare_across_a_medicine_change(days_ago, is_compared):
    one, two = _loops()
    heart_rate = HeartRateTrust(HeartRateUse.RELIABLE, breaks=(TODAY - timedelta(days=days_ago),))

    compared = compare_with_last(two, (one, two), heart_rate)

    assert ("5 beats a minute lower" in compared.differences) is is_compared


def test_no_mean_of_repeats_holds_a_heart_rate_that_is_not_reliable():
    one, two = _loops(7)

    assert (
        compare_with_last(two, (one, two), OFF).averaged
        == "The mean of 2 tests within two weeks (4000 m, 44:30 min)."
    )


def test_a_value_that_is_a_heart_rate_is_no_trend_either():
    one, two = lab(id=1, tested_on=BEFORE, value=171.0, unit="bpm"), lab(id=2, value=164.0, unit="bpm")

    assert compare_with_last(two, (one, two), TRUSTED).differences == ("-7 bpm",)
    compared = compare_with_last(two, (one, two), OFF)
    assert compared.differences == ("heart rate recorded only, not compared",)
    assert compared.why is None
