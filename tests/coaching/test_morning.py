"""The morning: order, handling, one line a client, and no dependence on the order given."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.history import Handled, History
from app.coaching.holds import Family as SignFamily
from app.coaching.holds import HoldKind, Stops
from app.coaching.morning import Morning, all_signals, morning
from app.coaching.phases import Phase
from tests import factories as make
from tests.coaching.signal_scenes import RULES, calm, easy_done, hard_done_on, hard_planned, on


def _named(history: History, id_: int, name: str) -> History:
    return replace(history, client=replace(history.client, id=id_, name=name))


def _see(*histories: History, handled: tuple[Handled, ...] = (), days: int = 0) -> Morning:
    return morning(histories, {h.client.id: on(days) for h in histories}, RULES, handled)


def _handled(signal: str, key: str, *, until: int | None = None, at: int = 0) -> Handled:
    until_on = None if until is None else on(until)
    return Handled(make.CLIENT_ID, signal, key, until_on, make.at(on(at), 6), make.COACH_ID)


ILL = calm(symptoms=(make.symptom(),), holds=(make.hold(),), logs=(easy_done(-2), hard_done_on(-4)))
TIRED = calm(readiness=(make.readiness(slept_h=4.0),), planned=(hard_planned(0),))
QUIET = calm(Phase.AEROBIC_BASE, logs=(easy_done(-9), easy_done(-10)), contacts=())
OVERDUE = calm(contacts=(make.contact(contact_on=on(-20)),))


def test_safety_comes_first_then_doubt_then_the_rest() -> None:
    seen = _see(_named(QUIET, 1, "Ada"), _named(TIRED, 2, "Bo"), _named(ILL, 3, "Cy"), _named(OVERDUE, 4, "Di"))

    assert [line.client.name for line in seen.today] == ["Cy", "Bo"]
    assert [line.client.name for line in seen.planning] == ["Di", "Ada"]


def test_a_symptom_that_stops_everything_stands_before_an_older_sore_joint() -> None:
    sore = make.symptom(sign="joint", family=SignFamily.B, felt_on=on(-3), hold_id=7)
    knee = make.hold(id=7, kind=HoldKind.INJURY, stops=Stops.HARD, began_on=on(-3))
    joint = calm(symptoms=(sore,), holds=(knee,))
    chest = calm(symptoms=(make.symptom(felt_on=on(-1)),), holds=(make.hold(),))

    seen = _see(_named(joint, 1, "Ada"), _named(chest, 2, "Bo"))

    assert [line.client.name for line in seen.today] == ["Bo", "Ada"]


def test_equal_evidence_is_ordered_by_name() -> None:
    seen = _see(_named(OVERDUE, 9, "Zoe"), _named(OVERDUE, 8, "Ann"))

    assert [line.client.name for line in seen.planning] == ["Ann", "Zoe"]


def test_a_client_has_one_line_with_its_top_reason_and_the_others_behind_it() -> None:
    line = _see(ILL).today[0]

    assert line.top.name == "symptom"
    assert {"clearance_missing"} <= {signal.name for signal in line.more}
    assert all_signals(line) == (line.top, *line.more)


def test_a_calm_roster_is_empty() -> None:
    seen = _see(calm())

    assert (seen.lines, seen.clients) == (0, 1)


def test_a_line_handled_stays_away_until_its_key_changes() -> None:
    done = _handled("contact_overdue", "contact_overdue:1:14")
    newer = replace(OVERDUE, contacts=(make.contact(id=2, contact_on=on(-15)),))

    assert _see(OVERDUE, handled=(done,)).lines == 0
    assert _see(newer, handled=(done,)).lines == 1


def test_handling_kept_in_the_history_counts_too() -> None:
    done = _handled("contact_overdue", "contact_overdue:1:14")

    assert _see(replace(OVERDUE, handled=(done,))).lines == 0


@pytest.mark.parametrize(("days", "lines"), [(0, 0), (1, 0), (2, 1)])
def test_a_line_put_off_comes_back_on_its_date(days: int, lines: int) -> None:
    done = _handled("contact_overdue", "contact_overdue:1:14", until=2)

    assert len(_see(OVERDUE, handled=(done,), days=days).planning) == lines


def test_somebody_elses_handling_changes_nothing() -> None:
    done = replace(_handled("contact_overdue", "contact_overdue:1:14"), client_id=99)

    assert _see(OVERDUE, handled=(done,)).lines == 1


@pytest.mark.parametrize(("days", "tops"), [(0, "clearance_missing"), (1, "symptom")])
def test_a_safety_line_cannot_be_put_off_past_the_day(days: int, tops: str) -> None:
    done = _handled("symptom", "symptom:1:", until=30)

    seen = _see(ILL, handled=(done,), days=days)

    assert [line.top.name for line in (*seen.today, *seen.planning)] == [tops]


def test_who_waits_only_for_questions_is_one_group() -> None:
    waiting = calm(Phase.AEROBIC_BASE, screening=(), logs=(easy_done(-1),))

    seen = _see(_named(waiting, 2, "Bo"), _named(waiting, 1, "Ada"))

    assert [client.name for client in seen.waiting_for_questions] == ["Ada", "Bo"]
    assert seen.lines == 0


CLIENTS = [
    _named(history, n, name)
    for n, (history, name) in enumerate(
        [(QUIET, "Ada"), (TIRED, "Bo"), (ILL, "Cy"), (OVERDUE, "Di"), (calm(), "Ed"), (OVERDUE, "Flo")], start=1
    )
]


@settings(max_examples=30, deadline=None)
@given(order=st.permutations(CLIENTS))
def test_the_order_the_clients_come_in_does_not_matter(order: list[History]) -> None:
    assert _see(*order) == _see(*CLIENTS)


@settings(max_examples=30, deadline=None)
@given(randomly=st.randoms(use_true_random=False))
def test_the_order_of_records_does_not_matter(randomly: Any) -> None:
    shuffled = {
        name: tuple(randomly.sample(getattr(TIRED, name), len(getattr(TIRED, name))))
        for name in ("logs", "planned", "readiness", "contacts", "tests")
    }

    assert _see(replace(TIRED, **shuffled)) == _see(TIRED)
