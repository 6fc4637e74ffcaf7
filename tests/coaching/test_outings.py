"""What counts as an outing, found once for a history however many rules ask."""

from __future__ import annotations

import pytest

from app.coaching import outings
from app.coaching.history import History
from app.coaching.outings import outings_of
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.session_logs import Answer, SessionLog
from tests.factories import history, log


@pytest.mark.parametrize(
    ("changes", "is_one"),
    [
        ({}, True),
        ({"minutes": 0.5}, True),
        ({"kind": SessionKind.RACE}, True),
        ({"answer": Answer.SOMETHING_ELSE}, True),
        ({"minutes": 0.0}, False),
        ({"minutes": None}, False),
        ({"answer": Answer.NOT_DONE}, False),
        ({"kind": SessionKind.STRENGTH}, False),
        ({"mode": Mode.STRENGTH}, False),
    ],
)
def test_endurance_work_with_minutes_is_an_outing(changes: dict, is_one: bool) -> None:
    walk, asked = log(id=1), log(id=2, **changes)

    assert outings_of(history(logs=(walk, asked))) == ((walk, asked) if is_one else (walk,))


def test_the_last_history_alone_is_kept_and_answers_as_it_did(monkeypatch) -> None:
    looked_at: list[int] = []

    def counted(one: SessionLog) -> bool:
        looked_at.append(one.id)
        return True

    monkeypatch.setattr(outings, "is_endurance", counted)
    one, other = history(logs=(log(id=1),)), history(logs=(log(id=2),))

    def ids(of: History) -> list[int]:
        return [found.id for found in outings_of(of)]

    assert [ids(one), ids(one)] == [[1], [1]]
    assert looked_at == [1]
    assert [ids(other), ids(one)] == [[2], [1]]
    assert looked_at == [1, 2, 1]
