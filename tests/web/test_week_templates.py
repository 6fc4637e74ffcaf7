"""Weeks kept as templates, and weeks laid onto the days of one client or several, looked at first."""

from __future__ import annotations

from datetime import timedelta

from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_steps import easy_steps
from app.coaching.steps import Part, Step, flatten, from_json, to_json
from app.storage import week_templates
from app.storage.audit import trail_of_practice
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY, form_of, words_of

IN_TWO_WEEKS = NEXT_MONDAY + timedelta(weeks=1)


def _planned(browser, client, *days, **changes):
    with browser.db(write=True) as db:
        for day in days:
            seed.add_planned(db, client=client, planned_on=NEXT_MONDAY + timedelta(days=day), **changes)


def _keep_template(browser, client, name="Three walks"):
    return browser.send("/plan/templates", client_id=client.id, week=NEXT_MONDAY, name=name)


def _lay(browser, address, step="preview", **form):
    return browser.send(address, **({"to_week": IN_TWO_WEEKS, "there": "empty_days"} | form), step=step)


def _keep_laid(browser, address, **form):
    looked = _lay(browser, address, **form)
    return browser.send(address, **_form(looked, address), step="keep")


def _form(page, address):
    return form_of(page, address.replace("&", "&amp;"))


def _from(client):
    return f"/plan/lay?client={client.id}&week={NEXT_MONDAY}"


def _titles(browser, client, monday=IN_TWO_WEEKS):
    with browser.db() as db:
        going = scene.planned_of(db, client)
    return [
        (one.planned_on.weekday(), one.title, one.published_at is not None)
        for one in going
        if monday <= one.planned_on < monday + timedelta(weeks=1)
    ]


def test_a_week_is_kept_named_anew_and_taken_away(coach, people):
    _planned(coach, people.client, 0, 2)

    kept = _keep_template(coach, people.client)
    where = kept.headers["location"]
    renamed = coach.send(where, name="Two walks")
    shown = words_of(coach.get("/plan/templates"))
    gone = coach.send(f"{where}/remove")

    assert (kept.status_code, renamed.status_code, gone.status_code) == (303, 303, 303)
    assert "Two walks" in shown
    with coach.db() as db:
        assert week_templates.every(db) == []
        actions = [one.action for one in trail_of_practice(db) if one.subject == "week template"]
    assert actions == ["removed", "renamed", "kept"]


def test_an_empty_week_and_a_taken_name_are_refused_beside_the_field(coach, people):
    empty = _keep_template(coach, people.client)
    _planned(coach, people.client, 0)
    _keep_template(coach, people.client)

    twice = _keep_template(coach, people.client, name="THREE walks")

    assert (empty.status_code, twice.status_code) == (422, 422)
    assert "Nothing is planned in this week" in words_of(empty)
    assert "A template is called THREE walks already" in words_of(twice)


def test_a_template_takes_no_place_and_no_heart_rate_along(coach, people):
    steps = to_json((Step(Part.MAIN, 1800, easy_steps(30, Mode.WALK)[1].band, "Stay at 112 beats a minute."),))
    _planned(coach, people.client, 0, place="Her mother's garden", steps_json=steps)

    _keep_template(coach, people.client)

    with coach.db() as db:
        [session] = week_templates.sessions_of(db, week_template_ids=[1])
    assert "112" not in session.steps_json
    assert not session.is_uphill


def test_a_template_is_laid_onto_days_that_hold_nothing_as_drafts(coach, people):
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        template_id = seed.add_template(db, client=people.client)
        seed.add_planned(db, client=people.client, planned_on=IN_TWO_WEEKS, title="Already here")
    address = f"/plan/lay?template={template_id}"
    ticked = {f"k{people.client.id}": "yes"}

    looked = words_of(_lay(coach, address, **ticked))
    answer = _keep_laid(coach, address, **ticked)

    assert "Mon 7 Dec, Easy walk: the day holds something already." in looked
    assert answer.status_code == 303
    assert _titles(coach, people.client) == [
        (0, "Already here", True),
        (2, "Easy walk", False),
        (4, "Easy walk", False),
    ]


def test_a_week_in_place_of_another_takes_it_away_with_a_draft_only(coach, people):
    _planned(coach, people.client, 1)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        there = seed.add_planned(db, client=people.client, planned_on=IN_TWO_WEEKS, title="Already here")

    _keep_laid(coach, _from(people.client), there="replace", **{f"k{people.client.id}": "yes"})

    with coach.db() as db:
        versions = scene.versions(db, there)
    assert _titles(coach, people.client) == [(1, "Easy walk", False)]
    assert [(one.is_cancelled, one.published_at is None) for one in versions] == [(False, False), (True, True)]


def test_hard_work_is_not_laid_onto_somebody_who_is_paused_and_is_written_anew_for_the_others(head, people):
    with head.db(write=True) as db:
        for client in (people.client, people.other_client, people.handed_client):
            scene.may_do_hard_work(db, client)
        seed.add_hold(db, client=people.other_client, kind=HoldKind.STOPPED_EARLY, stops=Stops.HARD)
    board = f"/plan/board?week={NEXT_MONDAY}"
    typed = form_of(head.get(board), board) | {f"c{people.client.id}_{NEXT_MONDAY}": "2 x 4 min hard, 4 easy, walk"}
    head.send(board, **form_of(head.send(board, **typed, step="preview"), board), step="keep")
    ticked = {f"k{one.id}": "yes" for one in (people.other_client, people.handed_client)}

    looked = words_of(_lay(head, _from(people.client), **ticked))
    _keep_laid(head, _from(people.client), **ticked)

    left_out = "Left out: Mon 7 Dec, 2 × 4 min, introductory: No hard or middle work for "
    assert left_out in looked
    assert "your coach" not in looked
    assert _titles(head, people.other_client) == []
    assert _titles(head, people.handed_client) == [(0, "2 × 4 min, introductory", False)]


def test_a_week_laid_onto_somebody_who_moves_otherwise_says_so_before_it_is_kept(head, people):
    runs = to_json(easy_steps(45, Mode.RUN))
    _planned(head, people.client, 0, 2, title="Easy run", mode=Mode.RUN, steps_json=runs)
    with head.db(write=True) as db:
        scene.in_base(db, people.other_client)
        seed.add_log(db, client=people.other_client, mode=Mode.SWIM)

    looked = words_of(_lay(head, _from(people.client), **{f"k{people.other_client.id}": "yes"}))

    assert (
        "2 sessions (Mon 7 Dec, Wed 9 Dec): a run, and none stands in their last 12 weeks or plan (swim)." in looked
    )


def test_a_race_stays_and_nothing_is_laid_onto_its_day(coach, people):
    _planned(coach, people.client, 0, 2)
    _planned(coach, people.client, 7, kind=SessionKind.RACE, title="Harbour race")
    where = {f"k{people.client.id}": "yes", "there": "replace"}

    looked = words_of(_lay(coach, _from(people.client), **where))
    _keep_laid(coach, _from(people.client), **where)

    assert "Mon 7 Dec, Easy walk: Harbour race stays on that day." in looked
    assert [title for _day, title, _published in _titles(coach, people.client)] == ["Harbour race", "Easy walk"]


def test_no_ones_own_heart_rate_reaches_another_client(head, people):
    steps = to_json((Step(Part.MAIN, 2700, easy_steps(45, Mode.WALK)[1].band, "Stay at 112 beats a minute."),))
    _planned(head, people.client, 0, steps_json=steps, place="Her garden")

    _keep_laid(head, _from(people.client), **{f"k{people.other_client.id}": "yes"})

    with head.db() as db:
        [copied] = scene.planned_of(db, people.other_client)
    assert copied.place is None
    assert [step.say for step in flatten(from_json(copied.steps_json))] == ["Easy enough to chat in whole sentences."]


def test_a_single_session_copied_to_another_client_leaves_place_and_heart_rate_behind(head, people):
    steps = to_json((Step(Part.MAIN, 2700, easy_steps(45, Mode.WALK)[1].band, "Stay at 112 beats a minute."),))
    with head.db(write=True) as db:
        session_id = seed.add_planned(
            db, client=people.client, planned_on=NEXT_MONDAY, steps_json=steps, place="Her garden"
        )

    head.send(f"/plan/sessions/{session_id}/copy", to_on=IN_TWO_WEEKS, to_client_id=people.other_client.id)
    head.send(f"/plan/sessions/{session_id}/copy", to_on=IN_TWO_WEEKS, to_client_id=people.client.id)

    with head.db() as db:
        [theirs] = scene.planned_of(db, people.other_client)
        own = scene.planned_of(db, people.client)[-1]
    assert (theirs.place, own.place) == (None, "Her garden")
    assert "112" not in theirs.steps_json
    assert "112" in own.steps_json


def test_a_plan_that_changed_after_the_look_is_not_laid_onto(coach, people):
    _planned(coach, people.client, 1)
    looked = _form(_lay(coach, _from(people.client), **{f"k{people.client.id}": "yes"}), _from(people.client))
    with coach.db(write=True) as db:
        seed.add_planned(db, client=people.client, planned_on=IN_TWO_WEEKS + timedelta(days=1))

    answer = coach.send(_from(people.client), **looked, step="keep")

    assert answer.status_code == 409
    assert len(_titles(coach, people.client)) == 1


def test_nobody_ticked_or_a_week_that_is_over_is_said(coach, people):
    _planned(coach, people.client, 1)

    nobody = _lay(coach, _from(people.client))
    over = _lay(coach, _from(people.client), to_week=scene.THIS_MONDAY - timedelta(days=1))

    assert (nobody.status_code, over.status_code) == (422, 422)
    assert "Tick at least one client." in words_of(nobody)
    assert "That week is over." in words_of(over)


def test_others_clients_are_no_source_and_no_target(coach, people):
    _planned(coach, people.client, 1)

    source = coach.get(_from(people.other_client))
    _keep_laid(coach, _from(people.client), **{f"k{people.client.id}": "yes", f"k{people.other_client.id}": "yes"})

    assert source.status_code == 404
    assert _titles(coach, people.other_client) == []
    assert len(_titles(coach, people.client)) == 1


def test_a_stand_in_reads_templates_and_lays_none(stand_in, people):
    with stand_in.db(write=True) as db:
        template_id = seed.add_template(db, client=people.client)

    assert stand_in.get("/plan/templates").status_code == 200
    assert "Take the template away" not in words_of(stand_in.get(f"/plan/templates/{template_id}"))
    assert stand_in.get("/plan/lay").status_code == 403
    assert stand_in.send(f"/plan/templates/{template_id}/remove").status_code == 403


def test_a_template_with_hard_words_in_an_easy_session_asks_once_it_is_laid(coach, people):
    _planned(coach, people.client, 0, title="Hill walk", purpose="Sprint to every lamp post.")
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
    where = _keep_template(coach, people.client).headers["location"]
    address = f"/plan/lay?template={where.rsplit('/', 1)[1]}"

    looked = words_of(_lay(coach, address, **{f"k{people.client.id}": "yes"}))
    _keep_laid(coach, address, **{f"k{people.client.id}": "yes"})
    waiting = words_of(coach.get(f"/plan/publish-many?week={IN_TWO_WEEKS}&weeks=1"))

    asked = 'Hill walk on Mon 7 Dec is planned as easy and sounds hard: "Sprint".'
    assert asked in looked
    assert asked in waiting
    assert "asks for a reason" in waiting
