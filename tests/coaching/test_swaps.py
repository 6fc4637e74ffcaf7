"""Today's session exchanged with another: with which it may be, what refuses it, and what taking it back would do."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.swaps import SWAP_DAYS, brings_more_today, swap_options, swapped
from tests import factories as make
from tests.coaching.signal_scenes import RULES, TODAY, calm, easy_done, hard_planned, on

HARD = hard_planned(0)


def _easy(days: int, **changes: Any) -> Any:
    return make.planned(**({"id": 200 + days, "planned_on": on(days)} | changes))


def _options(*others: Any, **records: Any) -> dict[int, Any]:
    known = calm(Phase.INTERVAL_TWO, **({"planned": (HARD, *others)} | records))
    return {one.session.id: one for one in swap_options(known, HARD, TODAY, RULES)}


def test_each_takes_the_others_day_and_nothing_else_changes() -> None:
    easy = _easy(2)

    assert swapped(HARD, easy) == (replace(HARD, planned_on=on(2)), replace(easy, planned_on=TODAY))


def test_offered_is_what_is_published_for_the_next_seven_days() -> None:
    far, over, cancelled = _easy(SWAP_DAYS + 1), _easy(-1), _easy(3, is_cancelled=True)

    assert set(_options(_easy(1), _easy(SWAP_DAYS), far, over, cancelled)) == {201, 207}


def test_what_is_entered_or_has_a_change_waiting_is_not_offered() -> None:
    entered = easy_done(-1, planned_session_id=202)

    found = _options(_easy(1), _easy(2), _easy(3), logs=(entered,), drafts=(_easy(3, version=2),))

    assert set(found) == {201}


def test_todays_other_session_is_no_day_to_swap_with() -> None:
    assert _options(_easy(0)) == {}


def test_hard_work_that_would_come_too_close_to_another_asks_for_a_reason() -> None:
    found = _options(_easy(1), _easy(4), hard_planned(2))

    assert [one.kind for one in found[201].asks] == ["spacing"]
    assert found[204].asks == ()
    assert found[201].refused == ()


def test_hard_work_exchanged_for_hard_work_is_as_close_as_before_and_asks() -> None:
    found = _options(hard_planned(1))

    assert [one.kind for one in found[901].asks] == ["spacing"]


def test_a_hold_on_everything_refuses_each_exchange() -> None:
    hold = make.hold(kind=HoldKind.COACH, stops=Stops.ALL)

    found = _options(_easy(1), _easy(3), holds=(hold,))

    assert all(one.refused for one in found.values())


def test_hard_work_is_not_brought_to_today_while_it_is_paused() -> None:
    easy_today = _easy(0)
    hold = make.hold(kind=HoldKind.COACH, stops=Stops.HARD)
    known = calm(Phase.INTERVAL_TWO, planned=(easy_today, hard_planned(2), _easy(3)), holds=(hold,))

    found = {one.session.id: one for one in swap_options(known, easy_today, TODAY, RULES)}

    assert found[902].refused
    assert found[203].refused == ()


def test_a_ceiling_that_is_full_asks_for_a_reason_on_the_day_that_passes_it() -> None:
    done = tuple(
        make.log(id=600 + n, done_on=on(-n), kind=SessionKind.INTERVALS, mode=Mode.RUN, talk=make.Talk.FEW_WORDS)
        for n in (2, 4, 6, 8, 10)
    )
    easy_today = _easy(0)
    known = calm(Phase.INTERVAL_TWO, planned=(easy_today, hard_planned(6)), logs=done)

    found = swap_options(known, easy_today, TODAY, RULES)[0]

    assert {one.kind for one in (*found.refused, *found.asks)} & {"ceiling"}


def test_taking_it_back_is_at_once_only_when_today_gets_no_more_work() -> None:
    longer = _easy(2, minutes=HARD.minutes + 30)

    assert brings_more_today(now=_easy(0), before=HARD)
    assert not brings_more_today(now=HARD, before=_easy(2))
    assert brings_more_today(now=_easy(0), before=longer)


def test_the_options_do_not_depend_on_the_order_of_records() -> None:
    sessions = (HARD, _easy(1), _easy(4), hard_planned(2))
    there, back = (
        swap_options(calm(Phase.INTERVAL_TWO, planned=tuple(some)), HARD, TODAY, RULES)
        for some in (sessions, reversed(sessions))
    )

    assert there == back
    assert [one.session.planned_on for one in there] == sorted(one.session.planned_on for one in there)


def test_days_are_the_clients_own_over_the_end_of_a_year() -> None:
    last = date(2026, 12, 31)
    shifted = [replace(one, planned_on=one.planned_on + (last - TODAY)) for one in (HARD, _easy(1), _easy(7))]
    known = calm(Phase.INTERVAL_TWO, planned=tuple(shifted))

    found = swap_options(known, shifted[0], last, RULES)

    assert [one.session.planned_on for one in found] == [last + timedelta(days=n) for n in (1, 7)]
