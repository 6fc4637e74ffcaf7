"""What waits today on the phone waits on paper too, and only today."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.hold_rules import Answer, StoppedWork
from app.coaching.printed_work import may_be_printed
from app.coaching.rules import Rules
from tests.factories import TODAY, history, log, planned, planned_hard, readiness

RULES = Rules()
NOTHING = StoppedWork((), (), ())
ALL_OUT = log(planned_session_id=None, done_on=TODAY, felt_all_out=True, effort=9.0)


@pytest.mark.parametrize(
    ("known", "words"),
    [
        ({"readiness": (readiness(not_right_today=True),)}, "something is not right today"),
        ({"logs": (ALL_OUT,)}, "You did hard work today already"),
    ],
)
def test_todays_hard_work_waits_with_its_reason(known, words):
    given = history(**known)

    may = may_be_printed(given, NOTHING, planned_hard(planned_on=TODAY), TODAY, RULES)
    assert may.answer is Answer.EASY_ONLY
    assert words in may.sentence
    for other in (planned(planned_on=TODAY), planned_hard(planned_on=TODAY + timedelta(days=4))):
        assert may_be_printed(given, NOTHING, other, TODAY, RULES).answer is Answer.AS_PLANNED


def test_what_is_stopped_is_stopped_on_every_day():
    stopped = StoppedWork((), ("a hold",), ())

    later = planned_hard(planned_on=TODAY + timedelta(days=4))
    assert may_be_printed(history(), stopped, later, TODAY, RULES).is_paused
