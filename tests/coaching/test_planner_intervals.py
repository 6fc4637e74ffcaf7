"""Interval blocks: rounds, spacing, easier weeks, and what does not fit."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import Phase
from app.coaching.planner import WeekDraft
from app.coaching.planner_intervals import IntervalWishes, ceiling_of, interval_block, spacing_hours
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules, rules_from

RULES = Rules()
DAYS = tuple(AvailableDay(1, day, 60, None, None) for day in (0, 1, 3, 4, 6))


def _wishes(**changes: Any) -> IntervalWishes:
    usual: dict[str, Any] = {
        "phase": Phase.INTERVAL_ONE,
        "hard_weekdays": (1,),
        "protocol_key": "four_by_four",
        "weeks": 5,
        "volume_min": 200,
        "is_introductory": True,
        "age": 45,
        "starts_on": date(2026, 9, 7),
        "mode": Mode.INDOOR_RIDE,
    }
    return IntervalWishes(**{**usual, **changes})


def _hard_rounds(weeks: tuple[WeekDraft, ...]) -> list[list[int]]:
    return [[session.rounds for session in week.sessions if session.is_hard] for week in weeks]


def test_the_first_block_grows_by_one_round_and_halves_in_the_easier_week() -> None:
    weeks = interval_block(_wishes(), days=DAYS, rules=RULES)

    assert _hard_rounds(weeks) == [[2], [3], [4], [2], [4]]


def test_an_easier_week_drops_a_quarter_of_the_easy_minutes() -> None:
    weeks = interval_block(_wishes(is_introductory=False), days=DAYS, rules=RULES)
    easy = [sum(session.minutes for session in week.sessions if not session.is_hard) for week in weeks]

    # full: 200 - 53 = 147; easier: 200 - 37 = 163, a quarter less = 122
    assert easy[2:4] == [147, 122]


def test_two_hard_days_too_close_leave_the_second_easy_and_say_so() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 3), is_introductory=False)

    weeks = interval_block(wishes, days=DAYS, rules=RULES)

    assert _hard_rounds(weeks)[0] == [4]
    assert "48 h apart, 72 h are needed" in weeks[0].said[0]


def test_two_hard_days_48_hours_apart_are_kept_after_eight_weeks_under_sixty() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 3), is_introductory=False, weeks_before=8)

    assert _hard_rounds(interval_block(wishes, days=DAYS, rules=RULES))[0] == [4, 4]


def test_the_new_second_day_has_half_a_dose_for_four_weeks() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 4), weeks_before=12)

    assert _hard_rounds(interval_block(wishes, days=DAYS, rules=RULES)) == [[4, 2], [4, 2], [4, 2], [2, 2], [4, 4]]


def test_a_stricter_ceiling_leaves_the_second_day_easy() -> None:
    wishes = _wishes(phase=Phase.INTERVAL_TWO, hard_weekdays=(1, 4), weeks_before=12)

    weeks = interval_block(wishes, days=DAYS, rules=rules_from({"fortnight_ceiling": 3}))

    assert len(_hard_rounds(weeks)[0]) == 1
    assert "would pass 3 in a fortnight" in weeks[0].said[0]


def test_a_short_slot_takes_rounds_away_and_says_so() -> None:
    days = (AvailableDay(1, 1, 45, None, None), AvailableDay(1, 4, 90, None, None))

    weeks = interval_block(_wishes(is_introductory=False, volume_min=100), days=days, rules=RULES)

    # 3 rounds last 45 minutes
    assert _hard_rounds(weeks)[0] == [3]
    assert weeks[0].said == ("Tuesday holds 45 min: 3 rounds instead of 4.",)


def test_a_day_without_time_has_no_hard_session() -> None:
    weeks = interval_block(_wishes(hard_weekdays=(2,)), days=DAYS, rules=RULES)

    assert _hard_rounds(weeks)[0] == []
    assert "too short for a hard session" in weeks[0].said[0]


def test_two_days_in_the_phase_with_one_keep_only_the_first() -> None:
    weeks = interval_block(_wishes(hard_weekdays=(1, 4)), days=DAYS, rules=RULES)

    assert len(_hard_rounds(weeks)[0]) == 1
    assert weeks[0].said[0].startswith("One hard day a week")


def test_easy_minutes_that_do_not_fit_are_said() -> None:
    weeks = interval_block(_wishes(volume_min=400), days=DAYS, rules=RULES)

    assert any("easy min fit" in sentence for sentence in weeks[0].said)


def test_a_week_without_easy_minutes_holds_its_hard_session_only() -> None:
    weeks = interval_block(_wishes(is_introductory=False, volume_min=50), days=DAYS, rules=RULES)

    assert [session.is_hard for session in weeks[0].sessions] == [True]


def test_easy_minutes_without_a_day_are_said() -> None:
    weeks = interval_block(_wishes(is_introductory=False), days=DAYS[1:2], rules=RULES)

    assert weeks[0].said == ("No day is left for 147 easy minutes.",)


@pytest.mark.parametrize("changes", [{"phase": Phase.AEROBIC_BASE}, {"hard_weekdays": ()}, {"weeks": 0}])
def test_a_block_that_cannot_be_is_refused(changes: dict[str, Any]) -> None:
    with pytest.raises(DomainError):
        interval_block(_wishes(**changes), days=DAYS, rules=RULES)


@pytest.mark.parametrize(
    ("age", "weeks", "hours"), [(45, 7, 72), (45, 8, 48), (60, 30, 72), (None, 30, 72), (59, 8, 48)]
)
def test_spacing_is_wider_in_the_first_eight_weeks_and_from_sixty(age: int | None, weeks: int, hours: float) -> None:
    assert spacing_hours(age=age, interval_weeks=weeks, rules=RULES) == hours


def test_the_ceiling_is_three_unless_on_two_a_week() -> None:
    assert ceiling_of(Phase.INTERVAL_TWO, RULES) == 5
    assert ceiling_of(Phase.INTERVAL_ONE, RULES) == 3
