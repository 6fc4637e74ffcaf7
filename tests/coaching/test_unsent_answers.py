"""Answers kept and not sent: a sign or a known disease named in them counts as though it had been sent."""

from __future__ import annotations

import json
from datetime import date, timedelta

import pytest

from app.coaching.client_voice import waits_only_for_answers
from app.coaching.history import History
from app.coaching.leave_to_train import stopped_now
from app.coaching.people import Origin
from app.coaching.promotion_safety import safety_conditions
from app.coaching.questions import Reply
from app.coaching.rules import Rules
from app.coaching.screening import Intensity, YesNo
from app.coaching.screening_decision import (
    Outcome,
    Standing,
    Stopped,
    decide,
    denies_signs_and_disease,
    diabetes_alternative_applies,
    inputs_from,
    is_news_since,
    known_disease,
    newly_named_diseases,
)
from app.coaching.signals import signals
from app.coaching.signals_values import Shelf
from app.coaching.unsent_answers import (
    REPLY_WORDS,
    UnsentAnswer,
    counts_unsent,
    named_days,
    named_diseases,
    named_unsent,
)
from tests.factories import TODAY, answers, at, clearance, history, log, planned, unsent

RULES, CHOSEN = Rules(), Rules(diabetes_alternative=1)
YES, NO, UNKNOWN = YesNo.YES, YesNo.NO, YesNo.UNKNOWN
LIGHT, VIGOROUS = Intensity.LIGHT_MODERATE, Intensity.VIGOROUS


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def said(question: str, reply: str = "yes", *, days: int = 0) -> UnsentAnswer:
    return unsent(question=question, answer_json=json.dumps({"reply": reply}), answered_at=at(ago(days), 6))


def inactive(*named: UnsentAnswer, **records: object) -> History:
    return history(**({"screening": (answers(active=NO),), "unsent": named} | records))


@pytest.mark.parametrize(
    ("question", "reply", "is_sign", "is_disease"),
    [
        ("chest", "yes", True, False),
        ("tired", "not_sure", True, False),
        ("chest", "no", False, False),
        ("heart", "yes", False, True),
        ("diabetes", "not_sure", False, True),
        ("kidney", "yes", False, True),
        ("kidney", "no", False, False),
        ("insulin", "yes", False, False),
    ],
)
def test_a_sign_or_a_disease_is_named_by_yes_or_not_sure(question, reply, is_sign, is_disease) -> None:
    one = said(question, reply)

    assert bool(named_unsent((one,))) is is_sign
    assert bool(named_diseases((one,))) is is_disease


def test_the_answers_that_count_are_those_about_signs_and_diseases() -> None:
    keys = ("chest", "murmur", "heart", "kidney", "diabetes", "insulin", "active", "news")

    assert [key for key in keys if counts_unsent(key)] == ["chest", "murmur", "heart", "kidney", "diabetes"]


def test_an_answer_shows_its_question_and_each_reply_has_its_words() -> None:
    assert said("kidney").text == "Do you have a kidney disease?"
    assert said("insulin").text == "insulin"
    assert {Reply.YES: "yes", Reply.NO: "no", Reply.NOT_SURE: "not sure"} == REPLY_WORDS


def test_the_day_of_an_answer_is_the_clients_own() -> None:
    late = unsent(answered_at=at(TODAY, 23))

    assert named_days((late,), "Europe/Berlin") == [TODAY + timedelta(days=1)]


@pytest.mark.parametrize(
    ("named", "known"),
    [
        ((), NO),
        ((said("heart"),), YES),
        ((said("kidney", "not_sure"),), YES),
        ((said("heart", "no"),), NO),
        ((said("chest"),), NO),
    ],
)
def test_a_disease_is_known_as_soon_as_it_is_named(named, known) -> None:
    found = inactive(*named)

    assert known_disease(found) is inputs_from(found, LIGHT, TODAY, RULES).disease is known


def test_without_any_answers_a_disease_is_unknown_until_one_is_named() -> None:
    assert known_disease(history()) is UNKNOWN
    assert known_disease(history(unsent=(said("heart"),))) is YES


@pytest.mark.parametrize(
    ("records", "denies"),
    [
        ({"screening": (answers(),)}, True),
        ({}, False),
        ({"screening": (answers(symptoms=YES),)}, False),
        ({"screening": (answers(symptoms=UNKNOWN),)}, False),
        ({"screening": (answers(disease=YES),)}, False),
        ({"screening": (answers(disease=UNKNOWN),)}, False),
        ({"screening": (answers(),), "unsent": (said("heart"),)}, False),
        ({"screening": (answers(),), "unsent": (said("chest", "not_sure"),)}, False),
        ({"screening": (answers(),), "unsent": (said("chest", "no"), said("heart", "no"))}, True),
    ],
)
def test_signs_and_disease_are_denied_by_sent_answers_and_by_nothing_named_since(records, denies) -> None:
    assert denies_signs_and_disease(history(**records)) is denies


def test_named_it_stops_somebody_inactive_and_the_hard_work_of_somebody_active() -> None:
    stopped = decide(inactive(said("heart")), LIGHT, TODAY, RULES)
    active = history(screening=(answers(active=YES),), unsent=(said("heart"),))

    assert (stopped.outcome, stopped.stops, stopped.branch) == (Outcome.HOLD, Stopped.ALL, 3)
    assert decide(active, LIGHT, TODAY, RULES).outcome is Outcome.OK
    assert decide(active, VIGOROUS, TODAY, RULES).outcome is Outcome.HOLD


def test_somebody_taken_over_keeps_the_easy_plan_only_until_a_disease_is_named() -> None:
    brought = {"logs": (log(origin=Origin.FILE),)}

    assert decide(history(**brought), LIGHT, TODAY, RULES).stops is Stopped.BEYOND_LIGHT
    assert decide(history(**brought, unsent=(said("heart"),)), LIGHT, TODAY, RULES).stops is Stopped.ALL


@pytest.mark.parametrize(
    ("named", "may_begin"),
    [((), True), ((said("diabetes"),), True), ((said("heart"),), False), ((said("diabetes"), said("kidney")), False)],
)
def test_another_disease_named_ends_the_wider_reading_of_diabetes_alone(named, may_begin) -> None:
    details = json.dumps({"heart": "no", "kidney": "no", "diabetes": "yes"})
    found = inactive(*named, screening=(answers(active=NO, disease=YES, details_json=details),))

    assert diabetes_alternative_applies(found, TODAY, CHOSEN) is may_begin


@pytest.mark.parametrize(
    ("had", "named", "is_news"),
    [
        (NO, (), False),
        (NO, (said("heart", days=30),), True),
        (NO, (said("heart", days=31),), False),
        (NO, (said("heart", "no", days=3),), False),
        (YES, (said("heart", days=3),), False),
        (UNKNOWN, (said("heart", days=3),), False),
        (YES, (said("chest", days=30),), True),
        (YES, (said("chest", days=31),), False),
    ],
)
def test_what_is_named_after_a_paper_of_thirty_days_ago_is_news(had, named, is_news) -> None:
    found = history(screening=(answers(answered_on=ago(40), disease=had),), unsent=named)

    assert is_news_since(found, ago(30)) is is_news


def test_a_disease_named_without_answers_from_before_the_paper_is_no_news() -> None:
    assert not is_news_since(history(unsent=(said("heart", days=3),)), ago(30))


def test_a_paper_does_not_cover_a_disease_named_after_it() -> None:
    records = {"screening": (answers(answered_on=ago(40)),), "clearances": (clearance(given_on=ago(30)),)}
    before, after = history(**records), history(**records, unsent=(said("heart", days=3),))

    assert inputs_from(before, VIGOROUS, TODAY, RULES).clearance.standing is Standing.GRANTED
    assert inputs_from(after, VIGOROUS, TODAY, RULES).clearance.standing is Standing.EXPIRED


@pytest.mark.parametrize(
    ("details", "named", "new"),
    [
        ({"heart": "no"}, said("heart"), True),
        ({"heart": "yes"}, said("heart"), False),
        ({"heart": "not_sure"}, said("heart"), False),
        ({"kidney": "yes"}, said("heart"), True),
        ({}, said("heart"), True),
        ({}, said("heart", "no"), False),
    ],
)
def test_a_disease_is_new_where_the_sent_answers_do_not_name_it(details, named, new) -> None:
    found = inactive(named, screening=(answers(details_json=json.dumps(details)),))

    assert bool(newly_named_diseases(found)) is new


def condition(found: History):
    return next(one for one in safety_conditions(found, TODAY, RULES) if one.key == "clearance")


def test_the_condition_of_a_paper_is_open_as_soon_as_a_disease_is_named() -> None:
    assert condition(inactive()).is_met
    assert not condition(inactive(said("heart"))).is_met
    assert not condition(history(unsent=(said("heart"),))).is_met


def line(found: History):
    return next((one for one in signals(found, TODAY, RULES) if one.name == "named_not_sent"), None)


def test_the_morning_says_that_training_or_hard_work_waits() -> None:
    stopped = line(inactive(said("heart"), said("kidney", "not_sure")))
    active = line(history(screening=(answers(active=YES),), unsent=(said("heart"),)))

    assert "Answered not sure in questions not yet sent" in stopped.sentence
    assert "Training waits for a clinician's clearance." in stopped.sentence
    assert (stopped.stops_all, len(stopped.why.figures), stopped.shelf) == (True, 2, Shelf.PLANNING)
    assert "Hard work waits for a clinician's clearance." in active.sentence
    assert (active.stops_all, active.shelf) == (False, Shelf.PLANNING)


def test_it_is_said_today_to_whom_something_is_planned_today() -> None:
    assert line(inactive(said("heart"), planned=(planned(planned_on=TODAY),))).shelf is Shelf.TODAY


def test_a_sign_is_said_before_a_disease() -> None:
    assert (
        "Training is stopped until a clinician has settled it."
        in line(inactive(said("heart"), said("chest"))).sentence
    )


@pytest.mark.parametrize(
    "records",
    [
        {"unsent": (said("heart", "no"),)},
        {
            "screening": (answers(active=NO, disease=YES, details_json='{"heart": "yes"}'),),
            "unsent": (said("heart"),),
        },
        {"unsent": (said("heart", days=9),), "clearances": (clearance(given_on=ago(5)),)},
    ],
    ids=["answered no", "known before", "cleared since"],
)
def test_the_morning_is_silent_where_a_named_disease_changes_nothing(records) -> None:
    assert line(inactive(**records)) is None


def test_a_newcomer_who_named_a_disease_waits_for_more_than_answers() -> None:
    newcomer, named = history(), history(unsent=(said("heart"),))

    assert waits_only_for_answers(newcomer, stopped_now(newcomer, TODAY, RULES))
    assert not waits_only_for_answers(named, stopped_now(named, TODAY, RULES))
