"""Files of every kind of wrong for the readers of recordings, and what has to hold whatever comes in."""

from __future__ import annotations

from datetime import UTC, datetime

import numpy as np
from hypothesis import strategies as st

from app.cli_recording import reading
from app.coaching.people import Mode
from app.coaching.reasons import DomainError
from app.coaching.recording_about import about, from_json, to_json
from app.coaching.recording_faults import LIMITS
from app.coaching.recording_series import Laid, lay
from app.coaching.rounds_values import RoundsAsked
from app.files import recordings
from app.files.kept_series import pack, unpack
from tests.tracks import rounds_gpx, table

NOW = datetime(2026, 11, 25, 7, tzinfo=UTC)
LONGEST_SENTENCE = 400

_NUMBERS = st.one_of(
    st.sampled_from(
        [
            "0",
            "-1",
            "255",
            "9999",
            "1e309",
            "-1e309",
            "NaN",
            "inf",
            "",
            " ",
            "1_0",
            "٤٥",
            "45,5",
            "0x1",
            "1e-320",
            "--",
            "\0",
        ]
    ),
    st.integers(-(10**20), 10**20).map(str),
    st.floats().map(str),
)
_TIMES = st.one_of(
    st.datetimes().map(lambda at: at.isoformat() + "Z"),
    st.integers(0, 7200).map(lambda s: datetime.fromtimestamp(1_795_000_000 + s, UTC).isoformat()),
    st.integers(0, 7200).map(lambda s: datetime.fromtimestamp(1_795_000_000 + s, UTC).strftime("%Y-%m-%dT%H:%M:%SZ")),
    st.sampled_from(
        ["2026-02-30T00:00:00Z", "2026-11-24T16:30:60Z", "24 November", "99999-01-01T00:00:00Z", "", "P1D"]
    ),
    _NUMBERS,
)
_LOCAL = st.sampled_from(
    [
        *("gpx", "trk", "trkseg", "trkpt", "rte", "rtept", "wpt", "metadata", "extensions", "ele", "time", "hr"),
        *("HeartRate", "cad", "power", "watts", "speed", "name", "x", "é"),
    ]
)
_PREFIX = st.sampled_from(["", "", "", "a:", "b:c:", "xml:"])
_NAME = st.builds(lambda prefix, name: prefix + name, _PREFIX, _LOCAL)


def _escaped(text: str) -> str:
    return text.replace("&", "&amp;").replace("<", "&lt;").replace('"', "&quot;")


def _element(name: str, attributes: dict[str, str], inner: list[str]) -> str:
    said = "".join(f' {key}="{_escaped(value)}"' for key, value in attributes.items())
    return f"<{name}{said}>{''.join(inner)}</{name}>"


_ATTRIBUTES = st.dictionaries(st.sampled_from(["lat", "lon", "version", "xmlns", "x"]), _NUMBERS, max_size=3)
_TEXT = st.one_of(_NUMBERS, _TIMES, st.text(max_size=20)).map(_escaped)
_TREE = st.recursive(
    _TEXT, lambda inner: st.builds(_element, _NAME, _ATTRIBUTES, st.lists(inner, max_size=6)), max_leaves=30
)
_POINT = st.builds(
    lambda lat, lon, time, more: (
        f'<trkpt lat="{_escaped(lat)}" lon="{_escaped(lon)}"><time>{_escaped(time)}</time>{more}</trkpt>'
    ),
    st.one_of(st.floats(-91, 91).map(str), _NUMBERS),
    st.one_of(st.floats(-181, 181).map(str), _NUMBERS),
    _TIMES,
    st.one_of(
        st.just(""),
        st.builds(
            lambda name, value: f"<{name}>{_escaped(value)}</{name}>", _LOCAL.filter(lambda n: n != "trkpt"), _NUMBERS
        ),
        _TREE,
    ),
)
_SEGMENTS = st.lists(st.lists(_POINT, max_size=30), min_size=1, max_size=4)
_GPX = st.builds(
    lambda head, segments, tail: (
        f"{head}<gpx><trk>{''.join('<trkseg>' + ''.join(one) + '</trkseg>' for one in segments)}</trk></gpx>{tail}"
    ),
    st.sampled_from(
        [
            "",
            '<?xml version="1.0"?>',
            '<?xml version="1.0" encoding="UTF-16"?>',
            "<!DOCTYPE gpx>",
            "\ufeff",
            "<!-- -->",
        ]
    ),
    _SEGMENTS,
    st.sampled_from(["", "", "<gpx/>", "&x;", "]]>", "</gpx>"]),
)
_HEADER = st.sampled_from(
    [
        *("time", "Time (s)", "elapsed", "timestamp", "seconds", "Power", "HR (bpm)", "speed", "Speed km/h", "pace"),
        *("pace (min/km)", "cadence", "altitude", "distance (km)", "lat", "lon", "note", "power balance (%)", ""),
    ]
)
_CELL = st.one_of(_NUMBERS, _TIMES, st.sampled_from(["0:01", "1:02:03", "23:59:59", "5:12", '"', "'", "=1+1"]))
_TABLE = st.builds(
    lambda headers, rows, mark: "\r\n".join(mark.join(one) for one in (headers, *rows)),
    st.lists(_HEADER, min_size=1, max_size=8),
    st.lists(st.lists(_CELL, min_size=1, max_size=8), max_size=60),
    st.sampled_from([",", ";", "\t"]),
)
_ENCODING = st.sampled_from(["utf-8", "utf-8", "utf-8", "utf-16", "utf-8-sig", "cp1252"])
_GOOD = st.sampled_from(
    [
        rounds_gpx(rounds=2, work_s=60, rest_s=60, warm_up_s=60),
        table("time (s),power,hr,speed (km/h)", [f"{n},200,140,30" for n in range(200)]),
    ]
)


@st.composite
def _damaged(draw: st.DrawFn) -> bytes:
    """A good file with bytes cut out, doubled, turned or put in."""
    content = draw(_GOOD)
    for _ in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, max(0, len(content) - 1)))
        length = draw(st.integers(0, 200))
        piece = draw(
            st.one_of(st.binary(max_size=40), st.just(content[start : start + length] * 2), _TEXT.map(str.encode))
        )
        content = content[:start] + piece + content[start + length :]
    return content


def _encoded(text: str, encoding: str) -> bytes:
    return text.encode(encoding, errors="replace")


FILES = st.one_of(
    st.builds(_encoded, _GPX, _ENCODING),
    st.builds(_encoded, _TREE.map(lambda tree: f"<gpx>{tree}</gpx>"), _ENCODING),
    st.builds(_encoded, _TABLE, _ENCODING),
    _damaged(),
    st.binary(max_size=400),
)


def read_whole_way(content: bytes, choose: int) -> Laid | str:
    """A file read, asked about, laid, packed, unpacked and judged; or the sentence that refused it.

    Any other exception is a fault of ours and goes through.
    """
    try:
        found = recordings.read(content, {})
        if found.samples is None:
            answers = {one.name: one.choices[choose % len(one.choices)][0] for one in found.questions}
            found = recordings.read(content, answers)
        assert found.samples is not None
        laid = lay(found.samples, latest_at=NOW)
    except DomainError as refusal:
        return str(refusal)
    packed = pack(laid.recording, laid.places)
    back, _ = unpack(packed, about=from_json(to_json(about(laid))), started_at=laid.recording.started_at)
    assert back.channels == laid.recording.channels
    asked = RoundsAsked.alike(1 + choose, 60, 30 * choose) if choose % 2 else None
    reading(laid, asked=asked, mode=list(Mode)[choose])
    return laid


def check(found: Laid | str) -> None:
    """What has to hold of every answer."""
    if isinstance(found, str):
        assert 0 < len(found) <= LONGEST_SENTENCE
        assert "\n" not in found
        return
    recording = found.recording
    assert 30 <= recording.duration_s <= 86_400
    assert recording.started_at is None or recording.started_at.year >= 2000
    for name in recording.channels:
        values = recording.channel(name)
        assert values is not None
        known = values[~np.isnan(values)]
        low, high = LIMITS[name]
        assert ((known >= low - 1e-6) & (known <= high + 1e-6)).all(), name
    for one in recording.faults:
        assert 0 <= one.start_s < one.end_s <= recording.duration_s, one
