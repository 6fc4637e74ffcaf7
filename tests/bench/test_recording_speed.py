"""What reading and judging a long recording costs, against the bare parser that walks the same bytes idly."""

from __future__ import annotations

import io
import time
from collections.abc import Callable
from datetime import UTC, datetime
from xml.parsers import expat

import numpy as np
import pytest

from app.cli_recording import reading
from app.coaching.people import Mode
from app.coaching.recording_series import lay
from app.coaching.rounds_values import RoundsAsked
from app.files.from_gpx import read_gpx
from app.files.recording_file import PIECE

LARGEST_RATIO = 3
SECONDS = 3 * 3600
NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
PLAN = RoundsAsked.alike(4, 240, 240)


def three_hours() -> bytes:
    """A ride of three hours at one point a second, with height, power, heart rate and cadence."""
    dice = np.random.default_rng(7)
    seconds = np.arange(SECONDS)
    into = seconds - 3600
    is_work = (into >= 0) & (into < 4 * 480) & (into % 480 < 240)
    power = np.where(is_work, 260, 130) * (1 + 0.06 * dice.standard_normal(SECONDS)) + 4 * dice.standard_normal(
        SECONDS
    )
    heart = 120 + np.convolve(np.where(is_work, 45.0, 0.0), np.exp(-np.arange(200) / 38) / 38.5)[:SECONDS]
    north = 48 + 5.5e-5 * seconds
    parts = [
        '<?xml version="1.0" encoding="UTF-8"?>\n<gpx version="1.1" creator="bench" xmlns:e="urn:e">\n<trk><trkseg>\n'
    ]
    for n in range(SECONDS):
        parts.append(
            f' <trkpt lat="{north[n]:.7f}" lon="11.0000000">\n  <ele>{500 + n % 60:.1f}</ele>\n'
            f"  <time>2026-11-24T{6 + n // 3600:02d}:{n // 60 % 60:02d}:{n % 60:02d}Z</time>\n"
            f"  <extensions>\n   <e:power>{power[n]:.0f}</e:power>\n   <e:more>\n    <e:hr>{heart[n]:.0f}</e:hr>\n"
            f"    <e:cad>{88 + n % 5}</e:cad>\n   </e:more>\n  </extensions>\n </trkpt>\n"
        )
    return "".join((*parts, "</trkseg></trk>\n</gpx>\n")).encode()


CONTENT = three_hours()


def bare() -> None:
    """The parser in pieces of the same size, with the same handlers attached, which do nothing."""

    def begins(_name: str, _attributes: dict[str, str]) -> None:
        pass

    def ends(_name: str) -> None:
        pass

    def says(_words: str) -> None:
        pass

    def declares(*_declared: object) -> None:
        pass

    parser = expat.ParserCreate()
    parser.buffer_text = True
    parser.StartElementHandler, parser.EndElementHandler, parser.CharacterDataHandler = begins, ends, says
    parser.StartDoctypeDeclHandler = parser.EntityDeclHandler = declares
    source = io.BytesIO(CONTENT)
    while piece := source.read(PIECE):
        parser.Parse(piece, False)
    parser.Parse(b"", True)


def whole_way(asked: RoundsAsked | None) -> None:
    """Read, laid on an even clock, its rounds found and judged."""
    laid = lay(read_gpx(io.BytesIO(CONTENT)), latest_at=NOW)
    found = reading(laid, asked=asked, mode=Mode.RIDE)
    assert found.execution is not None
    assert found.execution.rounds_done == 4


def fastest(call: Callable[[], None]) -> float:
    """Processor seconds of one call: the least disturbed of some."""
    took = []
    for _ in range(9):
        began = time.process_time()
        call()
        took.append(time.process_time() - began)
    return min(took)


@pytest.mark.parametrize("asked", [PLAN, None], ids=["with a plan", "without one"])
def test_three_hours_read_and_judged(asked: RoundsAsked | None) -> None:
    empty = fastest(bare)

    took = fastest(lambda: whole_way(asked))

    print(
        f"\n{SECONDS:,} points, {len(CONTENT):,} bytes: {took / empty:.2f} times the bare parser "
        f"({empty * 1000:.0f} ms)"
    )
    assert took / empty <= LARGEST_RATIO
