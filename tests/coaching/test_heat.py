"""Heat: the published table by wet-bulb globe, the practice's rule by air temperature, and who bears it badly."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.heat import (
    CAUTION,
    HARD_WAYS,
    WBGT_ROWS,
    HeatCaution,
    HeatNote,
    asks_outdoors,
    asks_to_cancel,
    bears_heat_badly,
    by_effort_in_heat,
    caution_on,
    caution_today,
    heat_row,
    heat_words,
    is_hot,
    note_words,
)
from app.coaching.people import Mode
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
        (25, 59.9, False, False),
        (24.99, None, True, False),
        (25, None, True, True),
        (24.9, None, True, False),
        (22, 60, True, True),
        (21.9, 60, True, False),
    ],
)
def test_a_day_is_hot_by_the_practices_rule(temperature_c, humidity, bears_badly: bool, hot: bool) -> None:
    assert is_hot(note(temperature_c, humidity), bears_badly=bears_badly) is hot


@pytest.mark.parametrize(
    ("wbgt_c", "air_c", "hot"), [(27.8, None, False), (27.9, None, True), (27.9, 10, True), (27.8, 28, True)]
)
def test_a_day_is_hot_from_the_second_row_of_the_table_on(wbgt_c: float, air_c: float | None, hot: bool) -> None:
    assert is_hot(note(air_c, wbgt_c=wbgt_c), bears_badly=False) is hot


def test_a_note_without_a_temperature_says_nothing_of_heat() -> None:
    assert is_hot(note(humidity_percent=90), bears_badly=True) is False
    assert asks_to_cancel(note(humidity_percent=90), bears_badly=True) is False


# House choice: nothing hard outdoors from 35 C, from 32 C when humid (60 %), 3 C lower for who bears heat badly.
@pytest.mark.parametrize(
    ("temperature_c", "humidity", "bears_badly", "cancels"),
    [
        (35, None, False, True),
        (34.9, 59, False, False),
        (32, 60, False, True),
        (31.9, 60, False, False),
        (32, None, True, True),
        (31.9, None, True, False),
        (29, 60, True, True),
        (28.9, 60, True, False),
    ],
)
def test_the_air_alone_can_be_too_hot_for_hard_work_outdoors(
    temperature_c, humidity, bears_badly: bool, cancels: bool
) -> None:
    said = heat_words(note(temperature_c, humidity), bears_badly=bears_badly)

    assert asks_to_cancel(note(temperature_c, humidity), bears_badly=bears_badly) is cancels
    assert str(said).startswith("Too hot for hard work outdoors today") is cancels


def test_what_was_noted_is_told_in_figures() -> None:
    assert note_words(note(28.5, 61, 26)) == "28.5 °C, 61 % humidity, wet-bulb globe 26 °C"
    assert note_words(note(28)) == "28 °C"
    assert note_words(note(humidity_percent=61)) == "61 % humidity"
    assert note_words(note(wbgt_c=30.5)) == "wet-bulb globe 30.5 °C"
    assert note_words(note()) == ""


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
        (
            {"readiness": (make.readiness(noted_on=TODAY, illness=Illness.ABOVE_NECK),)},
            ("ill in the last two weeks",),
        ),
        ({"readiness": (make.readiness(noted_on=TODAY + timedelta(days=1), illness=Illness.ABOVE_NECK),)}, ()),
        ({"readiness": (make.readiness(noted_on=TODAY),)}, ()),
        (
            {"screening": (make.answers(details_json='{"medicines": {"beta_blocker": "not_sure"}}'),)},
            ("water or pressure tablets, or a beta-blocker",),
        ),
        ({"screening": (make.answers(details_json='{"medicines": {"statin": "yes"}}'),)}, ()),
        ({"client": make.client(born_on=date(1966, 10, 5))}, ("aged 60",)),
        ({"client": make.client(born_on=date(1966, 10, 6))}, ()),
    ],
)
def test_age_drying_medicines_and_illness_lower_the_limits(changes, why: tuple[str, ...]) -> None:
    young = {"client": make.client(born_on=date(1990, 1, 1))}

    assert bears_heat_badly(make.history(**(young | changes)), TODAY) == why


@pytest.mark.parametrize(("month", "warns"), [(4, False), (5, True), (9, True), (10, False)])
def test_the_warm_months_are_may_to_september(month: int, warns: bool) -> None:
    assert (caution_today(make.history(), None, date(2026, month, 15)) is not None) is warns


def test_the_warm_months_carry_the_caution_whatever_the_day() -> None:
    history = make.history(client=make.client(born_on=date(1990, 1, 1)))

    assert caution_today(history, None, date(2026, 7, 1)) == CAUTION
    assert caution_today(history, None, date(2026, 11, 25)) is None
    assert caution_today(history, note(18.0), date(2026, 7, 1)) is None
    assert str(caution_today(history, note(30.0), date(2026, 11, 25))).startswith("Hot today.")


def test_a_hot_day_names_the_ways_hard_work_may_take() -> None:
    assert heat_words(note(28.0), bears_badly=False) == HARD_WAYS
    assert heat_words(note(27.9), bears_badly=False) is None


def test_the_caution_is_the_days_own_and_the_clients_own() -> None:
    young, older = (make.history(client=make.client(born_on=date(year, 1, 1))) for year in (1990, 1960))

    assert caution_on(young, note(28.0), TODAY) == HeatCaution(f"Hot today. {HARD_WAYS} {CAUTION}", is_hot=True)
    assert caution_on(young, note(26.0), TODAY) is None
    assert caution_on(older, note(26.0), TODAY) == HeatCaution(f"Hot today. {HARD_WAYS} {CAUTION}", is_hot=True)
    assert caution_on(young, None, date(2026, 7, 1)) == HeatCaution(CAUTION, is_hot=False)


def test_only_a_day_noted_as_hot_takes_the_target_away() -> None:
    session = make.planned_hard(target_json="{}")

    assert by_effort_in_heat(session, HeatCaution(CAUTION, is_hot=True)).target_json is None
    assert by_effort_in_heat(session, HeatCaution(CAUTION, is_hot=False)) is session
    assert by_effort_in_heat(session, None) is session


@pytest.mark.parametrize(
    ("mode", "is_hard", "temperature_c", "asks"),
    [
        (Mode.WALK, True, 29.0, HARD_WAYS),
        (Mode.WALK, True, 20.0, None),
        (Mode.INDOOR_RIDE, True, 29.0, None),
        (Mode.TREADMILL, True, 29.0, None),
        (Mode.SWIM, True, 36.0, None),
        (Mode.WALK, False, 29.0, None),
    ],
)
def test_only_hard_work_outdoors_is_asked_about_and_only_where_it_is_hot(mode, is_hard, temperature_c, asks) -> None:
    session = replace(make.planned_hard() if is_hard else make.planned(), mode=mode)

    assert asks_outdoors(make.history(), session, note(temperature_c), TODAY) == asks
