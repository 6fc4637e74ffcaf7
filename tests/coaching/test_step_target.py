"""Writing the next step into a session with a target of its own: it stays or goes, and that is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

from app.coaching.executed import Executed
from app.coaching.execution_values import CountsAs
from app.coaching.next_step import next_step
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.step_target import with_own_target
from tests.coaching.test_next_step import went
from tests.coaching.test_session_target import POWER

OWN = replace(POWER, value=253.0, low=243.0, high=254.0)
BY_WORDS = SessionTarget(TargetForm.EFFORT, None, None, None, (), None, "effort and talk", POWER.why)


def _two_good(target: SessionTarget | None) -> list[Executed]:
    return [replace(went(CountsAs.GOOD, n, target=target), on=went(CountsAs.GOOD).on + timedelta(n)) for n in (0, 7)]


def test_longer_rounds_keep_the_sessions_own_target_where_none_was_given_before():
    step = with_own_target(next_step(_two_good(None)), OWN)

    assert step.asks is not None
    assert (step.asks.work_s, step.asks.target) == (300, OWN)
    assert "at the old target" in step.sentence
    assert "by effort" not in step.sentence
    assert step.sentence.endswith("Its own target stays: 253 W.")


def test_rounds_steered_by_words_keep_it_too():
    step = with_own_target(next_step(_two_good(BY_WORDS)), OWN)

    assert step.asks is not None
    assert step.asks.target == OWN


def test_a_step_with_a_figure_says_what_it_takes_the_place_of():
    step = with_own_target(next_step(_two_good(POWER)), OWN)

    assert step.asks is not None
    # 260 W and one step of 2.5 %.
    assert step.asks.target is not None
    assert step.asks.target.value == 266
    assert step.sentence.endswith("In the planned session 266 W takes the place of 253 W.")


def test_an_easier_step_takes_a_figure_out_and_says_so():
    step = with_own_target(next_step([went(CountsAs.BAD)]), OWN)

    assert step.asks is not None
    assert step.asks.target is None
    assert step.sentence.endswith("Its own target, 253 W, is taken out: the rounds before were steered by effort.")


def test_nothing_is_said_where_nothing_is_lost():
    longer, again = next_step(_two_good(None)), next_step([went(CountsAs.GOOD, target=OWN)])

    assert with_own_target(longer, None) == longer
    assert with_own_target(longer, BY_WORDS) == longer
    assert with_own_target(again, OWN) == again
