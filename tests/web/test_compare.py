"""Planned beside done: the week session by session, and eight weeks."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.effort import Talk
from app.coaching.people import Origin
from app.coaching.phases import Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.session_logs import Answer, WhyNot
from app.storage import clients, practice, prescriptions
from tests import factories, seed
from tests import plan_scenes as scene
from tests.plan_scenes import THIS_MONDAY, words_of

LAST_MONDAY = THIS_MONDAY - timedelta(weeks=1)


def _on(days):
    return LAST_MONDAY + timedelta(days=days)


def _week(people, monday=LAST_MONDAY):
    return f"/clients/{people.client.id}/weeks?week={monday}"


def _eight(people, query=""):
    return f"/clients/{people.client.id}/weeks/eight{query}"


def _plan(db, people, days, **changes):
    return seed.add_planned(db, client=people.client, planned_on=_on(days), **changes)


def _log(db, people, days, **changes):
    entered = factories.at(_on(days), 20)
    return seed.add_log(db, client=people.client, done_on=_on(days), entered_at=entered, **changes)


def _block(db, people, *, starts_on, weeks):
    return prescriptions.add_block(
        db,
        client_id=people.client.id,
        phase=Phase.AEROBIC_BASE,
        aim="Three outings a week",
        starts_on=starts_on,
        weeks=weeks,
        is_introductory=False,
        wishes_json="{}",
        person_id=people.coach.id,
        at=factories.at(starts_on),
    )


def test_done_partly_missed_moved_and_extra_are_told_apart(coach, people):
    with coach.db(write=True) as db:
        ids = [_plan(db, people, days) for days in (0, 1, 2, 3)]
        _log(db, people, 0, planned_session_id=ids[0], minutes=45)
        _log(db, people, 1, planned_session_id=ids[1], minutes=20, answer=Answer.PARTLY)
        _log(
            db,
            people,
            2,
            planned_session_id=ids[2],
            minutes=None,
            effort=None,
            talk=None,
            answer=Answer.NOT_DONE,
            why_not=WhyNot.CARING,
        )
        _log(db, people, 4, planned_session_id=ids[3], minutes=45)
        _log(db, people, 5, planned_session_id=None, kind=SessionKind.MIDDLE, minutes=30)

    text = words_of(coach.get(_week(people)))

    assert "Mon 16 November Easy walk 45 min done 45 min" in text
    assert "Tue 17 November Easy walk 45 min partly 20 min" in text
    assert "Wed 18 November Easy walk 45 min missed Why not: caring." in text
    assert "Fri 20 November Easy walk 45 min moved from Thu 19 Nov 45 min" in text
    assert "Sat 21 November Middle effort, walk not planned extra 30 min" in text


def test_not_logged_is_never_shown_as_missed(coach, people):
    with coach.db(write=True) as db:
        _plan(db, people, 0)

    text = words_of(coach.get(_week(people)))

    assert "Easy walk 45 min not logged" in text
    assert "45 min: unknown, not missed" in text
    assert "45 min missed" not in text


def test_effort_and_rounds_are_compared(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        hard = seed.add_planned_hard(db, client=people.client, planned_on=_on(1))
        easy = _plan(db, people, 3)
        rounds = tuple(factories.work_round(number=n) for n in (1, 2, 3))
        _log(
            db,
            people,
            1,
            planned_session_id=hard,
            kind=SessionKind.INTERVALS,
            answer=Answer.PARTLY,
            minutes=50,
            rounds=rounds,
            effort=8,
            talk=Talk.FEW_WORDS,
        )
        _log(db, people, 3, planned_session_id=easy, minutes=45, effort=6, talk=Talk.FEW_WORDS)

    text = words_of(coach.get(_week(people)))

    assert "57 min, 4 rounds, hard partly 50 min; 3 full rounds; effort 8" in text
    assert "same effort as planned" in text
    assert "harder than planned" in text


def test_notes_origin_and_memory_are_said(coach, people):
    with coach.db(write=True) as db:
        session_id = _plan(db, people, 0)
        _log(
            db,
            people,
            0,
            planned_session_id=session_id,
            origin=Origin.TOLD_BY_PHONE,
            from_memory=True,
            note="Wind & <b>rain</b>",
        )

    page = coach.get(_week(people))

    assert "Told by phone. “Wind & <b>rain</b>”" in words_of(page).replace("Entered from memory. ", "")
    assert "<b>rain</b>" not in page.text


def test_paused_days_are_paused(coach, people):
    with coach.db(write=True) as db:
        _plan(db, people, 0)
        clients.add_leave(db, client_id=people.client.id, from_on=_on(0), until_on=_on(6), reason="Travel")

    text = words_of(coach.get(_week(people)))

    assert "Easy walk 45 min paused" in text
    assert "Away: 7 days on hold or leave." in text


def test_an_unknown_easy_share_says_so(coach, people):
    with coach.db(write=True) as db:
        _log(db, people, 0, planned_session_id=None, minutes=60, effort=None, talk=None)

    assert "not defined: effort unknown for 100 % of the minutes" in words_of(coach.get(_week(people)))


def test_strength_stands_apart(coach, people):
    with coach.db(write=True) as db:
        _plan(db, people, 0, kind=SessionKind.STRENGTH, title="Strength")

    text = words_of(coach.get(_week(people)))

    assert "0 done, 1 planned; apart from the weekly time" in text
    assert "Planned 0 min in 0 sessions" in text


def test_the_plan_that_stood_before_the_session_is_what_counts(coach, people):
    with coach.db(write=True) as db:
        session_id = _plan(db, people, 0)
        scene.add_draft(db, session_id, minutes=20)
        _log(db, people, 0, planned_session_id=session_id, minutes=45)

    assert "Easy walk 45 min done 45 min" in words_of(coach.get(_week(people)))


def test_an_empty_week_and_empty_weeks_say_what_will_stand_there(coach, people):
    assert "Nothing was planned and nothing entered in this week." in words_of(coach.get(_week(people)))
    assert "Nothing was planned and nothing entered in these weeks." in words_of(coach.get(_eight(people)))


def test_eight_weeks_say_which_were_held_and_why(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        seed.add_base_weeks(db, client=people.client, count=6, minutes=45)
        _plan(db, people, -42, minutes=60)

    page = coach.get(_eight(people))

    text = words_of(page)
    assert "1 h 56 a week on average; 6 of 7 weeks held" in text
    assert "Mon 9 November nothing 2 h 15 100 % 100 % 0 held nothing was planned here" in text
    assert "Mon 5 October 1 h unknown, 1 h not logged not defined: no minutes logged not known 0 unknown" in text
    assert 'class="chart"' in page.text


def test_earlier_weeks_can_be_asked_for(coach, people):
    assert "Mon 5 January" not in words_of(coach.get(_eight(people)))
    assert coach.get(_eight(people, "?week=2026-01-05")).status_code == 200


@pytest.mark.parametrize("week", ["0001-01-01", "9999-12-31"])
def test_a_week_out_of_reach_shows_this_week(coach, people, week):
    assert "this week" in words_of(coach.get(f"/clients/{people.client.id}/weeks?week={week}"))


@pytest.mark.parametrize("word", ["/weeks", "/weeks/eight", "/weeks/block"])
def test_a_stranger_finds_nothing(other_coach, people, word):
    assert other_coach.get(f"/clients/{people.client.id}{word}").status_code == 404


def test_a_stand_in_reads(stand_in, people):
    assert stand_in.get(f"/clients/{people.handed_client.id}/weeks").status_code == 200


def test_the_weeks_of_a_block_and_those_of_an_earlier_one(coach, people):
    with coach.db(write=True) as db:
        earlier = _block(db, people, starts_on=THIS_MONDAY - timedelta(weeks=8), weeks=4)
        _block(db, people, starts_on=THIS_MONDAY - timedelta(weeks=4), weeks=6)
        _log(db, people, 0, minutes=45)
        _log(db, people, 1, minutes=45, talk=None, effort=6.0)

    text = words_of(coach.get(f"/clients/{people.client.id}/weeks/block"))
    before = words_of(coach.get(f"/clients/{people.client.id}/weeks/block?block={earlier}"))

    assert "6 weeks from 26 October 2026" in text
    assert "Of 1 h 30 meant to be easy, 45 min were (50 % of those with an answer)." in text
    assert "4 weeks from 28 September 2026" in before
    assert coach.get(f"/clients/{people.client.id}/weeks/block?block=999").status_code == 404


def test_a_week_to_come_says_what_is_planned_and_nothing_of_what_was_done(coach, people):
    with coach.db(write=True) as db:
        _block(db, people, starts_on=THIS_MONDAY, weeks=3)
        _plan(db, people, 14, minutes=50)

    text = words_of(coach.get(f"/clients/{people.client.id}/weeks/block"))

    assert "Mon 30 November 50 min 0 planned ahead Mon 7 December nothing 0 planned ahead" in text


def test_when_a_week_is_held_is_said_with_the_practices_own_numbers(coach, people):
    with coach.db(write=True) as db:
        practice.change_setting(db, name="held_minutes", value=120.0, person_id=people.head.id, at=seed.NOW)
        _log(db, people, 0)

    text = words_of(coach.get(_eight(people)))

    assert "Held: at least 75 % of planned minutes, 3 days, 120 min (75 in an easier week)" in text


def test_without_a_block_the_page_says_what_will_stand_there(coach, people):
    assert "Nothing was planned and nothing entered in these weeks." in words_of(
        coach.get(f"/clients/{people.client.id}/weeks/block")
    )


def test_a_tie_between_two_entries_is_said(coach, people):
    with coach.db(write=True) as db:
        _plan(db, people, 0)
        _log(db, people, 0, minutes=45, planned_session_id=None)
        _log(db, people, 0, minutes=45, planned_session_id=None)

    assert "Another entry would have fitted as well; the earlier one was taken." in words_of(coach.get(_week(people)))
