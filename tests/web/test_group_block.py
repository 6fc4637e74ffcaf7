"""A block for a group: written for each from their own records, with whoever it does not fit named and left out."""

from __future__ import annotations

import re
from datetime import timedelta

from app.coaching.people import AvailableDay, ClientState, Mode
from app.storage import clients
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of

ADDRESS = "/plan/group-block"
WISH = {"starts_on": NEXT_MONDAY, "weeks": "4", "protocol_key": "base"}


def _everyone_in_base(browser, people):
    with browser.db(write=True) as db:
        for client in (people.client, people.other_client, people.handed_client):
            scene.in_base(db, client)


def _ticks(*some):
    return {f"k{one.id}": "yes" for one in some}


def _look(browser, *some, **wish):
    return browser.send(ADDRESS, **(WISH | wish), **_ticks(*some), step="preview")


def _going(browser, client):
    with browser.db() as db:
        return scene.planned_of(db, client)


def test_each_client_gets_a_block_of_their_own_as_drafts(head, people):
    _everyone_in_base(head, people)
    with head.db(write=True) as db:
        days = [AvailableDay(people.other_client.id, weekday, 50, None, None) for weekday in (1, 3, 6)]
        clients.replace_available_days(db, client_id=people.other_client.id, days=days)
        seed.add_base_weeks(db, client=people.other_client, count=4, minutes=50)

    looked = _look(head, people.client, people.other_client)
    answer = head.send(ADDRESS, **form_of(looked, ADDRESS), step="keep")

    ours, theirs = _going(head, people.client), _going(head, people.other_client)
    assert answer.status_code == 303
    assert {one.planned_on.weekday() for one in ours} == {0, 2, 5}
    assert {one.planned_on.weekday() for one in theirs} == {1, 3, 6}
    assert sum(one.minutes for one in theirs) > sum(one.minutes for one in ours)
    assert all(one.published_at is None for one in (*ours, *theirs))
    assert "Days: Tue 50, Thu 50, Sun 50 min" in words_of(looked)


def test_whoever_is_unticked_is_left_out(head, people):
    _everyone_in_base(head, people)
    form = form_of(_look(head, people.client, people.other_client), ADDRESS)
    del form[f"k{people.other_client.id}"]

    head.send(ADDRESS, **form, step="keep")

    assert _going(head, people.client)
    assert _going(head, people.other_client) == []


def test_whoever_it_does_not_fit_is_named_with_the_reason(head, people):
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        scene.in_base(db, people.other_client)
        clients.set_state(db, client_id=people.handed_client.id, state=ClientState.ACTIVE)
    everyone = (people.client, people.other_client, people.handed_client)

    looked = _look(head, *everyone, protocol_key="two_by_four", hard_0="yes")
    text = words_of(looked)
    head.send(ADDRESS, **form_of(looked, ADDRESS), step="keep")

    assert "Ruben Castor : Hard sessions belong to an interval or keeping phase" in text
    assert "Hanne Weidel : No days of the week are known yet" in text
    assert any(one.is_hard for one in _going(head, people.client))
    assert _going(head, people.other_client) == []


def test_drafts_are_replaced_only_when_that_is_ticked(head, people):
    _everyone_in_base(head, people)
    head.send(ADDRESS, **form_of(_look(head, people.client), ADDRESS), step="keep")

    untold = words_of(_look(head, people.client))
    told = _look(head, people.client, replace="yes")

    assert "would be replaced; tick that they may" in untold
    assert "It takes the place of" in words_of(told)


def test_a_plan_that_changed_after_the_look_keeps_nothing(head, people):
    _everyone_in_base(head, people)
    form = form_of(_look(head, people.client, people.other_client, replace="yes", cancel_published="yes"), ADDRESS)
    with head.db(write=True) as db:
        seed.add_planned(db, client=people.other_client, planned_on=NEXT_MONDAY)

    answer = head.send(ADDRESS, **form, step="keep")

    assert answer.status_code == 409
    assert _going(head, people.client) == []


def test_others_clients_are_passed_over_and_a_stand_in_writes_none(coach, stand_in, people):
    _everyone_in_base(coach, people)

    looked = _look(coach, people.client, people.other_client)

    assert "Ruben Castor" not in words_of(looked)
    assert stand_in.get(ADDRESS).status_code == 403
    assert _look(stand_in, people.handed_client).status_code == 403


def test_nobody_ticked_is_said_beside_the_list(coach):
    answer = _look(coach)

    assert answer.status_code == 422
    assert "Tick at least one client." in words_of(answer)


def _differs(client, **values):
    return {f"d{client.id}_{name}": value for name, value in values.items()}


def _first_week_of(sessions, monday):
    return sum(one.minutes for one in sessions if monday <= one.planned_on < monday + timedelta(weeks=1))


def test_what_differs_for_one_client_is_kept_for_that_client_only(head, people):
    _everyone_in_base(head, people)
    later = NEXT_MONDAY + timedelta(weeks=2)
    plain = form_of(_look(head, people.client, people.other_client), ADDRESS)
    other = _differs(people.other_client, starts_on=later.isoformat(), start_minutes="75", every="2")

    again = head.send(ADDRESS, **(plain | other), step="preview")
    answer = head.send(ADDRESS, **form_of(again, ADDRESS), step="keep")

    ours, theirs = _going(head, people.client), _going(head, people.other_client)
    assert answer.status_code == 303
    assert min(one.planned_on for one in ours) == NEXT_MONDAY
    assert min(one.planned_on for one in theirs) == later
    assert _first_week_of(theirs, later) == 75
    assert _first_week_of(ours, NEXT_MONDAY) != 75
    assert _first_week_of(theirs, later + timedelta(weeks=1)) < 75


def test_a_second_look_shows_the_weeks_with_what_differs_and_keeps_it_typed(head, people):
    _everyone_in_base(head, people)
    typed = _differs(people.other_client, start_minutes="1:15", target_minutes="90")

    first = head.send(ADDRESS, **WISH, **_ticks(people.client, people.other_client), **typed, step="preview")
    second = head.send(ADDRESS, **form_of(first, ADDRESS), step="preview")

    assert typed.items() <= form_of(second, ADDRESS).items()
    assert "Different from the group: starts at 1 h 15 a week; up to 1 h 30 a week." in words_of(second)
    assert words_of(second).count("Different from the group") == 1


def test_what_differs_and_cannot_be_is_said_beside_its_field_and_nothing_is_kept(head, people):
    _everyone_in_base(head, people)
    plain = form_of(_look(head, people.client, people.other_client), ADDRESS)
    wrong = _differs(people.other_client, start_minutes="ninety", every="40")

    answer = head.send(ADDRESS, **(plain | wrong), step="keep")

    name = f"d{people.other_client.id}_every"
    beside = re.search(rf'<p class="error" id="f-{name}-error">([^<]*)</p>', answer.text)
    assert answer.status_code == 422
    assert beside
    assert beside[1] == "This should be between 2 and 6 weeks."
    assert "Easier week for Ruben Castor every: This should be between 2 and 6 weeks." in words_of(answer)
    assert wrong.items() <= form_of(answer, ADDRESS).items()
    assert _going(head, people.client) == _going(head, people.other_client) == []


def test_what_differs_stays_typed_when_the_groups_own_answers_are_wrong(head, people):
    _everyone_in_base(head, people)
    typed = _differs(people.other_client, start_minutes="75")

    answer = head.send(ADDRESS, **(WISH | {"weeks": "99"}), **_ticks(people.other_client), **typed, step="preview")

    assert answer.status_code == 422
    assert typed.items() <= form_of(answer, ADDRESS).items()


def test_what_differs_after_the_look_is_looked_at_before_it_is_kept(head, people):
    _everyone_in_base(head, people)
    plain = form_of(_look(head, people.client, people.other_client), ADDRESS)

    answer = head.send(ADDRESS, **(plain | _differs(people.other_client, start_minutes="75")), step="keep")

    assert answer.status_code == 409
    assert _going(head, people.client) == _going(head, people.other_client) == []


def test_whoever_no_longer_fits_after_the_look_stops_the_keeping(head, people):
    _everyone_in_base(head, people)
    form = form_of(_look(head, people.client, people.other_client), ADDRESS)
    with head.db(write=True) as db:
        seed.add_planned(db, client=people.other_client, planned_on=NEXT_MONDAY)

    answer = head.send(ADDRESS, **form, step="keep")

    assert answer.status_code == 409
    assert _going(head, people.client) == []


def test_an_interval_block_takes_other_hard_days_and_minutes_for_one_client(head, people):
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        scene.may_do_hard_work(db, people.other_client)
        scene.give_days(db, people.other_client)
    both = (people.client, people.other_client)
    plain = form_of(_look(head, *both, protocol_key="two_by_four", hard_0="yes"), ADDRESS)
    other = _differs(people.other_client, hard_2="yes", volume_minutes="100")

    again = head.send(ADDRESS, **(plain | other), step="preview")
    head.send(ADDRESS, **form_of(again, ADDRESS), step="keep")

    ours = [one for one in _going(head, people.client) if one.is_hard]
    theirs = [one for one in _going(head, people.other_client) if one.is_hard]
    assert {one.planned_on.weekday() for one in ours} == {0}
    assert {one.planned_on.weekday() for one in theirs} == {2}
    assert "hard on Wed" in words_of(again)


def test_a_hard_session_not_written_for_what_a_client_does_most_says_so(head, people):
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_log(db, client=people.client, mode=Mode.SWIM)

    looked = words_of(_look(head, people.client, protocol_key="two_by_four", hard_0="yes"))

    assert "the session is not written for swim, what they do most." in looked
    assert "By swim, what they do most." not in looked


def test_a_swimmers_block_is_swims_while_the_others_walk(head, people):
    _everyone_in_base(head, people)
    swims = {f"d{people.other_client.id}_mode": "swim"}

    looked = _look(head, people.client, people.other_client, **swims)
    head.send(ADDRESS, **form_of(looked, ADDRESS), step="keep")

    assert "Different from the group: by swim." in words_of(looked)
    assert {one.mode for one in _going(head, people.client)} == {Mode.WALK}
    assert {one.mode for one in _going(head, people.other_client)} == {Mode.SWIM}


def test_a_way_of_moving_that_is_new_to_a_client_is_said_before_the_block_is_kept(head, people):
    _everyone_in_base(head, people)
    with head.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=4)
    swims = {f"d{people.client.id}_mode": "swim"}

    looked = words_of(_look(head, people.client, people.other_client, **swims))

    assert looked.count("a swim, and none stands in their last 12 weeks or plan (walk).") == 1


def test_a_way_of_moving_the_session_is_not_written_for_leaves_the_client_out(head, people):
    with head.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
    swims = {f"d{people.client.id}_mode": "swim"}

    looked = words_of(_look(head, people.client, protocol_key="four_by_four", hard_0="yes", **swims))

    assert "The session is not written for swim." in looked


def test_what_was_typed_for_a_client_stays_when_they_are_unticked_and_when_the_block_becomes_another(head, people):
    _everyone_in_base(head, people)
    name = f"d{people.other_client.id}_start_minutes"
    form = form_of(_look(head, people.client, people.other_client, **{name: "75"}), ADDRESS)
    del form[f"k{people.other_client.id}"]

    unticked = head.send(ADDRESS, **form, step="preview")
    other_kind = head.send(ADDRESS, **form_of(unticked, ADDRESS) | {"protocol_key": "four_by_four"}, step="preview")

    assert "What was typed for them stays here" in words_of(unticked)
    assert form_of(unticked, ADDRESS)[name] == "75"
    assert f"k{people.other_client.id}" not in form_of(unticked, ADDRESS)
    assert form_of(other_kind, ADDRESS)[name] == "75"
