"""Which column of a logger's table is which channel, in which unit, and what has to be asked about it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from app.coaching.recording_samples import Place
from app.coaching.recordings import SpeedSource
from app.files.csv_text import Table, normalised
from app.files.csv_values import KILOMETRES_IN_A_MILE
from app.files.recording_file import NoRecording

TIME, ROWS, SOURCE = "time", "row_step", "speed_source"
METRES_IN_A_FOOT = 0.3048
SECONDS_AN_HOUR = 3600.0
_MILE_M = KILOMETRES_IN_A_MILE * 1000

#: Units a column may be in, with what one of it is in ours. A pace is seconds for a distance, the other way round.
FACTORS: Mapping[str, Mapping[str, float]] = {
    TIME: {"s": 1.0, "ms": 0.001, "min": 60.0, "clock": 1.0, "calendar": 1.0},
    "speed_m_per_s": {
        "m/s": 1.0,
        "km/h": 1000 / SECONDS_AN_HOUR,
        "mph": _MILE_M / SECONDS_AN_HOUR,
        "min/km": 1000.0,
        "min/mi": _MILE_M,
    },
    "distance_m": {"m": 1.0, "km": 1000.0, "mi": _MILE_M},
    "altitude_m": {"m": 1.0, "ft": METRES_IN_A_FOOT},
    "power_w": {"W": 1.0},
    "heart_rate_bpm": {"a minute": 1.0},
    "cadence_per_min": {"a minute": 1.0},
    Place.LATITUDE: {"degrees": 1.0},
    Place.LONGITUDE: {"degrees": 1.0},
}
PACES = frozenset({"min/km", "min/mi"})

#: Headers without unit and capitals, as loggers write them.
_HEADERS: Mapping[str, frozenset[str]] = {
    TIME: frozenset(
        (
            *("time", "elapsed", "elapsed time", "duration", "t", "timestamp", "time stamp", "date time", "datetime"),
            *("clock", "seconds", "secs", "sec", "milliseconds", "minutes"),
        )
    ),
    "power_w": frozenset(("power", "watts", "watt", "pwr")),
    "heart_rate_bpm": frozenset(("heart rate", "heartrate", "hr", "pulse", "bpm", "heart")),
    "speed_m_per_s": frozenset(("speed", "velocity", "pace")),
    "cadence_per_min": frozenset(
        (
            *("cadence", "cad", "rpm", "spm", "stroke rate", "step rate", "revolutions"),
            *("strokes per minute", "steps per minute"),
        )
    ),
    "altitude_m": frozenset(("altitude", "alt", "elevation", "ele", "height")),
    "distance_m": frozenset(("distance", "dist", "distance covered")),
    Place.LATITUDE: frozenset(("latitude", "lat")),
    Place.LONGITUDE: frozenset(("longitude", "lon", "lng", "long")),
}
#: A header that names its unit and nothing else.
_UNITS_AS_HEADERS = {"seconds": "s", "secs": "s", "sec": "s", "milliseconds": "ms", "minutes": "min"}
_UNIT_WORDS: Mapping[str, str] = {
    **dict.fromkeys(("s", "sec", "secs", "second", "seconds"), "s"),
    **dict.fromkeys(("ms", "msec", "millis", "milliseconds"), "ms"),
    **dict.fromkeys(("min", "mins", "minutes"), "min"),
    **dict.fromkeys(("m/s", "mps", "m per s", "m s"), "m/s"),
    **dict.fromkeys(("km/h", "kmh", "kph", "km per h", "km h"), "km/h"),
    **dict.fromkeys(("mph", "mi/h", "miles per hour"), "mph"),
    **dict.fromkeys(("min/km", "/km", "min per km", "mins/km"), "min/km"),
    **dict.fromkeys(("min/mi", "min/mile", "/mi", "min per mile", "min per mi"), "min/mi"),
    **dict.fromkeys(("m", "metres", "meters", "metre", "meter"), "m"),
    **dict.fromkeys(("km", "kms", "kilometres", "kilometers"), "km"),
    **dict.fromkeys(("mi", "miles", "mile"), "mi"),
    **dict.fromkeys(("ft", "feet", "foot"), "ft"),
    **dict.fromkeys(("w", "watt", "watts"), "W"),
    **dict.fromkeys(("bpm", "rpm", "spm", "/min", "1/min", "per min", "per minute", "beats/min"), "a minute"),
    **dict.fromkeys(("deg", "degrees", "°"), "degrees"),
}
_WORDS_OF_UNITS: Mapping[str, str] = {
    "s": "seconds",
    "ms": "thousandths of a second",
    "min": "minutes",
    "m/s": "metres a second",
    "km/h": "kilometres an hour",
    "mph": "miles an hour",
    "min/km": "minutes a kilometre",
    "min/mi": "minutes a mile",
    "m": "metres",
    "km": "kilometres",
    "mi": "miles",
    "ft": "feet",
}
_SOURCE_WORDS = (
    (SpeedSource.SATELLITE.value, "satellites"),
    (SpeedSource.WHEEL.value, "a wheel, a treadmill or another machine"),
    (SpeedSource.TRACK.value, "a measured track or pool"),
)
_ROW_WORDS = tuple((str(step), "one second" if step == 1 else f"{step} seconds") for step in (1, 2, 5, 10, 30))
_CELLS_SHOWN = 3
_BRACKETS = re.compile(r"[(\[]([^)\]]*)[)\]]")


@dataclass(frozen=True, slots=True)
class Question:
    """What the table does not say by itself, with the answers there are."""

    name: str
    sentence: str
    choices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Column:
    """One column that was understood: where it stands, what it is called there, and its unit if it says one."""

    index: int
    header: str
    unit: str | None


def match_columns(table: Table) -> dict[str, Column]:
    """The columns by channel, the first of each kind. Raises: NoRecording when none is known."""
    found: dict[str, Column] = {}
    for index, header in enumerate(table.headers):
        matched = _match(header)
        if matched is not None and matched[0] not in found:
            found[matched[0]] = Column(index, header, matched[1])
    if not set(found) - {TIME}:
        raise NoRecording(
            "No column of this table could be told. The first row has to name them: time, power, heart rate, "
            "speed, cadence, altitude, distance."
        )
    return found


def _match(header: str) -> tuple[str, str | None] | None:
    """The channel a header names and the unit it gives."""
    plain = normalised(header.replace("_", " "))
    said = _BRACKETS.search(plain)
    rest = normalised(_BRACKETS.sub(" ", plain)).strip(" :.,*")
    if said is not None:
        return _channel(rest, said[1].strip())
    words = rest.replace(",", " ").split()
    for cut in range(len(words), 0, -1):
        matched = _channel(" ".join(words[:cut]), " ".join(words[cut:]))
        if matched is not None:
            return matched
    return None


def _channel(name: str, unit_words: str) -> tuple[str, str | None] | None:
    channel = next((one for one, headers in _HEADERS.items() if name in headers), None)
    if channel is None:
        return None
    unit = _UNIT_WORDS.get(unit_words) or _UNITS_AS_HEADERS.get(name)
    if unit_words and unit not in FACTORS[channel]:
        # "Heart rate zone" or "power balance (%)" is another thing than heart rate or power.
        return None
    only = next(iter(FACTORS[channel])) if len(FACTORS[channel]) == 1 else None
    return channel, unit or only


def unit_question(name: str, column: Column, cells: Sequence[str]) -> Question:
    """Which unit a column is in, with the first cells that may tell it."""
    choices = tuple((unit, _WORDS_OF_UNITS[unit]) for unit in FACTORS[name] if unit in _WORDS_OF_UNITS)
    if name == "speed_m_per_s":
        is_pace = normalised(column.header).startswith("pace")
        choices = tuple(one for one in choices if (one[0] in PACES) is is_pace)
    shown = ", ".join(cell[:12] for cell in cells[:_CELLS_SHOWN])
    return Question(name, f"What is “{column.header[:40]}” counted in? It holds {shown or 'nothing'}.", choices)


ROW_QUESTION = Question(ROWS, "There is no column of times. How long is it from one row to the next?", _ROW_WORDS)
SOURCE_QUESTION = Question(SOURCE, "Where does the speed come from?", _SOURCE_WORDS)
