"""Signing in and out, the pause after wrong passwords, the first start, and personal links."""

import re
from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest
from starlette.testclient import TestClient

from app.main import create_app
from app.settings import Settings
from app.storage import accounts, practice
from app.usecases.accounts import open_set_up
from app.usecases.passwords import Passwords, weakness
from app.web.account import local_path
from app.web.deps import LOGIN_COOKIE
from app.web.security import plain_code, token_sha256
from tests import seed
from tests.conftest import TOKENS, Browser, FixedClock
from tests.seed import NOW, PASSWORD

EMAIL = "jonah@birchway.example"
NEW = "nine grey herons by the weir"


def actions(browser):
    with browser.db() as db:
        return [row[0] for row in db.connection().exec_driver_sql("SELECT action FROM audit_trail ORDER BY id")]


def link_for(coach, client):
    page = coach.send(f"/clients/{client.id}/access/link")
    return re.search(r"/join/[\w-]+", page.text).group(0)


def test_a_coach_signs_in_and_is_led_to_the_morning(nobody):
    page = nobody.send("/sign-in", email=EMAIL, password=PASSWORD)

    assert (page.status_code, page.headers["location"]) == (303, "/morning")
    assert nobody.get("/practice").status_code == 200
    assert actions(nobody)[-1] == "signed in"


def test_the_login_cookie_is_kept_from_scripts_and_other_sites(nobody):
    cookie = nobody.send("/sign-in", email=EMAIL, password=PASSWORD).headers["set-cookie"]

    assert cookie.startswith(f"{LOGIN_COOKIE}=")
    assert {"HttpOnly", "SameSite=lax", "Path=/"} <= set(cookie.split("; "))


def test_over_tls_the_cookie_is_bound_to_the_host(app):
    with TestClient(app, base_url="https://localhost", follow_redirects=False) as http:
        form = {"email": EMAIL, "password": PASSWORD}
        cookie = http.post("/sign-in", data=form, headers={"Origin": "https://localhost"}).headers["set-cookie"]

    assert cookie.startswith(f"__Host-{LOGIN_COOKIE}=")
    assert "Secure" in cookie.split("; ")


def test_only_the_hash_of_the_token_is_kept(nobody):
    nobody.send("/sign-in", email=EMAIL, password=PASSWORD)

    with nobody.db() as db:
        kept = [row[0] for row in db.connection().exec_driver_sql("SELECT token_sha256 FROM logins")]
    assert token_sha256(nobody.token) in kept
    assert nobody.token not in kept


def test_signing_in_again_gives_a_new_token_and_ends_the_old_login(coach):
    before = coach.token

    coach.send("/sign-in", email=EMAIL, password=PASSWORD)

    assert coach.token != before
    with coach.db() as db:
        login, _person = accounts.login_by_token(db, token_sha256=token_sha256(before))
    assert login.ended_at == NOW


def test_the_way_back_is_kept(nobody):
    page = nobody.send("/sign-in", email=EMAIL, password=PASSWORD, next="/practice/rules?x=1")

    assert page.headers["location"] == "/practice/rules?x=1"


@pytest.mark.parametrize(
    "elsewhere", ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "/a\nb", "roster", ""]
)
def test_a_way_back_never_leads_elsewhere(elsewhere):
    assert local_path(elsewhere, otherwise="/morning") == "/morning"


@pytest.mark.parametrize(
    ("email", "password"),
    [(EMAIL, "wrong"), ("unknown@birchway.example", PASSWORD), ("", ""), (EMAIL, PASSWORD.upper())],
)
def test_a_wrong_try_says_the_same_whoever_it_was(nobody, email, password):
    page = nobody.send("/sign-in", email=email, password=password)

    assert page.status_code == 422
    assert "The address or the password is not right." in page.text
    assert nobody.token == ""


def test_a_wrong_try_keeps_the_address_but_not_the_password(nobody):
    page = nobody.send("/sign-in", email=EMAIL, password="not this one")

    assert f'value="{EMAIL}"' in page.text
    assert "not this one" not in page.text


def wrong_tries(browser, count):
    return [browser.send("/sign-in", email=EMAIL, password=f"wrong {n}").status_code for n in range(count)]


def test_after_three_wrong_passwords_the_next_try_waits(nobody):
    statuses = wrong_tries(nobody, 4)

    page = nobody.send("/sign-in", email=EMAIL, password=PASSWORD)

    assert statuses == [422, 422, 422, 429]
    assert page.status_code == 429
    assert page.headers["retry-after"] == "2"
    assert "2 seconds" in page.text
    assert [f'value="{EMAIL}"' in page.text, PASSWORD in page.text] == [True, False]
    assert actions(nobody)[-1] == "too many tries"


def test_nobody_is_locked_out_for_longer_than_a_minute(nobody, clock):
    for _ in range(12):
        wrong_tries(nobody, 1)
        clock.move(seconds=61)

    assert nobody.send("/sign-in", email=EMAIL, password=PASSWORD).status_code == 303


def test_the_pause_grows(nobody, clock):
    wrong_tries(nobody, 3)
    clock.move(seconds=3)
    wrong_tries(nobody, 1)

    assert nobody.send("/sign-in", email=EMAIL, password=PASSWORD).headers["retry-after"] == "4"


def test_another_account_from_the_same_address_does_not_wait(nobody):
    wrong_tries(nobody, 4)

    assert nobody.send("/sign-in", email="greta@birchway.example", password=PASSWORD).status_code == 303


def test_many_accounts_tried_from_one_address_wait(nobody):
    for n in range(12):
        nobody.send("/sign-in", email=f"guess{n}@birchway.example", password="wrong")

    assert nobody.send("/sign-in", email=EMAIL, password=PASSWORD).status_code == 429


def at_once(work, count):
    with ThreadPoolExecutor(count) as pool:
        return sorted(pool.map(work, range(count)))


def test_many_tries_sent_at_once_are_answered_like_tries_one_after_another(nobody):
    statuses = at_once(lambda n: nobody.send("/sign-in", email=EMAIL, password=f"guess {n}").status_code, 12)

    assert statuses == [422] * 3 + [429] * 9


def test_a_button_pressed_in_many_places_at_once_signs_one_in(coach, nobody, people, app):
    link = link_for(coach, people.client)

    statuses = at_once(lambda _n: nobody.send(link, csrf_token=None).status_code, 12)

    assert statuses.count(303) == 1
    assert actions(coach).count("signed in") == len(TOKENS) + 1


def test_what_strangers_type_as_address_is_not_written_down(nobody):
    nobody.send("/sign-in", email="private@elsewhere.example", password="wrong")

    with nobody.db() as db:
        tables = "SELECT subject FROM sign_in_failures UNION ALL SELECT subject || change_json FROM audit_trail"
        kept = [row[0] for row in db.connection().exec_driver_sql(tables)]
    assert not any("private@elsewhere.example" in one for one in kept)


def test_a_switched_off_coach_cannot_sign_in(nobody, people):
    with nobody.db(write=True) as db:
        accounts.set_active(db, person_id=people.coach.id, is_active=False)

    assert nobody.send("/sign-in", email=EMAIL, password=PASSWORD).status_code == 422


def test_a_coach_is_signed_out_after_an_hour_without_use(coach, clock):
    coach.get("/practice")
    clock.move(minutes=61)

    assert coach.get("/practice").status_code == 303


def test_a_coach_is_signed_out_after_twelve_hours_in_any_case(coach, clock):
    statuses = []
    for _ in range(13):
        clock.move(minutes=56)
        statuses.append(coach.get("/practice").status_code)

    assert statuses == [200] * 12 + [303]


def test_a_phone_stays_signed_in_for_180_days_from_its_last_use(client_phone, clock):
    clock.move(days=179)
    still = client_phone.get("/").headers["location"]
    clock.move(days=179)
    again = client_phone.get("/").headers["location"]
    clock.move(days=181)

    assert (still, again, client_phone.get("/").headers["location"]) == ("/me/today", "/me/today", "/sign-in")


def test_signing_out_ends_the_login_itself(coach):
    token = coach.token

    page = coach.send("/sign-out")

    assert page.headers["location"] == "/sign-in"
    assert coach.token == ""
    coach.http.cookies.set(LOGIN_COOKIE, token, domain="localhost.local", path="/")
    assert coach.get("/practice").status_code == 303


def test_a_phone_that_signs_out_is_told_how_to_come_back(client_phone):
    page = client_phone.send("/sign-out")

    shown = client_phone.get(page.headers["location"]).text
    assert "This phone is not signed in" in shown
    assert "You are signed out." in shown
    assert "was not kept" not in shown
    assert 'type="password"' not in shown


def test_signing_out_everywhere_ends_the_other_browsers_too(coach, nobody):
    nobody.send("/sign-in", email=EMAIL, password=PASSWORD)

    coach.send("/sign-out/everywhere")

    assert nobody.get("/practice").status_code == 303


def test_the_first_address_leads_to_where_the_day_begins(nobody, coach, client_phone):
    found = [browser.get("/").headers["location"] for browser in (nobody, coach, client_phone)]

    assert found == ["/sign-in", "/morning", "/me/today"]


@pytest.fixture
def fresh(tmp_path):
    app = create_app(Settings(data_dir=tmp_path / "fresh"))
    app.state.house.clock = FixedClock()
    with app.state.house.transaction(True) as db:
        open_set_up(db, code_sha256=token_sha256(plain_code("abcd-2222-3333-4444")))
    with TestClient(app, base_url="http://localhost", follow_redirects=False) as http:
        yield Browser(http, app.state.house)


SET_UP = {
    "code": "abcd-2222-3333-4444",
    "name": "Greta Alm",
    "email": "greta@birchway.example",
    "new_password": NEW,
    "new_password_again": NEW,
}


def test_the_first_start_leads_to_the_set_up_page(fresh):
    assert fresh.get("/").headers["location"] == "/set-up"
    assert fresh.get("/set-up").status_code == 200


def test_the_code_from_the_console_makes_the_head_coach_once(fresh):
    first = fresh.send("/set-up", **SET_UP)
    second = fresh.send("/set-up", **SET_UP)

    assert first.headers["location"] == "/practice"
    assert fresh.get("/practice/people").status_code == 200
    assert second.headers["location"] == "/"
    with fresh.db() as db:
        assert [one.name for one in accounts.coaches(db)] == ["Greta Alm"]


@pytest.mark.parametrize("typed", ["abcd222233334444", "ABCD 2222 3333 4444", " abcd–2222–3333–4444 "])
def test_the_code_is_taken_as_people_type_it(fresh, typed):
    assert fresh.send("/set-up", **SET_UP | {"code": typed}).headers["location"] == "/practice"


def test_after_several_wrong_codes_the_form_waits_and_keeps_what_was_typed(fresh):
    statuses = [fresh.send("/set-up", **SET_UP | {"code": f"0000-{n}"}).status_code for n in range(30)]

    page = fresh.send("/set-up", **SET_UP)

    assert (statuses[0], statuses[-1], page.status_code) == (422, 429, 429)
    assert ['value="Greta Alm"' in page.text, 'value="greta@birchway.example"' in page.text] == [True, True]
    assert NEW not in page.text
    assert "The next one can be made in" in page.text


def test_the_page_says_where_the_code_stands(fresh):
    assert "in the window in which the desk was started" in fresh.get("/set-up").text


def test_a_wrong_code_makes_nobody(fresh):
    page = fresh.send("/set-up", **SET_UP | {"code": "0000-0000-0000-0000"})

    assert page.status_code == 422
    assert 'value="Greta Alm"' in page.text
    with fresh.db() as db:
        assert accounts.coaches(db) == []


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"new_password": "short", "new_password_again": "short"}, "at least 8 characters"),
        ({"new_password": "password123", "new_password_again": "password123"}, "tried first"),
        ({"new_password": "greta alm", "new_password_again": "greta alm"}, "A name that is on every page"),
        ({"new_password_again": "something else"}, "not the same"),
        ({"email": "no address"}, "does not look like an e-mail address"),
        ({"name": " "}, "Please fill this in"),
    ],
)
def test_a_bad_answer_is_explained_beside_its_field(fresh, changes, sentence):
    page = fresh.send("/set-up", **SET_UP | changes)

    assert page.status_code == 422
    assert sentence in page.text


@pytest.mark.parametrize(
    "good", ["eight ch", "x" * 253 + "yz!", "пароль из слов", "🚲🚲🏔 🏔🚲⛰🌲🌲", " leading space"]
)
def test_any_characters_make_a_password(good):
    passwords = Passwords(quick=True)

    assert weakness(good) is None
    assert passwords.matches(good, passwords.hash(good))


def test_hashes_are_made_at_full_strength_unless_asked():
    assert "$argon2id$v=19$m=19456,t=2,p=1$" in Passwords().hash("any")


def test_real_peoples_passwords_are_never_hashed_quickly(tmp_path):
    with pytest.raises(Exception, match="invented people only"):
        create_app(Settings(data_dir=tmp_path, quick_hashing=True))


def test_a_weak_hash_is_made_anew_at_sign_in(app, nobody):
    app.state.house.passwords = Passwords()

    nobody.send("/sign-in", email=EMAIL, password=PASSWORD)

    with nobody.db() as db:
        assert "m=19456" in accounts.person_by_email(db, email=EMAIL).password_hash


def test_opening_a_personal_link_uses_nothing_up(coach, nobody, people):
    link = link_for(coach, people.client)

    pages = [nobody.get(link) for _ in range(3)]

    assert [page.status_code for page in pages] == [200, 200, 200]
    assert pages[0].text.count('type="submit"') == 1
    assert nobody.token == ""


def test_the_button_signs_the_phone_in_once(coach, nobody, people, client_phone):
    link = link_for(coach, people.client)

    page = nobody.send(link)
    again = client_phone.send(link)

    assert page.headers["location"] == "/me/today"
    assert nobody.get("/").headers["location"] == "/me/today"
    assert again.status_code == 404
    assert "used already" in again.text


def test_a_link_ends_after_seven_days(coach, nobody, people, clock):
    link = link_for(coach, people.client)
    clock.move(days=7)

    page = nobody.send(link)

    assert page.status_code == 404
    assert "older than seven days" in page.text
    assert "Ask your coach for a new one" in page.text


def test_a_newer_link_ends_the_older(coach, nobody, people):
    older, newer = link_for(coach, people.client), link_for(coach, people.client)

    assert "newer link" in nobody.get(older).text
    assert nobody.send(newer).status_code == 303


def test_an_unknown_link_is_answered_kindly(nobody):
    page = nobody.get("/join/never-made")

    assert page.status_code == 404
    assert "Ask your coach" in page.text


def test_a_link_is_never_written_down(coach, nobody, people):
    link = link_for(coach, people.client)
    nobody.send(link, headers={"Origin": "https://elsewhere.example"})

    with nobody.db() as db:
        kept = db.connection().exec_driver_sql("SELECT subject, change_json, reason FROM audit_trail").fetchall()
    assert ("/join/(link)", "{}", "the form came from another site") in [tuple(row) for row in kept]
    assert not any(link.rpartition("/")[2] in str(row) for row in kept)


def test_the_access_page_shows_the_link_once_as_text_and_code(coach, people):
    made = coach.send(f"/clients/{people.client.id}/access/link")
    later = coach.get(f"/clients/{people.client.id}/access")

    assert "http://localhost/join/" in made.text
    assert 'src="data:image/svg+xml' in made.text
    assert "works on this machine only" in made.text
    assert 'data-copy="new-link-text"' in made.text
    assert "js/copy.js" in made.text
    assert "/join/" not in later.text
    assert "not used yet" in later.text


def test_a_public_address_makes_the_link_work_everywhere(head, coach, people):
    head.send("/practice", name="Birchway", zone="Europe/Berlin", public_url="https://desk.birchway.example/")

    page = coach.send(f"/clients/{people.client.id}/access/link")

    assert "https://desk.birchway.example/join/" in page.text
    assert "works only" not in page.text


def test_the_coach_signs_a_phone_out(coach, client_phone, people):
    page = coach.get(f"/clients/{people.client.id}/access")
    address = re.search(rf"/clients/{people.client.id}/access/devices/\d+/sign-out", page.text).group(0)

    coach.send(address)

    assert client_phone.get("/").headers["location"] == "/sign-in"
    assert "No phone is signed in" in coach.get(f"/clients/{people.client.id}/access").text
    assert actions(coach)[-1] == "phone signed out"


def test_the_coach_takes_an_open_link_back(coach, nobody, people):
    link = link_for(coach, people.client)

    coach.send(f"/clients/{people.client.id}/access/revoke-links")

    assert nobody.send(link).status_code == 404


def test_a_stand_in_sees_the_phones_but_makes_no_links(stand_in, people):
    page = stand_in.get(f"/clients/{people.handed_client.id}/access")
    refused = stand_in.send(f"/clients/{people.handed_client.id}/access/link")

    assert page.status_code == 200
    assert "Make a new link" not in page.text
    assert refused.status_code == 403


def test_a_link_made_twice_by_the_same_form_is_made_once(coach, people):
    form = {"request_id": "11111111-1111-4111-8111-111111111111"}
    coach.send(f"/clients/{people.client.id}/access/link", **form)

    again = coach.send(f"/clients/{people.client.id}/access/link", **form)

    assert again.headers["location"] == f"/clients/{people.client.id}/access"
    assert actions(coach).count("link made") == 1


def test_a_link_works_until_its_last_moment(coach, nobody, people, clock):
    link = link_for(coach, people.client)
    clock.set(NOW + timedelta(days=7) - timedelta(seconds=1))

    assert nobody.send(link).status_code == 303


@pytest.mark.parametrize("path", ["/me/felt-wrong", "/me/done"])
def test_what_a_signed_out_phone_sends_is_said_to_be_lost_and_whom_to_call(nobody, path):
    sent = nobody.send(path, sign="chest")
    page = nobody.get(sent.headers["location"]).text

    assert "This phone is not signed in" in page
    assert "What you just sent was not kept." in page
    assert "Do not wait for the desk: stop and rest." in page


@pytest.mark.parametrize("asked", ["/sign-in?lost=phone", "/sign-in?next=/me/today"])
def test_a_signed_out_phone_shows_a_number_to_tap_and_no_coachs_password_form(nobody, coach, asked):
    with coach.db(write=True) as db:
        practice.change(db, name="Birchway Endurance", zone=seed.ZONE, emergency_number="112", public_url=None)

    page = nobody.get(asked).text

    assert "Ask your coach for a new personal link." in page
    assert 'href="tel:112"' in page
    assert 'type="password"' not in page
    assert '<a class="row-link" href="/sign-in">Coaches sign in here</a>' in page
    assert 'type="password"' in nobody.get("/sign-in").text


def test_what_a_signed_out_coach_sends_is_said_to_be_lost(nobody):
    sent = nobody.send("/clients/1/entry/readiness", sleep="3")
    page = nobody.get(sent.headers["location"]).text

    assert "<h1>Sign in</h1>" in page
    assert "What you just sent was not kept." in page


def test_a_signed_out_phone_that_only_looks_lost_nothing(nobody):
    page = nobody.get(nobody.get("/me/today").headers["location"]).text

    assert "This phone is not signed in" in page
    assert "was not kept" not in page
