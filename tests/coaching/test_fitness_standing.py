"""Where a VO2max stands: editions of the registry, other populations on choice, and what is background only."""

from __future__ import annotations

import pytest

from app.coaching.catalogue import functions
from app.coaching.fitness_standing import NEWEST, TABLES, decline, mortality, standing
from app.coaching.people import Mode, Sex
from app.physiology.populations import DECLINE, MORTALITY, POPULATIONS
from app.physiology.sources import SOURCES
from app.physiology.vo2max import VO2max


def stands(value=27.0, *, error=4.0, mode=Mode.WALK, age_years=66, sex=Sex.FEMALE, table=NEWEST):
    found = VO2max(value, "mL/kg/min", error, "", "", "walk", "walk")
    return standing(found, mode=mode, age_years=age_years, sex=sex, table=table)


def test_the_newest_edition_comes_first_and_every_population_is_on_the_list():
    keys = [key for key, _ in TABLES]

    assert keys[0] == NEWEST
    assert set(keys) == {NEWEST, "kaminsky2017", "kaminsky2015"} | {one.source for one in POPULATIONS}
    assert set(keys) <= SOURCES.keys()


# By hand from the printed rows of each table.
@pytest.mark.parametrize(
    ("table", "value", "said"),
    [
        ("aspenes2011", 27.0, "4 below the mean of 31 of women of 60 to 69"),
        ("aspenes2011", 28.0, "3 below the mean of 31 of women of 60 to 69, which is less than the error"),
        ("aspenes2011", 31.2, "at the mean of 31 of women of 60 to 69"),
        ("sagat2025", 32.1, "5 above the mean of 27.1 (SD 5.4) of women of 65 to 69"),
        ("almeida2019", 15.0, "below the 20th percentile of women of 60 to 69"),
        ("almeida2019", 19.0, "40th to 60th percentile of women of 60 to 69"),
        ("almeida2019", 18.13, "40th to 60th percentile of women of 60 to 69"),
        ("almeida2019", 30.0, "at or above the 80th percentile of women of 60 to 69"),
        ("loe2013", 27.0, "Norway, 20 to 29: this population has nobody of that age"),
        ("international2020", 27.0, "International registry: this population has nobody of that age"),
    ],
)
def test_a_value_stands_in_the_population_that_was_chosen(table, value, said):
    assert stands(value, table=table).said == said


def test_a_median_is_called_so_and_an_open_end_of_ages_too():
    assert "the median of 25 of women of 70 to 79" in stands(table="international2020", age_years=72).said
    assert "the mean of 21.7 (SD 5.8) of men from 75" in stands(table="sagat2025", age_years=80, sex=Sex.MALE).said


def test_a_population_names_its_table_and_its_source_but_no_card():
    found = stands(table="sagat2025")

    assert found.table == "Central Europe, 60 and over, older adults on the treadmill, women of 65 to 69"
    assert (found.source, found.formula) == ("sagat2025", None)


@pytest.mark.parametrize(
    ("table", "mode", "year"),
    [
        (NEWEST, Mode.WALK, 2022),
        (NEWEST, Mode.RIDE, 2022),
        ("kaminsky2015", Mode.RUN, 2015),
        ("kaminsky2017", Mode.RIDE, 2017),
    ],
)
def test_an_edition_names_itself_and_its_card(table, mode, year):
    found = stands(20.0, mode=mode, table=table)

    assert f"edition of {year}" in found.table
    assert found.formula == f"percentile_kaminsky_{year}"
    assert found.formula in functions()


@pytest.mark.parametrize(
    ("table", "mode", "words"),
    [
        ("kaminsky2017", Mode.WALK, "no figures by treadmill"),
        ("kaminsky2015", Mode.RIDE, "no figures by cycle"),
        ("aspenes2011", Mode.RIDE, "no figures by cycle"),
        ("walrus", Mode.WALK, "not on the list"),
        (NEWEST, Mode.ROW, "no table for this mode"),
    ],
)
def test_modes_are_never_converted(table, mode, words):
    found = stands(mode=mode, table=table)

    assert words in found.said
    assert (found.table, found.source, found.formula) == ("", None, None)


def test_the_tables_need_to_know_who_it_is():
    assert stands(age_years=None).said == stands(sex=None).said == "the tables need birth date and sex"


def test_without_an_error_nothing_is_said_of_it():
    assert "error" not in stands(28.0, error=None, table="aspenes2011").said
    assert "error" not in stands(28.0, error=None).said


def test_background_is_told_with_source_and_provenance():
    assert [one.sentence for one in decline()] == [one.sentence for one in DECLINE]
    assert all(one.source and one.provenance for one in (*decline(), *mortality()))


def test_what_goes_with_fitness_is_worded_as_association():
    assert [one.sentence for one in mortality()] == [one.sentence for one in MORTALITY]
    assert all("watched, not treated" in one.sentence for one in mortality())
    causal = ("cause", "reduce", "lower your", "prevent", "saves", "adds years", "will ")
    assert [one.sentence for one in mortality() if any(word in one.sentence for word in causal)] == []
