"""A kept recording's rounds reach every rule through the history, and never the entry that somebody typed."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from sqlalchemy import update

from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rounds_values import RoundEdges
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SessionLog
from app.storage import history, prescriptions, session_logs
from app.storage.tables.recordings import RecordingRow
from app.storage.tables.training import SessionLogRow
from app.usecases.measured import keep_figure
from app.usecases.recordings import keeping, rounds_again
from app.usecases.recordings.looking import planned_of
from app.usecases.session_logs import LogEntry, correct
from app.web import background
from tests import factories, seed
from tests.coaching.test_easy_session import HIGHEST
from tests.conftest import Browser
from tests.plan_scenes import actor_of
from tests.seed import NOW, People
from tests.tracks import rounds_gpx
from tests.web.apart import finished
from tests.web.test_recording import STARTED, add_log, at, keep


def seen_by_rules(browser: Browser, people: People) -> SessionLog:
    with browser.db() as db:
        day = STARTED.date()
        return history.load(db, client_ids=[people.client.id], from_on=day, until_on=day)[0].logs[0]


def typed(browser: Browser, log_id: int) -> SessionLog:
    with browser.db() as db:
        log = session_logs.one(db, log_id=log_id)
        assert log is not None
        return log


def test_rounds_of_a_recording_count_until_it_is_taken_away(coach: Browser, people: People) -> None:
    log_id = add_log(coach, people, mode=Mode.INDOOR_RIDE)
    keep(coach, at(people, log_id))

    assert [(one.duration_s, round(one.power_w or 0)) for one in seen_by_rules(coach, people).rounds] == [
        (240, 242)
    ] * 4
    assert typed(coach, log_id).rounds == ()

    coach.send(f"{at(people, log_id)}/away")

    assert seen_by_rules(coach, people).rounds == ()


def test_edges_set_by_hand_change_what_the_rules_see(coach: Browser, people: People) -> None:
    log_id = add_log(coach, people, mode=Mode.INDOOR_RIDE)
    keep(coach, at(people, log_id))

    with coach.db(write=True) as db:
        edges = (RoundEdges(600, 780), RoundEdges(1080, 1320))
        keeping.set_edges(db, actor=actor_of(people.coach), log_id=log_id, edges=edges, now=NOW)

    assert [one.duration_s for one in seen_by_rules(coach, people).rounds] == [180, 240]

    with coach.db(write=True) as db:
        keeping.set_edges(db, actor=actor_of(people.coach), log_id=log_id, edges=None, now=NOW)

    assert len(seen_by_rules(coach, people).rounds) == 4


@pytest.mark.parametrize(("mode", "is_again"), [(Mode.ROW, True), (Mode.INDOOR_RIDE, False)])
def test_rounds_are_read_again_once_the_entry_says_another_way_of_moving(
    coach: Browser, people: People, mode: Mode, is_again: bool
) -> None:
    log_id = add_log(coach, people, mode=Mode.INDOOR_RIDE, answer=Answer.SOMETHING_ELSE, planned_session_id=None)
    keep(coach, at(people, log_id))
    said = LogEntry(STARTED.date(), Answer.SOMETHING_ELSE, kind=SessionKind.INTERVALS, mode=mode, minutes=42)
    with coach.db(write=True) as db:
        db.execute(update(RecordingRow).values(rounds_json=None))
        correct(db, actor=actor_of(people.coach), log_id=log_id, entry=said, revision=1, now=NOW)

    finished(background.read_rounds(coach.house))

    assert len(seen_by_rules(coach, people).rounds) == (4 if is_again else 0)


def test_a_recording_kept_before_rounds_were_read_gets_them_by_itself_and_once(
    coach: Browser, people: People
) -> None:
    log_id = add_log(coach, people, mode=Mode.INDOOR_RIDE)
    keep(coach, at(people, log_id))
    with coach.db(write=True) as db:
        db.execute(update(RecordingRow).values(rounds_json=None, rounds_version=None))
    assert seen_by_rules(coach, people).rounds == ()

    finished(background.read_rounds(coach.house))

    assert len(seen_by_rules(coach, people).rounds) == 4
    with coach.db() as db:
        assert rounds_again.unread(db) == ()


def test_what_was_read_is_dropped_when_the_entry_changed_meanwhile(coach: Browser, people: People) -> None:
    log_id = add_log(coach, people, mode=Mode.INDOOR_RIDE)
    keep(coach, at(people, log_id))
    with coach.db(write=True) as db:
        db.execute(update(RecordingRow).values(rounds_json=None, rounds_version=None))
        (recording_id,) = rounds_again.unread(db)
        read = rounds_again.find(db, recording_id=recording_id)
        assert read is not None
        db.execute(update(SessionLogRow).values(revision=2))
        rounds_again.keep(db, read, now=NOW)

        assert rounds_again.unread(db) == (recording_id,)


def test_a_recording_nobody_can_read_holds_up_no_other(coach: Browser, people: People) -> None:
    first, second = (add_log(coach, people, mode=Mode.INDOOR_RIDE) for _ in range(2))
    keep(coach, at(people, first))
    keep(coach, at(people, second), rounds_gpx(work_s=180))
    with coach.db(write=True) as db:
        db.execute(update(RecordingRow).values(rounds_json=None, rounds_version=None))
        broken = {"series": b"broken", "series_bytes": 6}
        db.execute(update(RecordingRow).where(RecordingRow.session_log_id == second).values(broken))

    finished(background.read_rounds(coach.house))

    assert len(seen_by_rules(coach, people).rounds) == 4


def test_a_silent_easy_session_tells_what_its_heart_says_once_a_maximum_is_measured(
    coach: Browser, people: People
) -> None:
    silent = {"mode": Mode.INDOOR_RIDE, "kind": SessionKind.EASY, "talk": None, "effort": None}
    log_id = add_log(coach, people, **silent)
    keep(coach, at(people, log_id))
    day = STARTED.date()

    def above() -> tuple[tuple[int, float], ...]:
        finished(background.read_rounds(coach.house))
        with coach.db() as db:
            return history.load(db, client_ids=[people.client.id], from_on=day, until_on=day)[0].above_easy

    assert above() == ()

    figure = replace(HIGHEST, client_id=people.client.id, measured_on=day)
    with coach.db(write=True) as db:
        keep_figure(db, actor=actor_of(people.coach), figure=figure, rules=Rules(), now=NOW)

    # Four rounds of 4 min at 160, above 138.6 but for the time a mean of 30 s takes to get there.
    assert [(log, round(minutes)) for log, minutes in above()] == [(log_id, 16)]


def test_a_plan_published_after_the_entry_is_never_laid_over_its_recording(coach: Browser, people: People) -> None:
    day = STARTED.date()
    with coach.db(write=True) as db:
        before = factories.planned_hard(mode=Mode.INDOOR_RIDE, planned_on=day, created_at=STARTED - timedelta(days=3))
        planned_id = seed.add_planned_hard(
            db, client=people.client, mode=Mode.INDOOR_RIDE, planned_on=day, created_at=before.created_at
        )
    given = {"mode": Mode.INDOOR_RIDE, "kind": SessionKind.INTERVALS, "planned_session_id": planned_id}
    log_id = add_log(coach, people, entered_at=STARTED + timedelta(hours=2), **given)
    with coach.db(write=True) as db:
        prescriptions.add_version(
            db,
            planned_session_id=planned_id,
            client_id=people.client.id,
            draft=prescriptions.draft_from(before, title="Walk instead", rounds=2),
            person_id=people.coach.id,
            at=STARTED + timedelta(hours=5),
            publish=True,
        )

        log = session_logs.one(db, log_id=log_id)
        assert log is not None
        counting = planned_of(db, log)

    assert counting is not None
    assert (counting.version, counting.title) == (1, before.title)
