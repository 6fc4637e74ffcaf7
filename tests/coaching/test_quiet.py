"""Quiet: no entry and no contact for longer than is usual for the client."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.people import ClientState, Origin
from app.coaching.phases import DecisionKind
from app.coaching.quiet import silence
from app.coaching.rules import Rules
from app.coaching.signals import signals
from tests import factories
from tests.factories import TODAY

RULES = Rules()


def entries_every(days: int, last_days_ago: int, count: int = 5):
    last = TODAY - timedelta(days=last_days_ago)
    made = [last - timedelta(days=days * n) for n in range(count)]
    return tuple(
        factories.log(id=n, done_on=day, entered_at=factories.at(day)) for n, day in enumerate(sorted(made), 1)
    )


@pytest.mark.parametrize(("days_ago", "is_quiet"), [(7, False), (8, True)])
def test_seven_days_are_not_quiet_and_eight_are(days_ago, is_quiet):
    found = silence(factories.history(logs=entries_every(2, days_ago)), TODAY, RULES)

    assert found.is_quiet is is_quiet


@pytest.mark.parametrize(("days_ago", "is_quiet"), [(12, False), (13, True)])
def test_somebody_who_writes_every_six_days_is_given_twelve(days_ago, is_quiet):
    found = silence(factories.history(logs=entries_every(6, days_ago)), TODAY, RULES)

    assert found.limit_days == 12
    assert found.is_quiet is is_quiet


def test_a_contact_breaks_the_silence():
    spoken = factories.contact(contact_on=TODAY - timedelta(days=2))

    found = silence(factories.history(logs=entries_every(2, 20), contacts=(spoken,)), TODAY, RULES)

    assert found.days == 2
    assert not found.is_quiet


def test_nobody_is_quiet_on_leave():
    away = factories.leave(from_on=TODAY - timedelta(days=3), until_on=TODAY)

    assert not silence(factories.history(logs=entries_every(2, 20), leaves=(away,)), TODAY, RULES).is_quiet


def test_nobody_is_quiet_on_pause():
    paused = factories.client(state=ClientState.PAUSED)

    assert not silence(factories.history(client=paused, logs=entries_every(2, 20)), TODAY, RULES).is_quiet


def test_without_any_entry_it_counts_from_joining():
    new = factories.client(joined_on=TODAY - timedelta(days=9))

    assert silence(factories.history(client=new), TODAY, RULES).days == 9


def test_what_was_brought_in_today_is_as_old_as_its_day():
    old = factories.log(done_on=TODAY - timedelta(days=30), entered_at=factories.at(TODAY), origin=Origin.FILE)

    assert silence(factories.history(logs=(old,)), TODAY, RULES).days == 30


def test_an_entry_typed_late_was_made_when_it_was_typed():
    late = factories.log(done_on=TODAY - timedelta(days=10), entered_at=factories.at(TODAY - timedelta(days=1)))

    assert silence(factories.history(logs=(late,)), TODAY, RULES).days == 1


def test_an_import_of_old_rows_is_no_sign_of_life_in_the_morning_either():
    logs = entries_every(2, 20)
    brought = factories.log(
        id=99, done_on=TODAY - timedelta(days=30), entered_at=factories.at(TODAY), origin=Origin.FILE
    )
    history = factories.history(logs=(*logs, brought))

    found = silence(history, TODAY, RULES)
    said = {signal.name: signal.sentence for signal in signals(history, TODAY, RULES)}

    assert found.days == 20
    assert said["quiet"].startswith("Quiet for 20 days")


def test_something_that_felt_wrong_is_an_entry_too():
    report = factories.symptom(felt_on=TODAY - timedelta(days=3))

    assert silence(factories.history(logs=entries_every(2, 20), symptoms=(report,)), TODAY, RULES).days == 3


def test_days_of_leave_do_not_count_once_it_is_over():
    away = factories.leave(from_on=TODAY - timedelta(days=15), until_on=TODAY - timedelta(days=2))

    assert silence(factories.history(logs=entries_every(2, 20), leaves=(away,)), TODAY, RULES).days == 2


def test_nobody_is_quiet_while_a_hold_stops_all_training():
    history = factories.history(logs=entries_every(2, 20), holds=(factories.hold(),))

    assert not silence(history, TODAY, RULES).is_quiet


def test_brought_in_without_a_session_it_counts_from_that_day():
    old = factories.client(joined_on=TODAY - timedelta(days=142))
    brought = factories.decision(kind=DecisionKind.BROUGHT_IN, decided_at=factories.at(TODAY - timedelta(days=2)))

    assert silence(factories.history(client=old, decisions=(brought,)), TODAY, RULES).days == 2
