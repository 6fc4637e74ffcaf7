"""The coach enters on a client's behalf, alone or for a group."""

from __future__ import annotations

import re
from datetime import date, timedelta

import pytest

from app.coaching.people import Origin
from app.coaching.screening import ConsentKind
from app.coaching.session_logs import Answer
from app.storage import safety, session_logs
from tests import seed
from tests.safety_scenes import agree_to
from tests.web.test_phone_my_way import NO_TO_ALL

TOLD = {"origin": "told_by_phone"}


def logs(browser, client):
    with browser.db() as db:
        return session_logs.between(db, client_ids=[client.id], from_on=date(2025, 1, 1), until_on=date(2027, 1, 1))


def beside(page, name):
    """The sentence beside a field."""
    return re.search(rf'id="f-{name}-error"[^>]*>(.*?)</', page, re.DOTALL)[1]


def hidden(page, name):
    """What a hidden field holds."""
    return re.search(rf'name="{name}" value="([^"]*)"', page)[1]


@pytest.fixture
def walk_id(app, people):
    with app.state.house.transaction(True) as db:
        return seed.add_planned(db, client=people.client)


def test_a_session_told_by_phone_is_kept_with_its_origin(coach, people, walk_id):
    answer = coach.send(
        f"/clients/{people.client.id}/entry",
        planned_session_id=walk_id,
        answer="as_planned",
        done_on="2026-11-25",
        **TOLD,
    )

    kept = logs(coach, people.client)[0]
    assert answer.status_code == 303
    assert (kept.origin, kept.person_id, kept.minutes, kept.effort) == (
        Origin.TOLD_BY_PHONE,
        people.coach.id,
        45.0,
        None,
    )
    assert "Easy walk, Ilse Brandt" in coach.get(answer.headers["location"]).text


def test_a_coach_may_enter_any_day_back_but_none_ahead(coach, people):
    path = f"/clients/{people.client.id}/entry"
    form = TOLD | {"kind": "easy", "mode": "walk", "minutes": "60"}

    back = coach.send(path, done_on="2026-02-18", **form)
    ahead = coach.send(path, done_on="2026-11-26", **form)

    assert (back.status_code, ahead.status_code) == (303, 422)
    assert [(one.done_on, one.from_memory) for one in logs(coach, people.client)] == [(date(2026, 2, 18), True)]


def test_a_race_of_fifteen_hours_before_joining_is_asked_about_before_it_is_kept(coach, people):
    path = f"/clients/{people.client.id}/entry"
    form = TOLD | {"kind": "race", "mode": "walk", "minutes": "900", "done_on": "2026-02-17"}

    answer = coach.send(path, **form)

    page = answer.text
    assert answer.status_code == 422
    assert "joined on 18 February 2026" in beside(page, "done_on")
    assert "900 minutes are 15 h" in beside(page, "minutes")
    assert "nothing hard belongs" in beside(page, "kind")
    assert logs(coach, people.client) == []


def test_what_was_looked_at_twice_is_kept_by_a_tick_and_the_receipt_says_it_was_a_race(coach, people):
    path = f"/clients/{people.client.id}/entry"
    form = TOLD | {"kind": "race", "mode": "walk", "minutes": "900", "done_on": "2026-02-17"}
    looked_at = hidden(coach.send(path, **form).text, "looked_at")

    changed = coach.send(path, **(form | {"minutes": "800"}), looked_at=looked_at, is_right="yes")
    kept = coach.send(path, **form, looked_at=looked_at, is_right="yes")

    receipt = coach.get(kept.headers["location"]).text
    assert (changed.status_code, kept.status_code) == (422, 303)
    assert [one.minutes for one in logs(coach, people.client)] == [900.0]
    assert ["A race, a match" in receipt, "15 h" in receipt, "not said" in receipt] == [True, True, True]


def test_a_correction_is_looked_at_twice_too(coach, people):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client, minutes=40)

    answer = coach.send(
        f"/entry/logs/{log_id}/change", revision=1, kind="easy", mode="walk", minutes="400", done_on="2026-11-25"
    )

    assert answer.status_code == 422
    assert "If it is right, tick so below." in answer.text


def test_half_minutes_are_said_back_as_they_were_understood(coach, people):
    form = {"origin": "coach", "kind": "easy", "mode": "walk", "done_on": "2026-11-24", "minutes": "12,5"}

    coach.send(f"/clients/{people.client.id}/entry", **form)

    (kept,) = logs(coach, people.client)
    assert kept.minutes == 12.5
    assert "12 min 30 s" in coach.get(f"/clients/{people.client.id}/sessions/{kept.id}").text


def test_half_hours_are_never_taken_for_minutes(coach, people):
    form = TOLD | {"kind": "easy", "mode": "walk", "done_on": "2026-11-24"}

    bare = coach.send(f"/clients/{people.client.id}/entry", minutes="1.5", **form)
    said = coach.send(f"/clients/{people.client.id}/entry", minutes="1,5 h", **form)

    assert (bare.status_code, said.status_code) == (422, 303)
    assert "write 1:30 or 1.5 h" in bare.text
    assert [one.minutes for one in logs(coach, people.client)] == [90.0]


def test_what_the_coach_saw_is_kept_as_seen(coach, people):
    form = {"origin": "coach", "kind": "easy", "mode": "walk", "done_on": "2026-11-24", "minutes": "40"}

    answer = coach.send(f"/clients/{people.client.id}/entry", **form)

    assert logs(coach, people.client)[0].origin is Origin.COACH
    assert "with the coach present" in coach.get(answer.headers["location"]).text


def test_published_sessions_that_are_not_listed_are_counted(coach, people):
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=date(2026, 12, 8))
        seed.add_planned(db, client=people.client, planned_on=date(2026, 3, 1))

    page = coach.get(f"/clients/{people.client.id}/entry").text

    assert "1 published session lies after this week" in page
    assert "1 published before 28 July 2026 is not listed" in page
    assert "None is published yet" not in page


@pytest.mark.parametrize("origin", ["", "clinic", "client"])
def test_how_it_is_known_is_asked_and_never_guessed(coach, people, origin):
    form = {"kind": "easy", "mode": "walk", "minutes": "60", "done_on": "2026-11-24", "origin": origin}

    answer = coach.send(f"/clients/{people.client.id}/entry", **form)

    assert answer.status_code == 422
    assert 'value="60"' in answer.text
    assert logs(coach, people.client) == []


def test_a_coach_corrects_an_entry(coach, people, walk_id):
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client, planned_session_id=walk_id)

    answer = coach.send(
        f"/entry/logs/{log_id}/change", revision=1, answer="partly", minutes="20", done_on="2026-11-25"
    )

    assert answer.status_code == 303
    assert [(one.minutes, one.origin) for one in logs(coach, people.client)] == [(20.0, Origin.CLIENT)]


def test_missing_consent_to_keep_answers_is_said_above_the_questions(coach, people):
    address, said = f"/clients/{people.client.id}/entry/questions", "has not agreed to health answers being kept"

    before = coach.get(address).text
    with coach.db(write=True) as db:
        agree_to(db, client=people.client, person_id=people.coach.id, kinds=(ConsentKind.HEALTH_DATA,))

    assert said in before
    assert f'href="/clients/{people.client.id}/safety#consents-title"' in before
    assert said not in coach.get(address).text


def test_a_note_a_symptom_and_the_questions_are_kept_for_the_client(coach, people):
    at = f"/clients/{people.client.id}/entry"

    answers = [
        coach.send(f"{at}/readiness", sleep=4, noted_on="2026-11-24", **TOLD),
        coach.send(f"{at}/felt-wrong", sign="too_hard", felt_on="2026-11-24", **TOLD),
        coach.send(f"{at}/questions", answered_on="2026-11-24", **(NO_TO_ALL | TOLD)),
    ]

    with coach.db() as db:
        report = safety.symptoms_of(db, client_id=people.client.id)[0]
        answered = safety.screening_of(db, client_id=people.client.id)[0]
    assert [one.status_code for one in answers] == [303] * 3
    assert (report.origin, report.felt_on) == (Origin.TOLD_BY_PHONE, seed.TODAY - timedelta(days=1))
    assert (answered.origin, answered.answered_on) == (Origin.TOLD_BY_PHONE, seed.TODAY - timedelta(days=1))


@pytest.mark.parametrize(
    "word", ["entry", "entry?extra=true", "entry/readiness", "entry/felt-wrong", "entry/questions"]
)
def test_each_page_opens_for_the_coach_and_does_not_exist_for_others(coach, other_coach, client_phone, people, word):
    path = f"/clients/{people.client.id}/{word}"

    statuses = [one.get(path).status_code for one in (coach, other_coach, client_phone)]

    assert statuses == [200, 404, 404]


def test_a_group_is_entered_at_once(head, people):
    with head.db(write=True) as db:
        first = seed.add_planned(db, client=people.client)
        seed.add_planned(db, client=people.other_client)
    rows = {
        f"c{people.client.id}_answer": "as_planned",
        f"c{people.client.id}_effort": "4",
        f"c{people.client.id}_talk": "chat",
        f"c{people.other_client.id}_answer": "partly",
        f"c{people.other_client.id}_minutes": "0:30",
    }

    answer = head.send("/entry/group", day="2026-11-25", origin="from_paper", **rows)

    one, other = logs(head, people.client)[0], logs(head, people.other_client)[0]
    assert answer.status_code == 303
    assert (one.planned_session_id, one.minutes, one.effort, one.origin) == (first, 45.0, 4.0, Origin.FROM_PAPER)
    assert (other.answer, other.minutes) == (Answer.PARTLY, 30.0)
    assert logs(head, people.handed_client) == []


def test_one_bad_row_keeps_all_rows_as_typed_and_nothing_in_the_file(head, people):
    with head.db(write=True) as db:
        seed.add_planned(db, client=people.client)
    rows = {
        f"c{people.client.id}_answer": "as_planned",
        f"c{people.client.id}_minutes": "51",
        f"c{people.other_client.id}_answer": "something_else",
        f"c{people.other_client.id}_minutes": "nan",
    }

    answer = head.send("/entry/group", day="2026-11-25", origin="from_paper", **rows)

    assert answer.status_code == 422
    assert "Write minutes as" in answer.text
    assert ['value="51"' in answer.text, 'value="nan"' in answer.text] == [True, True]
    assert logs(head, people.client) == []


def test_a_row_of_the_group_is_looked_at_twice(head, people):
    at = f"c{people.client.id}_"
    rows = {f"{at}answer": "something_else", f"{at}minutes": "500", f"{at}talk": "chat"}

    asked = head.send("/entry/group", day="2026-11-25", origin="from_paper", **rows)
    looked_at = hidden(asked.text, f"{at}looked_at")
    kept = head.send(
        "/entry/group",
        day="2026-11-25",
        origin="from_paper",
        **rows,
        **{f"{at}looked_at": looked_at, f"{at}is_right": "yes"},
    )

    assert (asked.status_code, kept.status_code) == (422, 303)
    assert "500 minutes are 8 h 20" in asked.text
    assert [one.minutes for one in logs(head, people.client)] == [500.0]


def test_a_group_holds_only_those_a_person_may_enter_for(stand_in, people):
    page = stand_in.get("/entry/group").text

    assert people.handed_client.name in page
    assert people.client.name not in page


def test_an_empty_group_is_told_so(head):
    answer = head.send("/entry/group", day="2026-11-25", origin="from_paper")

    assert answer.status_code == 422
    assert "No row has an answer yet." in answer.text
