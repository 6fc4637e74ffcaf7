"""Which week is sent next, by the day it is asked on, and what asks for a reason before a plan goes."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.consents import CONSENT_TEXTS
from app.coaching.plan_sending import NOT_COACHED, Waiting, week_to_send
from app.coaching.plan_weeks import entries_of
from app.coaching.screening import Consent, ConsentKind
from tests import factories as make

AGREED = make.consent(ConsentKind.COACHING, text_version=CONSENT_TEXTS[ConsentKind.COACHING].version)


@pytest.mark.parametrize(
    ("today", "monday"),
    [
        (date(2026, 11, 23), date(2026, 11, 23)),
        (date(2026, 11, 27), date(2026, 11, 23)),
        (date(2026, 11, 28), date(2026, 11, 30)),
        (date(2026, 11, 29), date(2026, 11, 30)),
        (date(2026, 12, 31), date(2026, 12, 28)),
        (date(2028, 1, 1), date(2028, 1, 3)),
    ],
)
def test_from_saturday_on_the_coming_week_is_sent(today: date, monday: date) -> None:
    assert week_to_send(today) == monday


@pytest.mark.parametrize(
    ("consents", "asks"),
    [
        ((), True),
        ((AGREED,), False),
        ((replace(AGREED, withdrawn_on=make.TODAY),), True),
        ((replace(AGREED, text_version="2020-1"),), True),
        ((replace(AGREED, kind=ConsentKind.HEALTH_DATA),), True),
    ],
)
def test_a_plan_before_the_consent_to_being_coached_asks_for_a_reason(
    consents: tuple[Consent, ...], asks: bool
) -> None:
    going = Waiting(make.client(), make.TODAY, entries_of([make.planned(published_at=None)], []), (), consents)

    assert (going.asks_reason, going.is_refused) == (asks, False)
    assert going.said == ((f"asks: {NOT_COACHED}",) if asks else ())


def test_taking_a_session_away_before_the_consent_asks_for_none() -> None:
    was = make.planned(planned_on=make.TODAY.replace(day=make.TODAY.day + 2))
    gone = replace(was, version=2, version_id=99, is_cancelled=True, published_at=None)

    assert not Waiting(make.client(), make.TODAY, entries_of([gone], [was]), ()).asks_reason


@pytest.mark.parametrize(
    ("given_in", "now_in", "is_today"), [(0, 0, True), (0, 2, True), (2, 0, True), (2, 3, False), (None, 0, False)]
)
def test_today_changes_where_a_session_leaves_it_stays_on_it_or_comes_to_it(
    given_in: int | None, now_in: int, is_today: bool
) -> None:
    was = make.planned(planned_on=make.TODAY + timedelta(days=given_in or 0))
    newest = replace(was, version=2, version_id=99, planned_on=make.TODAY + timedelta(days=now_in), published_at=None)
    entries = entries_of([newest], [] if given_in is None else [was])

    going = Waiting(make.client(), make.TODAY, entries, (), (AGREED,))

    assert going.asks_reason is is_today
    assert bool(going.unexplained) is is_today
    assert ("changes the plan of today" in going.today_words) is is_today
