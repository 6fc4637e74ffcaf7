"""The rounds over each other: what they aim at is said where no line can run."""

from __future__ import annotations

import re

import pytest

from app.coaching.people import Mode
from app.coaching.round_figures import Output
from app.web.charts.overlay import Overlay, RoundLine, draw_overlay
from app.web.charts.scale import NARROW, WIDE
from app.web.went_tables import fall_words

_NEAR_THE_TOP = ((0.0, 262.0), (60.0, 255.0), (240.0, 239.0))


def _drawn(aim: tuple[float, float] | None, width: float) -> str:
    lines = (RoundLine("round 1", (_NEAR_THE_TOP,)),)
    overlay = Overlay(lines, Output.POWER, Mode.INDOOR_RIDE, 240.0, aim, "aim 243 W to 254 W" if aim else "", 0.08)
    return str(draw_overlay(overlay, finding="The rounds", desc="Round 1.", key="k", width=width))


def _heights(path: str) -> list[float]:
    return [float(y) for _x, y in re.findall(r"(-?[\d.]+) (-?[\d.]+)", path)]


@pytest.mark.parametrize("width", [WIDE, NARROW])
@pytest.mark.parametrize("aim", [(243.0, 254.0), (260.0, 264.0), (270.0, 270.0)])
def test_the_words_of_the_aim_stand_above_every_line(width, aim):
    svg = _drawn(aim, width)

    [word] = re.findall(r'<text[^>]*class="aim-word"[^>]*>', svg)
    baseline = float(re.search(r' y="([\d.]+)"', word)[1])
    paths = re.findall(r'class="m-round" d="([^"]+)"', svg)
    band = re.search(r'<rect class="m-today"[^>]* y="([\d.]+)"', svg)
    assert baseline + 2 < min(height for path in paths for height in _heights(path))
    assert baseline + 2 < float(band[1])


def test_without_an_aim_no_room_is_left_for_its_words():
    assert min(_heights(re.search(r'class="m-round" d="([^"]+)"', _drawn(None, WIDE))[1])) < 40
    assert "aim-word" not in _drawn(None, WIDE)


@pytest.mark.parametrize(("beats", "words"), [(31.6, "32"), (0.2, "0"), (-2.0, "rose by 2"), (None, "")])
def test_a_heart_that_went_on_rising_did_not_fall(beats, words):
    assert fall_words(beats) == words
