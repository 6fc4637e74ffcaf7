"""What becomes of a target when its session is eased, shortened, copied to another, or told without heart rate."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.easy_version import eased
from app.coaching.heart_rate_words import session_by_effort
from app.coaching.people import Mode
from app.coaching.plan_told import aim_ahead, told_changes, was_words
from app.coaching.rules import Rules
from app.coaching.session_target import (
    SessionTarget,
    TargetForm,
    target_from_json,
    target_to_json,
    uphill_target,
)
from app.coaching.smaller_session import on_foot, with_minutes, with_rounds
from app.coaching.typed_content import typed_of
from app.coaching.week_templates import said_to_another
from tests import factories as make
from tests.coaching.test_session_target import LADDER, POWER, WHY

HEART = SessionTarget(TargetForm.HEART_RATE, None, 136.0, 147.0, (), None, "highest heart rate measured", WHY)
WITH_POWER = make.planned_hard(target_json=target_to_json(POWER))


def test_the_easy_version_has_no_target():
    assert eased(WITH_POWER).target_json is None


def test_another_client_gets_no_target():
    assert said_to_another(WITH_POWER).target_json is None


@pytest.mark.parametrize("other", [with_minutes(WITH_POWER, 40, Rules()), on_foot(WITH_POWER, Rules())])
def test_an_easy_outing_in_its_place_has_no_target(other):
    assert other.target_json is None


def test_fewer_rounds_at_five_percent_less_lower_the_figure_instead_of_saying_so():
    fewer = with_rounds(WITH_POWER, 2, target_off=0.05)

    assert target_from_json(fewer.target_json).value == pytest.approx(247)
    assert fewer.purpose == WITH_POWER.purpose
    assert "Aim 5 %" in with_rounds(make.planned_hard(), 2, target_off=0.05).purpose


def test_fewer_rounds_of_a_ladder_keep_the_gentlest():
    ladder = make.planned_hard(mode=Mode.RUN, target_json=target_to_json(LADDER))

    assert target_from_json(with_rounds(ladder, 2).target_json).rounds == (309.0, 300.0)


def test_a_heart_rate_target_vanishes_where_heart_rate_is_not_reliable_and_power_stays():
    by_rate = make.planned_hard(target_json=target_to_json(HEART))

    assert session_by_effort(by_rate).target_json is None
    assert session_by_effort(WITH_POWER).target_json == WITH_POWER.target_json
    assert session_by_effort(make.planned_hard(target_json="{}")).target_json is None


def test_uphill_takes_a_pace_away_and_leaves_power():
    assert uphill_target(target_to_json(LADDER)) is None
    assert uphill_target(target_to_json(POWER)) == target_to_json(POWER)


def test_words_cannot_say_a_target():
    assert typed_of(WITH_POWER) is None


def test_a_new_target_is_told_with_its_figure_and_the_one_before():
    ahead = make.TODAY + timedelta(days=1)
    before = make.planned_hard(planned_on=ahead, published_at=make.at(make.TODAY - timedelta(days=3)))
    now = replace(
        before, version=2, target_json=target_to_json(POWER), published_at=make.at(make.TODAY - timedelta(days=1))
    )
    until = ahead + timedelta(days=3)

    (told,) = told_changes([(before, now)], today=make.TODAY, until=until, zone="Europe/Berlin")
    (gone,) = told_changes(
        [(now, replace(before, version=3, published_at=make.at(make.TODAY)))],
        today=make.TODAY,
        until=until,
        zone="Europe/Berlin",
    )

    said = "Tue 6 Oct, Rounds, 57 min: a new target, 260 W. It was: no target, by effort and talk."
    assert told.words == said
    assert gone.words.endswith("no target any more, by effort and talk. It was: with a target.")


def test_in_the_warm_months_a_target_ahead_says_what_heat_makes_of_it():
    assert aim_ahead(WITH_POWER) == "260 W"
    assert aim_ahead(replace(WITH_POWER, planned_on=date(2026, 7, 6))) == "260 W; in heat by effort only"
    assert aim_ahead(make.planned_hard(planned_on=date(2026, 7, 6))) == ""


def test_what_was_before_names_only_what_was_something_else():
    before = replace(WITH_POWER, title="Rounds", place="the quarry road")
    raised = replace(POWER, value=267.0, low=None, high=None)

    assert was_words(replace(before, target_json=target_to_json(raised)), before) == "260 W"
    assert (
        was_words(replace(before, target_json=target_to_json(raised)), before, tells_figures=False)
        == "another target"
    )
    assert was_words(replace(before, target_json=None), before) == "with a target"
    assert was_words(replace(before, place=None), before) == "the quarry road"
    assert was_words(replace(before, minutes=40), before) == "Rounds, 57 min"
    assert was_words(replace(before, steps_json="[]"), before) == "the same with other steps"
