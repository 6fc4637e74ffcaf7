"""The weeks of a plan: how a newest version stands to what the client sees, and the sums."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.plan_weeks import Standing, entries_of, plan_week, standing_of
from app.coaching.prescriptions import SessionKind
from app.coaching.weeks import week_start
from tests import factories as make

SENT = make.planned()
DRAFT = replace(SENT, version_id=2, version=2, published_at=None)
GONE = replace(SENT, is_cancelled=True)


@pytest.mark.parametrize(
    ("newest", "published", "standing"),
    [
        (DRAFT, None, Standing.DRAFT),
        (SENT, SENT, Standing.PUBLISHED),
        (DRAFT, SENT, Standing.CHANGED),
        (GONE, GONE, Standing.CANCELLED),
        (replace(DRAFT, is_cancelled=True), SENT, Standing.CANCEL_WAITS),
        (replace(DRAFT, is_cancelled=True), None, Standing.DROPPED),
        (DRAFT, GONE, Standing.DRAFT),
    ],
)
def test_the_newest_version_stands_to_what_the_client_sees(newest, published, standing):
    assert standing_of(newest, published) is standing


def test_dropped_drafts_are_left_out():
    assert entries_of([replace(DRAFT, is_cancelled=True)], []) == ()


def test_a_change_of_a_day_that_is_over_cannot_be_sent():
    [entry] = entries_of([replace(DRAFT, planned_on=make.TODAY + timedelta(days=3))], [SENT])

    assert entry.may_be_sent(make.TODAY)
    assert not entry.may_be_sent(make.TODAY + timedelta(days=1))


def test_the_sums_leave_strength_and_cancelled_sessions_out():
    sessions = [
        SENT,
        make.planned_hard(id=2, version_id=12),
        make.planned(id=3, version_id=13, kind=SessionKind.STRENGTH),
        make.planned(id=4, version_id=14, is_cancelled=True),
    ]

    week = plan_week(make.history(), week_start(make.TODAY), entries_of(sessions, sessions), make.TODAY)

    assert (week.sessions, week.minutes, week.by_band.hard, week.by_band.easy) == (2, 102, 16, 86)
    assert (week.hard_sessions, week.waiting) == (1, 0)
