"""Heat: the published table by wet-bulb globe, the practice's rule by air temperature, and who bears it badly."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.heat import (
    CAUTION,
    WBGT_ROWS,
    HeatNote,
    asks_to_cancel,
    bears_heat_badly,
    caution_today,
    heat_row,
    heat_words,
    is_hot,
)
from app.coaching.readiness import Illness
from tests import factories as make
from tests.factories import TODAY


def note(temperature_c=None, humidity_percent=None, wbgt_c=None) -> HeatNote:
    """A note of today."""
    return HeatNote(1, TODAY, temperature_c, humidity_percent, wbgt_c, make.at(TODAY), make.COACH_ID)


#: Casa 2015, J Athl Train, reprint of the 2007 position stand's table (published, read).
@pytest.mark.parametrize(
    ("wbgt_c", "not_adapted", "adapted"),
    [
        (27.8, "more rest, shorter", "normal, watch fluids"),
        (27.9, "as much rest as work, limit intense work", "intense work with care"),
        (30.0, "as much rest as work, limit intense work", "intense work with care"),
        (30.1, "cancel", "limit intense work and exposure"),
        (32.2, "cancel", "limit intense work and exposure"),
        (32.3, "cancel", "cancel"),
    ],
)
def test_the_table_reads_as_published(wbgt_c: float, not_adapted: str, adapted: str) -> None:
    row = heat_row(wbgt_c, moves_down=False)

    assert (row.not_adapted, row.adapted) == (not_adapted, adapted)


@given(st.floats(-10, 45))
def test_who_bears_heat_badly_moves_one_row_down_and_no_further(wbgt_c: float) -> None:
    usual, down = (WBGT_ROWS.index(heat_row(wbgt_c, moves_down=moves)) for moves in (False, True))

    assert down == min(usual + 1, len(WBGT_ROWS) - 1)


# Common practice, no published source: 28 C, 25 C and humid, 3 C lower from 60 or on water tablets.
@pytest.mark.parametrize(
    ("temperature_c", "humidity", "bears_badly", "hot"),
    [
        (28, None, False, True),
        (27.9, None, False, False),
        (25, 60, False, True),
        (24.9, 60, False, False),
        (25, 59, False, False),
        (25, None, True, True),
        (24.9, None, True, False),
        (22, 60, True, True),
        (21.9, 60, True, False),
    ],
)
def test_a_day_is_hot_by_the_practices_rule(temperature_c, humidity, bears_badly: bool, hot: bool) -> None:
    assert is_hot(note(temperature_c, humidity), bears_badly=bears_badly) is hot


def test_a_wet_bulb_globe_that_says_cancel_says_so() -> None:
    assert asks_to_cancel(note(wbgt_c=30.5), bears_badly=False)
    assert asks_to_cancel(note(wbgt_c=28.0), bears_badly=True)
    assert not asks_to_cancel(note(wbgt_c=28.0), bears_badly=False)
    assert heat_words(note(wbgt_c=20.0), bears_badly=False) is None
    assert "Too hot for hard work outdoors" in str(heat_words(note(wbgt_c=33.0), bears_badly=False))


@pytest.mark.parametrize(
    ("changes", "why"),
    [
        ({"client": make.client(born_on=date(1960, 1, 1))}, ("aged 66",)),
        ({"client": make.client(born_on=None)}, ("age not known",)),
        (
            {"screening": (make.answers(details_json='{"medicines": {"pressure": "yes"}}'),)},
            ("water or pressure tablets, or a beta-blocker",),
        ),
        (
            {"readiness": (make.readiness(noted_on=TODAY - timedelta(days=14), illness=Illness.FEVER_OR_BELOW),)},
            ("ill in the last two weeks",),
        ),
        ({"readiness": (make.readiness(noted_on=TODAY - timedelta(days=15), illness=Illness.FEVER_OR_BELOW),)}, ()),
    ],
)
def test_age_drying_medicines_and_illness_lower_the_limits(changes, why: tuple[str, ...]) -> None:
    young = {"client": make.client(born_on=date(1990, 1, 1))}

    assert bears_heat_badly(make.history(**(young | changes)), TODAY) == why


def test_the_warm_months_carry_the_caution_whatever_the_day() -> None:
    history = make.history(client=make.client(born_on=date(1990, 1, 1)))

    assert caution_today(history, None, date(2026, 7, 1)) == CAUTION
    assert caution_today(history, None, date(2026, 11, 25)) is None
    assert caution_today(history, note(18.0), date(2026, 7, 1)) is None
    assert str(caution_today(history, note(30.0), date(2026, 11, 25))).startswith("Hot today.")
