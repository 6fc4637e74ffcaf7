"""No page, print or file shows a heart-rate target or trend of a client whose heart rate is not reliable."""

from __future__ import annotations

import json
import re
from datetime import timedelta

import pytest

from app.coaching.effort import Band
from app.coaching.fitness_tests import Protocol
from app.coaching.heart_rate_trust import RECORDED_ONLY
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import HeartRateUse
from app.coaching.screening import YesNo
from app.coaching.steps import Part, Repeat, Step, to_json
from app.storage import clients, fitness_tests, readiness, safety
from app.web.outputs import OUTPUTS
from tests import factories as make
from tests import seed
from tests.seed import NOW, TODAY

#: Targets stand in the plan; recorded rates may be shown, their differences may not.
TARGETS = ("137", "139", "173", "119")
#: What a page says of the two loops, 128 and 97 beats.
TREND = "31 beats a minute lower"
COACH_PAGES = (
    "/clients/{client_id}",
    "/clients/{client_id}/tests",
    "/clients/{client_id}/plan?week=2026-11-23",
    "/clients/{client_id}/sessions/{log_id}",
    "/clients/{client_id}/promotion",
    "/clients/{client_id}/safety",
    "/plan/sessions/{plan}",
    "/month/{month}/clients/{client_id}",
    "/month/{month}",
    "/tests",
    "/morning",
    "/roster",
    "/plan",
)


def _filled(browser, client) -> dict[str, object]:
    """A plan with heart rates in every text, two loops, a note and rounds; values for addresses."""
    easy = Step(Part.MAIN, 2400, Band.EASY, "Along the river. Heart rate 137 to 139.")
    round_ = Step(Part.WORK, 30, Band.EASY, "End at 173 bpm.")
    with browser.db(write=True) as db:
        seed.add_phase(db, client=client)
        seed.add_base_weeks(db, client=client, count=12)
        safety.add_screening(db, **_answers(client, YesNo.NO, "{}", 200))
        plans = [
            seed.add_planned(
                db,
                client=client,
                planned_on=TODAY + timedelta(days=day),
                title="River walk, HR under 139",
                purpose="Hold a pulse of 137.",
                easy_version="Below 119 bpm.",
                steps_json=to_json((easy, Repeat(2, (round_,)))),
            )
            for day in (0, 1, -1)
        ]
        for n, (days, rate) in enumerate(((35, 128), (2, 97))):
            loop = make.standard_loop(
                id=n, client_id=client.id, tested_on=TODAY - timedelta(days=days), heart_rate_bpm=rate
            )
            fitness_tests.add(db, test=loop)
        mile = make.standard_loop(
            client_id=client.id,
            protocol=Protocol.ONE_MILE_WALK,
            tested_on=TODAY - timedelta(days=3),
            distance_m=1609.0,
            duration_s=900.0,
            heart_rate_bpm=128,
            weight_kg=70.0,
        )
        fitness_tests.add(db, test=mile)
        readiness.add(db, note=make.readiness(client_id=client.id, resting_heart_rate_bpm=97, person_id=client.id))
        log_id = seed.add_log(
            db, client=client, planned_session_id=plans[2], done_on=TODAY - timedelta(days=1), rounds=(_round(),)
        )
        incident_id = seed.add_incident(db, client=client)
    return {
        "incident_id": incident_id,
        "client_id": client.id,
        "log_id": log_id,
        "plan": plans[1],
        "month": "2026-11",
        "question": "chest",
    }


def _round():
    return make.work_round(number=1, heart_rate_end_bpm=128)


def _answers(client, medicine: YesNo, details: str, days_ago: int) -> dict[str, object]:
    one = make.answers(
        client_id=client.id,
        heart_rate_medicine=medicine,
        details_json=details,
        answered_on=TODAY - timedelta(days=days_ago),
    )
    names = ("client_id", "answered_on", "active", "disease", "symptoms", "pregnant", "heart_rate_medicine")
    values = {name: getattr(one, name) for name in (*names, "details_json", "origin")}
    return values | {"person_id": client.coach_id, "at": one.entered_at}


def _shown(values, phone, coach) -> dict[str, str]:
    """Every output, every page of the coach's about a plan or a rate, and the month's files."""
    found = {}
    for path in (*(one.path for one in OUTPUTS), *COACH_PAGES):
        if "{hold_id}" in path:
            continue  # shows advice about one sign, nothing of the plan
        address = re.sub(r"\{(\w+)\}", lambda name: str(values[name.group(1)]), path)
        page = (phone if path.startswith("/me/") else coach).get(address)
        assert page.status_code in (200, 303), (address, page.status_code)
        found[path] = page.text
    for name in ("sessions.csv", "practice.csv"):
        page = coach.get(f"/month/2026-11/{name}")
        assert page.status_code == 200, name
        found[name] = page.text
    return found


def _by_record(db, client) -> None:
    values = {"heart_rate_use": HeartRateUse.NOT_RELIABLE, "effort_plan": "By talk."}
    assert clients.change(db, client_id=client.id, revision=client.revision, values=values)


def _by_answers(db, client) -> None:
    details = json.dumps({"medicines": {"beta_blocker": "not_sure"}})
    safety.add_screening(db, **_answers(client, YesNo.YES, details, 1))


def _by_hold(db, client) -> None:
    safety.raise_hold(
        db,
        client_id=client.id,
        kind=HoldKind.MEDICINE_CHANGE,
        stops=Stops.HARD,
        mode=None,
        cause="A tablet was changed",
        began_on=TODAY - timedelta(days=1),
        person_id=client.coach_id,
        at=NOW,
    )


@pytest.mark.parametrize("make_off", [_by_record, _by_answers, _by_hold])
def test_nothing_shows_a_target_or_a_trend_that_is_not_reliable(coach, client_phone, people, make_off) -> None:
    values = _filled(coach, people.client)
    with coach.db(write=True) as db:
        make_off(db, people.client)

    shown = _shown(values, client_phone, coach)

    for path, text in shown.items():
        words = re.sub(r"<[^>]+>", " ", text)
        assert not [one for one in TARGETS if re.search(rf"\b{one}\b(?! min)", words)], path
        assert TREND not in words, path
    assert "No VO2max: heart rate is not reliable for this client" in shown["/clients/{client_id}/tests"]
    for path in ("/clients/{client_id}/tests", "/clients/{client_id}", "/me/my-way", "/me/done/{log_id}"):
        assert RECORDED_ONLY in shown[path], path
    for path in ("/clients/{client_id}/sessions/{log_id}", "/month/{month}/clients/{client_id}/print", "/tests"):
        assert RECORDED_ONLY in shown[path], path
    assert "Along the river. Easy enough to chat" in shown["/clients/{client_id}/plan/print"]


def test_the_same_client_with_a_reliable_one_is_shown_them(coach, client_phone, people) -> None:
    values = _filled(coach, people.client)

    shown = _shown(values, client_phone, coach)

    for target in TARGETS[:3]:
        assert target in shown["/me/today"], target
        assert target in shown["/clients/{client_id}/plan/print"], target
    assert TREND in shown["/clients/{client_id}/tests"]
    assert TREND in shown["/month/{month}/clients/{client_id}/print"]
    assert "VO2max about" in shown["/clients/{client_id}/tests"]
    assert not [path for path, text in shown.items() if RECORDED_ONLY in text]
