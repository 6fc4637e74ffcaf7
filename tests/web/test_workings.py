"""The workings: everything from the pure floors is on the page, and a search finds it."""

from __future__ import annotations

import pytest

from app.coaching.promotion import CONDITION_KEYS
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import Provenance
from app.coaching.rules import Rules, cards
from app.coaching.screening import Intensity, YesNo
from app.coaching.screening_table import Outcome, ScreeningInputs, screen
from app.coaching.signals import NAMES
from app.physiology.sources import SOURCES
from app.workings import catalogue, search
from tests.seed import TODAY

EVERYTHING = {section.key: section for section in catalogue(Rules(), TODAY)}


def keys_of(section):
    return [entry.key for entry in EVERYTHING[section].entries]


@pytest.mark.parametrize(
    ("section", "keys"),
    [
        ("rules", [card.name for card in cards()]),
        ("conditions", list(CONDITION_KEYS)),
        ("signals", list(NAMES)),
        ("protocols", list(PROTOCOLS)),
        ("sources", list(SOURCES)),
        ("screening", [f"row-{n}" for n in range(1, 19)]),
    ],
)
def test_nothing_the_desk_works_by_is_left_out(section, keys):
    assert keys_of(section) == keys


def test_every_signal_says_when_it_speaks():
    assert [entry.key for entry in EVERYTHING["signals"].entries if not entry.says.endswith(".")] == []


def test_a_signal_shared_by_two_names_finds_its_rule():
    near = next(entry for entry in EVERYTHING["signals"].entries if entry.key == "base_near")

    assert near.says.startswith("Every condition for hard work is met")


def test_everything_but_signals_says_how_far_to_trust_it():
    silent = {
        entry.key
        for section in EVERYTHING.values()
        for entry in section.entries
        if section.key != "signals" and not isinstance(entry.provenance, Provenance)
    }

    assert silent == set()


def test_the_practices_own_value_is_shown():
    entry = next(e for s in catalogue(Rules(base_weeks=30), TODAY) for e in s.entries if e.key == "base_weeks")

    assert [(one.name, one.text) for one in entry.figures][:2] == [("now", "30 weeks"), ("default", "26 weeks")]


def test_the_rows_of_the_table_are_those_the_table_fires():
    stopped = screen(ScreeningInputs(YesNo.YES, YesNo.YES, YesNo.NO, Intensity.VIGOROUS))

    row = next(entry for entry in EVERYTHING["screening"].entries if entry.key == f"row-{stopped.branch}")
    assert stopped.outcome is Outcome.STOP
    assert row.says == stopped.comes_next


def test_a_search_wants_every_word_in_any_order_and_case():
    found = search(tuple(EVERYTHING.values()), "DAYS hard 14")

    assert "fortnight_ceiling" in {entry.key for section in found for entry in section.entries}
    assert "base_weeks" not in {entry.key for section in found for entry in section.entries}
    assert search(tuple(EVERYTHING.values()), "hard walrus") == ()


def test_the_page_shows_everything(coach):
    page = coach.get("/workings")

    assert page.status_code == 200
    assert page.text.count("<tr id=") == sum(len(section.entries) for section in EVERYTHING.values())
    assert "common practice, no published source" in page.text
    assert "10.1249/MSS.0000000000000664" in page.text


def test_a_search_leaves_what_holds_the_words(coach):
    page = coach.get("/workings?q=blood+pressure")

    assert 'id="conditions-pressure"' in page.text
    assert 'id="rules-base_weeks"' not in page.text
    assert 'value="blood pressure"' in page.text


@pytest.mark.parametrize("words", ["<script>alert(1)</script>", "\x00", "%F0%9F%8F%83", "x" * 5000])
def test_odd_words_find_nothing_or_everything_but_break_nothing(coach, words):
    page = coach.http.get("/workings", params={"q": words})

    assert page.status_code == 200
    assert "<script>alert" not in page.text


def test_nothing_found_shows_the_way_back(coach):
    page = coach.get("/workings?q=walrus")

    assert "Nothing holds all of these words" in page.text
    assert '<a href="/workings">Show everything</a>' in page.text


def test_a_stand_in_reads_the_workings_too(stand_in):
    assert stand_in.get("/workings").status_code == 200
