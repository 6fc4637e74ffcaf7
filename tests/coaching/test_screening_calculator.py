"""The screening table asked by hand: every combination against the table as it is printed, row by row."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

import pytest

from app.coaching.catalogue import as_data, run
from app.coaching.screening import Intensity, YesNo
from app.coaching.screening_calculator import ClearanceWord, screening_decision
from app.physiology.calculator import CannotCompute
from app.physiology.values import OutOfRange

ASKED = date(2026, 11, 25)
COLUMNS = ("active", "symptoms", "disease", "wanted", "clearance", "is_after", "transition_done")
#: Riebe et al. 2015 (published, second-hand) with the house rows, in the order of precedence: the first that fits
#: wins. LM, V: light to moderate, vigorous; a clearance of one is granted. `is_after`: dated after the symptom.
TABLE = """
row outcome active     symptoms disease wanted clearance                        is_after transition_done
12  STOP    yes        yes      *       V      none|requested|refused|expired|LM *       *
12  STOP    yes        yes      *       V      V                                 no      *
11  STOP    yes        yes      *       LM     none|requested|refused|expired    *       *
11  STOP    yes        yes      *       LM     LM|V                              no      *
6   HOLD    no|unknown yes      *       V      none|requested|refused|expired|LM *       *
6   HOLD    no|unknown yes      *       V      V                                 no      *
5   HOLD    no|unknown yes      *       LM     none|requested|refused|expired    *       *
5   HOLD    no|unknown yes      *       LM     LM|V                              no      *
16  HOLD    *          *        *       *      refused                           *       *
17  HOLD    *          *        *       V      LM                                *       *
18  HOLD    *          *        *       V      expired                           *       *
3   HOLD    no|unknown *        yes     LM     none|requested|expired            *       *
4   HOLD    no|unknown *        yes     V      none|requested                    *       *
10  HOLD    yes        *        yes     V      none|requested                    *       *
15  HOLD    no|unknown *        unknown *      none|requested|expired            *       *
14  HOLD    *          unknown  *       *      *                                 *       *
15  HOLD    yes        *        unknown V      none|requested                    *       *
6   DEFER   no|unknown yes      *       V      V                                 yes     no
6   OK      no|unknown yes      *       V      V                                 yes     yes
5   OK      no|unknown yes      *       LM     LM|V                              yes     *
12  OK      yes        yes      *       V      V                                 yes     *
11  OK      yes        yes      *       LM     LM|V                              yes     *
15  DEFER   no|unknown no       unknown V      V                                 *       no
15  OK      no|unknown no       unknown V      V                                 *       yes
15  OK      no|unknown no       unknown LM     LM|V                              *       *
15  OK      yes        no       unknown V      V                                 *       *
15  OK      yes        no       unknown LM     *                                 *       *
13  DEFER   unknown    no       no|yes  V      *                                 *       no
13  OK      unknown    no       no|yes  *      *                                 *       *
4   DEFER   no         no       yes     V      V                                 *       no
4   OK      no         no       yes     V      V                                 *       yes
3   OK      no         no       yes     LM     LM|V                              *       *
10  OK      yes        no       yes     V      V                                 *       *
9   OK      yes        no       yes     LM     *                                 *       *
2   DEFER   no         no       no      V      *                                 *       no
2   OK      no         no       no      V      *                                 *       yes
1   OK      no         no       no      LM     *                                 *       *
7   OK      yes        no       no      LM     *                                 *       *
8   OK      yes        no       no      V      *                                 *       *
"""
ROWS = [line.split() for line in TABLE.strip().splitlines()[1:]]
WISHES = {"LM": "light_moderate", "V": "vigorous"}
PAPERS = {word: word for word in ("none", "requested", "refused", "expired")} | {
    "LM": "granted_light_moderate",
    "V": "granted_vigorous",
}
ANSWERS = ("yes", "no", "unknown")
EVERYTHING = list(product(ANSWERS, ANSWERS, ANSWERS, WISHES, PAPERS, ("yes", "no"), ("yes", "no")))


def printed(case):
    """The outcome and the row that the printed table gives."""
    return next(
        (outcome, int(row))
        for row, outcome, *cells in ROWS
        if all(cell == "*" or one in cell.split("|") for cell, one in zip(cells, case, strict=True))
    )


def asked(case):
    active, symptoms, disease, wanted, paper, is_after, transition_done = case
    days = {"symptom_on": "2026-11-05", "clearance_on": "2026-11-10"} if is_after == "yes" else {}
    return as_data(
        run(
            "screening_decision",
            today=ASKED,
            active=active,
            symptoms=symptoms,
            disease=disease,
            wanted=WISHES[wanted],
            clearance=PAPERS[paper],
            transition_done=transition_done,
            **days,
        )
    )


def test_every_combination_is_decided_as_the_printed_table_says():
    told = {case: asked(case) for case in EVERYTHING}

    assert {case: (one["outcome"], one["branch"]) for case, one in told.items()} == {
        case: printed(case) for case in EVERYTHING
    }


def test_every_row_of_the_printed_table_is_met():
    met = [next(n for n, row in enumerate(ROWS) if _fits(row, case)) for case in EVERYTHING]

    assert sorted(set(met)) == list(range(len(ROWS)))
    assert {int(row[0]) for row in ROWS} == set(range(1, 19))


def _fits(row, case):
    return all(cell == "*" or one in cell.split("|") for cell, one in zip(row[2:], case, strict=True))


def test_what_was_not_answered_is_named_by_its_key():
    assert asked(("unknown", "no", "unknown", "V", "none", "no", "no"))["missing"] == ["active", "disease"]


def ask(**changes):
    given = {
        "active": YesNo.YES,
        "symptoms": YesNo.NO,
        "disease": YesNo.YES,
        "wanted": Intensity.VIGOROUS,
        "clearance": ClearanceWord.GRANTED_VIGOROUS,
        "asked_on": ASKED,
    }
    return screening_decision(**(given | changes))


@pytest.mark.parametrize(("days", "outcome"), [(0, "OK"), (365, "OK"), (366, "HOLD")])
def test_a_clearance_counts_for_a_year(days, outcome):
    assert ask(clearance_on=ASKED - timedelta(days=days)).outcome == outcome


@pytest.mark.parametrize(("symptom_days", "outcome"), [(100, "STOP"), (101, "OK"), (99, "STOP")])
def test_a_clearance_counts_only_when_given_after_the_symptom(symptom_days, outcome):
    found = ask(
        symptoms=YesNo.YES,
        clearance_on=ASKED - timedelta(days=100),
        symptom_on=ASKED - timedelta(days=symptom_days),
    )

    assert found.outcome == outcome


@pytest.mark.parametrize("given", ["symptom_on", "clearance_on"])
def test_one_day_alone_lets_no_clearance_count_against_a_symptom(given):
    found = ask(symptoms=YesNo.YES, **{given: ASKED - timedelta(days=1)})

    assert found.outcome == "STOP"
    assert "older than the symptom" in found.notes[0]


def test_a_symptom_since_the_clearance_ends_it_though_it_is_gone():
    found = ask(clearance_on=ASKED - timedelta(days=9), symptom_on=ASKED - timedelta(days=2))

    assert (found.outcome, found.branch) == ("HOLD", 18)


def test_a_paper_without_a_day_says_that_it_counts_as_in_date():
    assert any("no day here" in note for note in ask().notes)


def test_a_day_of_a_paper_nobody_granted_is_said_to_count_for_nothing():
    found = ask(clearance=ClearanceWord.NONE, clearance_on=ASKED)

    assert found.outcome == "HOLD"
    assert any("only when one was granted" in note for note in found.notes)


def test_every_answer_says_that_it_clears_nobody():
    assert all("clears nobody" in " ".join(asked(case)["notes"]) for case in EVERYTHING[::7])


def test_where_a_row_comes_from_is_told():
    assert ask().provenance == "published, second-hand"
    assert ask(clearance=ClearanceWord.REFUSED).provenance == "house choice"


@pytest.mark.parametrize("name", ["symptom_on", "clearance_on"])
def test_a_day_to_come_is_refused(name):
    with pytest.raises(OutOfRange, match="lies after the day of asking"):
        ask(**{name: ASKED + timedelta(days=1)})


def test_a_day_needs_the_day_of_asking():
    with pytest.raises(OutOfRange, match="asked_on"):
        ask(clearance_on=ASKED, asked_on=None)


def test_without_any_day_no_day_of_asking_is_needed():
    assert ask(asked_on=None).outcome == "OK"


@pytest.mark.parametrize("text", ["2026-02-30", "25.11.2026", "yesterday", "20261125", "٢٠٢٦-11-25"])
def test_what_is_no_day_is_refused_with_a_sentence(text):
    with pytest.raises(CannotCompute, match="clearance_on must be a day such as"):
        run(
            "screening_decision",
            today=ASKED,
            active="yes",
            symptoms="no",
            disease="yes",
            wanted="vigorous",
            clearance="granted_vigorous",
            clearance_on=text,
        )
