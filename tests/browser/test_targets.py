"""Hill rounds by power for a rider and a ladder for a runner, given at the desk and read on two phones."""

from __future__ import annotations

from datetime import timedelta

import pytest
from playwright.sync_api import Page, expect

from app.coaching.fitness_tests import Protocol
from app.coaching.hills import Rider
from app.coaching.people import Mode, Origin
from app.storage import fitness_tests, hills
from tests import factories as make
from tests import plan_scenes, seed
from tests.conftest import TOKENS
from tests.seed import TODAY

pytestmark = pytest.mark.browser

RUNNER = "token-of-a-runner"


@pytest.fixture
def sessions(served) -> tuple[int, int]:
    """A rider with critical power and a runner with a race, each with four rounds today; the sessions' identities."""
    with served.house.transaction(True) as db:
        rider = served.people.client
        runner = seed.add_client(db, coach_id=served.people.coach.id, name="Runa Vestby")
        seed.add_login(db, person=seed.client_person(db, runner), token=RUNNER)
        for client in (rider, runner):
            plan_scenes.may_do_hard_work(db, client)
            seed.add_base_weeks(db, client=client, count=12)
        seed.add_measured(db, client=rider, mode=Mode.RIDE, value=200.0)
        seed.add_hill(db, person_id=rider.coach_id)
        gear = {"front_teeth": 34, "rear_teeth": 34, "wheel_circumference_m": 2.11}
        hills.keep_rider(
            db, rider=Rider(client_id=rider.id, body_mass_kg=70.0, body_mass_on=TODAY, bike_mass_kg=9.0, **gear)
        )
        for week in range(1, 13):
            seed.add_log(db, client=runner, done_on=TODAY - timedelta(weeks=week), mode=Mode.RUN)
        race = make.standard_loop(
            client_id=runner.id, protocol=Protocol.FIVE_KM, mode=Mode.RUN, tested_on=TODAY - timedelta(days=20),
            distance_m=5000.0, duration_s=1500.0, origin=Origin.COACH,
        )  # fmt: skip
        fitness_tests.add(db, test=race)
        return (
            seed.add_planned_hard(db, client=rider, mode=Mode.RIDE, title="Four hill rounds"),
            seed.add_planned_hard(db, client=runner, mode=Mode.RUN, title="Running rounds"),
        )


def _give(page: Page, session_id: int, form: str, why: str) -> None:
    page.goto(f"/plan/sessions/{session_id}")
    page.get_by_role("link", name="A target for its rounds").click()
    page.get_by_label("Why", exact=False).first.fill(why)
    page.get_by_role("button", name=f"Give this target {form}").click()
    expect(page.locator("#flash")).to_contain_text("The target is kept with the session.")


def test_hill_rounds_for_a_rider_and_a_ladder_for_a_runner_stand_on_their_phones(windows, served, sessions):
    ride, run = sessions
    desk = windows.open(1280, TOKENS["coach"])

    _give(desk, ride, "Even power, from critical power", "From your trials.")
    desk.goto(f"/plan/sessions/{ride}/hill")
    desk.get_by_label("Why", exact=False).first.fill("The hill by the quarry fits.")
    desk.get_by_role("button", name="Choose Quarry hill", exact=False).click()
    _give(desk, run, "Pace ladder, from a 5-km race", "From your race.")

    riders = windows.open(390, TOKENS["client_phone"])
    riders.goto("/me/today")
    expect(riders.get_by_label("Your target")).to_contain_text("Hold 206 W in each round, flat from start to end.")
    riders.get_by_text("The hill: Quarry hill", exact=False).click()
    expect(riders.get_by_text("roll back to where it began", exact=False)).to_be_visible()
    riders.get_by_text("How a round should feel").click()
    expect(riders.get_by_text("Almost silly-easy: effort 4.", exact=False)).to_be_visible()

    runners = windows.open(390, RUNNER)
    runners.goto("/me/today")
    ladder = runners.get_by_role("region", name="Round by round")
    expect(ladder).to_contain_text("5:15 a km")
    expect(ladder).to_contain_text("5:00 a km")
    for phone in (riders, runners):
        assert phone.evaluate("document.documentElement.scrollWidth <= document.documentElement.clientWidth")
