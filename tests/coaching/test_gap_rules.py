"""A gap of two weeks or more: what counts as an outing, how long the gap was, and what ends the wait after it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching import gap_rules
from app.coaching.gap_rules import Gap, gap_stop, last_gap
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.outings import outings_of
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from tests.factories import TODAY, base_weeks, history, log

RULES = Rules()


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def went_out(*days: int):
    """Easy walks so many days ago."""
    return tuple(log(id=n, done_on=ago(day)) for n, day in enumerate(days, 1))


def gap_of(*days: int, **records) -> Gap | None:
    return last_gap(history(logs=went_out(*days), **records), TODAY)


# Days off (F in the practice's list): from 14 days on screening again and base only.
@pytest.mark.parametrize(
    ("days", "gap"),
    [
        ((), None),
        ((13,), None),
        ((14,), Gap(ago(14), None, 14)),
        ((40, 20), Gap(ago(20), None, 20)),
        ((0, 13), None),
        ((0, 14), Gap(ago(14), ago(0), 14)),
        ((60, 44, 20, 5), Gap(ago(20), ago(5), 15)),
        ((60, 30, 20, 10, 1), Gap(ago(60), ago(30), 30)),
        ((-3, 14), Gap(ago(14), None, 14)),
    ],
)
def test_the_last_gap_between_two_outings(days: tuple[int, ...], gap: Gap | None) -> None:
    assert gap_of(*days) == gap


@pytest.mark.parametrize(
    ("days", "asked_of", "gap"),
    [
        ((60, 44, 40, 10, 1), 35, Gap(ago(60), ago(44), 16)),
        ((40, 38, 10), 30, None),
        ((40, 38, 10), 10, Gap(ago(38), ago(10), 28)),
        ((40, 38, 10), 11, Gap(ago(38), None, 27)),
    ],
)
def test_as_of_an_earlier_day_a_later_gap_has_not_been(days: tuple[int, ...], asked_of: int, gap: Gap | None) -> None:
    assert last_gap(history(logs=went_out(*days)), ago(asked_of)) == gap


@pytest.mark.parametrize(
    "changes",
    [
        {"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH},
        {"answer": Answer.NOT_DONE},
        {"minutes": None},
        {"minutes": 0.0},
    ],
    ids=["strength", "not done", "no minutes", "nought minutes"],
)
def test_what_is_no_outing_ends_no_gap(changes: dict) -> None:
    logs = (log(id=1, done_on=ago(20)), log(id=2, done_on=ago(3), **changes))

    assert last_gap(history(logs=logs), TODAY) == Gap(ago(20), None, 20)


def test_half_a_minute_is_an_outing() -> None:
    logs = (log(id=1, done_on=ago(20)), log(id=2, done_on=ago(3), minutes=0.5))

    assert last_gap(history(logs=logs), TODAY) == Gap(ago(20), ago(3), 17)


def test_an_outing_before_the_records_looked_at_counts() -> None:
    assert gap_of(3, outing_before_on=ago(500)) == Gap(ago(500), ago(3), 497)
    assert gap_of(outing_before_on=ago(500)) == Gap(ago(500), None, 500)


def test_one_history_asked_about_again_is_looked_through_once_and_answers_the_same(monkeypatch) -> None:
    looked_through: list[History] = []

    def counted(of: History) -> tuple[SessionLog, ...]:
        looked_through.append(of)
        return outings_of(of)

    monkeypatch.setattr(gap_rules, "outings_of", counted)
    one, other = history(logs=went_out(20)), history(logs=went_out(30))

    assert [last_gap(one, TODAY), last_gap(one, ago(1))] == [Gap(ago(20), None, 20), Gap(ago(20), None, 19)]
    assert looked_through == [one]
    assert [last_gap(other, TODAY), last_gap(one, TODAY)] == [Gap(ago(30), None, 30), Gap(ago(20), None, 20)]
    assert looked_through == [one, other, one]  # only the last one is kept, or a whole practice would stay


# Days off (common practice, no published source): 14-27 two held weeks, 28 and more at least four.
@pytest.mark.parametrize(("days", "asked"), [(14, 2), (27, 2), (28, 4), (90, 4)])
def test_a_long_gap_asks_for_twice_the_held_weeks(days: int, asked: int) -> None:
    assert Gap(ago(days), None, days).held_weeks_asked == asked


def test_a_gap_that_lasts_stops_hard_work_and_says_what_ends_it() -> None:
    stop = gap_stop(history(logs=went_out(20)), TODAY, RULES)

    assert stop is not None
    assert stop.stops is Stops.HARD
    assert stop.sentence == (
        "no outing is logged since 15 September 2026. If they trained, log it; else easy work only first."
    )
    assert stop.to_client == stop.sentence.replace("they", "you")


def test_without_a_gap_nothing_waits() -> None:
    assert gap_stop(history(), TODAY, RULES) is None
    assert gap_stop(history(logs=went_out(3, 10)), TODAY, RULES) is None


def came_back(weeks_off: int, weeks_back: int, *, minutes: float = 45):
    before = base_weeks(6, before=TODAY - timedelta(weeks=weeks_off + weeks_back))
    return history(logs=(*before, *base_weeks(weeks_back, minutes=minutes)))


@pytest.mark.parametrize(
    ("weeks_off", "weeks_back", "waits"), [(2, 1, True), (2, 2, False), (4, 2, True), (4, 3, True), (4, 4, False)]
)
def test_hard_work_waits_for_held_weeks_after_it(weeks_off: int, weeks_back: int, waits: bool) -> None:
    stop = gap_stop(came_back(weeks_off, weeks_back), TODAY, RULES)

    assert (stop is not None and stop.stops is Stops.HARD) is waits


def test_weeks_that_are_not_held_end_no_wait() -> None:
    assert gap_stop(came_back(2, 3, minutes=20), TODAY, RULES) is not None


def test_the_week_of_the_return_itself_counts() -> None:
    # The last outing two weeks and two days before a Wednesday; that week and the next are the two that are asked.
    earlier, wednesday, next_monday = log(id=1, done_on=ago(28)), ago(12), ago(7)
    first = tuple(log(id=2 + n, done_on=wednesday + timedelta(days=n)) for n in range(3))
    second = tuple(log(id=9 + n, done_on=next_monday + timedelta(days=n)) for n in range(3))

    assert gap_stop(history(logs=(earlier, *first)), ago(7), RULES) is not None
    assert gap_stop(history(logs=(earlier, *first, *second)), TODAY, RULES) is None
