"""A planned session in the client's words: how many rounds, and what the effort numbers mean."""

from __future__ import annotations

import pytest

from app.coaching.effort import Band
from app.coaching.prescriptions import SessionKind
from app.coaching.steps import Part, Repeat, Step, to_json
from app.web.session_view import effort_name, session_view
from tests import factories

WORK = Step(Part.WORK, 240, Band.HARD, "Start at effort 4, end at 7, never above 8. By minute 3 only a few words.")
REST = Step(Part.RECOVERY, 240, Band.EASY, "Walk easily.")


def view_of(*nodes):
    return session_view(factories.planned_hard(steps_json=to_json(nodes)))


def test_the_last_round_is_counted_with_the_others():
    last = Step(Part.WORK, 240, Band.HARD, f"{WORK.say} The last one.")

    (line,) = view_of(Repeat(3, (WORK, REST)), last).lines

    assert line.heading == "4 times 4 min, 4 min easy between"
    assert [(one.time, one.say) for one in line.steps[1:]] == [("4 min", REST.say), ("the last", "The last one.")]


@pytest.mark.parametrize(
    "last",
    [Step(Part.WORK, 120, Band.HARD, "Shorter."), Step(Part.COOL_DOWN, 240, Band.EASY, "Walk home.")],
    ids=["shorter", "cool-down"],
)
def test_what_is_no_further_round_stands_alone(last):
    lines = view_of(Repeat(3, (WORK, REST)), last).lines

    assert [one.heading for one in lines[:1]] == ["3 times"]
    assert lines[1].say == last.say


def test_effort_numbers_are_explained_and_minutes_are_not_taken_for_them():
    assert [number for number, _ in view_of(WORK).efforts] == [4, 7, 8]
    assert view_of(WORK).efforts[1] == (7, "hard, a few words")
    assert view_of(REST).efforts == ()


@pytest.mark.parametrize(
    ("session", "name"),
    [
        (factories.planned(title="Flat out"), "Easy"),
        (factories.planned(kind=SessionKind.MIDDLE), "Middle"),
        (factories.planned(steps_json=to_json((Step(Part.MAIN, 1800, Band.MIDDLE, "Brisk."),))), "Middle"),
        (factories.planned_hard(title="A little something"), "Hard"),
        (factories.planned(steps_json=to_json((WORK,))), "Hard"),
        (factories.planned(steps_json="not steps"), "Hard"),
        (factories.planned(kind=SessionKind.STRENGTH), "Strength"),
        (factories.planned(kind=SessionKind.STRENGTH, is_hard=True), "Hard"),
    ],
)
def test_the_word_beside_a_title_says_how_hard_it_is_planned_whatever_the_title_says(session, name):
    assert effort_name(session) == name
