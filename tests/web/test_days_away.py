"""Days away over HTTP: told, offered, accepted or declined; nothing of a plan changes by itself."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Visibility
from app.coaching.time_away import Possible
from app.coaching.told_away import AwayAnswer, AwayKind
from app.storage import clients, history, prescriptions, safety, told_away
from tests import factories, seed
from tests.browser import stage
from tests.seed import TODAY

OFF = {
    "kind": "off",
    "from_on": (TODAY - timedelta(days=8)).isoformat(),
    "until_on": (TODAY - timedelta(days=1)).isoformat(),
    "why_off": "caring",
}


@pytest.fixture
def house(app):
    return app.state.house


@pytest.fixture
def planned(house, people):
    """A client who may do hard work, with rounds today and next week; the identities of both sessions."""
    with house.transaction(True) as db:
        seed.add_phase(db, client=people.client)
        first = stage.make_hard_work_allowed(db, people)
        second = seed.add_planned_hard(db, client=people.client, planned_on=TODAY + timedelta(days=7))
    return first, second


def told_by(house, people):
    with house.transaction(False) as db:
        return history.load(db, client_ids=[people.client.id], from_on=TODAY, until_on=TODAY)[0].told_away


def add_told(house, people, **changes) -> int:
    with house.transaction(True) as db:
        return seed.add_told_away(db, client=people.client, **changes)


def versions(house, session_id):
    with house.transaction(False) as db:
        return prescriptions.versions(db, planned_session_id=session_id)


def key_on(page: str) -> str:
    found = re.search(r'name="key" value="([0-9a-f]+)"', page)
    assert found
    return found[1]


def ticked(page: str) -> dict[str, str]:
    """The offer's form as it comes: every session that would change."""
    return dict.fromkeys(re.findall(r'name="(s\d+)" value="yes"', page), "yes") | {"key": key_on(page)}


def test_the_client_tells_days_and_reads_that_the_coach_decides(client_phone, house, people):
    sent = client_phone.send("/me/days-away", **OFF)

    assert sent.status_code == 303
    page = client_phone.get("/me/days-away").text
    assert "Off Tue 17 Nov to Tue 24 Nov, 8 days" in page
    assert "Your coach decides. Nothing of your plan has changed yet." in page
    assert "You told your coach: off Tue 17 Nov" in client_phone.get("/me/today").text
    assert [one.answer for one in told_by(house, people)] == [AwayAnswer.OPEN]


def test_telling_changes_nothing_of_the_plan(client_phone, house, planned):
    before = [versions(house, one) for one in planned]

    client_phone.send("/me/days-away", **OFF)

    assert [versions(house, one) for one in planned] == before


@pytest.mark.parametrize(
    ("changes", "beside"),
    [
        ({"until_on": OFF["from_on"], "from_on": OFF["until_on"]}, "The last day comes before the first."),
        ({"why_off": ""}, "Please fill this in."),
        ({"kind": "travel"}, "Please fill this in."),
        ({"why_off": "ill"}, "Please fill this in."),
        ({"from_on": "2026-02-31"}, "day"),
        ({"from_on": "2026-08-01", "until_on": "2026-08-09"}, "That is long over."),
    ],
)
def test_what_cannot_be_is_said_beside_the_field_and_what_was_typed_stays(
    client_phone, house, people, changes, beside
):
    sent = client_phone.send("/me/days-away", **(OFF | changes), text="Mother moved house")

    assert sent.status_code == 422
    assert beside in sent.text
    assert "Mother moved house" in sent.text
    assert told_by(house, people) == ()


def test_the_same_days_are_not_told_twice(client_phone, house, people):
    client_phone.send("/me/days-away", **OFF)

    again = client_phone.send("/me/days-away", **OFF)

    assert again.status_code == 422
    assert "is told already" in again.text
    assert len(told_by(house, people)) == 1


def test_days_the_coach_has_answered_are_not_said_to_be_taken_back(coach, client_phone, house, people):
    client_phone.send("/me/days-away", **OFF)
    [told] = told_by(house, people)
    offer = f"/clients/{people.client.id}/days-away/{told.id}"
    coach.send(f"{offer}/accept", key=key_on(coach.get(offer).text))

    again = client_phone.send("/me/days-away", **OFF)

    assert "It is answered; if it was otherwise, speak with each other" in again.text
    assert "Take it back first" not in again.text


def test_days_that_were_told_are_taken_back_and_may_be_told_anew(client_phone, house, people):
    away_id = add_told(house, people)

    client_phone.send(f"/me/days-away/{away_id}/back")

    assert [one.answer for one in told_by(house, people)] == [AwayAnswer.TAKEN_BACK]
    assert client_phone.send("/me/days-away", **OFF).status_code == 303


def test_illness_as_the_reason_pauses_at_once(client_phone, house, people):
    client_phone.send("/me/days-away", **(OFF | {"why_off": "ill", "illness": "fever_or_below"}))

    with house.transaction(False) as db:
        raised = safety.holds_of(db, client_id=people.client.id)
    assert [(one.kind, one.stops) for one in raised] == [(HoldKind.ILLNESS, Stops.ALL)]
    assert "Your training is paused" in client_phone.get("/me/today").text


def test_the_morning_says_that_a_changed_plan_waits(coach, house, people, planned):
    add_told(house, people)

    page = coach.get("/morning").text

    assert "a changed plan waits for your answer" in page
    assert f"/clients/{people.client.id}/days-away" in page


def test_the_coach_enters_what_was_told_by_telephone(coach, house, people):
    sent = coach.send(f"/clients/{people.client.id}/days-away", origin="told_by_phone", **OFF)

    assert sent.headers["location"].startswith(f"/clients/{people.client.id}/days-away/")
    assert "told by phone" in coach.get(f"/clients/{people.client.id}/days-away").text


def test_the_offer_shows_each_session_before_and_after_with_its_reason(coach, house, people, planned):
    away_id = add_told(house, people)

    page = coach.get(f"/clients/{people.client.id}/days-away/{away_id}").text

    assert "Two easy sessions first." in page
    assert "After 8 days off: two easy sessions first." in page
    assert "Four hill rounds" in page


def test_accepting_makes_new_versions_the_client_reads_with_the_reason(coach, client_phone, house, people, planned):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    form = ticked(coach.get(address).text)

    sent = coach.send(f"{address}/accept", **form, words="Good to have you back.")

    assert sent.status_code == 303
    newest = versions(house, planned[0])[-1]
    assert (newest.is_hard, newest.reason) == (False, "After 8 days off: two easy sessions first.")
    assert newest.published_at is not None
    page = client_phone.get("/me/today").text
    assert "After 8 days off: two easy sessions first." in page
    assert "Good to have you back." in page
    assert [one.answer for one in told_by(house, people)] == [AwayAnswer.ACCEPTED]


def test_what_is_unticked_stays_as_it_is(coach, house, people, planned):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    form = ticked(coach.get(address).text)
    del form[f"s{planned[0]}"]

    coach.send(f"{address}/accept", **form)

    assert [len(versions(house, one)) for one in planned] == [1, 2]


def test_two_weeks_off_cannot_be_overridden(coach, house, people, planned):
    away_id = add_told(house, people, from_on=TODAY - timedelta(days=16))
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    page = coach.get(address).text

    sent = coach.send(f"{address}/accept", key=key_on(page))

    assert "cannot be left out" in page
    assert sent.status_code == 422
    assert "base only, and nobody overrides it here" in sent.text
    assert [len(versions(house, one)) for one in planned] == [1, 1]


def test_a_plan_that_changed_meanwhile_is_not_overwritten(coach, house, people, planned):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    form = ticked(coach.get(address).text)
    with house.transaction(True) as db:
        session = prescriptions.newest(db, planned_session_id=planned[0])
        draft = prescriptions.draft_from(session, minutes=40)
        prescriptions.add_version(
            db, planned_session_id=planned[0], client_id=people.client.id, draft=draft,
            person_id=people.coach.id, at=seed.NOW,
        )  # fmt: skip

    sent = coach.send(f"{address}/accept", **form)

    assert sent.status_code == 409
    assert [one.answer for one in told_by(house, people)] == [AwayAnswer.OPEN]


def test_an_answer_is_given_once(coach, house, people, planned):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    form = ticked(coach.get(address).text)
    coach.send(f"{address}/decline", because="You walked on all of these days.")

    again = coach.send(f"{address}/accept", **form)

    assert again.status_code == 409
    assert [len(versions(house, one)) for one in planned] == [1, 1]


def test_declining_asks_for_a_reason_the_client_reads(coach, client_phone, house, people):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"

    without = coach.send(f"{address}/decline", because="")
    coach.send(f"{address}/decline", because="You walked on all of these days.")

    assert without.status_code == 422
    assert "You walked on all of these days." in client_phone.get("/me/today").text
    assert "Your coach leaves the plan as it is." in client_phone.get("/me/days-away").text


def test_declining_two_weeks_off_says_that_hard_work_waits_all_the_same(coach, client_phone, house, people, planned):
    away_id = add_told(house, people, from_on=TODAY - timedelta(days=20))
    address = f"/clients/{people.client.id}/days-away/{away_id}"

    offered = coach.get(address).text
    coach.send(f"{address}/decline", because="You rode every other day.")

    assert "Hard work waits all the same." in offered
    today = client_phone.get("/me/today").text
    assert "Hard work waits all the same until enough weeks are held" in today
    assert "20 days off were told" in today
    assert "easy work only until 2 weeks are held (none so far)" in today


def test_travel_with_nothing_possible_becomes_agreed_time_off_when_accepted(coach, house, people, planned):
    days = {"from_on": TODAY + timedelta(days=6), "until_on": TODAY + timedelta(days=9)}
    away_id = add_told(house, people, kind=AwayKind.TRAVEL, possible=Possible.NOTHING, **days)
    address = f"/clients/{people.client.id}/days-away/{away_id}"

    coach.send(f"{address}/accept", **ticked(coach.get(address).text))

    with house.transaction(False) as db:
        leaves = clients.leaves(db, client_id=people.client.id)
    assert [(one.from_on, one.until_on) for one in leaves] == [(days["from_on"], days["until_on"])]
    assert versions(house, planned[1])[-1].is_cancelled


def test_the_note_after_an_answer_is_one_the_client_sees(coach, house, people, planned):
    away_id = add_told(house, people)
    address = f"/clients/{people.client.id}/days-away/{away_id}"
    coach.send(f"{address}/accept", **ticked(coach.get(address).text))

    with house.transaction(False) as db:
        notes = clients.notes(db, client_id=people.client.id)
    assert [one.visibility for one in notes if one.text.startswith("You told me: off")] == [Visibility.CLIENT]


def test_somebody_elses_days_are_not_here(other_coach, house, people):
    away_id = add_told(house, people)

    assert other_coach.get(f"/clients/{people.client.id}/days-away/{away_id}").status_code == 404
    assert other_coach.get(f"/clients/{people.other_client.id}/days-away/{away_id}").status_code == 404


def test_an_answer_survives_in_the_file(house, people):
    away_id = add_told(house, people)
    with house.transaction(True) as db:
        told_away.keep_answer(
            db, away_id=away_id, answer=AwayAnswer.DECLINED, because="Why", person_id=people.coach.id, at=seed.NOW
        )
    with house.transaction(False) as db:
        kept = told_away.one(db, away_id=away_id)

    assert kept == factories.told_away(
        id=away_id, client_id=people.client.id, person_id=kept.person_id, told_at=seed.NOW,
        from_on=TODAY - timedelta(days=8), until_on=TODAY - timedelta(days=1), answer=AwayAnswer.DECLINED,
        answered_at=seed.NOW, answered_by=people.coach.id, answered_because="Why",
    )  # fmt: skip


def test_the_phone_says_heavy_legs_beside_todays_rounds(client_phone, house, people, planned):
    with house.transaction(True) as db:
        seed.add_log(db, client=people.client, done_on=TODAY - timedelta(days=1), heavy_legs=True)

    page = client_phone.get("/me/today").text

    assert "Heavy work for the legs yesterday: hard rounds wait 24 hours." in page
    assert "30 min easy instead." in page


def test_what_was_heavy_for_the_legs_is_asked_kept_and_read_again(client_phone, house, people):
    form = {"kind": "strength", "mode": "strength", "minutes": "30", "talk": "chat", "heavy_legs": "yes"}
    sent = client_phone.send("/me/done", done_on=TODAY.isoformat(), **form)

    assert sent.status_code == 303
    assert "leg strength or a long hill" in client_phone.get(sent.headers["location"]).text


def test_a_hold_is_noted_as_seen_when_it_stands_on_the_phone(client_phone, coach, house, people, planned):
    with house.transaction(True) as db:
        hold_id = seed.add_hold(db, client=people.client)
    before = coach.get("/morning").text

    client_phone.get("/me/today")

    with house.transaction(False) as db:
        seen = safety.hold(db, hold_id=hold_id)
    assert "The pause was not seen on the phone: phone them before they start." in before
    assert seen.seen_at is not None
    assert "was not seen on the phone" not in coach.get("/morning").text


def move(house, people, session_id, days) -> None:
    with house.transaction(True) as db:
        session = prescriptions.newest(db, planned_session_id=session_id)
        prescriptions.add_version(
            db, planned_session_id=session_id, client_id=people.client.id, person_id=people.coach.id,
            draft=prescriptions.draft_from(session, planned_on=TODAY + timedelta(days=days)),
            at=seed.NOW, publish=True,
        )  # fmt: skip


def moved_twice(house, people) -> frozenset[int]:
    with house.transaction(False) as db:
        ahead = TODAY + timedelta(days=10)
        return history.load(db, client_ids=[people.client.id], from_on=TODAY, until_on=ahead)[0].moved_twice


def test_a_session_moved_twice_is_known_as_such(house, people, planned):
    move(house, people, planned[1], 2)
    once = moved_twice(house, people)

    move(house, people, planned[1], 4)

    assert (once, moved_twice(house, people)) == (frozenset(), {planned[1]})


def test_the_offer_says_where_entries_contradict_what_was_told(coach, house, people, planned):
    page = coach.get(f"/clients/{people.client.id}/days-away/{add_told(house, people)}").text

    assert "Entries say otherwise." in page
    assert "Training is entered on Sat 21 Nov, Tue 24 Nov." in page


def test_the_coach_sees_whether_todays_version_was_seen(coach, client_phone, people, planned):
    before = coach.get(f"/clients/{people.client.id}").text
    client_phone.get("/me/today")

    assert "Not seen on the phone yet." in before
    assert "Seen on the phone." in coach.get(f"/clients/{people.client.id}").text


def test_tomorrows_rounds_wait_for_legs_that_worked_heavily_today(client_phone, house, people, planned):
    with house.transaction(True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=TODAY + timedelta(days=1))
        seed.add_log(db, client=people.client, done_on=TODAY, heavy_legs=True)

    assert "Heavy work for the legs today: 24 hours belong between them." in client_phone.get("/me/today").text


@pytest.mark.parametrize("by", ["client", "coach"])
@pytest.mark.parametrize("changes", [{}, {"until_on": "2026-02-31"}, {"until_on": "2028-01-01"}])
def test_an_illness_pauses_at_once_though_its_days_are_refused(request, house, people, by, changes):
    client_phone, coach = request.getfixturevalue("client_phone"), request.getfixturevalue("coach")
    away_id = add_told(house, people)
    ill = OFF | {"why_off": "ill", "illness": "fever_or_below", "text": "Shivering"} | changes

    for _ in range(2):
        if by == "client":
            sent = client_phone.send("/me/days-away", **ill)
        else:
            sent = coach.send(f"/clients/{people.client.id}/days-away", origin="told_by_phone", **ill)

    assert sent.status_code == 422
    assert "The illness is kept and counts from now on" in sent.text
    assert "Shivering" in sent.text
    with house.transaction(False) as db:
        raised = safety.holds_of(db, client_id=people.client.id)
    assert [(one.kind, one.stops) for one in raised] == [(HoldKind.ILLNESS, Stops.ALL)]
    assert [one.id for one in told_by(house, people)] == [away_id]
    assert "Your training is paused" in client_phone.get("/me/today").text


def test_days_long_over_and_a_journey_pause_nothing_when_they_are_refused(client_phone, house, people):
    add_told(house, people)
    ill = {"why_off": "ill", "illness": "fever_or_below"}

    client_phone.send("/me/days-away", **(OFF | ill | {"from_on": "2026-08-01", "until_on": "2026-08-09"}))
    client_phone.send("/me/days-away", **(OFF | ill | {"kind": "travel", "possible": "nothing"}))

    with house.transaction(False) as db:
        assert not safety.holds_of(db, client_id=people.client.id)
