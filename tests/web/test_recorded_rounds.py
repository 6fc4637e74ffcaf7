"""A kept recording's rounds reach every rule through the history, and never the entry that somebody typed."""

from __future__ import annotations

from app.coaching.people import Mode
from app.coaching.rounds_values import RoundEdges
from app.coaching.session_logs import SessionLog
from app.storage import history, session_logs
from app.usecases.recordings import keeping
from tests.conftest import Browser
from tests.plan_scenes import actor_of
from tests.seed import NOW, People
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
