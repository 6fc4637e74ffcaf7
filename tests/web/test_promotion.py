"""The promotion page over HTTP: the list, the refusals, the decisions and their story."""

from __future__ import annotations

import json
import re
from datetime import timedelta

import pytest

from app.coaching.condition import evidence_from
from app.coaching.phases import DecisionKind, Phase, current_phase
from app.coaching.promotion import CONDITION_KEYS
from app.coaching.screening import YesNo
from app.storage import clients, phases, prescriptions
from tests import safety_scenes as scenes
from tests import seed
from tests.conftest import Browser
from tests.seed import NOW, TODAY, People

ONE = "promote-interval_one"


@pytest.fixture
def ready(coach: Browser, people: People) -> str:
    """The promotion page of a client who is ready."""
    with coach.db(write=True) as db:
        scenes.make_ready(db, client=people.client, person_id=people.coach.id)
    return f"/clients/{people.client.id}/promotion"


def phase_of(browser: Browser, client_id: int) -> Phase | None:
    with browser.db() as db:
        decision = current_phase(phases.of_client(db, client_id=client_id))
    return decision.phase if decision else None


def last_decision(browser: Browser, client_id: int):
    with browser.db() as db:
        return phases.of_client(db, client_id=client_id)[-1]


def test_every_condition_is_on_the_page_with_its_why(coach: Browser, ready: str) -> None:
    page = coach.get(ready)

    assert page.status_code == 200
    assert "Every condition is met. The decision is yours" in page.text
    assert page.text.count('<li class="condition">') == len(CONDITION_KEYS)
    assert page.text.count("mark-dot filled") == len(CONDITION_KEYS)
    assert page.text.count('<details class="why">') >= len(CONDITION_KEYS)


def test_safety_stands_before_practice(coach: Browser, ready: str) -> None:
    text = coach.get(ready).text

    assert text.index('id="safety-title"') < text.index("Blood pressure") < text.index('id="practice-title"')


def test_one_open_safety_condition_is_said_on_top_and_bars_the_button(
    coach: Browser, people: People, ready: str
) -> None:
    with coach.db(write=True) as db:
        scenes.measure(db, client=people.client, person_id=people.coach.id, days_ago=1, high=172)

    text = coach.get(ready).text

    assert "One safety condition is open." in text
    assert "Not possible while a safety condition is open: Blood pressure." in text
    assert f'name="move" value="{ONE}"' not in text


def test_a_promotion_is_kept_with_its_evidence_and_shown_in_the_story(
    coach: Browser, people: People, ready: str
) -> None:
    answer = coach.send(ready, move=ONE, reason="Half a year, steady.")

    assert (answer.status_code, answer.headers["location"]) == (303, ready)
    kept = last_decision(coach, people.client.id)
    assert {one.key for one in evidence_from(kept.evidence_json)} == set(CONDITION_KEYS)
    text = coach.get(ready).text
    assert "Promoted: interval phase, one a week" in text
    assert "19 of 19 conditions met then" in text


def test_a_safety_condition_cannot_be_overridden_by_posting_directly(
    head: Browser, people: People, ready: str
) -> None:
    with head.db(write=True) as db:
        scenes.hold_back(db, client=people.client, person_id=people.coach.id)

    answer = head.send(ready, move=ONE, reason="I am the head coach.", override_reason="I take it on myself.")

    assert answer.status_code == 422
    assert "Nobody can override this" in answer.text
    assert phase_of(head, people.client.id) is Phase.AEROBIC_BASE


def test_a_practice_condition_asks_for_its_own_reason_beside_the_field(coach: Browser, people: People) -> None:
    address = f"/clients/{people.client.id}/promotion"
    with coach.db(write=True) as db:
        scenes.start_base(db, client=people.client, person_id=people.coach.id)
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id)
        scenes.measure(db, client=people.client, person_id=people.coach.id)
        scenes.agree(db, client=people.client, person_id=people.coach.id)

    refused = coach.send(address, move=ONE, reason="Half a year.")
    taken = coach.send(address, move=ONE, reason="Half a year.", override_reason="The path is flooded.")

    assert refused.status_code == 422
    assert 'id="s1-override_reason-error"' in refused.text
    assert "Half a year." in refused.text
    assert taken.status_code == 303
    assert (
        json.loads(last_decision(coach, people.client.id).evidence_json)["override_reason"] == "The path is flooded."
    )
    assert "The path is flooded." in coach.get(address).text


def test_a_decision_without_a_reason_is_refused(coach: Browser, people: People, ready: str) -> None:
    answer = coach.send(ready, move=ONE, reason="  ")

    assert answer.status_code == 422
    assert 'id="s1-reason-error"' in answer.text
    assert phase_of(coach, people.client.id) is Phase.AEROBIC_BASE


def test_a_move_that_does_not_exist_is_refused(coach: Browser, people: People, ready: str) -> None:
    answer = coach.send(ready, move="promote-interval_two", reason="Quicker.", override_reason="Quicker.")

    assert answer.status_code == 422
    assert phase_of(coach, people.client.id) is Phase.AEROBIC_BASE


def test_a_promotion_is_taken_back_the_same_day(coach: Browser, people: People, ready: str) -> None:
    coach.send(ready, move=ONE, reason="Half a year.")
    assert "Take the promotion back" in coach.get(ready).text

    answer = coach.send(f"{ready}/undo")

    assert answer.status_code == 303
    assert phase_of(coach, people.client.id) is Phase.AEROBIC_BASE
    assert "Take the promotion back" not in coach.get(ready).text


def test_the_second_week_has_a_list_of_its_own(coach: Browser, people: People, ready: str) -> None:
    coach.send(ready, move=ONE, reason="Half a year.")

    text = coach.get(ready).text

    assert "A second hard session a week" in text
    assert "Weeks on one a week" in text
    assert 'id="practice-title"' not in text


def test_stepping_back_and_staying_are_decisions_too(coach: Browser, people: People, ready: str) -> None:
    coach.send(ready, move=ONE, reason="Half a year.")

    back = coach.send(ready, move="step_back-aerobic_base", since_on=TODAY.isoformat(), reason="A hard month.")

    assert back.status_code == 303
    kept = last_decision(coach, people.client.id)
    assert (kept.kind, kept.phase, kept.reason) == (DecisionKind.STEP_BACK, Phase.AEROBIC_BASE, "A hard month.")


def test_keeping_carries_its_end_into_the_story(coach: Browser, people: People, ready: str) -> None:
    until = TODAY + timedelta(days=60)

    answer = coach.send(ready, move="promote-keeping", reason="Harvest.", until_on=until.isoformat())

    assert answer.status_code == 303
    assert "keeping until 24 January 2027" in coach.get(ready).text


def test_met_conditions_are_folded_and_open_ones_lead_to_where_they_are_mended(
    coach: Browser, people: People, ready: str
) -> None:
    with coach.db(write=True) as db:
        scenes.measure(db, client=people.client, person_id=people.coach.id, days_ago=1, high=172)

    page = coach.get(ready).text

    safety = page[page.index('id="safety-title"') : page.index('id="practice-title"')]
    shown, folded = safety.split("<summary>8 of 9 met</summary>")
    assert shown.count('<li class="condition">') == 1
    assert f'href="/clients/{people.client.id}/safety#pressure-title"' in shown
    assert folded.count('<li class="condition">') == 8
    assert "<summary>10 of 10 met</summary>" in page


def test_every_condition_leads_somewhere_that_is_there(coach: Browser, people: People) -> None:
    page = coach.get(f"/clients/{people.client.id}/promotion").text

    listed = page[page.index('id="safety-title"') : page.index('id="weeks-title"')]
    links = set(re.findall(r'<a class="quiet" href="([^"#]+)(?:#([^"]+))?"', listed))
    opened = {(path, anchor): coach.get(path) for path, anchor in links}
    assert len(links) >= 8
    assert {one.status_code for one in opened.values()} == {200}
    assert [path for (path, anchor), one in opened.items() if anchor and f'id="{anchor}"' not in one.text] == []


def test_who_was_never_asked_is_asked_not_asked_again(coach: Browser, people: People) -> None:
    page = coach.get(f"/clients/{people.client.id}/promotion").text

    assert "Ask the screening questions." in page
    assert "Ask the questions</a>" in page
    assert "again" not in page[page.index('id="safety-title"') : page.index('id="practice-title"')]


def test_one_tap_says_that_pregnancy_does_not_apply(coach: Browser, people: People, ready: str) -> None:
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id, pregnant=YesNo.UNKNOWN)
        unknown = {"sex": None, "born_on": None}
        clients.change(db, client_id=people.client.id, revision=people.client.revision, values=unknown)

    before = coach.get(ready).text
    answer = coach.send(f"{ready}/man")

    assert "Is a man: does not apply" in before
    assert answer.status_code == 303
    after = coach.get(ready).text
    assert "Every condition is met." in after
    assert "does not apply" in after


def test_a_step_back_names_the_hard_sessions_that_stay(coach: Browser, people: People, ready: str) -> None:
    coach.send(ready, move=ONE, reason="Half a year, steady.")
    with coach.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=TODAY + timedelta(days=3))

    offered = coach.get(ready).text
    answer = coach.send(ready, move="step_back-aerobic_base", since_on=TODAY.isoformat(), reason="Knee.")
    after = coach.get(answer.headers["location"]).text

    assert "One hard session is published from today on. A step back by itself takes none of them away." in offered
    assert "One hard session already sent stays until you change it on the plan." in after
    assert "though the phase is aerobic base. Nothing takes them away by itself." in after
    assert f'href="/clients/{people.client.id}/plan"' in after


def test_a_step_back_makes_the_hard_sessions_ahead_easy_in_the_same_decision(
    coach: Browser, people: People, ready: str
) -> None:
    coach.send(ready, move=ONE, reason="Half a year, steady.")
    with coach.db(write=True) as db:
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=TODAY + timedelta(days=3))
    page = coach.get(ready).text
    seen = re.findall(r'name="seen" value="([^"]+)"', page)[0]

    wish = {"move": "step_back-aerobic_base", "since_on": TODAY.isoformat(), "reason": "Knee, and her marriage."}
    answer = coach.send(ready, **wish, seen=seen, ease_ahead="yes")

    assert re.search(r'name="ease_ahead" value="yes" checked', page)
    assert answer.status_code == 303
    assert "1 hard session made easy" in coach.get(answer.headers["location"]).text
    with coach.db() as db:
        newest = prescriptions.versions(db, planned_session_id=session_id)[-1]
    assert not newest.is_hard
    assert newest.published_at is not None
    assert newest.reason == "Easy instead: your plan is in aerobic base now."


def test_a_plan_that_changed_meanwhile_keeps_the_decision_from_being_taken_half(
    coach: Browser, people: People, ready: str
) -> None:
    coach.send(ready, move=ONE, reason="Half a year, steady.")
    with coach.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=TODAY + timedelta(days=3))

    answer = coach.send(
        ready,
        move="step_back-aerobic_base",
        since_on=TODAY.isoformat(),
        reason="Knee.",
        ease_ahead="yes",
        seen="1",
    )

    assert answer.status_code == 409
    assert phase_of(coach, people.client.id) is Phase.INTERVAL_ONE


def test_before_the_first_phase_the_page_leads_to_the_start(coach: Browser, people: People) -> None:
    page = coach.get(f"/clients/{people.client.id}/promotion").text

    assert f'href="/clients/{people.client.id}/start"' in page


def test_a_brought_in_phase_waits_and_is_confirmed_from_here(coach: Browser, people: People) -> None:
    address = f"/clients/{people.client.id}/promotion"
    with coach.db(write=True) as db:
        phases.decide(
            db,
            client_id=people.client.id,
            kind=DecisionKind.BROUGHT_IN,
            phase=Phase.AEROBIC_BASE,
            since_on=TODAY - timedelta(weeks=20),
            reason="From the spreadsheet.",
            evidence_json="{}",
            person_id=people.coach.id,
            at=NOW,
            attested_by="clients.csv",
        )

    waiting = coach.get(address).text
    answer = coach.send(
        f"/clients/{people.client.id}/brought-in", decision_id=last_decision(coach, people.client.id).id
    )

    assert "Waits for the coach to confirm it" in waiting
    assert answer.status_code == 303
    assert "Waits for the coach to confirm it" not in coach.get(address).text


def test_strangers_find_nothing_and_a_stand_in_does_not_decide(
    other_coach: Browser, client_phone: Browser, stand_in: Browser, people: People, ready: str
) -> None:
    handed = f"/clients/{people.handed_client.id}/promotion"

    assert other_coach.get(ready).status_code == 404
    assert other_coach.send(ready, move=ONE, reason="Mine.").status_code == 404
    assert client_phone.get(ready).status_code == 404
    assert stand_in.get(handed).status_code == 200
    assert stand_in.send(handed, move=ONE, reason="Mine.").status_code == 403
    assert 'name="move"' not in stand_in.get(handed).text
