"""The quick rules of the forecast against the practice's own, on random weeks."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.effort import Talk
from app.coaching.forecast_habits import start_from
from app.coaching.forecast_weeks import AWAY, FORECAST_KEYS, HELD, NOT_HELD, Judged, judge, met_on_mondays
from app.coaching.history import History
from app.coaching.promotion_practice import base_weeks_for, practice_conditions
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from app.coaching.training_weeks import Held, all_week_facts, logged_mondays
from app.coaching.windows import WHOLE_BASE
from tests.factories import TODAY, client, decision, history, leave, log, planned, planned_week

RULES = Rules()
CODES = {Held.HELD: HELD, Held.AWAY: AWAY, Held.NOT_HELD: NOT_HELD, Held.UNKNOWN: NOT_HELD}
TALKS = (Talk.CHAT, Talk.CHAT, Talk.CHAT, Talk.SING, Talk.SENTENCES, Talk.FEW_WORDS, None)


@dataclass(frozen=True)
class Lived:
    """One week as it is drawn: by weekday the minutes planned, and what became of it."""

    planned: tuple[int, ...]
    share: tuple[float, ...]
    talks: tuple[Talk | None, ...]
    away_days: int
    is_easier: bool


_SHARES = st.sampled_from([0.0, 0.0, 0.5, 0.74, 0.75, 1.0, 1.0, 1.0, 1.0, 1.3])
WEEK = st.builds(
    Lived,
    planned=st.tuples(*(st.sampled_from([0, 0, 0, 30, 40, 45, 60]) for _ in range(7))),
    share=st.tuples(*(_SHARES for _ in range(7))),
    talks=st.tuples(*(st.sampled_from(TALKS) for _ in range(7))),
    away_days=st.sampled_from([0, 0, 0, 0, 0, 2, 3, 4, 7]),
    is_easier=st.booleans(),
)
#: A client who mostly keeps going, so that counts get somewhere.
GOOD_WEEK = st.builds(
    Lived,
    planned=st.just((45, 0, 45, 0, 45, 0, 0)),
    share=st.tuples(*(st.sampled_from([1.0, 1.0, 1.0, 1.0, 0.0]) for _ in range(7))),
    talks=st.just((Talk.CHAT,) * 7),
    away_days=st.sampled_from([0, 0, 0, 0, 0, 0, 5]),
    is_easier=st.booleans(),
)


def _lived(weeks: list[Lived], asked: int | None = None) -> History:
    first = TODAY - timedelta(weeks=len(weeks))
    days = [first + timedelta(days=n) for n in range(7 * len(weeks))]
    cells = [
        (day, week.planned[day.weekday()], week.share[day.weekday()], week.talks[day.weekday()])
        for day, week in zip(days, (week for week in weeks for _ in range(7)), strict=True)
    ]
    plans = [planned(id=day.toordinal(), planned_on=day, minutes=minutes) for day, minutes, _, _ in cells if minutes]
    done = [
        log(
            id=day.toordinal(),
            planned_session_id=day.toordinal(),
            done_on=day,
            minutes=minutes * share,
            talk=talk,
            effort=None,
            answer=Answer.SOMETHING_ELSE,
        )
        for day, minutes, share, talk in cells
        if minutes and share
    ]
    mondays = [first + timedelta(weeks=n) for n in range(len(weeks))]
    return history(
        client=client(base_weeks_asked=asked, joined_on=first),
        from_on=first,
        decisions=(decision(since_on=first),),
        planned=tuple(plans),
        logs=tuple(done),
        weeks=tuple(
            planned_week(id=n + 1, starts_on=monday, is_easier=week.is_easier)
            for n, (monday, week) in enumerate(zip(mondays, weeks, strict=True))
        ),
        leaves=tuple(
            leave(id=n + 1, from_on=monday, until_on=monday + timedelta(days=week.away_days - 1))
            for n, (monday, week) in enumerate(zip(mondays, weeks, strict=True))
            if week.away_days
        ),
    )


def _as_the_desk_reads(one: History) -> History:
    since = TODAY - WHOLE_BASE
    return replace(
        one,
        from_on=since,
        planned=tuple(plan for plan in one.planned if plan.planned_on >= since),
        logs=tuple(entry for entry in one.logs if entry.done_on >= since),
    )


def _by_the_rules(one: History) -> dict[str, bool]:
    found = practice_conditions(_as_the_desk_reads(one), TODAY, RULES)
    return {condition.key: condition.is_met for condition in found if condition.key in FORECAST_KEYS}


def _quickly(one: History) -> dict[str, bool]:
    start = start_from(one, TODAY, RULES)
    asked = base_weeks_for(one.client, TODAY, RULES)
    met = met_on_mondays(start.weeks, [start.weeks_over], [asked], start.has_record, RULES)
    return dict(zip(FORECAST_KEYS, met[0, 0].tolist(), strict=True))


@settings(max_examples=60, deadline=None)
@given(st.lists(WEEK, min_size=1, max_size=12))
def test_any_weeks_are_judged_as_the_practice_judges_them(weeks):
    one = _lived(weeks)

    assert _quickly(one) == _by_the_rules(one)


@settings(max_examples=40, deadline=None)
@given(st.lists(GOOD_WEEK, min_size=13, max_size=75), st.sampled_from([13, 20, None]))
def test_a_long_base_is_judged_as_the_practice_judges_it(weeks, asked):
    one = _lived(weeks, asked)

    assert _quickly(one) == _by_the_rules(one)


def test_a_steady_base_meets_all_of_them():
    steady = Lived((45, 0, 45, 0, 45, 0, 0), (1.0,) * 7, (Talk.CHAT,) * 7, 0, False)

    assert _quickly(_lived([steady] * 26)) == dict.fromkeys(FORECAST_KEYS, True)


@settings(max_examples=60, deadline=None)
@given(st.lists(WEEK, min_size=1, max_size=12))
def test_a_week_is_held_as_the_practice_says(weeks):
    one = _lived(weeks)
    facts = all_week_facts(one, logged_mondays(one, TODAY), TODAY, RULES)

    found = judge(
        Judged(
            days=np.array([[float(week.days) for week in facts]]),
            minutes=np.array([[week.done_minutes for week in facts]]),
            planned=np.array([[np.nan if week.planned_minutes is None else week.planned_minutes for week in facts]]),
            easy=np.array([[week.by_band.easy for week in facts]]),
            known=np.array([[week.by_band.known for week in facts]]),
            hard_sessions=np.array([[float(week.hard_sessions) for week in facts]]),
            away_days=np.array([[float(week.away_days) for week in facts]]),
            is_easier=np.array([[week.is_easier for week in facts]]),
        ),
        RULES,
    )

    assert found[0].tolist() == [CODES[week.held] for week in facts]
