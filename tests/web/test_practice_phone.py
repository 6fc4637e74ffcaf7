"""The practice's telephone: wherever a client is told to tell the coach, the number is there to tap or to read."""

from __future__ import annotations

import pytest

from app.coaching.holds import HoldKind, Stops
from app.storage import practice
from tests import seed

LINK = '<a class="call" href="tel:03055501200">030 5550 1200</a>'


@pytest.fixture
def number(app):
    with app.state.house.transaction(True) as db:
        practice.change_phone(db, phone="030 5550 1200")


def main_of(page: str) -> str:
    """What the page itself says, without sheet and foot."""
    return page.split("<main", 1)[1].split("</main>", 1)[0]


@pytest.mark.parametrize("path", ["/me/today", "/me/how-i-am", "/me/my-way", "/me/intake", "/me/felt-wrong"])
def test_every_page_of_the_phone_ends_with_it(client_phone, number, path):
    foot = client_phone.get(path).text.split('<footer class="foot">', 1)[1].split("</footer>", 1)[0]

    assert LINK in foot


def test_it_stands_in_the_sheet_that_answers_without_a_signal_and_beside_what_waits_to_be_sent(client_phone, number):
    page = client_phone.get("/me/today").text

    told = page.split('data-step="told"', 1)[1].split("</section>", 1)[0]
    kept = page.split('id="felt-wrong-kept"', 1)[1].split("</section>", 1)[0]
    assert LINK in told
    assert LINK in kept


def test_it_stands_with_the_answer_to_something_felt_wrong(client_phone, number):
    answer = client_phone.send("/me/felt-wrong", sign="joint", felt_on=seed.TODAY.isoformat(), mode="run")

    assert LINK in main_of(client_phone.get(answer.headers["location"]).text)


def test_it_stands_beside_a_pause_on_today(client_phone, number, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.ILLNESS, stops=Stops.ALL)

    assert LINK in main_of(client_phone.get("/me/today").text)


def test_it_is_kept_for_a_lost_connection_and_told_where_a_link_has_ended(nobody, number):
    assert LINK in nobody.get("/offline").text
    assert LINK in nobody.get("/join/a-link-of-long-ago").text


def test_the_printed_week_names_it(coach, people, number):
    page = coach.get(f"/clients/{people.client.id}/plan/print?week={seed.TODAY.isoformat()}").text

    assert "Then tell your coach: 030 5550 1200;" in page


def test_without_a_number_nothing_is_shown(client_phone, nobody, coach, people):
    pages = [client_phone.get("/me/today").text, nobody.get("/offline").text]

    assert not any("Your coach's telephone" in page for page in pages)
    printed = coach.get(f"/clients/{people.client.id}/plan/print?week={seed.TODAY.isoformat()}").text
    assert "Then tell your coach; your coach may not see" in printed
