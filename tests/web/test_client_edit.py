"""Editing a client: bad fields, a stale edit that loses nothing, the real week."""

from __future__ import annotations

import json
from html import unescape

import pytest

from app.coaching.people import HeartRateUse
from app.storage import clients
from app.storage.audit import trail_of


def form_of(client, **changes) -> dict[str, object]:
    """The edit form as the page sends it for a client, with changes."""
    given = {
        "revision": client.revision,
        "name": client.name,
        "email": client.email or "",
        "phone": client.phone or "",
        "born_on": client.born_on or "",
        "sex": client.sex.value if client.sex else "",
        "zone": client.zone,
        "has_phone": "yes" if client.has_phone else None,
        "joined_on": client.joined_on,
        "heart_rate_use": client.heart_rate_use.value,
        "heart_rate_source": client.heart_rate_source or "",
        "effort_plan": client.effort_plan or "",
        "emergency_contact": client.emergency_contact or "",
        "emergency_phone": client.emergency_phone or "",
        "emergency_confirmed_on": client.emergency_confirmed_on or "",
        "base_weeks_asked": client.base_weeks_asked or "",
    }
    return given | changes


def address(client) -> str:
    return f"/clients/{client.id}/edit"


def test_a_change_is_kept_with_its_earlier_value_in_the_trail(coach, people):
    answer = coach.send(address(people.client), **form_of(people.client, phone="0170 77"))

    assert answer.status_code == 303
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).phone == "0170 77"
        entry = trail_of(db, client_id=people.client.id)[0]
        assert json.loads(entry.change_json) == {
            "before": {"phone": people.client.phone},
            "after": {"phone": "0170 77"},
        }


def test_whether_somebody_was_regularly_active_is_not_typed_here(coach, people):
    coach.send(address(people.client), **form_of(people.client, regularly_active_confirmed_on="2026-01-05"))

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).regularly_active_confirmed_on is None


def test_nothing_changed_writes_nothing(coach, people):
    coach.send(address(people.client), **form_of(people.client))

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).revision == people.client.revision
        assert "change_client" not in [entry.action for entry in trail_of(db, client_id=people.client.id)]


def test_the_second_of_two_tabs_sees_both_and_loses_nothing(coach, head, people):
    head.send(address(people.client), **form_of(people.client, coach_id=people.coach.id, phone="0111"))

    stale = coach.send(address(people.client), **form_of(people.client, phone="0222"))
    text = unescape(stale.text)

    assert stale.status_code == 409
    assert "<td>0111</td><td>0222</td>" in text
    assert 'name="phone" type="tel" class="middle" value="0222"' in text
    assert f'name="revision" value="{people.client.revision + 1}"' in text
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).phone == "0111"


def test_sending_again_after_looking_keeps_ones_own(coach, head, people):
    head.send(address(people.client), **form_of(people.client, coach_id=people.coach.id, phone="0111"))

    coach.send(address(people.client), **form_of(people.client, phone="0222", revision=people.client.revision + 1))

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).phone == "0222"


@pytest.mark.parametrize(
    ("field", "typed", "says"),
    [
        ("name", "", "fill this in"),
        ("born_on", "1890-05-01", "Check the year"),
        ("born_on", "2030-05-01", "adults"),
        ("zone", "UTC+99", "time zone"),
        ("zone", "Factory", "time zone"),
        ("zone", "Etc/GMT+12", "time zone"),
        ("emergency_phone", "call my wife", "no telephone number"),
        ("emergency_phone", "12", "at least 3 digits"),
        ("base_weeks_asked", "12", "between 13 and 52"),
        ("base_weeks_asked", "NaN", "whole number"),
        ("joined_on", "2026-11-26", "not come yet"),
        ("emergency_confirmed_on", "2026-11-26", "not come yet"),
        ("heart_rate_use", "not_reliable", "how effort is judged"),
        ("effort_plan", "x" * 4001, "under 4000"),
        ("revision", "abc", "whole number"),
    ],
)
def test_a_bad_field_keeps_the_whole_form(coach, people, field, typed, says):
    answer = coach.send(
        address(people.client),
        **form_of(
            people.client,
            **({"phone": "0170 555", field: typed} | ({"effort_plan": ""} if field == "heart_rate_use" else {})),
        ),
    )

    assert answer.status_code == 422
    assert says in unescape(answer.text)
    assert 'value="0170 555"' in answer.text
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id) == people.client


def test_below_sixty_fewer_weeks_than_the_practices_are_refused(coach, people):
    young = form_of(people.client, born_on="1990-03-01", base_weeks_asked="20")
    older = form_of(people.client, born_on="1955-03-01", base_weeks_asked="20")

    assert coach.send(address(people.client), **young).status_code == 422
    assert coach.send(address(people.client), **older).status_code == 303


def test_heart_rate_that_is_not_reliable_needs_an_effort_plan(coach, people):
    coach.send(
        address(people.client),
        **form_of(people.client, heart_rate_use="not_reliable", effort_plan="By talk: could chat the whole way."),
    )

    with coach.db() as db:
        kept = clients.one(db, client_id=people.client.id)
        assert (kept.heart_rate_use, kept.effort_plan) == (
            HeartRateUse.NOT_RELIABLE,
            "By talk: could chat the whole way.",
        )


def test_only_the_head_coach_moves_a_client_to_another_coach(coach, head, people):
    coach.send(address(people.client), **form_of(people.client, coach_id=people.other_coach.id))
    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).coach_id == people.coach.id

    head.send(address(people.client), **form_of(people.client, coach_id=people.other_coach.id))

    with coach.db() as db:
        assert clients.one(db, client_id=people.client.id).coach_id == people.other_coach.id


def test_a_client_cannot_become_somebodys_coach(head, people):
    answer = head.send(address(people.client), **form_of(people.client, coach_id=999))

    assert answer.status_code == 422


def test_the_real_week_is_kept_day_by_day(coach, people):
    answer = coach.send(
        f"/clients/{people.client.id}/week", minutes_0="45", place_0="the mill path", minutes_5="1h10", kit_5="bike"
    )

    assert answer.status_code == 303
    with coach.db() as db:
        days = [
            (day.weekday, day.minutes, day.place, day.kit)
            for day in clients.available_days(db, client_id=people.client.id)
        ]
    assert days == [(0, 45, "the mill path", None), (5, 70, None, "bike")]


@pytest.mark.parametrize("typed", ["45 h", "NaN", "-3", "0", "2000", "inf"])
def test_a_slot_that_cannot_be_is_answered_beside_its_day(coach, people, typed):
    answer = coach.send(f"/clients/{people.client.id}/week", minutes_0=typed, place_0="the mill path")

    assert answer.status_code == 422
    assert 'id="f-minutes_0-error"' in answer.text
    assert 'value="the mill path"' in answer.text


def test_a_place_without_minutes_is_asked_about(coach, people):
    answer = coach.send(f"/clients/{people.client.id}/week", place_2="pool")

    assert answer.status_code == 422
    assert "How long may it be on Wednesday?" in answer.text


def test_the_form_alone_is_sent_for_a_swap(coach, people):
    answer = coach.send(address(people.client), headers={"HX-Request": "true"}, **form_of(people.client, name=""))

    assert answer.text.startswith('<div id="edit-client">')
    assert answer.status_code == 422
