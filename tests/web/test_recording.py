"""A recording over HTTP: looked at, asked about, kept once, replaced, taken away, brought back, saved as a table."""

from __future__ import annotations

import asyncio
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.coaching.recording_about import from_json
from app.coaching.session_logs import Answer, WhyNot
from app.files.kept_series import unpack
from app.storage import recordings
from app.storage.audit import trail_about
from app.usecases.recordings import looking, opened
from app.web import background
from app.web.security import LARGEST_RECORDING_BODY
from tests import seed
from tests.conftest import Browser, FixedClock
from tests.plan_scenes import actor_of, words_of
from tests.seed import NOW, People
from tests.tracks import gpx, point, rounds_gpx, steady, table
from tests.web.apart import finished

STARTED = datetime(2026, 11, 24, 16, 30, tzinfo=UTC)
TRACK = rounds_gpx()


@pytest.fixture
def log_id(coach: Browser, people: People) -> int:
    """An entry of `people.client` of the day the track began on."""
    return add_log(coach, people)


def add_log(coach: Browser, people: People, **changes: object) -> int:
    given = {"done_on": STARTED.date(), "minutes": 42} | changes
    with coach.db(write=True) as db:
        return seed.add_log(db, client=people.client, **given)


def at(people: People, log_id: int) -> str:
    return f"/clients/{people.client.id}/sessions/{log_id}/recording"


def send(browser: Browser, address: str, content: bytes = TRACK, name: str = "evening.gpx"):
    return browser.send(address, files={"recording": (name, content, "application/gpx+xml")})


def keep(browser: Browser, address: str, content: bytes = TRACK):
    looked = send(browser, address, content)
    assert looked.status_code == 303, words_of(looked)
    return confirm(browser, looked.headers["location"])


def confirm(browser: Browser, looked: str, **more: object):
    address, _, token = looked.partition("?waiting=")
    said = {"log_id": address.split("/")[-2]} | more
    return browser.send(f"{address}/keep", waiting=token, **said)


def kept(browser: Browser, log_id: int):
    with browser.db() as db:
        return recordings.of_log(db, session_log_id=log_id)


def test_a_track_is_looked_at_before_it_is_kept_without_its_places(
    coach: Browser, people: People, log_id: int
) -> None:
    address = at(people, log_id)
    looked = send(coach, address)

    page = words_of(coach.get(looked.headers["location"]))
    assert "This was understood of evening.gpx. Nothing is kept yet. It waits until" in page
    assert "two hours at most, its places included, where only the desk reads it" in page
    assert "power, heart rate, speed, distance" in page
    assert "satellites" in page
    assert kept(coach, log_id) == []

    done = confirm(coach, looked.headers["location"])

    assert done.headers["location"] == address
    kept_page = coach.get(address)
    assert "kB of figures, without places, not the file" in words_of(kept_page)
    assert f'<a class="button" href="{address.removesuffix("/recording")}">See how it went' in kept_page.text
    [one] = kept(coach, log_id)
    assert (one.file_kind, one.has_places, one.started_at, one.reading_version) == ("gpx", False, STARTED, 1)
    with coach.db() as db:
        assert trail_about(db, client_id=people.client.id, subjects=["session log"], subject_id=log_id)
    assert coach.get(looked.headers["location"]).status_code == 404


def test_the_same_file_again_changes_nothing(coach: Browser, people: People, log_id: int) -> None:
    keep(coach, at(people, log_id))
    keep(coach, at(people, log_id))

    assert len(kept(coach, log_id)) == 1


def test_a_file_kept_with_another_entry_is_refused(coach: Browser, people: People, log_id: int) -> None:
    other = add_log(coach, people)
    keep(coach, at(people, log_id))

    answer = keep(coach, at(people, other))

    assert answer.status_code == 422
    assert "is kept already, with the entry of 24 November 2026" in words_of(answer)
    assert kept(coach, other) == []


def test_it_can_go_to_the_entry_of_the_day_it_began_on(coach: Browser, people: People, log_id: int) -> None:
    wrong = add_log(coach, people, done_on=STARTED.date() - timedelta(days=1), minutes=20)
    looked = send(coach, at(people, wrong))
    page = coach.get(looked.headers["location"])

    assert "This entry is for Mon 23 November; the recording began on Tue 24 November." in words_of(page)
    assert "The entry says 20 min; the recording is 42:00 long." in words_of(page)
    assert f'value="{log_id}" checked' in " ".join(page.text.split())
    assert confirm(coach, looked.headers["location"], log_id=None).status_code == 422
    done = confirm(coach, looked.headers["location"], log_id=log_id)

    assert done.headers["location"] == at(people, log_id)
    assert kept(coach, wrong) == []
    assert len(kept(coach, log_id)) == 1


def test_another_one_takes_its_place_and_the_first_comes_back(
    coach: Browser, client_phone: Browser, people: People, log_id: int, clock: FixedClock
) -> None:
    address = at(people, log_id)
    keep(coach, address)
    keep(coach, address, gpx(steady(300)))
    assert [one.duration_s for one in kept(coach, log_id) if one.removed_at is None] == [300]

    first = min(one.id for one in kept(coach, log_id))
    assert coach.send(f"{address}/back", recording_id=first).status_code == 303
    assert [one.id for one in kept(coach, log_id) if one.removed_at is None] == [first]

    coach.send(f"{address}/away")
    assert "No recording is kept with this entry." in words_of(coach.get(address))
    clock.move(days=3)
    assert client_phone.send(f"/me/done/{log_id}/recording/back", recording_id=first).status_code == 404


def test_what_a_table_does_not_say_is_asked_beside_it(coach: Browser, people: People, log_id: int) -> None:
    content = table("seconds,speed,hr", [f"{n},10,140" for n in range(120)])
    looked = send(coach, at(people, log_id), content, "row.csv")
    page = coach.get(looked.headers["location"])
    assert "What is “speed” counted in?" in words_of(page)

    halfway = confirm(coach, looked.headers["location"], said_speed_m_per_s="km/h")
    assert halfway.status_code == 422
    assert "Choose one of the answers." in words_of(halfway)
    assert 'value="km/h" checked' in " ".join(halfway.text.split())
    answered = confirm(coach, looked.headers["location"], said_speed_m_per_s="km/h", said_speed_source="wheel")
    assert answered.status_code == 303
    assert "The recording does not say when it began." in words_of(coach.get(answered.headers["location"]))

    confirm(coach, answered.headers["location"])

    with coach.db() as db:
        found = opened.open_recording(db, actor=actor_of(people.coach), log_id=log_id, now=NOW)
    assert found is not None
    assert found.recording.speed_m_per_s is not None
    assert found.recording.speed_m_per_s[60] == pytest.approx(10 / 3.6, abs=0.001)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"PK\x03\x04", "This file is packed."),
        (b"<!DOCTYPE x><gpx/>", "declares a document type"),
        (b"<html/>", "not GPX"),
        (gpx([re.sub("<time>.*?</time>", "", one) for one in steady(60)]), "it is a route"),
        (gpx([point(60 - n) for n in range(60)]), "run backwards"),
        (b"\xff\x00\x13binary", "neither a GPX file nor a table"),
    ],
)
def test_a_bad_file_is_refused_beside_the_field(
    coach: Browser, people: People, log_id: int, content: bytes, sentence: str
) -> None:
    answer = send(coach, at(people, log_id), content)

    assert answer.status_code == 422
    assert sentence in words_of(answer)
    assert kept(coach, log_id) == []


def test_a_file_is_read_while_nobody_waits_for_the_turn_to_write(
    coach: Browser, people: People, log_id: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    held, really = [], looking.take

    def watched(*args: object, **more: object) -> object:
        held.append(coach.house.turn.locked())
        return really(*args, **more)

    monkeypatch.setattr(looking, "take", watched)
    keep(coach, at(people, log_id))

    assert held == [False]


def test_no_file_is_asked_for(coach: Browser, people: People, log_id: int) -> None:
    assert "Choose a file." in words_of(coach.send(at(people, log_id)))


def test_more_than_the_limit_is_cut_off(coach: Browser, people: People, log_id: int) -> None:
    answer = send(coach, at(people, log_id), b" " * (LARGEST_RECORDING_BODY + 1))

    assert answer.status_code == 413


def test_an_entry_that_says_not_done_takes_none(coach: Browser, people: People) -> None:
    log_id = add_log(coach, people, minutes=None, answer=Answer.NOT_DONE, why_not=WhyNot.ILL)

    assert "there is nothing to add" in words_of(coach.get(at(people, log_id)))
    assert send(coach, at(people, log_id)).status_code == 403


def test_a_client_adds_a_recording_and_keeps_places_only_when_asked_to(
    coach: Browser, client_phone: Browser, people: People, log_id: int
) -> None:
    address = f"/me/done/{log_id}/recording"
    assert address in client_phone.get(f"/me/done/{log_id}").text
    client_phone.send(f"{address}/places", keeps="yes")

    keep(client_phone, address)

    assert kept(coach, log_id)[0].has_places
    assert "latitude" in client_phone.get(f"{address}?table=yes").text.split("\r\n")[0]
    assert "latitude" not in coach.get(f"{at(people, log_id)}?table=yes").text.split("\r\n")[0]
    client_phone.send(f"{address}/places", keeps="no")
    assert not kept(coach, log_id)[0].has_places
    assert "latitude" not in client_phone.get(f"{address}?table=yes").text


def test_places_are_chosen_while_a_file_waits_and_it_is_never_chosen_twice(
    coach: Browser, client_phone: Browser, people: People, log_id: int
) -> None:
    address = f"/me/done/{log_id}/recording"
    looked = send(client_phone, address).headers["location"]
    token = looked.partition("?waiting=")[2]

    chosen = client_phone.send(f"{address}/places", keeps="yes", waiting=token)

    assert chosen.headers["location"] == looked
    assert "because you asked for that" in words_of(client_phone.get(looked))
    assert confirm(client_phone, looked).status_code == 303
    assert kept(coach, log_id)[0].has_places


def test_the_same_file_again_brings_the_places_that_are_wanted_now(
    coach: Browser, client_phone: Browser, people: People, log_id: int
) -> None:
    address = f"/me/done/{log_id}/recording"
    keep(client_phone, address)
    client_phone.send(f"{address}/places", keeps="yes")

    keep(client_phone, address)

    assert [one.has_places for one in kept(coach, log_id) if one.removed_at is None] == [True]


def test_a_waiting_file_loses_its_places_when_it_is_kept_by_somebody_who_wants_none(
    coach: Browser, people: People, log_id: int
) -> None:
    looked = send(coach, at(people, log_id)).headers["location"]
    token = looked.partition("?waiting=")[2]

    asked = coach.send(f"{at(people, log_id)}/places", keeps="yes", waiting=token)
    confirm(coach, looked)

    assert asked.status_code == 422
    assert "Look before it is kept" in words_of(asked)
    [one] = kept(coach, log_id)
    assert not one.has_places
    with coach.db() as db:
        series = recordings.series_of(db, recording_id=one.id)
    assert unpack(series, about=from_json(one.about_json), started_at=one.started_at)[1] == {}


def test_the_coach_writes_down_what_the_client_said_about_places(coach: Browser, people: People, log_id: int) -> None:
    address = at(people, log_id)
    assert coach.send(f"{address}/places", keeps="yes").status_code == 422

    coach.send(f"{address}/places", keeps="yes", origin="told_by_phone")

    assert "asked for that" in words_of(coach.get(address))


def test_a_saved_table_is_read_again_without_a_question(coach: Browser, people: People, log_id: int) -> None:
    keep(coach, at(people, log_id))
    saved = coach.get(f"{at(people, log_id)}?table=yes")
    other = add_log(coach, people)

    answer = send(coach, at(people, other), saved.content, "saved.csv")

    assert saved.headers["content-disposition"].startswith('attachment; filename="recording-')
    assert "What is" not in words_of(coach.get(answer.headers["location"]))


def test_what_is_over_is_forgotten_by_itself(
    coach: Browser, people: People, log_id: int, clock: FixedClock, desk_dir: Path
) -> None:
    keep(coach, at(people, log_id))
    coach.send(f"{at(people, log_id)}/away")
    send(coach, at(people, log_id), gpx(steady(90)))
    waiting = desk_dir / "recordings" / "incoming"
    finished(background.forget(coach.house))
    assert len(kept(coach, log_id)) == len(list(waiting.iterdir())) == 1

    clock.move(days=3)
    coach.house.turn = asyncio.Lock()
    finished(background.forget(coach.house))

    assert kept(coach, log_id) == list(waiting.iterdir()) == []


def test_somebody_elses_waiting_file_does_not_open(
    coach: Browser, client_phone: Browser, people: People, log_id: int
) -> None:
    token = send(coach, at(people, log_id)).headers["location"].rpartition("=")[2]

    assert client_phone.get(f"/me/done/{log_id}/recording?waiting={token}").status_code == 404
