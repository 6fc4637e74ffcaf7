"""Reports, readiness notes and screening answers below the web: what is refused there, whatever a form lets by."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest

from app.coaching.access import Actor
from app.coaching.holds import HoldKind
from app.coaching.people import Origin
from app.coaching.questions import MEDICINE_GROUPS, Reply, asked_of
from app.coaching.readiness import Illness
from app.coaching.reasons import DomainError, Refused
from app.storage import safety
from app.usecases import felt_wrong, questions, readiness
from app.usecases.felt_wrong import Report
from app.usecases.gate import NotYours
from app.usecases.questions import QuestionsEntry
from app.usecases.readiness import ReadinessEntry
from tests import factories, seed

LONG_AGO = seed.TODAY - timedelta(days=31)
TOMORROW = seed.TODAY + timedelta(days=1)


@pytest.fixture
def db(app):
    with app.state.house.transaction(True) as session:
        yield session


@pytest.fixture
def ilse(db, people):
    person = seed.client_person(db, people.client)
    return Actor(person.id, person.name, person.role, person.client_id)


@pytest.fixture
def jonah(people):
    return Actor(people.coach.id, people.coach.name, people.coach.role, None)


def told(people):
    return {"client_id": people.client.id, "origin": Origin.CLIENT, "now": seed.NOW}


@pytest.mark.parametrize("day", [TOMORROW, LONG_AGO])
def test_a_report_for_a_day_out_of_reach_is_refused(db, ilse, people, day):
    with pytest.raises(Refused):
        felt_wrong.report(db, actor=ilse, report=Report("chest", day), **told(people))


def test_a_coach_may_report_any_day_back(db, jonah, people):
    hold_id = felt_wrong.report(db, actor=jonah, report=Report("chest", LONG_AGO), **told(people))

    assert safety.hold(db, hold_id=hold_id).began_on == LONG_AGO


def test_a_sign_not_on_the_list_raises_nothing(db, ilse, people):
    with pytest.raises(DomainError, match="from the list"):
        felt_wrong.report(db, actor=ilse, report=Report("boredom", seed.TODAY), **told(people))

    assert safety.holds_of(db, client_id=people.client.id) == []


def test_a_stranger_cannot_report(db, ilse, people):
    foreign = told(people) | {"client_id": people.other_client.id}

    with pytest.raises(NotYours):
        felt_wrong.report(db, actor=ilse, report=Report("chest", seed.TODAY), **foreign)


@pytest.mark.parametrize(
    "entry",
    [ReadinessEntry(seed.TODAY), ReadinessEntry(TOMORROW, sleep=3), ReadinessEntry(LONG_AGO, sleep=3)],
    ids=["nothing said", "tomorrow", "long ago"],
)
def test_a_note_out_of_reach_or_empty_is_refused(db, ilse, people, entry):
    with pytest.raises(Refused):
        readiness.keep(db, actor=ilse, entry=entry, **told(people))


def test_not_ill_is_an_answer(db, ilse, people):
    kept = readiness.keep(db, actor=ilse, entry=ReadinessEntry(seed.TODAY, illness=Illness.NONE), **told(people))

    assert kept.hold_ids == ()


def full_answers(client):
    return QuestionsEntry(
        replies={one.key: Reply.NO for one in asked_of(client, (), seed.TODAY)},
        medicines={one.key: Reply.NO for one in MEDICINE_GROUPS},
        emergency_contact="Jonas Brandt",
        emergency_phone="0151 000 0001",
    )


def _asked(db, ilse, people, *groups):
    """Answers that name some groups of medicines; returns how many pauses for a medicine stand now."""
    entry = full_answers(people.client)
    replies = entry.replies | {"news": Reply.NO}
    medicines = entry.medicines | dict.fromkeys(groups, Reply.YES)
    questions.keep(db, actor=ilse, entry=replace(entry, replies=replies, medicines=medicines), **told(people))
    holds = safety.holds_of(db, client_id=people.client.id)
    return [one.lifted_at is None for one in holds if one.kind is HoldKind.MEDICINE_CHANGE]


def test_another_heart_rate_medicine_pauses_hard_work_for_a_review(db, ilse, people):
    assert _asked(db, ilse, people, "beta_blocker") == []
    assert _asked(db, ilse, people, "beta_blocker", "statin") == []
    assert _asked(db, ilse, people, "beta_blocker", "rhythm") == [True]


@pytest.mark.parametrize("gap", [{"replies": {}}, {"medicines": {}}, {"answered_on": TOMORROW}])
def test_questions_with_a_gap_are_refused(db, ilse, people, gap):
    with pytest.raises(Refused):
        questions.keep(db, actor=ilse, entry=replace(full_answers(people.client), **gap), **told(people))


def test_men_are_not_asked_about_pregnancy_and_news_only_later():
    man = factories.client(sex=factories.Sex.MALE)

    keys = {one.key for one in asked_of(man, (), seed.TODAY)}
    later = {one.key for one in asked_of(man, (factories.answers(),), seed.TODAY)}

    assert "pregnant" not in keys
    assert later - keys == {"news"}
