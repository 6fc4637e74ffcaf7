"""The other published reading of diabetes alone: off unless chosen, light to moderate only, nothing else loosened."""

from __future__ import annotations

import json
from dataclasses import replace
from itertools import product

import pytest

from app.coaching.leave_to_train import stopped_now
from app.coaching.questions import DISEASE_QUESTIONS, Reply, is_diabetes_alone
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, ScreeningAnswers, YesNo
from app.coaching.screening_decision import (
    decide,
    diabetes_alternative_applies,
    waits_by_stricter_diabetes_rule,
)
from app.coaching.screening_table import (
    BY_DIABETES_ALTERNATIVE,
    ClearanceFacts,
    Outcome,
    ScreeningInputs,
    Standing,
    Stopped,
    screen,
)
from tests import factories as make
from tests.coaching.signal_scenes import calm, on

TODAY = make.TODAY
STRICT, CHOSEN = Rules(), Rules(diabetes_alternative=1)
LIGHT, VIGOROUS = Intensity.LIGHT_MODERATE, Intensity.VIGOROUS
CLEARANCES = tuple(
    ClearanceFacts(standing, scope, is_after)
    for standing, scope, is_after in product(Standing, (None, LIGHT, VIGOROUS), (False, True))
)
EVERY_INPUT = tuple(
    ScreeningInputs(*answers, clearance=paper, transition_done=done, diabetes_alone_may_begin=False)
    for *answers, paper, done in product(YesNo, YesNo, YesNo, Intensity, CLEARANCES, (False, True))
)


def answers(**changes: object) -> ScreeningAnswers:
    """Inactive, no symptoms, diabetes and nothing else."""
    said = {"heart": "no", "kidney": "no", "diabetes": "yes"} | changes.pop("said", {})  # type: ignore[operator]
    given = {"active": YesNo.NO, "disease": YesNo.YES, "details_json": json.dumps(said)}
    return make.answers(**(given | changes))


def light(rules: Rules, **records: object) -> Outcome:
    return decide(calm(**({"screening": (answers(),)} | records)), LIGHT, TODAY, rules).outcome


def test_by_default_the_stricter_table_holds() -> None:
    assert Rules().diabetes_alternative == 0
    assert light(STRICT) is Outcome.HOLD
    assert waits_by_stricter_diabetes_rule(calm(screening=(answers(),)), TODAY, STRICT)


def test_chosen_it_lets_light_work_begin_and_says_by_what() -> None:
    history = calm(screening=(answers(),))
    decision = decide(history, LIGHT, TODAY, CHOSEN)

    assert (decision.outcome, decision.branch, decision.comes_next) == (Outcome.OK, 3, BY_DIABETES_ALTERNATIVE)
    assert diabetes_alternative_applies(history, TODAY, CHOSEN)
    assert not waits_by_stricter_diabetes_rule(history, TODAY, CHOSEN)


def test_it_never_reaches_vigorous_work() -> None:
    history = calm(screening=(answers(),))
    decision = decide(history, VIGOROUS, TODAY, CHOSEN)
    stopped = stopped_now(history, TODAY, CHOSEN)

    assert (decision.outcome, decision.branch, decision.stops) == (Outcome.HOLD, 4, Stopped.VIGOROUS)
    assert (stopped.all_because, bool(stopped.hard_because)) == ((), True)


@pytest.mark.parametrize(
    "changes",
    [
        {"said": {"heart": "yes"}},
        {"said": {"heart": "not_sure"}},
        {"said": {"kidney": "yes"}},
        {"said": {"kidney": None}},
        {"said": {"diabetes": "no", "heart": "yes"}},
        {"heart_rate_medicine": YesNo.YES},
        {"heart_rate_medicine": YesNo.UNKNOWN},
        {"symptoms": YesNo.YES},
        {"symptoms": YesNo.UNKNOWN},
        {"disease": YesNo.UNKNOWN},
        {"details_json": "{}"},
    ],
    ids=str,
)
def test_anything_beside_diabetes_alone_keeps_the_stricter_rule(changes: dict[str, object]) -> None:
    assert light(CHOSEN, screening=(answers(**changes),)) is light(STRICT, screening=(answers(**changes),))
    assert light(CHOSEN, screening=(answers(**changes),)) is not Outcome.OK


def test_a_symptom_or_a_refusal_comes_first() -> None:
    felt = make.symptom(felt_on=on(-1))
    refused = make.clearance(state=ClearanceState.REFUSED, given_on=on(-1), scope=None)

    assert light(CHOSEN, symptoms=(felt,)) is Outcome.HOLD
    assert light(CHOSEN, clearances=(refused,)) is Outcome.HOLD


def test_not_sure_about_diabetes_counts_as_diabetes() -> None:
    assert is_diabetes_alone(answers(said={"diabetes": Reply.NOT_SURE.value}))
    assert {question.key for question in DISEASE_QUESTIONS} == {"heart", "kidney", "diabetes"}


def test_over_all_inputs_it_changes_row_three_alone() -> None:
    pairs = [(one, screen(one), screen(replace(one, diabetes_alone_may_begin=True))) for one in EVERY_INPUT]
    changed = [one for one, strict, chosen in pairs if strict.outcome is not chosen.outcome]

    assert changed
    assert {(one.wanted, one.symptoms, one.disease, one.active is YesNo.YES) for one in changed} == {
        (LIGHT, YesNo.NO, YesNo.YES, False)
    }
    assert {strict.outcome for one, strict, _ in pairs if one in changed} == {Outcome.HOLD}
    assert not any(one.clearance.standing is Standing.REFUSED for one in changed)
