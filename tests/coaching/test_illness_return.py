"""The way back after illness: half, then usual, then hard, with its dates; and when medical advice comes first."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.hold_rules import Answer, MayTrain
from app.coaching.holds import Hold, HoldKind, IllnessReturn, Stops
from app.coaching.illness_return import (
    ABOVE_NECK_CAUSE,
    FEVER_CAUSE,
    HALF_DAYS_MOST,
    HARD_STILL_WAITS,
    advice_asked_because,
    days_lost,
    has_cold,
    illness_pause,
    last_ill_on,
    path_back,
    path_of,
    return_lines,
    return_stop,
    within_a_cold,
)
from app.coaching.leave_to_train import may_train_now
from app.coaching.readiness import Illness
from app.coaching.return_steps import COLD_AT_MOST
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.weeks import day_words
from tests import factories as make
from tests.factories import TODAY

DAY = timedelta(days=1)


def back(lifted: date = TODAY, well_for: int = 3, lost: int = 5, **changes) -> IllnessReturn:
    """Lifted on a day, well for some days before it."""
    known = {
        "id": 1,
        "client_id": make.CLIENT_ID,
        "hold_id": 1,
        "well_since_on": lifted - well_for * DAY,
        "lifted_on": lifted,
        "days_lost": lost,
        "advice_from": None,
        "advice_on": None,
        "recorded_at": make.at(lifted),
        "person_id": make.COACH_ID,
    }
    return IllnessReturn(**(known | changes))


@pytest.mark.parametrize(
    ("lost", "half_days"), [(1, 1), (5, 5), (HALF_DAYS_MOST, HALF_DAYS_MOST), (40, HALF_DAYS_MOST)]
)
def test_half_the_minutes_last_as_long_as_the_days_lost_and_two_weeks_at_most(lost: int, half_days: int) -> None:
    path = path_of(back(lost=lost))

    assert (path.half_until - path.half_from).days + 1 == half_days


@pytest.mark.parametrize(
    ("well_for", "lost", "hard_in_days"),
    [(3, 1, 4), (3, 4, 4), (3, 5, 5), (6, 1, 1), (10, 1, 1), (3, 40, 14)],
)
def test_hard_work_waits_for_seven_well_days_and_for_the_half(well_for: int, lost: int, hard_in_days: int) -> None:
    assert path_of(back(well_for=well_for, lost=lost)).hard_from == TODAY + hard_in_days * DAY


def test_the_steps_are_told_with_their_dates_until_they_are_walked() -> None:
    returns = [back(lifted=TODAY - 2 * DAY, well_for=3, lost=3)]

    assert return_lines(returns, TODAY) == (
        f"Until {day_words(TODAY)}: half your usual minutes, easy enough to chat.",
        f"From {day_words(TODAY + DAY)}: your usual minutes, easy.",
        f"Hard work not before {day_words(TODAY + 2 * DAY)}.",
        "New dizziness, chest pain, breathlessness or a racing heart: stop and see a doctor.",
    )
    assert return_lines(returns, TODAY + 2 * DAY) == ()
    assert return_stop(returns, TODAY + 2 * DAY) is None


def test_the_way_back_stops_hard_work_and_lets_easy_work_be() -> None:
    well = make.history(
        screening=(make.answers(answered_on=TODAY - 10 * DAY),),
        logs=make.base_weeks(30, before=TODAY),
        client=make.client(regularly_active_confirmed_on=TODAY - 200 * DAY),
    )
    ill = make.history(screening=well.screening, logs=well.logs, client=well.client, illness_returns=(back(lost=5),))
    easy, hard = make.planned(planned_on=TODAY), make.planned_hard(planned_on=TODAY)
    rules = Rules()

    assert return_stop(ill.illness_returns, TODAY).stops is Stops.HARD
    assert not may_train_now(well, easy, TODAY, rules).is_paused
    assert not may_train_now(ill, easy, TODAY, rules).is_paused
    assert may_train_now(ill, hard, TODAY, rules).is_paused


def test_of_two_ways_back_the_longer_counts() -> None:
    returns = [back(lost=2), back(id=2, lost=9)]

    assert path_back(returns, TODAY) == path_back(returns[::-1], TODAY) == path_of(returns[1])


def test_the_longer_is_the_one_with_the_later_hard_work_then_with_the_longer_half() -> None:
    long_half, late_hard = back(lost=3, well_for=10), back(id=2, lost=1, well_for=0)
    same_hard = back(id=3, lost=6, well_for=0)

    assert path_back([long_half, late_hard], TODAY) == path_back([late_hard, long_half], TODAY) == path_of(late_hard)
    assert path_back([late_hard, same_hard], TODAY) == path_back([same_hard, late_hard], TODAY) == path_of(same_hard)


def test_the_reason_names_the_half_while_it_lasts() -> None:
    returns = [back(well_for=3, lost=2)]
    hard_from = f"Hard work from {day_words(TODAY + 4 * DAY)} on."
    half = f"half the usual minutes until {day_words(TODAY + DAY)}, "

    assert (
        return_stop(returns, TODAY + DAY).sentence == f"On the way back after illness: {half}easy only. {hard_from}"
    )
    assert return_stop(returns, TODAY + 2 * DAY).sentence == f"On the way back after illness: easy only. {hard_from}"


def test_where_hard_work_follows_the_half_no_step_lies_between() -> None:
    assert return_lines([back(well_for=10, lost=3)], TODAY)[:2] == (
        f"Until {day_words(TODAY + 2 * DAY)}: half your usual minutes, easy enough to chat.",
        f"Hard work not before {day_words(TODAY + 3 * DAY)}.",
    )


@given(st.integers(0, 30), st.integers(1, 60), st.integers(0, 60))
def test_hard_work_never_comes_before_the_half_ends_nor_before_a_week_well(well: int, lost: int, later: int) -> None:
    known = back(well_for=well, lost=lost)
    stop = return_stop([known], TODAY + later * DAY)

    if stop is None:
        assert well + later >= 7
        assert later >= min(lost, HALF_DAYS_MOST)


@pytest.mark.parametrize(("began", "lifted", "lost"), [(0, 0, 1), (0, 1, 1), (0, 6, 6)])
def test_days_lost_count_from_the_first_day_ill(began: int, lifted: int, lost: int) -> None:
    assert days_lost(TODAY + began * DAY, TODAY + lifted * DAY) == lost


@pytest.mark.parametrize(
    ("born", "answers", "asked"),
    [
        (date(1980, 1, 1), make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.NO), False),
        (date(1961, 11, 25), make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.NO), True),
        (date(1961, 11, 26), make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.NO), False),
        (None, make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.NO), True),
        (date(1980, 1, 1), None, True),
        (date(1980, 1, 1), make.answers(disease=YesNo.YES), True),
        (date(1980, 1, 1), make.answers(disease=YesNo.UNKNOWN), True),
        (date(1980, 1, 1), make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.YES), True),
        (
            date(1980, 1, 1),
            make.answers(
                disease=YesNo.NO, heart_rate_medicine=YesNo.NO, details_json='{"medicines": {"nitrates": "not_sure"}}'
            ),
            True,
        ),
    ],
)
def test_medical_advice_comes_first_from_65_and_with_a_risk(born, answers, asked: bool) -> None:
    assert (advice_asked_because(make.client(born_on=born), answers, date(2026, 11, 25)) is not None) is asked


def test_an_illness_reaches_to_the_newest_note_that_says_ill() -> None:
    ill = make.hold(kind=HoldKind.ILLNESS, began_on=TODAY - 9 * DAY)
    notes = [
        make.readiness(id=1, noted_on=TODAY - 12 * DAY, illness=Illness.FEVER_OR_BELOW),
        make.readiness(id=2, noted_on=TODAY - 4 * DAY, illness=Illness.ABOVE_NECK),
        make.readiness(id=3, noted_on=TODAY - 6 * DAY, illness=Illness.FEVER_OR_BELOW),
        make.readiness(id=4, noted_on=TODAY - 1 * DAY, illness=Illness.NONE),
    ]

    assert last_ill_on(ill, notes) == TODAY - 4 * DAY
    assert last_ill_on(ill, notes[:1]) == TODAY - 9 * DAY


@pytest.mark.parametrize(
    ("group", "asked"),
    [
        ("beta_blocker", True),
        ("rhythm", True),
        ("device_or_rhythm", True),
        ("pressure", True),
        ("nitrates", True),
        ("blood_thinner", True),
        ("insulin", False),
        ("raises", False),
    ],
)
def test_medicines_that_speak_of_heart_or_vessels_ask_for_advice(group: str, asked: bool) -> None:
    said = make.answers(disease=YesNo.NO, details_json=f'{{"medicines": {{"{group}": "yes"}}}}')

    assert (advice_asked_because(make.client(born_on=date(1980, 1, 1)), said, TODAY) is not None) is asked


@pytest.mark.parametrize(
    ("question", "reply", "because"),
    [
        ("chest", "yes", "a sign for a doctor named in an answer that is not sent yet"),
        ("chest", "not_sure", "a sign for a doctor named in an answer that is not sent yet"),
        ("heart", "yes", "a disease named in an answer that is not sent yet"),
        ("heart", "no", None),
    ],
)
def test_what_is_named_in_an_answer_not_sent_yet_asks_for_advice(
    question: str, reply: str, because: str | None
) -> None:
    said = make.answers(disease=YesNo.NO, heart_rate_medicine=YesNo.NO)
    waits = make.unsent(question=question, answer_json=f'{{"reply": "{reply}"}}')

    found = advice_asked_because(make.client(born_on=date(1980, 1, 1)), said, TODAY, unsent=(waits,))

    assert found == because


def test_what_is_not_known_about_heart_and_vessels_is_said_as_that() -> None:
    young = make.client(born_on=date(1980, 1, 1))
    unasked = "nobody asked yet about heart and vessels"

    assert advice_asked_because(young, None, TODAY) == unasked
    assert advice_asked_because(young, make.answers(disease=YesNo.UNKNOWN), TODAY) == unasked
    assert advice_asked_because(young, make.answers(disease=YesNo.YES), TODAY) == (
        "a disease or a medicine that speaks of heart or vessels"
    )


ILL_ALL = make.hold(kind=HoldKind.ILLNESS, stops=Stops.ALL)
ILL_HARD = make.hold(kind=HoldKind.ILLNESS, stops=Stops.HARD)
OTHER = make.hold(kind=HoldKind.COACH, stops=Stops.ALL)
FEVER, NECK = Illness.FEVER_OR_BELOW, Illness.ABOVE_NECK


# Fever or illness stops everything, above the neck only hard work (the practice's own table of holds).
@pytest.mark.parametrize(
    ("illness", "standing", "stops"),
    [
        (FEVER, (), Stops.ALL),
        (FEVER, (OTHER,), Stops.ALL),
        (FEVER, (ILL_HARD,), Stops.ALL),
        (FEVER, (ILL_ALL,), None),
        (FEVER, (ILL_HARD, ILL_ALL), None),
        (NECK, (), Stops.HARD),
        (NECK, (OTHER,), Stops.HARD),
        (NECK, (ILL_HARD,), None),
        (NECK, (ILL_ALL,), None),
        (Illness.NONE, (), None),
        (None, (), None),
    ],
)
def test_an_illness_pauses_what_it_has_to_unless_as_much_is_paused(illness, standing: tuple, stops) -> None:
    found = illness_pause(illness, standing)

    assert (None if found is None else found[:2]) == (None if stops is None else (HoldKind.ILLNESS, stops))


def test_the_pause_says_what_sort_of_illness_it_is() -> None:
    assert str(illness_pause(FEVER, ())[2]).startswith("Fever, or signs in the chest")
    assert str(illness_pause(NECK, ())[2]) == "Ill above the neck only"


COLD = replace(ILL_HARD, cause=ABOVE_NECK_CAUSE)
FEVER_PAUSE = replace(ILL_ALL, cause=FEVER_CAUSE)


@pytest.mark.parametrize(
    ("holds", "is_cold"),
    [
        ((COLD,), True),
        ((OTHER, COLD), True),
        ((), False),
        ((replace(COLD, lifted_at=make.at(TODAY)),), False),
        ((replace(COLD, kind=HoldKind.COACH),), False),
        ((FEVER_PAUSE,), False),
        ((replace(FEVER_PAUSE, stops=Stops.HARD, cause=FEVER_CAUSE + HARD_STILL_WAITS),), False),
    ],
    ids=["cold", "cold beside another", "none", "lifted", "another kind", "fever", "what is left of a fever"],
)
def test_only_an_open_pause_above_the_neck_leaves_short_and_easy_work_alone(
    holds: tuple[Hold, ...], is_cold: bool
) -> None:
    own_version = MayTrain(Answer.EASY_ONLY, "Paused.", "Run 30 minutes.")

    assert has_cold(holds) is is_cold
    assert within_a_cold(own_version, holds).instead == (COLD_AT_MOST if is_cold else "Run 30 minutes.")


@pytest.mark.parametrize("answer", [Answer.AS_PLANNED, Answer.PAUSED])
def test_a_cold_offers_nothing_beside_another_answer_than_easy(answer: Answer) -> None:
    given = MayTrain(answer, "As it is.", None)

    assert within_a_cold(given, (COLD,)) is given
