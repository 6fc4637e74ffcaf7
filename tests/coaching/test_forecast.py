"""The forecast: the same from the same seed, never later for more done work, honest where nothing can be said."""

from __future__ import annotations

import functools
import re
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.forecast import MIDDLE, Forecast, Help, Helped, Outlook, forecast, weeks_at
from app.coaching.forecast_courses import live, roll
from app.coaching.forecast_habits import WEEKS_AHEAD, start_from
from app.coaching.forecast_kept import forecast_from, forecast_json
from app.coaching.forecast_weeks import FORECAST_KEYS
from app.coaching.forecast_words import CALIBRATED, METHOD_WORDS, forecast_why, forecast_words, way_words
from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phases import Phase
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer
from tests.factories import TODAY, available, client, decision, history, hold, leave, log, planned

RULES = Rules()
DAYS = (0, 2, 5)
FIVE = (0, 1, 2, 4, 5)
COURSES = 200
#: Every ninth session is left out: four in five weeks of three are held, more or less.
SOME = 9


def _session(day: date, *, minutes: int = 45, is_done: bool = True):
    number = day.toordinal()
    entry = log(id=number, planned_session_id=number, done_on=day, minutes=float(minutes))
    missed = replace(entry, answer=Answer.NOT_DONE, minutes=None, effort=None, talk=None)
    return planned(id=number, planned_on=day, minutes=minutes), entry if is_done else missed


def _base(weeks: int, *, minutes: int = 45, days: tuple[int, ...] = DAYS, missed=frozenset(), **changes) -> History:
    """So many weeks of outings, those of some numbers left out."""
    first = TODAY - timedelta(weeks=weeks)
    dates = [first + timedelta(weeks=n, days=day) for n in range(weeks) for day in days]
    pairs = [_session(day, minutes=minutes, is_done=n not in missed) for n, day in enumerate(dates)]
    given_ = {
        "client": client(base_weeks_asked=26, joined_on=first),
        "decisions": (decision(since_on=first),),
        "planned": tuple(plan for plan, _ in pairs),
        "logs": tuple(entry for _, entry in pairs),
        "available": tuple(available(weekday=day, minutes=90) for day in days),
    }
    return history(**(given_ | changes))


def _missed(weeks: int, every: int = SOME, days: tuple[int, ...] = DAYS) -> frozenset[int]:
    return frozenset(range(0, weeks * len(days), every))


def _made(one: History, rules: Rules = RULES, seed: int = 7) -> Forecast:
    return forecast(one, TODAY, rules, np.random.default_rng(seed))


@functools.cache
def _usual() -> Forecast:
    return _made(_base(12, missed=_missed(12)))


def _middle(one: History) -> int:
    start = start_from(one, TODAY, RULES)
    dice = roll(start.habits, np.random.default_rng(3), COURSES)
    return weeks_at(live(start, dice, RULES).weeks, (MIDDLE,))[0]


def test_the_same_seed_gives_the_same_answer():
    assert _made(_base(12, missed=_missed(12))) == _usual()


def test_another_seed_gives_nearly_the_same_answer():
    other = _made(_base(12, missed=_missed(12)), seed=8)

    assert _usual().middle_on is not None
    assert other.middle_on is not None
    assert abs((other.middle_on - _usual().middle_on).days) <= 21


def test_the_order_of_the_entries_does_not_matter():
    one = _base(12, missed=_missed(12))

    assert _made(replace(one, logs=one.logs[::-1], planned=one.planned[::-1])) == _usual()


def test_a_steady_client_is_ready_after_the_weeks_that_are_missing_and_some_more():
    found = _made(_base(12, days=FIVE))

    assert found.outlook is Outlook.LIKELY
    assert found.early_on is not None
    assert found.middle_on is not None
    assert TODAY + timedelta(weeks=14) <= found.early_on <= found.middle_on <= TODAY + timedelta(weeks=30)
    assert found.waits_for[0][0] == "base_weeks"


def test_nobody_is_ready_before_the_held_weeks_that_are_missing_have_gone_by():
    one = _base(12, minutes=60)
    start = start_from(one, TODAY, RULES)

    weeks = live(start, roll(start.habits, np.random.default_rng(1), COURSES), RULES).weeks

    assert weeks.min() >= 14


@settings(max_examples=12, deadline=None)
@given(st.sets(st.integers(0, 47), min_size=4, max_size=24), st.data())
def test_more_done_work_never_comes_later(missed, data):
    left_out = frozenset(missed)
    done_after_all = data.draw(st.sampled_from(sorted(left_out)))

    before = _middle(_base(16, minutes=60, missed=left_out))
    after = _middle(_base(16, minutes=60, missed=left_out - {done_after_all}))

    assert after <= before


def test_chances_rise_with_time_and_the_range_is_in_order():
    found = _usual()
    chances = [chance for _, chance in found.chances]

    assert chances == sorted(chances)
    assert found.early_on is not None
    assert found.middle_on is not None
    assert found.early_on <= found.middle_on <= (found.late_on or date.max)


def test_what_is_met_already_is_met_today():
    found = _made(_base(27, minutes=45))

    assert (found.outlook, found.early_on, found.middle_on, found.late_on) == (Outlook.MET, TODAY, TODAY, TODAY)
    assert forecast_words(found, RULES) == "Every condition that training moves is met."
    assert forecast_why(found) is None


def test_two_outings_a_week_never_get_there_and_a_third_would_help():
    found = _made(_base(12, days=(1, 4), minutes=60))

    assert found.outlook is Outlook.FAR
    assert found.middle_on is None
    assert found.chances[-1][1] < 0.2
    assert found.helps[0].help is Help.SESSION_MORE
    assert forecast_words(found, RULES).startswith(("Not within 18 months", "More likely than not, not within 18"))
    assert "One session more each week would help most" in forecast_words(found, RULES)


def test_nothing_done_is_said_to_be_out_of_reach():
    found = _made(_base(20, missed=frozenset(range(60))))

    assert found.outlook is Outlook.FAR
    assert forecast_words(found, RULES).startswith("Not within 18 months")


@pytest.mark.parametrize(
    ("asked", "changes", "days", "every"),
    [
        ("base_weeks", {}, FIVE, 5),
        ("recent_weeks", {"base_recent_minutes": 240}, FIVE, 5),
        ("held_of_eight", {"held_of_last_eight": 8, "base_weeks": 13}, DAYS, 5),
        ("adherence", {"adherence_least": 0.9, "base_weeks": 13}, FIVE, 4),
    ],
)
def test_the_condition_that_is_hardest_is_what_it_waits_for(asked, changes, days, every):
    rules = Rules(**changes)
    young = client(born_on=date(1990, 1, 1), base_weeks_asked=None if "base_weeks" in changes else 26)

    found = _made(_base(24, days=days, missed=_missed(24, every, days), client=young), rules)

    assert found.waits_for[0][0] == asked
    assert sum(share for _, share in found.waits_for) == pytest.approx(1)
    assert {key for key, _ in found.waits_for} <= set(FORECAST_KEYS)


@pytest.mark.parametrize(
    ("outlook", "changes"),
    [
        (Outlook.NOT_ACTIVE, {"client": client(state=ClientState.PAUSED)}),
        (Outlook.NOT_ACTIVE, {"client": client(state=ClientState.LEFT)}),
        (Outlook.ON_HOLD, {"holds": (hold(stops=Stops.ALL, lifted_at=None),)}),
        (Outlook.NOT_IN_BASE, {"decisions": (decision(phase=Phase.INTERVAL_ONE),)}),
        (Outlook.NOT_IN_BASE, {"decisions": ()}),
    ],
)
def test_who_is_not_on_the_way_has_none_and_the_reason_is_said(outlook, changes):
    found = _made(_base(12, **changes))

    assert found == Forecast(TODAY, outlook)
    assert forecast_words(found, RULES).startswith("No forecast")
    assert way_words(found) is None


def test_a_hold_on_hard_work_alone_does_not_stop_it():
    assert _made(_base(12, holds=(hold(stops=Stops.HARD, lifted_at=None),))).outlook is Outlook.LIKELY


@pytest.mark.parametrize(("weeks", "said"), [(0, "so far: none"), (1, "so far: 1 week"), (3, "so far: 3 weeks")])
def test_too_little_says_what_is_needed(weeks, said):
    found = _made(_base(weeks))

    assert found.outlook is Outlook.TOO_LITTLE
    assert forecast_words(found, RULES) == f"Too early for a forecast: it needs 4 whole weeks with a plan; {said}."


def test_four_weeks_are_enough():
    assert _made(_base(4)).outlook in (Outlook.LIKELY, Outlook.FAR)


def test_agreed_leave_to_come_makes_it_later():
    away = leave(from_on=TODAY + timedelta(weeks=2), until_on=TODAY + timedelta(weeks=10, days=-1))

    assert _middle(_base(12, minutes=60, leaves=(away,))) >= _middle(_base(12, minutes=60)) + 4


def test_safety_is_named_beside_it_and_not_forecast():
    found = _usual()

    assert "Screening for hard work" in found.beside or any("screening" in one.lower() for one in found.beside)
    assert not any("held" in one.lower() for one in found.beside)


def test_a_forecast_is_kept_as_it_is():
    assert forecast_from(forecast_json(_usual())) == _usual()


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"made_on": "2026-13-01"}'])
def test_what_is_no_forecast_is_refused(text):
    with pytest.raises(DomainError):
        forecast_from(text)


LIKELY = Forecast(
    made_on=date(2026, 11, 29),
    outlook=Outlook.LIKELY,
    early_on=date(2027, 1, 11),
    middle_on=date(2027, 2, 1),
    late_on=date(2027, 3, 8),
    chances=((date(2028, 5, 29), 0.97),),
    waits_for=(("base_weeks", 0.8), ("adherence", 0.2)),
    helps=(Helped(Help.NEVER_AWAY, 28, 0.97, 1.0), Helped(Help.SESSION_MORE, 21, 0.97, 1.0)),
)


def test_a_forecast_is_said_in_three_sentences():
    assert forecast_words(LIKELY, RULES) == (
        "Likely ready for the decision between 11 January 2027 and 8 March 2027 (four in five), half way "
        "1 February 2027. "
        "Held weeks in base are what it waits for most. "
        "One session more each week would help most: about 3 weeks sooner."
    )


def test_where_nothing_in_their_hands_helps_it_says_so():
    helps = tuple(Helped(one, 28 if one is Help.NEVER_AWAY else 0, 0.97, 0.97) for one in Help)

    assert forecast_words(replace(LIKELY, helps=helps), RULES).endswith(
        "Neither one session more each week nor doing one planned session in ten more would make it sooner."
    )
    assert "Neither" not in forecast_words(replace(LIKELY, helps=()), RULES)


def test_the_method_says_what_the_long_proof_found():
    page = (Path(__file__).parents[2] / "docs" / "proof.md").read_text(encoding="utf-8")
    row = re.search(r"\| all forecasts \| (\d+) \| ([\d.]+)% \| ([\d.]+)% \| ([\d.]+)% \|", page)

    assert row is not None
    assert list(CALIBRATED.values()) == [round(float(one)) for one in row.groups()]
    assert "{" not in METHOD_WORDS


def test_an_end_that_cannot_be_named_is_not_named():
    said = forecast_words(replace(LIKELY, late_on=None, chances=((date(2028, 5, 29), 0.85),)), RULES)

    assert "from 11 January 2027 on, half way 1 February 2027; " in said
    assert "the chance that it takes longer than 18 months (" in said
    assert said.count("is 15 %.") == 1


def test_the_client_hears_months_and_no_day():
    assert way_words(LIKELY) == (
        "If the weeks go on like this, the base may be laid some time between January and March 2027. "
        "It takes the time it takes."
    )


@pytest.mark.parametrize(
    "one", [replace(LIKELY, late_on=None), replace(LIKELY, outlook=Outlook.FAR), replace(LIKELY, outlook=Outlook.MET)]
)
def test_the_client_hears_nothing_that_only_weighs(one):
    assert way_words(one) is None


def test_the_why_says_how_it_was_reckoned_and_how_far_off_it_may_be():
    why = forecast_why(_usual())

    assert why is not None
    assert "one in ten before it, one in ten after it" in why.rule
    assert {"made on", "planned sessions thought to be done"} <= {figure.name for figure in why.figures}
    assert WEEKS_AHEAD == 78
