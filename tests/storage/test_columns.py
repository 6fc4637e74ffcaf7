"""Instants as text: the same instant always reads the same, and two of one autumn night stay two."""

from __future__ import annotations

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy.dialects import sqlite

from app.storage.columns import Instant

DIALECT = sqlite.dialect()
#: Half past two comes twice when the clocks go back.
NIGHT = datetime(2026, 10, 25, 2, 30, tzinfo=ZoneInfo("Europe/Berlin"))


def _kept(value: datetime) -> str | None:
    return Instant().process_bind_param(value, DIALECT)


def test_the_hour_that_comes_twice_is_kept_as_two_instants():
    assert (_kept(NIGHT), _kept(NIGHT.replace(fold=1))) == (
        "2026-10-25T00:30:00.000000Z",
        "2026-10-25T01:30:00.000000Z",
    )


def test_an_instant_reads_the_same_from_any_zone():
    assert _kept(NIGHT) == _kept(NIGHT.astimezone(UTC)) == _kept(NIGHT.astimezone(ZoneInfo("Asia/Tokyo")))


@pytest.mark.parametrize("year", [1, 70, 987, 1000, 2026, 9999])
def test_an_instant_of_any_year_is_read_as_it_was_written(year):
    instant = datetime(year, 1, 2, 3, 4, 5, 6, tzinfo=UTC)

    kept = _kept(instant)

    assert kept == f"{year:04}-01-02T03:04:05.000006Z"
    assert Instant().process_result_value(kept, DIALECT) == instant


def test_an_instant_without_a_zone_is_refused():
    with pytest.raises(ValueError, match="needs a zone"):
        _kept(datetime(2026, 10, 25, 2, 30))  # noqa: DTZ001
