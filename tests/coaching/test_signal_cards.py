"""Every signal is about one thing, names the settings it uses, and a safety setting can only be made stricter."""

from __future__ import annotations

from app.coaching.rules import cards
from app.coaching.signal_cards import CARDS, Group, touched_by
from app.coaching.signals import NAMES

#: What a hard session is, and one published way among two; each is looked at where it is set.
_NOT_A_GUARD = {"hard_effort_lowest", "diabetes_alternative"}


def test_every_signal_has_a_card_and_every_card_a_signal() -> None:
    assert set(CARDS) == set(NAMES)


def test_every_setting_named_on_a_card_is_a_setting() -> None:
    known = {card.name for card in cards()}

    assert {name for card in CARDS.values() for name in card.settings} <= known


def test_no_safety_line_can_be_tuned_away() -> None:
    stricter = {card.name for card in cards() if card.stricter is not None}
    used = {name for card in CARDS.values() if card.group is Group.SAFETY for name in card.settings}

    assert used - _NOT_A_GUARD <= stricter


def test_a_setting_leads_to_the_signals_it_touches() -> None:
    assert touched_by("contact_days") == ("contact_overdue",)
    assert touched_by("zone") == ()
