"""What a client does now and whether that is a short history: counted weeks, days at the edges, and what was said."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.entry_ramp import DoingNow, doing_now, has_short_history, recent_minutes
from app.coaching.history import History
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer, SessionLog
from tests import factories as make

#: A Wednesday; its week begins on Monday 5 October 2026.
TODAY = date(2026, 10, 7)
#: One outing in each of four weeks, which is no short history any more.
FOUR_WEEKS = (date(2026, 7, 15), date(2026, 8, 5), date(2026, 9, 2), date(2026, 9, 30))


def logged(day: date, minutes: float = 30, **changes: Any) -> SessionLog:
    return make.log(id=day.toordinal(), done_on=day, minutes=minutes, **changes)


def somebody(*logs: SessionLog, **records: Any) -> History:
    given: dict[str, Any] = {"decisions": (make.decision(),), "screening": (), "logs": logs, "until_on": TODAY}
    return make.history(**(given | records))


STRENGTH = {"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH}


def test_recent_minutes_are_those_of_four_whole_weeks_and_no_strength() -> None:
    days = (date(2026, 9, 6), date(2026, 9, 7), date(2026, 10, 4), date(2026, 10, 5))
    logs = [logged(day, minutes) for day, minutes in zip(days, (100, 40, 60, 100), strict=True)]

    # 40 min on Monday 7 September and 60 on Sunday 4 October, over four weeks
    assert recent_minutes(somebody(*logs, logged(date(2026, 9, 10), 30, **STRENGTH)), TODAY) == 25


def test_three_weeks_of_twelve_are_a_short_history_and_four_are_none() -> None:
    assert has_short_history(somebody(*map(logged, FOUR_WEEKS[:3])), TODAY) is True
    assert has_short_history(somebody(*map(logged, FOUR_WEEKS)), TODAY) is False


@pytest.mark.parametrize(
    ("fourth", "is_short"),
    [
        (logged(date(2026, 7, 12)), True),
        (logged(date(2026, 7, 13)), False),
        (logged(TODAY), False),
        (logged(TODAY + timedelta(days=1)), True),
        (logged(date(2026, 9, 9), 1), False),
        (logged(date(2026, 9, 9), 30, **STRENGTH), True),
        (logged(date(2026, 9, 9), 0, answer=Answer.NOT_DONE), True),
        (logged(date(2026, 9, 3)), True),
    ],
)
def test_a_fourth_week_counts_from_twelve_weeks_ago_to_today_with_an_outing_done(
    fourth: SessionLog, is_short: bool
) -> None:
    three = map(logged, (date(2026, 8, 5), date(2026, 9, 2), date(2026, 9, 30)))

    assert has_short_history(somebody(*three, fourth), TODAY) is is_short


BROUGHT_IN = make.decision(id=2, kind=DecisionKind.BROUGHT_IN, phase=Phase.AEROBIC_BASE, confirmed_at=make.at(TODAY))


@pytest.mark.parametrize(
    ("decisions", "is_short"),
    [
        ((), True),
        ((make.decision(),), True),
        ((make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE),), False),
        ((make.decision(), BROUGHT_IN), False),
        ((make.decision(kind=DecisionKind.BROUGHT_IN, phase=Phase.AEROBIC_BASE, confirmed_at=None),), True),
        ((make.decision(confirmed_at=make.at(TODAY)),), True),
    ],
)
def test_hard_work_or_training_brought_in_and_confirmed_is_a_history_of_its_own(
    decisions: tuple[Any, ...], is_short: bool
) -> None:
    assert has_short_history(somebody(decisions=decisions), TODAY) is is_short


REGULAR = make.client(regularly_active_confirmed_on=date(2026, 9, 1))
NOT_REGULAR = make.client(regularly_active_confirmed_on=None)
ACTIVE, INACTIVE = make.answers(active=YesNo.YES), make.answers(active=YesNo.NO)


@pytest.mark.parametrize(
    ("records", "is_said"),
    [
        ({"client": REGULAR}, True),
        ({"client": NOT_REGULAR, "screening": (ACTIVE,)}, True),
        ({"client": NOT_REGULAR, "screening": (INACTIVE,)}, False),
        ({"client": NOT_REGULAR}, False),
        ({"client": REGULAR, "decisions": (BROUGHT_IN,)}, False),
    ],
)
def test_who_logged_nothing_is_taken_at_their_word(records: dict[str, Any], is_said: bool) -> None:
    now = doing_now(somebody(**records), TODAY)

    assert (now.is_said, now.minutes) == (is_said, 90 if is_said else 0)
    assert now.has_short_history is (is_said or "decisions" not in records)


def test_a_minute_a_week_is_more_than_a_word() -> None:
    now = doing_now(somebody(logged(date(2026, 9, 9), 4), client=REGULAR), TODAY)

    assert (now.minutes, now.is_said, now.words) == (1, False, "1 min a week over the last 4 weeks")


@pytest.mark.parametrize(
    ("is_short", "is_said", "is_new", "first_week", "first_outing"),
    [(True, False, True, 70, 30), (True, True, False, 70, None), (False, False, False, 30, None)],
)
def test_a_new_client_begins_with_thirty_minutes_more_in_outings_of_thirty(
    is_short: bool, is_said: bool, is_new: bool, first_week: float, first_outing: int | None
) -> None:
    now = DoingNow(40, "as told", is_short, is_said)

    assert (now.is_new, now.first_week_min, now.first_outing_min) == (is_new, first_week, first_outing)
