"""The same reason for many clients is one line with one message."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from app.coaching.morning import Line, morning
from app.coaching.morning_groups import GROUP_LEAST, groups_of, message_for
from app.coaching.signals import NAMES
from tests.coaching.signal_scenes import RULES, TODAY
from tests.coaching.signal_table import TABLE


def _lines(name: str, count: int) -> tuple[Line, ...]:
    one = TABLE[name]().fires
    some = [replace(one, client=replace(one.client, id=n, name=f"Client {n}")) for n in range(1, count + 1)]
    found = morning(some, dict.fromkeys(range(1, count + 1), TODAY), RULES)
    return (*found.today, *found.planning)


def test_three_with_one_reason_stand_together() -> None:
    (group,) = groups_of(_lines("contact_overdue", GROUP_LEAST))

    assert group.name == "contact_overdue"
    assert group.message == message_for("contact_overdue")
    assert [line.client.id for line in group.lines] == [1, 2, 3]


@pytest.mark.parametrize("name", ["hard_gap", "readiness_down", "easy_not_easy"])
def test_whatever_many_share_on_planning_day_is_one_line(name: str) -> None:
    (group,) = groups_of(_lines(name, GROUP_LEAST))

    assert (group.name, len(group.lines)) == (name, GROUP_LEAST)


@pytest.mark.parametrize("name", NAMES)
def test_no_message_for_many_sends_anybody_into_hard_work(name: str) -> None:
    said = message_for(name).casefold()

    assert not re.search(r"(?<!nothing )make up|catch up|go hard|harder next|do the hard|two hard", said)


def test_two_stand_alone() -> None:
    assert groups_of(_lines("contact_overdue", GROUP_LEAST - 1)) == ()


def test_lines_of_safety_never_stand_together() -> None:
    assert groups_of(_lines("symptom", GROUP_LEAST + 1)) == ()


def test_what_is_better_spoken_about_has_no_message() -> None:
    assert message_for("symptom") == ""
    assert {name for name in NAMES if message_for(name)} >= {"quiet", "retest_due", "low_share"}
