"""`foothill workings`: the list, a card, a computation, and sentences instead of traces."""

from __future__ import annotations

import json

import pytest

from app.cli import main
from app.physiology.catalogue import formulae


def test_the_list_names_every_formula(capsys):
    assert main(["workings"]) == 0

    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(formulae())


def test_the_list_as_json_holds_every_card(capsys):
    assert main(["workings", "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in told] == list(formulae())
    assert all(one["error"] and one["source"] and one["checked"] and one["unit"] for one in told)


def test_a_card_says_limits_error_and_source(capsys):
    assert main(["workings", "race_time_riegel_1981"]) == 0

    card = capsys.readouterr().out
    assert "time_s: time raced, s, 210 to 13800" in card
    assert "(may be left out)" in card
    assert "Source: [riegel1981]" in card


def test_a_card_as_json(capsys):
    assert main(["workings", "hrmax_tanaka_2001", "--json"]) == 0

    assert json.loads(capsys.readouterr().out)["inputs"][0]["unit"] == "years"


def test_a_formula_is_computed_as_json(capsys):
    assert main(["workings", "hrmax_tanaka_2001", "age_years=63", "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert told["value"] == pytest.approx(208 - 0.7 * 63)
    assert (told["unit"], told["error_words"]) == ("bpm", "SD about 10 bpm")
    assert "[tanaka2001]" in told["source"]
    assert told["notes"]


def test_a_formula_is_computed_as_text(capsys):
    assert main(["workings", "hrmax_tanaka_2001", "age_years=60"]) == 0

    assert capsys.readouterr().out.startswith("166.0 bpm\nError: SD about 10 bpm\n")


def test_a_composed_result_is_told_in_full(capsys):
    assert main(["workings", "hrmax_opinions", "age_years=60", "sex=F"]) == 0

    assert '"spread_bpm": 19.4' in capsys.readouterr().out


def test_a_gap_gives_its_reason(capsys):
    assert main(["workings", "vo2_on_foot", "speed_m_per_min=120"]) == 0

    assert capsys.readouterr().out.startswith("Nothing comes out: Between 100 and 134 m/min")


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        (["hrmax_tanak_2001"], "There is no formula called hrmax_tanak_2001. Did you mean hrmax_tanaka_2001"),
        (["zzzz"], "There is no formula called zzzz."),
        (["hrmax_tanaka_2001", "age=63"], "does not know age; it takes age_years."),
        (["hrmax_tanaka_2001", "63"], "is not written as key=value."),
        (["hrmax_tanaka_2001", "age_years=63", "age_years=64"], "age_years is given twice."),
        (["hrmax_tanaka_2001", "age_years=630"], "Age must be from 18 to 100 years; 630 is outside."),
        (["hrmax_tanaka_2001", "age_years=nan"], "must be a plain number"),
        (["hrmax_sydo_2014", "age_years=60"], "still needs sex"),
        (["hrmax_sydo_2014", "age_years=60", "sex=X"], "sex must be one of F, M"),
    ],
)
def test_what_cannot_be_done_is_a_sentence_and_exit_code_two(capsys, given, sentence):
    assert main(["workings", *given]) == 2

    assert sentence in capsys.readouterr().err
