"""The smallest pieces of typed sessions: stretches of time, distances, and the pace that makes minutes of them.

A distance alone says no minutes: somebody's pace is asked, never taken.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.coaching.steps import SECONDS_A_MINUTE
from app.coaching.typed_values import NotUnderstood

#: Words before a pace, and before a time that stands beside a distance.
AT, WITHIN = "at", "in"
_METRES_A_KM = 1000
#: The shortest and longest distance, and the slowest and quickest speed, that are typed (house choice).
_DISTANCE_M = (100, 300_000)
_SPEED_KM_PER_H = (0.5, 70.0)
_PIECE = re.compile(r"[0-9]+h[0-9]*|[0-9]+:[0-9]+|[0-9]+(?:[.,][0-9]+)?|[^\W\d_]+|\d+|\S")
_CLOCK = re.compile(r"([0-9]{1,2})(?::|h)([0-5][0-9])?")
_PACE = re.compile(r"([0-9]{1,2}):([0-5][0-9])")
_NUMBER = re.compile(r"[0-9]{1,6}(?:[.,][0-9]{1,3})?")
_UNITS = {
    "s": 1,
    "sec": 1,
    "second": 1,
    "seconds": 1,
    "min": SECONDS_A_MINUTE,
    "mins": SECONDS_A_MINUTE,
    "minute": SECONDS_A_MINUTE,
    "minutes": SECONDS_A_MINUTE,
    "h": 3600,
    "hour": 3600,
    "hours": 3600,
}
_LENGTHS = dict.fromkeys(("km", "kilometre", "kilometres", "kilometer", "kilometers"), _METRES_A_KM) | dict.fromkeys(
    ("m", "metre", "metres", "meter", "meters"), 1
)
#: What a pace may be for, in metres.
_PACE_LENGTHS_M = (100, 500, _METRES_A_KM)
_ASKS_PACE = "such as 8 km at 6:30 a km easy run, 20 km at 18 km/h easy ride, or 8 km in 52 min easy run"


@dataclass(slots=True)
class Pieces:
    """The pieces of one session's words as they are taken in order."""

    left: list[str]

    def take(self) -> str | None:
        """The next piece, taken."""
        return self.left.pop(0) if self.left else None

    def look(self, ahead: int = 0) -> str | None:
        """A piece to come, left where it is."""
        return self.left[ahead] if len(self.left) > ahead else None


def pieces_of(text: str) -> list[str]:
    """Words, numbers and signs in their order."""
    return _PIECE.findall(text)


def duration_s(taken: Pieces) -> int:
    """Seconds from "45", "45 min", "30 s", "1:10", "1h10" or "1.5 h"; a bare number is minutes."""
    piece = taken.take() or ""
    if found := _CLOCK.fullmatch(piece):
        return int(found[1]) * 3600 + int(found[2] or 0) * SECONDS_A_MINUTE
    if not re.fullmatch(r"[0-9]{1,4}(?:[.,][0-9]{1,2})?", piece):
        raise NotUnderstood(f"“{piece[:20]}” is no time; write minutes as 45, 1:10 or 1h10.")
    unit = taken.look()
    if unit == "m":
        raise NotUnderstood(f"“{piece} m” may be minutes or metres; write {piece} min, or {piece} metres and a time.")
    has_unit = unit in _UNITS
    if not has_unit and not piece.isdigit():
        raise NotUnderstood(f"“{piece}” may be minutes or hours; write it as 1:30.")
    if has_unit:
        taken.take()
    a_unit = _UNITS[unit] if has_unit and unit is not None else SECONDS_A_MINUTE
    seconds = round(float(piece.replace(",", ".")) * a_unit * 100)
    if seconds % 100:
        raise NotUnderstood(f"“{piece}” is too fine; write whole minutes or seconds.")
    return seconds // 100


def refuse_length(taken: Pieces, instead: str) -> None:
    """Raises: NotUnderstood where a length stands and a time is meant, with what to write instead."""
    unit = taken.look(1)
    if unit in _LENGTHS:
        raise NotUnderstood(f"“{taken.look()} {unit}” is a length; rounds are written in time here, {instead}.")


def is_distance(taken: Pieces) -> bool:
    """Whether the next pieces are a distance; a bare "m" is one only beside a pace or a time."""
    number, unit = taken.look() or "", taken.look(1)
    if not _NUMBER.fullmatch(number) or unit not in _LENGTHS:
        return False
    return unit != "m" or AT in taken.left or WITHIN in taken.left


def distance_m(taken: Pieces) -> int:
    """Whole metres of a distance."""
    number, unit = taken.take() or "", taken.take() or ""
    metres = _number(number) * _LENGTHS[unit]
    least, most = _DISTANCE_M
    if not least <= metres <= most or round(metres) != round(metres, 6):
        raise NotUnderstood(f"“{number} {unit}” is no distance planned here: {least} m to {most // 1000} km, please.")
    return round(metres)


def pace_s_per_m(taken: Pieces) -> float:
    """Seconds for a metre from "6:30 a km", "2:30 a 100 m" or "18 km/h"; "at" is taken already."""
    piece = taken.take() or ""
    if found := _PACE.fullmatch(piece):
        seconds = int(found[1]) * SECONDS_A_MINUTE + int(found[2])
        return seconds / _pace_length_m(taken, piece)
    if _NUMBER.fullmatch(piece) and taken.left[:3] == ["km", "/", "h"]:
        del taken.left[:3]
        if _number(piece) > 0:
            return 3600 / (_number(piece) * _METRES_A_KM)
    raise NotUnderstood(f"“{piece[:20]}” is no pace; write it {_ASKS_PACE}.")


def _pace_length_m(taken: Pieces, piece: str) -> int:
    if taken.look() in ("a", "per", "/"):
        taken.take()
    length = 1.0
    if _NUMBER.fullmatch(taken.look() or ""):
        length = _number(taken.take() or "")
    unit = taken.take()
    metres = length * _LENGTHS.get(unit or "", 0)
    if metres not in _PACE_LENGTHS_M:
        raise NotUnderstood(f"Say what {piece} is for: at {piece} a km, a 500 m or a 100 m.")
    return int(metres)


def minutes_for(metres: int, seconds: float) -> int:
    """Whole minutes of a distance. Raises: NotUnderstood where the speed would be nobody's."""
    speed = metres / seconds * 3.6 if seconds > 0 else 0.0
    least, most = _SPEED_KM_PER_H
    if not least <= speed <= most:
        raise NotUnderstood(f"{distance_words(metres)} in that time is {speed:.1f} km/h; look at it again.")
    return max(1, round(seconds / SECONDS_A_MINUTE))


def asks_pace(metres: int) -> NotUnderstood:
    """What is said of a distance without a pace."""
    return NotUnderstood(f"{distance_words(metres)} becomes minutes by a pace only; say it, {_ASKS_PACE}.")


def distance_words(metres: int) -> str:
    """A distance as it may be typed: "8 km", "1500 metres"."""
    if metres % 100:
        return f"{metres} metres"
    return f"{metres / _METRES_A_KM:g} km" if metres >= _METRES_A_KM * 2 else f"{metres} metres"


def distance_of(words: str) -> int | None:
    """Metres of a distance in the words `distance_words` gives; None for any other words."""
    taken = Pieces(pieces_of(words))
    try:
        metres = distance_m(taken) if is_distance(taken) else None
    except NotUnderstood:
        return None
    return metres if metres is not None and distance_words(metres) == words else None


def _number(text: str) -> float:
    return float(text.replace(",", "."))
