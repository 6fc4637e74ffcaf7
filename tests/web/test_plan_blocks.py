"""Blocks round a life: travel, strength, other ways, the plans that are nearest, and what the weeks go by."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.interval_plans import PlanKey
from app.coaching.people import Mode
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.storage import clients, prescriptions
from app.storage.audit import trail_of
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of

WEEK = timedelta(weeks=1)
BASE = {
    "starts_on": NEXT_MONDAY.isoformat(),
    "weeks": "6",
    "mode": "walk",
    "start_minutes": "90",
    "target_minutes": "2h",
    "rise_minutes": "15",
    "every": "4",
    "day_0": "60",
    "day_2": "1:00",
    "day_5": "120",
    "step": "preview",
}
HARD = {
    "starts_on": NEXT_MONDAY.isoformat(),
    "weeks": "4",
    "mode": "indoor_ride",
    "protocol_key": "four_by_four",
    "volume_minutes": "180",
    "day_0": "60",
    "day_2": "60",
    "day_4": "60",
    "day_5": "90",
    "step": "preview",
}


def _at(people, word):
    return f"/clients/{people.client.id}/plan/{word}"


def _in_base(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)


def _on_two(coach, people, weeks=20):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, Phase.INTERVAL_TWO, weeks=weeks)
        scene.give_days(db, people.client)


def _kept(coach, people):
    with coach.db() as db:
        return scene.planned_of(db, people.client)


def _keep(coach, address, wish, **changes):
    preview = coach.send(address, **wish)
    assert preview.status_code == 200
    return coach.send(address, **(form_of(preview, address) | {"step": "keep"} | changes))


def test_a_holiday_cuts_its_week_and_eases_the_next(coach, people):
    _in_base(coach, people)
    away = {"away_from_1": (NEXT_MONDAY + WEEK).isoformat(), "away_until_1": (NEXT_MONDAY + WEEK * 2).isoformat()}

    page = coach.send(_at(people, "base"), **BASE, **away, away_possible_1="nothing")

    assert "Away: Mon 7 Dec to Sun 13 Dec nothing." in words_of(page)
    assert "After 8 days off: no rise this week." in words_of(page)


def test_a_holiday_told_for_a_block_is_kept_as_agreed_leave_and_the_preview_says_so(coach, people):
    _in_base(coach, people)
    first, last = NEXT_MONDAY + WEEK, NEXT_MONDAY + WEEK * 2
    away = {"away_from_1": first.isoformat(), "away_until_1": last.isoformat(), "away_possible_1": "nothing"}
    said = "Keeping it agrees leave with Ilse Brandt: Mon 7 Dec to Mon 14 Dec."

    assert said in words_of(coach.send(_at(people, "base"), **BASE, **away))
    kept = _keep(coach, _at(people, "base"), BASE | away)

    assert kept.status_code == 303
    with coach.db() as db:
        leaves = clients.leaves(db, client_id=people.client.id)
        trail = [one.action for one in trail_of(db, client_id=people.client.id)]
    assert [(one.from_on, one.until_on) for one in leaves] == [(first, last)]
    assert "add_leave" in trail
    assert said not in words_of(coach.send(_at(people, "base"), **BASE, **away))


def test_agreed_leave_is_fitted_round_without_being_typed_again(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        days = {"from_on": NEXT_MONDAY, "until_on": NEXT_MONDAY + timedelta(days=3)}
        clients.add_leave(db, client_id=people.client.id, **days, reason="the sea")

    form = coach.get(_at(people, "base"))
    page = coach.send(_at(people, "base"), **BASE)

    assert "Agreed already, and fitted round: Mon 30 Nov to Thu 3 Dec: nothing" in words_of(form)
    assert "Mon 30 November 30 Sat 30 none Away: Mon 30 Nov to Thu 3 Dec nothing." in words_of(page)


def test_strength_and_a_swim_day_are_kept_beside_the_walks(coach, people):
    _in_base(coach, people)

    answer = _keep(coach, _at(people, "base"), BASE | {"strength_0": "yes", "mode_2": "swim"})

    assert answer.status_code == 303
    first = [one for one in _kept(coach, people) if one.planned_on < NEXT_MONDAY + WEEK]
    assert [(one.planned_on.weekday(), one.kind, one.mode) for one in first] == [
        (0, SessionKind.EASY, Mode.WALK),
        (0, SessionKind.STRENGTH, Mode.STRENGTH),
        (2, SessionKind.EASY, Mode.SWIM),
        (5, SessionKind.EASY, Mode.WALK),
    ]


def test_strength_on_a_day_too_short_is_offered_on_the_nearest_other_and_taken_with_a_click(coach, people):
    _in_base(coach, people)
    wish = BASE | {"day_0": "45", "strength_0": "yes"}

    looked = coach.send(_at(people, "base"), **wish)
    taken = coach.send(_at(people, "base"), **form_of(looked, _at(people, "base")), strength_instead="2")

    assert "Strength on Wednesday leaves time for an outing" in words_of(looked)
    assert 'name="strength_instead" value="2"' in looked.text
    form = form_of(taken, _at(people, "base"))
    assert ("strength_0" in form, form["strength_2"]) == (False, "yes")
    assert "leaves time for an outing" not in words_of(taken)


def test_strength_that_stands_there_is_not_doubled(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        strength = {"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH, "title": "Strength with Odd"}
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, **strength)

    _keep(coach, _at(people, "base"), BASE | {"strength_0": "yes"})

    on_monday = [one.title for one in _kept(coach, people) if one.planned_on == NEXT_MONDAY]
    assert sorted(on_monday) == ["Easy walk", "Strength with Odd"]


def test_the_preview_says_what_the_weeks_go_by_and_where_each_is_from(coach, people):
    _in_base(coach, people)

    text = words_of(coach.send(_at(people, "base"), **BASE))

    assert "What these weeks go by" in text
    assert "It rises by at most 15 min from one full week to the next." in text
    assert "A week adds at most a tenth or 15 min, whichever is more, and never over 20 min" in text
    assert text.count("Common practice, no published source.") >= 5
    assert "These weeks add no strength; twice a week is usual." in text


def test_the_weeks_say_that_balance_goes_with_strength_from_sixty_five(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        born = {"born_on": seed.TODAY - timedelta(days=68 * 366)}
        clients.change(db, client_id=people.client.id, revision=people.client.revision, values=born)

    without = words_of(coach.send(_at(people, "base"), **BASE))
    with_it = words_of(coach.send(_at(people, "base"), **(BASE | {"strength_1": "yes"})))

    assert "These weeks add no strength; twice a week with balance is usual." in without
    assert "Strength with balance stands beside the weekly time." in with_it


def test_a_first_week_of_one_outing_says_why_the_other_days_stay_free(coach, people):
    _in_base(coach, people)

    page = coach.send(_at(people, "base"), **(BASE | {"start_minutes": "30"}))

    assert "1 outing makes the 30 min, since one is hardly shorter than 20 min; the other days stay free" in words_of(
        page
    )


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"away_from_1": "2026-12-10", "away_until_1": "2026-12-08"}, "This is before the first day away."),
        ({"away_from_1": "2026-12-10"}, "Please fill this in."),
        ({"away_from_1": "2026-12-10", "away_until_1": "2029-12-10"}, "Within a year, please."),
        ({"away_from_1": "soon", "away_until_1": "2026-12-10"}, "soon"),
        ({"mode_2": "balloon"}, "Choose one of the answers."),
        (
            {"away_from_1": "2026-12-08", "away_until_1": "2026-12-10", "away_possible_1": "some"},
            "Choose one of the answers.",
        ),
    ],
)
def test_days_away_that_are_not_understood_are_said_beside_them(coach, people, typed, sentence):
    _in_base(coach, people)

    page = coach.send(_at(people, "base"), **(BASE | {"away_possible_1": "nothing"} | typed))

    assert page.status_code == 422
    assert sentence in page.text


def test_days_typed_for_a_client_without_any_become_the_real_week(coach, people):
    with coach.db(write=True) as db:
        scene.add_answers(db, people.client)
        seed.add_phase(db, client=people.client)
        clients.replace_available_days(db, client_id=people.client.id, days=[])
    assert form_of(coach.get(_at(people, "base")), _at(people, "base"))["keep_days"] == "yes"

    _keep(coach, _at(people, "base"), BASE | {"keep_days": "yes"})

    with coach.db() as db:
        days = clients.available_days(db, client_id=people.client.id)
        assert [(day.weekday, day.minutes) for day in days] == [(0, 60), (2, 60), (5, 120)]
        assert "set_real_week" in {entry.action for entry in trail_of(db, client_id=people.client.id)}


def test_a_real_week_that_is_recorded_is_not_written_over(coach, people):
    _in_base(coach, people)

    _keep(coach, _at(people, "base"), BASE | {"day_4": "45", "keep_days": "yes"})

    with coach.db() as db:
        assert [day.weekday for day in clients.available_days(db, client_id=people.client.id)] == [0, 2, 5]


def test_days_ticked_too_close_offer_the_nearest_plans(coach, people):
    _on_two(coach, people, weeks=2)

    page = coach.send(_at(people, "intervals"), **HARD, hard_0="yes", hard_2="yes")

    text = words_of(page)
    assert "Not everything wished for fits the rules." in text
    assert "Gives up: 4 of 8 hard sessions left out" in text
    assert "72 h are needed" in text
    assert form_of(page, _at(people, "intervals"))["choice"] == PlanKey.NEAREST


def test_the_plan_that_is_chosen_is_the_one_that_is_kept(coach, people):
    _on_two(coach, people, weeks=2)

    answer = _keep(
        coach, _at(people, "intervals"), HARD | {"hard_0": "yes", "hard_2": "yes"}, choice=PlanKey.TICKED_DAYS
    )

    assert answer.status_code == 303
    hard = [one.planned_on.weekday() for one in _kept(coach, people) if one.is_hard]
    assert hard == [0, 0, 0, 0]


def test_a_plan_that_meets_every_wish_offers_no_other(coach, people):
    _on_two(coach, people)

    page = coach.send(_at(people, "intervals"), **HARD, hard_0="yes", hard_4="yes")

    assert page.status_code == 200
    assert "Not everything wished for" not in words_of(page)


def test_a_hard_session_done_yesterday_keeps_the_first_days_free(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY - timedelta(days=1))

    page = coach.send(_at(people, "intervals"), **HARD, hard_0="yes", hard_5="yes")

    assert "Mon 30 November" in words_of(page)
    assert "Sat 4 rounds" in words_of(page).split("Mon 7 December")[0]


def test_a_race_in_the_block_counts_as_its_hard_session(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        scene.give_days(db, people.client)
        seed.add_planned_hard(
            db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=13), kind=SessionKind.RACE
        )

    _keep(coach, _at(people, "intervals"), HARD | {"hard_2": "yes"})

    hard = [one.planned_on for one in _kept(coach, people) if one.is_hard and one.kind is SessionKind.INTERVALS]
    assert [(day - NEXT_MONDAY).days // 7 for day in hard] == [0, 2, 3]


def test_a_block_written_over_another_counts_as_an_edit_of_its_weeks(coach, people):
    _in_base(coach, people)
    _keep(coach, _at(people, "base"), BASE | {"every": "2"})

    _keep(coach, _at(people, "base"), BASE | {"target_minutes": "100"}, replace="yes")

    with coach.db() as db:
        second = prescriptions.week(db, client_id=people.client.id, starts_on=NEXT_MONDAY + WEEK)
        assert (second.is_easier, second.target_minutes, second.revision) == (False, 100, 2)
        planned = prescriptions.newest_between(
            db, client_ids=[people.client.id], from_on=NEXT_MONDAY, until_on=NEXT_MONDAY + WEEK * 6
        )
        assert {(one.version, one.is_cancelled, one.reason) for one in planned} == {
            (1, False, None),
            (2, True, "Replaced by a new block."),
        }


def _first_block(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client, Phase.INTERVAL_ONE, weeks=1)
        scene.give_days(db, people.client)


def test_the_first_two_rounds_take_the_other_ticked_day_when_a_test_stays_on_theirs(coach, people):
    _first_block(coach, people)
    tuesday = NEXT_MONDAY + timedelta(days=1)
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=tuesday, kind=SessionKind.TEST, title="Standard loop")
    wish = HARD | {"day_1": "60", "hard_1": "yes", "hard_4": "yes", "introductory": "yes"}

    text = words_of(coach.send(_at(people, "intervals"), **wish))

    assert "Fri 2 rounds" in text
    assert "off gives way" not in text
    assert "first hard session:" not in text


def test_a_first_block_with_all_its_rounds_at_once_asks_for_a_reason(coach, people):
    _first_block(coach, people)

    text = words_of(coach.send(_at(people, "intervals"), **HARD, hard_4="yes"))

    assert "first hard session: 4 rounds; the practice begins with 2" in text


def test_drafts_that_never_went_out_are_no_rounds_done(coach, people):
    _first_block(coach, people)
    with coach.db(write=True) as db:
        seed.add_planned_hard(db, client=people.client, planned_on=NEXT_MONDAY, rounds=4, publish=False)

    form = form_of(coach.get(_at(people, "intervals")), _at(people, "intervals"))
    text = words_of(coach.send(_at(people, "intervals"), **HARD, hard_4="yes", introductory="yes"))

    assert form["introductory"] == "yes"
    assert "Fri 2 rounds" in text


def test_every_way_of_moving_has_a_name_of_its_own(coach, people):
    _first_block(coach, people)

    text = words_of(coach.get(_at(people, "intervals")))

    assert "machine session another way" in text
