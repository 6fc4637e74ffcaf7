"""What My way names as there already was asked for and is there."""

from __future__ import annotations

from datetime import timedelta

import pytest

from app.coaching.promotion import conditions
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.web.phone.way_words import TITLES, there_titles
from tests.factories import TODAY, answers, clearance, history

RULES = Rules()
PAPER = clearance(given_on=TODAY - timedelta(days=3))


@pytest.mark.parametrize(
    ("known", "is_there"),
    [
        ({"screening": (answers(answered_on=TODAY),)}, False),
        ({"screening": (answers(answered_on=TODAY, disease=YesNo.YES),)}, False),
        ({"screening": (answers(answered_on=TODAY, disease=YesNo.YES),), "clearances": (PAPER,)}, True),
    ],
)
def test_a_doctors_paper_is_there_only_where_one_was_asked_for_and_is_held(known, is_there):
    titles = there_titles(conditions(history(**known), TODAY, RULES))

    assert (TITLES["clearance"] in titles) is is_there
    assert TITLES["no_open_hold"] in titles
