"""Pregnancy pauses hard work: since which answer, and which paper is the maternity provider's word."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.holds import Stops
from app.coaching.pregnancy_rules import has_providers_word, pregnancy_stop, pregnant_since
from app.coaching.screening import ClearanceState, Intensity, YesNo
from tests.factories import TODAY, answers, clearance, history

YES, NO, UNKNOWN = YesNo.YES, YesNo.NO, YesNo.UNKNOWN


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def asked(*said: tuple[int, YesNo]):
    """Answers so many days ago; of two on one day the later one counts."""
    return tuple(answers(id=n, answered_on=ago(days), pregnant=word) for n, (days, word) in enumerate(said, 1))


@pytest.mark.parametrize(
    ("said", "since"),
    [
        ((), None),
        (((9, NO),), None),
        (((9, UNKNOWN),), None),
        (((9, YES),), 9),
        (((60, YES), (9, YES)), 60),
        (((9, YES), (60, YES)), 60),
        (((60, YES), (9, UNKNOWN)), 60),
        (((60, UNKNOWN), (9, YES)), 9),
        (((60, YES), (9, NO)), None),
        (((9, NO), (60, YES)), None),
        (((90, YES), (60, NO), (9, YES)), 9),
        (((9, YES), (9, NO)), None),
        (((9, NO), (9, YES)), 9),
    ],
)
def test_pregnant_since_the_first_of_the_last_unbroken_run(said: tuple, since: int | None) -> None:
    assert pregnant_since(history(screening=asked(*said))) == (None if since is None else ago(since))


# House choice after ACOG Committee Opinion 804 (2020) (published, read): no starting until the provider agrees.
@pytest.mark.parametrize(
    ("paper", "agrees"),
    [
        ({"given_on": ago(8)}, True),
        ({"given_on": ago(9)}, False),
        ({"given_on": ago(10)}, False),
        ({"given_on": TODAY}, True),
        ({"given_on": TODAY + timedelta(days=1)}, False),
        ({"given_on": ago(8), "scope": Intensity.LIGHT_MODERATE}, False),
        ({"given_on": ago(8), "how_seen": "telephone"}, False),
        ({"given_on": ago(8), "state": ClearanceState.REFUSED}, False),
        ({"given_on": ago(8), "ends_on": TODAY}, True),
        ({"given_on": ago(8), "ends_on": ago(1)}, False),
    ],
)
def test_only_a_sound_wide_paper_after_the_answer_is_the_providers_word(paper: dict, agrees: bool) -> None:
    known = history(screening=asked((9, YES)), clearances=(clearance(**paper),))

    assert has_providers_word(known, ago(9), TODAY) is agrees
    assert (pregnancy_stop(known, TODAY) is None) is agrees


def test_one_fitting_paper_among_others_is_enough() -> None:
    papers = (clearance(id=1, given_on=ago(20)), clearance(id=2, given_on=ago(3)), clearance(id=3, how_seen=None))

    assert pregnancy_stop(history(screening=asked((9, YES)), clearances=papers), TODAY) is None


def test_it_stops_hard_work_and_lets_easy_work_be() -> None:
    stop = pregnancy_stop(history(screening=asked((9, YES))), TODAY)

    assert stop is not None
    assert stop.stops is Stops.HARD
    assert "maternity provider agrees in writing" in stop.sentence


def test_nobody_pregnant_needs_no_word() -> None:
    assert pregnancy_stop(history(screening=asked((9, NO))), TODAY) is None
