"""The screening decision read from records: newest answers and paper, settled symptoms, news, and what is due."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from app.coaching.asked_afresh import questions_stop
from app.coaching.facts import facts_of
from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_decision import (
    OUTCOME_WORDS,
    Decision,
    Outcome,
    Standing,
    Stopped,
    asked_after_symptom,
    asked_before_test,
    decide,
    diabetes_alternative_applies,
    inputs_from,
    is_news_since,
    is_taken_over,
    newest_answers,
    newest_paper,
    screening_due,
    screening_of,
    waits_by_stricter_diabetes_rule,
)
from tests.factories import (
    TODAY,
    answers,
    at,
    base_weeks,
    clearance,
    client,
    decision,
    history,
    hold,
    log,
    planned,
    planned_hard,
    symptom,
    told_away,
)

RULES, CHOSEN = Rules(), Rules(diabetes_alternative=1)
YES, NO, UNKNOWN = YesNo.YES, YesNo.NO, YesNo.UNKNOWN
LM, V = Intensity.LIGHT_MODERATE, Intensity.VIGOROUS
REFUSED, REQUESTED = ClearanceState.REFUSED, ClearanceState.REQUESTED


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def inputs(wanted: Intensity = V, rules: Rules = RULES, **records):
    return inputs_from(history(**records), wanted, TODAY, rules)


def test_each_outcome_can_be_said() -> None:
    assert set(OUTCOME_WORDS) == set(Outcome)


# Which answers and which paper count.


def test_the_newest_answers_are_those_of_the_latest_day_then_the_latest_entered() -> None:
    old, new, same_day = (
        answers(id=9, answered_on=ago(4)),
        answers(id=2, answered_on=ago(3)),
        answers(id=3, answered_on=ago(3)),
    )

    assert newest_answers(history()) is None
    assert newest_answers(history(screening=(old, new))) == newest_answers(history(screening=(new, old))) == new
    assert newest_answers(history(screening=(same_day, new, old))) == same_day
    assert newest_answers(history(screening=(new, same_day, old))) == same_day


@pytest.mark.parametrize(
    ("papers", "counts"),
    [
        ((), None),
        ((clearance(state=REQUESTED, given_on=None),), None),
        ((clearance(how_seen="telephone"),), None),
        ((clearance(signer=None),), None),
        ((clearance(id=1), clearance(id=2, how_seen="telephone", given_on=ago(1))), 1),
        ((clearance(id=1), clearance(id=2, given_on=ago(1), scope=LM)), 2),
        ((clearance(id=2, given_on=ago(1), scope=LM), clearance(id=1)), 2),
        ((clearance(id=1), clearance(id=2, given_on=ago(1), state=REFUSED)), 2),
        ((clearance(id=1, state=REFUSED, given_on=ago(9)), clearance(id=2)), 2),
        ((clearance(id=1, state=REFUSED, signer=None, how_seen=None),), 1),
    ],
)
def test_the_clinicians_last_sound_word_counts(papers: tuple, counts: int | None) -> None:
    found = newest_paper(history(clearances=papers), TODAY)

    assert (None if found is None else found.id) == counts


# What the table is given.


def test_the_answers_are_handed_on_and_unknown_without_any() -> None:
    given = answers(active=NO, disease=YES, symptoms=UNKNOWN)
    found, none = inputs(screening=(given,)), inputs()

    assert (found.active, found.disease, found.symptoms, found.wanted) == (NO, YES, UNKNOWN, V)
    assert (none.active, none.disease, none.symptoms) == (UNKNOWN, UNKNOWN, UNKNOWN)
    assert inputs(LM).wanted is LM


@pytest.mark.parametrize(
    ("papers", "standing"),
    [
        ((), Standing.NONE),
        ((clearance(state=REQUESTED, given_on=None),), Standing.REQUESTED),
        ((clearance(how_seen="telephone"),), Standing.REQUESTED),
        ((clearance(),), Standing.GRANTED),
        ((clearance(given_on=ago(365)),), Standing.GRANTED),
        ((clearance(given_on=ago(366)),), Standing.EXPIRED),
        ((clearance(ends_on=TODAY),), Standing.GRANTED),
        ((clearance(ends_on=ago(1)),), Standing.EXPIRED),
        ((clearance(state=REFUSED),), Standing.REFUSED),
    ],
)
def test_the_paper_is_handed_on_as_it_stands_today(papers: tuple, standing: Standing) -> None:
    found = inputs(screening=(answers(),), clearances=papers).clearance

    assert found.standing is standing


def test_the_papers_scope_and_its_order_with_a_symptom_are_handed_on() -> None:
    found = inputs(symptoms=(symptom(felt_on=ago(9)),), clearances=(clearance(scope=LM),)).clearance

    assert (found.scope, found.is_after_symptom) == (LM, True)
    assert not inputs(symptoms=(symptom(felt_on=ago(5)),), clearances=(clearance(),)).clearance.is_after_symptom


@pytest.mark.parametrize(("weeks", "is_done"), [(11, False), (12, True)])
def test_the_transition_is_read_from_the_log(weeks: int, is_done: bool) -> None:
    assert inputs(logs=base_weeks(weeks)).transition_done is is_done


def test_facts_that_are_known_are_used() -> None:
    done = facts_of(history(logs=base_weeks(12)), TODAY, RULES)

    assert inputs_from(history(), V, TODAY, RULES, facts=done).transition_done
    assert decide(history(screening=(answers(active=NO),)), V, TODAY, RULES, facts=done).is_ok


def test_both_wishes_are_decided() -> None:
    found = screening_of(history(screening=(answers(active=NO),)), TODAY, RULES)

    assert (found.light.wanted, found.light.outcome) == (LM, Outcome.OK)
    assert (found.vigorous.wanted, found.vigorous.outcome) == (V, Outcome.DEFER)


# A symptom is settled by a later paper together with later answers that say no (house choice).
@pytest.mark.parametrize(
    ("records", "symptoms"),
    [
        ({"screening": (answers(),)}, NO),
        ({"screening": (answers(symptoms=YES),)}, YES),
        ({"symptoms": (symptom(),)}, YES),
        ({"symptoms": (symptom(family=Family.B),)}, UNKNOWN),
        ({"symptoms": (symptom(family=Family.C),), "screening": (answers(),)}, NO),
        ({"symptoms": (symptom(felt_on=ago(50)),), "screening": (answers(),)}, YES),
        ({"symptoms": (symptom(felt_on=ago(50)),), "clearances": (clearance(given_on=ago(49)),)}, YES),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(49)),),
                "screening": (answers(answered_on=ago(49)),),
            },
            NO,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(49)),),
                "screening": (answers(answered_on=ago(50)),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(50)),),
                "screening": (answers(),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(49), how_seen="telephone"),),
                "screening": (answers(),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(49), state=REFUSED),),
                "screening": (answers(),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(given_on=ago(49)),),
                "screening": (answers(symptoms=UNKNOWN),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)), symptom(id=2, felt_on=ago(20))),
                "clearances": (clearance(given_on=ago(30)),),
                "screening": (answers(),),
            },
            YES,
        ),
        (
            {
                "symptoms": (symptom(felt_on=ago(50)),),
                "clearances": (clearance(id=1, given_on=ago(9)), clearance(id=2, given_on=ago(40))),
                "screening": (answers(answered_on=ago(20)),),
            },
            NO,
        ),
        (
            {
                "screening": (
                    answers(id=1, answered_on=ago(60), symptoms=YES),
                    answers(id=2, answered_on=ago(10)),
                ),
                "clearances": (clearance(given_on=ago(40)),),
            },
            NO,
        ),
        ({"screening": (answers(id=1, answered_on=ago(60), symptoms=YES), answers(id=2, answered_on=ago(10)))}, YES),
    ],
)
def test_a_symptom_stands_until_a_paper_and_answers_after_it(records: dict, symptoms: YesNo) -> None:
    assert inputs(**records).symptoms is symptoms


# News ends a paper: a new symptom, diagnosis, heart medicine or hospital stay (reference 1.4, row 18).
BEFORE = answers(id=1, answered_on=ago(40))


def after(**changes):
    return answers(**({"id": 2, "answered_on": ago(10)} | changes))


@pytest.mark.parametrize(
    ("records", "is_news"),
    [
        ({}, False),
        ({"screening": (BEFORE, after())}, False),
        ({"screening": (BEFORE, after(symptoms=YES))}, True),
        ({"screening": (BEFORE, after(symptoms=UNKNOWN))}, False),
        ({"screening": (BEFORE, after(disease=YES))}, True),
        ({"screening": (BEFORE, after(disease=UNKNOWN))}, False),
        ({"screening": (BEFORE, after(heart_rate_medicine=YES))}, True),
        ({"screening": (BEFORE, after(details_json='{"news": "yes"}'))}, True),
        ({"screening": (BEFORE, after(details_json='{"news": "not_sure"}'))}, True),
        ({"screening": (BEFORE, after(details_json='{"news": "no"}'))}, False),
        ({"screening": (after(details_json='{"news": "yes"}'),)}, True),
        ({"screening": (after(disease=YES),)}, False),
        ({"screening": (answers(id=1, answered_on=ago(40), disease=YES), after(disease=YES))}, False),
        ({"screening": (answers(id=1, answered_on=ago(40), disease=UNKNOWN), after(disease=YES))}, False),
        (
            {
                "screening": (
                    answers(id=1, answered_on=ago(40), heart_rate_medicine=YES),
                    after(heart_rate_medicine=YES),
                )
            },
            False,
        ),
        ({"screening": (BEFORE, after(answered_on=ago(30), disease=YES))}, False),
        ({"screening": (BEFORE, after(answered_on=ago(30), details_json='{"news": "yes"}'))}, False),
        (
            {
                "screening": (
                    answers(id=2, answered_on=ago(40), disease=YES),
                    answers(id=3, answered_on=ago(40)),
                    after(id=4, disease=YES),
                )
            },
            True,
        ),
        ({"screening": (BEFORE, after(answered_on=ago(29), disease=YES))}, True),
        ({"screening": (answers(id=1, answered_on=ago(30)), after(disease=YES))}, True),
        ({"screening": (answers(id=1, answered_on=ago(50), disease=YES), after(id=3, disease=YES))}, False),
        (
            {
                "screening": (
                    answers(id=1, answered_on=ago(50), disease=YES),
                    answers(id=2, answered_on=ago(40)),
                    after(id=3, disease=YES),
                )
            },
            True,
        ),
        (
            {
                "screening": (
                    answers(id=3, answered_on=ago(50), disease=YES),
                    answers(id=2, answered_on=ago(40)),
                    after(id=4, disease=YES),
                )
            },
            True,
        ),
        (
            {
                "screening": (
                    answers(id=3, answered_on=ago(40)),
                    answers(id=2, answered_on=ago(40), disease=YES),
                    after(id=4, disease=YES),
                )
            },
            True,
        ),
        ({"screening": (BEFORE, after(id=2, disease=YES), after(id=3, answered_on=ago(5)))}, True),
        ({"symptoms": (symptom(felt_on=ago(31)),)}, False),
        ({"symptoms": (symptom(felt_on=ago(30)),)}, True),
        ({"symptoms": (symptom(felt_on=ago(1)),)}, True),
        ({"symptoms": (symptom(felt_on=ago(1), family=Family.B),)}, False),
    ],
)
def test_news_since_a_day_thirty_days_ago(records: dict, is_news: bool) -> None:
    assert is_news_since(history(**records), ago(30)) is is_news


def test_news_after_the_paper_reach_the_table() -> None:
    records = {"screening": (BEFORE, after(disease=YES)), "clearances": (clearance(given_on=ago(30)),)}

    assert inputs(**records).clearance.standing is Standing.EXPIRED


# Due at intake, after a symptom, every twelve weeks, after a gap of two weeks (house choice).
LIFTED = hold(began_on=ago(20), lifted_at=at(ago(10)))


@pytest.mark.parametrize(
    ("records", "felt"),
    [
        ({"screening": (answers(),)}, None),
        ({"symptoms": (symptom(felt_on=ago(20)),)}, None),
        ({"screening": (answers(answered_on=ago(20)),), "symptoms": (symptom(felt_on=ago(20)),)}, 20),
        ({"screening": (answers(answered_on=ago(19)),), "symptoms": (symptom(felt_on=ago(20)),)}, None),
        (
            {"screening": (answers(answered_on=ago(21)),), "symptoms": (symptom(felt_on=ago(20), family=Family.B),)},
            None,
        ),
        ({"screening": (answers(answered_on=ago(20)),), "holds": (LIFTED,)}, 20),
        ({"screening": (answers(answered_on=ago(19)),), "holds": (LIFTED,)}, None),
        (
            {
                "screening": (answers(answered_on=ago(12)),),
                "holds": (LIFTED,),
                "clearances": (clearance(given_on=ago(11)),),
            },
            20,
        ),
        (
            {
                "screening": (answers(answered_on=ago(11)),),
                "holds": (LIFTED,),
                "clearances": (clearance(given_on=ago(11)),),
            },
            None,
        ),
        ({"screening": (answers(answered_on=ago(30)),), "holds": (hold(began_on=ago(20)),)}, None),
        (
            {
                "screening": (answers(answered_on=ago(30)),),
                "holds": (LIFTED, hold(id=2, began_on=ago(3))),
            },
            None,
        ),
        (
            {
                "screening": (answers(answered_on=ago(30)),),
                "holds": (LIFTED, hold(id=2, kind=HoldKind.COACH, stops=Stops.HARD, began_on=ago(3))),
            },
            20,
        ),
        (
            {
                "screening": (answers(answered_on=ago(19)),),
                "holds": (LIFTED,),
                "symptoms": (symptom(felt_on=ago(15)),),
            },
            15,
        ),
    ],
)
def test_the_questions_come_again_after_a_symptom(records: dict, felt: int | None) -> None:
    assert asked_after_symptom(history(**records), TODAY) == (None if felt is None else ago(felt))


def test_why_the_questions_are_due_is_said() -> None:
    gap = base_weeks(6, before=ago(21))
    felt = {"holds": (LIFTED,), "screening": (answers(answered_on=ago(25)),)}

    assert screening_due(history(), TODAY, RULES) == "The screening questions were never answered."
    assert screening_due(history(screening=(answers(answered_on=ago(84)),)), TODAY, RULES) is None
    assert screening_due(history(screening=(answers(answered_on=ago(85)),)), TODAY, RULES) == (
        "The symptom questions were last answered 85 days ago; the limit is 84."
    )
    assert screening_due(history(**felt), TODAY, RULES) == (
        "Something felt wrong on 15 September 2026, after the last answers: the questions are asked again."
    )
    assert screening_due(history(logs=gap, screening=(answers(answered_on=ago(20)),)), TODAY, RULES) == (
        "After 23 days without an outing the questions are asked again."
    )


@pytest.mark.parametrize(("answered", "is_due"), [(10, True), (9, False)])
def test_after_two_weeks_off_the_questions_asked_since_count(answered: int, is_due: bool) -> None:
    # The last outing lies 23 days back: two weeks of it were over nine days ago.
    known = history(logs=base_weeks(6, before=ago(21)), screening=(answers(answered_on=ago(answered)),))

    assert (screening_due(known, TODAY, RULES) is not None) is is_due


@pytest.mark.parametrize(("answered", "is_due"), [(14, True), (13, False)])
def test_after_a_long_gap_only_answers_of_the_two_weeks_up_to_the_return_count(answered: int, is_due: bool) -> None:
    # Nothing is logged for two months and more, and today's outing ends it.
    logs = (*base_weeks(6, before=ago(60)), log(id=900, done_on=TODAY))
    known = history(logs=logs, screening=(answers(answered_on=ago(answered)),))

    assert (screening_due(known, TODAY, RULES) is not None) is is_due


@pytest.mark.parametrize(("answered", "is_due"), [(9, True), (8, False)])
def test_two_weeks_off_that_were_told_ask_again_whatever_is_logged(answered: int, is_due: bool) -> None:
    # Off from 21 days ago to the day before yesterday: the fourteenth day off was eight days ago.
    told = told_away(from_on=ago(21), until_on=ago(2))
    known = history(logs=base_weeks(9), told_away=(told,), screening=(answers(answered_on=ago(answered)),))

    said = "After 20 days off, as told, the questions are asked again."
    assert screening_due(known, TODAY, RULES) == (said if is_due else None)


# Taken over from elsewhere and not asked yet: easy work goes on (the practice's one list).


@pytest.mark.parametrize(
    ("records", "came_along"),
    [
        ({}, False),
        ({"decisions": (decision(kind=DecisionKind.BROUGHT_IN),)}, True),
        ({"decisions": (decision(),)}, False),
        ({"decisions": (decision(), decision(id=2, kind=DecisionKind.BROUGHT_IN))}, True),
        ({"logs": (log(origin=Origin.FILE),)}, True),
        ({"logs": (log(),)}, False),
        ({"logs": (log(), log(id=2, origin=Origin.FILE))}, True),
    ],
)
def test_who_was_taken_over_is_known_by_decision_or_by_file(records: dict, came_along: bool) -> None:
    assert is_taken_over(history(**records)) is came_along


CAME_ALONG = {"logs": (log(origin=Origin.FILE),)}


@pytest.mark.parametrize("wanted", [LM, V])
def test_who_was_taken_over_waits_for_the_questions(wanted: Intensity) -> None:
    assert decide(history(**CAME_ALONG), wanted, TODAY, RULES) == Decision(
        wanted=wanted,
        outcome=Outcome.HOLD,
        stops=Stopped.BEYOND_LIGHT,
        branch=14,
        missing=("activity", "symptoms", "disease"),
        comes_next="Waiting for questions: easy work goes on, hard work waits until they are answered.",
    )


@pytest.mark.parametrize(
    ("records", "stops", "row"),
    [
        ({**CAME_ALONG, "screening": (answers(active=NO, disease=YES),)}, Stopped.ALL, 3),
        ({**CAME_ALONG, "screening": (answers(symptoms=UNKNOWN, active=NO, disease=YES),)}, Stopped.ALL, 3),
        ({**CAME_ALONG, "screening": (answers(symptoms=UNKNOWN, active=NO, disease=UNKNOWN),)}, Stopped.ALL, 15),
        ({**CAME_ALONG, "clearances": (clearance(state=REFUSED),)}, Stopped.ALL, 16),
        ({**CAME_ALONG, "symptoms": (symptom(),)}, Stopped.ALL, 5),
        ({}, Stopped.ALL, 15),
    ],
)
def test_the_table_decides_for_everybody_else(records: dict, stops: Stopped, row: int) -> None:
    found = decide(history(**records), LM, TODAY, RULES)

    assert (found.stops, found.branch) == (stops, row)


# The other published reading of diabetes alone (Colberg 2017, published, read), chosen by the practice.
DIABETES = answers(
    active=NO, disease=YES, details_json=json.dumps({"heart": "no", "kidney": "no", "diabetes": "yes"})
)
HEART_TOO = answers(
    active=NO, disease=YES, details_json=json.dumps({"heart": "yes", "kidney": "no", "diabetes": "yes"})
)


@pytest.mark.parametrize(
    ("said", "rules", "applies", "waits"),
    [
        (DIABETES, RULES, False, True),
        (DIABETES, CHOSEN, True, False),
        (HEART_TOO, RULES, False, False),
        (HEART_TOO, CHOSEN, False, False),
        (None, RULES, False, False),
        (None, CHOSEN, False, False),
    ],
)
def test_diabetes_alone_by_the_practices_choice(said, rules: Rules, applies: bool, waits: bool) -> None:
    known = history(screening=() if said is None else (said,), client=client())

    assert diabetes_alternative_applies(known, TODAY, rules) is applies
    assert waits_by_stricter_diabetes_rule(known, TODAY, rules) is waits
    assert inputs_from(known, LM, TODAY, rules).diabetes_alone_may_begin is applies


def hard_test(day: date, **changes: object):
    return planned_hard(**({"kind": SessionKind.TEST, "planned_on": day} | changes))


# Before a test the questions are as fresh as before a promotion: at most thirty days old on its day.
@pytest.mark.parametrize(
    ("answered", "in_days", "changes", "is_due"),
    [
        (24, 7, {}, True),
        (23, 7, {}, False),
        (60, 8, {}, False),
        (31, 0, {}, True),
        (30, 0, {}, False),
        (60, -1, {}, False),
        (60, 3, {"is_cancelled": True}, False),
        (60, 3, {"kind": SessionKind.INTERVALS}, False),
        (60, 3, {"is_hard": False, "hard_minutes": 0, "steps_json": "[]"}, True),
    ],
    ids=["31 days", "30 days", "far ahead", "today", "today, fresh", "past", "cancelled", "no test", "no steps"],
)
def test_before_a_test_the_questions_come_again(answered: int, in_days: int, changes: dict, is_due: bool) -> None:
    known = history(screening=(answers(answered_on=ago(answered)),), planned=(hard_test(ago(-in_days), **changes),))

    assert (screening_due(known, TODAY, RULES) is not None) is is_due


def test_the_easy_loop_asks_for_nothing() -> None:
    loop = planned(kind=SessionKind.TEST, planned_on=ago(-2))

    assert screening_due(history(screening=(answers(answered_on=ago(60)),), planned=(loop,)), TODAY, RULES) is None


def test_the_soonest_test_is_named_and_nobody_is_asked_who_never_answered() -> None:
    soon, later = hard_test(ago(-2), id=1), hard_test(ago(-6), id=2)
    asked = {"screening": (answers(answered_on=ago(60)),), "planned": (later, soon)}

    assert asked_before_test(history(**asked), TODAY, RULES, days_ahead=7) == (
        "A test stands on 7 October 2026; the questions come again before it, at most 30 days earlier."
    )
    assert asked_before_test(history(planned=(soon,)), TODAY, RULES, days_ahead=7) is None


def test_hard_work_waits_for_the_answers_on_the_day_of_the_test_only() -> None:
    old = (answers(answered_on=ago(60)),)
    today, tomorrow = (history(screening=old, planned=(hard_test(ago(-n)),)) for n in (0, 1))

    assert questions_stop(today, TODAY, RULES) is not None
    assert questions_stop(tomorrow, TODAY, RULES) is None
    assert screening_due(tomorrow, TODAY, RULES) is not None
