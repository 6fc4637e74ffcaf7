"""A GPX track as samples: streamed, within limits, values found by their local names in any namespace.

Only a parser of events is used, and any document type is refused before an entity can be declared. What the format
leaves to extensions (heart rate, cadence, power) is found by local name, however deep it stands inside a point.
"""

from __future__ import annotations

import math
from array import array
from datetime import UTC, datetime
from xml.parsers import expat

import numpy as np

from app.coaching.recording_samples import Place, Samples
from app.coaching.recordings import Series, SpeedSource
from app.files.recording_file import MOST_POINTS, NoRecording, Readable, pieces_of

#: House choices, far above what a recorder writes.
MOST_DEPTH = 32
MOST_NAMES = 1000
LONGEST_TEXT = 16 * 1024
#: One tag or comment may not be longer: the parser would have to hold it whole.
LONGEST_TOKEN = 256 * 1024

_OTHER, _GPX, _POINT, _SEGMENT, _ROUTE_POINT = -1, -2, -3, -4, -5
_TIME = 0
_COLUMNS = (
    "time",
    Place.LATITUDE,
    Place.LONGITUDE,
    "altitude_m",
    "heart_rate_bpm",
    "cadence_per_min",
    "power_w",
    "speed_m_per_s",
)
_LATITUDE, _LONGITUDE = _COLUMNS.index(Place.LATITUDE), _COLUMNS.index(Place.LONGITUDE)
#: Local names without capitals, and the column each is. Speed is metres a second where the format knows it.
_CODES = {
    "gpx": _GPX,
    "trkpt": _POINT,
    "trkseg": _SEGMENT,
    "rtept": _ROUTE_POINT,
    "time": _TIME,
    "ele": _COLUMNS.index("altitude_m"),
    **dict.fromkeys(("hr", "heartrate", "heart_rate"), _COLUMNS.index("heart_rate_bpm")),
    **dict.fromkeys(("cad", "cadence"), _COLUMNS.index("cadence_per_min")),
    **dict.fromkeys(("power", "watts"), _COLUMNS.index("power_w")),
    "speed": _COLUMNS.index("speed_m_per_s"),
}
_PLACES = ((_LATITUDE, "lat"), (_LONGITUDE, "lon"))
_NOTHING = [math.nan] * len(_COLUMNS)


def read_gpx(source: Readable) -> Samples:
    """The samples of a GPX file's tracks.

    Raises: NoRecording with a sentence for a file that is empty, broken, too large or no track.
    """
    parser = expat.ParserCreate()
    reader = _attached(parser)
    fed = 0
    try:
        for piece in pieces_of(source):
            if not fed:
                _refuse_other_files(piece)
            parser.Parse(piece, False)
            fed += len(piece)
            if fed - parser.CurrentByteIndex > LONGEST_TOKEN:
                raise NoRecording(f"Line {parser.CurrentLineNumber} does not end. This is no file of a recorder.")
        parser.Parse(b"", True)
    except expat.ExpatError as problem:
        raise NoRecording(_sentence(problem)) from None
    except (ValueError, LookupError):
        # How the parser says that it knows no such encoding, or none of one byte a letter.
        raise NoRecording("The file says it is in an encoding that is not read here. Save it in UTF-8.") from None
    return reader.samples()


def _attached(parser: expat.XMLParserType) -> _Reader:
    reader = _Reader(parser)
    parser.buffer_text = True
    parser.StartDoctypeDeclHandler = _refuse_doctype
    parser.EntityDeclHandler = _refuse_doctype
    parser.StartElementHandler = reader.start
    parser.EndElementHandler = reader.end
    return reader


def _refuse_doctype(*_declared: object) -> None:
    raise NoRecording("This file declares a document type. A recording has none; it was not read.")


def _refuse_other_files(piece: bytes) -> None:
    """A file that does not begin as XML does, in any of the encodings the parser knows."""
    start = piece[:64].replace(b"\0", b"").lstrip(b"\xef\xbb\xbf\xff\xfe \t\r\n")
    if not start.startswith(b"<"):
        raise NoRecording("This is not a GPX file: it does not begin as one, whatever its name says.")


def _sentence(problem: expat.ExpatError) -> str:
    """What a parser's refusal means for the person who chose the file."""
    if problem.code in _WRONG_ENCODING:
        return f"Line {problem.lineno} is not in the encoding the file says it is in. Save or export it again."
    if problem.code in _CUT_OFF:
        return "The file ends too early: it was cut off. Save or export it again."
    return f"Line {problem.lineno} cannot be read ({expat.ErrorString(problem.code)}). Save or export it again."


_WRONG_ENCODING = frozenset(
    expat.errors.codes[one]
    for one in (
        expat.errors.XML_ERROR_INCORRECT_ENCODING,
        expat.errors.XML_ERROR_UNKNOWN_ENCODING,
        expat.errors.XML_ERROR_PARTIAL_CHAR,
    )
)
_CUT_OFF = frozenset(
    expat.errors.codes[one]
    for one in (
        expat.errors.XML_ERROR_NO_ELEMENTS,
        expat.errors.XML_ERROR_UNCLOSED_TOKEN,
        expat.errors.XML_ERROR_UNCLOSED_CDATA_SECTION,
    )
)


class _Codes(dict[str, int]):
    """What each element is, by its name as written; worked out once a name, and for so many names only."""

    def __missing__(self, name: str) -> int:
        """By the local name without capitals."""
        if len(self) >= MOST_NAMES:
            raise NoRecording(f"This file has over {MOST_NAMES:,} kinds of element; it was not read.")
        code = self[name] = _CODES.get(name.rpartition(":")[2].casefold(), _OTHER)
        return code


class _Reader:
    """What the parser tells, element by element. Written for speed: three of these run for every element of a file.

    Text is asked for only inside elements whose value is wanted.
    """

    __slots__ = (
        "bad",
        "codes",
        "columns",
        "depth",
        "has_routes",
        "in_point",
        "parser",
        "points",
        "row",
        "segments",
        "words",
    )

    def __init__(self, parser: expat.XMLParserType) -> None:
        self.parser = parser
        self.codes = _Codes()
        self.columns = array("d")
        self.row = _NOTHING
        self.points = 0
        self.bad = 0
        self.depth = 0
        self.in_point = False
        self.has_routes = False
        self.segments: list[int] = []
        self.words = ""

    def start(self, name: str, attributes: dict[str, str]) -> None:
        """An element begins."""
        self.depth += 1
        code = self.codes[name]
        if code >= _TIME:
            if self.in_point:
                self.words = ""
                self.parser.CharacterDataHandler = self.text
        elif code < _OTHER:
            self._begin(code, attributes)
        if self.depth > MOST_DEPTH or (self.depth == 1 and code != _GPX):
            self._refuse_nesting()

    def text(self, words: str) -> None:
        """Text inside an element; the parser hands it over in few pieces."""
        self.words += words
        if len(self.words) > LONGEST_TEXT:
            raise NoRecording("A text in this file is longer than any a recorder writes; it was not read.")

    def end(self, name: str) -> None:
        """An element ends. A figure is one in plain digits, whatever else the language would take for a number."""
        self.depth -= 1
        if not self.in_point:
            return
        code = self.codes[name]
        if code > _TIME:
            self.parser.CharacterDataHandler = None
            words = self.words
            if words.isascii() and "_" not in words:
                try:
                    self.row[code] = float(words)
                    return
                except ValueError:
                    pass
            self._take(code, words)
        elif code == _TIME:
            self.parser.CharacterDataHandler = None
            self._take_time()
        elif code == _POINT:
            self.columns.extend(self.row)
            self.points += 1
            self.in_point = False

    def _begin(self, code: int, attributes: dict[str, str]) -> None:
        """An element that others stand in."""
        if code == _POINT:
            self._begin_point(attributes)
        elif code == _SEGMENT:
            if self.segments[-1:] != [self.points]:
                self.segments.append(self.points)
        elif code == _ROUTE_POINT:
            self.has_routes = True

    def _refuse_nesting(self) -> None:
        if self.depth == 1:
            raise NoRecording("This is XML, but not GPX: it does not begin with a gpx element.")
        raise NoRecording(f"This file nests over {MOST_DEPTH} elements into each other; it was not read.")

    def _begin_point(self, attributes: dict[str, str]) -> None:
        if self.in_point:
            raise NoRecording("A point of the track stands inside another one. Save or export it again.")
        if self.points >= MOST_POINTS:
            raise NoRecording(f"This track has more than {MOST_POINTS:,} points. Save the one session by itself.")
        self.in_point = True
        self.row = _NOTHING.copy()
        for column, name in _PLACES:
            if name in attributes:
                self._take(column, attributes[name])

    def _take(self, column: int, words: str) -> None:
        """A figure in plain digits, with a point or a comma."""
        try:
            if not words.isascii() or "_" in words:
                raise ValueError
            self.row[column] = float(words.replace(",", "."))
        except ValueError:
            self.bad += 1

    def _take_time(self) -> None:
        """An instant; the format writes UTC, and a time without a zone is taken as that."""
        try:
            at = datetime.fromisoformat(self.words.strip())
            self.row[_TIME] = (at if at.tzinfo is not None else at.replace(tzinfo=UTC)).timestamp()
        except (ValueError, OverflowError):
            self.bad += 1

    def samples(self) -> Samples:
        """What was read, as samples. Raises: NoRecording when no track was in it."""
        if not self.points:
            raise NoRecording(
                "This file holds a route, but no track: a plan of where to go, not a recording of having gone."
                if self.has_routes
                else "There is no track in this file: it holds no recorded points."
            )
        table = np.frombuffer(self.columns, dtype=np.float64).reshape(self.points, len(_COLUMNS))
        values: dict[str, Series] = {
            name: np.ascontiguousarray(column)
            for name, column in zip(_COLUMNS[1:], table.T[1:], strict=True)
            if not np.isnan(column).all()
        }
        return Samples(
            at_s=np.ascontiguousarray(table[:, _TIME]),
            values=values,
            has_calendar=True,
            stretch_starts=tuple(start for start in self.segments if 0 < start < self.points),
            speed_source=SpeedSource.SATELLITE,
            notes=self._bad_words(),
        )

    def _bad_words(self) -> tuple[str, ...]:
        if not self.bad:
            return ()
        count = "One figure" if self.bad == 1 else f"{self.bad:,} figures"
        return (
            f"{count} could not be read as a number or a time and {'was' if self.bad == 1 else 'were'} left out.",
        )
