"""Tests of fitness: the page for everybody, and one client's results."""

from __future__ import annotations

import json
from datetime import timedelta
from html import unescape

import pytest

from app.coaching.fitness_tests import Protocol
from app.coaching.people import Mode, Origin
from app.coaching.phases import Phase
from app.storage import fitness_tests
from app.storage.audit import trail_of
from tests import factories, seed

LOOP = {
    "protocol": "standard_loop",
    "mode": "walk",
    "tested_on": "2026-11-20",
    "distance_m": "1900",
    "duration": "17:30",
    "heart_rate_bpm": "112",
    "talk": "chat",
    "origin": "coach",
}


def address(client) -> str:
    return f"/clients/{client.id}/tests"


def keep_loop(browser, client, **changes):
    with browser.db(write=True) as db:
        fitness_tests.add(
            db, test=factories.standard_loop(**({"client_id": client.id, "person_id": client.coach_id} | changes))
        )


def test_a_result_is_kept_as_measured_with_a_trace(coach, people):
    answer = coach.send(address(people.client), **LOOP)

    assert answer.status_code == 303
    with coach.db() as db:
        kept = fitness_tests.of_client(db, client_id=people.client.id)[0]
        assert (kept.protocol, kept.mode, kept.duration_s, kept.origin) == (
            Protocol.STANDARD_LOOP,
            Mode.WALK,
            1050.0,
            Origin.COACH,
        )
        assert "add_test_result" in [entry.action for entry in trail_of(db, client_id=people.client.id)]


def test_like_stands_beside_like_with_the_difference_and_no_verdict(coach, people):
    keep_loop(
        coach,
        people.client,
        tested_on=seed.TODAY - timedelta(days=40),
        distance_m=1900.0,
        duration_s=1080.0,
        heart_rate_bpm=118,
    )

    coach.send(address(people.client), **(LOOP | {"talk": ""}))

    text = unescape(coach.get(address(people.client)).text)
    assert "same distance, 0:30 min faster, 6 beats a minute lower" in text
    assert "whether this is more than chance cannot be told" in text


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("tested_on", "2026-11-26", "not come yet"),
        ("tested_on", "1890-01-01", "before"),
        ("distance_m", "NaN", "number"),
        ("distance_m", "inf", "number"),
        ("distance_m", "0", "between"),
        ("duration", "45 h", "17:30"),
        ("duration", "١٧:30", "17:30"),
        ("duration", "0:00", "one second"),
        ("heart_rate_bpm", "400", "between 25 and 240"),
        ("value", "", "go together"),
        ("error", "-1", "between"),
        ("protocol", "zone test", "Choose one"),
        ("conditions", "x" * 1001, "under 1000"),
    ],
)
def test_a_bad_field_keeps_what_was_typed(coach, people, field, typed, says):
    answer = coach.send(address(people.client), **(LOOP | {"unit": "kept", "value": "30", field: typed}))

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert 'name="unit" type="text" class="short" value="kept"' in answer.text
    with coach.db() as db:
        assert fitness_tests.of_client(db, client_id=people.client.id) == []


def test_a_result_without_any_figure_is_refused(coach, people):
    answer = coach.send(address(people.client), **(LOOP | {"distance_m": "", "duration": "", "heart_rate_bpm": ""}))

    assert answer.status_code == 422
    assert "at least one figure" in answer.text


def test_a_stranger_adds_no_result(other_coach, people):
    assert other_coach.send(address(people.client), **LOOP).status_code == 404


def test_a_stand_in_keeps_a_result(stand_in, people):
    assert stand_in.send(address(people.handed_client), **LOOP).status_code == 303


def test_the_page_for_everybody_puts_what_is_due_first(head, people):
    keep_loop(head, people.other_client, tested_on=seed.TODAY - timedelta(weeks=6))
    keep_loop(head, people.client, tested_on=seed.TODAY - timedelta(weeks=1))

    text = head.get("/tests").text

    assert text.index("Ruben Castor") < text.index("Ilse Brandt") < text.index("Hanne Weidel")
    assert text.count(">due</span>") == 1


def test_in_intervals_another_test_is_due_after_twelve_weeks(head, people):
    with head.db(write=True) as db:
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE, since_on=seed.TODAY - timedelta(weeks=13))
    keep_loop(head, people.client, tested_on=seed.TODAY - timedelta(weeks=1))

    assert "a test, 18 November 2026" in head.get("/tests").text


def test_a_coach_sees_the_own_clients_only(coach):
    text = coach.get("/tests").text

    assert "Ilse Brandt" in text
    assert "Ruben Castor" not in text


MILE = LOOP | {
    "protocol": "one_mile_walk",
    "distance_m": "",
    "duration": "18:00",
    "heart_rate_bpm": "112",
    "weight_kg": "61.5",
    "height_cm": "164",
}


def test_weight_and_height_are_kept_with_the_test(coach, people):
    coach.send(address(people.client), **MILE)

    with coach.db() as db:
        kept = fitness_tests.of_client(db, client_id=people.client.id)[0]
        entry = next(one for one in trail_of(db, client_id=people.client.id) if one.action == "add_test_result")
    assert (kept.weight_kg, kept.height_cm) == (61.5, 164.0)
    assert json.loads(entry.change_json)["after"]["weight_kg"] == 61.5


def test_a_mile_with_its_inputs_shows_vo2max_with_error_source_and_edition(coach, people):
    coach.send(address(people.client), **MILE)

    text = unescape(coach.get(address(people.client)).text)

    assert "± 5 mL/kg/min" in text
    assert "standard error of estimate 5.0 mL/kg/min" in text
    assert "Kline et al. 1987" in text
    assert "edition of 2022" in text


def test_a_mile_without_weight_says_what_is_missing(coach, people):
    coach.send(address(people.client), **MILE | {"weight_kg": ""})

    assert "No VO2max: for an estimate of VO2max weight is missing" in unescape(
        coach.get(address(people.client)).text
    )


@pytest.mark.parametrize(("field", "typed"), [("weight_kg", "29"), ("weight_kg", "NaN"), ("height_cm", "1.64")])
def test_a_body_no_adult_has_is_refused(coach, people, field, typed):
    assert coach.send(address(people.client), **MILE | {field: typed}).status_code == 422


def test_two_walks_alike_get_a_plain_verdict_that_opens(coach, people):
    walk = LOOP | {"protocol": "six_minute_walk", "duration": "", "heart_rate_bpm": "", "talk": ""}
    coach.send(address(people.client), **walk | {"tested_on": "2026-09-20", "distance_m": "480"})
    coach.send(address(people.client), **walk | {"distance_m": "540"})

    text = unescape(coach.get(address(people.client)).text)

    assert "60 m longer, against 20 September 2026" in text
    assert "Clear: more than test error alone makes." in text
    assert "Chuang et al. 2012" in text


def test_another_population_is_a_choice_and_the_newest_edition_the_default(coach, people):
    coach.send(address(people.client), **MILE)

    plain = unescape(coach.get(address(people.client)).text)
    chosen = unescape(coach.get(f"{address(people.client)}?table=aspenes2011").text)

    assert '<option value="kaminsky2022" selected>' in plain
    assert "US registry, edition of 2022" in plain
    assert '<option value="aspenes2011" selected>' in chosen
    assert "Norway, 20 and over, fit volunteers on the treadmill" in chosen
    assert "Aspenes et al. 2011" in chosen
    assert "edition of 2022" not in chosen


@pytest.mark.parametrize("asked", ["walrus", "<script>", "", "\x00"])
def test_a_table_that_is_not_on_the_list_is_the_default(coach, people, asked):
    coach.send(address(people.client), **MILE)

    page = coach.http.get(address(people.client), params={"table": asked})

    assert page.status_code == 200
    assert '<option value="kaminsky2022" selected>' in page.text


def test_decline_is_background_and_mortality_information_both_folded(coach, people):
    coach.send(address(people.client), **MILE)

    text = unescape(coach.get(address(people.client)).text)

    assert '<details class="why"><summary>How VO2max goes with age: background</summary>' in text
    assert '<details class="why"><summary>Fitness and how long people live: information only</summary>' in text
    assert "It says neither that training causes it nor what holds for one client" in text
    assert "Kodama" in text


def test_without_an_estimate_there_is_nothing_to_set_beside(coach, people):
    keep_loop(coach, people.client)

    text = coach.get(address(people.client)).text

    assert 'name="table"' not in text
    assert "how long people live" not in text


def test_a_walk_done_twice_is_averaged_on_the_page(coach, people):
    walk = LOOP | {"protocol": "six_minute_walk", "duration": "", "heart_rate_bpm": "", "talk": ""}
    coach.send(address(people.client), **walk | {"tested_on": "2026-09-20", "distance_m": "480"})
    coach.send(address(people.client), **walk | {"tested_on": "2026-09-27", "distance_m": "500"})

    first = unescape(coach.get(address(people.client)).text)
    coach.send(address(people.client), **walk | {"distance_m": "540"})
    later = unescape(coach.get(address(people.client)).text)

    assert "The mean of 2 tests within two weeks (490 m)." in first
    assert "Repeated within two weeks: the mean counts as one side" in first
    assert "One test (540 m), against the mean of 2 tests within two weeks (490 m)." in later
    assert "2 before, 1 after" in later
    assert "/workings?formula=judge_change#judge_change" in later
