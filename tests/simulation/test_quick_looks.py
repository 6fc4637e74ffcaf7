"""Looks that stop early find what the whole look finds, over the mornings of a simulated practice."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from pathlib import Path

import pytest

from app import simulation
from app.coaching.done_work import done_minutes, is_endurance, is_hard_done, minutes_by_band
from app.coaching.facts import facts_of
from app.coaching.history import History
from app.coaching.promotion import all_met, conditions, conditions_if_near, is_near
from app.coaching.rules import Rules
from app.coaching.windows import WHOLE_BASE
from app.storage import history
from app.storage.database import open_engine, unit_of_work
from tests import seed

CLIENTS = 12
RULES = Rules()
Mornings = list[tuple[History, date]]


@pytest.fixture(scope="module")
def mornings(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Mornings]:
    folder: Path = tmp_path_factory.mktemp("practice")
    simulation.build(folder, clients=CLIENTS, years=1.0, seed=5, today=seed.TODAY)
    engine, ids = open_engine(folder), range(1, CLIENTS + 1)
    days = [seed.TODAY - timedelta(weeks=weeks) for weeks in range(0, 40, 8)]
    with unit_of_work(engine, write=False) as db:
        yield [
            (known, day)
            for day in days
            for known in history.load(db, client_ids=ids, from_on=day - WHOLE_BASE, until_on=day)
        ]
    engine.dispose()


def test_whoever_has_the_base_or_nearly_is_found_without_the_whole_list(mornings: Mornings) -> None:
    found = []
    for known, day in mornings:
        whole = conditions(known, day, RULES)
        said = all_met(whole) or is_near(whole)
        assert conditions_if_near(known, day, RULES) == (whole if said else None)
        found.append(said)
    assert any(found)
    assert not all(found)


def test_hard_minutes_of_an_entry_are_those_counted_band_by_band(mornings: Mornings) -> None:
    counted = 0
    for known, day in mornings:
        plan_of = facts_of(known, day, RULES).pairing.plan_of
        for log in (one for one in known.logs if is_endurance(one) and done_minutes(one) > 0):
            plan = plan_of.get(log.id)
            hard = minutes_by_band(log, plan, after_transition=True, rules=RULES).hard
            judged = is_hard_done(log, plan, RULES)
            is_said = judged is not None and f"{hard:.0f} min of hard work" in judged.because
            assert is_said is (hard >= RULES.hard_session_minutes)
            counted += is_said
    assert counted
