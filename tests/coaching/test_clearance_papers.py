"""What makes a clinician's paper sound, each thing that can be wrong with it, and which of two is the newer."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.clearance_papers import HOW_SEEN, TELEPHONE, has_paper, paper_day, paper_faults, paper_order
from app.coaching.screening import ClearanceState
from tests.factories import TODAY, at, clearance


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def test_a_signed_wide_paper_of_today_is_sound() -> None:
    assert paper_faults(clearance(given_on=TODAY), TODAY) == ()


# House choice, after the practice's list: signer, profession, date, scope, how it was seen; telephone alone does not.
@pytest.mark.parametrize(
    ("changes", "faults"),
    [
        ({"state": ClearanceState.REQUESTED}, ("The clearance has not been granted.",)),
        ({"state": ClearanceState.REFUSED}, ("The clearance has not been granted.",)),
        ({"signer": None}, ("Say who signed the clearance.",)),
        ({"signer": "  "}, ("Say who signed the clearance.",)),
        ({"profession": None}, ("Say the signer's profession.",)),
        ({"profession": " "}, ("Say the signer's profession.",)),
        ({"given_on": None}, ("Say on which day the clearance was given.",)),
        ({"given_on": TODAY + timedelta(days=1)}, ("The clearance is dated in the future.",)),
        ({"scope": None}, ("Say what the clearance is for: light to moderate, or vigorous work.",)),
        ({"how_seen": None}, ("Say how the clearance was seen.",)),
        ({"how_seen": "a dream"}, ("Say how the clearance was seen.",)),
        ({"how_seen": "telephone"}, ("A telephone call alone does not count; ask for it in writing.",)),
        ({"signer": "", "scope": None}, None),
    ],
)
def test_each_thing_that_is_wrong_is_said(changes: dict, faults: tuple[str, ...] | None) -> None:
    both = (
        "Say who signed the clearance.",
        "Say what the clearance is for: light to moderate, or vigorous work.",
    )

    assert paper_faults(clearance(**changes), TODAY) == (both if faults is None else faults)


@pytest.mark.parametrize("how_seen", ["paper", "copy", "from_clinic"])
def test_it_counts_seen_as_paper_copy_or_from_the_clinic(how_seen: str) -> None:
    assert paper_faults(clearance(how_seen=how_seen), TODAY) == ()


def test_there_are_four_ways_of_seeing_it() -> None:
    assert set(HOW_SEEN) == {"paper", "copy", "from_clinic", "telephone"}
    assert TELEPHONE == "telephone"


def test_a_paper_without_a_day_is_of_the_day_it_was_recorded() -> None:
    assert paper_day(clearance(given_on=ago(4), recorded_at=at(TODAY))) == ago(4)
    assert paper_day(clearance(given_on=None, recorded_at=at(ago(2)))) == ago(2)


def test_the_newer_of_two_is_told_by_its_day_then_by_its_number() -> None:
    old, new = clearance(id=9, given_on=ago(4)), clearance(id=2, given_on=ago(3))
    same_day = clearance(id=3, given_on=ago(3))

    assert paper_order(old) < paper_order(new) < paper_order(same_day)


@pytest.mark.parametrize(
    ("changes", "is_one"),
    [
        ({}, True),
        ({"state": ClearanceState.REFUSED}, True),
        ({"state": ClearanceState.REQUESTED, "how_seen": None}, False),
        ({"state": ClearanceState.REQUESTED, "how_seen": "paper"}, False),
        ({"how_seen": "telephone"}, False),
        ({"state": ClearanceState.REFUSED, "how_seen": "telephone"}, False),
    ],
)
def test_an_answer_is_on_paper_unless_it_was_told_by_telephone(changes: dict, is_one: bool) -> None:
    assert has_paper(clearance(**changes)) is is_one
