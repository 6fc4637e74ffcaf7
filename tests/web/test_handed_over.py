"""The stand-in's sheet: dates, words, what is open, and only the notes that were handed over."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.people import Visibility
from app.storage import accounts
from tests import seed
from tests.plan_scenes import words_of


def test_the_stand_in_reads_who_until_when_and_what_is_open(stand_in, app, people):
    with app.state.house.transaction(True) as db:
        seed.make_calm(db, client=people.handed_client)
        seed.add_planned(db, client=people.handed_client, planned_on=seed.TODAY + timedelta(days=1))
        seed.add_note(db, client=people.handed_client, visibility=Visibility.PRIVATE, text="For the coach alone.")

    page = words_of(stand_in.get("/handed-over"))

    assert people.handed_client.name in page
    assert "Easy walk, 45 min" in page
    assert "For the coach alone." not in page
    assert "Back to the page" in words_of(stand_in.get("/handed-over/print"))


def test_words_and_private_notes_come_along_when_they_are_handed_over(head, other_coach, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_note(db, client=people.client, visibility=Visibility.PRIVATE, text="Worries about the heart.")
    form = {
        "client_id": people.client.id,
        "person_id": people.other_coach.id,
        "from_on": seed.TODAY.isoformat(),
        "until_on": (seed.TODAY + timedelta(days=7)).isoformat(),
        "with_private_notes": "yes",
        "words": "Ask about the knee first.",
    }

    assert head.send("/practice/handovers/new", **form).status_code == 303
    page = words_of(other_coach.get("/handed-over"))

    assert "Ask about the knee first." in page
    assert "Worries about the heart." in page


def test_nobody_handed_over_says_so(other_coach):
    assert "Nobody is handed over in these days." in words_of(other_coach.get("/handed-over"))


def test_the_head_coach_sees_every_sheet(head, app, people):
    with app.state.house.transaction(False) as db:
        given = accounts.handovers(db, until_from=seed.TODAY)

    page = words_of(head.get("/handed-over"))

    assert all(one.client_name in page for one in given)
