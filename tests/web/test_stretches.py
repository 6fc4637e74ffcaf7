"""Strongest stretches of recordings: offered, looked at as a fit, kept with their sessions, and refused in words."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.measured import KnownHow
from app.coaching.people import Mode, Origin
from app.storage import measured
from tests import factories as make
from tests import plan_scenes as scene
from tests import seed
from tests.conftest import Browser
from tests.plan_scenes import words_of
from tests.seed import TODAY, People

#: The highest power of each recording's rounds of four minutes.
LEVELS = ((300.0,), (260.0,) * 4)


@pytest.fixture
def address(people: People) -> str:
    return f"/clients/{people.client.id}/tests/figures/stretches"


def hard_sessions(browser: Browser, people: People, count: int = 6) -> list[int]:
    """Somebody who may do hard work, with so many hard sessions on the indoor bike, the newest first."""
    with browser.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=12)
        return [
            seed.add_log(
                db,
                client=people.client,
                done_on=TODAY - timedelta(days=3 + 4 * n),
                kind="intervals",
                mode=Mode.INDOOR_RIDE,
                minutes=57.0,
                effort=9.0,
                rounds=tuple(make.work_round(number=n + 1) for n in range(4)),
            )
            for n in range(count)
        ]


def recorded(browser: Browser, people: People) -> tuple[int, int]:
    """Two of six hard sessions with a recording."""
    first, second, *_ = hard_sessions(browser, people)
    with browser.db(write=True) as db:
        for log_id, levels in zip((first, second), LEVELS, strict=True):
            seed.add_recording(db, client=people.client, log_id=log_id, levels=levels)
    return first, second


def test_what_was_all_out_is_looked_at_beside_the_present_fit_and_then_kept(
    coach: Browser, people: People, address: str
) -> None:
    first, second = recorded(coach, people)
    text = coach.get(address).text
    assert f"/clients/{people.client.id}/sessions/{first}" in text
    assert "effort 9 of the session" in text
    ticks = {"mode": "indoor_ride", f"tick_{first}_240": "yes", f"tick_{second}_900": "yes"}

    looked = coach.send(address, do="look", **ticks)

    # 300 W for 240 s; in 900 s 480 s at 260 W, 240 s at 90 W and 180 s of the warm-up at 110 W: two points, one line.
    assert "With what is ticked: 143 W, error not known; W' 37.7 kJ . In use: none." in words_of(looked)
    with coach.db() as db:
        assert measured.of_client(db, client_id=people.client.id) == ()

    answer = coach.send(address, do="keep", **ticks)

    assert answer.status_code == 303
    with coach.db() as db:
        (kept,) = measured.of_client(db, client_id=people.client.id)
    assert (kept.how, kept.origin, round(kept.value)) == (KnownHow.TRIALS, Origin.FILE, 143)
    assert kept.note is not None
    assert "4 min at 300 W, session of" in kept.note
    assert "15 min at 185 W, session of" in kept.note
    again = coach.send(address, do="keep", **ticks)
    assert again.status_code == 422
    assert "is a trial of the figure in use already" in words_of(again)


@pytest.mark.parametrize(
    ("lengths", "says"),
    [
        ((), "Tick the stretches that were all-out."),
        ((240,), "a fit needs two all-out efforts of different length"),
        ((180, 240), "Two of these stretches overlap"),
    ],
)
def test_ticks_that_give_nothing_are_refused_and_stay_ticked(
    coach: Browser, people: People, address: str, lengths: tuple[int, ...], says: str
) -> None:
    first, _ = recorded(coach, people)
    ticks = {f"tick_{first}_{length}": "yes" for length in lengths}

    for do in ("look", "keep"):
        answer = coach.send(address, mode="indoor_ride", do=do, **ticks)

        assert answer.status_code == 422
        assert says in words_of(answer)
        assert answer.text.count('value="yes" checked') == len(lengths)


def test_nothing_is_offered_while_hard_work_waits(coach: Browser, people: People, address: str) -> None:
    first, second = recorded(coach, people)
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.SYMPTOM, stops=Stops.ALL)
    ticks = {"mode": "indoor_ride", f"tick_{first}_240": "yes", f"tick_{second}_900": "yes"}

    page, kept = coach.get(address), coach.send(address, do="keep", **ticks)

    assert "Nothing is offered while hard work waits" in words_of(page)
    assert "tick_" not in page.text
    assert kept.status_code == 422


def test_nothing_is_offered_before_six_hard_sessions_and_without_a_recording(
    coach: Browser, people: People, address: str
) -> None:
    hard_sessions(coach, people, count=5)
    assert "Nothing is offered before 6 good hard sessions; there are 5." in words_of(coach.get(address))

    with coach.db(write=True) as db:
        seed.add_log(
            db, client=people.client, done_on=TODAY - timedelta(days=30), kind="intervals", minutes=57.0,
            rounds=tuple(make.work_round(number=n + 1) for n in range(4)),
        )  # fmt: skip

    assert "No recording of the last half year holds power" in words_of(coach.get(address))


def test_an_easy_session_with_a_recording_says_whether_it_was_easy(coach: Browser, people: People) -> None:
    with coach.db(write=True) as db:
        log_id = seed.add_log(db, client=people.client, mode=Mode.INDOOR_RIDE, effort=3.0)
        seed.add_recording(db, client=people.client, log_id=log_id, levels=())

    text = words_of(coach.get(f"/clients/{people.client.id}/sessions/{log_id}"))

    assert "Easy was easy" in text
    assert "fewer than 20 min of steady going" in text
