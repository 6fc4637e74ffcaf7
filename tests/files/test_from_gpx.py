"""GPX read as it comes: values by local name, limits while it streams, and one sentence for every hostile file."""

from __future__ import annotations

import io
import tracemalloc
from datetime import timedelta

import numpy as np
import pytest

from app.coaching.recording_samples import Place
from app.files.from_gpx import MOST_DEPTH, read_gpx
from app.files.recording_file import LARGEST_RECORDING, MOST_POINTS, NoRecording
from tests.tracks import STARTED, gpx, point, steady

OPEN = b'<gpx version="1.1"><trk><trkseg>'
BOMB = (
    b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">'
    b"<!ENTITY c '&b;&b;&b;&b;&b;&b;&b;&b;&b;&b;'>]><gpx><trk><name>&c;</name></trk></gpx>"
)
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE gpx [<!ENTITY x SYSTEM "file:///etc/passwd">]><gpx><trk>&x;</trk></gpx>'


def samples(content: bytes):
    return read_gpx(io.BytesIO(content))


def test_values_are_found_by_their_local_names_in_any_namespace_at_any_depth() -> None:
    flat = "<ele>512.5</ele><extensions><Power>240</Power><b:HeartRate xmlns:b='urn:b'>150</b:HeartRate></extensions>"
    inner = "<c:y><c:hr>151</c:hr><c:cad>88</c:cad></c:y>"
    deep = f"<extensions><c:x xmlns:c='urn:c'>{inner}</c:x><watts>241</watts></extensions>"

    found = samples(gpx([point(0, more=flat), point(1, more=deep)]))

    assert found.values["heart_rate_bpm"].tolist() == [150, 151]
    assert found.values["power_w"].tolist() == [240, 241]
    assert found.values["altitude_m"][0] == 512.5
    assert np.isnan(found.values["cadence_per_min"][0])
    assert found.values["cadence_per_min"][1] == 88
    assert found.at_s[0] == STARTED.timestamp()
    assert found.values[Place.LONGITUDE].tolist() == [11.0, 11.0]


def test_a_time_or_a_heart_rate_outside_a_point_belongs_to_none() -> None:
    content = gpx(steady(3)).replace(
        b"<trk>", b"<metadata><time>1999-01-01T00:00:00Z</time></metadata><trk><hr>9</hr>"
    )

    found = samples(content)

    assert found.at_s[0] == STARTED.timestamp()
    assert "heart_rate_bpm" not in found.values


def test_segments_are_stretches_and_the_older_namespace_reads_the_same() -> None:
    content = gpx(steady(3), [], [point(60), point(61)]).replace(b"GPX/1/1", b"GPX/1/0")

    assert samples(content).stretch_starts == (3,)


@pytest.mark.parametrize(
    ("written", "value"),
    [("45,5", 45.5), (" 120 ", 120.0), ("1_000", None), ("١٢٠", None), ("", None), ("12O", None)],
)
def test_a_figure_is_plain_digits_with_a_point_or_a_comma(written: str, value: float | None) -> None:
    found = samples(gpx([point(0, more=f"<hr>100</hr><ele>{written}</ele>"), point(1)]))

    assert found.values.get("altitude_m", np.array([None]))[0] == value
    assert bool(found.notes) is (value is None)


@pytest.mark.parametrize("encoding", ["utf-8-sig", "utf-16", "iso-8859-1"])
def test_every_encoding_that_says_what_it_is_is_read(encoding: str) -> None:
    named = {"utf-8-sig": "UTF-8"}.get(encoding, encoding)
    text = gpx(steady(3)).decode().replace("UTF-8", named).replace("test", "Tést")

    assert samples(text.encode(encoding)).at_s.size == 3


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", "The file is empty."),
        (b"  \n ", "This is not a GPX file"),
        (b"\x00\x01\x02\xffGPX", "This is not a GPX file"),
        (b"PK\x03\x04rest", "This file is packed."),
        (b"\x1f\x8b\x08rest", "This file is packed."),
        (BOMB, "declares a document type"),
        (OUTSIDE, "declares a document type"),
        (OPEN + b"<a>" * 100_000, f"nests over {MOST_DEPTH} elements"),
        (OPEN + b"".join(b"<a%d/>" % n for n in range(2000)), "kinds of element"),
        (OPEN + b'<trkpt lat="1" lon="1"><ele>' + b"1" * 2_000_000, "longer than any a recorder writes"),
        (OPEN + b'<trkpt lat="' + b"1" * 2_000_000, "does not end"),
        (OPEN + b"<!--" + b"x" * 2_000_000, "does not end"),
        (OPEN + b'<trkpt lat="1" lon="1"><trkpt lat="1" lon="1"/></trkpt>', "inside another one"),
        (OPEN + b'<trkpt lat="1" lon="2"/>', "it was cut off"),
        (OPEN + b"</trk>", "Line 1 cannot be read"),
        (OPEN + b"\x00", "Line 1 cannot be read"),
        (b'<?xml version="1.0" encoding="utf-7"?><gpx/>', "an encoding that is not read here"),
        (b'<?xml version="1.0" encoding="rot13"?><gpx/>', "encoding"),
        (b'<?xml version="1.0" encoding="no-such"?><gpx/>', "encoding"),
        (b'<?xml version="1.0" encoding="UTF-8"?><gpx><name>caf\xe9</name></gpx>', "Line 1 cannot be read"),
        (b'<?xml version="1.0" encoding="UTF-16"?><gpx/>', "not in the encoding the file says"),
        (b"<html><body/></html>", "This is XML, but not GPX"),
        (b"<gpx><trk/></gpx>", "There is no track in this file"),
        (b'<gpx><rte><rtept lat="1" lon="1"/></rte></gpx>', "holds a route, but no track"),
        (b"<gpx>&nbsp;</gpx>", "Line 1 cannot be read"),
    ],
)
def test_a_hostile_or_broken_file_is_refused_in_one_sentence(content: bytes, sentence: str) -> None:
    with pytest.raises(NoRecording) as refusal:
        samples(content)

    assert sentence in str(refusal.value)


def test_the_200_001st_point_is_one_too_many_and_memory_stays_flat() -> None:
    content = OPEN + b'<trkpt lat="1" lon="2"/>' * (MOST_POINTS + 1)
    tracemalloc.start()

    with pytest.raises(NoRecording, match="more than 200,000 points"):
        samples(content)

    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 32 * 1024 * 1024


class Endless:
    """A file that never ends, and counts what was taken of it."""

    def __init__(self) -> None:
        self.given = 0

    def read(self, size: int = -1) -> bytes:
        start = OPEN if not self.given else b""
        self.given += size
        return start + b"<a/>" * ((size - len(start)) // 4)


def test_an_endless_file_is_cut_off_at_the_limit() -> None:
    source = Endless()

    with pytest.raises(NoRecording, match="larger than 24 MB"):
        read_gpx(source)

    assert source.given <= LARGEST_RECORDING + 1024 * 1024


def test_a_time_that_is_none_is_left_out_and_counted() -> None:
    content = gpx(steady(4)).replace((STARTED + timedelta(seconds=2)).isoformat()[:19].encode() + b"Z", b"yesterday")

    found = samples(content)

    assert np.isnan(found.at_s[2])
    assert found.notes == ("One figure could not be read as a number or a time and was left out.",)
