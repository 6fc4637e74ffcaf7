"""The forecast on the pages: made between requests, shown with its day, behind after a change, none on hold."""

from __future__ import annotations

import re
import threading
from collections.abc import Callable
from datetime import timedelta
from functools import partial
from html import unescape

import pytest
from starlette.testclient import TestClient

from app.coaching.holds import Stops
from app.coaching.people import ClientState
from app.coaching.phases import Phase
from app.storage import clients, forecasts, practice
from app.usecases import forecasting
from app.web import background
from app.web.background import catch_up
from tests import safety_scenes as scenes
from tests import seed
from tests.conftest import Browser
from tests.seed import NOW, TODAY, People

WEEKS = 14
MONDAY = TODAY - timedelta(days=TODAY.weekday())
BETWEEN = re.compile(
    r"Likely ready for the decision between \d+ \w+(?: \d{4})? and \d+ \w+ \d{4} \(four in five\), half way"
)


@pytest.fixture
def on_the_way(coach: Browser, people: People) -> str:
    """The page of a client with some weeks of base on four days, nearly all done; 20 weeks are asked."""
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, since_on=MONDAY - timedelta(weeks=WEEKS))
        clients.change(
            db, client_id=people.client.id, revision=people.client.revision, values={"base_weeks_asked": 20}
        )
        for number in range(WEEKS * 4):
            day = MONDAY - timedelta(weeks=WEEKS - number // 4) + timedelta(days=(0, 2, 4, 6)[number % 4])
            planned = seed.add_planned(db, client=people.client, planned_on=day)
            seed.add_log(db, client=people.client, done_on=day, planned_session_id=planned)
    return f"/clients/{people.client.id}"


@pytest.fixture
def make(coach: Browser) -> Callable[[], int]:
    """Let the desk catch up with its forecasts, as it does between requests."""
    assert coach.http.portal is not None
    return partial(coach.http.portal.call, partial(catch_up, coach.house, breath_s=0))


def due(browser: Browser) -> tuple[int, ...]:
    with browser.db() as db:
        return forecasting.due(db, now=browser.house.clock.now())


def text_of(browser: Browser, path: str) -> str:
    answer = browser.get(path)
    assert answer.status_code == 200
    return unescape(answer.text)


@pytest.mark.parametrize("page", ["", "/promotion"])
def test_the_page_says_when_what_it_waits_for_and_why(page, coach, on_the_way, make):
    make()

    text = text_of(coach, f"{on_the_way}{page}")

    assert BETWEEN.search(text)
    assert "what it waits for most" in text
    assert "Made on 25 November 2026. It speaks of training only. Open beside it:" in text
    assert "The weeks to come are lived a thousand times" in text
    assert "House choice." in text


def test_the_first_forecast_is_announced_and_not_reckoned_by_the_page(coach, on_the_way):
    text = text_of(coach, on_the_way)

    assert "A forecast is being made; look again in a few minutes." in text
    assert not BETWEEN.search(text)
    assert due(coach)


def test_once_made_nothing_is_due_until_something_changes(coach, on_the_way, make):
    assert make() > 0

    assert due(coach) == ()
    assert make() == 0


def test_the_same_record_gives_the_same_forecast(coach, people, on_the_way, make):
    with coach.db() as db:
        once = forecasting.reckon(db, client_id=people.client.id, now=NOW)
        again = forecasting.reckon(db, client_id=people.client.id, now=NOW)

    assert once == again


def test_an_entry_leaves_it_behind_until_it_is_made_again(coach, people, on_the_way, make):
    make()

    coach.send(
        f"{on_the_way}/leave",
        from_on=(TODAY + timedelta(days=7)).isoformat(),
        until_on=(TODAY + timedelta(days=40)).isoformat(),
        reason="Travels.",
    )

    assert due(coach) == (people.client.id,)
    assert "Made on 25 November 2026; what was entered or changed since is not in it yet." in text_of(
        coach, on_the_way
    )
    before = _middle(coach, people)
    assert make() == 1
    assert "is not in it yet" not in text_of(coach, on_the_way)
    assert _middle(coach, people) > before


@pytest.mark.parametrize(
    ("path", "form"),
    [
        (
            "/me/done",
            {
                "answer": "something_else",
                "done_on": "2026-11-24",
                "minutes": "40",
                "talk": "chat",
                "effort": "3",
                "kind": "easy",
                "mode": "walk",
            },
        ),
        ("/me/felt-wrong", {"sign": "chest", "felt_on": "2026-11-25"}),
    ],
)
def test_a_clients_own_entry_leaves_it_behind(path, form, *, coach, client_phone, people, on_the_way, make):
    make()

    assert client_phone.send(path, **form).status_code == 303

    assert due(coach) == (people.client.id,)


def test_a_setting_leaves_every_forecast_behind(head, on_the_way, make):
    made = make()

    with head.db(write=True) as db:
        practice.change_setting(db, name="base_weeks", value=30, person_id=1, at=NOW)

    assert len(due(head)) == made


def test_a_new_week_makes_all_of_them_anew(coach, on_the_way, make, clock):
    made = make()

    clock.move(days=4)
    assert due(coach) == ()
    clock.move(days=1)
    assert len(due(coach)) == made


def test_a_client_on_hold_has_none_and_it_says_why(coach, people, on_the_way, make):
    make()
    with coach.db(write=True) as db:
        scenes.hold_back(db, client=people.client, person_id=people.coach.id, stops=Stops.ALL)

    text = text_of(coach, f"{on_the_way}/promotion")

    assert "No forecast while all training is on hold." in text
    assert "Likely ready" not in text


def test_a_paused_client_has_none_and_it_says_why(coach, people, on_the_way, make):
    make()
    with coach.db(write=True) as db:
        clients.set_state(db, client_id=people.client.id, state=ClientState.PAUSED)

    assert "No forecast: the client is not in training with the practice now." in text_of(coach, on_the_way)


def test_with_too_little_it_says_what_is_needed(coach, people, make):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, since_on=MONDAY)
    make()

    text = text_of(coach, f"/clients/{people.client.id}/promotion")

    assert "Too early for a forecast: it needs 4 whole weeks with a plan; so far: none." in text


def test_once_hard_work_has_begun_nothing_is_said(coach, people, on_the_way, make):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client, since_on=TODAY, phase=Phase.INTERVAL_ONE)
    make()

    assert 'aria-label="Forecast"' not in text_of(coach, f"{on_the_way}/promotion")


def test_the_phone_says_it_kindly_in_months(client_phone, people, coach, on_the_way, make):
    with coach.db(write=True) as db:
        scenes.answer_questions(db, client=people.client, person_id=people.coach.id)
        scenes.measure(db, client=people.client, person_id=people.coach.id)
        scenes.agree(db, client=people.client, person_id=people.coach.id)
    make()

    text = text_of(client_phone, "/me/my-way")

    assert re.search(r"the base may be laid some time (between|in) [A-Z]\w+", text)
    assert "It takes the time it takes." in text
    assert "Likely ready" not in text
    assert "half way" not in text


def test_the_phone_of_a_client_on_hold_says_nothing_of_it(client_phone, people, coach, on_the_way, make):
    make()
    with coach.db(write=True) as db:
        scenes.hold_back(db, client=people.client, person_id=people.coach.id)

    assert "the base may be laid" not in text_of(client_phone, "/me/my-way")


def test_an_erased_client_takes_the_forecast_along(coach, people, on_the_way, make):
    make()
    with coach.db() as db:
        reckoned = forecasting.reckon(db, client_id=people.client.id, now=NOW)

    assert reckoned is not None
    with coach.db(write=True) as db:
        forecasting.keep(db, forecasting.Reckoned(999, reckoned.forecast, ""), now=NOW)
        assert forecasting.reckon(db, client_id=999, now=NOW) is None
        assert 999 not in {one.client_id for one in forecasts.standings(db, rules=practice.rules(db))}


def test_the_desk_makes_them_by_itself_and_goes_on_after_a_failure(app, monkeypatch):
    again = threading.Event()
    answers = iter([RuntimeError("a full disk"), again.set])

    async def looked(_house):
        found = next(answers, None)
        return _answered(found)

    monkeypatch.setattr(background, "FIRST_LOOK_S", 0.0)
    monkeypatch.setattr(background, "NEXT_LOOK_S", 0.01)
    monkeypatch.setattr(background, "catch_up", looked)

    with TestClient(app):
        assert again.wait(timeout=20)


def _answered(found):
    if isinstance(found, Exception):
        raise found
    return found() if found else None


def _middle(browser: Browser, people: People):
    with browser.db() as db:
        kept = forecasts.kept(db, client_id=people.client.id, rules=practice.rules(db))
    assert kept is not None
    assert kept.forecast.middle_on is not None
    return kept.forecast.middle_on
