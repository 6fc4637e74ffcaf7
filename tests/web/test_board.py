"""The week board: many clients' week typed in plain words, looked at, kept as drafts, never published by it."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import ClientState, Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.screening import YesNo
from app.coaching.session_steps import easy_steps
from app.coaching.steps import to_json
from app.coaching.weeks import day_words
from app.storage import clients, prescriptions
from app.storage.audit import trail_of
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of

ADDRESS = f"/plan/board?week={NEXT_MONDAY}"
TUESDAY = NEXT_MONDAY + timedelta(days=1)


def _field(client, on=TUESDAY):
    return f"c{client.id}_{on}"


def _typed(browser, changes, address=ADDRESS):
    """The board's form as it stands with some days typed."""
    return form_of(browser.get(address), address) | changes


def _look(browser, changes, address=ADDRESS):
    return browser.send(address, **_typed(browser, changes, address), step="preview")


def _keep(browser, changes, address=ADDRESS):
    preview = _look(browser, changes, address)
    return browser.send(address, **form_of(preview, address), step="keep")


def _going(browser, client):
    with browser.db() as db:
        return scene.planned_of(db, client)


def _in_base(browser, people):
    with browser.db(write=True) as db:
        scene.in_base(db, people.client)


def test_typed_words_are_understood_before_anything_is_kept(coach, people):
    _in_base(coach, people)

    page = _look(coach, {_field(people.client): "45 easy walk; strength 20"})

    assert page.status_code == 200
    assert "rest becomes Easy walk, 45 min; Strength and balance, 20 min" in words_of(page)
    assert _going(coach, people.client) == []


def test_what_was_looked_at_is_kept_as_drafts_with_a_trace(coach, people):
    _in_base(coach, people)

    answer = _keep(coach, {_field(people.client): "45 easy walk"})

    kept = _going(coach, people.client)
    with coach.db() as db:
        trail = trail_of(db, client_id=people.client.id)
    assert answer.status_code == 303
    assert [(one.planned_on, one.title, one.published_at) for one in kept] == [(TUESDAY, "Easy walk", None)]
    assert [(one.action, one.subject_id) for one in trail[:1]] == [("added", kept[0].id)]


def test_words_changed_after_the_look_are_shown_again_and_not_kept(coach, people):
    _in_base(coach, people)
    looked = form_of(_look(coach, {_field(people.client): "45 easy walk"}), ADDRESS)

    answer = coach.send(ADDRESS, **(looked | {_field(people.client): "60 easy walk"}), step="keep")

    assert answer.status_code == 422
    assert "The words are other than those you looked at" in words_of(answer)
    assert _going(coach, people.client) == []


def test_a_word_that_is_not_known_is_named_beside_its_day_and_the_rest_is_still_understood(coach, people):
    _in_base(coach, people)

    page = _look(coach, {_field(people.client): "45 esay walk", _field(people.client, NEXT_MONDAY): "30 easy walk"})

    assert page.status_code == 422
    assert f"{people.client.name}, {day_words(TUESDAY)}: “esay” is not a word known here" in words_of(page)
    assert "Easy walk, 30 min" in words_of(page)
    assert ">45 esay walk</textarea>" in page.text.replace("\n", "")
    assert "Keep as drafts" not in words_of(page)


def test_a_changed_day_becomes_the_next_version_and_the_client_still_sees_the_one_before(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        steps = to_json(easy_steps(45, Mode.WALK))
        session_id = seed.add_planned(db, client=people.client, planned_on=TUESDAY, steps_json=steps)
    text = form_of(coach.get(ADDRESS), ADDRESS)[_field(people.client)]

    _keep(coach, {_field(people.client): "50 easy walk"})

    with coach.db() as db:
        versions = prescriptions.versions(db, planned_session_id=session_id)
    assert text == "45 easy walk"
    assert [(one.minutes, one.published_at is not None) for one in versions] == [(45, True), (50, False)]


def test_a_day_the_board_wrote_reads_as_its_words_and_rest_takes_it_away(coach, people):
    _in_base(coach, people)
    _keep(coach, {_field(people.client): "45 easy walk"})

    text = form_of(coach.get(ADDRESS), ADDRESS)[_field(people.client)]
    _keep(coach, {_field(people.client): "rest"})

    assert text == "45 easy walk"
    assert _going(coach, people.client) == []


def test_a_changed_typed_day_keeps_the_identity_and_the_version_before(coach, people):
    _in_base(coach, people)
    _keep(coach, {_field(people.client): "45 easy walk; strength 20"})
    before = {one.kind: one.id for one in _going(coach, people.client)}

    _keep(coach, {_field(people.client): "1:10 easy ride; strength 20"})

    after = {one.kind: one for one in _going(coach, people.client)}
    assert {kind: one.id for kind, one in after.items()} == before
    assert (after[SessionKind.EASY].minutes, after[SessionKind.EASY].version) == (70, 2)
    assert after[SessionKind.STRENGTH].version == 1


def test_an_emptied_field_asks_for_rest_and_takes_nothing_away(coach, people):
    _in_base(coach, people)
    _keep(coach, {_field(people.client): "45 easy walk"})

    page = _look(coach, {_field(people.client): ""})

    assert page.status_code == 422
    assert "write rest" in words_of(page)


def test_somebody_elses_change_meanwhile_is_not_overwritten(coach, people):
    _in_base(coach, people)
    _keep(coach, {_field(people.client): "45 easy walk"})
    form = _typed(coach, {_field(people.client): "60 easy walk"})
    _keep(coach, {_field(people.client): "30 easy walk"})

    answer = coach.send(ADDRESS, **form, step="preview")

    assert answer.status_code == 409
    assert "changed while you typed" in words_of(answer)
    assert "45 easy walk 30 easy walk 60 easy walk" in words_of(answer)
    assert [one.minutes for one in _going(coach, people.client)] == [30]


def test_what_was_typed_is_kept_on_top_of_somebody_elses_change(coach, people):
    _in_base(coach, people)
    _keep(coach, {_field(people.client): "45 easy walk"})
    form = _typed(coach, {_field(people.client): "60 easy walk"})
    _keep(coach, {_field(people.client): "30 easy walk"})

    stale = coach.send(ADDRESS, **form, step="preview")
    looked_at = coach.send(ADDRESS, **form_of(stale, ADDRESS), step="preview")
    coach.send(ADDRESS, **form_of(looked_at, ADDRESS), step="keep")

    assert [one.minutes for one in _going(coach, people.client)] == [60]


def test_hard_work_is_refused_while_it_is_paused_and_easy_work_is_understood(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)
        seed.add_hold(db, client=people.client, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)

    page = _look(
        coach,
        {_field(people.client): "2 x 4 min hard, 4 easy, walk", _field(people.client, NEXT_MONDAY): "60 middle walk"},
    )
    easy = _look(coach, {_field(people.client): "45 easy walk"})

    assert page.status_code == 422
    assert words_of(page).count("No hard or middle work for Ilse Brandt now.") >= 2
    assert "Hard work is paused" in words_of(page)
    assert easy.status_code == 200


def test_a_hold_on_running_names_running_and_each_reason_begins_a_sentence(coach, people):
    with coach.db(write=True) as db:
        seed.add_phase(db, client=people.client)
        seed.add_answers(db, client=people.client, active=YesNo.YES, disease=YesNo.YES, symptoms=YesNo.NO)
        seed.add_hold(
            db, client=people.client, kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN, cause="Calf"
        )

    words = words_of(coach.get(ADDRESS))

    assert "Running and hard work are paused: an injury or new pain (Calf)." in words
    assert "Lifted by the coach, after a talk and a pain-free easy session. The screening asks for something" in words


def test_the_look_ahead_stands_beside_the_row_before_it_is_kept(coach, people):
    with coach.db(write=True) as db:
        scene.may_do_hard_work(db, people.client)

    page = _look(
        coach,
        {
            _field(people.client, NEXT_MONDAY): "2 x 4 min hard, 4 easy, walk",
            _field(people.client): "2 x 4 min hard, 4 easy, walk",
        },
    )

    assert page.status_code == 200
    assert "Asks for a reason" in words_of(page) or "Not published" in words_of(page)


def test_a_session_words_cannot_say_stands_as_it_is(coach, people):
    _in_base(coach, people)
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=TUESDAY, title="Round the lake with Jo")

    _keep(coach, {_field(people.client): "strength 20"})

    assert [one.title for one in _going(coach, people.client)] == ["Round the lake with Jo", "Strength and balance"]


def test_days_that_are_over_and_entered_sessions_have_no_field(coach, people):
    this_week = f"/plan/board?week={scene.THIS_MONDAY}"
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=seed.TODAY)
        seed.add_log(db, client=people.client, planned_session_id=session_id)

    form = form_of(coach.get(this_week), this_week)
    forged = coach.send(this_week, **(form | {_field(people.client, seed.TODAY): "rest"}), step="preview")

    assert _field(people.client, scene.THIS_MONDAY) not in form
    assert _field(people.client, seed.TODAY) not in form
    assert forged.status_code == 422
    assert "done" in words_of(coach.get(this_week))


@pytest.mark.parametrize(("days", "monday"), [(2, scene.THIS_MONDAY), (3, NEXT_MONDAY)])
def test_from_saturday_on_the_board_opens_on_the_coming_week_and_leads_to_this_one(coach, clock, days, monday):
    clock.move(days=days)
    coach.send("/sign-in", email="jonah@birchway.example", password=seed.PASSWORD)

    page = coach.get("/plan/board?q=Ilse").text

    assert f'name="week" value="{monday}"' in page
    assert f'href="/plan/board?week={scene.THIS_MONDAY}&amp;q=Ilse">This week' in page


def test_a_board_nobody_fits_leads_back_to_everybody(coach):
    page = coach.get(f"{ADDRESS}&q=nobody")

    assert "Nobody fits; try fewer words, or show everybody" in words_of(page)
    assert f'href="{ADDRESS}">show everybody' in page.text


def test_a_coach_sees_only_own_clients_and_cannot_type_for_others(coach, people):
    page = coach.get(ADDRESS)

    coach.send(ADDRESS, **{_field(people.other_client): "45 easy walk"}, step="preview")

    assert "Ilse Brandt" in words_of(page)
    assert "Ruben Castor" not in words_of(page)
    assert _going(coach, people.other_client) == []


def test_a_stand_in_reads_the_board_and_has_no_fields(stand_in, people):
    page = stand_in.get(ADDRESS)

    assert "Hanne Weidel" in words_of(page)
    assert "<textarea" not in page.text


def test_the_head_coach_chooses_by_coach_phase_and_name(head, people):
    with head.db(write=True) as db:
        scene.in_base(db, people.client)
        clients.set_state(db, client_id=people.other_client.id, state=ClientState.LEFT)

    every = words_of(head.get(ADDRESS))
    by_coach = words_of(head.get(f"{ADDRESS}&coach={people.coach.id}"))
    by_phase = words_of(head.get(f"{ADDRESS}&phase=aerobic_base"))
    nobody = words_of(head.get(f"{ADDRESS}&q=nobody"))

    assert "Ilse Brandt" in every
    assert "Hanne Weidel" in every
    assert "Ruben Castor" not in every
    assert "Hanne Weidel" not in by_coach
    assert "Hanne Weidel" not in by_phase
    assert "Nobody fits" in nobody


@pytest.mark.parametrize(
    "words", ["45 easy walk flat out", "45 easy walk max effort", "4 x 4 min easy, 4 easy, walk"]
)
def test_hard_words_typed_for_an_easy_day_are_not_kept(coach, people, words):
    _in_base(coach, people)

    page = _look(coach, {_field(people.client): words})

    assert page.status_code == 422
    assert _going(coach, people.client) == []
