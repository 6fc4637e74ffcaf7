"""The practice: particulars, rules, people, handovers, one's own password, and the trail."""

import re

import pytest
from sqlalchemy import delete

from app.coaching.access import Role
from app.coaching.rules import cards
from app.storage import accounts, practice
from app.storage.tables.people import ClientRow, HandoverRow
from tests.conftest import TOKENS
from tests.seed import PASSWORD

PARTICULARS = {
    "name": "Birchway",
    "zone": "Europe/Lisbon",
    "emergency_number": "112",
    "phone": "030 5550 1200",
    "public_url": "https://desk.birchway.example",
}
NEW = "nine grey herons by the weir"


def trail(browser):
    with browser.db() as db:
        rows = db.connection().exec_driver_sql("SELECT action, subject, change_json, reason FROM audit_trail")
        return [tuple(row) for row in rows]


def test_the_head_coach_sets_the_particulars(head):
    page = head.send("/practice", **PARTICULARS)

    assert page.headers["location"] == "/practice"
    with head.db() as db:
        found = practice.found(db)
    assert (found.name, found.zone, found.emergency_number) == ("Birchway", "Europe/Lisbon", "112")
    assert (found.phone, found.public_url) == ("030 5550 1200", "https://desk.birchway.example")
    assert 'value="030 5550 1200"' in head.get("/practice").text
    assert "Birchway Endurance" in trail(head)[-1][2]


def test_a_coach_reads_the_particulars_and_changes_nothing(coach):
    page = coach.get("/practice")

    assert page.status_code == 200
    assert 'action="/practice"' not in page.text
    assert "none: clients are shown no number" in page.text
    assert coach.send("/practice", **PARTICULARS).status_code == 403


def test_while_nobody_is_there_the_page_says_what_comes_first(coach, head, people):
    with coach.db(write=True) as db:
        db.get_one(ClientRow, people.client.id).coach_id = people.head.id

    empty, kept = coach.get("/practice").text, head.get("/practice").text

    assert empty.index("What comes first") < empty.index("Particulars")
    assert 'href="/practice/import"' in empty.partition("</ol>")[0]
    assert "What comes first" not in kept


def test_a_stand_in_with_nobody_is_told_who_hands_over(head, stand_in, people):
    with head.db(write=True) as db:
        db.execute(delete(HandoverRow))

    page = stand_in.get("/practice").text

    assert "as soon as the head coach hands one over" in page
    assert "/clients/new" not in page


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"zone": "Middle/Earth"}, "Write a time zone such as Europe/Berlin"),
        ({"public_url": "javascript:alert(1)"}, "should look like https://"),
        ({"public_url": "https://desk.example/path"}, "should look like https://"),
        ({"public_url": "https://[oops"}, "should look like https://"),
        ({"public_url": "https://a:b@desk.example"}, "should look like https://"),
        ({"name": ""}, "Please fill this in"),
        ({"zone": "Factory"}, "Write a time zone such as Europe/Berlin"),
        ({"emergency_number": "1" * 41}, "under 40 characters"),
        ({"emergency_number": "call my wife"}, "This is no telephone number"),
        ({"phone": "ask at the desk"}, "This is no telephone number"),
        ({"phone": "1" * 41}, "under 40 characters"),
    ],
)
def test_a_bad_particular_is_explained_and_kept_on_the_page(head, changes, sentence):
    page = head.send("/practice", **PARTICULARS | {"emergency_number": "999"} | changes)

    assert page.status_code == 422
    assert sentence in page.text
    assert "Europe/Lisbon" in page.text
    with head.db() as db:
        assert practice.found(db).name == "Birchway Endurance"


def test_typed_markup_stays_text(head):
    head.send("/practice", **PARTICULARS | {"name": "<script>alert(1)</script>"})

    page = head.get("/practice")

    assert "<script>alert" not in page.text
    assert "&lt;script&gt;alert" in page.text


def test_every_rule_is_shown_with_where_it_comes_from(coach):
    page = coach.get("/practice/rules")

    assert re.findall(r'id="rule-(\w+)"', page.text) == [card.name for card in cards()]
    assert "common practice, no published source" in page.text
    assert "guards safety: may only be raised" in page.text


def test_a_changed_rule_counts_at_once_and_leaves_a_trace(head):
    page = head.send("/practice/rules/quiet_days", value="10", reason="Three of us are on the road")

    assert page.headers["location"] == "/practice/rules"
    assert "changed" in head.get("/practice/rules").text
    with head.db() as db:
        assert practice.rules(db).quiet_days == 10
    expected = ("rule changed", "quiet_days", '{"before": 7.0, "after": 10.0}', "Three of us are on the road")
    assert trail(head)[-1] == expected


def test_a_share_may_be_typed_with_a_comma(head):
    head.send("/practice/rules/easy_share", value="0,85", reason="Stricter")

    with head.db() as db:
        assert practice.rules(db).easy_share == 0.85


@pytest.mark.parametrize(
    ("name", "value", "sentence"),
    [
        ("quiet_days", "4", "between 5 and 21"),
        ("quiet_days", "7.5", "whole numbers only"),
        ("quiet_days", "nan", "such as 7 or 7.5"),
        ("quiet_days", "inf", "such as 7 or 7.5"),
        ("quiet_days", "", "Please fill this in"),
        ("pressure_systolic_hard", "170", "between 130 and 160"),
        ("spacing_h", "24", "between 48 and 96"),
        ("fortnight_ceiling", "6", "between 1 and 5"),
    ],
)
def test_a_refused_value_stays_on_the_page_with_the_reason(head, name, value, sentence):
    page = head.send(f"/practice/rules/{name}", value=value, reason="Just trying")

    assert page.status_code == 422
    assert sentence in page.text
    assert f'value="{value}"' in page.text
    assert 'value="Just trying"' in page.text
    with head.db() as db:
        assert practice.changed_settings(db) == {}


def test_a_rule_is_not_changed_without_a_reason(head):
    assert head.send("/practice/rules/quiet_days", value="10", reason=" ").status_code == 422


def test_there_is_no_rule_of_that_name(head):
    assert head.get("/practice/rules/mood").status_code == 404
    assert head.send("/practice/rules/mood", value="1", reason="x").status_code == 404


def test_a_coach_changes_no_rule(coach):
    assert coach.send("/practice/rules/quiet_days", value="10", reason="x").status_code == 403


def add(head, **changes):
    form = {"name": "Wanda Quill", "email": "wanda@birchway.example", "role": "coach"} | changes
    return head.send("/practice/people", **form)


def test_a_new_colleague_sets_a_password_by_link_and_signs_in(head, nobody):
    address = add(head).headers["location"]
    link = re.search(r"/join/[\w-]+", head.send(f"{address}/link").text).group(0)

    page = nobody.send(link, new_password=NEW, new_password_again=NEW)

    assert page.headers["location"] == "/morning"
    nobody.send("/sign-out")
    again = nobody.send("/sign-in", email="WANDA@birchway.example", password=NEW)
    assert again.headers["location"] == "/morning"


def test_a_colleagues_link_asks_for_a_good_password(head, nobody):
    address = add(head).headers["location"]
    link = re.search(r"/join/[\w-]+", head.send(f"{address}/link").text).group(0)

    page = nobody.send(link, new_password="12345678", new_password_again="12345678")

    assert page.status_code == 422
    assert "tried first" in page.text
    assert nobody.send(link, new_password=NEW, new_password_again=NEW).status_code == 303


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"email": "Jonah@Birchway.example"}, "signs in with this address already"),
        ({"email": "wanda"}, "does not look like"),
        ({"role": "head_coach"}, "a coach or a stand-in"),
        ({"role": "client"}, "a coach or a stand-in"),
        ({"role": "king"}, "Choose one"),
        ({"name": ""}, "Please fill this in"),
    ],
)
def test_a_bad_colleague_is_refused_beside_the_field(head, changes, sentence):
    page = add(head, **changes)

    assert page.status_code == 422
    assert sentence in page.text
    with head.db() as db:
        assert len(accounts.coaches(db)) == 4


def test_switching_off_ends_every_login_at_once(head, coach, people):
    head.send(f"/practice/people/{people.coach.id}/switch-off")

    assert coach.get("/practice").status_code == 303
    assert "switched off" in head.get("/practice/people").text


def test_switching_on_again_lets_sign_in(head, nobody, people):
    head.send(f"/practice/people/{people.coach.id}/switch-off")
    head.send(f"/practice/people/{people.coach.id}/switch-on")

    assert nobody.send("/sign-in", email=people.coach.email, password=PASSWORD).status_code == 303


def test_the_head_coach_cannot_lock_the_door_from_inside(head, people):
    page = head.send(f"/practice/people/{people.head.id}/switch-off")

    assert page.status_code == 422
    assert head.get("/practice").status_code == 200


def test_a_client_is_no_colleague(head, people):
    with head.db() as db:
        person = accounts.person_of_client(db, client_id=people.client.id)

    assert head.get(f"/practice/people/{person.id}").status_code == 404


def handover(head, people, **changes):
    form = {
        "client_id": people.client.id,
        "person_id": people.stand_in.id,
        "from_on": "2026-11-25",
        "until_on": "2026-11-30",
    }
    return head.send("/practice/handovers/new", **form | changes)


def test_a_handed_over_client_opens_for_those_days_only(head, stand_in, people, clock):
    address = f"/clients/{people.client.id}/access"
    before = stand_in.get(address).status_code

    handover(head, people, from_on="2026-11-26", until_on="2026-11-26")
    statuses = [before, stand_in.get(address).status_code]
    clock.move(days=1)
    statuses.append(_seen_again(stand_in, address))
    clock.move(days=1)
    statuses.append(_seen_again(stand_in, address))

    assert statuses == [404, 404, 200, 404]


def _seen_again(stand_in, address):
    # A day later the login has ended; signing in again is part of the day.
    stand_in.send("/sign-in", email="piet@birchway.example", password=PASSWORD)
    return stand_in.get(address).status_code


def test_private_notes_are_handed_over_only_when_ticked(head, people):
    handover(head, people)
    handover(head, people, with_private_notes="yes", from_on="2026-12-01", until_on="2026-12-02")

    page = head.get("/practice/people").text

    assert re.findall(r'data-label="Private notes">([^<]+)<', page) == ["not readable", "not readable", "readable"]


def test_a_handover_is_taken_back(head, stand_in, people):
    handover(head, people)
    page = head.get("/practice/people").text
    address = re.findall(r"/practice/handovers/\d+/take-back", page)[-1]

    head.send(address)

    assert stand_in.get(f"/clients/{people.client.id}/access").status_code == 404
    assert head.send(address).status_code == 404


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"until_on": "2026-11-24"}, "These days are over"),
        ({"from_on": "2026-12-24"}, "before the first"),
        ({"person_id": "1"}, "can open this client"),
        ({"person_id": ""}, "Please fill this in"),
        ({"until_on": "soon"}, "Write the date as"),
    ],
)
def test_a_bad_handover_is_explained(head, people, changes, sentence):
    page = handover(head, people, **changes)

    assert page.status_code == 422
    assert sentence in page.text


@pytest.mark.parametrize("changes", [{"client_id": "999"}, {"person_id": "999"}])
def test_a_handover_of_or_to_nobody_is_not_found(head, people, changes):
    assert handover(head, people, **changes).status_code == 404


OWN = {"own_password": PASSWORD, "new_password": NEW, "new_password_again": NEW}


def test_a_changed_password_signs_every_browser_out(coach, nobody, people):
    nobody.send("/sign-in", email=people.coach.email, password=PASSWORD)

    page = coach.send("/practice/password", **OWN)

    assert page.headers["location"] == "/sign-in"
    assert nobody.get("/practice").status_code == 303
    assert nobody.send("/sign-in", email=people.coach.email, password=PASSWORD).status_code == 422
    assert nobody.send("/sign-in", email=people.coach.email, password=NEW).status_code == 303


@pytest.mark.parametrize(
    ("changes", "sentence"),
    [
        ({"own_password": "not mine"}, "not your present password"),
        ({"new_password_again": "another"}, "not the same"),
        ({"new_password": "jonah pell", "new_password_again": "jonah pell"}, "A name that is on every page"),
    ],
)
def test_a_bad_password_change_changes_nothing(coach, changes, sentence):
    page = coach.send("/practice/password", **OWN | changes)

    assert page.status_code == 422
    assert sentence in page.text
    assert coach.token == TOKENS["coach"]


def test_trying_passwords_inside_is_slowed_down_too(coach):
    statuses = [coach.send("/practice/password", **OWN | {"own_password": f"try {n}"}).status_code for n in range(4)]

    assert statuses == [422, 422, 422, 429]


def test_the_trail_shows_refusals_and_changes_with_names(head, coach):
    coach.get("/practice/trail")
    head.send("/practice/rules/quiet_days", value="10", reason="Travel")

    page = head.get("/practice/trail").text

    assert "rule changed: quiet days" in page
    assert "refused: /practice/trail" in page
    assert "reason: Travel" in page
    assert "Jonah Pell" in page


def test_the_trail_goes_on_page_by_page(head):
    for n in range(110):
        head.send("/practice/rules/quiet_days", value=str(8 + n % 2), reason=f"turn {n}")

    first = head.get("/practice/trail").text
    older = head.get(re.search(r"/practice/trail\?before=\d+", first).group(0)).text

    assert "turn 109" in first
    assert "turn 9<" in older
    assert not set(re.findall(r"turn \d+", first)) & set(re.findall(r"turn \d+", older))


def test_the_backup_page_names_the_folder(coach, desk_dir):
    page = coach.get("/practice/backup").text

    assert str(desk_dir) in page
    assert "foothill backup" in page
    assert "none yet; every 7 days is" in page


def test_the_backup_page_names_the_newest_copy(coach, desk_dir):
    folder = desk_dir / "backups"
    folder.mkdir()
    for name in ("foothill-20261101T070000.sqlite3", "foothill-20261123T070000.sqlite3", "notes.sqlite3"):
        (folder / name).write_bytes(b"")

    assert "<dd>23 November 2026; every 7 days is" in coach.get("/practice/backup").text


def test_the_roles_offered_are_the_two_a_colleague_may_have(head):
    offered = re.findall(r'name="role" value="(\w+)"', head.get("/practice/people").text)

    assert offered == [Role.COACH.value, Role.STAND_IN.value]
