"""Incidents: open until closed, and waiting for a word after seven days."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.incidents import IncidentWord, entry_fault, longest_waiting, waits_for_word
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
