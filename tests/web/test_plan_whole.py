"""A whole plan: what it breaks as it stands, what goes out and what stays, which block counts."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest

from app.coaching.people import ClientState, Visibility
from app.coaching.prescriptions import SessionKind
from app.storage import clients
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of
from tests.web.test_plan import BASE, HARD, _at, _in_base, _keep_base, _publish, _ready_for_hard, _weeks_ticked


def test_the_plan_says_what_it_breaks_as_it_is_published(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        for days in (1, 4, 8, 11):
            seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days))

    text = words_of(coach.get(_at(people)))

    assert "As the plan stands" in text
    assert "4 hard sessions in 14 days (Thu 26 Nov, Sun 29 Nov, Thu 3 Dec, Sun 6 Dec); 3 is full." in text
    assert "Look over and publish" not in text


def test_nobody_asked_yet_is_told_before_the_block_and_once_after(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)
        scene.give_days(db, people.client)

    form = coach.get(_at(people, "/base"))
    preview = coach.send(_at(people, "/base"), **BASE, step="preview")
    _keep_base(coach, people)
    plan = coach.get(_at(people))
    look = coach.get(_weeks_ticked(people, NEXT_MONDAY))

    questions = f'href="/clients/{people.client.id}/entry/questions"'
    assert "nothing of it can be published before Ilse Brandt has answered them" in words_of(form)
    assert words_of(preview).count("Not published None of the 12 sessions can be published") == 1
    assert words_of(plan).count("Not published None of the 12 sessions can be published") == 1
    assert words_of(look).count("Not published None of the 3 sessions can be published") == 1
    assert all(questions in page.text for page in (form, preview, plan, look))


def test_a_long_block_is_shown_and_sent_whole(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people, weeks="10")

    page = coach.get(_at(people))

    assert "Week of Mon 1 February" in words_of(page)
    assert len(re.findall(r'name="week-2[^"]+" value="yes" checked', page.text)) == 10


def test_what_stays_a_draft_is_named_when_publishing(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)

    text = words_of(coach.get(_weeks_ticked(people, NEXT_MONDAY)))

    assert "9 changes wait in other weeks and do not go out now." in text
    assert "Mon 7 December Easy walk" in text


def test_a_message_goes_along_as_the_coach_changed_it(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)

    page = coach.get(_weeks_ticked(people, NEXT_MONDAY))
    first = form_of(page, _at(people, "/publish"))["message"]
    answer = _publish(coach, people, NEXT_MONDAY, reason="Agreed.", message="See you on Monday.")

    assert first.startswith("Hello Ilse, your plan from Mon 30 Nov to Sat 5 Dec is there.")
    assert "New: 3 sessions, none of them hard." in first
    assert answer.status_code == 303
    with coach.db() as db:
        notes = clients.notes(db, client_id=people.client.id)
        assert [(note.text, note.visibility) for note in notes] == [("See you on Monday.", Visibility.CLIENT)]


def test_no_message_is_sent_when_the_coach_empties_it(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)

    _publish(coach, people, NEXT_MONDAY, reason="Agreed.", message="")

    with coach.db() as db:
        assert clients.notes(db, client_id=people.client.id) == []


@pytest.mark.parametrize(
    ("has_phone", "said"),
    [(True, "No phone of Bruno Keel is signed in"), (False, "Bruno Keel has no phone here: print the week, or tell")],
)
def test_only_who_has_a_phone_is_said_to_see_it_and_is_written_to(coach, people, has_phone, said):
    with coach.db(write=True) as db:
        client = seed.add_client(db, coach_id=people.coach.id, name="Bruno Keel", has_phone=has_phone)
        scene.in_base(db, client)
        seed.add_planned(db, client=client, planned_on=NEXT_MONDAY, publish=False)
    address = f"/clients/{client.id}/plan/publish"

    page = coach.get(f"{address}?week-{NEXT_MONDAY.isoformat()}=yes")
    answer = coach.send(address, **form_of(page, address))

    assert said in words_of(page)
    assert said in words_of(coach.get(answer.headers["location"]))
    with coach.db() as db:
        assert bool(clients.notes(db, client_id=client.id)) is has_phone


def test_who_is_signed_in_sees_it_at_once(coach, client_phone, people):
    _in_base(coach, people)
    _keep_base(coach, people)

    assert "sees it on the phone at once" in words_of(coach.get(_weeks_ticked(people, NEXT_MONDAY)))


def test_an_older_blocks_drafts_are_named_and_not_ticked(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, weeks=0)
    later = NEXT_MONDAY + timedelta(weeks=2)
    address = _at(people, "/intervals")
    preview = coach.send(address, **(HARD | {"starts_on": later.isoformat(), "step": "preview"}))
    coach.send(address, **(form_of(preview, address) | {"step": "keep", "replace": "yes"}))

    page = coach.get(_at(people))
    look = coach.get(_weeks_ticked(people, NEXT_MONDAY, later))

    old, new = f"week-{NEXT_MONDAY.isoformat()}", f"week-{later.isoformat()}"
    assert "It takes the place of 6 drafts of the block of 30 Nov (Build the aerobic base)." in words_of(preview)
    assert f'name="{old}" value="yes">' in page.text
    assert f'name="{new}" value="yes" checked>' in page.text
    assert "This week comes from the block of 30 Nov (Build the aerobic base)." in words_of(page)
    assert "Next: Hard rounds, even and upright, 4 weeks from Mon 14 Dec." in words_of(page)
    assert "from the block of 30 Nov (Build the aerobic base)" in words_of(look)


def test_a_test_stays_when_a_block_is_written_over_it(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        loop_id = seed.add_planned(
            db,
            client=people.client,
            planned_on=NEXT_MONDAY,
            title="Standard loop",
            kind=SessionKind.TEST,
            publish=False,
        )

    preview = coach.send(_at(people, "/base"), **BASE, step="preview")
    _keep_base(coach, people)

    assert "Standard loop stays on Mon 30 Nov; its 45 min count." in words_of(preview)
    with coach.db() as db:
        assert not scene.versions(db, loop_id)[-1].is_cancelled
        monday = [one.title for one in scene.planned_of(db, people.client) if one.planned_on == NEXT_MONDAY]
        assert monday == ["Standard loop"]


def test_a_first_week_above_the_target_is_refused_beside_it(coach, people):
    _in_base(coach, people)

    page = coach.send(
        _at(people, "/base"), **(BASE | {"start_minutes": "600", "target_minutes": "100"}), step="preview"
    )

    assert page.status_code == 422
    assert "The first week, 600 min, is above the 100 min it should grow towards" in words_of(page)


def test_a_hard_day_without_minutes_is_the_first_thing_said(coach, people):
    _ready_for_hard(coach, people)

    page = coach.send(_at(people, "/intervals"), **(HARD | {"hard_2": None, "hard_1": "yes"}), step="preview")

    said = words_of(page).split("The weeks as they would be")[1].strip()
    assert said.startswith("Not everything wished for fits the rules.")
    assert "Gives up: 4 on a day not ticked (Monday)." in said


def test_the_first_interval_block_begins_next_monday_whatever_stands_there(coach, people):
    _ready_for_hard(coach, people)
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(weeks=6), publish=False)

    form = form_of(coach.get(_at(people, "/intervals")), _at(people, "/intervals"))

    assert (form["starts_on"], form["introductory"]) == (NEXT_MONDAY.isoformat(), "yes")


def test_who_has_left_is_not_among_the_plans(coach, people):
    with coach.db(write=True) as db:
        clients.change(db, client_id=people.client.id, revision=1, values={"state": ClientState.LEFT})

    assert "Ilse Brandt" not in coach.get("/plan").text


def _hard_astray(coach, people):
    """Two published hard sessions of somebody who went back to the base."""
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        return [
            seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days))
            for days in (1, 8)
        ]


@pytest.mark.parametrize(("way", "is_cancelled"), [("ease", False), ("cancel", True)])
def test_hard_work_outside_its_phase_is_mended_in_one_go(coach, people, way, is_cancelled):
    ids = _hard_astray(coach, people)
    address = _at(people, "/hard-ahead")
    page = coach.get(_at(people))

    asked = coach.send(address, **(form_of(page, address) | {"way": way, "reason": ""}))
    done = coach.send(address, **(form_of(page, address) | {"way": way, "reason": "Back to the base."}))

    assert "2 hard sessions are still published" in words_of(page)
    assert (asked.status_code, done.status_code) == (422, 303)
    assert "Say why; the client reads it." in words_of(asked)
    with coach.db() as db:
        newest = [scene.versions(db, session_id)[-1] for session_id in ids]
        assert [(one.is_cancelled, one.reason) for one in newest] == [(is_cancelled, "Back to the base.")] * 2
        assert all(one.published_at == seed.NOW and (one.is_cancelled or not one.is_hard) for one in newest)
    assert "still published" not in words_of(coach.get(_at(people)))


def test_mending_a_plan_that_changed_meanwhile_changes_nothing(coach, people):
    ids = _hard_astray(coach, people)
    address = _at(people, "/hard-ahead")

    answer = coach.send(address, seen="1,2,3", way="ease", reason="Back to the base.")

    assert answer.status_code == 409
    with coach.db() as db:
        assert [len(scene.versions(db, session_id)) for session_id in ids] == [1, 1]


def test_a_stand_in_does_not_mend_the_plan_in_one_go(stand_in, other_coach, people):
    assert stand_in.send(f"/clients/{people.handed_client.id}/plan/hard-ahead", way="ease").status_code == 403
    assert other_coach.send(_at(people, "/hard-ahead"), way="ease").status_code == 404
