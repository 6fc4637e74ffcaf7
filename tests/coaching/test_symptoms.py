"""Something felt wrong: families, advice, holds; and the screening questions with their sums."""

import pytest

from app.coaching.holds import Family, HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.questions import (
    ACTIVITY_QUESTION,
    DISEASE_QUESTIONS,
    MEDICINE_GROUPS,
    SYMPTOM_QUESTIONS,
    Reply,
    sums_from,
)
from app.coaching.reasons import DomainError
from app.coaching.screening import YesNo
from app.coaching.symptoms import (
    SIGNS,
    advice,
    emergency_text,
    hold_for,
    leaves_the_way_open,
    open_hold_of,
    sign_of,
)
from app.physiology.heart_rate_targets import HeartFact
from tests.factories import TODAY, at, hold

TOO_HARD = sign_of("too_hard")
STANDING = {"kind": HoldKind.STOPPED_EARLY, "stops": Stops.HARD, "cause": TOO_HARD.words}
FAMILY_A = [sign for sign in SIGNS if sign.family is Family.A]
ALL_NO = {question.key: Reply.NO for question in (*SYMPTOM_QUESTIONS, *DISEASE_QUESTIONS, ACTIVITY_QUESTION)}


@pytest.mark.parametrize("sign", FAMILY_A, ids=lambda sign: sign.key)
def test_family_a_stops_all_training(sign):
    assert hold_for(sign, Mode.WALK) == (HoldKind.SYMPTOM, Stops.ALL, None)


@pytest.mark.parametrize("sign", FAMILY_A, ids=lambda sign: sign.key)
def test_family_a_names_the_emergency_number(sign):
    assert any("112" in line for line in advice(sign, "112"))


def test_without_a_setting_it_is_the_local_number():
    assert "your local emergency number" in emergency_text(None)
    assert "your local emergency number" in emergency_text("  ")


@pytest.mark.parametrize("sign", SIGNS, ids=lambda sign: sign.key)
def test_every_answer_says_the_coach_may_not_see_it_before_morning(sign):
    assert "may not see this before their next morning" in advice(sign)[-1]


def test_not_sure_counts_as_family_a():
    assert sign_of("not_sure").family is Family.A


def test_new_joint_pain_stops_that_mode_and_hard_work():
    assert hold_for(sign_of("joint"), Mode.RUN) == (HoldKind.INJURY, Stops.MODE_AND_HARD, Mode.RUN)


def test_an_injury_without_a_known_mode_stops_everything():
    assert hold_for(sign_of("muscle"), None) == (HoldKind.INJURY, Stops.ALL, None)


def test_while_everything_is_paused_an_injury_names_no_easy_work_as_left():
    alone, beside_a_pause = (advice(sign_of("muscle"), is_all_paused=paused)[0] for paused in (False, True))

    assert "No hard work until you have spoken with your coach." in alone
    assert "No training at all, not even easy, until you have spoken with your coach." in beside_a_pause
    assert "hard work" not in beside_a_pause


def test_a_fall_on_the_head_is_for_a_clinician():
    assert hold_for(sign_of("fall_head"), Mode.RUN) == (HoldKind.SYMPTOM, Stops.ALL, None)


@pytest.mark.parametrize("key", ["wanted_to_stop", "too_hard", "briefly_sick", "kit"])
def test_family_c_stops_hard_work_only(key):
    assert hold_for(sign_of(key), Mode.RIDE) == (HoldKind.STOPPED_EARLY, Stops.HARD, None)


def test_a_sign_off_the_list_is_refused():
    with pytest.raises(DomainError, match="choose what felt wrong"):
        sign_of("made_up")


def test_keys_are_unique():
    assert len({sign.key for sign in SIGNS}) == len(SIGNS)


def test_there_are_nine_symptom_questions():
    assert len(SYMPTOM_QUESTIONS) == 9


def test_all_no_is_no():
    sums = sums_from(ALL_NO)

    assert (sums.symptoms, sums.disease, sums.active) == (YesNo.NO, YesNo.NO, YesNo.NO)


@pytest.mark.parametrize("question", SYMPTOM_QUESTIONS, ids=lambda question: question.key)
def test_not_sure_about_one_symptom_counts_as_yes(question):
    assert sums_from(ALL_NO | {question.key: Reply.NOT_SURE}).symptoms is YesNo.YES


@pytest.mark.parametrize("question", SYMPTOM_QUESTIONS, ids=lambda question: question.key)
def test_one_open_symptom_question_leaves_the_sum_unknown(question):
    replies = {key: reply for key, reply in ALL_NO.items() if key != question.key}

    assert sums_from(replies).symptoms is YesNo.UNKNOWN


def test_a_yes_is_yes_even_with_open_questions():
    assert sums_from({"chest": Reply.YES}).symptoms is YesNo.YES


def test_not_sure_about_a_disease_counts_as_yes():
    assert sums_from(ALL_NO | {"kidney": Reply.NOT_SURE}).disease is YesNo.YES


def test_not_sure_about_activity_is_unknown_and_never_active():
    assert sums_from(ALL_NO | {"active": Reply.NOT_SURE}).active is YesNo.UNKNOWN


def test_medicines_not_asked_are_unknown():
    assert sums_from(ALL_NO).heart_rate_medicine is YesNo.UNKNOWN


def test_a_beta_blocker_uncouples_heart_rate_and_a_statin_does_not():
    none = {group.key: Reply.NO for group in MEDICINE_GROUPS}

    assert sums_from(ALL_NO, none | {"beta_blocker": Reply.YES}).heart_rate_medicine is YesNo.YES
    assert sums_from(ALL_NO, none | {"statin": Reply.YES}).heart_rate_medicine is YesNo.NO


def test_what_uncouples_heart_rate_is_said_in_one_place():
    asked = {fact for group in MEDICINE_GROUPS for fact in group.facts}
    uncoupling = [group.key for group in MEDICINE_GROUPS if group.uncouples_heart_rate]

    assert asked == set(HeartFact) - {HeartFact.MAXIMUM_NOT_MEASURED}
    assert uncoupling == ["beta_blocker", "rhythm", "device_or_rhythm"]


@pytest.mark.parametrize(
    ("changes", "is_it"),
    [
        ({}, True),
        ({"lifted_at": at(TODAY)}, False),
        ({"kind": HoldKind.SYMPTOM}, False),
        ({"kind": HoldKind.COACH}, False),
        ({"cause": sign_of("wanted_to_stop").words}, False),
    ],
)
def test_a_second_report_of_the_same_reason_is_added_to_the_open_hold(changes, is_it):
    one = hold(**(STANDING | changes))

    assert open_hold_of(TOO_HARD, (one,)) == (one if is_it else None)


def test_the_first_open_hold_of_the_reason_is_taken():
    lifted, first, second = (hold(id=n, **STANDING, lifted_at=at(TODAY) if n == 1 else None) for n in (1, 2, 3))

    assert open_hold_of(TOO_HARD, (lifted, first, second)) == first
    assert open_hold_of(TOO_HARD, ()) is None


@pytest.mark.parametrize("key", ["chest", "joint", "fall_head"])
def test_a_sign_that_is_worse_raises_its_own_hold_each_time(key):
    sign = sign_of(key)
    one = hold(**(STANDING | {"cause": sign.words}))

    assert open_hold_of(sign, (one,)) is None


@pytest.mark.parametrize(
    ("changes", "is_open"),
    [
        ({}, True),
        ({"kind": HoldKind.SYMPTOM}, False),
        ({"kind": HoldKind.STOPPED_EARLY}, False),
        ({"stops": Stops.HARD}, False),
        ({"stops": Stops.MODE_AND_HARD}, False),
        ({"mode": Mode.RUN}, False),
        ({"lifted_at": at(TODAY)}, False),
    ],
)
def test_only_a_standing_injury_without_a_way_of_moving_leaves_it_open(changes: dict, is_open: bool) -> None:
    injury = {"kind": HoldKind.INJURY, "stops": Stops.ALL, "mode": None}

    assert leaves_the_way_open(hold(**(injury | changes))) is is_open
