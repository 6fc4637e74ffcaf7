"""Every signal there is: its four rows, its reasons, and its windows through clock changes and year ends."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from app.coaching.history import Handled, History
from app.coaching.morning import all_signals, morning
from app.coaching.signals import NAMES, Family, Shelf, Signal, signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY
from tests.coaching.signal_table import BY_TIME, TABLE, Rows, in_zone, shifted

#: Mondays after which the windows reach over a clock change, a leap day, the end of a year and of short months.
_ODD_DAYS = (date(2026, 3, 30), date(2027, 3, 1), date(2028, 3, 6), date(2029, 1, 1), date(2026, 10, 26))
#: They stand open in the morning as one line for all.
_GROUPED = frozenset({"waiting_for_questions"})


def _said(rows: Rows, history: History, name: str, *, today: date = TODAY) -> Signal | None:
    return next((one for one in signals(history, today, rows.rules) if one.name == name), None)


def _in_morning(rows: Rows, history: History, *handled: Handled) -> set[str]:
    seen = morning((history,), {history.client.id: TODAY}, rows.rules, handled)
    said = {signal.name for line in (*seen.today, *seen.planning) for signal in all_signals(line)}
    return said | (_GROUPED if seen.waiting_for_questions else set())


def test_every_signal_has_its_four_rows() -> None:
    assert tuple(TABLE) == NAMES


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_fires_and_does_not_just_below(name: str) -> None:
    rows = TABLE[name]()

    assert _said(rows, rows.fires, name) is not None
    assert _said(rows, rows.below, name) is None


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_is_silenced_by_handling_and_returns_on_new_evidence(name: str) -> None:
    rows = TABLE[name]()
    signal, client_id = _said(rows, rows.fires, name), rows.fires.client.id
    assert signal is not None
    done = Handled(client_id, name, signal.key, None, make.at(TODAY), make.COACH_ID)

    assert name not in _in_morning(rows, rows.fires, done)
    assert name in _in_morning(rows, rows.fires, replace(done, key=f"{signal.key}x"))
    assert name in BY_TIME or name in _in_morning(rows, rows.renewed, done)


@pytest.mark.parametrize("name", sorted(BY_TIME))
def test_what_goes_on_speaks_again_when_its_stretch_of_time_is_over(name: str) -> None:
    rows, days = TABLE[name](), BY_TIME[name]
    now = _said(rows, rows.fires, name)
    later = _said(rows, shifted(rows.fires, days), name, today=shifted(TODAY, days))

    assert now is not None
    assert later is not None
    assert now.key != later.key


@pytest.mark.parametrize("day", _ODD_DAYS)
@pytest.mark.parametrize("name", NAMES)
def test_no_window_knows_a_clock_change_a_leap_day_or_the_end_of_a_year(name: str, day: date) -> None:
    rows, days = TABLE[name](), (day - TODAY).days

    assert _said(rows, shifted(rows.fires, days), name, today=day) is not None
    assert _said(rows, shifted(rows.below, days), name, today=day) is None


@pytest.mark.parametrize("zone", ["Pacific/Auckland", "America/Los_Angeles"])
@pytest.mark.parametrize("name", NAMES)
def test_days_are_the_clients_own_in_every_zone(name: str, zone: str) -> None:
    rows = TABLE[name]()
    client = replace(rows.fires.client, zone=zone)

    assert _said(rows, replace(in_zone(rows.fires, zone), client=client), name) is not None
    assert _said(rows, replace(in_zone(rows.below, zone), client=client), name) is None


@pytest.mark.parametrize("name", NAMES)
def test_each_signal_speaks_with_figures_a_rule_and_something_to_do(name: str) -> None:
    rows = TABLE[name]()
    signal = _said(rows, rows.fires, name)

    assert signal is not None
    assert signal.why.rule
    assert signal.why.figures
    assert signal.acts
    assert signal.sentence.endswith((".", "”", "?"))


@pytest.mark.parametrize("name", NAMES)
def test_the_order_of_records_changes_no_signal(name: str) -> None:
    rows = TABLE[name]()
    turned = replace(
        rows.fires,
        **{
            field: tuple(reversed(getattr(rows.fires, field)))
            for field in ("logs", "planned", "readiness", "contacts", "tests", "symptoms", "holds", "blocks")
        },
    )

    assert signals(turned, TODAY, rows.rules) == signals(rows.fires, TODAY, rows.rules)


@pytest.mark.parametrize("name", NAMES)
def test_the_shelf_of_today_is_for_safety_and_for_hard_work_in_doubt(name: str) -> None:
    rows = TABLE[name]()
    signal = _said(rows, rows.fires, name)

    assert signal is not None
    assert signal.shelf is Shelf.PLANNING or signal.family in (Family.SAFETY, Family.HARD_TODAY)
