"""What a reading stops, on both sides of each limit, and for how long a clinician's two numbers stand."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.holds import Stops
from app.coaching.pressure_limits import DIASTOLIC_MMHG, IN_WRITING, SYSTOLIC_MMHG, limits_with, newest_own
from app.coaching.pressure_rules import limits_for, newest_pressure, own_limit_counts, pressure_stop, pressure_stop_of
from app.coaching.rules import Rules
from tests.factories import TODAY, answers, at, history, pressure, pressure_limit, symptom

RULES = Rules()


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def stops_of(*readings) -> Stops | None:
    found = pressure_stop(readings, RULES)
    return None if found is None else found.stops


# House choice (screening and safety reference 2.4): all stops at 180 or 100, hard work at 160 or 100.
@pytest.mark.parametrize(
    ("high", "low", "stops"),
    [
        (159, 99, None),
        (160, 99, Stops.HARD),
        (179, 99, Stops.HARD),
        (180, 60, Stops.ALL),
        (120, 100, Stops.ALL),
        (181, 101, Stops.ALL),
    ],
)
def test_a_reading_stops_at_the_limit_itself(high: int, low: int, stops: Stops | None) -> None:
    assert stops_of(pressure(systolic_mmhg=high, diastolic_mmhg=low)) is stops


@pytest.mark.parametrize(("low", "stops"), [(99, None), (100, Stops.HARD), (109, Stops.HARD), (110, Stops.ALL)])
def test_with_a_clinicians_higher_lower_number_the_practices_still_stops_hard_work(
    low: int, stops: Stops | None
) -> None:
    reading = pressure(systolic_mmhg=150, diastolic_mmhg=low)
    found = pressure_stop_of(history(pressures=(reading,), pressure_limits=(pressure_limit(),)), TODAY, RULES)

    assert (None if found is None else found.stops) is stops


def test_no_reading_stops_nothing() -> None:
    assert pressure_stop((), RULES) is None


@pytest.mark.parametrize(
    ("older", "newer"),
    [
        ({"measured_on": ago(9), "entered_at": at(ago(1))}, {"measured_on": ago(8), "entered_at": at(ago(8))}),
        ({"id": 5, "entered_at": at(ago(7), 8)}, {"id": 4, "entered_at": at(ago(7), 9)}),
        ({"id": 4, "entered_at": at(ago(7))}, {"id": 5, "entered_at": at(ago(7))}),
    ],
    ids=["by its day", "by its hour", "by its number"],
)
def test_the_newest_reading_counts(older: dict, newer: dict) -> None:
    high, low = pressure(systolic_mmhg=185, **older), pressure(systolic_mmhg=120, **newer)

    assert newest_pressure((high, low)) == newest_pressure((low, high)) == low
    assert stops_of(high, low) is None


# House choice: a resting heart rate above 100 on two readings, no session.
@pytest.mark.parametrize(
    ("rates", "stops"),
    [
        ((101,), None),
        ((101, 101), Stops.ALL),
        ((100, 101), None),
        ((101, 100), None),
        ((64, 101, 101), Stops.ALL),
        ((101, 64, 101), None),
        ((101, 101, 64), None),
        ((101, None, 101), Stops.ALL),
        ((101, 101, None), Stops.ALL),
    ],
)
def test_a_fast_heart_at_rest_stops_everything_once_it_is_confirmed(rates: tuple, stops: Stops | None) -> None:
    readings = [
        pressure(id=n, measured_on=ago(20 - n), resting_heart_rate_bpm=rate) for n, rate in enumerate(rates, 1)
    ]

    assert stops_of(*readings) is stops
    assert stops_of(*reversed(readings)) is stops


def test_a_fast_heart_stops_more_than_a_middling_pressure_does() -> None:
    readings = [pressure(id=n, systolic_mmhg=165, resting_heart_rate_bpm=110) for n in (1, 2)]

    assert stops_of(*readings) is Stops.ALL


def in_force(*, today: date = TODAY, **records):
    limits = limits_for(history(**records), today, RULES)
    alls = (limits.pressure_systolic_all, limits.pressure_diastolic_all)
    return alls, (limits.pressure_systolic_hard, limits.pressure_diastolic_hard), own_limit_counts(limits)


def test_without_a_clinician_the_practices_four_numbers_count() -> None:
    assert in_force() == ((180, 100), (160, 100), False)
    assert limits_for(history(), TODAY, RULES).own is None


@pytest.mark.parametrize(
    ("days_old", "alls", "counts"),
    [(0, (190, 110), True), (365, (190, 110), True), (366, (180, 100), False), (-1, (180, 100), False)],
)
def test_a_clinicians_two_numbers_stand_as_long_as_a_paper_would(days_old: int, alls: tuple, counts: bool) -> None:
    own = pressure_limit(systolic_mmhg=190, diastolic_mmhg=110, given_on=ago(days_old))

    assert in_force(pressure_limits=(own,)) == (alls, (160, 100), counts)


# House choice: a paper does not undo what a reading of the same day already stopped; a later reading is under it.
@pytest.mark.parametrize(("measured", "paper", "stops"), [(3, 3, Stops.ALL), (4, 3, Stops.HARD), (2, 3, Stops.HARD)])
def test_a_reading_of_the_papers_own_day_stays_a_stop(measured: int, paper: int, stops: Stops) -> None:
    reading = pressure(systolic_mmhg=182, diastolic_mmhg=96, measured_on=ago(measured))
    own = pressure_limit(systolic_mmhg=190, diastolic_mmhg=110, given_on=ago(paper))
    found = pressure_stop_of(history(pressures=(reading,), pressure_limits=(own,)), TODAY, RULES)

    assert found is not None
    assert found.stops is stops


def test_on_the_papers_own_day_the_stricter_of_each_pair_counts() -> None:
    reading = pressure(measured_on=ago(3))
    own = pressure_limit(systolic_mmhg=170, diastolic_mmhg=110, given_on=ago(3))

    assert in_force(pressures=(reading,), pressure_limits=(own,)) == ((170, 100), (160, 100), False)


@pytest.mark.parametrize("numbers", [(140, 110), (190, 90)])
def test_of_an_old_pair_only_the_number_that_is_stricter_is_left(numbers: tuple[int, int]) -> None:
    own = pressure_limit(systolic_mmhg=numbers[0], diastolic_mmhg=numbers[1], given_on=ago(400))
    alls, hard, counts = in_force(pressure_limits=(own,))

    assert alls == (min(numbers[0], 180), min(numbers[1], 100))
    assert hard == (min(numbers[0], 160), min(numbers[1], 100))
    assert not counts


def test_an_old_pair_is_still_known_by_its_paper() -> None:
    own = pressure_limit(given_on=ago(400))

    assert limits_for(history(pressure_limits=(own,)), TODAY, RULES).own == own


@pytest.mark.parametrize(
    "news", [{"symptoms": (symptom(felt_on=ago(2)),)}, {"screening": (answers(details_json='{"news": "yes"}'),)}]
)
def test_news_since_the_paper_end_what_it_widened(news: dict) -> None:
    own = pressure_limit(given_on=ago(30))

    assert in_force(pressure_limits=(own,), **news) == ((180, 100), (160, 100), False)


def test_no_paper_lets_anybody_train_from_200_over_110() -> None:
    # Guideline tables (published, read): a relative reason not even to test. The lower ends are plausibility (house).
    assert (SYSTOLIC_MMHG, DIASTOLIC_MMHG) == ((100, 200), (60, 110))


def test_two_numbers_come_in_writing_only() -> None:
    assert set(IN_WRITING) == {"paper", "copy", "from_clinic"}


def test_the_last_pair_that_was_not_taken_back_counts() -> None:
    first = pressure_limit(id=3, given_on=ago(30))
    second = pressure_limit(id=2, given_on=ago(10))
    same_day = pressure_limit(id=4, given_on=ago(10))
    gone = pressure_limit(id=9, given_on=ago(1), taken_back_at=at(TODAY), taken_back_by=1)

    assert newest_own(()) is None
    assert newest_own((gone,)) is None
    assert newest_own((first, second, gone)) == newest_own((second, gone, first)) == second
    assert newest_own((second, same_day)) == newest_own((same_day, second)) == same_day


@pytest.mark.parametrize(
    ("numbers", "hard"), [((200, 110), (160, 100)), ((150, 110), (150, 100)), ((200, 90), (160, 90))]
)
def test_for_hard_work_the_lower_of_practice_and_clinician_counts(numbers: tuple, hard: tuple) -> None:
    own = pressure_limit(systolic_mmhg=numbers[0], diastolic_mmhg=numbers[1])
    limits = limits_with(own, RULES)

    assert (limits.pressure_systolic_all, limits.pressure_diastolic_all) == numbers
    assert (limits.pressure_systolic_hard, limits.pressure_diastolic_hard) == hard
    assert limits.own == own
