"""Publishing for many finds what publishing for one finds, and undo never brings back what may not go out now."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.holds import HoldKind, Stops
from app.coaching.plan_sending import TODAY_CHANGED
from app.coaching.rules import Rules
from app.coaching.target_eased import by_entries_alone
from app.storage import prescriptions
from app.usecases import plan_publishing
from app.usecases.plan_many.sending import look_at_many, publish_many
from app.usecases.plan_many.undoing import open_undo, sent_today, undo
from tests import plan_scenes as scene
from tests import seed
from tests.plan_scenes import NEXT_MONDAY

RULES = Rules()


def _nothing(db, client):
    scene.may_do_hard_work(db, client)


def _hold(db, client):
    scene.may_do_hard_work(db, client)
    seed.add_hold(db, client=client, kind=HoldKind.COACH, stops=Stops.HARD)


def _never_asked(db, client):
    seed.add_phase(db, client=client)


def _in_base(db, client):
    scene.in_base(db, client)


SCENES = pytest.mark.parametrize("made", [_nothing, _hold, _never_asked, _in_base], ids=lambda one: one.__name__)


@SCENES
def test_many_are_held_to_what_one_is_held_to(coach, people, made):
    with coach.db(write=True) as db:
        made(db, people.client)
        for days in (0, 1, 3):
            seed.add_planned_hard(
                db, client=people.client, publish=False, planned_on=NEXT_MONDAY + timedelta(days=days)
            )
        seed.add_planned(db, client=people.client, publish=False, planned_on=NEXT_MONDAY + timedelta(days=5))
        seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY + timedelta(days=6))
        actor = scene.actor_of(people.coach)

        [many] = look_at_many(
            db, actor=actor, monday=NEXT_MONDAY, weeks=1, judge=by_entries_alone, rules=RULES, now=seed.NOW
        )
        one = plan_publishing.look_at(
            db,
            actor=actor,
            client_id=people.client.id,
            mondays=[NEXT_MONDAY],
            leave_out=[],
            judge=by_entries_alone,
            rules=RULES,
            now=seed.NOW,
        )

    assert many.found == one.found
    assert many.entries == one.entries
    assert many.standing_on == one.standing_on == {NEXT_MONDAY + timedelta(days=6)}
    assert (many.is_refused, many.asks_reason) == (one.is_refused, one.asks_reason)


@pytest.mark.parametrize(
    ("own", "told"), [(None, TODAY_CHANGED), ("Replaced by a new block.", "Replaced by a new block.")]
)
def test_undo_of_todays_change_brings_the_easier_session_of_the_morning_back(coach, people, own, told):
    later = seed.NOW + timedelta(minutes=5)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=seed.TODAY, minutes=30)
        scene.add_draft(db, session_id, minutes=45, reason=own)
        actor = scene.actor_of(people.coach)
        rows = look_at_many(
            db, actor=actor, monday=scene.THIS_MONDAY, weeks=1, judge=by_entries_alone, rules=RULES, now=seed.NOW
        )
        seen = {row.client.id: row.seen for row in rows}
        publish_many(db, actor=actor, rows=rows, seen=seen, reason="Feels fresh.", is_said=False, now=seed.NOW)

        [sent] = sent_today(db, actor=actor, zone=seed.ZONE, now=later)
        undoing = open_undo(db, actor=actor, sent_id=sent.id, zone=seed.ZONE, rules=RULES, now=later)
        undo(db, actor=actor, undoing=undoing, seen=undoing.seen, now=later)

        versions = prescriptions.versions(db, planned_session_id=session_id)

    assert [(one.version, one.minutes, one.published_at is not None) for one in versions] == [
        (1, 30, True),
        (2, 45, False),
        (3, 45, True),
        (4, 30, True),
        (5, 45, False),
    ]
    assert (versions[2].reason, versions[4].reason) == (told, own)


def test_undo_leaves_what_may_not_go_out_any_more(coach, people):
    later = seed.NOW + timedelta(minutes=5)
    with coach.db(write=True) as db:
        scene.in_base(db, people.client)
        session_id = seed.add_planned(db, client=people.client, planned_on=NEXT_MONDAY, minutes=30)
        scene.add_draft(db, session_id, minutes=45)
        actor = scene.actor_of(people.coach)
        rows = look_at_many(
            db, actor=actor, monday=NEXT_MONDAY, weeks=1, judge=by_entries_alone, rules=RULES, now=seed.NOW
        )
        seen = {row.client.id: row.seen for row in rows}
        publish_many(db, actor=actor, rows=rows, seen=seen, reason=None, is_said=False, now=seed.NOW)
        seed.add_hold(db, client=people.client, kind=HoldKind.SYMPTOM, stops=Stops.ALL)

        [sent] = sent_today(db, actor=actor, zone=seed.ZONE, now=later)
        undoing = open_undo(db, actor=actor, sent_id=sent.id, zone=seed.ZONE, rules=RULES, now=later)

    assert undoing.changes == ()
    assert "may not go out now" in undoing.rows[0].sessions[0].left_because
