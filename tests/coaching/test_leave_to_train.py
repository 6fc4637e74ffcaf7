"""Everything that may stop a client today, gaps included, and regular activity read from the log."""

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.client_voice import client_voice
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.effort import Talk
from app.coaching.gap_rules import gap_stop, last_gap
from app.coaching.hold_rules import Answer
from app.coaching.holds import IllnessReturn
from app.coaching.leave_to_train import may_train_now, stopped_beside_holds, stopped_for, stopped_now
from app.coaching.lookahead import breaches, may_publish
from app.coaching.phases import DecisionKind, Phase
from app.coaching.pregnancy_rules import pregnancy_stop
from app.coaching.regularly_active import read_activity
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.coaching.screening_decision import decide, screening_due
from app.coaching.weeks import week_start
from tests.factories import (
    CLIENT_ID,
    COACH_ID,
    TODAY,
    answers,
    at,
    base_week,
    base_weeks,
    clearance,
    client,
    consent,
    decision,
    history,
    hold,
    log,
    planned,
    planned_hard,
    pressure,
    told_away,
)

RULES = Rules()
BROUGHT_IN = decision(
    kind=DecisionKind.BROUGHT_IN,
    phase=Phase.INTERVAL_TWO,
    since_on=TODAY - timedelta(weeks=30),
    confirmed_at=at(TODAY),
)
STEPPED_BACK = decision(id=2, kind=DecisionKind.STEP_BACK, phase=Phase.AEROBIC_BASE)
STEPPED_DOWN = decision(id=2, kind=DecisionKind.STEP_BACK, phase=Phase.KEEPING, since_on=TODAY)
AGREED = tuple(
    consent(kind, text_version=CONSENT_TEXTS[kind].version)
    for kind in (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
)


def _day(days_ago: int):
    return TODAY - timedelta(days=days_ago)


ASKED_TODAY = answers(answered_on=TODAY)
ON_THE_WAY_BACK = IllnessReturn(
    id=1,
    client_id=CLIENT_ID,
    hold_id=1,
    well_since_on=_day(4),
    lifted_on=_day(1),
    days_lost=5,
    advice_from=None,
    advice_on=None,
    recorded_at=at(_day(1)),
    person_id=COACH_ID,
)


@pytest.mark.parametrize(
    ("changes", "hard", "easy"),
    [
        ({}, Answer.AS_PLANNED, Answer.AS_PLANNED),
        ({"holds": (hold(),)}, Answer.PAUSED, Answer.PAUSED),
        ({"screening": ()}, Answer.PAUSED, Answer.PAUSED),
        ({"pressures": (pressure(systolic_mmhg=160),)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"pressures": (pressure(systolic_mmhg=180),)}, Answer.PAUSED, Answer.PAUSED),
        ({"screening": (answers(pregnant=YesNo.YES),)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"logs": base_weeks(9, before=_day(14))}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"logs": base_weeks(9, before=_day(14)), "screening": (ASKED_TODAY,)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"illness_returns": (ON_THE_WAY_BACK,)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"told_away": (told_away(),)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"screening": (answers(answered_on=_day(84)),)}, Answer.AS_PLANNED, Answer.AS_PLANNED),
        ({"screening": (answers(answered_on=_day(85)),)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN,)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN, STEPPED_DOWN)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN, STEPPED_BACK)}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN,), "consents": AGREED[:1]}, Answer.EASY_ONLY, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN,), "consents": AGREED}, Answer.AS_PLANNED, Answer.AS_PLANNED),
        ({"decisions": (replace(BROUGHT_IN, kind=DecisionKind.PROMOTE),)}, Answer.AS_PLANNED, Answer.AS_PLANNED),
        ({"decisions": (BROUGHT_IN,), "screening": ()}, Answer.EASY_ONLY, Answer.AS_PLANNED),
    ],
)
def test_each_stop_is_gathered(changes, hard, easy):
    records = history(**({"screening": (answers(),), "logs": base_weeks(9)} | changes))

    assert may_train_now(records, planned_hard(), TODAY, RULES).answer is hard
    assert may_train_now(records, planned(), TODAY, RULES).answer is easy


@pytest.mark.parametrize(
    ("changes", "hard", "easy"),
    [
        ({}, True, True),
        ({"pressures": (pressure(systolic_mmhg=160),)}, False, True),
        ({"pressures": (pressure(systolic_mmhg=180),)}, False, False),
        ({"screening": (answers(pregnant=YesNo.YES),)}, False, True),
        ({"logs": base_weeks(9, before=_day(14))}, False, True),
        ({"told_away": (told_away(from_on=_day(14)),), "screening": (ASKED_TODAY,)}, False, True),
        ({"screening": (answers(answered_on=_day(85)),)}, False, True),
    ],
)
def test_nothing_that_is_stopped_is_published(changes, hard, easy):
    promoted = decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(weeks=4))
    records = history(**({"screening": (answers(),), "logs": base_weeks(9), "decisions": (promoted,)} | changes))

    assert may_publish(breaches(records, [planned_hard(planned_on=_day(-4))], TODAY, RULES)) is hard
    assert may_publish(breaches(records, [planned(planned_on=_day(-4))], TODAY, RULES)) is easy


@pytest.mark.parametrize(("weeks_off", "is_done"), [(12, True), (13, False)])
def test_regularly_active_at_intake_does_not_outlast_a_long_break(weeks_off, is_done):
    logs = (*base_weeks(6, before=TODAY - timedelta(weeks=weeks_off)), *base_weeks(1))
    active = client(regularly_active_confirmed_on=TODAY - timedelta(weeks=40))
    records = history(client=active, logs=logs, screening=(answers(active=YesNo.NO),))

    assert decide(records, Intensity.VIGOROUS, TODAY, RULES).is_ok is is_done


def test_an_answer_left_open_does_not_end_a_pregnancy():
    asked = (
        answers(id=1, pregnant=YesNo.YES, answered_on=_day(60)),
        answers(id=2, pregnant=YesNo.UNKNOWN, answered_on=_day(5)),
    )

    assert pregnancy_stop(history(screening=asked), TODAY) is not None
    assert pregnancy_stop(history(screening=(*asked, answers(id=3, answered_on=_day(1)))), TODAY) is None


def test_the_providers_word_holds_while_the_answer_stays_the_same():
    asked = tuple(answers(id=n, pregnant=YesNo.YES, answered_on=_day(days)) for n, days in ((1, 60), (2, 5)))
    word = clearance(given_on=_day(30))

    assert pregnancy_stop(history(screening=asked, clearances=(word,)), TODAY) is None
    assert pregnancy_stop(history(screening=asked[1:], clearances=(word,)), TODAY) is not None


@pytest.mark.parametrize(("days", "is_gap"), [(13, False), (14, True)])
def test_two_weeks_without_an_outing_are_a_gap(days, is_gap):
    assert (last_gap(history(logs=(log(done_on=_day(days)),)), TODAY) is not None) == is_gap


def test_no_outing_at_all_is_no_gap():
    assert gap_stop(history(), TODAY, RULES) is None


@pytest.mark.parametrize(
    ("weeks_off", "weeks_back", "waits"), [(2, 1, True), (2, 2, False), (5, 3, True), (5, 4, False)]
)
def test_hard_work_waits_for_held_weeks_after_a_gap(weeks_off, weeks_back, waits):
    before = base_weeks(6, before=TODAY - timedelta(weeks=weeks_off + weeks_back))
    records = history(logs=(*before, *base_weeks(weeks_back)))

    assert (gap_stop(records, TODAY, RULES) is not None) == waits


def test_the_questions_are_due_after_a_gap():
    records = history(logs=base_weeks(6, before=_day(21)), screening=(answers(answered_on=_day(20)),))

    assert "without an outing" in (screening_due(records, TODAY, RULES) or "")


def test_a_gap_longer_than_the_days_looked_at_is_still_a_gap():
    alone = history(screening=(answers(),), outing_before_on=TODAY - timedelta(weeks=61))

    assert gap_stop(alone, TODAY, RULES) is not None
    assert screening_due(replace(alone, screening=(answers(answered_on=_day(430)),)), TODAY, RULES) is not None
    assert gap_stop(replace(alone, outing_before_on=None), TODAY, RULES) is None


def test_coming_back_after_it_begins_the_transition_again():
    promoted = decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(weeks=70))
    back = {"screening": (answers(active=YesNo.NO),), "decisions": (promoted,), "logs": base_weeks(6)}
    long_ago = TODAY - timedelta(weeks=61)

    assert decide(history(**back), Intensity.VIGOROUS, TODAY, RULES).is_ok
    assert not decide(history(**back, outing_before_on=long_ago), Intensity.VIGOROUS, TODAY, RULES).is_ok


def test_thirteen_moderate_weeks_are_active_both_ways():
    found = read_activity(history(logs=base_weeks(13)), TODAY)

    assert (found.good_weeks, found.is_strict, found.is_by_practice) == (13, True, True)


def test_singing_all_the_way_does_not_count():
    logs = tuple(replace(entry, talk=Talk.SING) for entry in base_weeks(13))

    assert read_activity(history(logs=logs), TODAY).good_weeks == 0


def _without(*weeks_ago: int):
    left_out = {TODAY - timedelta(weeks=n) for n in weeks_ago}
    return tuple(entry for entry in base_weeks(13) if week_start(entry.done_on) not in left_out)


@pytest.mark.parametrize(
    ("missing", "by_practice"), [((3, 6, 9), True), ((3, 4), False), ((2, 5, 8, 11), False)], ids=str
)
def test_the_practices_reading_forgives_single_poor_weeks(missing, by_practice):
    found = read_activity(history(logs=_without(*missing)), TODAY)

    assert (found.is_strict, found.is_by_practice) == (False, by_practice)


def test_short_outings_do_not_count():
    logs = base_week(_day(7), minutes=29)

    assert read_activity(history(logs=logs), TODAY).good_weeks == 0


AGREED_EARLIER = consent(ConsentKind.INTERVAL_PHASE, text_version="2025-9")
TAKEN_BACK = consent(
    ConsentKind.INTERVAL_PHASE,
    text_version=CONSENT_TEXTS[ConsentKind.INTERVAL_PHASE].version,
    withdrawn_on=TODAY - timedelta(days=3),
)


@pytest.mark.parametrize(
    ("consents", "answer"),
    [
        ((TAKEN_BACK, AGREED[1]), Answer.EASY_ONLY),
        ((TAKEN_BACK, *AGREED), Answer.AS_PLANNED),
        ((), Answer.AS_PLANNED),
        ((AGREED_EARLIER, AGREED[1]), Answer.EASY_ONLY),
        ((AGREED_EARLIER, *AGREED), Answer.AS_PLANNED),
    ],
    ids=["taken back", "given again", "promoted before consents were kept", "to an earlier text", "to the new text"],
)
def test_a_consent_taken_back_or_outdated_stops_hard_work_until_it_is_given_again(consents, answer):
    promoted = decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE)
    one = history(screening=(answers(),), logs=base_weeks(20), decisions=(promoted,), consents=consents)

    assert may_train_now(one, planned_hard(), TODAY, RULES).answer is answer
    assert may_train_now(one, planned(), TODAY, RULES).answer is Answer.AS_PLANNED
    assert may_publish(breaches(one, [planned_hard()], TODAY, RULES)) is (answer is Answer.AS_PLANNED)


HIGH, TOO_HIGH = pressure(systolic_mmhg=160), pressure(systolic_mmhg=180)


@pytest.mark.parametrize(
    ("changes", "means_it"),
    [
        ({}, False),
        ({"decisions": (decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE),)}, True),
        ({"planned": (planned_hard(planned_on=TODAY),)}, True),
        ({"planned": (planned_hard(planned_on=_day(-3)), planned(id=2, planned_on=_day(-4)))}, True),
        ({"planned": (planned_hard(planned_on=_day(1)),)}, False),
        ({"planned": (planned(planned_on=TODAY),)}, False),
        ({"planned": (planned_hard(planned_on=_day(-3), is_cancelled=True),)}, False),
        ({"planned": (planned_hard(planned_on=TODAY),), "pressures": (), "told_away": (told_away(),)}, True),
    ],
    ids=["base", "promoted", "hard today", "hard among easy", "hard yesterday", "easy", "hard, cancelled", "off"],
)
def test_that_hard_work_waits_is_said_to_whoever_means_to_do_it(changes, means_it):
    records = history(**({"screening": (answers(),), "logs": base_weeks(9), "pressures": (HIGH,)} | changes))

    found = stopped_beside_holds(records, TODAY, RULES)

    assert found.all_because == ()
    assert bool(found.hard_because) is means_it


def test_an_open_hold_is_left_to_speak_for_itself():
    records = history(screening=(answers(),), logs=base_weeks(9), holds=(hold(),))

    assert stopped_beside_holds(records, TODAY, RULES).all_because == ()


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({}, ""),
        ({"pressures": (HIGH,)}, ""),
        ({"pressures": (TOO_HIGH,)}, "blood pressure"),
        ({"screening": ()}, "questions not answered"),
        ({"screening": (answers(active=YesNo.NO, disease=YesNo.UNKNOWN),)}, "questions not answered"),
        ({"clearances": (clearance(state=ClearanceState.REFUSED),)}, "a clinician said no"),
        ({"screening": (answers(active=YesNo.NO, disease=YesNo.YES),)}, "clearance missing"),
        ({"screening": (answers(symptoms=YesNo.YES),)}, "clearance missing"),
        ({"screening": (answers(symptoms=YesNo.UNKNOWN),)}, ""),
    ],
    ids=["free", "high", "too high", "not asked", "disease open", "refused", "disease", "symptom", "signs open"],
)
def test_what_all_training_waits_for_is_said_in_a_word_or_two(changes, said):
    records = history(**({"screening": (answers(),), "logs": base_weeks(9)} | changes))

    assert stopped_for(records, TODAY, RULES) == said


def test_a_stop_is_told_to_the_coach_of_the_client_and_to_the_client_themselves() -> None:
    quiet = history(screening=(answers(),), logs=(log(done_on=_day(20)),))

    coach = stopped_now(quiet, TODAY, RULES).hard_because
    own = stopped_now(quiet, TODAY, RULES, voice=client_voice(quiet, TODAY, RULES)).hard_because

    assert any("If they trained" in words for words in coach)
    assert not any("If you trained" in words for words in coach)
    assert any("If you trained" in words for words in own)
    assert not any("If they trained" in words for words in own)
