"""The practice's own duties: when a copy is too old, and by when a request about data is answered."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.data_requests import DataRequestKind, month_after
from app.coaching.housekeeping import HouseLine, backup_stale, request_due
from app.coaching.reasons import DomainError, Provenance
from app.coaching.rules import Rules, rules_from
from app.coaching.signals import Shelf
from tests import factories as make

TODAY = date(2026, 10, 5)
LONG_AGO = date(2025, 1, 7)
RULES = Rules()


def _copy(days: int | None, rules: Rules = RULES, begun_on: date = LONG_AGO) -> HouseLine | None:
    return backup_stale(None if days is None else TODAY - timedelta(days=days), begun_on, TODAY, rules)


def _due(asked_on: date, today: date = TODAY, **changes: object) -> HouseLine | None:
    return request_due(make.data_request(asked_on=asked_on, **changes), today)


@pytest.mark.parametrize(
    ("asked_on", "due_on"),
    [
        (date(2026, 10, 5), date(2026, 11, 5)),
        (date(2026, 12, 31), date(2027, 1, 31)),
        (date(2027, 1, 31), date(2027, 2, 28)),
        (date(2028, 1, 30), date(2028, 2, 29)),
        (date(2026, 8, 31), date(2026, 9, 30)),
        (date(2026, 2, 28), date(2026, 3, 28)),
    ],
)
def test_an_answer_is_due_one_month_later_or_on_that_months_last_day(asked_on: date, due_on: date) -> None:
    assert month_after(asked_on) == due_on
    assert make.data_request(asked_on=asked_on).due_on == due_on


def test_a_copy_may_be_seven_days_old_and_not_eight() -> None:
    assert _copy(7) is None

    line = _copy(8)

    assert line is not None
    assert line.sentence == "The last copy of the practice is 8 days old, of Sun 27 Sep; every 7 days is the rule."
    assert (line.shelf, line.why.provenance) == (Shelf.PLANNING, Provenance.COMMON_PRACTICE)


def test_a_practice_never_copied_has_as_long_from_its_beginning() -> None:
    assert _copy(None, begun_on=TODAY - timedelta(days=7)) is None

    line = _copy(None, begun_on=TODAY - timedelta(days=8))

    assert line is not None
    assert line.sentence.startswith("No copy of the practice was made since it began on 27 September 2026;")


def test_a_practice_may_set_another_age_of_copies_within_a_month() -> None:
    assert _copy(3, rules_from({"backup_days": 2})) is not None
    assert _copy(20, rules_from({"backup_days": 31})) is None
    with pytest.raises(DomainError):
        rules_from({"backup_days": 32})


@pytest.mark.parametrize(
    ("left", "shelf", "said"),
    [
        (31, Shelf.PLANNING, "due in 31 days, on 5 November 2026."),
        (4, Shelf.PLANNING, "due in 4 days"),
        (3, Shelf.TODAY, "due in 3 days"),
        (1, Shelf.TODAY, "due in 1 day,"),
        (0, Shelf.TODAY, "due today, 5 November 2026."),
        (-1, Shelf.TODAY, "it was due on 5 November 2026, 1 day ago."),
    ],
)
def test_a_request_moves_to_today_three_days_before_it_is_due(left: int, shelf: Shelf, said: str) -> None:
    line = _due(TODAY, date(2026, 11, 5) - timedelta(days=left))

    assert line is not None
    assert line.shelf is shelf
    assert line.sentence.startswith("Asked on Mon 5 Oct for a copy of what is kept: ")
    assert said in line.sentence


def test_each_kind_is_named_with_its_source() -> None:
    lines = [_due(TODAY, kind=kind) for kind in DataRequestKind]

    assert [line.sentence.split(":")[0] for line in lines if line] == [
        "Asked on Mon 5 Oct for a copy of what is kept",
        "Asked on Mon 5 Oct for a correction of what is kept",
        "Asked on Mon 5 Oct for erasure of what is kept",
    ]
    assert all("2016/679, Art. 12(3)" in (line.why.source or "") for line in lines if line)
    assert {line.why.provenance for line in lines if line} == {Provenance.FROM_MEMORY}


def test_a_request_that_is_answered_says_nothing() -> None:
    assert _due(LONG_AGO, done_on=TODAY, done_how="A copy, on paper.", done_at=make.at(TODAY), done_by=1) is None
