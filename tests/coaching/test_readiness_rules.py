"""Readiness against the client's own usual, and what it says on a hard day."""

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.heart_rate_trust import HeartRateTrust
from app.coaching.people import HeartRateUse
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.readiness_rules import HardDay, ReadinessLevel, hard_day, is_down, items_worse
from app.coaching.rules import Rules
from tests.factories import TODAY, readiness

RULES = Rules()
TRUSTED = HeartRateTrust(HeartRateUse.RELIABLE)


def _usual(count: int = 20, *, before: int = 3) -> tuple[ReadinessNote, ...]:
    """Alternating 2 and 4 for sleep and fatigue: mean 3, sample spread about 1.03; the rest a steady 3."""
    return tuple(
        readiness(
            id=n + 1,
            noted_on=TODAY - timedelta(days=before + n),
            sleep=2 + 2 * (n % 2),
            fatigue=2 + 2 * (n % 2),
            resting_heart_rate_bpm=56,
        )
        for n in range(count)
    )


def _last(*sleeps: int) -> tuple[ReadinessNote, ...]:
    newest = len(sleeps) - 1
    return tuple(
        readiness(id=100 + n, noted_on=TODAY - timedelta(days=newest - n), sleep=sleep)
        for n, sleep in enumerate(sleeps)
    )


@pytest.mark.parametrize(
    ("sleeps", "level"),
    [
        ((3, 3, 3), ReadinessLevel.USUAL),
        ((3, 3, 6), ReadinessLevel.USUAL),
        ((6, 3, 6), ReadinessLevel.DOWN),
        ((3, 6, 6), ReadinessLevel.DOWN),
        ((4, 4, 4), ReadinessLevel.USUAL),
    ],
)
def test_two_of_the_last_three_notes_make_it_down(sleeps, level):
    assert is_down(_usual() + _last(*sleeps), TODAY, RULES).level is level


def test_the_figures_name_the_item_and_the_usual():
    found = is_down(_usual() + _last(3, 6, 6), TODAY, RULES)

    assert any(
        "sleep noted 6 of 7 (7 is worst), usually 3.0, give or take" in figure.text for figure in found.why.figures
    )


def test_with_thirteen_notes_only_not_right_today_counts():
    few = _usual(13, before=1)

    assert is_down((*few, *_last(7)), TODAY, RULES).level is ReadinessLevel.USUAL
    unwell = readiness(id=99, not_right_today=True)
    assert is_down((*few, unwell), TODAY, RULES).level is ReadinessLevel.DOWN


def test_a_first_bad_note_does_not_hide_the_next_two():
    few = _usual(12)

    assert is_down(few + _last(7, 5, 5), TODAY, RULES).level is ReadinessLevel.DOWN


def test_no_notes_is_unknown():
    assert is_down((), TODAY, RULES).level is ReadinessLevel.UNKNOWN


@pytest.mark.parametrize(("age", "level"), [(14, ReadinessLevel.USUAL), (15, ReadinessLevel.UNKNOWN)])
def test_old_notes_say_nothing_about_now(age, level):
    old = readiness(noted_on=TODAY - timedelta(days=age))

    assert is_down((old,), TODAY, RULES).level is level


def test_notes_after_today_are_not_looked_at():
    later = readiness(noted_on=TODAY + timedelta(days=1), not_right_today=True)

    assert is_down((readiness(), later), TODAY, RULES).level is ReadinessLevel.USUAL


@given(st.lists(st.integers(min_value=1, max_value=7), min_size=3, max_size=3), st.integers(min_value=0, max_value=2))
def test_a_worse_note_never_lifts_readiness(sleeps, place):
    worse = [*sleeps]
    worse[place] = 7

    was_down = is_down(_usual() + _last(*sleeps), TODAY, RULES).level is ReadinessLevel.DOWN

    assert not was_down or is_down(_usual() + _last(*worse), TODAY, RULES).level is ReadinessLevel.DOWN


@pytest.mark.parametrize(
    ("changes", "answer"),
    [
        ({}, HardDay.AS_PLANNED),
        ({"sleep": 6}, HardDay.AS_PLANNED),
        ({"sleep": 6, "fatigue": 6}, HardDay.WARM_UP_DECIDES),
        ({"slept_h": 4.9}, HardDay.WARM_UP_DECIDES),
        ({"slept_h": 5.0}, HardDay.AS_PLANNED),
        ({"not_right_today": True}, HardDay.EASY_OR_REST),
        ({"sleep": 6, "fatigue": 6, "stress": 6}, HardDay.EASY_OR_REST),
        ({"sleep": 6, "resting_heart_rate_bpm": 64}, HardDay.WARM_UP_DECIDES),
        ({"resting_heart_rate_bpm": 70}, HardDay.AS_PLANNED),
        ({"illness": Illness.ABOVE_NECK}, HardDay.EASY_OR_REST),
        ({"illness": Illness.FEVER_OR_BELOW}, HardDay.NO_TRAINING),
        ({"sleep": 1, "fatigue": 1, "stress": 1, "soreness": 1}, HardDay.AS_PLANNED),
    ],
)
def test_hard_day(changes, answer):
    assert hard_day((*_usual(), readiness(id=99, **changes)), TODAY, RULES, TRUSTED).answer is answer


def test_two_items_two_days_running_make_it_easy():
    yesterday = readiness(id=98, noted_on=TODAY - timedelta(days=1), sleep=6, fatigue=6)
    today = readiness(id=99, sleep=6, fatigue=6)

    assert hard_day((*_usual(), yesterday, today), TODAY, RULES, TRUSTED).answer is HardDay.EASY_OR_REST


def test_no_note_today_changes_nothing():
    assert hard_day(_usual(), TODAY, RULES, TRUSTED).answer is HardDay.AS_PLANNED


def test_the_sum_is_not_an_item():
    note = readiness(id=99, sleep=6, fatigue=6)

    assert [item.name for item in items_worse(note, _usual(), RULES, TRUSTED)] == ["sleep", "fatigue"]


RAISED = readiness(id=99, sleep=6, resting_heart_rate_bpm=64)


def _names(heart_rate: HeartRateTrust) -> list[str]:
    return [item.name for item in items_worse(RAISED, _usual(), RULES, heart_rate)]


@pytest.mark.parametrize(
    ("days_ago", "names"),
    [
        # Notes stand 3 to 22 days back: after a change 16 days ago 13 are left, 14 are asked for.
        (23, ["sleep", "resting heart rate"]),
        (17, ["sleep", "resting heart rate"]),
        (16, ["sleep"]),
        (0, ["sleep"]),
    ],
)
def test_the_usual_heart_rate_begins_anew_after_a_medicine_change(days_ago, names):
    change = TODAY - timedelta(days=days_ago)

    assert _names(HeartRateTrust(HeartRateUse.RELIABLE, breaks=(change,))) == names


def test_a_heart_rate_that_is_not_reliable_is_no_item():
    off = HeartRateTrust(HeartRateUse.NOT_RELIABLE)

    assert _names(off) == ["sleep"]
    assert hard_day((*_usual(), RAISED), TODAY, RULES, off).answer is HardDay.AS_PLANNED


@given(st.integers(0, 25), st.integers(40, 70), st.integers(40, 110))
def test_no_rate_from_before_a_change_ever_tells(days_ago, before, today):
    change = TODAY - timedelta(days=days_ago)
    heart_rate = HeartRateTrust(HeartRateUse.RELIABLE, breaks=(change,))
    note = readiness(id=99, sleep=6, resting_heart_rate_bpm=today)
    others = tuple(replace(one, resting_heart_rate_bpm=before) if one.noted_on <= change else one for one in _usual())

    assert items_worse(note, others, RULES, heart_rate) == items_worse(note, _usual(), RULES, heart_rate)


def test_a_later_note_of_the_day_does_not_take_back_that_something_is_not_right():
    unwell, later = readiness(id=98, not_right_today=True), readiness(id=99, resting_heart_rate_bpm=52)

    found = hard_day((*_usual(), unwell, later), TODAY, RULES, TRUSTED)
    assert found.answer is HardDay.EASY_OR_REST
    assert found.said == ("something is not right today",)
