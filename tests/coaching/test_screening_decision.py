"""The pre-participation decision: the reference's vectors, every combination, and the reading of records."""

from dataclasses import replace
from datetime import date, timedelta
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.asked_afresh import questions_stop
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_decision import (
    ClearanceFacts,
    Outcome,
    ScreeningInputs,
    Standing,
    Stopped,
    covers,
    decide,
    screen,
    screening_due,
    screening_of,
)
from app.coaching.screening_table import clearance_facts
from tests.factories import TODAY, answers, at, base_weeks, clearance, client, decision, history, hold, log, symptom

YES, NO, UNKNOWN = YesNo.YES, YesNo.NO, YesNo.UNKNOWN
LM, V = Intensity.LIGHT_MODERATE, Intensity.VIGOROUS
RULES = Rules()

EVERY_PAPER = [
    ClearanceFacts(standing, scope, is_after)
    for standing, scope, is_after in product(Standing, (None, LM, V), (False, True))
]
EVERY_INPUT = [
    ScreeningInputs(active, symptoms, disease, wanted, paper, transition_done)
    for active, symptoms, disease, wanted, paper, transition_done in product(
        YesNo, YesNo, YesNo, Intensity, EVERY_PAPER, (False, True)
    )
]


def _paper(scope: Intensity, days_ago: int, symptom_on: date | None = None) -> ClearanceFacts:
    return clearance_facts(
        state=ClearanceState.GRANTED,
        scope=scope,
        given_on=TODAY - timedelta(days=days_ago),
        ends_on=None,
        symptom_on=symptom_on,
        is_new_since=False,
        today=TODAY,
        rules=RULES,
    )


NONE = ClearanceFacts()
BEFORE_SYMPTOM = _paper(V, 100, TODAY - timedelta(days=3))


# Riebe et al. 2015 (published, second-hand) with the house rows: the reference's own test vectors.
@pytest.mark.parametrize(
    ("inputs", "outcome", "stops"),
    [
        (ScreeningInputs(NO, NO, NO, V, NONE), Outcome.DEFER, Stopped.VIGOROUS),
        (ScreeningInputs(NO, NO, YES, LM, NONE), Outcome.HOLD, Stopped.ALL),
        (ScreeningInputs(NO, NO, YES, LM, _paper(LM, 364)), Outcome.OK, Stopped.NOTHING),
        (ScreeningInputs(NO, NO, YES, LM, _paper(LM, 366)), Outcome.HOLD, Stopped.ALL),
        (ScreeningInputs(YES, NO, YES, LM, NONE), Outcome.OK, Stopped.NOTHING),
        (ScreeningInputs(YES, NO, YES, V, _paper(LM, 1)), Outcome.HOLD, Stopped.VIGOROUS),
        (ScreeningInputs(YES, YES, YES, V, BEFORE_SYMPTOM), Outcome.STOP, Stopped.ALL),
        (ScreeningInputs(YES, YES, NO, LM, NONE), Outcome.STOP, Stopped.ALL),
        (ScreeningInputs(UNKNOWN, NO, NO, V, NONE), Outcome.DEFER, Stopped.VIGOROUS),
        (ScreeningInputs(YES, UNKNOWN, NO, LM, NONE), Outcome.HOLD, Stopped.BEYOND_LIGHT),
        (ScreeningInputs(YES, NO, UNKNOWN, V, NONE), Outcome.HOLD, Stopped.VIGOROUS),
    ],
)
def test_reference_vectors(inputs, outcome, stops):
    found = screen(inputs)

    assert (found.outcome, found.stops) == (outcome, stops)


@pytest.mark.parametrize(
    ("inputs", "branch"),
    [
        (ScreeningInputs(NO, NO, NO, LM, NONE), 1),
        (ScreeningInputs(NO, NO, NO, V, NONE), 2),
        (ScreeningInputs(NO, NO, YES, LM, NONE), 3),
        (ScreeningInputs(NO, NO, YES, V, NONE), 4),
        (ScreeningInputs(NO, YES, UNKNOWN, LM, NONE), 5),
        (ScreeningInputs(NO, YES, NO, V, NONE), 6),
        (ScreeningInputs(YES, NO, NO, LM, NONE), 7),
        (ScreeningInputs(YES, NO, NO, V, NONE), 8),
        (ScreeningInputs(YES, NO, YES, LM, NONE), 9),
        (ScreeningInputs(YES, NO, YES, V, NONE), 10),
        (ScreeningInputs(YES, YES, NO, LM, NONE), 11),
        (ScreeningInputs(YES, YES, UNKNOWN, V, NONE), 12),
        (ScreeningInputs(UNKNOWN, NO, NO, LM, NONE), 13),
        (ScreeningInputs(YES, UNKNOWN, YES, LM, NONE), 14),
        (ScreeningInputs(NO, NO, UNKNOWN, LM, NONE), 15),
        (ScreeningInputs(YES, NO, NO, LM, ClearanceFacts(Standing.REFUSED)), 16),
        (ScreeningInputs(YES, NO, NO, V, ClearanceFacts(Standing.GRANTED, LM)), 17),
        (ScreeningInputs(YES, NO, NO, V, ClearanceFacts(Standing.EXPIRED, V)), 18),
    ],
)
def test_every_row_of_the_table_can_fire(inputs, branch):
    assert screen(inputs).branch == branch


def test_no_combination_leads_from_a_symptom_to_ok_without_a_later_covering_clearance():
    wrong = [
        one
        for one in EVERY_INPUT
        if one.symptoms is YES
        and screen(one).is_ok
        and not (covers(one.clearance, one.wanted) and one.clearance.is_after_symptom)
    ]

    assert wrong == []


def test_some_combination_leads_from_a_symptom_to_ok_with_one():
    assert any(one.symptoms is YES and screen(one).is_ok for one in EVERY_INPUT)


def test_unknown_never_does_better_than_the_careful_answer():
    """Unknown symptoms are never OK, and unknown activity or disease never beats inactive or present."""
    order = [Outcome.OK, Outcome.DEFER, Outcome.HOLD, Outcome.STOP]
    wrong = [
        one
        for one in EVERY_INPUT
        if (one.symptoms is UNKNOWN and screen(one).is_ok)
        or (one.disease is UNKNOWN and _with(one, disease=YES, order=order) > order.index(screen(one).outcome))
        or (one.active is UNKNOWN and _with(one, active=NO, order=order) > order.index(screen(one).outcome))
    ]

    assert wrong == []


def _with(inputs: ScreeningInputs, *, order: list[Outcome], **changes: YesNo) -> int:
    given_ = {name: getattr(inputs, name) for name in ScreeningInputs.__slots__} | changes
    return order.index(screen(ScreeningInputs(**given_)).outcome)


def test_refused_is_never_anything_but_a_full_pause():
    refused = [screen(one) for one in EVERY_INPUT if one.clearance.standing is Standing.REFUSED]

    assert {(one.outcome, one.stops) for one in refused} == {
        (Outcome.HOLD, Stopped.ALL),
        (Outcome.STOP, Stopped.ALL),
    }


def test_disease_and_vigorous_never_ok_without_vigorous_paper():
    wrong = [
        one
        for one in EVERY_INPUT
        if one.disease is not NO and one.wanted is V and screen(one).is_ok and not covers(one.clearance, V)
    ]

    assert wrong == []


def test_inactive_and_vigorous_never_ok_before_the_transition():
    wrong = [
        one
        for one in EVERY_INPUT
        if one.active is not YES and one.wanted is V and not one.transition_done and screen(one).is_ok
    ]

    assert wrong == []


@given(st.sampled_from(EVERY_INPUT))
def test_vigorous_is_never_easier_to_get_than_light(inputs):
    light = screen(ScreeningInputs(inputs.active, inputs.symptoms, inputs.disease, LM, inputs.clearance))
    vigorous = screen(
        ScreeningInputs(inputs.active, inputs.symptoms, inputs.disease, V, inputs.clearance, inputs.transition_done)
    )

    assert light.is_ok or not vigorous.is_ok


@given(st.integers(min_value=0, max_value=800), st.integers(min_value=-800, max_value=0))
def test_a_paper_covers_at_most_a_year_and_only_after_the_symptom(days_ago, symptom_ago):
    facts = _paper(V, days_ago, TODAY + timedelta(days=symptom_ago))

    assert covers(facts, V) == (days_ago <= 365 and days_ago < -symptom_ago)


def test_a_paper_from_the_future_counts_for_nothing():
    assert _paper(V, -1).standing is Standing.EXPIRED


def test_missing_answers_are_named():
    found = screen(ScreeningInputs(UNKNOWN, UNKNOWN, NO, LM))

    assert found.missing == ("activity", "symptoms")


def test_never_asked_stops_everything_for_a_newcomer():
    found = screening_of(history(), TODAY, RULES)

    assert found.light.stops is Stopped.ALL
    assert found.vigorous.stops is Stopped.ALL


def test_taken_over_and_not_yet_asked_keeps_the_easy_plan():
    taken_over = history(logs=(log(origin=Origin.FILE, done_on=TODAY - timedelta(days=9)),))

    found = screening_of(taken_over, TODAY, RULES)

    assert found.light.stops is Stopped.BEYOND_LIGHT
    assert not found.vigorous.is_ok
    assert "Waiting for questions" in found.vigorous.comes_next


def test_taken_over_with_a_symptom_is_held_like_anybody():
    brought_in = decision(kind=DecisionKind.BROUGHT_IN)

    found = decide(history(decisions=(brought_in,), symptoms=(symptom(),)), LM, TODAY, RULES)

    assert found.stops is Stopped.ALL


def test_a_reported_symptom_stops_whatever_the_answers_say():
    found = decide(history(screening=(answers(),), symptoms=(symptom(),)), LM, TODAY, RULES)

    assert found.outcome is Outcome.STOP


def test_a_later_no_does_not_settle_a_symptom():
    asked = (
        answers(id=1, symptoms=YES, answered_on=TODAY - timedelta(days=9)),
        answers(id=2, symptoms=NO, answered_on=TODAY - timedelta(days=1)),
    )

    assert decide(history(screening=asked), LM, TODAY, RULES).outcome is Outcome.STOP


def _cleared_after_symptom(**paper: object) -> History:
    felt = symptom(felt_on=TODAY - timedelta(days=9))
    return history(screening=(answers(),), symptoms=(felt,), clearances=(clearance(**paper),))


def test_a_paper_after_the_symptom_opens_the_way():
    assert decide(_cleared_after_symptom(), V, TODAY, RULES).is_ok


def test_a_paper_of_the_symptoms_day_does_not():
    same_day = _cleared_after_symptom(given_on=TODAY - timedelta(days=9))

    assert decide(same_day, LM, TODAY, RULES).outcome is Outcome.STOP


@pytest.mark.parametrize(
    "fault", [{"how_seen": "telephone"}, {"signer": None}, {"profession": " "}, {"how_seen": None}, {"scope": None}]
)
def test_a_paper_that_is_not_sound_opens_nothing(fault):
    assert decide(_cleared_after_symptom(**fault), LM, TODAY, RULES).outcome is Outcome.STOP


def test_a_narrower_later_paper_replaces_a_wider_one():
    papers = (
        clearance(id=1, scope=V, given_on=TODAY - timedelta(days=60)),
        clearance(id=2, scope=LM, given_on=TODAY - timedelta(days=5)),
    )

    found = decide(history(screening=(answers(disease=YES),), clearances=papers), V, TODAY, RULES)

    assert (found.branch, found.stops) == (17, Stopped.VIGOROUS)


def test_a_refusal_after_a_grant_suspends_the_plan():
    papers = (
        clearance(id=1, given_on=TODAY - timedelta(days=60)),
        clearance(id=2, state=ClearanceState.REFUSED, given_on=TODAY - timedelta(days=5)),
    )

    assert decide(history(screening=(answers(),), clearances=papers), LM, TODAY, RULES).branch == 16


@pytest.mark.parametrize(
    "news", [{"disease": YES}, {"heart_rate_medicine": YES}, {"details_json": '{"news": "not_sure"}'}]
)
def test_news_after_the_paper_makes_it_expire(news):
    asked = (
        answers(id=1, answered_on=TODAY - timedelta(days=40)),
        answers(id=2, answered_on=TODAY - timedelta(days=2), **news),
    )
    papers = (clearance(given_on=TODAY - timedelta(days=30)),)

    assert decide(history(screening=asked, clearances=papers), V, TODAY, RULES).branch == 18


def test_a_settled_symptom_and_an_old_paper_leave_light_work():
    felt = symptom(felt_on=TODAY - timedelta(days=500))
    old = history(
        screening=(answers(),), symptoms=(felt,), clearances=(clearance(given_on=TODAY - timedelta(days=480)),)
    )

    found = screening_of(old, TODAY, RULES)

    assert found.light.is_ok
    assert (found.vigorous.branch, found.vigorous.stops) == (18, Stopped.VIGOROUS)


def test_twelve_easy_weeks_open_vigorous_for_an_inactive_person():
    asked = (answers(active=NO),)

    assert decide(history(screening=asked, logs=base_weeks(12)), V, TODAY, RULES).is_ok
    assert decide(history(screening=asked, logs=base_weeks(11)), V, TODAY, RULES).outcome is Outcome.DEFER


def test_confirmed_activity_at_intake_needs_no_transition():
    active = client(regularly_active_confirmed_on=TODAY - timedelta(days=30))

    assert decide(history(client=active, screening=(answers(active=NO),)), V, TODAY, RULES).is_ok


@pytest.mark.parametrize(("days_ago", "is_due"), [(84, False), (85, True)])
def test_questions_are_due_again_after_twelve_weeks(days_ago, is_due):
    asked = (answers(answered_on=TODAY - timedelta(days=days_ago)),)

    assert (screening_due(history(screening=asked), TODAY, RULES) is not None) == is_due


def test_the_questions_are_due_again_once_a_symptom_hold_is_lifted():
    felt_on, lifted_at = TODAY - timedelta(days=4), at(TODAY - timedelta(days=1))
    felt = symptom(felt_on=felt_on)
    lifted = hold(kind=HoldKind.SYMPTOM, began_on=felt_on, lifted_at=lifted_at)
    papers = (clearance(given_on=TODAY - timedelta(days=2)),)
    records = history(
        screening=(answers(answered_on=TODAY - timedelta(days=30)),),
        symptoms=(felt,),
        holds=(lifted,),
        clearances=papers,
    )

    due = screening_due(records, TODAY, RULES)
    stop = questions_stop(records, TODAY, RULES)

    assert "Something felt wrong on 1 October 2026" in (due or "")
    assert stop is not None
    assert stop.stops is Stops.HARD


@pytest.mark.parametrize(("answered_days_ago", "is_due"), [(30, True), (4, True), (3, True), (2, False), (0, False)])
def test_only_answers_from_the_papers_day_on_come_after_a_symptom(answered_days_ago, is_due):
    felt_on = TODAY - timedelta(days=4)
    lifted = hold(kind=HoldKind.SYMPTOM, began_on=felt_on, lifted_at=at(TODAY))
    records = history(
        screening=(answers(answered_on=TODAY - timedelta(days=answered_days_ago)),),
        symptoms=(symptom(felt_on=felt_on),),
        holds=(lifted,),
        clearances=(clearance(given_on=TODAY - timedelta(days=2)),),
    )

    assert (screening_due(records, TODAY, RULES) is not None) is is_due


def test_a_symptom_hold_raised_by_hand_asks_the_questions_again_too():
    asked = (answers(answered_on=TODAY - timedelta(days=30)),)
    lifted = hold(kind=HoldKind.SYMPTOM, began_on=TODAY - timedelta(days=4), lifted_at=at(TODAY))

    assert screening_due(history(screening=asked, holds=(lifted,)), TODAY, RULES) is not None
    assert (
        screening_due(history(screening=asked, holds=(replace(lifted, kind=HoldKind.COACH),)), TODAY, RULES) is None
    )


def test_while_a_symptom_hold_is_open_the_questions_wait_for_the_paper():
    felt_on = TODAY - timedelta(days=4)
    records = history(
        screening=(answers(answered_on=TODAY - timedelta(days=30)),),
        symptoms=(symptom(felt_on=felt_on),),
        holds=(hold(kind=HoldKind.SYMPTOM, began_on=felt_on),),
    )

    assert screening_due(records, TODAY, RULES) is None
