"""A day's sessions typed in plain words, such as "45 easy walk; strength 30", understood or answered with a question.

What is not said is never guessed: without an effort or a way of moving the words are refused with a sentence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.coaching.people import Mode
from app.coaching.session_shapes import Shape
from app.coaching.steps import SECONDS_A_MINUTE
from app.coaching.typed_values import NotUnderstood

MOST_SESSIONS_A_DAY = 4
LONGEST_MIN = 600
MOST_ROUNDS = 20
#: The longest round and recovery, and the most hard work in one session, that are typed (house choice).
LONGEST_ROUND_S = 20 * SECONDS_A_MINUTE
MOST_HARD_S = 48 * SECONDS_A_MINUTE
#: From an hour on minutes are written as hours and minutes.
_AN_HOUR_MIN = 60
_BETWEEN = ";"

MODE_NAMES = {
    Mode.WALK: "walk",
    Mode.RUN: "run",
    Mode.RIDE: "ride",
    Mode.INDOOR_RIDE: "indoor ride",
    Mode.ROW: "row",
    Mode.SWIM: "swim",
    Mode.TREADMILL: "treadmill walk",
    Mode.CROSS_TRAIN: "machine session",
    Mode.OTHER: "other session",
}
SHAPE_NAMES = {
    Shape.EASY: "easy",
    Shape.LONGEST: "longest easy",
    Shape.LOOP: "standard loop",
    Shape.MIDDLE: "middle",
    Shape.TEST: "test",
    Shape.RACE: "race",
}
_MODE_WORDS = {
    "walk": Mode.WALK,
    "walking": Mode.WALK,
    "run": Mode.RUN,
    "running": Mode.RUN,
    "ride": Mode.RIDE,
    "riding": Mode.RIDE,
    "row": Mode.ROW,
    "rowing": Mode.ROW,
    "swim": Mode.SWIM,
    "swimming": Mode.SWIM,
    "machine": Mode.CROSS_TRAIN,
    "other": Mode.OTHER,
}
_BARE_SHAPES = {frozenset(name.split()): shape for shape, name in SHAPE_NAMES.items()} | {
    frozenset({"longest"}): Shape.LONGEST,
    frozenset({"loop"}): Shape.LOOP,
    frozenset({"loop", "easy"}): Shape.LOOP,
    frozenset({"standard", "loop", "easy"}): Shape.LOOP,
}
_SHAPE_WORDS = frozenset(word for words in _BARE_SHAPES for word in words) | {"hard"}
_UPHILL = "uphill"
#: Words that say nothing of their own.
_QUIET = frozenset({"a", "an", "of", "at", "in", "on", "the", "with", "between", "session", "rounds", "and"})
_PIECE = re.compile(r"[0-9]+h[0-9]*|[0-9]+:[0-9]+|[0-9]+(?:[.,][0-9]+)?|[^\W\d_]+|\d+|\S")
_CLOCK = re.compile(r"([0-9]{1,2})(?::|h)([0-5][0-9])?")
_UNITS = {
    "s": 1,
    "sec": 1,
    "second": 1,
    "seconds": 1,
    "m": SECONDS_A_MINUTE,
    "min": SECONDS_A_MINUTE,
    "mins": SECONDS_A_MINUTE,
    "minute": SECONDS_A_MINUTE,
    "minutes": SECONDS_A_MINUTE,
    "h": 3600,
    "hour": 3600,
    "hours": 3600,
}
_EXAMPLE = "such as 45 easy walk"


@dataclass(frozen=True, slots=True)
class TypedSteady:
    """A session in one piece: minutes, what sort, how."""

    minutes: int
    shape: Shape
    mode: Mode
    is_uphill: bool = False


@dataclass(frozen=True, slots=True)
class TypedRounds:
    """Hard rounds with easy recoveries."""

    rounds: int
    work_s: int
    recovery_s: int
    mode: Mode
    is_uphill: bool = False


Typed = TypedSteady | TypedRounds


def parse_day(text: str) -> tuple[Typed, ...]:
    """What a day's words ask for, nothing for "rest".

    Raises: NotUnderstood with a sentence that names the word, or asks for what is missing.
    """
    parts = [" ".join(part.split()) for part in text.casefold().split(_BETWEEN)]
    said = [part for part in parts if part]
    if not said:
        raise NotUnderstood(f"Nothing is written here; write rest, or a session {_EXAMPLE}.")
    if said == ["rest"]:
        return ()
    if "rest" in said:
        raise NotUnderstood("“rest” stands alone: a day is rest or has sessions.")
    if len(said) > MOST_SESSIONS_A_DAY:
        raise NotUnderstood(f"At most {MOST_SESSIONS_A_DAY} sessions fit into a day here.")
    return tuple(_parse(part) for part in said)


def day_words(day: tuple[Typed, ...]) -> str:
    """The words for a day; `parse_day` gives the same day back."""
    return f"{_BETWEEN} ".join(words(one) for one in day) if day else "rest"


def words(typed: Typed) -> str:
    """One session in the words it may be typed in."""
    if isinstance(typed, TypedRounds):
        work, recovery = span_words(typed.work_s), span_words(typed.recovery_s)
        return f"{typed.rounds} x {work} hard, {recovery} easy, {_how(typed.mode, typed.is_uphill)}"
    if typed.shape is Shape.STRENGTH:
        return f"strength {_minutes_words(typed.minutes)}"
    shape = SHAPE_NAMES[typed.shape]
    return f"{_minutes_words(typed.minutes)} {shape} {_how(typed.mode, typed.is_uphill)}"


def _how(mode: Mode, is_uphill: bool) -> str:
    return f"{_UPHILL} {MODE_NAMES[mode]}" if is_uphill else MODE_NAMES[mode]


def _minutes_words(minutes: int) -> str:
    if minutes < _AN_HOUR_MIN:
        return str(minutes)
    return f"{minutes // _AN_HOUR_MIN}:{minutes % _AN_HOUR_MIN:02d}"


def span_words(duration_s: int) -> str:
    """A stretch in whole minutes, else in seconds: "4 min", "30 s"."""
    is_whole = duration_s % SECONDS_A_MINUTE == 0
    return f"{duration_s // SECONDS_A_MINUTE} min" if is_whole else f"{duration_s} s"


@dataclass(slots=True)
class _Pieces:
    """The pieces of one session's words as they are taken in order."""

    left: list[str]

    def take(self) -> str | None:
        return self.left.pop(0) if self.left else None

    def look(self) -> str | None:
        return self.left[0] if self.left else None


def _parse(text: str) -> Typed:
    spaced = re.sub(r"(?<=[0-9])\s*[x×]\s*(?=[0-9])", " x ", text)
    pieces = [piece for piece in _PIECE.findall(spaced) if piece not in _QUIET and piece != ","]
    if "x" in pieces:
        return _rounds(pieces)
    return _steady(pieces)


def _steady(pieces: list[str]) -> TypedSteady:
    taken = _Pieces(pieces)
    times: list[int] = []
    named: list[str] = []
    while (piece := taken.look()) is not None:
        if piece[0].isdigit():
            times.append(_duration_s(taken))
        else:
            named.append(taken.left.pop(0))
    minutes = _one_time(times)
    if "strength" in named:
        return _strength(minutes, named)
    mode, is_uphill, rest = _mode(named)
    shape = _shape(rest)
    if mode is None:
        raise NotUnderstood(f"Say how: walk, run, ride, indoor ride, row, swim, {_EXAMPLE}.")
    return TypedSteady(minutes, shape, mode, is_uphill)


def _strength(minutes: int, named: list[str]) -> TypedSteady:
    for word in named:
        if word != "strength":
            raise NotUnderstood(f"“{word}” does not go with strength; write strength {_minutes_words(minutes)}.")
    return TypedSteady(minutes, Shape.STRENGTH, Mode.STRENGTH)


def _one_time(times: list[int]) -> int:
    if not times:
        raise NotUnderstood(f"Say how long, {_EXAMPLE}.")
    if len(times) > 1:
        raise NotUnderstood("More than one time stands here; put ; between two sessions of a day.")
    minutes, seconds = divmod(times[0], SECONDS_A_MINUTE)
    if seconds:
        raise NotUnderstood("A session is planned in whole minutes.")
    if not 1 <= minutes <= LONGEST_MIN:
        raise NotUnderstood(f"A session takes 1 to {LONGEST_MIN} minutes.")
    return minutes


def _shape(named: list[str]) -> Shape:
    for word in named:
        if word not in _SHAPE_WORDS:
            raise NotUnderstood(f"“{word}” is not a word known here; write it {_EXAMPLE}.")
    if not named:
        raise NotUnderstood(f"Say how hard: easy or middle, {_EXAMPLE}; hard work is written as rounds.")
    if "hard" in named:
        raise NotUnderstood("Hard work is written as rounds, such as 4 x 4 min hard, 4 easy, walk.")
    found = _BARE_SHAPES.get(frozenset(named))
    if found is None or len(set(named)) != len(named):
        raise NotUnderstood(f"“{' '.join(named)}” does not go together; write one of them, {_EXAMPLE}.")
    return found


def _mode(named: list[str]) -> tuple[Mode | None, bool, list[str]]:
    """How it is done, whether uphill, and the words left."""
    modes = [word for word in named if word in _MODE_WORDS]
    places = [word for word in named if word in ("indoor", "indoors", "treadmill")]
    rest = [word for word in named if word not in (*modes, *places, _UPHILL)]
    kinds = {_MODE_WORDS[word] for word in modes}
    if len(kinds) > 1:
        raise NotUnderstood(f"“{modes[0]}” and “{modes[1]}” are two ways to move; put ; between two sessions.")
    mode = next(iter(kinds), None)
    if places:
        mode = _inside(places[0], mode)
    return mode, _UPHILL in named, rest


def _inside(place: str, mode: Mode | None) -> Mode:
    if place == "treadmill" and mode in (None, Mode.WALK):
        return Mode.TREADMILL
    if place != "treadmill" and mode is Mode.RIDE:
        return Mode.INDOOR_RIDE
    known = "treadmill walk" if place == "treadmill" else "indoor ride"
    raise NotUnderstood(f"“{place}” goes with {known} here.")


def _rounds(pieces: list[str]) -> TypedRounds:
    taken = _Pieces(pieces)
    count = taken.take() or ""
    if not re.fullmatch(r"[0-9]{1,2}", count) or taken.take() != "x":
        raise NotUnderstood("Write rounds as 4 x 4 min hard, 4 easy, walk: how many first.")
    rounds = int(count)
    if not 1 <= rounds <= MOST_ROUNDS:
        raise NotUnderstood(f"A session has 1 to {MOST_ROUNDS} rounds.")
    work_s = _stretch(taken, "hard", "Say how hard the rounds are: 4 x 4 min hard, 4 easy, walk.")
    recovery_s = _stretch(taken, "easy", "Say how long the easy time between the rounds is: 4 x 4 min hard, 4 easy.")
    if not (0 < work_s <= LONGEST_ROUND_S and 0 < recovery_s <= LONGEST_ROUND_S and rounds * work_s <= MOST_HARD_S):
        raise NotUnderstood(
            f"A round and its recovery take up to {LONGEST_ROUND_S // SECONDS_A_MINUTE} min, all rounds together up "
            f"to {MOST_HARD_S // SECONDS_A_MINUTE}."
        )
    mode, is_uphill, rest = _mode(taken.left)
    if rest:
        raise NotUnderstood(f"“{rest[0]}” is not a word known here; write 4 x 4 min hard, 4 easy, walk.")
    if mode is None:
        raise NotUnderstood("Say how: walk, run, ride, indoor ride, row, such as 4 x 4 min hard, 4 easy, walk.")
    return TypedRounds(rounds, work_s, recovery_s, mode, is_uphill)


def _stretch(taken: _Pieces, effort: str, asks: str) -> int:
    """The seconds of a stretch and the effort it must name."""
    piece = taken.look()
    if piece is None or not piece[0].isdigit():
        raise NotUnderstood(asks)
    duration_s = _duration_s(taken)
    if taken.look() != effort:
        raise NotUnderstood(asks)
    taken.take()
    return duration_s


def _duration_s(taken: _Pieces) -> int:
    """Seconds from "45", "45 min", "30 s", "1:10", "1h10" or "1.5 h"; a bare number is minutes."""
    piece = taken.take() or ""
    if found := _CLOCK.fullmatch(piece):
        return int(found[1]) * 3600 + int(found[2] or 0) * SECONDS_A_MINUTE
    if not re.fullmatch(r"[0-9]{1,4}(?:[.,][0-9]{1,2})?", piece):
        raise NotUnderstood(f"“{piece[:20]}” is no time; write minutes as 45, 1:10 or 1h10.")
    unit = taken.look()
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
