"""The group sheet: own rounds and words by one clock; whoever may not do hard work stands on it as paused."""

from __future__ import annotations

import html
import re
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Origin
from app.storage import safety
from tests import plan_scenes as scene
from tests import seed
from tests.marked_sessions import VIGOROUS, vigorous_sessions
from tests.plan_scenes import words_of

PRINT = f"/plan/group-sheet/print?day={seed.TODAY}"


def _hold(db, client):
    seed.add_hold(db, client=client, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD, cause="A cause of hers")


def _all_on_hold(db, client):
    seed.add_hold(db, client=client, kind=HoldKind.SYMPTOM, stops=Stops.ALL, cause="A cause of hers")


def _pressure(db, client):
    safety.add_pressure(
        db, client_id=client.id, measured_on=seed.TODAY, systolic_mmhg=182, diastolic_mmhg=95,
        resting_heart_rate_bpm=None, origin=Origin.COACH, person_id=client.coach_id, at=seed.NOW,
    )  # fmt: skip


def _free(browser, client):
    with browser.db(write=True) as db:
        scene.may_do_hard_work(db, client)
        seed.add_base_weeks(db, client=client, count=12)
        steps = vigorous_sessions()[0].steps_json
        seed.add_planned_hard(db, client=client, planned_on=seed.TODAY, rounds=4, steps_json=steps)


def test_those_with_hard_rounds_are_ticked_and_stand_on_the_sheet_with_their_words(coach, people):
    _free(coach, people.client)

    choice = coach.get(f"/plan/group-sheet?day={seed.TODAY}")
    sheet = coach.get(f"{PRINT}&k{people.client.id}=yes")

    assert f'name="k{people.client.id}" value="yes" checked' in choice.text
    assert f"Ilse Brandt {VIGOROUS}" in words_of(sheet)
    assert "Round 4" in words_of(sheet)
    assert "Stop at once" in words_of(sheet)


@pytest.mark.parametrize("trouble", [_hold, _all_on_hold, _pressure], ids=lambda one: one.__name__)
def test_nobody_who_is_stopped_reads_a_target_and_no_reason_is_shown(coach, people, trouble):
    _free(coach, people.client)
    with coach.db(write=True) as db:
        trouble(db, people.client)

    text = words_of(coach.get(f"{PRINT}&k{people.client.id}=yes"))

    assert VIGOROUS not in text
    assert "Ilse Brandt Paused: do not start hard work" in text
    assert "A cause of hers" not in text


def test_never_asked_is_paused_and_nothing_planned_is_easy(head, people):
    with head.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY)
        scene.may_do_hard_work(db, people.handed_client)
        seed.add_base_weeks(db, client=people.handed_client, count=12)

    text = words_of(head.get(f"{PRINT}&k{people.client.id}=yes&k{people.handed_client.id}=yes"))

    assert "Ilse Brandt Paused: do not start hard work" in text
    assert "Hanne Weidel No hard rounds planned for this day" in text


def test_drafts_and_others_clients_are_not_on_it(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=12)
        seed.add_planned_hard(db, client=people.client, planned_on=seed.TODAY, publish=False)

    text = words_of(coach.get(f"{PRINT}&k{people.client.id}=yes&k{people.other_client.id}=yes"))

    assert "Ilse Brandt No hard rounds planned" in text
    assert "Ruben Castor" not in text


def test_more_names_than_fit_are_said(head, people):
    with head.db(write=True) as db:
        some = [seed.add_client(db, coach_id=people.head.id, name=f"Guest {n}") for n in range(11)]
    ticks = "".join(f"&k{one.id}=yes" for one in some)

    text = words_of(head.get(f"{PRINT}{ticks}"))

    assert "1 more name was ticked than fit; 10 stand here." in text
    assert "Guest 10" not in text


def test_another_day_is_one_link_away(coach):
    page = coach.get(f"/plan/group-sheet?day={seed.TODAY}")

    assert f"?day={seed.TODAY + timedelta(days=1)}" in page.text


def test_the_sheet_is_entered_afterwards_with_its_names_first(head, people):
    _free(head, people.client)
    last, other = people.client, people.other_client
    sheet = head.get(f"{PRINT}&k{last.id}=yes")
    address = re.search(r'href="(/entry/group\?[^"]+)">enter it afterwards', sheet.text)
    assert address is not None

    page = head.get(html.unescape(address[1]))
    kept = head.send(
        "/entry/group",
        **{"day": seed.TODAY.isoformat(), "origin": "from_paper", f"k{last.id}": "yes"},
        **{f"c{last.id}_answer": "as_planned", f"c{last.id}_effort": "7"},
    )

    text = words_of(page)
    assert text.index("On the sheet") < text.index(last.name) < text.index("Everybody else") < text.index(other.name)
    assert kept.headers["location"] == f"/entry/group?day={seed.TODAY}&k{last.id}=yes"
    assert "Everybody else" not in words_of(head.get(f"/entry/group?day={seed.TODAY}"))
