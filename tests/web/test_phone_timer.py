"""Today by the clock: every step with its time, and no clock for what is not to be done."""

from __future__ import annotations

import re
from html import unescape

import pytest

from app.coaching.effort import Talk
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_target import target_to_json
from app.coaching.steps import flatten
from app.coaching.weeks import week_start
from tests import seed
from tests.coaching.test_session_target import POWER
from tests.factories import interval_steps
from tests.web.test_today_easy_first import main_of, note_worse

LINE = re.compile(
    r'<li data-starts="(\d+)" data-lasts="(\d+)">.*?<strong data-name>(.*?)</strong><br><span data-words>(.*?)</span>'
)


@pytest.fixture
def hard_today(app, people):
    """Leave for hard work, and four hard rounds for today."""
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        return seed.add_planned_hard(db, client=people.client)


@pytest.fixture
def with_target(app, people):
    """Leave for hard work, and four hard rounds by power for today."""
    with app.state.house.transaction(True) as db:
        seed.add_base_weeks(db, client=people.client, count=30)
        seed.add_answers(db, client=people.client)
        return seed.add_planned_hard(db, client=people.client, target_json=target_to_json(POWER))


def lines(page) -> list[tuple[int, int, str, str]]:
    """What stands on the clock: start, length, name and words of each step."""
    found = LINE.findall(page.text)
    return [(int(start), int(lasts), unescape(name), unescape(words)) for start, lasts, name, words in found]


def hold(app, people, stops, **changes):
    with app.state.house.transaction(True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=stops, **changes)


def test_every_step_stands_on_the_clock_in_its_order(client_phone, hard_today):
    shown = lines(client_phone.get("/me/timer"))
    planned = list(flatten(interval_steps()))

    assert [(lasts, words) for _, lasts, _, words in shown] == [(step.duration_s, step.say) for step in planned]
    assert [start for start, *_ in shown] == [
        sum(step.duration_s for step in planned[:n]) for n in range(len(planned))
    ]
    assert any(name.startswith("Round 2 of 4, hard") for _, _, name, _ in shown)


def test_a_hard_session_says_when_to_stop_directly_above_its_clock(client_phone, hard_today):
    page = main_of(client_phone.get("/me/timer"))
    line, clock = page.index('<details class="stop-line">'), page.index("data-face")
    rest = page.index('<div class="stop">')

    # One line names the signs, a tap opens all of them there, and whom to call stands below the clock.
    assert 0 < line < clock < rest
    assert "pain or pressure in chest, jaw, neck or arm" in page[line:clock]
    assert "Call the emergency number if it does not settle" in page[line:clock]
    assert len(page[line:clock].partition("</summary>")[0]) < 300
    assert "your local emergency number" in page[rest:]
    assert 'data-work="hard"' in page


def test_today_leads_to_the_clock_and_an_empty_day_says_what_would_stand_there(client_phone, app, people, hard_today):
    assert 'href="/me/timer"' in main_of(client_phone.get("/me/today"))


def test_an_empty_day_says_what_would_stand_here(client_phone, app, people):
    with app.state.house.transaction(True) as db:
        seed.add_answers(db, client=people.client)

    assert "Nothing is planned for today" in main_of(client_phone.get("/me/timer"))


def test_the_target_is_told_at_each_round(client_phone, app, people, with_target):
    shown = lines(client_phone.get("/me/timer"))

    assert [words.startswith("Hold 260 W. ") for _, _, name, words in shown if name.startswith("Round")] == [True] * 4
    assert [name for _, _, name, words in shown if "260 W" in words and not name.startswith("Round")] == []


@pytest.mark.parametrize("stops", [Stops.HARD, Stops.ALL])
def test_a_held_client_hears_of_no_target(client_phone, app, people, with_target, stops):
    hold(app, people, stops)

    assert "260 W" not in client_phone.get("/me/timer").text


def test_in_the_heat_no_figure_is_told(client_phone, coach, with_target):
    coach.send("/heat", temperature_c="33")

    page = client_phone.get("/me/timer").text

    assert "260 W" not in page
    assert "go by effort only" in page


def test_where_all_is_stopped_nothing_runs(client_phone, app, people, hard_today):
    hold(app, people, Stops.ALL)

    page = client_phone.get("/me/timer")

    assert lines(page) == []
    assert "Nothing runs here." in main_of(page)
    assert "data-timer" not in main_of(page)


def test_where_hard_work_is_stopped_the_easy_version_runs(client_phone, app, people, hard_today):
    hold(app, people, Stops.HARD)

    page = client_phone.get("/me/timer")

    assert sum(lasts for _, lasts, *_ in lines(page)) == 30 * 60
    assert {name.split(", ")[1] for _, _, name, _ in lines(page)} == {"easy"}
    assert "Only the easy way today" in main_of(page)
    assert '<h2>Easy indoor ride</h2><p class="effort">Easy</p>' in main_of(page)
    assert 'data-work="hard"' not in main_of(page)


def test_where_the_way_of_moving_is_stopped_nothing_runs(client_phone, app, people, hard_today):
    hold(app, people, Stops.MODE_AND_HARD, mode=Mode.INDOOR_RIDE)

    page = client_phone.get("/me/timer")

    assert lines(page) == []
    assert "Not today" in main_of(page)


def test_a_worn_morning_runs_the_easy_version(client_phone, app, people, hard_today):
    note_worse(app, people)

    page = client_phone.get("/me/timer")

    assert sum(lasts for _, lasts, *_ in lines(page)) == 30 * 60
    assert "This runs instead" in main_of(page)
    assert "Or rest." in main_of(page)


@pytest.mark.parametrize(
    ("stops", "endings"), [(None, ["", "-easy"]), (Stops.HARD, ["-easy"]), (Stops.MODE_AND_HARD, []), (Stops.ALL, [])]
)
@pytest.mark.usefixtures("hard_today")
def test_an_open_page_hears_which_clocks_may_run_now(client_phone, app, people, stops, endings):
    key = re.search(r'data-key="(\d+)"', client_phone.get("/me/timer").text).group(1)
    if stops:
        hold(app, people, stops, mode=Mode.INDOOR_RIDE if stops is Stops.MODE_AND_HARD else None)

    assert client_phone.get("/me/timer/now").json()["may_run"] == [f"{key}{one}" for one in endings]


@pytest.mark.parametrize("corrected", [{}, {"kind": SessionKind.EASY, "effort": 2.0, "talk": Talk.CHAT}])
def test_what_is_entered_today_runs_no_second_time_whatever_else_was_done(
    client_phone, app, people, hard_today, corrected
):
    with app.state.house.transaction(True) as db:
        seed.add_log(db, client=people.client, planned_session_id=hard_today, **corrected)
        seed.add_log(db, client=people.client, planned_session_id=None, effort=8.0, minutes=40, felt_all_out=True)

    page = client_phone.get("/me/timer")

    assert "Done today." in page.text
    assert lines(page) == []
    assert client_phone.get("/me/timer/now").json() == {"may_run": []}
    assert 'href="/me/timer"' not in main_of(client_phone.get("/me/today"))


def test_a_second_hard_session_of_the_day_runs_its_easy_version(client_phone, app, people, hard_today):
    with app.state.house.transaction(True) as db:
        second = seed.add_planned_hard(db, client=people.client, title="Hill rounds")
        seed.add_log(db, client=people.client, planned_session_id=hard_today, felt_all_out=True, effort=9.0)

    page = main_of(client_phone.get("/me/timer"))

    assert second != hard_today
    assert "You did hard work today already" in page
    assert 'data-work="hard"' not in page


def test_not_right_today_leaves_the_easy_version_on_today_the_timer_and_paper(
    client_phone, coach, people, hard_today
):
    sent = client_phone.send("/me/how-i-am", noted_on=seed.TODAY.isoformat(), not_right_today="yes")
    assert sent.status_code == 303

    pages = [main_of(client_phone.get(path)) for path in ("/me/today", "/me/timer", "/me/how-i-am")]
    sheet = coach.get(f"/clients/{people.client.id}/plan/print?week={week_start(seed.TODAY)}").text

    for page in pages:
        assert "Easy or rest today; the hard part moves: something is not right today." in page
        assert "Let the warm-up decide" not in page
    assert 'data-work="hard"' not in pages[1]
    assert "something is not right today" in sheet


def test_the_timer_repeats_that_the_warm_up_decides(client_phone, app, people, hard_today):
    with app.state.house.transaction(True) as db:
        seed.add_readiness(db, client=people.client, noted_on=seed.TODAY, slept_h=4.0)

    assert "Let the warm-up decide today: you slept 4 h." in main_of(client_phone.get("/me/timer"))
