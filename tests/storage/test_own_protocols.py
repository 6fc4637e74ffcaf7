"""The practice's own sessions as they are kept: whole, never deleted, held to limits by the file itself."""

from __future__ import annotations

from dataclasses import asdict, replace

import pytest
from sqlalchemy.exc import IntegrityError

from app.coaching.protocol_library import OwnDraft, own_draft
from app.coaching.protocols import PROTOCOLS, protocol_of
from app.coaching.reasons import DomainError
from app.storage import protocols
from tests.seed import NOW

OWN = own_draft(protocol_of("four_by_four"), name="Mill lane fours")


@pytest.fixture
def db(app, people):
    with app.state.house.transaction(True) as session:
        yield session


def _add(db, people, draft: OwnDraft = OWN) -> int:
    return protocols.add(db, draft=draft, copied_from="four_by_four", person_id=people.coach.id, at=NOW)


def test_an_entry_comes_back_as_it_was_written_and_is_offered_beside_the_others(db, people):
    kept = protocols.one(db, own_protocol_id=_add(db, people))

    assert kept is not None
    assert {name: getattr(kept, name) for name in asdict(OWN)} == asdict(OWN)
    assert list(protocols.library(db).offered) == [*PROTOCOLS, kept.key]
    assert protocols.library(db).of(kept.key).name == "Mill lane fours"


def test_a_changed_entry_has_another_revision(db, people):
    kept_id = _add(db, people)

    protocols.change(db, own_protocol_id=kept_id, draft=replace(OWN, work_s=200))

    kept = protocols.one(db, own_protocol_id=kept_id)
    assert (kept.work_s, kept.revision, kept.copied_from) == (200, 2, "four_by_four")


def test_a_retired_entry_is_known_by_name_and_not_offered(db, people):
    kept_id = _add(db, people)

    protocols.set_retired(db, own_protocol_id=kept_id, at=NOW)

    found = protocols.library(db)
    key = f"own_{kept_id}"
    assert key not in found.offered
    assert found.named(key).name == "Mill lane fours"
    with pytest.raises(DomainError):
        found.of(key)
    protocols.set_retired(db, own_protocol_id=kept_id, at=None)
    assert key in protocols.library(db).offered


@pytest.mark.parametrize(
    "wrong",
    [{"rounds": 7}, {"work_s": 900, "recovery_s": 300}, {"set_of": 3}, {"rounds_most": 41}, {"name": ""}],
    ids=str,
)
def test_the_file_itself_refuses_what_no_session_may_be(db, people, wrong):
    with pytest.raises(IntegrityError):
        _add(db, people, replace(OWN, **wrong))
    db.rollback()
