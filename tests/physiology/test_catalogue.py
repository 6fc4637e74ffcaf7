"""The catalogue: every formula has a whole card, and can be computed from typed text."""

from __future__ import annotations

import csv
import re
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from pathlib import Path
from typing import Literal

import numpy as np
import numpy.typing as npt
import pytest

from app.physiology import calculator
from app.physiology.calculator import CannotCompute, can_compute, run
from app.physiology.catalogue import (
    NoSuchFormula,
    card,
    cards,
    formulae,
    is_formula,
    is_whole,
    modules,
    public_functions,
    read_card,
)
from app.physiology.sources import SOURCES
from app.physiology.typed_inputs import (
    MOST_VALUES,
    CannotRead,
    can_be_typed,
    choices,
    is_series,
    plain,
    read_typed,
    record_fields,
)
from app.physiology.values import Missing, Sex

ROOT = Path(__file__).parents[2]
UNITS = {
    *("no unit", "%", "% of normal", "fraction", "bpm", "beats/min", "per minute", "strokes/min", "years"),
    *("s", "min", "d", "h", "m", "km", "m/s", "m/min", "km/h", "mph", "s/km", "s/mile", "s per 100 m", "kg"),
    *("W", "J", "kJ", "kgm/min", "kcal", "kcal/min", "J/kg/m", "mL/kg/min", "mL/min", "L/min", "MET", "ms", "ln ms"),
    *("mL/kg/min equivalent", "AU", "AU a day", "mmol/L", "in the test's unit", "in the unit of the value"),
    *("per repetition", "N", "deg", "kJ/L", "points", "SD", "z", "m/h"),
}
#: Public, but no formula: checks and pieces that formulae share.
MOST_HELPERS = 40


def topics(file: str) -> set[str]:
    lines = (ROOT / file).read_text(encoding="utf-8").splitlines()
    return {row["topic"] for row in csv.DictReader(lines)}


@pytest.mark.parametrize("one", cards(), ids=lambda one: one.name)
def test_a_card_is_whole(one):
    assert one.sentence.endswith(".")
    assert one.unit in UNITS, one.returns
    assert one.raises
    assert one.limits
    assert one.error
    assert one.source
    assert one.provenance
    assert one.checked.startswith("tests/")
    assert [i.name for i in one.inputs if not (i.what and i.unit and i.limits)] == []


@pytest.mark.parametrize("one", cards(), ids=lambda one: one.name)
def test_a_card_names_sources_that_exist_and_checks_that_exist(one):
    file = one.checked.split()[0].rstrip(".,;")
    topic = re.search(r"topics? ([^.;]+)", one.checked)

    assert set(one.keys) <= SOURCES.keys()
    assert (ROOT / file).exists(), file
    assert topic is None or not file.endswith(".csv") or any(topic[1].startswith(t) for t in topics(file)), topic[1]


@pytest.mark.parametrize("one", cards(), ids=lambda one: one.name)
def test_every_formula_can_be_tried_or_says_why_not(one):
    assert can_compute(one, formulae()[one.name])
    with pytest.raises(CannotCompute, match="does not know"):
        run(one.name, walrus="1")


def test_every_public_function_without_a_card_is_a_helper_with_one_sentence():
    helpers = [
        (module.__name__, name)
        for module in modules()
        for name, function in public_functions(module)
        if not is_formula(function)
    ]

    assert len(helpers) <= MOST_HELPERS
    assert [name for _, name in helpers if re.search(r"_(19|20)\d\d", name)] == []


def test_a_formula_that_says_too_little_is_noticed():
    def half_said_2001(age_years: float) -> float:
        """Half a sentence.

        Something that is no line of a card.

        Returns: something.
        """
        return age_years

    told = read_card(half_said_2001)

    assert (told.unit, told.limits, told.error, told.source, told.checked) == ("", "", "", "", "")
    assert told.provenance is None
    assert told.inputs[0].unit == ""
    assert told.title == "half said 2001"


def test_only_what_says_everything_is_whole():
    assert [name for name, function in formulae().items() if not is_whole(function)] == []
    assert not is_whole(test_only_what_says_everything_is_whole)
    assert not is_whole(read_card)


def test_a_card_reads_lines_that_go_on():
    told = card("ratio_effort_from_rpe_borg_2001")

    assert told.limits.endswith("Keep the rating itself beside the number.")
    assert told.raises == "values outside 6 to 20, NaN included."


def test_an_unknown_formula_names_its_neighbours():
    with pytest.raises(NoSuchFormula, match="Did you mean hrmax_tanaka_2001"):
        card("hrmax_tanaka_2002")
    assert "hrmax_tanaka_2001" in formulae()


class Colour(StrEnum):
    RED = "red"


@dataclass(frozen=True)
class Line:
    slope: float
    name: str

    @property
    def doubled(self) -> float:
        return 2 * self.slope


@dataclass(frozen=True)
class Deep:
    line: Line


READABLE = [
    (float, " 0.5 ", 0.5),
    (float, "-1e2", -100.0),
    (int, "3", 3),
    (str, "words", "words"),
    (bool, "yes", True),
    (bool, "no", False),
    (Colour, "red", Colour.RED),
    (Sex | None, "F", Sex.FEMALE),
    (Sex | None, "unknown", None),
    (Literal["a", "b"], "b", "b"),
    (Literal["a", "b"] | None, "none", None),
    (float | None, "?", None),
    (float | None, "2", 2.0),
    (int | str | None, "none", None),
    (Sequence[float], "1, 2", (1.0, 2.0)),
    (Sequence[float | None], "1,none", (1.0, None)),
    (Collection[Colour], "red", (Colour.RED,)),
    (Collection[Colour], "", ()),
    (Line, "slope:2, name:x", Line(2.0, "x")),
    (date, "2026-11-25", date(2026, 11, 25)),
    (date | None, "unknown", None),
]


@pytest.mark.parametrize(("kind", "text", "value"), READABLE)
def test_a_typed_text_is_read_by_its_kind(kind, text, value):
    assert read_typed("x", text, kind) == value


@pytest.mark.parametrize("kind", [npt.ArrayLike, npt.NDArray[np.float64]])
def test_an_array_is_typed_with_commas(kind):
    assert read_typed("x", "1,2.5", kind).tolist() == [1.0, 2.5]
    assert is_series(kind)
    assert can_be_typed(kind)


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        *((float, text) for text in ("", "abc", "nan", "inf", "1_000", "٣", "1e999", "0x10")),
        *((int, text) for text in ("1.5", "x")),
        *((bool, text) for text in ("true", "")),
        *((date, text) for text in ("2026-02-30", "25.11.2026", "20261125")),
        *((Colour, "blue"), (Literal["a"], "b"), (Sequence[float], "1,,2"), (Sequence[float], "none")),
        *((Line, "slope:2"), (Deep, "line:1"), (dict[str, float], "a")),
        (Sequence[float], ",".join(["1"] * (MOST_VALUES + 1))),
    ],
)
def test_what_cannot_be_read_is_refused_with_a_sentence(kind, text):
    with pytest.raises(CannotRead, match="x "):
        read_typed("x", text, kind)


def test_what_can_be_typed_is_known_beforehand():
    assert can_be_typed(float | None)
    assert can_be_typed(Line)
    assert not can_be_typed(Deep)
    assert not can_be_typed(dict[str, float])
    assert record_fields(Line) == ("slope", "name")
    assert record_fields(float) == ()
    assert choices(Collection[Colour]) == ("red",)
    assert choices(float) == ()


def test_anything_becomes_plain_data():
    value = {"a": np.array([1.0, np.inf]), "b": Deep(Line(1.0, "x")), "c": (Colour.RED, None, 2), "d": np.float64(3)}

    assert plain(value) == {
        "a": [1.0, None],
        "b": {"line": {"slope": 1.0, "name": "x", "doubled": 2.0}},
        "c": ["red", None, 2],
        "d": 3.0,
    }


@pytest.mark.parametrize(
    ("typed", "said"),
    [({}, "still needs age_years"), ({"age_years": "old"}, "plain number"), ({"age_years": "9"}, "from 18 to 100")],
)
def test_what_was_typed_wrong_is_said(typed, said):
    with pytest.raises(CannotCompute, match=said):
        run("hrmax_tanaka_2001", **typed)


def test_a_gap_comes_with_its_reason():
    answer = run("vo2_on_foot", speed_m_per_min="120")

    assert answer.value is None
    assert answer.missing is not None
    assert "ask which gait" in answer.missing


def test_an_answer_without_an_error_of_its_own_says_that_of_its_card():
    answer = run(
        "target_heart_rate_karvonen_1957", heart_rate_max_bpm="180", heart_rate_rest_bpm="60", reserve_fraction="0.7"
    )

    assert (answer.value, answer.unit, answer.error) == (pytest.approx(144), "bpm", None)
    assert answer.error_words == card("target_heart_rate_karvonen_1957").error


def test_more_than_the_value_is_kept(monkeypatch):
    answer = run(
        "one_mile_walk_kline_1987", sex="F", age_years="57", mass_kg="55.8", duration_s="1080", heart_rate_bpm="112"
    )

    assert answer.unit == "mL/kg/min"
    assert "comparable_key" in answer.more
    assert answer.as_data()["more"] == answer.more


def test_arithmetic_that_leads_nowhere_is_a_sentence(monkeypatch):
    def broken(age_years: float) -> float | Missing:
        return 1 / (age_years - 1)

    monkeypatch.setattr(calculator, "formulae", lambda: {"hrmax_tanaka_2001": broken})

    with pytest.raises(CannotCompute, match="division by zero"):
        run("hrmax_tanaka_2001", age_years="1")
