"""Making one forecast against reading the history it is made from, and reading the kept one against that.

A page reads the kept forecast; making one happens between requests. Both ratios are printed and bounded: making one
takes at most so many readings, and the kept one a small part of a reading.
"""

from __future__ import annotations

from statistics import median
from time import process_time

from app.coaching.practice import PracticeKind
from app.coaching.rules import Rules
from app.coaching.windows import PLAN_SHOWN, WHOLE_BASE
from app.storage import forecasts, history, practice, schema
from app.storage.database import open_engine, unit_of_work
from app.usecases.accounts import create_coach
from app.usecases.forecasting import due, keep, reckon
from tests import factories
from tests.bench import seeded

CLIENTS = 24
NOW = factories.at(seeded.TODAY)
RULES = Rules()
#: One forecast lives a thousand courses of 78 weeks.
MOST_READINGS = 40.0
MOST_OF_A_READING = 0.5


def _seconds(work):
    began = process_time()
    found = work()
    return found, process_time() - began


def _read(db, client_id):
    return history.load(
        db, client_ids=[client_id], from_on=seeded.TODAY - WHOLE_BASE, until_on=seeded.TODAY + PLAN_SHOWN
    )


def test_one_forecast_is_made_between_requests_and_a_page_reads_the_kept_one(tmp_path):
    schema.upgrade(tmp_path)
    engine = open_engine(tmp_path)
    with unit_of_work(engine, write=True) as db:
        practice.create(db, name="Birchway Endurance", kind=PracticeKind.DEMO, zone="Europe/Berlin", at=NOW)
        person = create_coach(db, name="Greta Alm", email="greta@birchway.example", password_hash="x", now=NOW)
        seeded.write(db, seeded.histories(CLIENTS, person_id=person.id))
    with unit_of_work(engine, write=False) as db:
        waiting = due(db, now=NOW)
        _read(db, waiting[0])
        reading = [_seconds(lambda one=one: _read(db, one))[1] for one in waiting]
        made = [(one, *_seconds(lambda one=one: reckon(db, client_id=one, now=NOW))) for one in waiting]
    reckoned = [(one, found, seconds) for one, found, seconds in made if found is not None and found.forecast.chances]
    with unit_of_work(engine, write=True) as db:
        for _one, found, _seconds_taken in reckoned:
            keep(db, found, now=NOW)
    with unit_of_work(engine, write=False) as db:
        forecasts.kept(db, client_id=reckoned[0][0], rules=RULES)
        kept = [_seconds(lambda one=one: forecasts.kept(db, client_id=one, rules=RULES)) for one, *_ in reckoned]
    engine.dispose()

    read, making = median(reading), median(seconds for _one, _found, seconds in reckoned)
    reading_kept = median(seconds for _found, seconds in kept)
    print(
        f"\n{len(reckoned)} forecasts: one made in {1e3 * making:.0f} ms of processor, reading its history "
        f"{1e3 * read:.1f} ms, ratio {making / read:.1f}; the kept one read in {1e3 * reading_kept:.2f} ms, "
        f"{reading_kept / read:.3f} of a reading"
    )
    assert len(reckoned) >= CLIENTS // 4
    assert all(found is not None for found, _seconds_taken in kept)
    assert making <= MOST_READINGS * read
    assert reading_kept <= MOST_OF_A_READING * read
