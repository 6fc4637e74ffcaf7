"""Signals about the plan: each fires, keeps silent just below, and returns on new evidence."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from app.coaching.history import History
from app.coaching.people import Origin
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.readiness import Illness
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer, SpoiltBy, WhyNot
from app.coaching.signals import Family, Shelf, needs_word
from app.coaching.told_away import AwayAnswer
from tests import factories as make
from tests.coaching.signal_scenes import calm, easy_done, found, hard_done_on, hard_planned, names, on


def _two(*done: int, ahead: tuple[int, ...] = (), **records: Any) -> History:
    logs = (easy_done(-1), *(hard_done_on(n) for n in done))
    return calm(Phase.INTERVAL_TWO, logs=logs, planned=tuple(hard_planned(n) for n in ahead), **records)


def test_todays_sixth_in_fourteen_days_speaks_before_they_start() -> None:
    signal = found(_two(-13, -11, -9, -6, -3, ahead=(0,)), "ceiling")

    assert signal is not None
    assert signal.sentence == "Today's would be the 6th hard session in fourteen days; 5 is full."
    assert (signal.shelf, signal.family) == (Shelf.TODAY, Family.HARD_TODAY)


def test_the_fifth_in_fourteen_days_is_silent() -> None:
    assert found(_two(-14, -11, -9, -6, -3, ahead=(0,)), "ceiling") is None


def test_a_planned_one_later_in_the_week_waits_for_planning() -> None:
    signal = found(_two(-9, -7, -5, -3, -2, ahead=(3,)), "ceiling")

    assert signal is not None
    assert signal.shelf is Shelf.PLANNING


def test_passing_the_ceiling_anyway_is_said() -> None:
    signal = found(_two(-13, -11, -9, -7, -5, -2), "ceiling")

    assert signal is not None
    assert "was the 6th hard session" in signal.sentence


def test_the_personal_ceiling_on_one_a_week_is_three() -> None:
    history = calm(logs=(hard_done_on(-12), hard_done_on(-8), hard_done_on(-4)), planned=(hard_planned(0),))

    signal = found(history, "ceiling")

    assert signal is not None
    assert "4th" in signal.sentence


def test_the_ceilings_key_holds_while_the_window_slides() -> None:
    history = _two(-12, -11, -9, -7, -5, -2)

    first, later = found(history, "ceiling"), found(_two(-12, -11, -9, -7, -5, -2), "ceiling", today=on(1))

    assert first is not None
    assert later is not None
    assert first.key == later.key


@pytest.mark.parametrize(("last", "fires"), [(-1, True), (-2, False)])
def test_hard_work_today_too_close_to_the_last(last: int, fires: bool) -> None:
    assert (found(_two(last, ahead=(0,)), "spacing") is not None) is fires


def test_spacing_from_sixty_is_three_days() -> None:
    older = make.client(born_on=date(1960, 1, 1), regularly_active_confirmed_on=on(-280))

    signal = found(_two(-2, ahead=(0,), client=older), "spacing")

    assert signal is not None
    assert "48 h before. 72 h are needed" in signal.sentence


@pytest.mark.parametrize(("days", "fires"), [(7, False), (8, True)])
def test_the_gap_speaks_from_day_eight(days: int, fires: bool) -> None:
    assert (found(_two(-days), "hard_gap") is not None) is fires


def test_a_gap_longer_than_eight_weeks_still_names_the_last_one() -> None:
    history = _two(-70)
    walks = tuple(easy_done(-n) for n in range(2, 70, 7))

    signal = found(replace(history, logs=(*history.logs, *walks)), "hard_gap")

    assert signal is not None
    assert signal.sentence.startswith("70 days without a hard session; 7 is the limit, the last was on Mon 27 Jul.")


@pytest.mark.parametrize(("ahead", "fires"), [(2, False), (3, True)])
def test_a_hard_session_due_within_48_hours_explains_the_gap(ahead: int, fires: bool) -> None:
    assert (found(_two(-9, ahead=(ahead,)), "hard_gap") is not None) is fires


@pytest.mark.parametrize(
    "records",
    [
        {"leaves": (make.leave(from_on=on(-6), until_on=on(-4)),)},
        {"holds": (make.hold(began_on=on(-6), lifted_at=make.at(on(-3))),)},
        {"readiness": (make.readiness(noted_on=on(-5), illness=Illness.ABOVE_NECK),)},
    ],
)
def test_leave_hold_and_illness_explain_the_gap(records: dict[str, Any]) -> None:
    assert found(_two(-9, **records), "hard_gap") is None


@pytest.mark.parametrize(
    ("until", "answer", "fires"),
    [
        (-1, AwayAnswer.ACCEPTED, False),
        (-14, AwayAnswer.ACCEPTED, False),
        (-15, AwayAnswer.ACCEPTED, True),
        (-1, AwayAnswer.DECLINED, True),
        (-1, AwayAnswer.TAKEN_BACK, True),
    ],
)
def test_days_told_as_away_explain_the_gap_for_two_weeks(until: int, answer: AwayAnswer, fires: bool) -> None:
    told = make.told_away(from_on=on(until - 1), until_on=on(until), answer=answer)

    history = _two(-18, told_away=(told,))
    walked = replace(history, logs=(*history.logs, *(easy_done(-n) for n in (2, 9, 16))))

    assert (found(walked, "hard_gap") is not None) is fires


def test_a_gap_belongs_to_the_interval_phase() -> None:
    assert found(calm(Phase.KEEPING, logs=(hard_done_on(-9),)), "hard_gap") is None


def test_a_gap_keeps_its_key_and_speaks_again_at_14_and_21_days() -> None:
    keys, history = [], _two(-4)
    walked = replace(history, logs=(*history.logs, *(easy_done(n) for n in (6, 12))))
    for days in (8, 13, 14, 20, 21):
        signal = found(walked, "hard_gap", today=on(days - 4))
        keys.append(signal.key if signal else None)

    assert keys == ["hard_gap:696:8", "hard_gap:696:8", "hard_gap:696:14", "hard_gap:696:14", "hard_gap:696:21"]


def test_the_gaps_sentence_says_what_became_of_the_last_one() -> None:
    entry = make.log(
        id=3,
        planned_session_id=898,
        done_on=on(-2),
        answer=Answer.NOT_DONE,
        minutes=None,
        why_not=WhyNot.TRAVEL,
    )
    history = calm(Phase.INTERVAL_TWO, logs=(hard_done_on(-9), entry), planned=(hard_planned(-2),))

    signal = found(history, "hard_gap")

    assert signal is not None
    assert signal.sentence.startswith("9 days without a hard session; 7 is the limit, the last was on Sat 26 Sep.")
    assert signal.sentence.endswith("Sat 3 Oct's was missed (travel).")


@pytest.mark.parametrize(("days", "fires"), [(-7, True), (-8, False)])
def test_a_missed_hard_session_speaks_for_a_week(days: int, fires: bool) -> None:
    entry = make.log(id=3, planned_session_id=900 + days, done_on=on(days), answer=Answer.NOT_DONE, minutes=None)
    history = calm(logs=(hard_done_on(-4), easy_done(-1), entry), planned=(hard_planned(days),))

    assert (found(history, "missed_key_session") is not None) is fires


@pytest.mark.parametrize(
    ("changes", "became"),
    [
        ({"minutes": 20, "rounds": (make.work_round(is_complete=False),)}, "20 of 55 min, none of 4 rounds in full"),
        ({"minutes": 10}, "10 of 55 min, rounds not said"),
    ],
)
def test_a_hard_session_begun_and_broken_off_reads_as_partly_done(changes: dict[str, Any], became: str) -> None:
    log = make.log(id=3, planned_session_id=898, done_on=on(-2), kind=SessionKind.INTERVALS, answer=Answer.PARTLY)
    history = calm(logs=(replace(log, **changes), hard_done_on(-4)), planned=(hard_planned(-2, minutes=55),))

    signal = found(history, "missed_key_session")

    assert signal is not None
    assert f"was partly done: {became}." in signal.sentence
    assert "not done" not in signal.sentence


def test_something_else_in_place_of_a_hard_session_is_named() -> None:
    log = make.log(id=3, planned_session_id=898, done_on=on(-2), answer=Answer.SOMETHING_ELSE, minutes=30)

    signal = found(calm(logs=(log, hard_done_on(-4)), planned=(hard_planned(-2),)), "missed_key_session")

    assert signal is not None
    assert "became something else: easy, 30 min." in signal.sentence


def test_a_missed_short_easy_session_is_no_key_session() -> None:
    entry = make.log(id=3, planned_session_id=1, done_on=on(-3), answer=Answer.NOT_DONE, minutes=None)
    planned = (make.planned(planned_on=on(-3)), make.planned(id=2, planned_on=on(-2), minutes=60))

    history = calm(logs=(hard_done_on(-4), easy_done(-1), entry), planned=planned)

    assert found(history, "missed_key_session") is None


def test_a_session_not_logged_is_not_missed() -> None:
    assert found(calm(planned=(hard_planned(-3),)), "missed_key_session") is None


@pytest.mark.parametrize(("starts", "fires"), [(-76, True), (-75, False)])
def test_a_block_that_ends_within_a_week_speaks(starts: int, fires: bool) -> None:
    assert (found(calm(blocks=(make.block(starts_on=on(starts)),)), "block_ending") is not None) is fires


def test_a_next_block_silences_the_ending() -> None:
    blocks = (make.block(starts_on=on(-80)), make.block(id=2, starts_on=on(4)))

    assert found(calm(blocks=blocks), "block_ending") is None


def _missed_twice(**changes: Any) -> History:
    given: dict[str, Any] = {"answer": Answer.NOT_DONE, "minutes": None}
    entries = tuple(
        make.log(**({"id": n, "planned_session_id": 900 + days, "done_on": on(days)} | given | changes))
        for n, days in ((1, -12), (2, -5))
    )
    planned = tuple(hard_planned(days) for days in (-12, -5, 1, 4))
    return calm(Phase.INTERVAL_TWO, logs=(*entries, hard_done_on(-3)), planned=planned)


def test_two_missed_in_four_weeks_let_this_weeks_second_go() -> None:
    signal = found(_missed_twice(), "second_may_be_left_out")

    assert signal is not None
    assert "this week's second, on Fri 9 Oct, may be left out" in signal.sentence


def test_what_heat_spoilt_does_not_count_as_missed() -> None:
    assert found(_missed_twice(spoilt_by=SpoiltBy.HEAT), "second_may_be_left_out") is None


@pytest.mark.parametrize(
    "records",
    [
        {"screening": ()},
        {"screening": (), "logs": (hard_done_on(-9), easy_done(-1, origin=Origin.FILE))},
        {"pressures": (make.pressure(systolic_mmhg=170),)},
        {"screening": (make.answers(disease=YesNo.YES),)},
    ],
)
def test_nothing_asks_for_hard_work_while_it_waits(records: dict[str, Any]) -> None:
    missed = make.log(id=3, planned_session_id=898, done_on=on(-2), answer=Answer.NOT_DONE, minutes=None)
    given = {"logs": (hard_done_on(-9), missed, easy_done(-1)), "planned": (hard_planned(-2),)} | records

    said = names(calm(Phase.INTERVAL_TWO, **given))

    assert not {"hard_gap", "missed_key_session"} & set(said)


def test_a_handled_breach_of_the_ceiling_speaks_again_when_the_plan_changes_and_still_breaks_it() -> None:
    logs = (hard_done_on(-10), hard_done_on(-7))
    planned = found(calm(logs=logs, planned=(hard_planned(0), hard_planned(3))), "ceiling")
    moved = found(calm(logs=logs, planned=(hard_planned(0), hard_planned(3, planned_on=on(2)))), "ceiling")
    other = found(
        calm(logs=(hard_done_on(-9), hard_done_on(-7)), planned=(hard_planned(0), hard_planned(3))), "ceiling"
    )

    assert planned is not None
    assert moved is not None
    assert other is not None
    assert len({planned.key, moved.key, other.key}) == 3
    assert needs_word(planned)
