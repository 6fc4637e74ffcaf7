"""Done on the phone: an entry in under a minute, what was understood, and corrections."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from uuid import uuid4

import pytest

from app.coaching.effort import Talk
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Origin
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer, Posture, WhyNot
from app.storage import audit, clients, session_logs
from tests import seed

HARD = {"effort": "9", "talk": "few_words"}
WELL = {"answer": "as_planned", "done_on": "2026-11-25", "effort": "3", "talk": "chat"}


@pytest.fixture
def walk_id(app, people):
    with app.state.house.transaction(True) as db:
        return seed.add_planned(db, client=people.client)


@pytest.fixture
def rounds_id(app, people):
    with app.state.house.transaction(True) as db:
        return seed.add_planned_hard(db, client=people.client)


def logs(browser, people):
    with browser.db() as db:
        return session_logs.between(
            db,
            client_ids=[people.client.id],
            from_on=seed.TODAY - timedelta(days=400),
            until_on=seed.TODAY + timedelta(days=400),
        )


def test_todays_only_session_is_ready_to_be_answered(client_phone, walk_id):
    page = client_phone.get("/me/done").text

    assert "<h1>Easy walk</h1>" in page
    assert f'name="planned_session_id" value="{walk_id}"' in page


def test_one_tap_fills_minutes_but_never_effort_or_talk(client_phone, people, walk_id):
    client_phone.send("/me/done", planned_session_id=walk_id, **(WELL | {"effort": ""}))

    kept = logs(client_phone, people)[0]

    assert (kept.minutes, kept.effort, kept.talk) == (45.0, None, Talk.CHAT)


def test_an_entry_without_effort_and_talk_asks_how_it_felt(client_phone, people, walk_id):
    answer = client_phone.send("/me/done", planned_session_id=walk_id, **(WELL | {"effort": "", "talk": ""}))

    assert answer.status_code == 422
    assert "Say how it felt" in answer.text
    assert logs(client_phone, people) == []


def test_an_entry_is_kept_with_its_trace_and_says_what_was_understood(client_phone, people, walk_id):
    answer = client_phone.send("/me/done", planned_session_id=walk_id, minutes="1h10", note="Windy.", **WELL)

    kept = logs(client_phone, people)[0]
    page = client_phone.get(answer.headers["location"]).text
    with client_phone.db() as db:
        trail = audit.trail_of(db, client_id=people.client.id)
    assert answer.status_code == 303
    assert (kept.minutes, kept.origin, kept.from_memory, kept.note) == (70.0, Origin.CLIENT, False, "Windy.")
    assert ["<dd>1 h 10</dd>" in page, "chat in comfort" in page, "Windy." in page] == [True, True, True]
    assert (trail[0].action, trail[0].subject, trail[0].subject_id) == ("logged", "session log", kept.id)


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"minutes": "45 h"}, "45 min"),
        ({"minutes": "nan"}, "Write minutes as"),
        ({"minutes": "inf"}, "Write minutes as"),
        ({"minutes": "-5"}, "between 1 and"),
        ({"effort": "11"}, "between 0 and 10"),
        ({"effort": "nan"}, "Write a number"),
        ({"done_on": "2026-11-26"}, "has not come yet"),
        ({"done_on": "2026-10-25"}, "over 30 days back"),
        ({"talk": "shouting"}, "Choose one of the answers"),
        ({"note": "x" * 4001}, "under 4000 characters"),
    ],
)
def test_bad_input_gets_a_sentence_and_keeps_what_was_typed(client_phone, people, walk_id, typed, sentence):
    form = WELL | {"minutes": "50", "note": "kept words"} | typed

    answer = client_phone.send("/me/done", planned_session_id=walk_id, **form)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert form["minutes"] in answer.text
    assert form["note"] in answer.text
    assert logs(client_phone, people) == []


def test_a_note_of_script_emoji_and_control_characters_is_only_text(client_phone, people, walk_id):
    note = "<script>alert(1)</script> =1+1 \U0001f6b6 bell\x07"

    answer = client_phone.send("/me/done", planned_session_id=walk_id, note=note, **WELL)

    page = client_phone.get(answer.headers["location"]).text
    assert logs(client_phone, people)[0].note == "<script>alert(1)</script> =1+1 \U0001f6b6 bell"
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)" in page


def test_thirty_days_back_is_kept_and_marked_from_memory(client_phone, people):
    form = {"done_on": "2026-10-26", "kind": "easy", "mode": "walk", "minutes": "40", "effort": "3"}

    client_phone.send("/me/done", **form)

    assert [(one.from_memory, one.answer) for one in logs(client_phone, people)] == [(True, Answer.SOMETHING_ELSE)]


def test_the_day_before_yesterday_is_not_yet_from_memory(client_phone, people):
    form = {"done_on": "2026-11-23", "kind": "easy", "mode": "walk", "minutes": "40", "effort": "3"}

    client_phone.send("/me/done", **form)

    assert [one.from_memory for one in logs(client_phone, people)] == [False]


def test_not_done_asks_why_and_scolds_nobody(client_phone, people, walk_id):
    without = client_phone.send("/me/done", planned_session_id=walk_id, answer="not_done", done_on="2026-11-25")
    answer = client_phone.send(
        "/me/done", planned_session_id=walk_id, answer="not_done", done_on="2026-11-25", why_not="caring"
    )

    kept = logs(client_phone, people)[0]
    assert without.status_code == 422
    assert (kept.answer, kept.minutes, kept.why_not) == (Answer.NOT_DONE, None, WhyNot.CARING)
    assert "Thank you for saying so" in client_phone.get(answer.headers["location"]).text


def test_something_else_says_what_and_how(client_phone, people, walk_id):
    form = WELL | {"answer": "something_else", "minutes": "30"}

    without = client_phone.send("/me/done", planned_session_id=walk_id, **form)
    client_phone.send("/me/done", planned_session_id=walk_id, kind="middle", mode="swim", **form)

    assert without.status_code == 422
    assert [(one.kind.value, one.mode.value) for one in logs(client_phone, people)] == [("middle", "swim")]


def test_rounds_are_entered_one_by_one(client_phone, people, rounds_id):
    rounds = {
        "round_1_done": "whole",
        "round_1_power": "182,5",
        "round_1_heart_rate": "151",
        "round_2_done": "part",
        "round_2_time": "2:30",
        "round_2_effort": "9",
    }

    client_phone.send(
        "/me/done",
        planned_session_id=rounds_id,
        minutes="40",
        posture="bent_or_sat",
        first_30_hurt="yes",
        **rounds,
        **(WELL | {"effort": "9", "talk": "few_words"}),
    )

    kept = logs(client_phone, people)[0]
    assert kept.posture is Posture.BENT_OR_SAT
    assert kept.first_30_hurt is True
    assert [(one.number, one.duration_s, one.is_complete, one.power_w) for one in kept.rounds] == [
        (1, 240, True, 182.5),
        (2, 150, False, None),
    ]


@pytest.mark.parametrize("said", ["yes", "no", ""])
def test_whether_the_first_half_minute_hurt_is_kept_as_said(client_phone, coach, people, rounds_id, said):
    client_phone.send("/me/done", planned_session_id=rounds_id, first_30_hurt=said, **WELL)

    kept = logs(client_phone, people)[0]

    assert kept.first_30_hurt is {"yes": True, "no": False, "": None}[said]
    change = coach.get(f"/entry/logs/{kept.id}/change").text
    ticked = re.findall(r'name="first_30_hurt" value="(\w+)"[^>]*checked', change)
    assert ticked == ([said] if said else [])
    read_back = client_phone.get(f"/me/done/{kept.id}").text
    assert ("First half minute of a round" in read_back) is bool(said)


def test_each_round_may_say_its_mean_heart_rate_cadence_strokes_and_posture(client_phone, coach, people, walk_id):
    rounds = {
        "round_1_done": "whole",
        "round_1_time": "4:10",
        "round_1_mean_heart_rate": "148",
        "round_1_cadence": "27.5",
        "round_1_strokes": "104",
        "round_1_posture": "hands_on_knees",
    }
    form = {"done_on": "2026-11-25", "minutes": "30", "kind": "intervals", "mode": "swim"} | HARD

    answer = client_phone.send("/me/done", **rounds, **form)

    kept = logs(client_phone, people)[0].rounds[0]
    assert (kept.heart_rate_mean_bpm, kept.cadence_per_min, kept.strokes) == (148, 27.5, 104)
    assert kept.posture is Posture.HANDS_ON_KNEES
    page = client_phone.get(answer.headers["location"])
    assert "104 strokes" in page.text
    assert "hands on knees a moment" in page.text
    log_id = answer.headers["location"].rpartition("/")[2]
    assert "104 strokes, hands on knees a moment" in coach.get(f"/clients/{people.client.id}/sessions/{log_id}").text
    change = coach.get(f"/entry/logs/{log_id}/change").text
    assert re.search(r'name="round_1_strokes"[^>]*value="104"', change)


def test_rounds_done_instead_of_a_walk_are_entered_too(client_phone, people, walk_id):
    form = WELL | {
        "answer": "something_else",
        "kind": "intervals",
        "mode": "run",
        "minutes": "40",
        "talk": "few_words",
        "effort": "8",
    }

    client_phone.send(
        "/me/done", planned_session_id=walk_id, round_1_done="whole", round_1_time="180", round_1_pace="5:00", **form
    )

    assert [(one.duration_s, round(one.speed_m_per_s, 3)) for one in logs(client_phone, people)[0].rounds] == [
        (180, 3.333)
    ]


def test_a_round_with_figures_and_no_answer_is_asked_about(client_phone, people, rounds_id):
    answer = client_phone.send("/me/done", planned_session_id=rounds_id, round_3_power="200", **WELL)

    assert answer.status_code == 422
    assert "Say whether round 3 was done in full." in answer.text
    assert 'value="200"' in answer.text


def test_a_very_hard_day_gets_a_kind_word(client_phone, rounds_id):
    answer = client_phone.send(
        "/me/done",
        planned_session_id=rounds_id,
        posture="bent_or_sat",
        **(WELL | {"effort": "9", "talk": "few_words"}),
    )

    page = client_phone.get(answer.headers["location"]).text

    assert "the plan was too high, not you" in page
    assert "your coach looks at the target before the next one" in page


@pytest.mark.parametrize(
    ("changes", "is_told"),
    [
        ({}, False),
        ({"answer": "partly", "minutes": "40", "rounds_done": "2"}, True),
        ({"round_4_done": "part", "round_4_time": "90"}, True),
    ],
)
def test_only_who_stopped_early_is_told_that_stopping_was_right(client_phone, rounds_id, changes, is_told):
    bent = WELL | {"posture": "bent_or_sat", "effort": "8", "talk": "few_words"} | changes

    answer = client_phone.send("/me/done", planned_session_id=rounds_id, **bent)

    page = client_phone.get(answer.headers["location"]).text
    assert ("You did right to stop and say so" in page) is is_told
    assert ("your coach looks at the target before the next one" in page) is not is_told


def test_a_correction_keeps_the_earlier_words_in_the_trail(client_phone, people, walk_id):
    client_phone.send("/me/done", planned_session_id=walk_id, minutes="45", **WELL)
    log_id = logs(client_phone, people)[0].id

    answer = client_phone.send(f"/me/done/{log_id}/change", revision=1, minutes="30", **(WELL | {"answer": "partly"}))

    with client_phone.db() as db:
        newest = audit.trail_of(db, client_id=people.client.id)[0]
    kept = logs(client_phone, people)
    assert answer.status_code == 303
    assert [(one.minutes, one.answer, one.revision) for one in kept] == [(30.0, Answer.PARTLY, 2)]
    assert newest.action == "corrected"
    assert json.loads(newest.change_json)["before"]["minutes"] == 45.0


def test_a_stale_correction_is_told_what_changed_and_loses_nothing(client_phone, people, walk_id):
    client_phone.send("/me/done", planned_session_id=walk_id, minutes="45", **WELL)
    log_id = logs(client_phone, people)[0].id
    client_phone.send(f"/me/done/{log_id}/change", revision=1, minutes="40", **WELL)

    stale = client_phone.send(f"/me/done/{log_id}/change", revision=1, minutes="33", note="mine", **WELL)
    again = client_phone.send(f"/me/done/{log_id}/change", revision=2, minutes="33", note="mine", **WELL)

    assert stale.status_code == 409
    assert "It now says: as planned, 40 minutes, effort 3." in stale.text
    assert ['value="33"' in stale.text, "mine" in stale.text, 'name="revision" value="2"' in stale.text] == [True] * 3
    assert again.status_code == 303


def test_the_change_form_shows_the_entry_as_it_stands(client_phone, people, rounds_id):
    client_phone.send(
        "/me/done", planned_session_id=rounds_id, minutes="44", round_1_done="part", round_1_time="95", **WELL
    )
    log_id = logs(client_phone, people)[0].id

    page = client_phone.get(f"/me/done/{log_id}/change").text

    assert ['value="44"' in page, 'value="1:35"' in page] == [True, True]


def test_a_second_entry_for_the_same_session_warns_and_is_kept(client_phone, people, walk_id):
    client_phone.send("/me/done", planned_session_id=walk_id, **WELL)

    form = client_phone.get(f"/me/done?session={walk_id}").text
    second = client_phone.send("/me/done", planned_session_id=walk_id, minutes="20", **WELL)

    assert "You have entered this one already." in form
    assert len(logs(client_phone, people)) == 2
    assert "There is another entry for the same session" in client_phone.get(second.headers["location"]).text


def test_the_same_form_sent_again_is_one_entry(client_phone, people, walk_id):
    form = WELL | {"planned_session_id": walk_id, "request_id": str(uuid4())}

    answers = [client_phone.send("/me/done", **form) for _ in range(3)]

    assert {one.headers["location"] for one in answers} == {answers[0].headers["location"]}
    assert len(logs(client_phone, people)) == 1


def test_another_clients_session_and_entry_do_not_exist(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        session_id = seed.add_planned(db, client=people.other_client)
        log_id = seed.add_log(db, client=people.other_client)

    answers = [
        client_phone.get(f"/me/done?session={session_id}"),
        client_phone.send("/me/done", planned_session_id=session_id, **WELL),
        client_phone.get(f"/me/done/{log_id}"),
        client_phone.get(f"/me/done/{log_id}/change"),
        client_phone.send(f"/me/done/{log_id}/change", revision=1, **WELL),
    ]

    assert [one.status_code for one in answers] == [404] * 5


def test_a_draft_cannot_be_answered(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        session_id = seed.add_planned(db, client=people.client, publish=False)

    assert client_phone.send("/me/done", planned_session_id=session_id, **WELL).status_code == 404


def test_a_bad_form_in_place_answers_with_the_part_only(client_phone, walk_id):
    answer = client_phone.send(
        "/me/done", headers={"HX-Request": "true"}, planned_session_id=walk_id, **(WELL | {"effort": "12"})
    )

    assert answer.status_code == 422
    assert answer.text.strip().startswith('<div id="log-form">')


def test_the_choice_lists_the_last_thirty_days_and_what_is_entered(client_phone, app, people, walk_id):
    with app.state.house.transaction(True) as db:
        old = seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=31))
        recent = seed.add_planned(db, client=people.client, planned_on=seed.TODAY - timedelta(days=30))
        seed.add_log(db, client=people.client, planned_session_id=walk_id)

    page = client_phone.get("/me/done").text

    assert f"session={recent}" in page
    assert f"session={old}" not in page
    assert f"session={walk_id}" not in page
    assert "What you wrote lately" in page


def test_days_that_have_not_come_are_asked_for_apart(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        for days in (-1, 1):
            seed.add_planned(
                db, client=people.client, planned_on=seed.TODAY + timedelta(days=days), title=f"Walk {days}"
            )

    page = client_phone.get("/me/done").text

    assert page.index("Walk -1") < page.index("Done before its day?") < page.index("Walk 1")


def test_a_hard_race_blames_no_plan(client_phone):
    kept = client_phone.send(
        "/me/done", done_on=seed.TODAY.isoformat(), kind="race", mode="run", minutes="45", effort="9"
    )

    assert "the plan was too high" not in client_phone.get(kept.headers["location"]).text


def test_not_well_leads_to_how_i_am(client_phone, rounds_id):
    kept = client_phone.send(
        "/me/done",
        planned_session_id=str(rounds_id),
        answer="not_done",
        why_not="ill",
        done_on=seed.TODAY.isoformat(),
    )

    assert "Which kind of not well?" in client_phone.get(kept.headers["location"]).text


def test_a_round_cut_short_asks_how_long_it_lasted(client_phone, rounds_id):
    page = client_phone.send(
        "/me/done",
        planned_session_id=str(rounds_id),
        answer="partly",
        done_on=seed.TODAY.isoformat(),
        minutes="30",
        effort="6",
        round_1_done="part",
    )

    assert page.status_code == 422
    assert "Say about how long this round lasted, such as 2:30." in page.text


def test_no_answer_that_is_asked_for_is_called_optional(client_phone, rounds_id):
    page = client_phone.get(f"/me/done?session={rounds_id}").text

    asked = ("What was it instead?", "What came between?", "Minutes, all in", "In the main part you ...", ">Time")
    for label in asked:
        assert label in page
        assert f"{label} <span" not in page


def test_a_client_on_hold_is_offered_nothing_hard_and_can_write_down_what_was_done(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="New tablet")

    page = client_phone.get("/me/done?extra=true").text

    assert "<h1>What did you do?</h1>" in page
    assert "Hard rounds" not in page
    assert "Rounds, if you did any" not in page
    assert '<option value="intervals">It was hard</option>' in page


def test_a_client_on_a_break_is_offered_nothing_hard(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        clients.set_state(db, client_id=people.client.id, state=ClientState.PAUSED)

    page = client_phone.get("/me/done?extra=true").text

    assert "Your coaching is paused, and nobody waits for entries." in page
    assert "Hard rounds" not in page


def test_hard_work_written_down_during_a_hold_is_answered_with_the_advice(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        seed.add_hold(
            db,
            client=people.client,
            kind=HoldKind.MEDICINE_CHANGE,
            stops=Stops.HARD,
            cause="New tablet",
            began_on=seed.TODAY - timedelta(days=2),
        )
    hard = {"done_on": seed.TODAY.isoformat(), "kind": "intervals", "mode": "run", "minutes": "40", "effort": "8"}

    kept = client_phone.send("/me/done", **hard)

    page = client_phone.get(kept.headers["location"]).text
    assert kept.status_code == 303
    assert "This was hard, and" in page
    assert "Please do nothing hard until that is settled" in page
    assert "Anything else hard?" not in page


@pytest.mark.parametrize("changed", [{"kind": "easy", "effort": "3"}, {"done_on": "2026-11-20"}])
def test_easy_work_or_work_before_the_hold_is_not_held_against_anybody(client_phone, app, people, changed):
    with app.state.house.transaction(True) as db:
        seed.add_hold(
            db,
            client=people.client,
            kind=HoldKind.MEDICINE_CHANGE,
            stops=Stops.HARD,
            cause="New tablet",
            began_on=seed.TODAY - timedelta(days=2),
        )
    hard = {"done_on": seed.TODAY.isoformat(), "kind": "intervals", "mode": "run", "minutes": "40", "effort": "8"}

    kept = client_phone.send("/me/done", **(hard | changed))

    assert "This was hard, and" not in client_phone.get(kept.headers["location"]).text


def test_the_summary_of_errors_names_each_field(client_phone):
    page = client_phone.send(
        "/me/done", done_on=seed.TODAY.isoformat(), kind="easy", mode="walk", minutes="soon"
    ).text

    summary = page.split("data-error-summary", 1)[1].split("</div>", 1)[0]
    assert '<a href="#f-minutes">Minutes, all in: ' in summary
    assert '<a href="#f-talk">In the main part you: ' in summary


EXTRA = {"done_on": "2026-11-25", "kind": "easy", "mode": "walk", "minutes": "40", "talk": "chat"}


def test_what_was_written_lately_is_found_again_and_can_be_corrected(client_phone, people, walk_id):
    client_phone.send("/me/done", planned_session_id=walk_id, **WELL)
    client_phone.send("/me/done", **EXTRA)
    planned, extra = sorted(logs(client_phone, people), key=lambda one: one.id)

    page = client_phone.get("/me/done?choose=true").text.partition("What you wrote lately")[2]

    assert page.index("Walk, easy, 40 min") < page.index("Easy walk")
    assert all(f'href="/me/done/{one.id}/change"' in page for one in (planned, extra))
    assert "What you wrote lately" in client_phone.get(f"/me/done/{extra.id}").text


def test_extras_are_found_again_without_any_plan(client_phone, people):
    client_phone.send("/me/done", **EXTRA)

    form = client_phone.get("/me/done").text
    page = client_phone.get("/me/done?choose=true").text

    assert 'href="/me/done?choose=true"' in form
    assert f"/me/done/{logs(client_phone, people)[0].id}/change" in page


def test_the_same_extra_twice_on_one_day_is_asked_about_once(client_phone, people):
    client_phone.send("/me/done", **EXTRA)

    asked = client_phone.send("/me/done", **EXTRA)
    looked_at = re.search(r'name="looked_at" value="([^"]+)"', asked.text).group(1)
    kept = client_phone.send("/me/done", looked_at=looked_at, is_right="yes", **EXTRA)
    other_day = client_phone.send("/me/done", **(EXTRA | {"done_on": "2026-11-24"}))

    assert asked.status_code == 422
    assert "You already wrote the same for 25 November 2026, 40 min." in asked.text
    assert (kept.status_code, other_day.status_code, len(logs(client_phone, people))) == (303, 303, 3)


def test_correcting_an_extra_is_not_taken_for_a_second_one(client_phone, people):
    client_phone.send("/me/done", **EXTRA)
    log_id = logs(client_phone, people)[0].id

    assert client_phone.send(f"/me/done/{log_id}/change", revision=1, note="Mud.", **EXTRA).status_code == 303


def test_correcting_an_extra_while_hard_work_is_paused_keeps_its_rounds(client_phone, app, people):
    round_ = {"round_1_done": "whole", "round_1_time": "4:00", "round_1_power": "240", "round_1_effort": "7"}
    hard = EXTRA | {"kind": "intervals", "talk": "few_words", "posture": "stood", "first_30_hurt": "no"} | round_
    client_phone.send("/me/done", **hard)
    before = logs(client_phone, people)[0]
    assert before.rounds[0].power_w == 240
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, cause="New tablet")

    form = client_phone.get(f"/me/done/{before.id}/change").text
    typed = EXTRA | {"kind": "intervals", "talk": "few_words", "note": "Mud.", "rounds_stay": "yes"}
    assert client_phone.send(f"/me/done/{before.id}/change", revision=1, **typed).status_code == 303

    after = logs(client_phone, people)[0]
    assert "The round you wrote down stays as it is." in form
    assert '<input type="hidden" name="rounds_stay" value="yes">' in form
    assert "round_1_done" not in form
    assert (after.note, after.rounds, after.posture, after.first_30_hurt) == (
        "Mud.",
        before.rounds,
        before.posture,
        False,
    )


@pytest.mark.parametrize(
    "said",
    [{"kind": "intervals"}, {"effort": "8"}, {"talk": "few_words", "effort": "3"}],
    ids=["a hard kind", "a hard number", "an easy number"],
)
def test_words_and_number_that_disagree_are_asked_about_once_and_shown(client_phone, people, said):
    form = EXTRA | said

    asked = client_phone.send("/me/done", **form)
    looked_at = re.search(r'name="looked_at" value="([^"]+)"', asked.text).group(1)
    kept = client_phone.send("/me/done", looked_at=looked_at, is_right="yes", **form)

    assert asked.status_code == 422
    assert "The talk answer is what counts." in asked.text
    assert kept.status_code == 303
    assert len(logs(client_phone, people)) == 1


def test_the_third_talk_answer_disagrees_with_no_number(client_phone):
    assert client_phone.send("/me/done", **(EXTRA | {"talk": "sentences", "effort": "8"})).status_code == 303


def test_hard_without_rounds_is_kept_as_it_was_said(client_phone):
    kept = client_phone.send("/me/done", **(EXTRA | {"kind": "intervals", "talk": "few_words"}))

    page = client_phone.get(kept.headers["location"]).text

    assert "<dd>It felt hard</dd>" in page
    assert "Hard rounds" not in page


def test_no_round_is_answered_for_the_client(client_phone, rounds_id):
    page = client_phone.get(f"/me/done?session={rounds_id}").text

    rounds = re.findall(r'<input type="radio"[^>]*name="round_\d_done"[^>]*>', page)
    assert len(rounds) == 18
    assert [one for one in rounds if "checked" in one] == []


def test_partly_asks_how_many_rounds_and_says_them_back(client_phone, people, rounds_id):
    form = WELL | {"answer": "partly", "minutes": "40", "talk": "few_words", "effort": "7"}

    asked = client_phone.send("/me/done", planned_session_id=rounds_id, **form)
    kept = client_phone.send("/me/done", planned_session_id=rounds_id, rounds_done="2", **form)

    assert asked.status_code == 422
    assert "Say how many rounds you did in full." in asked.text
    assert [(one.duration_s, one.is_complete) for one in logs(client_phone, people)[0].rounds] == [(240, True)] * 2
    assert "2 of 4 rounds in full" in client_phone.get(kept.headers["location"]).text


def test_rounds_told_one_by_one_need_no_number(client_phone, people, rounds_id):
    form = WELL | {"answer": "partly", "minutes": "40", "talk": "few_words", "effort": "7"}

    kept = client_phone.send(
        "/me/done", planned_session_id=rounds_id, round_1_done="whole", round_2_done="none", **form
    )

    assert kept.status_code == 303
    assert len(logs(client_phone, people)[0].rounds) == 1


def test_as_planned_says_that_every_round_counts(client_phone, rounds_id):
    form = WELL | {"talk": "few_words", "effort": "7"}

    kept = client_phone.send("/me/done", planned_session_id=rounds_id, **form)

    assert "all 4, as planned" in client_phone.get(kept.headers["location"]).text


def test_a_new_walker_reads_of_no_pause(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client, active=YesNo.NO)

    page = client_phone.get("/me/done?extra=true").text

    assert "For now only easy work is meant for you." in page
    assert "Hard work is paused for you" not in page


def test_a_note_that_names_a_sign_asks_whether_something_felt_wrong(client_phone, walk_id):
    said = {"planned_session_id": walk_id, "answer": "as_planned", "done_on": "2026-11-25", "talk": "chat"}
    form = client_phone.get(f"/me/done?session={walk_id}").text

    kept = client_phone.send("/me/done", **said, note="Pressure on the chest uphill, gone after sitting")
    page = client_phone.get(kept.headers["location"]).text

    assert "A note pauses nothing. Chest, breath, dizziness: use “Something felt wrong”." in form
    assert "Your note speaks of chest." in page
    assert 'class="button" href="/me/felt-wrong"' in page


def test_not_done_for_not_well_asks_which_kind_and_opens_the_note_with_it(client_phone, walk_id):
    said = {"planned_session_id": walk_id, "answer": "not_done", "done_on": "2026-11-25", "why_not": "ill"}
    page = client_phone.get(client_phone.send("/me/done", **said).headers["location"]).text

    note = client_phone.get("/me/how-i-am?ill=fever_or_below").text

    assert 'href="/me/how-i-am?ill=fever_or_below"' in page
    assert 'href="/me/how-i-am?ill=above_neck"' in page
    assert re.search(r'value="fever_or_below"[^>]* checked', note)
    assert "not sent yet" in note
    assert "not sent yet" not in client_phone.get("/me/how-i-am?ill=whatever").text


def test_an_extra_outing_is_read_back_as_one(client_phone):
    said = {"kind": "easy", "mode": "walk", "minutes": "40", "done_on": "2026-11-25", "talk": "chat"}

    page = client_phone.get(client_phone.send("/me/done", **said).headers["location"]).text

    assert "no, an extra outing" in page
    assert "What became of it" not in page


def test_what_is_not_there_is_told_on_the_phone_in_the_phones_type(client_phone):
    page = client_phone.get("/me/done/99999").text

    assert "Not here" in page
    assert '<html lang="en" class="phone">' in page
