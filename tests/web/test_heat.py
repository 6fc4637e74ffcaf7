"""Heat over HTTP: the coach says how hot today is; the page, the phones and the print follow."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.storage import illness, prescriptions
from app.storage.audit import trail_of_practice
from tests import seed
from tests.conftest import Browser
from tests.seed import NOW, TODAY, People

YOUNG = {"born_on": date(1986, 3, 2), "regularly_active_confirmed_on": TODAY - timedelta(weeks=39)}


@pytest.fixture
def runner(coach: Browser, people: People):
    """A client of forty, cleared for hard work, with rounds today."""
    with coach.db(write=True) as db:
        client = seed.add_calm_client(db, coach_id=people.coach.id, name="Lasse Timm", **YOUNG)
        seed.add_planned_hard(db, client=client, title="Four hill rounds", mode=Mode.WALK)
    return client


@pytest.fixture
def on_the_phone(coach: Browser, people: People) -> None:
    """Rounds today on the phone of `people.client`, who is 61 and cleared for hard work."""
    with coach.db(write=True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_phase(db, client=people.client, phase=Phase.INTERVAL_ONE, since_on=TODAY - timedelta(days=20))
        seed.add_answers(db, client=people.client)
        seed.add_planned_hard(db, client=people.client, title="Four rounds", mode=Mode.WALK)


def on_file(browser: Browser):
    with browser.db() as db:
        return illness.heat_on(db, day=TODAY)


def test_before_anybody_noted_the_day_todays_hard_sessions_are_listed(coach, runner) -> None:
    page = coach.get("/heat").text

    assert "Nobody has said yet how hot it is." in page
    assert "Four hill rounds" in page
    assert "over 27.8, up to 30" in page
    assert "Casa 2015" in page


def test_a_hot_day_names_the_sessions_it_reaches_with_a_link_to_each(coach, runner) -> None:
    answer = coach.send("/heat", temperature_c="29", humidity_percent="40", wbgt_c="")

    page = coach.get("/heat").text
    assert answer.status_code == 303
    assert "29 °C, 40 % humidity, noted by Jonah Pell." in page
    assert "Hard work goes indoors, early in the day, or becomes easy; by effort only." in page
    assert 'href="/plan/sessions/' in page


@pytest.mark.parametrize(
    ("typed", "is_reached"),
    [
        ({"temperature_c": "24"}, False),
        ({"temperature_c": "27.9"}, False),
        ({"temperature_c": "28"}, True),
        ({"temperature_c": "25", "humidity_percent": "60"}, True),
        ({"temperature_c": "25", "humidity_percent": "59"}, False),
        ({"wbgt_c": "27.8"}, False),
        ({"wbgt_c": "28"}, True),
    ],
    ids=str,
)
def test_the_rule_of_the_day_reaches_a_client_of_forty(coach, runner, typed, is_reached) -> None:
    coach.send("/heat", **typed)

    page = coach.get("/heat").text
    assert ("Hard work goes indoors" in page) is is_reached
    assert ("no hard session of today is touched by heat" in page) is not is_reached


def test_from_sixty_on_it_is_three_degrees_lower_and_one_row_down(coach, people, on_the_phone) -> None:
    coach.send("/heat", temperature_c="25")
    by_air = coach.get("/heat").text
    coach.send("/heat", wbgt_c="28")
    by_globe = coach.get("/heat").text

    assert "Bears heat badly: aged 61." in by_air
    assert "Hard work goes indoors" in by_air
    assert "Too hot for hard work outdoors today" in by_globe


def test_the_phone_says_it_beside_the_hard_session(coach, client_phone, on_the_phone) -> None:
    before = client_phone.get("/me/today").text
    coach.send("/heat", temperature_c="26")
    after = client_phone.get("/me/today").text

    assert "Hot today." not in before
    assert "Four rounds" in after
    assert "Hot today. Hard work goes indoors, early in the day, or becomes easy" in after


def test_a_session_indoors_is_asked_for_a_cool_room(coach, people) -> None:
    with coach.db(write=True) as db:
        client = seed.add_calm_client(db, coach_id=people.coach.id, name="Edda Kroll", **YOUNG)
        seed.add_planned_hard(db, client=client, mode=Mode.INDOOR_RIDE)
    coach.send("/heat", temperature_c="29")

    page = coach.get("/heat").text
    assert "Planned indoors: keep the room cool" in page
    assert "Hard work goes indoors" not in page


def test_the_newest_note_of_the_day_counts(coach, runner) -> None:
    coach.send("/heat", temperature_c="33")
    coach.send("/heat", temperature_c="20")

    assert on_file(coach).temperature_c == 20
    assert "no hard session of today is touched by heat" in coach.get("/heat").text


def test_yesterdays_heat_says_nothing_about_today(coach, client_phone, on_the_phone) -> None:
    with coach.db(write=True) as db:
        illness.add_heat(
            db,
            noted_on=TODAY - timedelta(days=1),
            temperature_c=34,
            humidity_percent=None,
            wbgt_c=None,
            person_id=1,
            at=NOW - timedelta(days=1),
        )

    assert "Hot today." not in client_phone.get("/me/today").text
    assert "Nobody has said yet" in coach.get("/heat").text


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({}, "Give the air&#39;s temperature, or the wet-bulb globe temperature."),
        ({"humidity_percent": "70"}, "Give the air&#39;s temperature"),
        ({"temperature_c": "77"}, "between -30 and 55 °C"),
        ({"temperature_c": "warm"}, "Write a number such as 7 or 7.5."),
        ({"temperature_c": "25", "humidity_percent": "170"}, "between 0 and 100 %"),
        ({"wbgt_c": "nan"}, "Write a number such as 7 or 7.5."),
    ],
    ids=str,
)
def test_a_bad_note_is_refused_and_kept_in_the_field(coach, typed, sentence) -> None:
    answer = coach.send("/heat", **typed)

    assert answer.status_code == 422
    assert sentence in answer.text
    assert on_file(coach) is None


def test_a_coach_sees_the_sessions_of_own_clients_only(coach, other_coach, runner) -> None:
    assert "Lasse Timm" in coach.get("/heat").text
    assert "Lasse Timm" not in other_coach.get("/heat").text


def test_the_note_is_in_the_practices_trail(coach) -> None:
    coach.send("/heat", temperature_c="29")

    with coach.db() as db:
        assert [entry.action for entry in trail_of_practice(db)][:1] == ["heat noted"]


def test_the_morning_and_the_practice_lead_there(coach, runner) -> None:
    assert 'href="/heat"' in coach.get("/morning").text
    assert 'href="/heat"' in coach.get("/practice").text


def test_the_stop_signs_stand_on_the_print_of_a_week_with_hard_work(coach, people, runner) -> None:
    with coach.db(write=True) as db:
        easy = seed.add_calm_client(db, coach_id=people.coach.id, name="Edda Kroll", **YOUNG)
        seed.add_planned(db, client=easy)

    with_hard = coach.get(f"/clients/{runner.id}/plan/print").text
    without = coach.get(f"/clients/{easy.id}/plan/print").text

    assert "read before each hard session" in with_hard
    assert "new pain in a joint or calf" in with_hard
    assert "read before each hard session" not in without


def test_the_morning_names_who_has_hard_work_outdoors_and_its_foot_what_was_noted(coach, runner) -> None:
    assert "A hot day?" in coach.get("/morning").text
    coach.send("/heat", temperature_c="33")

    page = coach.get("/morning").text

    assert "Hot today, 33 °C: one client has middle or hard work outdoors." in page
    assert ">Lasse Timm</a>" in page.partition('id="line-hot"')[2].partition("</article>")[0]
    assert "Noted for today: 33 °C." in page
    assert "A hot day?" not in page


def test_the_coachs_page_of_a_session_on_a_hot_day_is_by_effort_like_the_phone(coach, runner) -> None:
    with coach.db() as db:
        session = prescriptions.newest_between(db, client_ids=[runner.id], from_on=TODAY, until_on=TODAY)[0]
    coach.send("/heat", temperature_c="33")

    page = coach.get(f"/plan/sessions/{session.id}").text

    assert "Hot today." in page
    assert "By effort alone on this day" in page
