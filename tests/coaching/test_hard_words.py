"""An easy session whose words sound hard is asked about before it is sent."""

from __future__ import annotations

import pytest

from app.coaching.hard_words import hard_words
from app.coaching.lookahead import Level, breaches
from app.coaching.rules import Rules
from tests import factories as make
from tests.factories import TODAY


@pytest.mark.parametrize(
    "words", ["4 x 4 min", "flat out", "All-out", "As hard as you can", "sprints", "Intervals", "maximal"]
)
def test_words_that_sound_hard_are_found(words):
    assert hard_words(f"Uphill, {words} today")


@pytest.mark.parametrize("words", ["not hard", "nothing hard", "hardly uphill", "Easy ride 45 min", "no intervals"])
def test_calm_words_are_not(words):
    assert hard_words(words) == ()


@pytest.mark.parametrize(
    ("session", "is_asked"),
    [
        (make.planned(title="4 x 4 min flat out uphill"), True),
        (make.planned(purpose="As hard as you can, four times"), True),
        (make.planned(), False),
        (make.planned_hard(title="4 x 4 min hard"), False),
    ],
)
def test_only_a_session_not_planned_as_hard_is_asked_about(session, is_asked):
    found = [one for one in breaches(make.history(), [session], TODAY, Rules()) if one.kind == "wording"]

    assert [one.level for one in found] == [Level.ASKS] * is_asked
