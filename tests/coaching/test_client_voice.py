"""What a pause says to the client: one rule for a cold wherever it is told, own numbers, and who ends what."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.client_voice import hold_words, waiting_words
from app.coaching.consents import TAKEN_BACK
from app.coaching.hold_rules import Answer, MayTrain
from app.coaching.holds import Hold, HoldKind, Stops
from app.coaching.illness_return import ABOVE_NECK_CAUSE, FEVER_CAUSE, HARD_STILL_WAITS, has_cold, within_a_cold
from app.coaching.leave_to_train import may_train_now
from app.coaching.return_steps import ABOVE_NECK, COLD_AT_MOST
from app.coaching.rules import Rules
from tests import factories as make

RULES = Rules()
COLD = make.hold(kind=HoldKind.ILLNESS, stops=Stops.HARD, cause=ABOVE_NECK_CAUSE)
FEVER = make.hold(kind=HoldKind.ILLNESS, stops=Stops.ALL, cause=FEVER_CAUSE)
AFTER_FEVER = replace(FEVER, stops=Stops.HARD, cause=FEVER_CAUSE + HARD_STILL_WAITS)


def test_a_cold_says_the_same_on_every_page_and_names_no_three_days() -> None:
    told = hold_words(COLD)

    assert COLD_AT_MOST in told
    assert COLD_AT_MOST in ABOVE_NECK[0]
    assert "three days" not in told


def test_what_a_cold_leaves_stands_in_place_of_the_sessions_own_easy_version() -> None:
    history = make.history(screening=(make.answers(),), holds=(COLD,))

    may = may_train_now(history, make.planned_hard(), make.TODAY, RULES)

    assert (may.answer, may.instead) == (Answer.EASY_ONLY, COLD_AT_MOST)


@pytest.mark.parametrize(
    "hold", [FEVER, AFTER_FEVER, replace(COLD, lifted_at=make.at(make.TODAY)), replace(COLD, kind=HoldKind.COACH)]
)
def test_nothing_else_is_taken_for_a_cold(hold: Hold) -> None:
    easy = MayTrain(Answer.EASY_ONLY, "Paused.", "Run 30 minutes.")

    assert not has_cold([hold])
    assert within_a_cold(easy, [hold]) is easy


@pytest.mark.parametrize("answer", [Answer.AS_PLANNED, Answer.PAUSED])
def test_a_cold_changes_no_answer_but_what_is_offered_instead(answer: Answer) -> None:
    may = MayTrain(answer, "As it is.", None)

    assert within_a_cold(may, [COLD]) is may


def test_fever_waits_three_days_for_easy_work_and_what_is_left_of_it_says_easy_work_is_back() -> None:
    assert "Easy work comes after three days well" in hold_words(FEVER)
    assert "Easy work is back." in hold_words(AFTER_FEVER)
    assert "three days" not in hold_words(AFTER_FEVER)


def test_hard_work_is_told_with_the_clients_own_weeks_and_promised_to_nobody() -> None:
    client = make.client(base_weeks_asked=30)

    assert waiting_words(make.history(client=client), make.TODAY, RULES) == (
        "easy work only for now. Hard work comes after 30 weeks of easy outings at the earliest, and only when your "
        "coach and you decide."
    )


def test_a_consent_taken_back_says_how_to_agree_again() -> None:
    told = hold_words(make.hold(kind=HoldKind.COACH, stops=Stops.HARD, cause=TAKEN_BACK))

    assert "agree again under My way" in told
    assert "Your coach ends it" not in told


def test_a_changed_medicine_names_what_changes_and_whom_to_ask() -> None:
    told = hold_words(make.hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="A new heart tablet"))

    assert "the medicine can change what your heart rate says" in told
    assert "Ask whoever prescribed it" in told
