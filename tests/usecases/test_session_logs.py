"""Keeping and correcting entries: outcome, refusal, trace."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from app.coaching.access import Actor
from app.coaching.effort import Talk
from app.coaching.people import Mode, Origin
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import Refused, StaleEdit
from app.coaching.session_logs import Answer, WhyNot
from app.storage import audit
from app.usecases import session_logs
from app.usecases.gate import NotYours
from app.usecases.session_logs import LogEntry
from tests import factories, seed

EXTRA = LogEntry(
    done_on=seed.TODAY,
    answer=Answer.SOMETHING_ELSE,
    kind=SessionKind.EASY,
    mode=Mode.WALK,
    minutes=40,
    effort=3,
    talk=Talk.CHAT,
)


@pytest.fixture
def db(app):
    with app.state.house.transaction(True) as session:
        yield session


@pytest.fixture
def ilse(db, people):
    person = seed.client_person(db, people.client)
    return Actor(person.id, person.name, person.role, person.client_id)


def keep(db, actor, people, entry, now=seed.NOW):
    return session_logs.keep(db, actor=actor, client_id=people.client.id, entry=entry, origin=Origin.CLIENT, now=now)


def kept(db, actor, log_id):
    return session_logs.kept(db, actor=actor, log_id=log_id, now=seed.NOW).log


def test_an_extra_is_kept_as_said(db, ilse, people):
    log = kept(db, ilse, keep(db, ilse, people, EXTRA))

    assert (log.kind, log.mode, log.minutes, log.effort, log.talk) == (SessionKind.EASY, Mode.WALK, 40, 3, Talk.CHAT)


def test_the_easy_version_of_rounds_is_an_easy_session_without_rounds(db, ilse, people):
    session_id = seed.add_planned_hard(db, client=people.client)
    entry = LogEntry(
        done_on=seed.TODAY,
        answer=Answer.EASY_VERSION,
        planned_session_id=session_id,
        minutes=30,
        rounds=(factories.work_round(),),
    )

    log = kept(db, ilse, keep(db, ilse, people, entry))

    assert (log.kind, log.mode, log.rounds) == (SessionKind.EASY, Mode.INDOOR_RIDE, ())


def test_not_done_drops_everything_but_the_reason_and_the_note(db, ilse, people):
    session_id = seed.add_planned(db, client=people.client)
    entry = replace(
        EXTRA, answer=Answer.NOT_DONE, planned_session_id=session_id, why_not=WhyNot.TRAVEL, note="Late train."
    )

    log = kept(db, ilse, keep(db, ilse, people, entry))

    assert (log.minutes, log.effort, log.talk) == (None, None, None)
    assert (log.why_not, log.note, log.kind) == (WhyNot.TRAVEL, "Late train.", SessionKind.EASY)


@pytest.mark.parametrize(
    ("entry", "sentence"),
    [
        (replace(EXTRA, done_on=seed.TODAY + timedelta(days=1)), "has not come yet"),
        (replace(EXTRA, done_on=seed.TODAY - timedelta(days=31)), "over 30 days back"),
        (replace(EXTRA, answer=Answer.AS_PLANNED), "belongs to a planned session"),
        (replace(EXTRA, kind=None), "what it was"),
        (replace(EXTRA, minutes=None), "how many minutes"),
    ],
)
def test_what_does_not_fit_is_refused_with_a_sentence(db, ilse, people, entry, sentence):
    with pytest.raises(Refused, match=sentence):
        keep(db, ilse, people, entry)


def test_today_is_the_clients_own_day(db, ilse, people):
    late = datetime(2026, 11, 24, 23, 30, tzinfo=UTC)  # half past midnight in Berlin

    log_id = keep(db, ilse, people, EXTRA, now=late)

    assert kept(db, ilse, log_id).done_on == seed.TODAY


@pytest.mark.parametrize(("hours", "from_memory"), [(47, False), (49, True)])
def test_from_memory_begins_48_hours_after_the_day(db, ilse, people, hours, from_memory):
    end_of_day = datetime(2026, 11, 22, 23, tzinfo=UTC)  # midnight in Berlin after Sunday the 22nd

    log_id = keep(
        db, ilse, people, replace(EXTRA, done_on=end_of_day.date()), now=end_of_day + timedelta(hours=hours)
    )

    assert kept(db, ilse, log_id).from_memory is from_memory


def test_a_strangers_client_does_not_exist(db, ilse, people):
    with pytest.raises(NotYours):
        session_logs.keep(
            db, actor=ilse, client_id=people.other_client.id, entry=EXTRA, origin=Origin.CLIENT, now=seed.NOW
        )


def test_another_clients_session_cannot_be_answered(db, ilse, people):
    foreign = seed.add_planned(db, client=people.other_client)

    with pytest.raises(NotYours):
        keep(db, ilse, people, replace(EXTRA, answer=Answer.AS_PLANNED, planned_session_id=foreign))


def test_a_correction_leaves_before_and_after(db, ilse, people):
    log_id = keep(db, ilse, people, EXTRA)

    session_logs.correct(db, actor=ilse, log_id=log_id, entry=replace(EXTRA, minutes=25), revision=1, now=seed.NOW)

    change = json.loads(audit.trail_of(db, client_id=people.client.id)[0].change_json)
    assert (change["before"]["minutes"], change["after"]["minutes"]) == (40, 25)


def test_a_stale_correction_names_what_stands_now(db, ilse, people):
    log_id = keep(db, ilse, people, EXTRA)
    change = {"actor": ilse, "log_id": log_id, "revision": 1, "now": seed.NOW}
    session_logs.correct(db, entry=replace(EXTRA, minutes=25), **change)

    with pytest.raises(StaleEdit, match="25 minutes, effort 3"):
        session_logs.correct(db, entry=replace(EXTRA, minutes=30), **change)
