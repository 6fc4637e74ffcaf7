"""`foothill workings`: the list, a card, a computation, and sentences instead of traces."""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import pytest

from app.cli import main
from app.coaching.catalogue import functions

NO_TO_ALL = ("active=no", "symptoms=no", "disease=no")


def test_the_list_names_every_formula(capsys):
    assert main(["workings"]) == 0

    lines = capsys.readouterr().out.splitlines()
    assert [line.split()[0] for line in lines] == list(functions())


def test_the_list_as_json_holds_every_card(capsys):
    assert main(["workings", "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert [one["name"] for one in told] == list(functions())
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


FOUR_ROUNDS = (
    "even_power_for_reserve critical_power_w=250 w_prime_j=20000 rounds=4 work_s=240 recovery_s=240 "
    "recovery_power_w=100 reserve_fraction=0.15"
)


def test_an_even_power_comes_with_its_model_and_reserves_and_says_why_it_has_no_range(capsys):
    assert main(["workings", *FOUR_ROUNDS.split(), "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert (told["unit"], told["model"], told["range"]) == ("W", "differential", None)
    assert told["value"] == pytest.approx(309.17, abs=0.01)
    assert "critical_power_se_w" in told["range_words"]
    assert len(told["reserve_after_rounds"]) == 4
    assert told["reserve_after_rounds"][-1] == pytest.approx(0.15)
    assert told["more"]["model"] == told["model"]


def test_an_even_power_has_a_range_when_the_errors_of_the_fit_are_given(capsys):
    errors = "critical_power_se_w=4 w_prime_se_j=1500 correlation=-0.8 model=conservative"
    assert main(["workings", *FOUR_ROUNDS.split(), *errors.split(), "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    low, high = told["range"]
    assert told["model"] == "conservative"
    assert low < told["value"] < high


def test_an_even_power_is_told_as_text_with_model_and_range(capsys):
    assert main(["workings", *FOUR_ROUNDS.split()]) == 0

    said = capsys.readouterr().out
    assert "model: differential" in said
    assert "range_words: no range" in said


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
        (["hrmax_tanaka_2001", "--json", "age=63"], "does not know age; it takes age_years."),
        (["--json", "hrmax_tanaka_2001", "age_years=-3"], "Age must be from 18 to 100 years; -3 is outside."),
        (["hrmax_tanaka_2001", "age_years="], "must be a plain number"),
        (["zzzz", "--json"], "There is no formula called zzzz."),
        (["screening_decision", "active=perhaps"], "screening_decision still needs symptoms"),
        (
            [*["screening_decision", "active=yes", "symptoms=no", "disease=no", "wanted=all", "clearance=none"]],
            "wanted must be",
        ),
    ],
)
def test_what_cannot_be_done_is_a_sentence_and_exit_code_two(capsys, given, sentence):
    assert main(["workings", *given]) == 2

    said = capsys.readouterr()
    assert sentence in said.err
    assert said.err.startswith("foothill: ")
    assert said.out == ""


@pytest.mark.parametrize(
    "words",
    [
        "workings hrmax_sydo_2014 age_years=63 sex=F --json",
        "workings hrmax_sydo_2014 sex=F age_years=63 --json",
        "workings hrmax_sydo_2014 --json age_years=63 sex=F",
        "workings hrmax_sydo_2014 age_years=63 --json sex=F",
        "workings --json hrmax_sydo_2014 sex=F age_years=63",
        "--json workings hrmax_sydo_2014 sex=F age_years=63",
    ],
)
def test_json_and_the_pairs_stand_in_any_order(capsys, words):
    assert main(words.split()) == 0

    assert json.loads(capsys.readouterr().out)["value"] == pytest.approx(210 - 0.79 * 63)


def test_an_unknown_option_is_a_sentence_and_exit_code_two(capsys):
    with pytest.raises(SystemExit) as left:
        main(["workings", "hrmax_tanaka_2001", "--xml", "age_years=63"])

    assert left.value.code == 2
    assert "unrecognized arguments: --xml" in capsys.readouterr().err


def days_ago(days: int) -> str:
    """Counted from the day the command itself counts from."""
    return (datetime.now(UTC).astimezone().date() - timedelta(days=days)).isoformat()


LM, V = "granted_light_moderate", "granted_vigorous"
NOTHING, ALL = "nothing is stopped", "all training is stopped"
HARD = "middle and hard work is stopped, easy work goes on"
BEYOND_LIGHT = "nothing beyond light, easy effort until the questions are answered"


# The reference's own vectors: Riebe et al. 2015 (published, second-hand) with the house rows. Answers: active,
# symptoms, disease, wanted, clearance; days: how long ago.
@pytest.mark.parametrize(
    ("answers", "days", "outcome", "stops"),
    [
        ("no no no vigorous none", {}, "DEFER", HARD),
        ("no no yes light_moderate none", {}, "HOLD", ALL),
        (f"no no yes light_moderate {LM}", {"clearance_on": 364}, "OK", NOTHING),
        (f"no no yes light_moderate {LM}", {"clearance_on": 366}, "HOLD", ALL),
        ("yes no yes light_moderate none", {}, "OK", NOTHING),
        (f"yes no yes vigorous {LM}", {"clearance_on": 1}, "HOLD", HARD),
        (f"yes yes yes vigorous {V}", {"clearance_on": 100, "symptom_on": 3}, "STOP", ALL),
        (f"yes yes yes vigorous {V}", {}, "STOP", ALL),
        ("yes yes no light_moderate none", {}, "STOP", ALL),
        ("unknown no no vigorous none", {}, "DEFER", HARD),
        ("yes unknown no light_moderate none", {}, "HOLD", BEYOND_LIGHT),
        ("yes no unknown vigorous none", {}, "HOLD", HARD),
    ],
)
def test_the_screening_decision_answers_the_reference_vectors(capsys, answers, days, outcome, stops):
    keys = ("active", "symptoms", "disease", "wanted", "clearance")
    pairs = [f"{key}={text}" for key, text in zip(keys, answers.split(), strict=True)]
    dates = [f"{key}={days_ago(count)}" for key, count in days.items()]

    assert main(["workings", "screening_decision", *pairs, *dates, "--json"]) == 0

    told = json.loads(capsys.readouterr().out)
    assert (told["outcome"], told["stops"]) == (outcome, stops)


def test_the_screening_decision_tells_row_gaps_next_step_source_and_notes(capsys):
    words = "active=unknown symptoms=no disease=no wanted=vigorous clearance=none --json"
    main(["workings", "screening_decision", *words.split()])

    told = json.loads(capsys.readouterr().out)
    assert (told["outcome"], told["branch"], told["missing"]) == ("DEFER", 13, ["active"])
    assert told["next"].startswith("Ask about activity")
    assert told["provenance"] == "house choice"
    assert "[riebe2015]" in told["source"]
    assert any("clears nobody" in note for note in told["notes"])


def test_the_screening_decision_lets_hard_work_begin_after_the_transition(capsys):
    words = "active=no symptoms=no disease=no wanted=vigorous clearance=none transition_done=yes --json"
    main(["workings", "screening_decision", *words.split()])

    assert json.loads(capsys.readouterr().out)["outcome"] == "OK"


def test_a_clearance_dated_after_the_symptom_counts(capsys):
    words = "active=yes symptoms=yes disease=no wanted=vigorous clearance=granted_vigorous --json"
    main(
        ["workings", "screening_decision", *words.split(), f"symptom_on={days_ago(9)}", f"clearance_on={days_ago(2)}"]
    )

    assert json.loads(capsys.readouterr().out)["outcome"] == "OK"


def test_a_decision_is_told_as_text_too(capsys):
    words = "active=no symptoms=yes disease=no wanted=vigorous clearance=none"
    main(["workings", "screening_decision", *words.split()])

    told = capsys.readouterr().out
    assert told.startswith("outcome: HOLD\n")
    assert "branch: 6\n" in told
