"""What a session says of itself for a client it does not suit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.fitness_tests import Protocol
from app.coaching.lookahead_fit import before_sending, fit_breaches
from app.coaching.lookahead_gathered import gathered
from app.coaching.lookahead_values import Level
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.rules import Rules
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()


def kinds(session, *, phase=Phase.INTERVAL_ONE, born=1985, **records) -> list[str]:
    given = {
        "client": make.client(born_on=date(born, 10, 7)),
        "decisions": (make.decision(kind=DecisionKind.PROMOTE, phase=phase),),
        "screening": (make.answers(),),
        "logs": (make.log(mode=session.mode),),
    }
    found = fit_breaches(make.history(**(given | records)), [session], TODAY, RULES)
    assert {one.level for one in found} <= {Level.SAYS}
    return [one.kind for one in found]


def test_a_session_that_suits_says_nothing() -> None:
    assert kinds(make.planned_hard()) == []


def test_a_run_for_a_swimmer_is_another_way_of_moving() -> None:
    assert kinds(make.planned(mode=Mode.RUN), logs=(make.log(mode=Mode.SWIM),)) == ["way"]
    assert kinds(make.planned(mode=Mode.RUN), logs=()) == []


@pytest.mark.parametrize(("minutes", "said"), [(12.0, []), (16.0, ["keeping"])])
def test_keeping_asks_for_one_short_hard_session(minutes: float, said: list[str]) -> None:
    assert kinds(make.planned_hard(hard_minutes=minutes), phase=Phase.KEEPING) == said


def test_from_60_hard_running_waits_for_a_race_of_5_km() -> None:
    run = make.planned_hard(mode=Mode.RUN)
    race = make.standard_loop(
        protocol=Protocol.FIVE_KM, mode=Mode.RUN, tested_on=TODAY, distance_m=None, duration_s=1500.0
    )

    assert kinds(run, born=1960) == ["running"]
    assert kinds(run, born=1960, tests=(race,)) == []
    assert kinds(make.planned_hard(mode=Mode.WALK), born=1960) == []


def test_questions_that_are_due_are_said_of_hard_work() -> None:
    assert kinds(make.planned_hard(), screening=()) == ["questions"]
    assert kinds(make.planned(), screening=()) == []


def _week_of_runs(*, published: bool):
    runs = [
        replace(
            make.planned(mode=Mode.RUN, minutes=30, planned_on=TODAY + timedelta(days=day)),
            id=100 + day,
            title="Easy run",
            published_at=make.planned().published_at if published else None,
        )
        for day in (1, 3, 5)
    ]
    return runs, make.history(logs=(make.log(mode=Mode.SWIM),), screening=(make.answers(),))


def test_a_week_laid_onto_a_swimmer_says_once_for_all_its_runs_that_they_run_nowhere() -> None:
    runs, swimmer = _week_of_runs(published=False)

    [way] = [one for one in gathered(before_sending(swimmer, runs, TODAY, RULES), 3) if one.kind == "way"]

    assert way.count == 3
    assert way.sentence.endswith("a run, and none stands in their last 12 weeks or plan (swim).")
    assert way.sentence.startswith("3 sessions (")


def test_what_the_client_has_been_given_already_is_no_new_way_of_moving() -> None:
    runs, swimmer = _week_of_runs(published=True)
    given = replace(swimmer, planned=tuple(runs))

    assert "way" not in [one.kind for one in before_sending(given, runs, TODAY, RULES)]


def test_what_is_refused_for_its_questions_is_not_told_of_them_twice() -> None:
    hard = make.planned_hard(planned_on=TODAY + timedelta(days=2))
    unasked = make.history(
        decisions=(make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE),),
        logs=(make.log(mode=hard.mode),),
    )

    found = before_sending(unasked, [hard], TODAY, RULES)

    assert any(one.level is Level.REFUSES for one in found)
    assert "questions" not in [one.kind for one in found]
