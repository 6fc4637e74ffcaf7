"""Requests about data over HTTP: asked on the phone or entered, answered, and their line in the morning."""

from __future__ import annotations

from datetime import date

from tests import seed

HERE = "/me/my-data"


def test_a_client_asks_on_the_phone_and_sees_how_it_stands(coach, client_phone, people):
    unchosen = client_phone.send(HERE, text="All of it, please.")
    asked = client_phone.send(HERE, kind="access", text="All of it, please.")
    again = client_phone.send(HERE, kind="access")

    assert (unchosen.status_code, asked.status_code, again.status_code) == (422, 303, 422)
    assert "All of it, please." in unchosen.text
    assert "waits for its answer" in again.text
    assert "To be answered by 25 December 2026." in client_phone.get(HERE).text
    morning = coach.get("/morning").text
    assert "Asked on Wed 25 Nov for a copy of what is kept: due in 30 days, on 25 December 2026." in morning
    assert f'href="/clients/{people.client.id}/requests"' in morning


def test_a_request_on_paper_is_entered_answered_and_read_by_the_client(coach, client_phone, people):
    base = f"/clients/{people.client.id}/requests"
    form = {"kind": "correction", "origin": "from_paper", "asked_on": "2026-11-20", "text": "My birthday is wrong."}
    to_come = coach.send(base, **(form | {"asked_on": "2026-12-20"}))
    kept = coach.send(base, **form)

    assert (to_come.status_code, kept.status_code) == (422, 303)
    assert "My birthday is wrong." in to_come.text
    with coach.db() as db:
        request_id = seed.data_requests.waiting(db)[0].id
    early = coach.send(f"{base}/{request_id}/done", done_on="2026-11-19", how="Put right.")
    done = coach.send(f"{base}/{request_id}/done", done_on="2026-11-25", how="Put right.")
    assert (early.status_code, done.status_code) == (422, 303)
    assert "Put right." in early.text
    assert "Put right." in client_phone.get(HERE).text
    assert "Open again" in coach.get(base).text


def test_a_request_that_is_due_stands_on_todays_shelf(coach, people):
    with coach.db(write=True) as db:
        asked_on = date(2026, 10, 25)
        request_id = seed.add_data_request(db, client=people.client, asked_on=asked_on)

    page = coach.get("/morning").text

    today = page[page.index("must be decided before they start") :].partition("can wait until you sit down")[0]
    assert f'id="line-request-{request_id}"' in today
    assert "due today, 25 November 2026" in today
