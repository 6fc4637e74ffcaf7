"""One planned session: its page, its versions, and everything that changes it."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from app.coaching.holds import Stops
from app.coaching.people import HeartRateUse, Mode
from app.coaching.prescriptions import SessionKind
from app.storage import clients
from app.storage.audit import trail_of
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of

FRIDAY = seed.TODAY + timedelta(days=2)


def _planned(coach, people, *, publish=True, on: date = NEXT_MONDAY, **changes) -> str:
    """A planned easy session of a client in the base; returns its address."""
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=on, publish=publish, **changes)
    return f"/plan/sessions/{session_id}"


def _hard_today(coach, people) -> str:
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        return f"/plan/sessions/{seed.add_planned_hard(db, client=people.client)}"


def _versions(coach, address):
    with coach.db() as db:
        return scene.versions(db, int(address.rsplit("/", 1)[1]))


def _edit(browser, address, **typed):
    """Open the page, change some fields, send the form."""
    return browser.send(address, **(form_of(browser.get(address), address) | typed))


def test_the_page_reads_as_the_client_reads_it(coach, people):
    page = coach.get(_hard_today(coach, people))

    text = words_of(page)
    assert page.status_code == 200
    assert "Wed 25 November, 57 min, hard. published" in text
    assert "30 min easy instead." in text
    assert "Version 1, published" in text


def test_a_stranger_finds_no_session(coach, other_coach, people):
    address = _planned(coach, people)

    assert other_coach.get(address).status_code == 404
    assert other_coach.send(address).status_code == 404
    assert other_coach.get("/plan/sessions/999").status_code == 404


@pytest.mark.parametrize("word", ["", "/cancel", "/restore", "/copy"])
def test_a_stand_in_does_not_plan(stand_in, people, word):
    with stand_in.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.handed_client, planned_on=NEXT_MONDAY)

    assert stand_in.send(f"/plan/sessions/{session_id}{word}", version="1").status_code == 403


def test_a_stand_in_moves_a_session(stand_in, people):
    with stand_in.db(write=True) as db:
        scene.in_base(db, people.handed_client)
        session_id = seed.add_planned(db, client=people.handed_client, planned_on=FRIDAY)
    address = f"/plan/sessions/{session_id}"

    answer = stand_in.send(f"{address}/move", reason="Asked for it.", shift="after")

    assert answer.status_code == 303
    assert _versions(stand_in, address)[-1].planned_on == FRIDAY + timedelta(days=1)


def test_a_change_of_a_later_session_waits_as_a_draft(coach, people):
    address = _planned(coach, people)

    answer = _edit(coach, address, minutes="1:00", place="the canal")

    first, second = _versions(coach, address)
    assert answer.status_code == 303
    assert (first.minutes, second.minutes, second.place) == (45, 60, "the canal")
    assert second.published_at is None
    assert "changed, not published" in words_of(coach.get(address))


UNRELIABLE = {"heart_rate_use": HeartRateUse.NOT_RELIABLE, "effort_plan": "By talk."}


@pytest.mark.parametrize(
    ("field", "typed"),
    [("purpose", "Stay at 120 bpm."), ("title", "Walk, pulse under 130"), ("easy_version", "30 min, heart rate low")],
)
def test_a_typed_heart_rate_is_refused_beside_its_field_where_it_is_not_reliable(coach, people, field, typed):
    address = _planned(coach, people)
    with coach.db(write=True) as db:
        revision = clients.one(db, client_id=people.client.id).revision
        clients.change(db, client_id=people.client.id, revision=revision, values=UNRELIABLE)

    answer = _edit(coach, address, **{field: typed})
    added = coach.send(
        f"/clients/{people.client.id}/plan/add",
        planned_on=NEXT_MONDAY.isoformat(),
        shape="easy",
        mode="walk",
        minutes="40",
        **{field: typed},
    )

    assert (answer.status_code, added.status_code) == (422, 422)
    assert [f'id="f-{field}-error"' in page.text for page in (answer, added)] == [True, True]
    assert "This speaks of heart rate. Heart rate is not reliable for this client" in words_of(answer)
    assert len(_versions(coach, address)) == 1


def test_a_typed_heart_rate_is_kept_where_it_is_reliable(coach, people):
    address = _planned(coach, people)

    answer = _edit(coach, address, purpose="Stay at 120 bpm.")

    assert answer.status_code == 303


def test_spaces_alone_are_no_words(coach, people):
    address = _planned(coach, people)

    _edit(coach, address, title="   ", place="  the canal  ")

    assert (_versions(coach, address)[-1].title.strip(), _versions(coach, address)[-1].place) == (
        _versions(coach, address)[0].title,
        "the canal",
    )


def test_words_alone_leave_the_steps_as_they_are(coach, people):
    address = _hard_today(coach, people)

    _edit(coach, address, title="Hill rounds", reason="Clearer.")

    first, second = _versions(coach, address)
    assert second.title == "Hill rounds"
    assert second.steps_json == first.steps_json


def test_todays_session_changes_at_once_with_a_reason(coach, people, clock):
    address = _planned(coach, people, on=seed.TODAY)

    asked = _edit(coach, address, minutes="30")
    kept = _edit(coach, address, minutes="30", reason="Icy paths.")

    assert asked.status_code == 422
    assert "Today's session changes at once; say why" in words_of(asked)
    assert kept.status_code == 303
    text = words_of(coach.get(address))
    assert "Version 2, published Easy walk, Wed 25 November, 30 min Jonah Pell, 25 November 2026, 08:00" in text
    assert "Icy paths." in text
    assert "Version 1, published as the day began" in text


def test_todays_session_does_not_become_hard_for_somebody_in_the_base(coach, people):
    address = _planned(coach, people, on=seed.TODAY)

    page = _edit(
        coach,
        address,
        shape="intervals",
        mode="indoor_ride",
        protocol_key="four_by_four",
        rounds="4",
        reason="Why not",
    )

    assert page.status_code == 422
    assert "the client is in: aerobic base" in words_of(page)
    assert len(_versions(coach, address)) == 1


def test_an_easy_session_becomes_rounds_of_the_library(coach, people):
    address = _planned(coach, people, publish=False)

    _edit(coach, address, shape="intervals", mode="indoor_ride", protocol_key="three_by_four", rounds="3")

    made = _versions(coach, address)[-1]
    assert (made.kind, made.rounds, made.is_hard, made.hard_minutes) == (SessionKind.INTERVALS, 3, True, 12)
    # 10 min, three brisk half minutes with rests (5 min), 3 x 4 with 2 x 4 between, 10 min.
    assert made.minutes == 45
    assert made.title == "3 × 4 min, introductory"
    assert "pedal 30 minutes" in made.easy_version


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"minutes": "45 h"}, "Did you mean 45 min?"),
        ({"minutes": "12,5"}, "write 12 or 13."),
        ({"minutes": "NaN"}, "Write minutes as 45"),
        ({"minutes": ""}, "Please fill this in."),
        ({"planned_on": "2026-11-24"}, "Tue 24 Nov is over"),
        ({"planned_on": "2029-01-01"}, "more than a year ahead"),
        ({"planned_on": "soon"}, "Write the date as"),
        ({"shape": "intervals", "rounds": "4"}, "Choose the session of the library"),
        ({"shape": "intervals", "protocol_key": "pool_rounds", "rounds": "4"}, "is not done as"),
        ({"shape": "intervals", "protocol_key": "nothing", "rounds": "4"}, "Choose one of the library."),
        ({"shape": "middle", "minutes": "15"}, "at least 25 min"),
        ({"title": "x" * 201}, "under 200 characters"),
    ],
)
def test_a_bad_change_keeps_what_was_typed(coach, people, typed, sentence):
    address = _planned(coach, people)

    page = _edit(coach, address, purpose="Own words, kept", **typed)

    assert page.status_code == 422
    assert sentence in words_of(page)
    assert form_of(page, address)["purpose"] == "Own words, kept"
    assert len(_versions(coach, address)) == 1


def test_two_tabs_the_second_is_told_and_loses_nothing(coach, head, people):
    address = _planned(coach, people)
    form = form_of(coach.get(address), address)
    _edit(head, address, minutes="50", place="the lake")

    stale = coach.send(address, **(form | {"minutes": "40", "title": "My walk"}))

    text = words_of(stale)
    assert stale.status_code == 409
    assert "Greta Alm changed this session while you had it open." in text
    assert "Minutes 45 50 40" in text
    assert "Place the lake" in text
    assert [one.minutes for one in _versions(coach, address)] == [45, 50]

    applied = coach.send(address, **form_of(stale, address))

    newest = _versions(coach, address)[-1]
    assert applied.status_code == 303
    assert (newest.version, newest.minutes, newest.title) == (3, 40, "My walk")
    assert newest.place == "the lake"


def test_a_version_that_never_was_is_not_found(coach, people):
    address = _planned(coach, people)

    assert coach.send(address, **(form_of(coach.get(address), address) | {"version": "7"})).status_code == 404


def test_a_day_that_is_over_is_not_changed(coach, people):
    address = _planned(coach, people, on=NEXT_MONDAY)
    form = form_of(coach.get(address), address)
    with coach.db(write=True) as db:
        past = seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=1))

    answer = coach.send(f"/plan/sessions/{past}", **form)

    assert answer.status_code == 422
    assert "Tue 24 Nov is over; a day that is over is not changed any more." in words_of(answer)
    assert "Change it" not in words_of(coach.get(f"/plan/sessions/{past}"))


def test_moving_asks_for_a_reason_and_keeps_the_day_typed(coach, people):
    address = _planned(coach, people)

    asked = coach.send(f"{address}/move", to_on=FRIDAY.isoformat())
    moved = coach.send(f"{address}/move", **(form_of(asked, f"{address}/move") | {"reason": "Doctor's visit."}))

    assert asked.status_code == 422
    assert "Say why it moves" in words_of(asked)
    assert moved.status_code == 303
    assert _versions(coach, address)[-1].planned_on == FRIDAY


def test_moving_into_the_past_is_refused_beside_the_day(coach, people):
    address = _planned(coach, people)

    page = coach.send(f"{address}/move", to_on="2026-11-20", reason="x")

    assert page.status_code == 422
    assert "Fri 20 Nov is over; nothing is planned into the past." in words_of(page)


def test_easing_today_from_the_page(coach, people):
    address = _hard_today(coach, people)

    asked = coach.send(f"{address}/ease")
    eased = coach.send(f"{address}/ease", reason="Two notes worse than usual.")

    assert asked.status_code == 422
    assert "Say why it becomes easy today" in words_of(asked)
    assert eased.status_code == 303
    assert _versions(coach, address)[-1].is_hard is False


def test_the_easy_version_is_seen_before_it_is_chosen(coach, people):
    address = _hard_today(coach, people)

    text = words_of(coach.get(address))

    assert "Easy indoor ride instead of: Rounds, 30 min." in text


def test_no_easy_version_is_offered_while_all_training_is_on_hold(coach, people):
    address = _hard_today(coach, people)
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, stops=Stops.ALL)

    page = coach.get(address)

    assert "Not even the easy version may be sent today." in words_of(page)
    assert f'action="{address}/ease"' not in page.text


def test_an_easy_version_is_taken_back_the_same_day(coach, people):
    address = _hard_today(coach, people)
    coach.send(f"{address}/ease", reason="Two notes worse than usual.")
    asked = coach.send(f"{address}/take-back", version="2")
    page = coach.get(f"{address}/take-back")

    assert asked.status_code == 422
    assert len(_versions(coach, address)) == 2
    assert "What comes back today: Rounds, 57 min, hard." in words_of(page)
    assert "It was made easy because: Two notes worse than usual." in words_of(page)
    form = form_of(page, f"{address}/take-back")
    assert "4 rounds; the practice begins with 2" in words_of(page)
    needed = coach.send(f"{address}/take-back", **form)
    assert needed.status_code == 422
    assert "This asks for a reason, which is kept." in words_of(needed)
    answer = coach.send(f"{address}/take-back", **(form | {"despite": "Slept well after all; agreed with her."}))

    assert answer.status_code == 303
    first, _easy, back = _versions(coach, address)
    assert (back.title, back.steps_json, back.is_hard) == (first.title, first.steps_json, True)
    assert (back.published_at, back.reason) == (seed.NOW, "The easy version is taken back; it is as it was planned.")
    with coach.db() as db:
        newest = trail_of(db, client_id=people.client.id)[0]
    assert newest.action == "took easy back"
    assert (newest.reason or "").endswith("Even so: Slept well after all; agreed with her.")
    assert "Take the easy version back" not in words_of(coach.get(address))


def test_an_easy_version_is_not_taken_back_into_a_hold(coach, people):
    address = _hard_today(coach, people)
    coach.send(f"{address}/ease", reason="Two notes worse than usual.")
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, stops=Stops.HARD)

    page = coach.get(f"{address}/take-back")
    answer = coach.send(f"{address}/take-back", version="2", looked="yes")

    assert "It stays easy." in words_of(page)
    assert f'action="{address}/take-back"' not in page.text
    assert answer.status_code == 422
    assert "paused since" in words_of(page)
    assert "paused since" in words_of(answer)
    assert len(_versions(coach, address)) == 2


def test_only_an_easy_version_of_today_is_taken_back(coach, other_coach, people):
    address = _hard_today(coach, people)

    assert coach.send(f"{address}/take-back", version="1").status_code == 422
    assert other_coach.send(f"{address}/take-back", version="1").status_code == 404


def test_cancelling_a_published_session_tells_the_client_why(coach, people):
    address = _planned(coach, people)

    asked = coach.send(f"{address}/cancel", version="1")
    gone = coach.send(f"{address}/cancel", version="1", reason="Family comes.")

    assert asked.status_code == 422
    assert gone.status_code == 303
    last = _versions(coach, address)[-1]
    assert (last.is_cancelled, last.reason, last.published_at) == (True, "Family comes.", seed.NOW)
    with coach.db() as db:
        assert trail_of(db, client_id=people.client.id)[0].action == "cancelled"


def test_a_dropped_draft_disappears_and_can_be_taken_back(coach, people):
    address = _planned(coach, people, publish=False)

    dropped = coach.send(f"{address}/cancel", version="1")
    plan = coach.get(dropped.headers["location"])
    back = coach.send(f"{address}/restore", version="2")

    assert address not in plan.text
    assert back.status_code == 303
    assert _versions(coach, address)[-1].is_cancelled is False


def test_a_stale_cancel_is_told(coach, people):
    address = _planned(coach, people)
    _edit(coach, address, minutes="60")

    answer = coach.send(f"{address}/cancel", version="1", reason="Rain")

    assert answer.status_code == 409
    assert not _versions(coach, address)[-1].is_cancelled


def test_a_copy_for_another_client_is_a_draft_of_theirs(head, people):
    address = _planned(head, people)

    answer = head.send(f"{address}/copy", to_on=FRIDAY.isoformat(), to_client_id=str(people.other_client.id))

    assert answer.status_code == 303
    with head.db() as db:
        [copy] = scene.planned_of(db, people.other_client)
        assert (copy.planned_on, copy.title, copy.published_at) == (FRIDAY, "Easy walk", None)


def test_hard_work_is_not_copied_to_somebody_on_hold_but_its_easy_version_is(head, people):
    address = _hard_today(head, people)
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.other_client)
        seed.add_hold(db, client=people.other_client, stops=Stops.HARD)
    typed = {"to_on": FRIDAY.isoformat(), "to_client_id": str(people.other_client.id)}

    refused = head.send(f"{address}/copy", **typed)
    with head.db() as db:
        assert scene.planned_of(db, people.other_client) == []
    eased = head.send(f"{address}/copy", **typed, eased="yes")

    assert refused.status_code == 422
    assert re.search(
        r"No hard or middle work for .+ now\. Hard work is paused: .+ Tick its easy version", words_of(refused)
    )
    assert eased.status_code == 303
    with head.db() as db:
        assert [one.is_hard for one in scene.planned_of(db, people.other_client)] == [False]


def test_a_copy_says_what_does_not_suit_the_other_client(head, people):
    with head.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.other_client, mode=Mode.SWIM)
        session_id = seed.add_planned(db, client=people.client, mode=Mode.RUN, title="Easy run")

    typed = {"to_on": FRIDAY.isoformat(), "to_client_id": str(people.other_client.id)}
    sent = head.send(f"/plan/sessions/{session_id}/copy", **typed)

    assert "Easy run on Fri 27 Nov: a run, and none stands in their" in words_of(head.get(sent.headers["location"]))


def test_a_copy_does_not_reach_a_stranger(coach, people):
    address = _planned(coach, people)

    answer = coach.send(f"{address}/copy", to_on=FRIDAY.isoformat(), to_client_id=str(people.other_client.id))

    assert answer.status_code == 404


def test_a_copy_into_the_past_is_said_beside_the_day(coach, people):
    address = _planned(coach, people)

    page = coach.send(f"{address}/copy", to_on="2026-11-01", to_client_id=str(people.client.id))

    assert page.status_code == 422
    assert "Sun 1 Nov is over" in words_of(page)


def test_the_same_change_sent_again_makes_one_version(coach, people):
    address = _planned(coach, people)
    form = form_of(coach.get(address), address) | {
        "minutes": "50",
        "request_id": "8c1d7f0a-8a3e-4b1e-9d53-0a6f0e6f5a11",
    }

    first, again = coach.send(address, **form), coach.send(address, **form)

    assert (first.status_code, again.status_code) == (303, 303)
    assert len(_versions(coach, address)) == 2


def test_the_summary_of_errors_names_the_field_that_is_wrong(coach, people):
    with coach.db(write=True) as db:
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=3))
    wrong = {"version": "1", "shape": "intervals", "mode": "run", "rounds": "abc", "reason": "Six now"}

    changed = coach.send(f"/plan/sessions/{session_id}", planned_on="2026-11-28", **wrong)
    added = coach.send(f"/clients/{people.client.id}/plan/add", planned_on="2026-11-28", **wrong)

    assert (changed.status_code, added.status_code) == (422, 422)
    for page in (changed, added):
        assert ">For intervals: rounds: Write a whole number" in page.text


def test_hard_words_typed_into_todays_easy_session_ask_before_they_reach_the_client(coach, people):
    address = _planned(coach, people, on=seed.TODAY)

    asked = _edit(coach, address, title="Flat out to the gate", reason="The sun is out.")
    kept_before = len(_versions(coach, address))
    again = coach.send(address, **(form_of(asked, address) | {"despite": "Our joke: she strolls."}))

    assert (asked.status_code, kept_before, again.status_code) == (422, 1, 303)
    assert 'is planned as easy and sounds hard: "Flat out". This asks for a reason' in words_of(asked)
    assert [one.reason for one in _versions(coach, address)] == [None, "The sun is out."]
    with coach.db() as db:
        trail = trail_of(db, client_id=people.client.id)
    assert trail[0].reason == "The sun is out. Even so: Our joke: she strolls."
