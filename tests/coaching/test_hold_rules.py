"""What holds, screening and pressure stop, and who may lift a hold on which evidence."""

from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.effort import Band
from app.coaching.hold_rules import (
    COACHS_VOICE,
    HOLD_WORDS,
    LIFTED_BY,
    Answer,
    LiftEvidence,
    may_lift,
    may_train,
    remains_after_illness,
    stopped_work,
)
from app.coaching.holds import ComputedStop, HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.pressure_rules import pressure_stop
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_decision import Screening, ScreeningInputs, screen
from app.coaching.steps import Part, Step, to_json
from tests.factories import TODAY, at, clearance, hold, interval_steps, planned, planned_hard, pressure

RULES = Rules()
DAY = timedelta(days=1)
BEFORE = hold(began_on=TODAY - 3 * DAY)
FULL = LiftEvidence(
    because="Spoke with her.",
    talk_recorded=True,
    pain_free_easy_on=TODAY - DAY,
    heart_rate_source_reviewed=True,
    well_since_on=TODAY - 10 * DAY,
    password_confirmed=True,
)


def _screening(active: YesNo = YesNo.YES, symptoms: YesNo = YesNo.NO, disease: YesNo = YesNo.NO) -> Screening:
    return Screening(
        screen(ScreeningInputs(active, symptoms, disease, Intensity.LIGHT_MODERATE)),
        screen(ScreeningInputs(active, symptoms, disease, Intensity.VIGOROUS)),
    )


FREE = _screening()


def test_without_anything_open_it_is_as_planned():
    assert may_train(planned_hard(), holds=(), screening=FREE).answer is Answer.AS_PLANNED


def test_a_symptom_hold_pauses_an_easy_session_too():
    found = may_train(planned(), holds=(hold(),), screening=FREE)

    assert found.answer is Answer.PAUSED
    assert "paused, not cancelled" in found.sentence


def test_a_lifted_hold_stops_nothing():
    lifted = hold(lifted_at=at(TODAY))

    assert may_train(planned_hard(), holds=(lifted,), screening=FREE).answer is Answer.AS_PLANNED


def test_a_hold_on_hard_work_leaves_easy_sessions():
    stopped = hold(kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    assert may_train(planned(), holds=(stopped,), screening=FREE).answer is Answer.AS_PLANNED


@pytest.mark.parametrize(
    "session",
    [
        planned_hard(),
        planned(kind=SessionKind.MIDDLE),
        planned(kind=SessionKind.TEST, is_hard=True),
        planned(kind=SessionKind.RACE),
        planned(steps_json=to_json(interval_steps(1))),
        planned(steps_json=to_json((Step(Part.MAIN, 600, Band.MIDDLE, "Brisk."),))),
        planned(kind=SessionKind.TEST, steps_json="[]"),
        planned(steps_json="{"),
    ],
    ids=[
        "hard",
        "middle",
        "test",
        "race",
        "easy with a hard round",
        "easy with ten brisk",
        "bare test",
        "unreadable",
    ],
)
def test_a_hold_on_hard_work_pauses_hard_and_middle(session):
    stopped = hold(kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    found = may_train(session, holds=(stopped,), screening=FREE)

    assert found.answer is Answer.EASY_ONLY
    assert found.is_paused
    assert found.instead


@pytest.mark.parametrize("kind", [SessionKind.EASY, SessionKind.TEST], ids=["easy", "standard loop"])
def test_a_hold_on_hard_work_leaves_what_is_easy_step_by_step(kind):
    stopped = hold(kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    assert may_train(planned(kind=kind), holds=(stopped,), screening=FREE).answer is Answer.AS_PLANNED


def test_the_easy_version_of_the_session_is_offered_instead():
    stopped = hold(kind=HoldKind.COACH, stops=Stops.HARD)

    assert may_train(planned_hard(), holds=(stopped,), screening=FREE).instead == "30 min easy instead."


def test_an_injury_pauses_its_mode_and_leaves_another():
    injury = hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN)

    running = may_train(planned(mode=Mode.RUN), holds=(injury,), screening=FREE)
    walking = may_train(planned(mode=Mode.WALK), holds=(injury,), screening=FREE)
    rounds = may_train(planned_hard(), holds=(injury,), screening=FREE)

    assert (running.answer, walking.answer, rounds.answer) == (Answer.PAUSED, Answer.AS_PLANNED, Answer.EASY_ONLY)


def test_an_injury_of_an_unknown_mode_stops_everything():
    injury = hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=None)

    assert stopped_work((injury,), FREE).all_because


def test_without_leave_for_vigorous_only_easy_is_left():
    deferred = _screening(active=YesNo.NO)

    assert may_train(planned(kind=SessionKind.MIDDLE), holds=(), screening=deferred).answer is Answer.EASY_ONLY
    assert may_train(planned(), holds=(), screening=deferred).answer is Answer.AS_PLANNED


def test_open_symptom_questions_leave_easy_work():
    waiting = _screening(symptoms=YesNo.UNKNOWN)

    assert may_train(planned(), holds=(), screening=waiting).answer is Answer.AS_PLANNED
    assert may_train(planned_hard(), holds=(), screening=waiting).answer is Answer.EASY_ONLY


def test_screening_that_stops_all_pauses_easy_work():
    stopped = _screening(symptoms=YesNo.YES)

    assert may_train(planned(), holds=(), screening=stopped).answer is Answer.PAUSED


# House choice: no session from 180 or 100 mmHg on, no hard work from 160 or 100 mmHg on.
@pytest.mark.parametrize(
    ("high", "low", "stops"),
    [
        (159, 99, None),
        (160, 80, Stops.HARD),
        (179, 99, Stops.HARD),
        (180, 80, Stops.ALL),
        (120, 100, Stops.ALL),
    ],
)
def test_pressure_limits(high, low, stops):
    found = pressure_stop((pressure(systolic_mmhg=high, diastolic_mmhg=low),), RULES)

    assert (found.stops if found else None) == stops


def test_a_high_reading_counts_like_a_hold():
    high = pressure_stop((pressure(systolic_mmhg=165),), RULES)

    assert may_train(planned_hard(), holds=(), screening=FREE, pressure=high).answer is Answer.EASY_ONLY


def test_a_lower_reading_later_ends_it():
    readings = (
        pressure(id=1, systolic_mmhg=190, measured_on=TODAY - 2 * DAY),
        pressure(id=2, systolic_mmhg=130, measured_on=TODAY - DAY),
    )

    assert pressure_stop(readings, RULES) is None


def test_resting_heart_rate_over_100_twice_stops_all_and_once_does_not():
    once = (pressure(id=1, resting_heart_rate_bpm=104), pressure(id=2, resting_heart_rate_bpm=88))
    twice = (pressure(id=1, resting_heart_rate_bpm=104), pressure(id=2, resting_heart_rate_bpm=101))

    assert pressure_stop(once, RULES) is None
    assert pressure_stop(twice, RULES).stops is Stops.ALL


def test_a_later_signed_paper_lifts_a_symptom_hold():
    assert may_lift(BEFORE, clearances=(clearance(given_on=TODAY),), today=TODAY, evidence=FULL) == ()


def test_nothing_but_a_paper_lifts_a_symptom_hold():
    refusals = may_lift(BEFORE, clearances=(), today=TODAY, evidence=FULL)

    assert any("nobody can override" in sentence for sentence in refusals)


@pytest.mark.parametrize(
    "fault",
    [
        {"given_on": TODAY - 3 * DAY},
        {"given_on": TODAY - 4 * DAY},
        {"given_on": TODAY + DAY},
        {"given_on": None},
        {"signer": ""},
        {"profession": None},
        {"scope": None},
        {"how_seen": "telephone"},
        {"how_seen": None},
        {"ends_on": TODAY - DAY},
        {"state": ClearanceState.REQUESTED},
        {"state": ClearanceState.REFUSED},
    ],
    ids=str,
)
def test_a_paper_with_a_fault_does_not_lift_a_symptom_hold(fault):
    paper = clearance(**({"given_on": TODAY} | fault))

    assert may_lift(BEFORE, clearances=(paper,), today=TODAY, evidence=FULL)


def test_a_refusal_after_the_paper_keeps_the_hold():
    papers = (
        clearance(id=1, given_on=TODAY - DAY),
        clearance(id=2, given_on=TODAY, state=ClearanceState.REFUSED),
    )

    assert may_lift(BEFORE, clearances=papers, today=TODAY, evidence=FULL)


def test_the_password_is_asked_again():
    evidence = LiftEvidence(because="Paper seen.")

    refusals = may_lift(BEFORE, clearances=(clearance(given_on=TODAY),), today=TODAY, evidence=evidence)

    assert refusals == ("Enter your password again.",)


@given(st.builds(LiftEvidence, because=st.text(), talk_recorded=st.booleans(), password_confirmed=st.booleans()))
def test_no_words_lift_a_symptom_hold_without_a_paper(evidence):
    assert may_lift(BEFORE, clearances=(), today=TODAY, evidence=evidence)


def test_an_injury_needs_a_talk_and_a_pain_free_easy_session():
    injury = hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN, began_on=TODAY - 3 * DAY)
    bare = LiftEvidence(because="Feels fine.")

    assert len(may_lift(injury, clearances=(), today=TODAY, evidence=bare)) == 2
    assert may_lift(injury, clearances=(), today=TODAY, evidence=FULL) == ()


def test_an_easy_session_before_the_injury_proves_nothing():
    injury = hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN, began_on=TODAY)

    assert may_lift(injury, clearances=(), today=TODAY, evidence=FULL)


def test_stopped_early_needs_a_talk():
    stopped = hold(kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    assert may_lift(stopped, clearances=(), today=TODAY, evidence=LiftEvidence(because="Fine again."))
    assert may_lift(stopped, clearances=(), today=TODAY, evidence=FULL) == ()


def test_a_medicine_change_waits_for_the_heart_rate_source():
    changed = hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD)

    assert may_lift(
        changed,
        clearances=(),
        today=TODAY,
        evidence=LiftEvidence(because="Seen and talked over.", talk_recorded=True),
    )
    assert may_lift(changed, clearances=(), today=TODAY, evidence=FULL) == ()


@pytest.mark.parametrize(("days", "stops", "may"), [(2, Stops.ALL, False), (3, Stops.ALL, True)])
def test_fever_waits_three_days_for_easy_work(days, stops, may):
    evidence = LiftEvidence(because="Well again.", well_since_on=TODAY - days * DAY)
    ill = hold(kind=HoldKind.ILLNESS, stops=stops, began_on=TODAY - 10 * DAY)

    assert (may_lift(ill, clearances=(), today=TODAY, evidence=evidence) == ()) == may


@pytest.mark.parametrize(("days", "left"), [(3, Stops.HARD), (6, Stops.HARD), (7, None)])
def test_hard_work_waits_seven_days_after_fever(days, left):
    ill = hold(kind=HoldKind.ILLNESS, stops=Stops.ALL)

    assert remains_after_illness(ill, TODAY - days * DAY, TODAY) == left


def test_nobody_was_well_before_falling_ill():
    ill = hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, began_on=TODAY - 4 * DAY)
    before, after = (
        LiftEvidence(because="Well for days.", well_since_on=TODAY - 9 * DAY),
        LiftEvidence(because="Well for days.", well_since_on=TODAY - 3 * DAY),
    )

    assert may_lift(ill, clearances=(), today=TODAY, evidence=before)
    assert may_lift(ill, clearances=(), today=TODAY, evidence=after) == ()


@pytest.mark.parametrize(("well_days", "may"), [(6, False), (5, False), (4, True)])
def test_the_days_well_count_from_the_newest_ill_day(well_days, may):
    ill = hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, began_on=TODAY - 10 * DAY)
    evidence = LiftEvidence(
        because="Well for days.", well_since_on=TODAY - well_days * DAY, last_ill_on=TODAY - 5 * DAY
    )

    assert (may_lift(ill, clearances=(), today=TODAY, evidence=evidence) == ()) is may


@pytest.mark.parametrize(("advice_days", "may"), [(6, False), (5, True)])
def test_advice_given_before_the_fever_came_back_is_about_the_earlier_one(advice_days, may):
    ill = hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, began_on=TODAY - 10 * DAY)
    evidence = LiftEvidence(
        because="Well for days.",
        well_since_on=TODAY - 4 * DAY,
        last_ill_on=TODAY - 5 * DAY,
        advice_because="aged 71",
        advice_on=TODAY - advice_days * DAY,
    )

    assert (may_lift(ill, clearances=(), today=TODAY, evidence=evidence) == ()) is may


def test_pregnancy_needs_the_providers_written_word_for_hard_work():
    expecting = hold(kind=HoldKind.PREGNANCY, stops=Stops.HARD, began_on=TODAY - 3 * DAY)
    light = clearance(given_on=TODAY, scope=Intensity.LIGHT_MODERATE)

    assert may_lift(expecting, clearances=(light,), today=TODAY, evidence=FULL)
    assert may_lift(expecting, clearances=(clearance(given_on=TODAY),), today=TODAY, evidence=FULL) == ()


def test_the_coachs_own_hold_asks_for_a_reason():
    own = hold(kind=HoldKind.COACH, stops=Stops.HARD)

    assert may_lift(own, clearances=(), today=TODAY) == (
        "Say why it is lifted. At least 10 characters, so that it can be read later.",
    )


def test_a_lifted_hold_is_not_lifted_twice():
    assert may_lift(hold(lifted_at=at(TODAY)), clearances=(), today=TODAY, evidence=FULL)


def test_every_kind_has_its_words():
    assert set(HOLD_WORDS) == set(LIFTED_BY) == set(HoldKind)


def test_a_coach_is_told_a_computed_stop_in_the_words_about_the_client() -> None:
    stop = ComputedStop(Stops.HARD, "If they trained, log it.", "If you trained, log it.")

    assert COACHS_VOICE.of_stop(stop) == "If they trained, log it."
