"""Typed telephone numbers and time zones: what is understood and what is refused."""

from __future__ import annotations

from zoneinfo import ZoneInfo

import pytest

from app.coaching.typed_values import NotUnderstood, phone_number, zone_name, zones


@pytest.mark.parametrize("typed", ["112", "+49 (0)30 / 12-34", " 0170  555 ", "030/1234"])
def test_a_telephone_number_is_digits_and_what_stands_between_them(typed: str) -> None:
    assert phone_number(typed) == " ".join(typed.split())


@pytest.mark.parametrize("typed", ["call my wife", "12", "+- ()", "112 or my wife", "\u0661\u0661\u0662"])
def test_words_and_too_few_digits_are_no_telephone_number(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="no telephone number"):
        phone_number(typed)


@pytest.mark.parametrize("typed", ["Factory", "Etc/GMT+5", "posix/Europe/Berlin", "right/UTC", "Berlin", "../etc"])
def test_a_zone_nobody_lives_in_is_refused(typed: str) -> None:
    with pytest.raises(NotUnderstood, match="Europe/Berlin"):
        zone_name(typed)


def test_every_zone_offered_is_one_the_clock_knows() -> None:
    assert len(zones()) > 400
    assert zone_name(" Europe/Berlin ") == ZoneInfo("Europe/Berlin").key
    assert zone_name("Etc/UTC") == "Etc/UTC"
    assert all(ZoneInfo(one).key == one for one in zones())
