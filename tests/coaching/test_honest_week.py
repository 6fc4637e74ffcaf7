"""The honest week: what was meant to be easy, by the answers alone."""

from __future__ import annotations

from typing import Any

import pytest

from app.coaching.effort import Talk
from app.coaching.honest_week import HonestEasy, honest_easy
from app.coaching.matching import Pair, Status
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from tests import factories as make


def _pair(**log: Any) -> Pair:
    return Pair(Status.DONE, make.planned(), make.log(**log))


@pytest.mark.parametrize(
    ("said", "found"),
    [
        ({"talk": Talk.CHAT, "effort": 4.0}, HonestEasy(easy=45)),
        ({"talk": Talk.SENTENCES, "effort": None}, HonestEasy(easy=45)),
        ({"talk": Talk.CHAT, "effort": 5.0}, HonestEasy(above=45)),
        ({"talk": Talk.FEW_WORDS, "effort": 2.0}, HonestEasy(above=45)),
        ({"talk": None, "effort": None}, HonestEasy(unsaid=45)),
    ],
)
def test_the_stricter_of_two_answers_counts(said: dict[str, Any], found: HonestEasy) -> None:
    assert honest_easy([_pair(**said)], Rules()) == found


def test_what_was_planned_hard_or_is_strength_is_left_out() -> None:
    hard = Pair(Status.DONE, make.planned_hard(), make.log(kind=SessionKind.INTERVALS))
    strength = Pair(Status.EXTRA, None, make.log(kind=SessionKind.STRENGTH))

    assert honest_easy([hard, strength], Rules()) == HonestEasy()


def test_the_sentence_says_the_share_and_what_is_not_known() -> None:
    found = HonestEasy(easy=90, above=30, unsaid=20)

    assert found.sentence == (
        "Of 2 h 20 meant to be easy, 1 h 30 were (75 % of those with an answer); 20 min without an answer."
    )
    assert HonestEasy().sentence == "Nothing meant to be easy was done."
    assert HonestEasy(unsaid=20).fraction is None
