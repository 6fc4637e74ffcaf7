"""Like beside like: differences of two results, and what the tests' own error allows."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.effort import Talk
from app.coaching.fitness_changes import NO_VERDICT, compare_with_last
from app.coaching.fitness_tests import Protocol
from app.coaching.people import Mode
from tests import factories
from tests.factories import TODAY

BEFORE = TODAY - timedelta(weeks=8)


def lab(**changes):
    given = {"protocol": Protocol.LABORATORY, "mode": Mode.RIDE, "value": 30.0, "unit": "mL/kg/min", "error": 1.5}
    return factories.standard_loop(
        **(given | {"distance_m": None, "duration_s": None, "heart_rate_bpm": None, "talk": None} | changes)
    )


def test_the_first_result_stands_alone():
    one = lab(id=1)

    assert compare_with_last(one, (one,)) is None


@pytest.mark.parametrize(
    ("now", "words"),
    [(32.1, "cannot tell yet"), (32.2, "More than the tests' own error (±2.1)"), (27.0, "More than")],
)
def test_a_verdict_asks_for_both_errors_together(now, words):
    # By hand: the root of 1.5² + 1.5² is 2.12.
    one, two = lab(id=1, tested_on=BEFORE), lab(id=2, tested_on=TODAY, value=now)

    assert words in compare_with_last(two, (one, two)).verdict


def test_without_both_errors_there_is_no_verdict():
    one, two = lab(id=1, tested_on=BEFORE, error=None), lab(id=2, tested_on=TODAY, value=40.0)

    compared = compare_with_last(two, (one, two))

    assert compared.verdict == NO_VERDICT
    assert compared.differences == ("+10 mL/kg/min",)


@pytest.mark.parametrize(
    "other",
    [{"mode": Mode.RUN}, {"unit": "W"}, {"protocol": Protocol.FIVE_KM}],
)
def test_unlike_is_not_compared(other):
    one, two = lab(id=1, tested_on=BEFORE, **other), lab(id=2, tested_on=TODAY)

    assert compare_with_last(two, (one, two)) is None


def test_a_loop_at_another_talk_or_on_another_route_is_not_compared():
    now = factories.standard_loop(id=3, tested_on=TODAY, distance_m=1900.0, talk=Talk.CHAT)
    harder = factories.standard_loop(id=1, tested_on=BEFORE, distance_m=1900.0, talk=Talk.SENTENCES)
    longer = factories.standard_loop(id=2, tested_on=BEFORE, distance_m=2100.0, talk=Talk.CHAT)

    assert compare_with_last(now, (harder, longer, now)) is None


def test_the_order_of_the_list_does_not_matter():
    one, two, three = (
        lab(id=1, tested_on=BEFORE),
        lab(id=2, tested_on=TODAY - timedelta(days=9)),
        lab(id=3, tested_on=TODAY),
    )

    assert compare_with_last(three, (three, one, two)).before == two
