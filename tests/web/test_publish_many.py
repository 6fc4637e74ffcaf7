"""Publishing for many in one go, each beside what was seen; and taking it back on the day, towards less work only."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.plan_sending import TODAY_CHANGED
from app.coaching.session_steps import easy_steps
from app.coaching.steps import to_json
from app.storage import clients
from app.storage.audit import trail_of, trail_of_practice
from app.usecases.plan_many import undoing
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, words_of

ADDRESS = f"/plan/publish-many?week={NEXT_MONDAY}&weeks=1"
TUESDAY = NEXT_MONDAY + timedelta(days=1)


def _in_base(browser, *some):
    with browser.db(write=True) as db:
        for client in some:
            scene.in_base(db, client)


def _draft(browser, client, **changes):
    with browser.db(write=True) as db:
        return seed.add_planned(
            db,
            client=client,
            publish=False,
            **({"planned_on": TUESDAY, "steps_json": to_json(easy_steps(45, Mode.WALK))} | changes),
        )


def _change(browser, session_id, **changes):
    with browser.db(write=True) as db:
        scene.add_draft(db, session_id, **changes)


def _form(page, *some):
    """The form with only some clients ticked."""
    form = scene.form_of(page, ADDRESS.replace("&", "&amp;"))
    kept = {f"k{one.id}" for one in some} | {f"s{one.id}" for one in some} | {"said"}
    return {name: value for name, value in form.items() if name in kept}


def _publish(browser, *some, **more):
    return browser.send(ADDRESS, **(_form(browser.get(ADDRESS), *some) | more))


def _seen(browser, session_id):
    with browser.db() as db:
        published = [one for one in scene.versions(db, session_id) if one.published_at is not None]
    return published[-1] if published else None


def _undo(browser):
    address = _undo_address(browser)
    looked = browser.get(address)
    return looked, browser.send(address, **scene.form_of(looked, address))


def _undo_address(browser):
    with browser.db() as db:
        entry = next(one for one in trail_of_practice(db) if one.subject == "plans of many")
    return f"/plan/publish-many/undo?sent={entry.id}"


def test_everybody_ticked_is_sent_to_in_one_go_and_told(head, people):
    _in_base(head, people.client, people.other_client, people.handed_client)
    mine, theirs, other = (_draft(head, one) for one in (people.client, people.other_client, people.handed_client))

    answer = _publish(head, people.client, people.other_client)

    assert answer.status_code == 303
    assert [_seen(head, one) is not None for one in (mine, theirs, other)] == [True, True, False]
    with head.db() as db:
        [note] = clients.notes(db, client_id=people.client.id)
        trail = trail_of(db, client_id=people.client.id)
    assert "your plan" in note.text
    assert trail[0].action == "published"


def test_each_client_stands_with_what_was_seen_and_what_would_be_sent(head, people):
    _in_base(head, people.client, people.other_client)
    changed = _draft(head, people.client)
    _publish(head, people.client)
    _change(head, changed, planned_on=TUESDAY + timedelta(days=1), minutes=50)
    _draft(head, people.other_client)

    text = words_of(head.get(ADDRESS))

    assert "changed Tue 1 Dec: Easy walk, 45 min Wed 2 Dec: Easy walk, 50 min" in text
    assert "new nothing Tue 1 Dec: Easy walk, 45 min" in text


def test_whoever_has_a_refusing_finding_is_left_out_and_named(head, people):
    _in_base(head, people.client)
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.other_client)
        seed.add_hold(db, client=people.other_client, kind=HoldKind.SYMPTOM, stops=Stops.ALL)
    mine, theirs = _draft(head, people.client), _draft(head, people.other_client)

    page = head.get(ADDRESS)
    forged = _form(page, people.client) | {f"k{people.other_client.id}": "yes", f"s{people.other_client.id}": "2"}
    answer = head.send(ADDRESS, **forged)

    text = words_of(page)
    assert text.index("Left out") < text.index("Ruben Castor")
    assert answer.status_code == 303
    assert _seen(head, mine) is not None
    assert _seen(head, theirs) is None


def test_what_does_not_suit_a_client_stands_with_it_before_it_goes_out(head, people):
    _in_base(head, people.client)
    with head.db(write=True) as db:
        seed.add_log(db, client=people.client, mode=Mode.SWIM)
    _draft(head, people.client, title="Easy run", mode=Mode.RUN, steps_json=to_json(easy_steps(45, Mode.RUN)))
    said = "Easy run on Tue 1 Dec: a run, and none stands in their last 12 weeks or plan (swim)."

    assert said in words_of(head.get(ADDRESS))
    alone = head.get(f"/clients/{people.client.id}/plan/publish?week-{NEXT_MONDAY}=yes")
    assert said in words_of(alone)


def test_a_reason_is_asked_where_the_look_ahead_asks_and_kept_there_only(head, people):
    _in_base(head, people.client)
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.other_client)
        for days in (0, 1):
            seed.add_planned_hard(
                db, client=people.other_client, publish=False, planned_on=NEXT_MONDAY + timedelta(days=days)
            )
    _draft(head, people.client)
    both = (people.client, people.other_client)

    without, letter = _publish(head, *both), _publish(head, *both, reason="x")
    answer = _publish(head, *both, reason="She races on Sunday.")

    assert (without.status_code, letter.status_code) == (422, 422)
    assert "Write why it goes out all the same for Ruben Castor" in words_of(without)
    assert "At least 10 characters" in words_of(letter)
    assert answer.status_code == 303
    with head.db() as db:
        reasons = [trail_of(db, client_id=one.id)[0].reason for one in both]
    assert reasons == [None, "She races on Sunday."]


def test_a_change_of_todays_session_becomes_a_version_of_its_own(head, people):
    _in_base(head, people.client)
    with head.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=seed.TODAY)
    _change(head, session_id, minutes=30)
    address = f"/plan/publish-many?week={scene.THIS_MONDAY}&weeks=1"
    form = scene.form_of(head.get(address), address.replace("&", "&amp;"))

    head.send(address, **(form | {"reason": "Slept badly."}))

    with head.db() as db:
        versions = scene.versions(db, session_id)
    assert [(one.minutes, one.published_at is not None, one.reason) for one in versions] == [
        (45, True, None),
        (30, False, None),
        (30, True, TODAY_CHANGED),
    ]


def test_a_plan_that_changed_while_it_was_looked_at_sends_nothing(head, people):
    _in_base(head, people.client, people.other_client)
    mine, theirs = _draft(head, people.client), _draft(head, people.other_client)
    form = _form(head.get(ADDRESS), people.client, people.other_client)
    _change(head, theirs, minutes=60)

    answer = head.send(ADDRESS, **form)

    assert answer.status_code == 409
    assert "The plan of Ruben Castor changed" in words_of(answer)
    assert _seen(head, mine) is None


def test_a_coach_sends_to_own_clients_only_and_a_stand_in_to_nobody(coach, stand_in, people):
    _in_base(coach, people.client, people.other_client)
    _draft(coach, people.client)
    theirs = _draft(coach, people.other_client)

    page = coach.get(ADDRESS)
    answer = coach.send(
        ADDRESS,
        **(_form(page, people.client) | {f"k{people.other_client.id}": "yes", f"s{people.other_client.id}": "2"}),
    )

    assert "Ruben Castor" not in words_of(page)
    assert answer.status_code == 409
    assert _seen(coach, theirs) is None
    assert stand_in.get(ADDRESS).status_code == 403


def test_undo_takes_a_new_session_away_and_keeps_it_as_a_draft(head, people, clock):
    _in_base(head, people.client)
    session_id = _draft(head, people.client)
    _publish(head, people.client)
    clock.move(minutes=30)

    looked, answer = _undo(head)

    with head.db() as db:
        versions = scene.versions(db, session_id)
    assert "Tue 1 Dec: taken away: Easy walk, 45 min" in words_of(looked)
    assert answer.status_code == 303
    assert [(one.is_cancelled, one.published_at is not None) for one in versions] == [
        (False, True),
        (True, True),
        (False, False),
    ]
    assert head.get(_undo_address(head)).status_code == 404


def test_undo_brings_the_shorter_version_back_and_leaves_the_longer_one(head, people, clock):
    _in_base(head, people.client, people.other_client)
    longer, shorter = _draft(head, people.client), _draft(head, people.other_client)
    _publish(head, people.client, people.other_client)
    clock.move(minutes=20)
    _change(head, longer, minutes=50)
    _change(head, shorter, minutes=30)
    _publish(head, people.client, people.other_client)
    clock.move(minutes=20)

    looked, _answer = _undo(head)

    assert (_seen(head, longer).minutes, _seen(head, shorter).minutes) == (45, 30)
    assert "what stood before is more work" in words_of(looked)


def test_undo_takes_back_the_note_nobody_has_read_and_leaves_a_read_one(head, people, clock):
    _in_base(head, people.client, people.other_client)
    _draft(head, people.client)
    _draft(head, people.other_client)
    with head.db(write=True) as db:
        clients.add_shared_notes(
            db, notes=[(people.client.id, "Shoes dry?")], person_id=people.head.id, at=clock.now()
        )
    clock.move(minutes=5)
    _publish(head, people.client, people.other_client)
    with head.db(write=True) as db:
        [told] = clients.notes(db, client_id=people.other_client.id)
        clients.mark_note_read(db, note_id=told.id, client_id=people.other_client.id, at=clock.now())
    clock.move(minutes=30)

    looked, _answer = _undo(head)

    with head.db() as db:
        left = [one.text for one in clients.notes(db, client_id=people.client.id)]
        read = [one.id for one in clients.notes(db, client_id=people.other_client.id)]
        trail = trail_of(db, client_id=people.client.id)
    assert "is taken back where nothing of the sending is left and it was not read yet" in words_of(looked)
    assert left == ["Shoes dry?"]
    assert read == [told.id]
    assert (trail[0].action, trail[0].subject) == ("took back", "note")
    assert "your plan" in trail[0].change_json


def test_undo_leaves_the_note_where_something_of_the_sending_stays(head, people, clock):
    _in_base(head, people.client)
    session_id = _draft(head, people.client)
    _publish(head, people.client)
    clock.move(minutes=20)
    _change(head, session_id, minutes=30)
    _draft(head, people.client, planned_on=TUESDAY + timedelta(days=1))
    _publish(head, people.client, reason="Agreed on the phone.")
    clock.move(minutes=20)

    looked, _answer = _undo(head)

    assert "what stood before is more work" in words_of(looked)
    with head.db() as db:
        assert len(clients.notes(db, client_id=people.client.id)) == 2


def test_undo_leaves_whoever_has_entered_something_and_what_was_changed_since(head, people, clock):
    _in_base(head, people.client, people.other_client)
    entered, changed = _draft(head, people.client), _draft(head, people.other_client)
    _publish(head, people.client, people.other_client)
    with head.db(write=True) as db:
        seed.add_log(db, client=people.client, planned_session_id=entered)
        scene.add_draft(db, changed, minutes=20)
    clock.move(minutes=20)
    address = _undo_address(head)

    page = head.get(address)
    answer = head.send(address, seen="")

    assert "All of it stays: something of it is entered already." in words_of(page)
    assert "it was changed since." in words_of(page)
    assert answer.status_code == 422
    assert not _seen(head, entered).is_cancelled


def test_undo_is_for_the_day_and_for_whoever_sent_it(head, coach, people, clock):
    _in_base(head, people.client)
    _draft(head, people.client)
    _publish(head, people.client)
    address = _undo_address(head)
    clock.move(minutes=20)

    tomorrow = seed.NOW + timedelta(days=1)
    actor = scene.actor_of(people.head)
    with head.db() as db:
        today = undoing.sent_today(db, actor=actor, zone=seed.ZONE, now=clock.now())
        later = undoing.sent_today(db, actor=actor, zone=seed.ZONE, now=tomorrow)

    assert coach.get(address).status_code == 404
    assert (len(today), later) == (1, ())
