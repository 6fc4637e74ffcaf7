"""What a kept test says about VO2max, in words no finer than the test can tell."""

from __future__ import annotations

from datetime import date

import pytest

from app.coaching.fitness_estimates import estimate_of
from app.coaching.fitness_tests import Protocol
from app.coaching.people import HeartRateUse, Mode, Sex
from app.physiology.values import Missing
from tests import factories
from tests.factories import TODAY

PLAIN = {"distance_m": None, "duration_s": None, "heart_rate_bpm": None, "talk": None, "tested_on": TODAY}
MILE = PLAIN | {
    "protocol": Protocol.ONE_MILE_WALK,
    "duration_s": 1080.0,
    "heart_rate_bpm": 112,
    "weight_kg": 123 * 0.45359237,
}
SIX = PLAIN | {"protocol": Protocol.SIX_MINUTE_WALK, "distance_m": 640.0, "weight_kg": 66.56, "height_cm": 160.0}
TWELVE = PLAIN | {"protocol": Protocol.TWELVE_MINUTE_RUN, "mode": Mode.RUN, "distance_m": 2400.0}
LAB = PLAIN | {"protocol": Protocol.LABORATORY, "mode": Mode.RIDE, "value": 15.9, "unit": "mL/kg/min"}


def somebody(age=57, **changes):
    born_on = date(TODAY.year - age, 1, 2)
    given = {"born_on": born_on, "sex": Sex.FEMALE, "heart_rate_use": HeartRateUse.RELIABLE}
    return factories.client(**given | changes)


def told(test, client):
    return estimate_of(factories.standard_loop(**test), client)


def figures(estimate):
    return {(one.name, one.text) for one in estimate.why.figures}


def test_the_published_mile_is_told_to_the_half_with_its_error():
    # Kline et al. 1987, a printed classroom example: 25.00 mL/kg/min.
    found = told(MILE, somebody())

    assert found.said == "about 25 ± 5 mL/kg/min"
    assert found.why.source == "Kline et al. 1987; Kaminsky et al. 2022"
    assert ("table", "US registry, edition of 2022, treadmill, women of 50 to 59") in figures(found)


def test_a_place_is_told_to_the_next_five_with_what_the_error_allows():
    # By hand from the printed row: P60 24.7 and P65 25.5 stand about 25.0; 20.0 lies at P28, 30.0 at P85.
    found = told(MILE, somebody())

    assert found.stands == "60th percentile of women of 50 to 59; with the error, 30th to 85th"


def test_the_published_six_minutes_of_a_woman():
    # Sagat et al. 2023: age 68, BMI 26, 640 m give 26.82.
    found = told(SIX, somebody(68))

    assert found.said == "about 27 ± 4 mL/kg/min"
    assert any("up to 3" in text for _, text in figures(found))


def test_the_published_twelve_minutes_have_no_error():
    # Cooper 1968: 2400 m give 42.37.
    found = told(TWELVE, somebody(30, sex=Sex.MALE))

    assert found.said == "about 42.5, error not known mL/kg/min"
    assert "with the error" not in found.stands


def test_a_measured_value_stands_in_the_table_of_its_mode():
    ride, walk = told(LAB, somebody(63)), told(LAB | {"mode": Mode.TREADMILL, "error": 1.0}, somebody(63))

    assert (ride.said, ride.stands) == ("16, error not known mL/kg/min", "50th percentile of women of 60 to 69")
    assert walk.said == "16 ± 1 mL/kg/min"
    assert walk.stands.startswith("20th percentile")


@pytest.mark.parametrize(("value", "words"), [(8.0, "below 5th of women"), (60.0, "above 95th of women")])
def test_outside_the_table_only_the_side_is_told(value, words):
    assert told(LAB | {"value": value}, somebody(63)).stands.startswith(words)


@pytest.mark.parametrize(
    ("test", "reason"),
    [
        (MILE | {"mode": Mode.TREADMILL}, "flat ground only"),
        (MILE | {"distance_m": 1500.0}, "no mile"),
        (MILE | {"weight_kg": None}, "weight is missing"),
        (MILE | {"weight_kg": None, "heart_rate_bpm": None}, "heart rate and weight are missing"),
        (SIX | {"mode": Mode.TREADMILL}, "corridor"),
        (SIX | {"duration_s": 400.0}, "not six minutes"),
        (SIX | {"height_cm": None}, "height is missing"),
        (SIX, "from 60 to 80"),
        (TWELVE | {"mode": Mode.TREADMILL}, "flat ground only"),
        (TWELVE | {"duration_s": 700.0}, "not twelve minutes"),
        (TWELVE | {"distance_m": None}, "distance is missing"),
        (TWELVE | {"distance_m": 900.0}, "from 1000"),
        (LAB | {"unit": "W"}, "mL/kg/min"),
        (LAB | {"value": None, "unit": None}, "mL/kg/min"),
    ],
)
def test_without_its_inputs_or_outside_its_people_there_is_no_estimate(test, reason):
    found = told(test, somebody())

    assert isinstance(found, Missing)
    assert reason in found.reason


@pytest.mark.parametrize("test", [MILE, SIX])
@pytest.mark.parametrize(("unknown", "name"), [({"born_on": None}, "birth date"), ({"sex": None}, "sex")])
def test_who_the_client_is_must_be_known(test, unknown, name):
    assert name in told(test, somebody(66, **unknown)).reason


def test_heart_rate_that_is_not_reliable_gives_no_estimate():
    found = told(MILE, somebody(heart_rate_use=HeartRateUse.NOT_RELIABLE))

    assert found == Missing("heart rate is not reliable for this client")


def test_heart_rate_of_unknown_worth_is_marked():
    found = told(MILE | {"distance_m": 1609.0}, somebody(heart_rate_use=HeartRateUse.UNKNOWN))

    assert ("mind", "Heart rate is not known to be reliable for this client.") in figures(found)


@pytest.mark.parametrize(
    ("test", "client", "words"),
    [
        (LAB | {"mode": Mode.ROW}, somebody(63), "no table for this mode"),
        (LAB, somebody(63, sex=None), "need birth date and sex"),
        (LAB, somebody(19), "from 20 to 89"),
    ],
)
def test_where_no_table_fits_that_is_said(test, client, words):
    found = told(test, client)

    assert words in found.stands
    assert not [one for one in found.why.figures if one.name == "table"]


@pytest.mark.parametrize("protocol", [Protocol.STANDARD_LOOP, Protocol.FIVE_KM, Protocol.OTHER])
def test_other_tests_tell_no_vo2max(protocol):
    assert told({"protocol": protocol}, somebody()) is None
