"""What counts as a reason for going against a rule: something that can be read later."""

from __future__ import annotations

import pytest

from app.coaching.reasons import is_reason


@pytest.mark.parametrize(
    "text",
    ["Slept well.", "  Slept\n well ", "Race on Sunday, an easy week before.", "Вчера спала хорошо", "0123456789"],
)
def test_ten_characters_that_say_something_are_a_reason(text: str) -> None:
    assert is_reason(text)


@pytest.mark.parametrize(
    "text", [None, "", " ", "x", "ok", "Slept ok.", "x        y", "xxxxxxxxxxxx", "..........", "ab ab ab ab"]
)
def test_a_letter_one_letter_many_times_or_dots_are_none(text: str | None) -> None:
    assert not is_reason(text)
