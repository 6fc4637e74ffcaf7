"""One-click mends on a plan's page: applied as drafts with a reason, refused when stale, taken back the same day."""

from __future__ import annotations

import re
from datetime import timedelta
from html import unescape

import pytest

from app.coaching.people import AvailableDay
from app.coaching.phases import Phase
from app.storage import clients, prescriptions
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import words_of
from tests.web.test_plan import _at

FIRST, SECOND = seed.TODAY + timedelta(days=5), seed.TODAY + timedelta(days=6)


@pytest.fixture
def crowded(coach, people):
    """Two hard drafts on days that follow each other; a free day for one of them."""
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, Phase.INTERVAL_TWO)
        days = [AvailableDay(people.client.id, weekday, 90, None, None) for weekday in range(7)]
        clients.replace_available_days(db, client_id=people.client.id, days=days)
        return [
            seed.add_planned_hard(db, client=people.client, planned_on=day, publish=False) for day in (FIRST, SECOND)
        ]


def _mends(page) -> list[tuple[str, str]]:
    """Every mend offered: its words and its key."""
    forms = re.findall(r'<form action="[^"]+/plan/mend".*?</form>', page.text, flags=re.DOTALL)
    return [(_button(one), unescape(re.search(r'name="mend" value="([^"]+)"', one)[1])) for one in forms]


def _button(form: str) -> str:
    return unescape(re.search(r"<button[^>]*>(.*?)</button>", form, flags=re.DOTALL)[1]).strip()


def _apply(coach, people, key: str):
    return coach.send(_at(people, "/mend"), mend=key, week=seed.TODAY.isoformat())


def _days(coach, people) -> list[str]:
    with coach.db() as db:
        return sorted(one.planned_on.isoformat() for one in scene.planned_of(db, people.client))


def test_a_plan_offers_mends_with_what_they_cost(coach, people, crowded):
    page = coach.get(_at(people))

    assert [words for words, _key in _mends(page)] == [
        "Move Rounds on Tue 1 Dec to Thu 3 Dec",
        "Make Rounds on Tue 1 Dec easy",
        "Take out Rounds on Tue 1 Dec",
    ]
    assert "No minutes are lost. 1 hard session fewer." in words_of(page)


def test_one_click_mends_and_the_finding_is_gone(coach, people, crowded):
    key = _mends(coach.get(_at(people)))[0][1]

    answer = _apply(coach, people, key)
    page = coach.get(answer.headers["location"])

    assert answer.status_code == 303
    assert "Done: Move Rounds on Tue 1 Dec to Thu 3 Dec. No minutes are lost. It waits as a draft." in words_of(page)
    assert "24 h apart" not in words_of(page)
    assert _days(coach, people) == ["2026-11-30", "2026-12-03"]


def test_a_mend_is_a_version_with_its_reason(coach, people, crowded):
    _apply(coach, people, _mends(coach.get(_at(people)))[0][1])

    with coach.db() as db:
        versions = scene.versions(db, crowded[1])

    assert [one.version for one in versions] == [1, 2]
    assert versions[1].reason == "Moved so that hard days lie far enough apart."
    assert versions[1].published_at is None


def test_a_mend_of_today_is_taken_back_and_the_client_saw_nothing(coach, people, crowded):
    _apply(coach, people, _mends(coach.get(_at(people)))[0][1])
    page = coach.get(_at(people))
    mend_id = re.search(r'plan/mend-back".*?name="mend" value="(\d+)"', page.text, flags=re.DOTALL)[1]

    answer = coach.send(_at(people, "/mend-back"), mend=mend_id, week=seed.TODAY.isoformat())
    again = coach.send(_at(people, "/mend-back"), mend=mend_id, week=seed.TODAY.isoformat())

    assert "Mended today, not published." in words_of(page)
    assert answer.status_code == 303
    assert again.status_code == 409
    assert _days(coach, people) == [FIRST.isoformat(), SECOND.isoformat()]


def test_a_mend_that_was_published_is_not_taken_back(coach, people, crowded):
    _apply(coach, people, _mends(coach.get(_at(people)))[0][1])
    with coach.db(write=True) as db:
        newest = scene.versions(db, crowded[1])[-1]
        prescriptions.publish(db, version_ids=[newest.version_id], at=seed.NOW)

    assert "Mended today" not in words_of(coach.get(_at(people)))


def test_a_mend_for_a_session_changed_meanwhile_shows_the_difference_and_changes_nothing(coach, people, crowded):
    key = _mends(coach.get(_at(people)))[0][1]
    with coach.db(write=True) as db:
        scene.add_draft(db, crowded[1], planned_on=SECOND + timedelta(days=1), place="the quarry")

    answer = _apply(coach, people, key)
    text = words_of(answer)

    assert answer.status_code == 409
    assert "changed this session meanwhile. Nothing was changed by you." in text
    assert "Place the quarry" in text
    assert _days(coach, people) == [FIRST.isoformat(), (SECOND + timedelta(days=1)).isoformat()]


def test_a_mend_that_no_longer_mends_changes_nothing(coach, people, crowded):
    key = _mends(coach.get(_at(people)))[0][1]
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=SECOND + timedelta(days=2), publish=False)

    answer = _apply(coach, people, key)

    assert answer.status_code == 409
    assert "The plan around it changed." in words_of(answer)


def test_a_mend_sent_twice_is_made_once(coach, people, crowded):
    key = _mends(coach.get(_at(people)))[0][1]
    once = "5b0f6c1e-6d0b-4a77-9a3e-2f8f8a1f3c55"

    first = coach.send(_at(people, "/mend"), mend=key, week=seed.TODAY.isoformat(), request_id=once)
    second = coach.send(_at(people, "/mend"), mend=key, week=seed.TODAY.isoformat(), request_id=once)

    with coach.db() as db:
        versions = scene.versions(db, crowded[1])
    assert (first.status_code, second.status_code, len(versions)) == (303, 303, 2)


def test_a_hard_session_that_closes_a_gap_is_added_and_taken_back(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, Phase.INTERVAL_TWO)
        for days in (1, 13):
            seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=days))
        for days in range(1, 34, 4):
            seed.add_log(db, client=people.client, done_on=seed.TODAY - timedelta(days=days), minutes=60)
    added = dict(_mends(coach.get(_at(people))))["Add Rounds on Wed 2 Dec"]

    page = coach.get(_apply(coach, people, added).headers["location"])
    mend_id = re.search(r'plan/mend-back".*?name="mend" value="(\d+)"', page.text, flags=re.DOTALL)[1]
    with_it = _days(coach, people)
    coach.send(_at(people, "/mend-back"), mend=mend_id, week=seed.TODAY.isoformat())

    assert "57 min more: 57 in the week of Mon 30 Nov. 1 hard session more." in words_of(page)
    assert with_it == ["2026-11-26", "2026-12-02", "2026-12-08"]
    assert _days(coach, people) == ["2026-11-26", "2026-12-08"]


def test_words_that_are_no_mend_are_refused(coach, people, crowded):
    assert _apply(coach, people, "move heaven and earth").status_code == 409
    assert _apply(coach, people, "").status_code == 422


def test_a_mend_never_reaches_another_clients_session(coach, people, crowded):
    with coach.db(write=True) as db:
        theirs = seed.add_planned_hard(db, client=people.other_client, planned_on=SECOND, publish=False)

    answer = _apply(coach, people, f"move {theirs}.1.2026-12-03.intervals.57")

    assert answer.status_code == 404


def test_who_may_not_plan_is_offered_no_mend(stand_in, coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.handed_client)
        for day in (FIRST, SECOND):
            seed.add_planned_hard(db, client=people.handed_client, planned_on=day)

    page = stand_in.get(f"/clients/{people.handed_client.id}/plan")

    assert "24 h apart" in words_of(page)
    assert "/plan/mend" not in page.text


def test_where_no_single_change_mends_it_the_page_says_so(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, Phase.INTERVAL_TWO)
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY)
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY + timedelta(days=30))

    text = words_of(coach.get(_at(people)))

    assert "30 days without a hard session" in text
    assert "No single change of the plan mends this." in text


def test_past_the_first_points_mends_are_looked_for_later(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        for week in range(10):
            day = seed.TODAY + timedelta(days=5 + 7 * week)
            seed.add_planned(db, client=people.client, planned_on=day, minutes=70 + 20 * week, publish=False)

    text = words_of(coach.get(_at(people)))

    assert "What mends this is looked for once the points above are settled." in text
