"""What is said would change a line: never hard work somebody should not do, and nothing that cannot come true."""

from __future__ import annotations

import re

import pytest

from app.coaching.phases import Phase
from app.coaching.readiness import Illness
from app.coaching.signals import NAMES, Signal, signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, calm, easy_done, found, hard_done_on, hard_planned, on
from tests.coaching.signal_table import TABLE

#: Words that send somebody into work, now or soon; a hard session may be named only as what comes when it is due.
_SENDS = re.compile(r"\bwithin \d+ (?:h|days?)\b|\bA hard session\b|\bmore hard\b|\btoday at once\b|\bcatch up\b")


def _would_change(signal: Signal | None) -> str:
    assert signal is not None
    return signal.why.would_change or ""


@pytest.mark.parametrize("name", NAMES)
def test_no_line_says_that_hard_work_soon_would_change_it(name: str) -> None:
    rows = TABLE[name]()
    signal = next(one for one in signals(rows.fires, TODAY, rows.rules) if one.name == name)

    assert not _SENDS.search(signal.why.would_change or "")


def test_after_a_gap_hard_work_comes_no_harder_than_the_last_and_is_not_made_up() -> None:
    signal = found(calm(logs=(easy_done(-1), hard_done_on(-9))), "hard_gap")

    assert "no harder than the last" in _would_change(signal)
    assert "nothing is made up" in _would_change(signal)


@pytest.mark.parametrize(
    ("note", "said"),
    [
        ({"slept_h": 4.5}, "The ten-minute warm-up"),
        ({"not_right_today": True}, "Nothing today."),
        ({"illness": Illness.ABOVE_NECK}, "Nothing today."),
        ({"illness": Illness.FEVER_OR_BELOW}, "Nothing today. First being well again"),
    ],
)
def test_only_where_the_warm_up_decides_may_the_day_still_change(note: dict[str, object], said: str) -> None:
    signal = found(calm(readiness=(make.readiness(**note),), planned=(hard_planned(0),)), "hard_today_in_doubt")

    assert _would_change(signal).startswith(said)


def test_a_paper_with_a_doubt_against_it_lifts_nothing() -> None:
    refused = make.clearance(id=5, given_on=on(-9), recorded_at=make.at(on(0), 18))
    fits = make.clearance(id=6, given_on=on(0), recorded_at=make.at(on(0), 18))

    doubted = found(calm(holds=(make.hold(),), clearances=(refused,)), "paper_while_held")
    read = found(calm(holds=(make.hold(),), clearances=(fits,)), "paper_while_held")

    assert "dated after the hold began" in _would_change(doubted)
    assert "hold lifted" in _would_change(read)


def test_hard_work_outside_its_phase_is_mended_by_its_easy_version() -> None:
    signal = found(calm(Phase.AEROBIC_BASE, planned=(hard_planned(2),)), "hard_without_leave")

    assert _would_change(signal) == "The easy version in its place, or its phase, decided."


def test_feeling_not_right_is_changed_by_another_days_note() -> None:
    signal = found(calm(readiness=(make.readiness(not_right_today=True),)), "readiness_down")

    assert _would_change(signal) == "A later day's note without “not right today”."
