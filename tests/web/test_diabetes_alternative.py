"""The practice's choice about diabetes alone over HTTP: the head coach's, with a reason, shown per client."""

from __future__ import annotations

import json

import pytest

from app.coaching.screening import YesNo
from app.storage import practice
from tests import seed
from tests.conftest import Browser
from tests.seed import People

RULE = "/practice/rules/diabetes_alternative"
REASON = "Our diabetes nurse asked for it."


@pytest.fixture
def safety_page(coach: Browser, people: People) -> str:
    """The safety page of an inactive client with diabetes and nothing else."""
    details = json.dumps({"heart": "no", "kidney": "no", "diabetes": "yes"})
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO, disease=YesNo.YES, details_json=details)
    return f"/clients/{people.client.id}/safety"


def test_it_is_off_and_the_page_says_that_sources_differ(head, coach, client_phone, safety_page) -> None:
    assert "Colberg 2017" in head.get(RULE).text
    page = coach.get(safety_page).text
    assert "the practice keeps the stricter one" in page
    assert "A clinician&#39;s clearance is needed before any training." in page


def test_chosen_with_a_reason_it_shows_on_the_clients_page_with_name_and_reason(head, coach, safety_page) -> None:
    answer = head.send(RULE, value="1", reason=REASON)

    page = coach.get(safety_page).text
    assert answer.status_code == 303
    assert "Chosen by Greta Alm on 25 November 2026: Our diabetes nurse asked for it." in page
    assert "It never reaches vigorous work" in page
    assert "Hard and middle work is paused." in page
    assert "All training is paused." not in page


def test_the_rules_page_names_whom_it_concerns_before_and_after(head, people, safety_page) -> None:
    waits = head.get(RULE).text
    head.send(RULE, value="1", reason=REASON)
    begins = head.get(RULE).text

    link = f'<a href="{safety_page}">{people.client.name}</a>'
    assert "Wait for a clearance before any training" in waits
    assert "by this choice; switched off" in begins
    assert waits.count(link) == begins.count(link) == 1


def test_the_rules_page_says_when_it_concerns_nobody(head, people) -> None:
    assert "Nobody: no client has diabetes alone" in head.get(RULE).text


def test_switched_off_again_the_client_waits_for_a_clearance(head, coach, safety_page) -> None:
    head.send(RULE, value="1", reason=REASON)
    head.send(RULE, value="0", reason="Back to the table.")

    assert "All training is paused." in coach.get(safety_page).text


@pytest.mark.parametrize(
    "form", [{"value": "1", "reason": ""}, {"value": "2", "reason": REASON}, {"value": "", "reason": REASON}]
)
def test_without_a_reason_or_with_another_value_nothing_changes(head, form) -> None:
    answer = head.send(RULE, **form)

    assert answer.status_code == 422
    with head.db() as db:
        assert practice.rules(db).diabetes_alternative == 0


def test_nobody_but_the_head_coach_chooses(coach, stand_in) -> None:
    assert coach.send(RULE, value="1", reason=REASON).status_code == 403
    assert stand_in.send(RULE, value="1", reason=REASON).status_code == 403


def test_the_choice_is_in_the_practices_trail_in_words(head) -> None:
    head.send(RULE, value="1", reason=REASON)

    assert REASON in head.get("/practice/trail").text
    assert ">on" in head.get("/practice/rules").text


def test_a_client_without_diabetes_is_told_nothing(coach, people) -> None:
    assert "published readings differ" not in coach.get(f"/clients/{people.client.id}/safety").text
