"""Plans: the list, one client's weeks, blocks, publishing, copying and the sheet for the fridge."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.consents import ASKED_FOR_EVERYTHING
from app.coaching.holds import Stops
from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import YesNo
from app.storage import clients, history
from app.storage.audit import trail_of
from tests import plan_scenes as scene
from tests import safety_scenes, seed
from tests.plan_scenes import NEXT_MONDAY, THIS_MONDAY, form_of, words_of

BASE = {
    "starts_on": NEXT_MONDAY.isoformat(),
    "weeks": "4",
    "mode": "walk",
    "start_minutes": "90",
    "target_minutes": "2h",
    "rise_minutes": "15",
    "every": "4",
    "day_0": "60",
    "day_2": "1:00",
    "day_5": "120",
}


def _in_base(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)


def _at(people, word=""):
    return f"/clients/{people.client.id}/plan{word}"


def _weeks_ticked(people, *mondays):
    return _at(people, "/publish?" + "&".join(f"week-{monday.isoformat()}=yes" for monday in mondays))


def _publish(coach, people, *mondays, **typed):
    """Send the form of the publish page as it stands."""
    page = coach.get(_weeks_ticked(people, *mondays))
    return coach.send(_at(people, "/publish"), **(form_of(page, _at(people, "/publish")) | typed))


def _keep_base(coach, people, **changes):
    """See the weeks of a base block, then keep them."""
    address = _at(people, "/base")
    preview = coach.send(address, **(BASE | {"step": "preview"} | changes))
    return coach.send(address, **(form_of(preview, address) | {"step": "keep"}))


def test_the_list_says_what_is_published_and_what_waits(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False)

    page = coach.get("/plan")

    assert page.status_code == 200
    assert "Ilse Brandt aerobic base none Mon 30 November 1" in words_of(page)
    assert "Ruben Castor" not in page.text


def test_the_list_says_that_nothing_is_planned(coach, people):
    assert "Nothing is planned from today on." in words_of(coach.get("/plan"))


def test_an_empty_plan_says_the_next_step(coach, people):
    page = coach.get(_at(people))

    assert page.status_code == 200
    assert "These weeks are empty." in words_of(page)


def test_the_weeks_show_sessions_totals_and_what_is_not_published(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False)

    text = words_of(coach.get(_at(people)))

    assert "2 sessions, 1 h 42; 1 hard session; 1 h 26 easy, 16 min hard." in text
    assert "1 change not published" in text
    assert "57 min, 4 rounds, hard , draft" in text


def test_the_look_ahead_stands_above_the_weeks(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)

    text = words_of(coach.get(_at(people)))

    assert "Not published Rounds on Mon 30 Nov is hard; the client is in: aerobic base." in text


@pytest.mark.parametrize("week", ["2026-11-30", "0001-01-01", "9999-12-31"])
def test_any_week_can_be_asked_for(coach, people, week):
    assert coach.get(_at(people, f"?week={week}")).status_code == 200


@pytest.mark.parametrize(
    "word", ["", "/base", "/intervals", "/publish", "/add", "/print", f"/publish?week-{NEXT_MONDAY}=yes"]
)
def test_a_stranger_finds_nothing(other_coach, people, word):
    assert other_coach.get(_at(people, word)).status_code == 404


@pytest.mark.parametrize("word", ["/base", "/intervals", "/publish", "/add"])
def test_a_stand_in_reads_but_does_not_plan(stand_in, people, word):
    address = f"/clients/{people.handed_client.id}/plan"

    assert stand_in.get(address).status_code == 200
    assert "Write a base block" not in stand_in.get(address).text
    assert stand_in.get(address + word).status_code == 403
    assert stand_in.send(address + word).status_code == 403


def test_a_base_block_begins_with_where_the_client_is(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=4, minutes=30)

    form = form_of(coach.get(_at(people, "/base")), _at(people, "/base"))

    assert (form["start_minutes"], form["mode"]) == ("90", Mode.WALK.value)
    assert (form["day_0"], form["day_1"], form["day_5"]) == ("60", "", "120")
    assert (form["starts_on"], form["every"]) == (NEXT_MONDAY.isoformat(), "3")


def test_somebody_new_begins_with_thirty_minutes_more_than_now(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)

    page = coach.get(_at(people, "/base"))

    assert form_of(page, _at(people, "/base"))["start_minutes"] == "30"
    assert "0 min a week over the last 4 weeks, and 30 min more" in words_of(page)


def test_who_answers_active_begins_with_what_that_means_at_least(coach, people):
    _in_base(coach, people)

    page = coach.get(_at(people, "/base"))

    assert form_of(page, _at(people, "/base"))["start_minutes"] == "90"
    assert "Nothing logged; regularly active by their answers, taken as 90 min a week." in words_of(page)


def test_the_weekly_time_says_beside_it_what_the_days_written_hold(coach, people):
    address = _at(people, "/base")
    shown = form_of(coach.get(address), address)
    empty = {f"day_{n}": "" for n in range(7)}

    seen = coach.send(address, **(shown | empty | {"day_0": "40", "day_2": "0:40", "day_5": "1h"}), step="preview")
    unread = coach.send(address, **(shown | empty | {"day_0": "40", "day_2": "later"}), step="preview")

    assert 'id="f-target_minutes-hint">The days written here hold 140 min a week.' in seen.text
    assert "The days written here hold" not in unread.text


def test_a_first_week_far_above_the_ramp_asks_for_a_reason_all_the_way(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)
    wish = BASE | {"start_minutes": "10:00", "target_minutes": "10:00"} | {f"day_{n}": "3:00" for n in range(7)}

    preview = coach.send(_at(people, "/base"), **wish, step="preview")

    text = words_of(preview)
    assert "210 min. 0 min a week over the last 4 weeks, and 30 min more are where to begin: 30 is the most" in text
    assert "no day of rest is left" in text
    assert "It starts at 3 h 30 a week; the rule would begin with 30 min." in text


def test_a_first_outing_far_above_the_ramp_is_not_published_without_a_reason(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, minutes=60, publish=False)

    asked = _publish(coach, people, NEXT_MONDAY)
    many = words_of(coach.get(f"/plan/publish-many?week={NEXT_MONDAY}&weeks=1"))

    assert asked.status_code == 422
    assert "60 min; nothing in the 30 days before, so 30 is the most" in words_of(asked)
    assert "60 min; nothing in the 30 days before, so 30 is the most" in many
    assert "30 min more are where to begin: 30 is the most" in many


def test_who_hardly_trained_lately_gets_a_first_week_the_form_takes(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=4, minutes=2)

    form = form_of(coach.get(_at(people, "/base")), _at(people, "/base"))

    assert form["start_minutes"] == "30"


def test_a_base_block_is_previewed_before_it_is_kept(coach, people):
    _in_base(coach, people)

    page = coach.send(_at(people, "/base"), **BASE, step="preview")

    text = words_of(page)
    assert page.status_code == 200
    assert "Mon 30 November 90 Mon 30, Wed 30, Sat 30 none" in text
    # Longest outings of 30, 33 and 36 min on three days make 90, 99 and 108; 72 % of the last is 78.
    assert "Mon 21 December 78" in text
    assert "Easier week." in text
    with coach.db() as db:
        assert scene.planned_of(db, people.client) == []


def test_a_kept_base_block_is_drafts_the_client_does_not_see(coach, people):
    _in_base(coach, people)

    answer = _keep_base(coach, people)

    assert answer.status_code == 303
    with coach.db() as db:
        planned = scene.planned_of(db, people.client)
        [known] = history.load(
            db, client_ids=[people.client.id], from_on=seed.TODAY, until_on=seed.TODAY + timedelta(days=60)
        )
        assert len(planned) == 12
        assert {one.published_at for one in planned} == {None}
        assert {one.place for one in planned} == {"the park"}
        assert [week.is_easier for week in known.weeks] == [False, False, False, True]
        assert [(block.phase, block.weeks) for block in known.blocks] == [(Phase.AEROBIC_BASE, 4)]
        assert known.planned == ()
        assert trail_of(db, client_id=people.client.id)[0].action == "wrote"


def test_a_second_block_is_held_against_the_drafts_of_the_first(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)
    later = NEXT_MONDAY + timedelta(weeks=4)
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=later - timedelta(days=3), minutes=40)

    page = coach.send(_at(people, "/base"), **(BASE | {"starts_on": later.isoformat()}), step="preview")

    assert page.status_code == 200
    assert "more than before" not in words_of(page)


def test_a_form_changed_after_the_preview_is_shown_again_first(coach, people):
    _in_base(coach, people)
    address = _at(people, "/base")
    preview = coach.send(address, **BASE, step="preview")

    answer = coach.send(address, **(form_of(preview, address) | {"weeks": "8", "step": "keep"}))

    assert answer.status_code == 409
    assert "changed since the preview" in words_of(answer)
    with coach.db() as db:
        assert scene.planned_of(db, people.client) == []


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("weeks", "1", "between 2 and 26"),
        ("weeks", "nan", "whole number"),
        ("start_minutes", "45 h", "Did you mean 45 min?"),
        ("target_minutes", "inf", "Write minutes as 45"),
        ("rise_minutes", "60", "between 0 and 20"),
        ("starts_on", "2026-11-02", "That week is over."),
        ("starts_on", "2029-01-01", "Within half a year"),
        ("mode", "balloon", "Choose one of the answers."),
        ("day_2", "=1+1", "Write minutes as 45"),
    ],
)
def test_a_bad_base_form_keeps_what_was_typed(coach, people, field, typed, sentence):
    _in_base(coach, people)

    page = coach.send(_at(people, "/base"), **(BASE | {field: typed}), step="preview")

    assert page.status_code == 422
    assert sentence in words_of(page)
    assert field == "mode" or form_of(page, _at(people, "/base"))[field] == typed


def test_a_block_without_a_day_asks_for_one(coach, people):
    _in_base(coach, people)

    page = coach.send(_at(people, "/base"), **(BASE | {"day_0": "", "day_2": "", "day_5": ""}), step="preview")

    assert page.status_code == 422
    assert "Give at least one day its minutes." in words_of(page)


def test_drafts_that_stand_there_are_replaced_only_after_asking(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, title="Old draft", publish=False)

    refused = _keep_base(coach, people)
    kept = _keep_base(coach, people, replace="yes")

    assert refused.status_code == 422
    assert "Tick to replace the drafts" in words_of(refused)
    assert kept.status_code == 303
    with coach.db() as db:
        assert "Old draft" not in {one.title for one in scene.planned_of(db, people.client)}


def test_published_sessions_are_taken_away_only_when_the_block_is_published(coach, people, client_phone):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        session_id = seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, title="Old walk")

    refused = _keep_base(coach, people)
    _keep_base(coach, people, cancel_published="yes")

    assert "Tick to take published sessions away" in words_of(refused)
    with coach.db() as db:
        first, gone = scene.versions(db, session_id)
        assert (first.is_cancelled, gone.is_cancelled, gone.published_at) == (False, True, None)
    _publish(coach, people, NEXT_MONDAY)
    with coach.db() as db:
        assert scene.versions(db, session_id)[-1].published_at == seed.NOW


def test_intervals_wait_for_a_promotion(coach, people):
    _in_base(coach, people)

    page = coach.get(_at(people, "/intervals"))
    sent = coach.send(_at(people, "/intervals"), step="preview")

    assert "Hard sessions wait." in words_of(page)
    assert f'href="/clients/{people.client.id}/promotion"' in page.text
    assert sent.status_code == 422
    assert "wait for a promotion" in words_of(sent)


HARD = {
    "starts_on": NEXT_MONDAY.isoformat(),
    "weeks": "4",
    "mode": "indoor_ride",
    "protocol_key": "four_by_four",
    "introductory": "yes",
    "hard_2": "yes",
    "volume_minutes": "150",
    "day_0": "60",
    "day_2": "60",
    "day_5": "90",
}


def _ready_for_hard(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)


def test_an_introductory_interval_block_grows_by_one_round(coach, people):
    _ready_for_hard(coach, people)
    address = _at(people, "/intervals")

    preview = coach.send(address, **HARD, step="preview")
    kept = coach.send(address, **(form_of(preview, address) | {"step": "keep"}))

    assert "Wed 2 rounds" in words_of(preview)
    assert kept.status_code == 303
    with coach.db() as db:
        hard = [one for one in scene.planned_of(db, people.client) if one.is_hard]
        assert [one.rounds for one in hard] == [2, 3, 2, 4]
        assert all(one.easy_version for one in hard)


def test_a_session_that_is_not_done_that_way_is_said_beside_the_library(coach, people):
    _ready_for_hard(coach, people)

    page = coach.send(_at(people, "/intervals"), **(HARD | {"protocol_key": "pool_rounds"}), step="preview")

    assert page.status_code == 422
    assert "Pool rounds is not done as indoor ride." in words_of(page)


def test_an_interval_block_needs_its_hard_day_and_a_library_session(coach, people):
    _ready_for_hard(coach, people)

    page = coach.send(_at(people, "/intervals"), **(HARD | {"hard_2": None, "protocol_key": "x"}), step="preview")

    assert page.status_code == 422
    assert "Tick the day for the hard session." in words_of(page)
    assert "Choose one of the library." in words_of(page)


def test_publishing_lets_the_client_see_the_week(coach, people):
    _in_base(coach, people)
    _keep_base(coach, people)

    answer = _publish(coach, people, NEXT_MONDAY, reason="Back from the sea, walked a lot.")

    assert answer.status_code == 303
    with coach.db() as db:
        sent = [one for one in scene.planned_of(db, people.client) if one.published_at]
        assert {one.planned_on for one in sent} == {NEXT_MONDAY + timedelta(days=n) for n in (0, 2, 5)}
        assert trail_of(db, client_id=people.client.id)[0].action == "published"


def test_a_plan_of_an_unasked_client_waits_for_the_questions_and_nothing_else_helps(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)

    text = words_of(coach.get(_weeks_ticked(people, NEXT_MONDAY)))

    assert text.count("the safety questions are not answered yet") == 1
    assert "moving or changing a session does not help before they are answered. Ask the questions" in text
    assert "Change or move" not in text


def test_missing_consents_are_said_before_a_week_goes_out(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client, has_agreed=False)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)
    address = _weeks_ticked(people, NEXT_MONDAY)

    before = words_of(coach.get(address))
    with coach.db(write=True) as db:
        safety_scenes.agree_to(db, client=people.client, person_id=people.coach.id, kinds=ASKED_FOR_EVERYTHING)
    after = words_of(coach.get(address))

    assert "Not agreed to yet: Being coached and Keeping your health answers" in before
    assert "told that you talk it over. Sending it all the same asks for a reason." in before
    assert "Nothing stands against it" not in before
    assert "Starting hard work" not in before
    assert "Nothing stands against it" in after
    assert "Not agreed to" not in after


def test_a_plan_before_being_coached_is_agreed_to_asks_for_a_reason_that_is_kept(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client, has_agreed=False)
        session_id = seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)
    sent = {"weeks": NEXT_MONDAY.isoformat(), "seen": str(_version_id(coach, session_id))}

    asked = coach.send(_at(people, "/publish"), **sent)
    kept = coach.send(_at(people, "/publish"), **sent, reason="Talked over on the phone, the paper comes on Friday.")

    assert (asked.status_code, kept.status_code) == (422, 303)
    assert "Write why it goes out all the same" in words_of(asked)
    with coach.db() as db:
        trace = trail_of(db, client_id=people.client.id)[0]
    assert trace.reason == "Talked over on the phone, the paper comes on Friday."


def test_hard_work_for_somebody_in_the_base_is_not_published(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)

    page = coach.get(_weeks_ticked(people, NEXT_MONDAY))
    version = str(_version_id(coach, session_id))
    sent = coach.send(_at(people, "/publish"), weeks=NEXT_MONDAY.isoformat(), seen=version, reason="I insist.")

    assert "As it stands it is not published." in words_of(page)
    assert sent.status_code == 422
    with coach.db() as db:
        assert scene.versions(db, session_id)[-1].published_at is None


def _version_id(coach, session_id):
    with coach.db() as db:
        return scene.versions(db, session_id)[-1].version_id


def test_hard_work_on_hold_is_not_published_but_the_rest_may_go(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_hold(db, client=people.client, stops=Stops.HARD)
        hard_id = seed.add_planned_hard(
            db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False
        )
        easy_id = seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)

    page = coach.get(_weeks_ticked(people, NEXT_MONDAY))
    answer = coach.send(_at(people, "/publish"), **form_of(page, _at(people, "/publish")))

    assert "Rounds on Wed 2 Dec: paused since" in words_of(page)
    assert "Publish the rest: 1 session" in words_of(page)
    assert answer.status_code == 303
    with coach.db() as db:
        assert scene.versions(db, hard_id)[-1].published_at is None
        assert scene.versions(db, easy_id)[-1].published_at == seed.NOW


def test_a_seventh_hard_session_in_a_fortnight_is_not_published(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, phase=Phase.INTERVAL_TWO)
        for days in (1, 3, 5, 7, 9, 11):
            seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days))
        seed.add_planned_hard(
            db, client=people.client, planned_on=seed.TODAY + timedelta(days=12), title="Seventh", publish=False
        )

    page = coach.get(_weeks_ticked(people, NEXT_MONDAY + timedelta(weeks=1)))

    assert "this would be the 7th. It is not published." in words_of(page)
    assert "Publish the rest" not in words_of(page)


def test_publishing_asks_for_a_reason_and_keeps_it(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False)

    asked = _publish(coach, people, NEXT_MONDAY)
    letter = _publish(coach, people, NEXT_MONDAY, reason="x")
    sent = _publish(coach, people, NEXT_MONDAY, reason="Test weekend, agreed.")

    assert (asked.status_code, letter.status_code) == (422, 422)
    assert "At least 10 characters" in words_of(letter)
    assert "48 h apart, 72 h are needed" in words_of(asked)
    assert "Write why it goes out all the same" in words_of(asked)
    assert sent.status_code == 303
    with coach.db() as db:
        assert trail_of(db, client_id=people.client.id)[0].reason == "Test weekend, agreed."


def test_a_plan_changed_while_it_is_looked_over_is_not_published(coach, head, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, publish=False)
    page = coach.get(_weeks_ticked(people, NEXT_MONDAY))
    with head.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), publish=False)

    answer = coach.send(_at(people, "/publish"), **form_of(page, _at(people, "/publish")))

    assert answer.status_code == 409
    assert "The plan changed while you looked at it." in words_of(answer)
    with coach.db() as db:
        assert scene.versions(db, session_id)[-1].published_at is None


def test_a_draft_whose_day_is_over_is_not_published(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=THIS_MONDAY, publish=False)

    page = coach.get(_weeks_ticked(people, THIS_MONDAY))

    assert "Nothing waits to be published" in words_of(page)


def test_a_draft_cannot_plan_a_past_day_away(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=THIS_MONDAY)
        scene.add_draft(db, session_id, planned_on=NEXT_MONDAY)

    assert "Nothing waits to be published" in words_of(coach.get(_weeks_ticked(people, NEXT_MONDAY)))
    assert "This day is over." in words_of(coach.get(f"/plan/sessions/{session_id}"))


def test_a_week_is_copied_as_drafts(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=THIS_MONDAY)
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY)

    answer = coach.send(_at(people, "/copy-week"), from_week=seed.TODAY.isoformat(), to_week=NEXT_MONDAY.isoformat())

    assert answer.status_code == 303
    with coach.db() as db:
        copies = [one for one in scene.planned_of(db, people.client) if one.published_at is None]
        assert [one.planned_on for one in copies] == [NEXT_MONDAY, NEXT_MONDAY + timedelta(days=2)]


def test_copying_onto_a_week_that_holds_sessions_asks_first(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=seed.TODAY)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, title="There already")
    typed = {"from_week": seed.TODAY.isoformat(), "to_week": NEXT_MONDAY.isoformat()}

    asked = coach.send(_at(people, "/copy-week"), **typed)
    kept = coach.send(_at(people, "/copy-week"), **typed, beside="yes")

    assert asked.status_code == 422
    assert "holds There already already" in words_of(asked)
    assert form_of(asked, _at(people, "/copy-week"))["to_week"] == NEXT_MONDAY.isoformat()
    assert kept.status_code == 303


def test_an_empty_or_unreadable_week_is_not_copied(coach, people):
    empty = coach.send(_at(people, "/copy-week"), from_week=seed.TODAY.isoformat(), to_week=NEXT_MONDAY.isoformat())
    unread = coach.send(_at(people, "/copy-week"), from_week="yesterday", to_week="")

    assert "holds nothing to copy" in words_of(empty)
    assert unread.status_code == 422
    assert form_of(unread, _at(people, "/copy-week"))["from_week"] == "yesterday"


def test_a_session_is_added_as_a_draft(coach, people):
    _in_base(coach, people)
    address = _at(people, "/add")
    form = form_of(coach.get(address + f"?on={NEXT_MONDAY}"), address)

    answer = coach.send(address, **(form | {"shape": "strength", "minutes": "30"}))

    assert answer.status_code == 303
    with coach.db() as db:
        [added] = scene.planned_of(db, people.client)
        assert (added.kind, added.minutes, added.planned_on) == (SessionKind.STRENGTH, 30, NEXT_MONDAY)
        assert added.published_at is None


def test_a_bad_new_session_keeps_what_was_typed(coach, people):
    _in_base(coach, people)
    address = _at(people, "/add")

    page = coach.send(
        address,
        planned_on="2026-11-01",
        shape="easy",
        mode="walk",
        minutes="40",
        title="<script>alert(1)</script> 🙂",
    )

    assert page.status_code == 422
    assert "Sun 1 Nov is over" in words_of(page)
    assert form_of(page, address)["title"] == "<script>alert(1)</script> 🙂"
    assert "<script>alert" not in page.text


def test_the_sheet_for_the_fridge_shows_published_sessions_with_boxes(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY)
        seed.add_planned(
            db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=2), title="Not yet", publish=False
        )
        clients.add_leave(
            db,
            client_id=people.client.id,
            from_on=NEXT_MONDAY + timedelta(days=5),
            until_on=NEXT_MONDAY + timedelta(days=6),
            reason="Family",
        )

    page = coach.get(_at(people, f"/print?week={NEXT_MONDAY}"))

    assert "Easy walk" in page.text
    assert "Not yet" not in page.text
    assert page.text.count('class="box"') == 28
    assert "Agreed time off" in page.text
    assert "Stop at once" in page.text


def test_the_sheet_says_what_is_paused(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY)
        seed.add_hold(db, client=people.client)

    assert "Paused: Rounds." in words_of(coach.get(_at(people, f"/print?week={NEXT_MONDAY}")))


def _sounding(title, day="Mon 30 Nov"):
    return f"{title} on {day} is planned as easy and sounds hard"


def test_hard_words_typed_into_an_added_easy_session_ask_before_it_is_sent(coach, people):
    _in_base(coach, people)
    added = {"planned_on": NEXT_MONDAY, "shape": "easy", "mode": "walk", "minutes": "45"}

    coach.send(_at(people, "/add"), **added, title="Hill walk", purpose="4 rounds of 4 min, max effort")
    looked = words_of(coach.get(_weeks_ticked(people, NEXT_MONDAY)))
    unasked = _publish(coach, people, NEXT_MONDAY)
    answered = _publish(coach, people, NEXT_MONDAY, reason="Said so to her, she laughs about it")

    assert f'{_sounding("Hill walk")}: "4 rounds of 4 min", "max".' in looked
    assert (unasked.status_code, answered.status_code) == (422, 303)
