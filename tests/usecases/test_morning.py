"""What is done about a morning line: handled, put off, taken back, and the questions sent to those who wait."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import event

from app.coaching.access import Actor
from app.coaching.people import ClientState, Visibility
from app.coaching.phases import DecisionKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.rules import Rules
from app.storage import clients
from app.storage.audit import trail_of
from app.usecases.gate import NotYours
from app.usecases.morning.lines import handle, put_off, standing, take_back
from app.usecases.morning.page import this_morning
from app.usecases.morning.questions import Sent, asking_note, send_questions, waiting_ids
from tests import factories, seed

RULES = Rules()
TOMORROW = seed.TODAY + timedelta(days=1)
NEXT_WEEK = seed.TODAY + timedelta(days=7)


def actor_of(person) -> Actor:
    return Actor(person.id, person.name, person.role, None)


def see(db, person, *, now=seed.NOW):
    return this_morning(db, actor=actor_of(person), rules=RULES, now=now)


def tops(page) -> dict[str, str]:
    """The top reason of each line, by name."""
    return {one.line.client.name: one.line.top.name for one in (*page.today, *page.planning)}


def overdue(db, people, name="Maud Ellery"):
    """A client whose only line is a contact overdue."""
    client = seed.add_calm_client(db, coach_id=people.coach.id, name=name, spoken_days_ago=20)
    return client, standing_of(db, people, client, "contact_overdue").signal


def ill(db, people, name="Ansgar Vole"):
    """A client who wrote of a fever this morning."""
    client = seed.add_calm_client(db, coach_id=people.coach.id, name=name)
    seed.add_readiness(db, client=client, illness=factories.Illness.FEVER_OR_BELOW)
    return client, standing_of(db, people, client, "illness").signal


def standing_of(db, people, client, signal):
    return standing(db, actor=actor_of(people.coach), client_id=client.id, signal=signal, rules=RULES, now=seed.NOW)


def handled(db, people, client, line, *, done="Rang, all is well.", key=None, who=None, now=seed.NOW) -> int:
    return handle(
        db,
        actor=actor_of(who or people.coach),
        client_id=client.id,
        signal=line.name,
        key=key or line.key,
        done=done,
        rules=RULES,
        now=now,
    )


def rested(db, people, client, line, until_on, *, now=seed.NOW) -> int:
    return put_off(
        db,
        actor=actor_of(people.coach),
        client_id=client.id,
        signal=line.name,
        key=line.key,
        until_on=until_on,
        rules=RULES,
        now=now,
    )


def test_a_calm_client_has_no_line(coach, people):
    with coach.db(write=True) as db:
        client = seed.add_calm_client(db, coach_id=people.coach.id, name="Linnea Farrow")

        assert client.name not in tops(see(db, people.coach))


def test_a_line_handled_goes_leaves_a_trace_and_is_listed_for_the_day(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)

        handled(db, people, client, line)

        page = see(db, people.coach)
        entry = trail_of(db, client_id=client.id)[0]
        assert client.name not in tops(page)
        assert [(one.client.id, one.signal.name) for one in page.dealt] == [(client.id, "contact_overdue")]
        assert (entry.action, entry.reason, entry.person_name) == ("handled", "Rang, all is well.", "Jonah Pell")


def test_a_line_handled_returns_on_new_evidence(coach, people):
    with coach.db(write=True) as db:
        client, line = ill(db, people)
        handled(db, people, client, line)
        quiet_now = tops(see(db, people.coach))

        seed.add_readiness(db, client=client, noted_on=TOMORROW, illness=factories.Illness.FEVER_OR_BELOW)

        page = see(db, people.coach, now=seed.NOW + timedelta(days=1))
        back = next(one for one in page.today if one.line.client.id == client.id)
        assert client.name not in quiet_now
        assert back.line.top.name == "illness"
        assert back.returned["illness"].sentence == (
            "Back since you handled it on Wed 25 Nov: a new note says so, of today."
        )
        assert back.returned["illness"].said_then == line.sentence


def test_a_safety_line_is_not_handled_without_a_word(coach, people):
    with coach.db(write=True) as db:
        client, line = ill(db, people)

        with pytest.raises(Refused, match="what was done"):
            handled(db, people, client, line, done="  ")

        assert tops(see(db, people.coach))[client.name] == "illness"


@pytest.mark.parametrize("until_on", [NEXT_WEEK, seed.TODAY + timedelta(days=2)])
def test_a_safety_line_is_not_put_off_past_today(coach, people, until_on):
    with coach.db(write=True) as db:
        client, line = ill(db, people)

        with pytest.raises(Refused, match="cannot be put off past today"):
            rested(db, people, client, line, until_on)

        assert tops(see(db, people.coach))[client.name] == "illness"


def test_a_safety_line_put_off_for_the_day_stands_there_tomorrow(coach, people):
    with coach.db(write=True) as db:
        client, line = ill(db, people)

        rested(db, people, client, line, TOMORROW)

        assert client.name not in tops(see(db, people.coach))
        assert tops(see(db, people.coach, now=seed.NOW + timedelta(days=1)))[client.name] == "illness"


def test_a_line_put_off_comes_back_on_its_day(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)

        rested(db, people, client, line, seed.TODAY + timedelta(days=2))

        after = [tops(see(db, people.coach, now=seed.NOW + timedelta(days=n))) for n in range(3)]
        assert [client.name in one for one in after] == [False, False, True]


@pytest.mark.parametrize("days", [-1, 0, 32])
def test_a_line_is_put_off_neither_into_the_past_nor_out_of_sight(coach, people, days):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)

        with pytest.raises(Refused, match="Choose a day"):
            rested(db, people, client, line, seed.TODAY + timedelta(days=days))


def test_a_line_that_changed_since_the_page_was_shown_is_not_handled(coach, people):
    with coach.db(write=True) as db:
        client, line = ill(db, people)
        seed.add_readiness(
            db, client=client, noted_on=seed.TODAY + timedelta(days=1), illness=factories.Illness.ABOVE_NECK
        )

        with pytest.raises(StaleEdit, match="something new on this line"):
            handled(db, people, client, line, now=seed.NOW + timedelta(days=1))


def test_a_line_that_no_longer_stands_is_not_handled(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)
        seed.add_contact(db, client=client)

        with pytest.raises(StaleEdit, match="no longer stands"):
            handled(db, people, client, line)


def test_a_line_is_handled_once(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)
        handled(db, people, client, line)

        with pytest.raises(StaleEdit, match="already"):
            handled(db, people, client, line)


def test_a_line_taken_back_speaks_again(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)
        handled_id = handled(db, people, client, line)
        actor = actor_of(people.coach)

        take_back(db, actor=actor, client_id=client.id, handled_id=handled_id, now=seed.NOW)

        page = see(db, people.coach)
        assert (tops(page)[client.name], page.dealt) == ("contact_overdue", ())
        assert trail_of(db, client_id=client.id)[0].action == "take_back"
        with pytest.raises(StaleEdit):
            take_back(db, actor=actor, client_id=client.id, handled_id=handled_id, now=seed.NOW)


def test_a_line_is_not_taken_back_through_somebody_else(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)
        handled_id = handled(db, people, client, line)

        with pytest.raises(NotYours):
            take_back(
                db, actor=actor_of(people.coach), client_id=people.client.id, handled_id=handled_id, now=seed.NOW
            )


def test_a_stranger_handles_nothing(coach, people):
    with coach.db(write=True) as db:
        client, line = overdue(db, people)

        with pytest.raises(NotYours):
            handled(db, people, client, line, who=people.other_coach)


def test_questions_are_sent_once_to_each_who_waits_and_rest_for_a_week(coach, people):
    with coach.db(write=True) as db:
        actor = actor_of(people.coach)
        ids = waiting_ids(db, actor=actor, rules=RULES, now=seed.NOW)

        asked = send_questions(db, actor=actor, client_ids=ids, rules=RULES, now=seed.NOW)

        notes = clients.notes(db, client_id=people.client.id)
        later = seed.NOW + timedelta(days=7)
        assert (ids, asked) == ((people.client.id,), Sent(asked=1, unreached=0))
        assert [one.visibility for one in notes] == [Visibility.CLIENT]
        assert see(db, people.coach).waiting == ()
        assert see(db, people.coach).waiting_put_off == 1
        assert [one.id for one in see(db, people.coach, now=later).waiting] == [people.client.id]


def asked_with(db, people, client) -> str:
    return asking_note(db, actor=actor_of(people.coach), client_id=client.id, rules=RULES, now=seed.NOW)


def test_the_note_says_what_is_really_allowed_until_the_questions_are_answered(coach, people):
    with coach.db(write=True) as db:
        brought_in = seed.add_client(db, coach_id=people.coach.id, name="Odile Brae")
        seed.add_phase(db, client=brought_in, kind=DecisionKind.BROUGHT_IN)
        held = seed.add_client(db, coach_id=people.coach.id, name="Hild Aske")
        seed.add_hold(db, client=held)

        by_hand_said, brought_in_said = asked_with(db, people, people.client), asked_with(db, people, brought_in)
        held_said = asked_with(db, people, held)

    assert "Training begins once they are answered" in by_hand_said
    assert "Until then the easy plan stands, and hard work waits." in brought_in_said
    assert "What is paused stays paused" in held_said


def test_questions_go_to_nobody_when_one_is_a_strangers(coach, people):
    with coach.db(write=True) as db:
        ids = [people.client.id, people.other_client.id]

        with pytest.raises(NotYours):
            send_questions(db, actor=actor_of(people.coach), client_ids=ids, rules=RULES, now=seed.NOW)

        assert clients.notes(db, client_id=people.client.id) == []


def test_each_client_is_seen_on_their_own_today(coach, people):
    with coach.db(write=True) as db:
        far = seed.add_calm_client(db, coach_id=people.coach.id, name="Odile Brae", zone="Pacific/Auckland")
        seed.add_planned_hard(db, client=far, planned_on=TOMORROW)
        evening = seed.NOW + timedelta(hours=6)

        seed.add_readiness(db, client=far, noted_on=TOMORROW, slept_h=4.0)

        assert far.name not in tops(see(db, people.coach))
        assert tops(see(db, people.coach, now=evening))[far.name] == "hard_today_in_doubt"


def statements(db, person) -> int:
    seen: list[str] = []

    def note(_connection, _cursor, statement, *_rest) -> None:
        seen.append(statement)

    event.listen(db.get_bind(), "before_cursor_execute", note)
    see(db, person)
    event.remove(db.get_bind(), "before_cursor_execute", note)
    return len(seen)


def test_what_somebody_who_left_entered_last_is_still_listed(coach, people):
    with coach.db(write=True) as db:
        left = seed.add_client(db, coach_id=people.coach.id, name="Edda Marl", state=ClientState.LEFT)
        seed.add_log(db, client=left, done_on=seed.TODAY - timedelta(days=1))
        seed.add_client(db, coach_id=people.coach.id, name="Osric Vane", state=ClientState.LEFT)

        page = see(db, people.coach)

    assert [one.client.name for one in page.entries] == ["Edda Marl"]
    assert page.logged_yesterday == 1
    assert {"Edda Marl", "Osric Vane"} <= {one.name for one in page.clients}


def test_the_number_of_statements_does_not_grow_with_clients(coach, people):
    with coach.db(write=True) as db:
        made = [overdue(db, people, f"Walker {number}") for number in range(2)]
        with_three = statements(db, people.coach)
        made += [ill(db, people, f"Rider {number}") for number in range(9)]
        [handled(db, people, client, line) for client, line in made[:5]]

        with_twelve = statements(db, people.coach)
        lines = len(tops(see(db, people.coach)))

    assert 0 < with_three == with_twelve
    assert lines >= 6
