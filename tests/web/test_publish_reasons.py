"""Words given when a plan goes out: which of them the client reads, and which stand in the trail only."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.consents import ASKED_FOR_EVERYTHING
from app.coaching.holds import Stops
from app.coaching.plan_sending import TODAY_CHANGED
from app.storage.audit import trail_of
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, THIS_MONDAY, form_of, words_of
from tests.safety_scenes import agree_to

FOR_THE_RECORD = "Ruben Castor quarrelled with her in the hall."
MANY = f"/plan/publish-many?week={THIS_MONDAY}&weeks=1"


def _change_today(app, client, *, has_agreed=True, **changes):
    """Today's walk, as the client was given it, with a change that waits."""
    with app.state.house.transaction(True) as db:
        scene.in_base(db, client, has_agreed=False)
        if has_agreed:
            agree_to(db, client=client, person_id=client.coach_id, kinds=ASKED_FOR_EVERYTHING)
        session_id = seed.add_planned(db, client=client, planned_on=seed.TODAY)
        scene.add_draft(db, session_id, **({"minutes": 30} | changes))


def _publish(coach, client, **typed):
    page = coach.get(f"/clients/{client.id}/plan/publish?week-{THIS_MONDAY}=yes")
    address = f"/clients/{client.id}/plan/publish"
    return page, coach.send(address, **(form_of(page, address) | typed))


def _trail(app, client):
    with app.state.house.transaction(False) as db:
        return next(one for one in trail_of(db, client_id=client.id) if one.action == "published")


@pytest.mark.parametrize("what", [{"is_cancelled": True}, {"minutes": 30}])
def test_the_phone_keeps_the_reason_of_the_session_and_the_trail_the_one_for_the_record(
    what, app, coach, people, client_phone
):
    _change_today(app, people.client, reason="Replaced by a new block.", **what)

    page, answer = _publish(coach, people.client, reason=FOR_THE_RECORD)

    assert answer.status_code == 303
    assert "0 sessions" not in words_of(page)
    assert "has already: that asks for a reason. Read beside it on the phone: “Replaced by a new" in words_of(page)
    assert "Why today changes, for the record Kept with your name in the trail; no phone shows it." in words_of(page)
    phone = words_of(client_phone.get("/me/today"))
    assert "Replaced by a new block." in phone
    assert "quarrelled" not in phone
    assert _trail(app, people.client).reason == FOR_THE_RECORD


def test_a_change_of_today_without_a_reason_asks_for_one_that_the_client_reads(app, coach, people, client_phone):
    _change_today(app, people.client)

    page, silent = _publish(coach, people.client)
    _page, answer = _publish(coach, people.client, why_today="The hall is shut.")

    assert "Nothing stands against it" in words_of(page)
    assert "Ilse Brandt reads it beside today's session." in words_of(page)
    assert "for the record" not in words_of(page)
    assert silent.status_code == 422
    assert "Write why today changes; the client reads it." in words_of(silent)
    assert answer.status_code == 303
    assert "Your coach changed this. The hall is shut." in words_of(client_phone.get("/me/today"))
    assert "The hall is shut." in _trail(app, people.client).change_json


def test_both_are_asked_for_where_something_stands_against_it_as_well(app, coach, people, client_phone):
    _change_today(app, people.client, has_agreed=False)

    _page, silent = _publish(coach, people.client)
    _page, answer = _publish(coach, people.client, why_today="The hall is shut.", reason=FOR_THE_RECORD)

    assert "Write why it goes out all the same" in words_of(silent)
    assert "Write why today changes" in words_of(silent)
    assert answer.status_code == 303
    phone = words_of(client_phone.get("/me/today"))
    assert "The hall is shut." in phone
    assert "quarrelled" not in phone
    assert _trail(app, people.client).reason == FOR_THE_RECORD


def test_no_phone_shows_the_reason_given_for_many(app, head, people, client_phone):
    _change_today(app, people.client)
    _change_today(app, people.other_client, reason="Replaced by a new block.")

    page = head.get(MANY)
    answer = head.send(MANY, **(form_of(page, MANY.replace("&", "&amp;")) | {"reason": FOR_THE_RECORD}))

    assert answer.status_code == 303
    assert f"the phone says “{TODAY_CHANGED}” Write one for Ilse Brandt and publish there" in words_of(page)
    assert "Read beside it on the phone: “Replaced by a new block.”" in words_of(page)
    assert "in the trail of each of them; no phone shows it." in words_of(page)
    phone = words_of(client_phone.get("/me/today"))
    assert TODAY_CHANGED in phone
    assert "quarrelled" not in phone
    assert [_trail(app, one).reason for one in (people.client, people.other_client)] == [FOR_THE_RECORD] * 2


@pytest.mark.parametrize(
    ("written", "kept"),
    [(None, "New: 1 session, none of them hard."), ("Rounds on Wednesday!", "Rounds on Wednesday!")],
)
def test_a_message_that_promises_rounds_is_not_offered_once_they_are_paused(written, kept, app, coach, people):
    with app.state.house.transaction(True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False)
    address = f"/clients/{people.client.id}/plan/publish"
    form = form_of(coach.get(f"{address}?week-{NEXT_MONDAY}=yes"), address)
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, stops=Stops.HARD)

    page = coach.send(address, **(form | ({"message": written} if written else {})))

    assert "hard on Wed 2 Dec" in form["message"]
    assert page.status_code == 422
    assert kept in form_of(page, address)["message"]
    assert ("Read your message again. It was written before this" in words_of(page)) == (written is not None)
