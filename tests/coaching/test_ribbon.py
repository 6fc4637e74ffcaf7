"""The ribbon: one value a day, and the same in words."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from app.coaching.effort import Band, Talk
from app.coaching.holds import Stops
from app.coaching.prescriptions import SessionKind
from app.coaching.ribbon import Ribbon, RibbonDay, ribbon, week_ribbons
from app.coaching.rules import Rules
from tests import factories as make

MONDAY = make.TODAY
TODAY = MONDAY + timedelta(days=4)


def _ribbon(**records: Any) -> Ribbon:
    return ribbon(make.history(**records), TODAY, Rules())


def _at(shown: Ribbon, days: int) -> RibbonDay:
    return next(day for day in shown.days if day.day == MONDAY + timedelta(days=days))


def test_it_runs_from_fourteen_days_back_to_seven_ahead() -> None:
    days = _ribbon().days

    assert (days[0].day, days[-1].day, len(days)) == (TODAY - timedelta(days=14), TODAY + timedelta(days=7), 22)
    assert [day.day for day in days if day.is_today] == [TODAY]


def test_a_done_day_holds_its_plan_its_minutes_and_its_band() -> None:
    day = _at(_ribbon(planned=(make.planned(),), logs=(make.log(minutes=50.0),)), 0)

    assert (day.planned_minutes, day.done_minutes, day.done_band) == (45, 50.0, Band.EASY)
    assert not day.is_rest


def test_a_plan_without_an_answer_is_a_gap_and_not_rest() -> None:
    day = _at(_ribbon(planned=(make.planned(),)), 0)

    assert day.is_unknown
    assert not day.is_rest


def test_a_day_without_anything_is_rest() -> None:
    assert _at(_ribbon(), 0).is_rest


def test_a_moved_session_is_tied_to_where_it_came_from() -> None:
    shown = _ribbon(planned=(make.planned(),), logs=(make.log(done_on=MONDAY + timedelta(days=2)),))

    assert _at(shown, 2).moved_from == MONDAY
    assert "moved from Mon 5 Oct to Wed 7 Oct" in shown.text


def test_an_extra_has_its_minutes_beside_the_plan() -> None:
    extra = make.log(id=2, kind=SessionKind.MIDDLE, minutes=20.0, talk=Talk.CHAT)

    day = _at(_ribbon(planned=(make.planned(),), logs=(make.log(), extra)), 0)

    assert day.is_extra
    assert (day.done_minutes, day.extra_minutes) == (65.0, 20.0)


def test_a_hard_day_is_marked_done_or_ahead() -> None:
    logs = (make.log(talk=Talk.FEW_WORDS),)
    plans = (make.planned_hard(planned_on=TODAY + timedelta(days=2)),)

    shown = _ribbon(planned=plans, logs=logs)

    assert _at(shown, 0).is_hard
    assert _at(shown, 6).is_hard
    assert shown.text == (
        "1 of the last 14 days with training, 45 min; 1 hard (Mon 5 Oct); extra Mon 5 Oct. "
        "From today: 1 day planned, 57 min, hard Sun 11 Oct."
    )


def test_a_hold_on_everything_and_leave_pause_the_days() -> None:
    held = _ribbon(holds=(make.hold(began_on=MONDAY),))
    away = _ribbon(leaves=(make.leave(),))

    assert _at(held, 0).is_paused
    assert _at(away, 6).is_paused
    assert held.text.endswith("Paused today.")


def test_a_hold_on_hard_work_leaves_easy_days_alone() -> None:
    shown = _ribbon(planned=(make.planned(planned_on=TODAY),), holds=(make.hold(stops=Stops.HARD),))

    assert not _at(shown, 4).is_paused


def test_strength_is_left_out() -> None:
    assert _at(_ribbon(logs=(make.log(kind=SessionKind.STRENGTH),)), 0).is_rest


def test_nothing_planned_is_said() -> None:
    assert _ribbon().text == "0 of the last 14 days with training, 0 min; none hard. Nothing planned from today on."


def test_weeks_of_a_plan_are_drawn_one_by_one_and_told_day_by_day() -> None:
    planned = (make.planned(), make.planned_hard(id=2, version_id=2, planned_on=MONDAY + timedelta(days=9)))
    first, second = week_ribbons(make.history(planned=planned), [MONDAY, MONDAY + timedelta(days=7)], MONDAY, Rules())

    assert [len(one.days) for one in (first, second)] == [7, 7]
    assert first.text.startswith("Mon 5 Oct: 45 min planned. Tue 6 Oct: rest.")
    assert "Wed 14 Oct: 57 min planned, hard." in second.text


def test_no_weeks_are_no_ribbons() -> None:
    assert week_ribbons(make.history(), [], MONDAY, Rules()) == ()
