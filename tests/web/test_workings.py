"""The workings: everything from the pure floors is on the page, and a search finds it."""

from __future__ import annotations

from datetime import date

import pytest

from app.coaching.catalogue import card, decisions, functions
from app.coaching.promotion import CONDITION_KEYS
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import Provenance
from app.coaching.rules import Rules, cards
from app.coaching.screening import Intensity, YesNo
from app.coaching.screening_table import Outcome, ScreeningInputs, screen
from app.coaching.signals import NAMES
from app.physiology.calculator import Answer
from app.physiology.catalogue import formulae
from app.physiology.sources import SOURCES
from app.web.coach.workings_trial import _hint, _lines, _refusal, _told
from app.workings import catalogue, search
from tests.plan_scenes import words_of
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


def test_every_formula_has_its_row_and_a_way_to_try_it(coach):
    page = coach.get("/workings")

    assert keys_of("formulae") == list(formulae())
    assert keys_of("decisions") == list(decisions())
    assert [key for key in functions() if f'<tr id="{key}">' not in page.text] == []
    assert page.text.count(">Try ") == len(functions())


def test_a_formula_is_found_by_a_word_of_its_limits(coach):
    page = coach.get("/workings?q=tanaka+pooled")

    assert 'id="hrmax_tanaka_2001"' in page.text
    assert 'id="hrmax_fox_1971"' not in page.text


def test_a_formula_opens_in_its_row(coach):
    page = coach.get("/workings?formula=hrmax_tanaka_2001&q=tanaka")

    assert 'action="/workings#hrmax_tanaka_2001"' in page.text
    assert '<input id="try-age_years" name="age_years"' in page.text
    assert 'role="status"' in page.text.split("<main", 1)[1]
    assert "result:" not in page.text


def test_a_formula_is_computed_in_place(coach):
    page = coach.get("/workings?formula=hrmax_tanaka_2001&computed=yes&age_years=63")

    assert '<span class="meta">result:</span> 163.9 bpm' in page.text
    assert '<span class="meta">error:</span> SD about 10 bpm' in page.text
    assert 'value="63"' in page.text


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ("age_years=9", "Age must be from 18 to 100 years; 9 is outside."),
        ("age_years=old", "age_years must be a plain number"),
        ("", "still needs age_years"),
    ],
)
def test_what_a_formula_refuses_is_said_and_what_was_typed_is_kept(coach, asked, said):
    page = coach.get(f"/workings?formula=hrmax_tanaka_2001&computed=yes&{asked}")

    assert page.status_code == 200
    assert said in page.text
    assert f'value="{asked.partition("=")[2]}"' in page.text


def test_a_choice_is_a_list_and_a_composed_result_is_told_line_by_line(coach):
    page = coach.get("/workings?formula=hrmax_opinions&computed=yes&age_years=60&sex=F")

    assert '<option value="F" selected>' in page.text
    assert '<span class="meta">spread bpm:</span> 19.4' in page.text


def test_a_gap_says_why_nothing_comes_out(coach):
    page = coach.get("/workings?formula=vo2_on_foot&computed=yes&speed_m_per_min=120")

    assert '<p class="error" role="alert">Nothing comes out: ' in page.text
    assert "ask which gait it was" in page.text


@pytest.mark.parametrize("word", ["pre-participation", "riebe papers", "clearance_on"])
def test_the_screening_decision_is_found_by_a_word(coach, word):
    page = coach.http.get("/workings", params={"q": word})

    assert '<tr id="screening_decision">' in page.text


def test_the_screening_decision_is_chosen_from_lists_and_decided_in_place(coach):
    answers = "active=no&symptoms=no&disease=yes&wanted=vigorous&clearance=none"
    page = coach.get(f"/workings?formula=screening_decision&computed=yes&{answers}")

    assert '<option value="granted_light_moderate">granted light moderate</option>' in page.text
    assert page.text.count("<select") == 6
    assert '<span class="meta">outcome:</span> HOLD' in page.text
    assert '<span class="meta">branch:</span> 4' in page.text
    assert "clears nobody" in page.text


def test_a_screening_decision_counts_days_from_the_day_of_the_desk(coach):
    answers = "active=no&symptoms=no&disease=yes&wanted=light_moderate&clearance=granted_light_moderate"
    page = coach.get(f"/workings?formula=screening_decision&computed=yes&{answers}&clearance_on=2025-11-24")

    assert '<span class="meta">outcome:</span> HOLD' in page.text


def test_an_unknown_formula_opens_nothing(coach):
    page = coach.get("/workings?formula=walrus")

    assert page.status_code == 200
    assert 'class="trial"' not in page.text


def test_no_input_is_called_as_the_page_calls_its_own():
    taken = {i.name for name in functions() for i in card(name).inputs} & {"q", "formula", "computed"}

    assert taken == set()


@pytest.mark.parametrize(
    ("kind", "typed", "shown"),
    [
        (list[float], "1", "limits. Commas between."),
        (list[bool], "", "limits. Commas between: yes, no."),
        (date | None, "", "limits. Written as 2026-11-25."),
        (float, "", "limits"),
    ],
)
def test_what_is_typed_in_a_way_of_its_own_says_how(kind, typed, shown):
    assert _hint("limits", kind) == shown


def test_plain_things_are_told_in_words():
    told = _told("", {"a": True, "b": None, "c": [1.0, 2.5], "d_e": [{"f": "g"}]}, set())

    assert told == [("a", "yes"), ("b", "none"), ("c", "1, 2.5"), ("d e 1: f", "g")]


def test_an_estimate_among_several_is_one_line_and_no_note_is_said_twice():
    one = {
        "value": 166.0,
        "unit": "bpm",
        "error": 10.0,
        "error_words": "SD 10",
        "source": "x2001",
        "notes": ["far off"],
    }

    assert _told("", {"all": [one, one]}, set()) == [
        ("all 1", "166 bpm (SD 10; x2001; far off)"),
        ("all 2", "166 bpm (SD 10; x2001)"),
    ]


def test_a_part_of_a_list_is_labelled_in_words_and_numbered():
    value = {"forms": [{"reserve_after_rounds": [0.431666]}, {"reserve_after_rounds": [0.5]}]}
    answer = Answer("even_targets", value, "no unit", None, "unknown", "house")

    assert _lines("", answer) == [
        ("form 1: reserve after rounds", "0.431666"),
        ("form 2: reserve after rounds", "0.5"),
    ]


@pytest.mark.parametrize(
    ("value", "missing", "said"),
    [
        (None, "no age is known", "Nothing comes out: no age is known"),
        ({"value": None, "reason": "too few rounds"}, None, "Nothing comes out: too few rounds"),
        (None, None, "Nothing comes out: there is no number for this; what is known stands below."),
        ({"value": 3.0}, None, None),
        (0.0, None, None),
    ],
)
def test_a_result_without_a_value_is_a_refusal(value, missing, said):
    assert _refusal(Answer("any", value, "W", None, "unknown", "house", missing=missing)) == said


def test_a_share_is_a_percent_and_its_trust_is_said_once(coach):
    text = words_of(coach.get("/workings?q=rise+of+weekly+minutes"))

    assert "now: 10 %" in text
    assert "limits: 0 % to 10 %" in text
    assert text.count("common practice, no published source") == 1
