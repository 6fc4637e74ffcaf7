"""The target of a session: every form on one page, one chosen, and what the client reads of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.measured import KnownHow, MeasuredKind
from app.coaching.people import HeartRateUse, Mode, Origin
from app.coaching.session_logs import Posture
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json, target_to_json
from app.coaching.told_away import AwayAnswer
from app.storage import clients, fitness_tests, measured, prescriptions, recordings, session_logs
from app.storage.audit import trail_of
from tests import factories as make
from tests import plan_scenes as scene
from tests import seed
from tests.coaching.test_session_target import LADDER, POWER, WHY
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of
from tests.seed import NOW, TODAY

HEART = SessionTarget(TargetForm.HEART_RATE, None, 136.0, 147.0, (), None, "highest heart rate measured", WHY)
FRIDAY = TODAY + timedelta(days=2)


def _ready(browser, people, **session) -> str:
    """A client who may do hard work, with a critical power and rounds; returns the session's address."""
    with browser.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=12)
        seed.add_measured(db, client=people.client)
        given = {"planned_on": FRIDAY} | session
        return f"/plan/sessions/{seed.add_planned_hard(db, client=people.client, **given)}"


def _target(browser, address) -> SessionTarget | None:
    with browser.db() as db:
        return target_from_json(scene.versions(db, int(address.rsplit("/", 1)[1]))[-1].target_json)


def _choose(browser, address, key, **typed):
    form = form_of(browser.get(f"{address}/target"), f"{address}/target")
    return browser.send(f"{address}/target", **(form | {"key": key} | typed))


def _change(db, people, address, **changes) -> None:
    """A newer version that the client has."""
    session_id = int(address.rsplit("/", 1)[1])
    prescriptions.add_version(
        db,
        planned_session_id=session_id,
        client_id=people.client.id,
        draft=prescriptions.draft_from(scene.versions(db, session_id)[-1], **changes),
        person_id=people.coach.id,
        at=NOW,
        publish=True,
    )


def _done(browser, people, days, **changes) -> None:
    """A hard session of four rounds that went well, so many days ago."""
    with browser.db(write=True) as db:
        on = TODAY - timedelta(days=days)
        planned_id = seed.add_planned_hard(db, client=people.client, planned_on=on, **changes)
        seed.add_log(
            db,
            client=people.client,
            planned_session_id=planned_id,
            done_on=on,
            kind="intervals",
            mode=Mode.INDOOR_RIDE,
            minutes=57.0,
            effort=7.0,
            posture=Posture.STOOD,
            rounds=tuple(make.work_round(number=n + 1) for n in range(4)),
        )


def _accepted_days_off(db, people) -> None:
    """Four weeks off up to yesterday, told and answered."""
    answered = {"answer": AwayAnswer.ACCEPTED, "answered_at": seed.NOW, "answered_by": people.coach.id}
    seed.add_told_away(db, client=people.client, from_on=TODAY - timedelta(days=28), **answered)


def test_after_four_weeks_off_no_target_is_offered_before_weeks_are_held(coach, people):
    address = _ready(coach, people)
    with coach.db(write=True) as db:
        _accepted_days_off(db, people)

    text = words_of(coach.get(f"{address}/target"))

    assert "No target is offered. Hard work is stopped: 28 days off were told" in text
    assert "easy work only until 4 weeks are held (none so far)" in text
    assert "Even power, from critical power proposed" not in text


def test_the_figures_page_says_what_waits_to_be_measured_again_after_four_weeks_off(coach, people):
    _ready(coach, people)
    before = words_of(coach.get(_figures(people)))
    with coach.db(write=True) as db:
        _accepted_days_off(db, people)

    after = words_of(coach.get(_figures(people)))

    assert "targets are made from it" in before
    assert "targets are made from it" not in after
    assert "no target is made from it: before 28 days off until Tue 24 Nov" in after


def test_every_form_stands_side_by_side_with_what_is_missing(coach, people):
    text = words_of(coach.get(f"{_ready(coach, people)}/target"))

    assert "Even power, from critical power proposed" in text
    assert "258 W in each round, 103 % of critical power." in text
    assert "Left after 4" in text
    assert "Reserve after the last round" in text
    assert "W' is the work in reserve" in text
    assert "Recorded only in the first 3 hard sessions" in text
    assert "No power at “rather not talk” is kept" in text


def test_a_chosen_target_waits_as_a_draft_with_its_basis_and_a_trace(coach, people):
    address = _ready(coach, people)

    answer = _choose(coach, address, "power_curve")

    assert answer.status_code == 303
    target = _target(coach, address)
    assert (target.form, target.value, target.basis[:20]) == (TargetForm.POWER, 258.0, "test of 26 October 2")
    text = words_of(coach.get(address))
    assert "changed, not published" in text
    assert "Hold 258 W in each round" in text
    with coach.db() as db:
        assert "gave a target" in [entry.action for entry in trail_of(db, client_id=people.client.id)]


def test_a_figure_may_be_typed_and_is_refused_beside_its_field_when_too_hard(coach, people):
    address = _ready(coach, people)

    refused = _choose(coach, address, "power_curve", value_power_curve="290")

    assert refused.status_code == 422
    assert "harder than this client's figures, 258 W, allow" in words_of(refused)
    assert 'value="290"' in refused.text
    assert _choose(coach, address, "power_curve", value_power_curve="240").status_code == 303
    assert _target(coach, address).value == 240


def test_a_target_is_taken_away_again(coach, people):
    address = _ready(coach, people, target_json=target_to_json(POWER))

    assert _choose(coach, address, "none").status_code == 303
    assert _target(coach, address) is None


def test_todays_target_needs_a_reason_and_reaches_the_phone_at_once(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY)

    unsaid = _choose(coach, address, "power_curve")
    said = _choose(coach, address, "power_curve", reason="From your trials.")

    assert unsaid.status_code == 422
    assert "say why" in words_of(unsaid)
    assert said.status_code == 303
    phone = words_of(client_phone.get("/me/today"))
    assert "Your target. Hold 258 W in each round, flat from start to end." in phone
    assert "How a round should feel" in phone
    assert "From your trials." in phone


def test_another_reserve_or_a_tried_power_is_reckoned_again(coach, people):
    address = f"{_ready(coach, people)}/target"

    tried = words_of(coach.get(f"{address}?try_w=340&reserve=20"))
    wrong = coach.get(f"{address}?reserve=99")

    assert "340 W in each round" in tried
    assert "Runs out in round" in tried
    assert wrong.status_code == 422
    assert "between 5 and 80" in words_of(wrong)


def test_a_stale_page_is_told_so(coach, people):
    address = _ready(coach, people)
    form = form_of(coach.get(f"{address}/target"), f"{address}/target")
    _choose(coach, address, "effort")

    answer = coach.send(f"{address}/target", **(form | {"key": "power_curve"}))

    assert answer.status_code == 409
    assert _target(coach, address).form is TargetForm.EFFORT


def test_a_target_given_meanwhile_stands_among_what_changed(coach, people):
    address = _ready(coach, people)
    form = form_of(coach.get(address), address)
    _choose(coach, address, "power_curve")

    stale = coach.send(address, **(form | {"place": "the lake"}))

    assert stale.status_code == 409
    assert "Target none 258 W" in words_of(stale)
    coach.send(address, **form_of(stale, address))
    assert _target(coach, address).value == 258


@pytest.mark.parametrize("key", ["heart_rate", "moonlight"])
def test_what_is_not_offered_is_not_kept(coach, people, key):
    address = _ready(coach, people)

    assert _choose(coach, address, key).status_code == 422
    assert _target(coach, address) is None


def test_a_hold_offers_no_target_and_hides_the_one_that_is_kept(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY, target_json=target_to_json(POWER))
    assert "Hold 260 W" in words_of(client_phone.get("/me/today"))
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)
    sheet = f"/plan/group-sheet/print?day={TODAY}&k{people.client.id}=yes"

    page = coach.get(f"{address}/target")
    sent = coach.send(f"{address}/target", version="1", key="power_curve", reason="All the same.")

    assert "No target is offered." in words_of(page)
    assert "Give this target" not in page.text
    assert sent.status_code == 422
    for shown in (
        client_phone.get("/me/today"),
        coach.get(f"/clients/{people.client.id}/plan/print"),
        coach.get(sheet),
    ):
        assert "260 W" not in words_of(shown)


def test_the_phone_shows_the_targets_of_days_to_come_and_none_while_hard_work_is_paused(coach, client_phone, people):
    raised = replace(POWER, value=267.0, low=None, high=None)
    address = _ready(coach, people, planned_on=FRIDAY, target_json=target_to_json(POWER))
    with coach.db(write=True) as db:
        _change(db, people, address, target_json=target_to_json(raised), reason="Two good ones.")

    open_ = words_of(client_phone.get("/me/today"))
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)
    held = words_of(client_phone.get("/me/today"))

    assert "Target: 267 W" in open_
    assert "a new target, 267 W. It was: 260 W. Why: Two good ones." in open_
    assert "267 W" not in held
    assert "260 W" not in held


def test_todays_change_says_the_target_that_stood_before_and_nothing_of_it_while_paused(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY, target_json=target_to_json(POWER))
    _choose(coach, address, "power_curve", reason="From your trials.")

    open_ = words_of(client_phone.get("/me/today"))
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)
    held = words_of(client_phone.get("/me/today"))

    assert "From your trials. It was: 260 W." in open_
    assert "260 W" not in held
    assert "258 W" not in held


def test_the_target_is_printed_and_stands_on_the_group_sheet(coach, people):
    _ready(coach, people, planned_on=TODAY, target_json=target_to_json(POWER))

    week = words_of(coach.get(f"/clients/{people.client.id}/plan/print"))
    sheet = words_of(coach.get(f"/plan/group-sheet/print?day={TODAY}&k{people.client.id}=yes"))

    assert "Target: Hold 260 W in each round" in week
    assert "Target: 260 W." in sheet


def test_a_heart_rate_target_vanishes_once_heart_rate_is_not_reliable(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY, target_json=target_to_json(HEART))
    pages = [
        lambda: client_phone.get("/me/today"),
        lambda: coach.get(f"/clients/{people.client.id}/plan/print"),
        lambda: coach.get(address),
        lambda: coach.get(f"{address}/target"),
    ]
    assert all("136 and 147" in words_of(page()) for page in pages)
    with coach.db(write=True) as db:
        now = clients.one(db, client_id=people.client.id)
        off = {"heart_rate_use": HeartRateUse.NOT_RELIABLE, "effort_plan": "By talk."}
        clients.change(db, client_id=now.id, revision=now.revision, values=off)

    assert not any("136" in words_of(page()) for page in pages)


def test_a_runners_ladder_stands_on_the_phone_with_its_splits(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY, mode=Mode.RUN)
    with coach.db(write=True) as db:
        for n in range(1, 13):
            seed.add_log(db, client=people.client, done_on=TODAY - timedelta(days=7 * n), mode=Mode.RUN)
        race = make.standard_loop(
            client_id=people.client.id,
            protocol="five_km",
            mode=Mode.RUN,
            tested_on=TODAY - timedelta(days=20),
            distance_m=5000.0,
            duration_s=1500.0,
            origin=Origin.COACH,
        )
        fitness_tests.add(db, test=race)

    answer = _choose(coach, address, "pace_ladder", reason="Your race.", distance_m="800")

    assert answer.status_code == 303
    phone = words_of(client_phone.get("/me/today"))
    assert "Round 1 5:15 a km 800 m in 4:12 400 m 2:06, 800 m 4:12" in phone
    assert "Round 4 5:00 a km 800 m in 4:00" in phone
    assert "From your 5 km in 25:00" in phone


def test_a_hill_takes_a_pace_away_and_leaves_power(coach, people):
    run = _ready(coach, people, mode=Mode.RUN, target_json=target_to_json(LADDER))
    with coach.db(write=True) as db:
        hill_id = seed.add_hill(db, person_id=people.coach.id)
        ride_id = seed.add_planned_hard(
            db, client=people.client, planned_on=NEXT_MONDAY, mode=Mode.RIDE, target_json=target_to_json(POWER)
        )
    ride = f"/plan/sessions/{ride_id}"

    for address in (run, ride):
        coach.send(f"{address}/hill", version="1", hill_id=str(hill_id))

    assert (_target(coach, run), _target(coach, ride)) == (None, POWER)


# What targets are made from


def _figures(people) -> str:
    return f"/clients/{people.client.id}/tests/figures"


TRIALS = {
    "what": "critical_power by indoor_ride", "measured_on": "2026-11-20", "origin": "coach",
    "time_1": "3:00", "amount_1": "361.1", "time_2": "7:00", "amount_2": "297.6", "time_3": "15:00",
    "amount_3": "272.2",
}  # fmt: skip


def test_trials_are_fitted_kept_and_shown_with_their_misfit(coach, people):
    answer = coach.send(f"{_figures(people)}/trials", **TRIALS)

    text = words_of(coach.get(_figures(people)))
    assert answer.status_code == 303
    assert "250 W ± 0; W' 20.0 kJ" in text
    assert "targets are made from it" in text
    assert "trial of 15:00" in text
    with coach.db() as db:
        (kept,) = measured.of_client(db, client_id=people.client.id)
        assert (kept.how, len(kept.trials), kept.covariance < 0) == (KnownHow.TRIALS, 3, True)
        assert "kept a measured figure" in [entry.action for entry in trail_of(db, client_id=people.client.id)]


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"time_2": "", "amount_2": "", "time_3": "", "amount_3": ""}, "Two trials of different length"),
        ({"amount_2": ""}, "needs both"),
        ({"amount_1": "200"}, "give nothing"),
        ({"what": "talk_power by indoor_ride"}, "Choose one"),
    ],
    ids=("one", "half", "rising", "kind"),
)
def test_trials_that_give_nothing_are_refused_with_what_was_typed_kept(coach, people, changes, says):
    answer = coach.send(f"{_figures(people)}/trials", **(TRIALS | changes))

    assert answer.status_code == 422
    assert says in words_of(answer)
    assert 'value="272.2"' in answer.text or changes.get("amount_3") == ""


TYPED = {
    "what": "highest_heart_rate by run", "measured_on": "2026-11-20", "origin": "clinic", "value": "171",
    "how": "laboratory",
}  # fmt: skip


def test_a_measured_highest_heart_rate_is_kept_and_marked_when_it_is_not_reliable(coach, people):
    assert coach.send(_figures(people), **TYPED).status_code == 303
    assert "171 beats a minute" in words_of(coach.get(_figures(people)))
    with coach.db(write=True) as db:
        off = {"heart_rate_use": HeartRateUse.NOT_RELIABLE, "effort_plan": "By talk."}
        clients.change(db, client_id=people.client.id, revision=people.client.revision, values=off)

    assert "recorded only, not compared" in words_of(coach.get(_figures(people)))


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"how": "elsewhere"}, "a formula from age is none"),
        ({"capacity": "9000"}, "Only critical power"),
        ({"what": "critical_power by row", "value": "200", "how": "elsewhere"}, "Please fill this in"),
    ],
    ids=("formula", "capacity", "no capacity"),
)
def test_a_figure_that_is_not_measured_that_way_is_refused(coach, people, changes, says):
    answer = coach.send(_figures(people), **(TYPED | changes))

    assert answer.status_code == 422
    assert says in words_of(answer)


def test_a_mistaken_figure_is_set_aside_once_and_no_target_is_made_from_it(coach, people):
    address = _ready(coach, people)
    with coach.db() as db:
        (figure,) = measured.of_client(db, client_id=people.client.id)

    first = coach.send(f"{_figures(people)}/{figure.id}/aside")
    again = coach.send(f"{_figures(people)}/{figure.id}/aside")

    assert (first.status_code, again.status_code) == (303, 422)
    assert "set aside" in words_of(coach.get(_figures(people)))
    assert "No critical power is kept" in words_of(coach.get(f"{address}/target"))


def test_targets_from_a_figure_set_aside_are_named_marked_and_taken_away_together(coach, client_phone, people):
    address = _ready(coach, people, planned_on=TODAY)
    assert _choose(coach, address, "power_curve", reason="From your trials.").status_code == 303
    with coach.db(write=True) as db:
        later_id = seed.add_planned_hard(
            db, client=people.client, planned_on=NEXT_MONDAY, target_json=scene.versions(db, 1)[-1].target_json
        )
        (figure,) = measured.of_client(db, client_id=people.client.id)
    assert "Hold 258 W" in words_of(client_phone.get("/me/today"))
    assert "From a figure set aside" not in words_of(coach.get(address))
    coach.send(f"{_figures(people)}/{figure.id}/aside")

    page = coach.get(_figures(people))
    marked = [words_of(coach.get(f"{address}{behind}")) for behind in ("", "/target")]
    unsaid = coach.send(f"{_figures(people)}/targets-away", reason="")
    taken = coach.send(f"{_figures(people)}/targets-away", reason="The trials were somebody else's.")

    assert "Targets from a figure set aside" in words_of(page)
    assert f'href="{address}"' in page.text
    assert f'href="/plan/sessions/{later_id}"' in page.text
    assert all("From a figure set aside" in text for text in marked)
    assert (unsaid.status_code, taken.status_code) == (422, 303)
    assert (_target(coach, address), _target(coach, f"/plan/sessions/{later_id}")) == (None, None)
    phone = words_of(client_phone.get("/me/today"))
    assert "258 W" not in phone
    assert "never above 8" in phone
    assert "The trials were somebody else's." in phone
    assert "Targets from a figure set aside" not in words_of(coach.get(_figures(people)))


def test_a_draft_that_waits_on_a_published_session_is_not_sent_with_it(coach, people):
    address = _ready(coach, people, target_json=target_to_json(replace(POWER, figure_id=1)))
    coach.send(address, **(form_of(coach.get(address), address) | {"place": "the lake"}))
    coach.send(f"{_figures(people)}/1/aside")

    coach.send(f"{_figures(people)}/targets-away", reason="Mistyped.")

    with coach.db() as db:
        *_older, sent, draft = scene.versions(db, int(address.rsplit("/", 1)[1]))
    assert (sent.place == "the lake", sent.published_at is None, sent.target_json) == (False, False, None)
    assert (draft.place, draft.published_at, draft.target_json) == ("the lake", None, None)


# Far above what was done


def _talked(browser, people, power_w) -> None:
    with browser.db(write=True) as db:
        kind = MeasuredKind.TALK_POWER
        seed.add_measured(db, client=people.client, kind=kind, value=power_w, capacity=None, how=KnownHow.TALK_TEST)


def test_a_target_far_above_what_was_done_asks_for_a_reason_that_is_kept(coach, people):
    address = _ready(coach, people)
    _talked(coach, people, 124.0)

    page = words_of(coach.get(f"{address}/target"))
    unsaid = _choose(coach, address, "power_curve")
    said = _choose(coach, address, "power_curve", reason="She rode it last year.")

    assert "Far above what was done: talk got short at 124 W" in page
    assert "Power, from a talk test proposed" in page
    assert unsaid.status_code == 422
    assert "Say why, or take a gentler one." in words_of(unsaid)
    assert said.status_code == 303
    assert "Far above what was done" in str(_target(coach, address).why)
    with coach.db() as db:
        assert scene.versions(db, int(address.rsplit("/", 1)[1]))[-1].reason == "She rode it last year."


def test_trials_far_above_what_is_known_are_kept_only_once_looked_at_twice(coach, people):
    _talked(coach, people, 124.0)

    first = coach.send(f"{_figures(people)}/trials", **TRIALS)
    second = coach.send(f"{_figures(people)}/trials", **TRIALS, looked_twice="yes")

    assert first.status_code == 422
    assert "talk got short at 124 W" in words_of(first)
    assert "I have looked twice" in words_of(first)
    assert second.status_code == 303


def test_a_figure_that_can_hardly_be_is_refused_beside_its_field(coach, people):
    answer = coach.send(
        _figures(people),
        **(TYPED | {"what": "critical_power by row", "value": "250", "capacity": "50400", "how": "elsewhere"}),
    )

    assert answer.status_code == 422
    assert "250 W with W' 50.4 kJ can hardly be" in words_of(answer)


# What comes next


def test_two_good_sessions_are_written_one_step_on_into_the_next_one(coach, people):
    address = _ready(coach, people, planned_on=NEXT_MONDAY)
    for days in (14, 7):
        _done(coach, people, days, target_json=target_to_json(POWER))
    plan = coach.get(f"/clients/{people.client.id}/plan")

    taken = coach.send(f"{address}/next-step", version="1")

    assert "A step of the target: 2.5 % more power, 266 W" in words_of(plan)
    assert taken.status_code == 303
    assert _target(coach, address).value == 266
    assert coach.send(f"{address}/next-step", version="2").status_code == 422
    assert "It says so already" in words_of(coach.get(f"/clients/{people.client.id}/next-step"))


def test_a_step_past_the_ceiling_of_critical_power_is_not_written(coach, people):
    # 112 % of 250 W are 280 W; 2.5 % above 275 W are 282 W.
    address = _ready(coach, people, planned_on=NEXT_MONDAY)
    at_the_top = target_to_json(replace(POWER, value=275.0, low=None, high=None))
    for days in (14, 7):
        _done(coach, people, days, target_json=at_the_top)

    page = words_of(coach.get(f"/clients/{people.client.id}/next-step"))
    coach.send(f"{address}/next-step", version="1")

    assert "The target stays: nothing above 112 % of critical power is proposed" in page
    assert _target(coach, address).value == 275


def test_nothing_is_written_while_hard_work_is_stopped(coach, people):
    address = _ready(coach, people, planned_on=NEXT_MONDAY)
    for days in (14, 7):
        _done(coach, people, days)
    with coach.db(write=True) as db:
        seed.add_hold(db, client=people.client, kind=HoldKind.COACH, stops=Stops.HARD)

    page = coach.get(f"/clients/{people.client.id}/next-step")
    taken = coach.send(f"{address}/next-step", version="1")

    assert "Nothing moves while hard work is stopped" in words_of(page)
    assert "Write it into" not in page.text
    assert taken.status_code == 422


def test_todays_published_session_and_an_easier_week_are_left_alone(coach, people):
    today = _ready(coach, people, planned_on=TODAY)
    for days in (14, 7):
        _done(coach, people, days)

    page = words_of(coach.get(f"/clients/{people.client.id}/next-step"))

    assert "No hard session of rounds is planned" in page
    assert coach.send(f"{today}/next-step", version="1").status_code == 422


def test_longer_rounds_rewrite_the_steps_as_a_draft(coach, people):
    address = _ready(coach, people, planned_on=NEXT_MONDAY)
    for days in (14, 7):
        _done(coach, people, days)

    coach.send(f"{address}/next-step", version="1")

    with coach.db() as db:
        newest = scene.versions(db, int(address.rsplit("/", 1)[1]))[-1]
    assert newest.published_at is None
    assert newest.title.startswith("4 × 5 min")
    assert newest.rounds == 4


def test_what_comes_next_follows_the_recording_and_not_what_was_said(coach, people):
    _ready(coach, people, planned_on=NEXT_MONDAY)
    for days in (14, 7):
        _done(coach, people, days, target_json=target_to_json(POWER))
    address = f"/clients/{people.client.id}/next-step"
    assert "2.5 % more power" in words_of(coach.get(address))

    with coach.db(write=True) as db:
        logs = session_logs.between(db, client_ids=[people.client.id], from_on=_ago(7), until_on=_ago(7))
        (log_id,) = (one.id for one in logs if one.rounds)
        seed.add_recording(db, client=people.client, log_id=log_id, levels=(270.0, 260.0, 245.0, 230.0))

    assert "It was not held: the same rounds 5 % lower." in words_of(coach.get(address))

    with coach.db(write=True) as db:
        kept = recordings.standing(db, session_log_id=log_id)
        recordings.take_away(db, recording_id=kept.id, person_id=people.coach.id, at=NOW)

    assert "2.5 % more power" in words_of(coach.get(address))


def _ago(days):
    return TODAY - timedelta(days=days)
