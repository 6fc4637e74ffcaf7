"""Where today's session may go: free days first, what stands on each named, nothing refused offered."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.holds import HoldKind, Stops
from app.coaching.lookahead import Level, breaches
from app.coaching.move_days import DAYS_OFFERED, MOVED_AHEAD_LEAST, MoveDay, move_days, offered, stands_words
from app.coaching.phases import Phase
from app.coaching.windows import FORTNIGHT
from tests import factories as make
from tests.coaching.signal_scenes import RULES, TODAY, calm, hard_planned, on

HARD = hard_planned(0)


def _easy(days: int, **changes: Any) -> Any:
    return make.planned(**({"id": 200 + days, "planned_on": on(days)} | changes))


def _days(*others: Any, **records: Any) -> tuple[MoveDay, ...]:
    known = calm(Phase.INTERVAL_TWO, **({"planned": (HARD, *others)} | records))
    return move_days(known, HARD, TODAY, RULES)


def test_a_free_day_goes_before_an_earlier_one_that_holds_something() -> None:
    days = _days(_easy(2), _easy(3))

    assert days[0].on == on(4)
    assert days[0].stands == ()


def test_what_stands_on_a_day_is_named_a_draft_as_well() -> None:
    walk = _easy(2, title="Easy walk", minutes=40)
    draft = _easy(2, id=300, title="Balance and carries", minutes=20)

    day = next(one for one in _days(walk, drafts=(draft,)) if one.on == on(2))

    assert stands_words(day.stands) == "“Easy walk”, 40 min and “Balance and carries”, 20 min"


def test_a_cancelled_session_and_the_moved_one_itself_take_no_day() -> None:
    days = _days(_easy(2, is_cancelled=True))

    assert days[0].on == on(2)
    assert days[0].stands == ()


def test_where_every_day_holds_something_the_first_that_breaks_nothing_is_proposed_with_what_it_holds() -> None:
    days = _days(*(_easy(n) for n in range(1, FORTNIGHT.days + 1)))

    assert days[0].on == on(MOVED_AHEAD_LEAST)
    assert [one.id for one in days[0].stands] == [202]


def test_agreed_time_off_is_no_free_day() -> None:
    off = make.leave(from_on=on(4), until_on=on(20))

    days = _days(_easy(2), _easy(3), leaves=(off,))

    assert days[0].on == on(2)


def test_offered_are_a_few_by_date_and_none_that_is_refused() -> None:
    hold = make.hold(kind=HoldKind.COACH, stops=Stops.ALL)

    free = offered(_days(_easy(2), _easy(3)))

    assert [one.on for one in free] == [on(4 + n) for n in range(DAYS_OFFERED)]
    assert offered(_days(holds=(hold,))) == ()
    assert all(one.against[0].level is Level.REFUSES for one in _days(holds=(hold,)))


def test_a_large_week_is_not_asked_about_again_by_a_move_inside_it() -> None:
    known = calm(Phase.INTERVAL_TWO, planned=(HARD, _easy(2), _easy(3)))

    days = {one.on: one for one in move_days(known, HARD, TODAY, RULES)}

    assert "step" in [one.kind for one in breaches(known, [HARD], TODAY, RULES)]
    assert days[on(4)].against == ()


def test_a_week_that_a_move_makes_large_asks() -> None:
    days = {one.on: one for one in _days(*(_easy(n) for n in (7, 8, 9, 11, 12)))}

    assert [one.kind for one in days[on(10)].against] == ["step"]


def test_hard_work_stands_far_enough_from_other_hard_work_before_a_day_is_free() -> None:
    days = _days(hard_planned(3))

    assert on(2) not in [one.on for one in days[:DAYS_OFFERED]]
    assert next(one for one in days if one.on == on(2)).against


@settings(max_examples=40, deadline=None)
@given(taken=st.sets(st.integers(1, FORTNIGHT.days)))
def test_no_day_that_holds_something_is_proposed_while_one_that_breaks_as_little_is_free(taken: set[int]) -> None:
    days = _days(*(_easy(n) for n in sorted(taken)))

    assert {one.on for one in days} == {TODAY + timedelta(days=n) for n in range(MOVED_AHEAD_LEAST, FORTNIGHT.days)}
    clean = [one for one in days if not one.against and not one.says]
    assert [bool(one.stands) for one in clean] == sorted(bool(one.stands) for one in clean)
