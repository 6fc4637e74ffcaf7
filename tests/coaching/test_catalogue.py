"""The cards of both pure floors: decisions stand beside formulae and say as much of themselves."""

from __future__ import annotations

from datetime import date

import pytest

from app.coaching.catalogue import as_data, can_compute, card, cards, decisions, functions, kinds_of, run
from app.physiology.catalogue import NoSuchFormula, formulae
from app.physiology.sources import SOURCES

TODAY = date(2026, 11, 25)


def test_the_screening_decision_is_a_card():
    assert "screening_decision" in decisions()
    assert functions().keys() == formulae().keys() | decisions().keys()
    assert [one.name for one in cards()] == sorted(functions())


@pytest.mark.parametrize("name", list(decisions()))
def test_a_decision_says_all_a_card_says(name):
    one = card(name)

    assert one.sentence.endswith(".")
    assert all((one.returns, one.unit, one.raises, one.limits, one.error, one.source, one.provenance, one.checked))
    assert [i.name for i in one.inputs if not (i.what and i.unit and i.limits)] == []
    assert set(one.keys) <= SOURCES.keys()
    assert can_compute(name)
    assert kinds_of(name).keys() == {i.name for i in one.inputs}


def test_no_decision_has_the_name_of_a_formula():
    assert decisions().keys() & formulae().keys() == set()


def test_an_unknown_name_meets_its_neighbours():
    with pytest.raises(NoSuchFormula, match="Did you mean screening_decision"):
        card("screening_decisions")


def test_a_formula_is_computed_here_too():
    answer = run("hrmax_tanaka_2001", today=TODAY, age_years="60")

    assert as_data(answer)["value"] == pytest.approx(166.0)


def test_the_day_of_asking_is_today_unless_it_is_given():
    given = {
        "active": "yes",
        "symptoms": "no",
        "disease": "yes",
        "wanted": "vigorous",
        "clearance": "granted_vigorous",
        "clearance_on": "2025-11-25",
    }

    on_the_day = as_data(run("screening_decision", today=TODAY, **given))
    later = as_data(run("screening_decision", today=TODAY, **given, asked_on="2026-11-26"))

    assert (on_the_day["outcome"], later["outcome"]) == ("OK", "HOLD")
