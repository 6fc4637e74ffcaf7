"""The screening table said aloud: how much each row stops, what comes next, where it is from, and papers by days."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.reasons import Provenance
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_table import (
    STOPPED_WORDS,
    ClearanceFacts,
    Outcome,
    ScreeningInputs,
    Standing,
    Stopped,
    branches,
    clearance_facts,
    covers,
    provenance_of_row,
    screen,
)
from tests.factories import TODAY

YES, NO, UNKNOWN = YesNo.YES, YesNo.NO, YesNo.UNKNOWN
LM, V = Intensity.LIGHT_MODERATE, Intensity.VIGOROUS
OK, DEFER, HOLD, STOP = Outcome.OK, Outcome.DEFER, Outcome.HOLD, Outcome.STOP
NOTHING, VIGOROUS, BEYOND_LIGHT, ALL = Stopped.NOTHING, Stopped.VIGOROUS, Stopped.BEYOND_LIGHT, Stopped.ALL
NONE = ClearanceFacts()
ASKED = ClearanceFacts(Standing.REQUESTED)
REFUSED = ClearanceFacts(Standing.REFUSED)
NARROW, WIDE = ClearanceFacts(Standing.GRANTED, LM), ClearanceFacts(Standing.GRANTED, V)
NARROW_AFTER, WIDE_AFTER = ClearanceFacts(Standing.GRANTED, LM, True), ClearanceFacts(Standing.GRANTED, V, True)
OLD_NARROW, OLD_WIDE = ClearanceFacts(Standing.EXPIRED, LM), ClearanceFacts(Standing.EXPIRED, V)


def asked(active, symptoms, disease, wanted, paper=NONE, *, done=False, diabetes=False):
    return screen(ScreeningInputs(active, symptoms, disease, wanted, paper, done, diabetes))


# Riebe et al. 2015 (published, second-hand) with the house rows, in the reference's precedence, worked out by hand:
# the row that fires, the outcome, how much stops, and how what comes next begins.
EASY_FIRST = "The transition weeks come first"
ROWS = [
    ((NO, NO, NO, LM), OK, 1, NOTHING, "Start at light to moderate"),
    ((NO, NO, NO, V), DEFER, 2, VIGOROUS, "Start light to moderate and progress gradually; hard work after"),
    ((NO, NO, NO, V, NONE, True), OK, 2, NOTHING, "The transition weeks are done"),
    ((NO, NO, YES, LM), HOLD, 3, ALL, "A clinician's clearance is needed before any training"),
    ((NO, NO, YES, LM, ASKED), HOLD, 3, ALL, "A clinician's clearance is needed before any training"),
    ((NO, NO, YES, LM, NARROW), OK, 3, NOTHING, "Cleared: light to moderate"),
    ((NO, NO, YES, LM, OLD_WIDE), HOLD, 3, ALL, "A clinician's clearance is needed before any training"),
    ((NO, NO, YES, V), HOLD, 4, ALL, "A clinician's clearance for vigorous work and the transition"),
    ((NO, NO, YES, V, WIDE), DEFER, 4, VIGOROUS, EASY_FIRST),
    ((NO, NO, YES, V, WIDE, True), OK, 4, NOTHING, "Cleared and past the transition"),
    ((NO, YES, NO, LM), HOLD, 5, ALL, "A clinician's clearance, dated after the symptom"),
    ((UNKNOWN, YES, UNKNOWN, LM), HOLD, 5, ALL, "A clinician's clearance, dated after the symptom"),
    ((NO, YES, NO, LM, WIDE), HOLD, 5, ALL, "A clinician's clearance, dated after the symptom"),
    ((NO, YES, NO, LM, NARROW_AFTER), OK, 5, NOTHING, "Cleared after the symptom: light to moderate"),
    ((NO, YES, NO, V), HOLD, 6, ALL, "A clinician's clearance for vigorous work, dated after the symptom, and the"),
    ((NO, YES, NO, V, NARROW_AFTER), HOLD, 6, VIGOROUS, "A clinician's clearance for vigorous work, dated after"),
    ((NO, YES, NO, V, WIDE_AFTER), DEFER, 6, VIGOROUS, EASY_FIRST),
    ((NO, YES, NO, V, WIDE_AFTER, True), OK, 6, NOTHING, "Cleared after the symptom and past the transition"),
    ((YES, NO, NO, LM), OK, 7, NOTHING, "Continue at light to moderate"),
    ((YES, NO, NO, V), OK, 8, NOTHING, "Continue, or progress"),
    ((YES, NO, YES, LM), OK, 9, NOTHING, "Continue at light to moderate"),
    ((YES, NO, YES, LM, OLD_WIDE), OK, 9, NOTHING, "Continue at light to moderate"),
    ((YES, NO, YES, V), HOLD, 10, VIGOROUS, "A clinician's clearance for vigorous work, not older"),
    ((YES, NO, YES, V, WIDE), OK, 10, NOTHING, "Cleared for vigorous work"),
    ((YES, YES, NO, LM), STOP, 11, ALL, "Stop training and see a doctor. Return only after a clearance dated"),
    ((YES, YES, NO, LM, NARROW_AFTER), OK, 11, NOTHING, "Cleared after the symptom: light to moderate"),
    ((YES, YES, NO, V), STOP, 12, ALL, "Stop training and see a doctor. Return only after a clearance for vig"),
    ((YES, YES, NO, V, WIDE), STOP, 12, ALL, "Stop training and see a doctor"),
    ((YES, YES, NO, V, NARROW_AFTER), STOP, 12, VIGOROUS, "Stop training and see a doctor"),
    ((YES, YES, NO, V, WIDE_AFTER), OK, 12, NOTHING, "Cleared after the symptom: progress"),
    ((YES, YES, UNKNOWN, V, REFUSED), STOP, 12, ALL, "Stop training and see a doctor"),
    ((UNKNOWN, NO, NO, LM), OK, 13, NOTHING, "Ask about activity; until then the person"),
    ((UNKNOWN, NO, NO, V), DEFER, 13, VIGOROUS, "Ask about activity; until then it counts as not active and hard"),
    ((UNKNOWN, NO, NO, V, NONE, True), OK, 13, NOTHING, "Ask about activity; until then the person"),
    ((UNKNOWN, NO, YES, V, WIDE), DEFER, 13, VIGOROUS, "Ask about activity"),
    ((YES, UNKNOWN, NO, LM), HOLD, 14, BEYOND_LIGHT, "Ask the nine symptom questions"),
    ((YES, UNKNOWN, NO, V), HOLD, 14, BEYOND_LIGHT, "Ask the nine symptom questions"),
    ((NO, UNKNOWN, YES, LM, WIDE), HOLD, 14, BEYOND_LIGHT, "Ask the nine symptom questions"),
    ((YES, UNKNOWN, UNKNOWN, V), HOLD, 14, BEYOND_LIGHT, "Ask the nine symptom questions"),
    ((NO, UNKNOWN, YES, LM), HOLD, 3, ALL, "A clinician's clearance is needed"),
    ((NO, UNKNOWN, UNKNOWN, LM), HOLD, 15, ALL, "Ask about heart, metabolic"),
    ((NO, NO, UNKNOWN, LM), HOLD, 15, ALL, "Ask about heart, metabolic"),
    ((UNKNOWN, NO, UNKNOWN, V), HOLD, 15, ALL, "Ask about heart, metabolic"),
    ((YES, NO, UNKNOWN, LM), OK, 15, NOTHING, "Ask about heart, metabolic"),
    ((YES, NO, UNKNOWN, V), HOLD, 15, VIGOROUS, "Ask about heart, metabolic"),
    ((NO, NO, UNKNOWN, V, WIDE), DEFER, 15, VIGOROUS, EASY_FIRST),
    ((NO, NO, UNKNOWN, LM, NARROW), OK, 15, NOTHING, "Ask about heart, metabolic"),
    ((YES, NO, NO, LM, REFUSED), HOLD, 16, ALL, "Clearance was refused"),
    ((YES, NO, NO, V, REFUSED), HOLD, 16, ALL, "Clearance was refused"),
    ((NO, UNKNOWN, YES, V, REFUSED), HOLD, 16, ALL, "Clearance was refused"),
    ((YES, NO, NO, V, NARROW), HOLD, 17, VIGOROUS, "The clearance is for light to moderate work only"),
    ((YES, NO, NO, V, OLD_NARROW), HOLD, 17, VIGOROUS, "The clearance is for light to moderate work only"),
    ((NO, NO, YES, V, NARROW), HOLD, 17, VIGOROUS, "The clearance is for light to moderate work only"),
    ((YES, NO, NO, V, OLD_WIDE), HOLD, 18, VIGOROUS, "The clearance has run out"),
    ((NO, NO, YES, V, OLD_WIDE), HOLD, 18, ALL, "The clearance has run out"),
    ((YES, NO, NO, V, ASKED), OK, 8, NOTHING, "Continue, or progress"),
]


@pytest.mark.parametrize(("given", "outcome", "row", "stops", "begins"), ROWS, ids=str)
def test_each_row_with_what_it_stops_and_what_comes_next(given, outcome, row, stops, begins: str) -> None:
    wish, done = given[:5], len(given) > 5
    found = asked(*wish, done=done)

    assert (found.outcome, found.branch, found.stops) == (outcome, row, stops)
    assert found.comes_next.startswith(begins)
    assert found.is_ok is (outcome is OK)
    assert found.wanted is given[3]


def test_every_row_is_listed_with_both_its_sentences() -> None:
    listed = branches()

    assert [number for number, _, _ in listed] == list(range(1, 19))
    assert [number for number, _, cleared in listed if cleared is not None] == [3, 4, 5, 6, 10, 11, 12, 13, 15]
    assert all(said for _, said, _ in listed)
    assert len({cleared for _, _, cleared in listed if cleared is not None}) == 8  # rows 5 and 11 share theirs


def test_rows_from_13_on_are_the_practices_own() -> None:
    assert {provenance_of_row(row) for row in range(13, 19)} == {Provenance.HOUSE}
    assert {provenance_of_row(row) for row in range(1, 13)} == {Provenance.PUBLISHED_SECOND_HAND}


def test_how_much_is_stopped_can_be_said() -> None:
    assert set(STOPPED_WORDS) == set(Stopped)


@pytest.mark.parametrize(
    ("answers", "missing"),
    [
        ((YES, NO, NO), ()),
        ((UNKNOWN, NO, NO), ("activity",)),
        ((YES, UNKNOWN, NO), ("symptoms",)),
        ((YES, NO, UNKNOWN), ("disease",)),
        ((UNKNOWN, UNKNOWN, UNKNOWN), ("activity", "symptoms", "disease")),
    ],
)
def test_what_was_not_answered_is_named(answers: tuple, missing: tuple[str, ...]) -> None:
    assert asked(*answers, LM).missing == missing


@pytest.mark.parametrize(
    ("paper", "light", "vigorous"),
    [
        (NONE, False, False),
        (NARROW, True, False),
        (WIDE, True, True),
        (OLD_WIDE, False, False),
        (REFUSED, False, False),
        (ClearanceFacts(Standing.GRANTED), False, False),
        (ClearanceFacts(Standing.REQUESTED, V), False, False),
    ],
)
def test_a_clearance_covers_what_it_was_granted_for(paper: ClearanceFacts, light: bool, vigorous: bool) -> None:
    assert (covers(paper, LM), covers(paper, V)) == (light, vigorous)


def test_without_dates_a_clearance_counts_as_older_than_a_symptom() -> None:
    assert ClearanceFacts().is_after_symptom is False
    assert ScreeningInputs(YES, NO, NO, V).transition_done is False
    assert ScreeningInputs(YES, NO, NO, V).diabetes_alone_may_begin is False


# Colberg 2017, Front Endocrinol 8:33 (published, read): diabetes alone, light to moderate, no symptom.
@pytest.mark.parametrize(
    ("given", "row", "is_ok", "is_by_choice"),
    [
        ((NO, NO, YES, LM), 3, True, True),
        ((UNKNOWN, NO, YES, LM), 3, True, True),
        ((NO, NO, YES, LM, ASKED), 3, True, True),
        ((NO, NO, YES, LM, OLD_WIDE), 3, True, True),
        ((NO, NO, YES, LM, NARROW), 3, True, False),
        ((NO, NO, YES, LM, REFUSED), 16, False, False),
        ((NO, UNKNOWN, YES, LM), 3, False, False),
        ((NO, YES, YES, LM), 5, False, False),
        ((NO, YES, YES, LM, NARROW_AFTER), 5, True, False),
        ((NO, NO, YES, V), 4, False, False),
        ((NO, NO, NO, LM), 1, True, False),
        ((NO, NO, UNKNOWN, LM), 15, False, False),
        ((YES, NO, YES, LM), 9, True, False),
        ((YES, NO, YES, V), 10, False, False),
    ],
)
def test_the_diabetes_choice_reads_row_three_alone(given, row: int, is_ok: bool, is_by_choice: bool) -> None:
    found = asked(*given, diabetes=True)

    assert (found.branch, found.is_ok) == (row, is_ok)
    assert found.comes_next.startswith("By the practice's own choice: diabetes alone") is is_by_choice


@pytest.mark.parametrize("done", [False, True])
def test_the_diabetes_choice_never_reaches_vigorous(done: bool) -> None:
    found = asked(NO, NO, YES, V, done=done, diabetes=True)

    assert (found.outcome, found.branch, found.stops) == (HOLD, 4, VIGOROUS)


# A paper by its days: a year old at most, after the symptom, nothing new since (from memory, unchecked).


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def facts(**changes) -> ClearanceFacts:
    given = {
        "state": ClearanceState.GRANTED,
        "scope": V,
        "given_on": ago(30),
        "ends_on": None,
        "symptom_on": None,
        "is_new_since": False,
        "today": TODAY,
        "rules": Rules(),
    }
    return clearance_facts(**(given | changes))


@pytest.mark.parametrize(
    ("changes", "standing", "is_after"),
    [
        ({}, Standing.GRANTED, True),
        ({"given_on": TODAY}, Standing.GRANTED, True),
        ({"given_on": ago(365)}, Standing.GRANTED, True),
        ({"given_on": ago(366)}, Standing.EXPIRED, True),
        ({"given_on": ago(-1)}, Standing.EXPIRED, True),
        ({"given_on": None}, Standing.EXPIRED, False),
        ({"ends_on": TODAY}, Standing.GRANTED, True),
        ({"ends_on": ago(1)}, Standing.EXPIRED, True),
        ({"symptom_on": ago(31)}, Standing.GRANTED, True),
        ({"symptom_on": ago(30)}, Standing.EXPIRED, False),
        ({"symptom_on": ago(29)}, Standing.EXPIRED, False),
        ({"is_new_since": True}, Standing.EXPIRED, True),
        ({"rules": Rules(clearance_days=180), "given_on": ago(181)}, Standing.EXPIRED, True),
    ],
)
def test_a_granted_paper_stands_or_has_run_out(changes: dict, standing: Standing, is_after: bool) -> None:
    assert facts(**changes) == ClearanceFacts(standing, V, is_after)


@pytest.mark.parametrize("state", [ClearanceState.REQUESTED, ClearanceState.REFUSED])
def test_what_was_not_granted_stands_as_it_is(state: ClearanceState) -> None:
    assert facts(state=state) == ClearanceFacts(Standing(state.value), V, False)


def test_without_a_paper_there_is_none() -> None:
    assert facts(state=None) == ClearanceFacts(Standing.NONE, None, False)
