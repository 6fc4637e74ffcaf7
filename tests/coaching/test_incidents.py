"""Incidents: open until closed, and waiting for a word after seven days."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import Stops
from app.coaching.incidents import (
    HeadKnock,
    IncidentWord,
    asks_about_head,
    entry_fault,
    longest_waiting,
    sign_with_fall,
    waits_for_word,
)
from app.coaching.people import Mode
from app.coaching.symptoms import SIGNS, hold_for, sign_of
from tests import factories as make
from tests.coaching.signal_scenes import calm, found, on

TODAY = make.TODAY
ZONE = "Europe/Berlin"


def test_an_incident_is_open_until_closed_and_open_again_when_reopened() -> None:
    closed = make.incident_entry(IncidentWord.CLOSED, on(-2))
    reopened = make.incident_entry(IncidentWord.REOPENED, on(-1), id=2)
    corrected = make.incident_entry(IncidentWord.CORRECTION, on(-1), id=3)

    assert make.incident().is_open
    assert not make.incident(entries=(closed,)).is_open
    assert not make.incident(entries=(closed, corrected)).is_open
    assert make.incident(entries=(closed, reopened)).is_open


@pytest.mark.parametrize(("days", "waits"), [(6, False), (7, True), (8, True)])
def test_an_open_incident_waits_for_a_word_from_the_seventh_day_on(days: int, waits: bool) -> None:
    one = make.incident(happened_on=on(-days))

    assert waits_for_word(one, TODAY, ZONE) is waits
    assert (found(calm(incidents=(one,)), "incident_open") is not None) is waits


def test_a_follow_up_starts_the_seven_days_again_and_closing_ends_them() -> None:
    asked = make.incident(happened_on=on(-20), entries=(make.incident_entry(IncidentWord.FOLLOW_UP, on(-6)),))
    closed = make.incident(happened_on=on(-20), entries=(make.incident_entry(IncidentWord.CLOSED, on(-15)),))

    assert found(calm(incidents=(asked, closed)), "incident_open") is None
    assert found(calm(incidents=(asked,)), "incident_open", today=TODAY + timedelta(days=1)) is not None


def test_the_line_is_about_the_one_that_waited_longest() -> None:
    older, newer = make.incident(happened_on=on(-30)), make.incident(id=2, happened_on=on(-9))

    assert longest_waiting((newer, older), TODAY, ZONE) == older


def test_closing_twice_or_opening_an_open_one_does_not_fit() -> None:
    closed = make.incident(entries=(make.incident_entry(IncidentWord.CLOSED, TODAY),))

    assert entry_fault(closed, IncidentWord.CLOSED) == "This incident is closed already."
    assert entry_fault(make.incident(), IncidentWord.REOPENED) == "This incident is open."
    assert entry_fault(closed, IncidentWord.FOLLOW_UP) is None


@pytest.mark.parametrize(
    ("words", "sign", "asks"),
    [
        ("Fell on ice, head knocked", None, True),
        ("He slipped off the kerb", None, True),
        ("A stone hit his helmet", None, True),
        ("Fell on ice, head knocked", "fall", True),
        ("Fell on ice, knee grazed", "fall", False),
        ("Fell on ice, head knocked", "fall_head", False),
        ("Fainted and fell", "fainted", False),
        ("The chain broke", None, False),
        ("Sore knee a long way ahead of home", "joint", False),
    ],
)
def test_words_of_a_fall_or_of_the_head_ask_whether_it_was_knocked(words, sign, asks):
    assert asks_about_head(["Third round", words], sign) is asks


@pytest.mark.parametrize(
    ("sign", "head", "thins", "raised"),
    [
        (None, HeadKnock.YES, False, "fall_head"),
        ("fall", HeadKnock.YES, False, "fall_head"),
        ("wanted_to_stop", HeadKnock.YES, False, "fall_head"),
        ("dizzy", HeadKnock.YES, False, "dizzy"),
        (None, HeadKnock.NO, True, "fall_head"),
        ("fall", None, True, "fall_head"),
        ("joint", HeadKnock.NO_FALL, True, "joint"),
        (None, HeadKnock.NO, False, "fall"),
        ("too_hard", HeadKnock.NO, False, "fall"),
        ("joint", HeadKnock.NO, False, "joint"),
        ("chest", HeadKnock.NO, True, "chest"),
        (None, HeadKnock.NO_FALL, False, None),
        ("fall", HeadKnock.NO, False, "fall"),
        (None, None, True, None),
    ],
)
def test_a_fall_pauses_and_a_knock_or_blood_thinners_make_it_a_clinicians(sign, head, thins, raised):
    assert sign_with_fall(sign, head, takes_blood_thinners=thins) == raised


@pytest.mark.parametrize("sign", [None, *(one.key for one in SIGNS)])
@pytest.mark.parametrize("head", [None, *HeadKnock])
def test_what_is_said_of_the_head_never_makes_a_hold_gentler(sign, head):
    order = [None, Stops.HARD, Stops.MODE_AND_HARD, Stops.ALL]

    def stops(key):
        return None if key is None else hold_for(sign_of(key), Mode.WALK)[1]

    raised = sign_with_fall(sign, head, takes_blood_thinners=False)
    assert order.index(stops(raised)) >= order.index(stops(sign))
