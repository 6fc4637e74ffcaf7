"""One act for a line of many: each client's line and trail, and one way back for all of them."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import event

from app.coaching.access import Actor
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ContactKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.storage import clients, safety
from app.storage.audit import trail_of
from app.usecases.gate import NotYours
from app.usecases.morning.page import this_morning
from app.usecases.morning.together import (
    Dealing,
    Spoken,
    deal_together,
    dealt_together,
    lines_together,
    take_back_together,
)
from tests import seed

RULES = Rules()
SENT = Spoken(ContactKind.MESSAGE, seed.TODAY, "How is it going?")
LATER = seed.TODAY + timedelta(days=5)


def actor_of(person) -> Actor:
    return Actor(person.id, person.name, person.role, None)


def overdue(db, people, *names):
    return [seed.add_calm_client(db, coach_id=people.coach.id, name=one, spoken_days_ago=20) for one in names]


def tops(db, people) -> dict[str, str]:
    page = this_morning(db, actor=actor_of(people.coach), rules=RULES, now=seed.NOW)
    return {one.line.client.name: one.line.top.name for one in (*page.today, *page.planning)}


def lines(db, people, found, *, who=None):
    return lines_together(
        db,
        actor=actor_of(who or people.coach),
        signal="contact_overdue",
        client_ids=[one.id for one in found],
        rules=RULES,
        now=seed.NOW,
    )


def deal(db, people, found, dealing, *, keys=None):
    chosen = keys or {one.client.id: one.signal.key for one in lines(db, people, found)}
    return deal_together(
        db,
        actor=actor_of(people.coach),
        signal="contact_overdue",
        chosen=chosen,
        dealing=dealing,
        rules=RULES,
        now=seed.NOW,
    )


def back(db, people, entry_id, *, who=None):
    return take_back_together(
        db, actor=actor_of(who or people.coach), entry_id=entry_id, zone=seed.ZONE, now=seed.NOW
    )


def statements(db, people, found) -> int:
    seen: list[str] = []

    def note(_connection, _cursor, statement, *_rest) -> None:
        seen.append(statement)

    event.listen(db.get_bind(), "before_cursor_execute", note)
    lines(db, people, found)
    event.remove(db.get_bind(), "before_cursor_execute", note)
    return len(seen)


@pytest.mark.parametrize(
    ("dealing", "action"),
    [
        (Dealing(done="Wrote to them."), "handled"),
        (Dealing(until_on=LATER), "put_off"),
        (Dealing(SENT), "add_contact"),
    ],
)
def test_each_client_has_one_entry_in_the_trail_and_one_press_takes_it_all_back(coach, people, dealing, action):
    with coach.db(write=True) as db:
        found = overdue(db, people, "Maud Ellery", "Piet Quill", "Suki Tarn")

        entry_id = deal(db, people, found, dealing)

        assert [[one.action for one in trail_of(db, client_id=c.id)] for c in found] == [[action]] * 3
        assert not {one.name for one in found} & set(tops(db, people))
        assert back(db, people, entry_id) == (3, 0)
        assert {one.name for one in found} <= set(tops(db, people))
        assert [[one.action for one in trail_of(db, client_id=c.id)] for c in found] == [["take_back", action]] * 3
        assert dealt_together(db, actor=actor_of(people.coach), zone=seed.ZONE, now=seed.NOW) == ()


def test_only_those_who_are_ticked_are_dealt_with(coach, people):
    with coach.db(write=True) as db:
        maud = overdue(db, people, "Maud Ellery", "Piet Quill")[0]

        deal(db, people, [maud], Dealing())

        assert "Maud Ellery" not in tops(db, people)
        assert tops(db, people)["Piet Quill"] == "contact_overdue"


def test_nothing_is_done_when_the_line_of_one_has_changed(coach, people):
    with coach.db(write=True) as db:
        found = overdue(db, people, "Maud Ellery", "Piet Quill")
        keys = {one.client.id: one.signal.key for one in lines(db, people, found)}
        seed.add_contact(db, client=found[0])

        with pytest.raises(StaleEdit, match="1 line changed"):
            deal(db, people, found, Dealing(SENT), keys=keys)

        assert tops(db, people)["Piet Quill"] == "contact_overdue"
        assert trail_of(db, client_id=found[1].id) == []


def test_a_day_too_far_ahead_or_still_to_come_is_refused_for_all(coach, people):
    with coach.db(write=True) as db:
        found = overdue(db, people, "Maud Ellery", "Piet Quill")
        tomorrow = Spoken(ContactKind.CALL, seed.TODAY + timedelta(days=1), "Rang.")

        with pytest.raises(Refused, match="within 31 days"):
            deal(db, people, found, Dealing(until_on=seed.TODAY + timedelta(days=32)))
        with pytest.raises(Refused, match="has not come yet"):
            deal(db, people, found, Dealing(tomorrow))
        with pytest.raises(Refused, match="Tick at least one"):
            deal_together(
                db,
                actor=actor_of(people.coach),
                signal="contact_overdue",
                chosen={},
                dealing=Dealing(),
                rules=RULES,
                now=seed.NOW,
            )


def test_words_alone_do_not_settle_questions_that_are_due(coach, people):
    with coach.db(write=True) as db:
        client = seed.add_calm_client(db, coach_id=people.coach.id, name="Maud Ellery")
        actor, days = actor_of(people.coach), seed.NOW + timedelta(days=84)
        line = lines_together(db, actor=actor, signal="questions_due", client_ids=[client.id], rules=RULES, now=days)[
            0
        ]

        with pytest.raises(Refused, match="Words alone"):
            deal_together(
                db,
                actor=actor,
                signal="questions_due",
                chosen={client.id: line.signal.key},
                dealing=Dealing(done="Yes."),
                rules=RULES,
                now=days,
            )


def test_a_reason_that_is_no_line_of_many_is_not_dealt_with_so(coach, people):
    with coach.db(write=True) as db, pytest.raises(StaleEdit, match="many at once"):
        lines_together(db, actor=actor_of(people.coach), signal="illness", client_ids=[], rules=RULES, now=seed.NOW)


def test_nobody_deals_with_clients_who_are_not_theirs(coach, people):
    with coach.db(write=True) as db:
        found = overdue(db, people, "Maud Ellery")

        with pytest.raises(NotYours):
            lines(db, people, found, who=people.other_coach)


def test_nobody_else_takes_it_back_and_nobody_twice(coach, people):
    with coach.db(write=True) as db:
        entry_id = deal(db, people, overdue(db, people, "Maud Ellery", "Piet Quill"), Dealing())

        with pytest.raises(NotYours):
            back(db, people, entry_id, who=people.head)
        back(db, people, entry_id)
        with pytest.raises(NotYours):
            back(db, people, entry_id)


def test_a_contact_stays_where_a_hold_was_lifted_since(coach, people):
    with coach.db(write=True) as db:
        maud, piet = overdue(db, people, "Maud Ellery", "Piet Quill")
        hold_id = seed.add_hold(db, client=maud, kind=HoldKind.COACH, stops=Stops.HARD)
        entry_id = deal(db, people, [maud, piet], Dealing(SENT))
        safety.lift_hold(
            db, hold_id=hold_id, because="Talked it over.", clearance_id=None, person_id=people.coach.id, at=seed.NOW
        )

        assert back(db, people, entry_id) == (1, 1)

        assert "How is it going?" in [one.text for one in clients.contacts(db, client_id=maud.id)]
        assert "How is it going?" not in [one.text for one in clients.contacts(db, client_id=piet.id)]


def test_dealing_asks_as_many_reading_statements_for_many_as_for_few(coach, people):
    counts = []
    for number in (2, 8):
        with coach.db(write=True) as db:
            found = overdue(db, people, *(f"Client {number} {one}" for one in range(number)))
            counts.append(statements(db, people, found))
    assert counts[0] == counts[1]
