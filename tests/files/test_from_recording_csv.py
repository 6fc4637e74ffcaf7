"""A logger's table read as it comes: headers told, units asked for where it does not say, figures in plain digits."""

from __future__ import annotations

import numpy as np
import pytest

from app.coaching.recordings import SpeedSource
from app.files import recordings
from app.files.csv_text import Unreadable
from app.files.recording_columns import ROWS, SOURCE
from app.files.recording_file import NoRecording
from tests.tracks import table

SAID = {SOURCE: "wheel", "altitude_m": "m"}


def samples(content: bytes, **answers: str):
    found = recordings.read(content, SAID | answers)
    assert found.samples is not None, found.questions
    return found.samples


def test_headers_are_told_whatever_their_capitals_units_and_order() -> None:
    content = table(
        "HR (bpm);Elapsed Time [s];Speed_km/h;Power (W);Cadence rpm;Altitude ft;Distance km;Skin temperature",
        ("120;0;36;200;88;100;0;31,2", "121;1;36,0;-;88;100;0,01;31,2"),
    )

    found = samples(content)

    assert found.values["heart_rate_bpm"].tolist() == [120, 121]
    assert found.values["speed_m_per_s"].tolist() == [10, 10]
    assert found.values["power_w"][0] == 200
    assert np.isnan(found.values["power_w"][1])
    assert found.values["altitude_m"] == pytest.approx([30.48, 30.48])
    assert found.values["distance_m"].tolist() == [0, 10]
    assert found.speed_source is SpeedSource.WHEEL
    assert found.notes == ("Not used: Skin temperature.",)


def test_what_a_table_does_not_say_is_asked_and_nothing_is_guessed() -> None:
    content = table("time,speed,altitude,distance (m)", ("0,3,500,0", "2,3,500,6", "4,3,500,12"))

    found = recordings.read(content, {})

    assert found.samples is None
    assert [one.name for one in found.questions] == ["time", "speed_m_per_s", "altitude_m", SOURCE]
    assert found.questions[1].sentence == "What is “speed” counted in? It holds 3, 3, 3."
    assert [value for value, _ in found.questions[1].choices] == ["m/s", "km/h", "mph"]
    answered = samples(content, time="s", speed_m_per_s="m/s", speed_source="track")
    assert answered.at_s.tolist() == [0, 2, 4]
    assert answered.values["speed_m_per_s"].tolist() == [3, 3, 3]


def test_an_answer_that_was_not_offered_is_asked_again() -> None:
    content = table("time (s),speed", ("0,3", "1,3"))

    assert recordings.read(content, SAID | {"speed_m_per_s": "W"}).samples is None


@pytest.mark.parametrize(
    ("header", "cells", "seconds", "has_calendar"),
    [
        ("time", ("0", "1", "2"), [0, 1, 2], False),
        ("time (ms)", ("0", "500", "1000"), [0, 0.5, 1], False),
        ("elapsed", ("59:59", "1:00:00", "1:00:01.5"), [3599, 3600, 3601.5], False),
        ("clock", ("23:59:59", "00:00:00", "00:00:02"), [86399, 86400, 86402], False),
        ("timestamp", ("1800000000", "1800000001", "1800000002"), [1.8e9, 1.8e9 + 1, 1.8e9 + 2], True),
        ("timestamp", ("1800000000000", "1800000001000"), [1.8e9, 1.8e9 + 1], True),
        ("date time", ("2027-01-15T08:00:00Z", "2027-01-15T09:00:01+01:00"), [1.8e9, 1.8e9 + 1], True),
        ("date time", ("2027/01/15 08:00:00", "2027/01/15 08:00:01"), [1.8e9, 1.8e9 + 1], False),
    ],
)
def test_times_are_read_as_seconds_clocks_or_instants(
    header: str, cells: tuple[str, ...], seconds: list[float], has_calendar: bool
) -> None:
    found = samples(table(f"{header},power", [f"{cell},200" for cell in cells]))

    assert found.at_s == pytest.approx(seconds)
    assert found.has_calendar is has_calendar


def test_rows_without_times_ask_how_far_apart_they_are() -> None:
    content = table("power,hr", ("200,120", "210,121", "220,122"))

    assert [one.name for one in recordings.read(content, {}).questions] == [ROWS]
    assert samples(content, row_step="5").at_s.tolist() == [0, 5, 10]


def test_a_pace_is_turned_round() -> None:
    content = table("time (s),pace (min/km)", ("0,5:00", "1,4:10", "2,", "3,1e-310", "4,0"))

    found = samples(content).values["speed_m_per_s"]

    assert found[:2] == pytest.approx([1000 / 300, 4.0])
    assert np.isnan(found[2:]).all()


def test_a_share_or_a_band_of_something_is_not_the_thing_itself() -> None:
    found = samples(table("time (s),power balance (%),power (W),hr", ("0,50,200,120", "1,50,200,120")))

    assert found.values["power_w"].tolist() == [200, 200]


def test_figures_that_are_none_are_counted() -> None:
    found = samples(table("time (s),power", ("0,1_000", "1,٢٠٠", "2,nan", "3,1e308", "4,-", "5,210")))

    assert np.isnan(found.values["power_w"][:5]).all()
    assert found.notes == ("4 cells could not be read as a number and were left out.",)


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"   \n", "The file is empty."),
        (b"\x7fELF\x00\x00", "neither a GPX file nor a table"),
        (b"PK\x03\x04", "whole workbook"),
        (b"just words", "No columns were found"),
        (table("when,what", ("1,2",)), "No column of this table could be told"),
        (table("time,power", ()), "a header and no rows"),
        (table("time (s),power", ("a,1", "b,2", "3,3")), "cannot be read. Write seconds"),
        (b'time,power\n0,"200\n', "This does not read as a table: line 2 breaks off"),
    ],
)
def test_a_table_that_is_none_is_refused_in_one_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises((NoRecording, Unreadable)) as refusal:
        recordings.read(content, SAID)

    assert sentence in str(refusal.value)
