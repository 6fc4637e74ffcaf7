"""A day's sessions typed in plain words, such as "45 easy walk; strength 30", understood or answered with a question.

What is not said is never guessed: without an effort or a way of moving the words are refused with a sentence.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.session_shapes import Shape, span_words
from app.coaching.steps import SECONDS_A_MINUTE
from app.coaching.typed_pieces import (
    AT,
    WITHIN,
    Pieces,
    asks_pace,
    distance_m,
    distance_words,
    duration_s,
    is_distance,
    minutes_for,
    pace_s_per_m,
    pieces_of,
    refuse_length,
)
from app.coaching.typed_values import NotUnderstood

MOST_SESSIONS_A_DAY = 4
LONGEST_MIN = 600
MOST_ROUNDS = 20
#: The longest round and recovery, and the most hard work in one session, that are typed (house choice).
LONGEST_ROUND_S = 20 * SECONDS_A_MINUTE
MOST_HARD_S = 48 * SECONDS_A_MINUTE
LONGEST_MIDDLE_S = 45 * SECONDS_A_MINUTE
MOST_MIDDLE_S = 90 * SECONDS_A_MINUTE
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
_QUIET = frozenset({"an", "of", "on", "the", "with", "between", "session", "rounds", "and"})
#: Words that say something beside a distance only.
_QUIET_WITHOUT_DISTANCE = frozenset({"a", AT, WITHIN})
#: Sessions a distance goes with; tests, races and middle effort have easy ends of their own, planned in minutes.
_WITH_DISTANCE = (Shape.EASY, Shape.LONGEST, Shape.LOOP)
_EXAMPLE = "such as 45 easy walk"
_ROUNDS_EXAMPLE = "4 x 4 min hard, 4 min easy, walk"
#: Rounds said in words, "4 rounds of 4 min" or "4 times 4 min": answered with how they are written.
_ROUNDS_IN_WORDS = re.compile(r"\b[0-9]+\s*(?:rounds?|times|repeats?|reps)\b")
_INSIDE_WORDS = ("indoor", "indoors", "treadmill")
#: So many words not understood are named at once.
_MOST_UNKNOWN = 3
_WORK_BANDS = (Band.HARD, Band.MIDDLE)
_LONGEST_S = {Band.HARD: LONGEST_ROUND_S, Band.MIDDLE: LONGEST_MIDDLE_S}
_MOST_S = {Band.HARD: MOST_HARD_S, Band.MIDDLE: MOST_MIDDLE_S}


@dataclass(frozen=True, slots=True)
class TypedSteady:
    """A session in one piece: minutes, what sort, how."""

    minutes: int
    shape: Shape
    mode: Mode
    is_uphill: bool = False
    #: The distance those minutes were reckoned for; None where only minutes were said.
    distance_m: int | None = None


@dataclass(frozen=True, slots=True)
class TypedRounds:
    """Hard rounds with easy recoveries, or a few stretches at middle effort."""

    rounds: int
    work_s: int
    recovery_s: int
    mode: Mode
    is_uphill: bool = False
    band: Band = Band.HARD


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
        how = _how(typed.mode, typed.is_uphill)
        return f"{typed.rounds} x {work} {typed.band.value}, {recovery} easy, {how}"
    if typed.shape is Shape.STRENGTH:
        return f"strength {_minutes_words(typed.minutes)}"
    shape = SHAPE_NAMES[typed.shape]
    said = f"{_minutes_words(typed.minutes)} {shape} {_how(typed.mode, typed.is_uphill)}"
    return said if typed.distance_m is None else f"{distance_words(typed.distance_m)} {WITHIN} {said}"


def _how(mode: Mode, is_uphill: bool) -> str:
    return f"{_UPHILL} {MODE_NAMES[mode]}" if is_uphill else MODE_NAMES[mode]


def _minutes_words(minutes: int) -> str:
    if minutes < _AN_HOUR_MIN:
        return str(minutes)
    return f"{minutes // _AN_HOUR_MIN}:{minutes % _AN_HOUR_MIN:02d}"


def _parse(text: str) -> Typed:
    spaced = re.sub(r"(?<=[0-9])\s*[x×]\s*(?=[0-9])", " x ", text)
    pieces = [piece for piece in pieces_of(spaced) if piece not in _QUIET and piece != ","]
    if "x" in pieces:
        return _rounds([piece for piece in pieces if piece not in _QUIET_WITHOUT_DISTANCE])
    if _ROUNDS_IN_WORDS.search(text):
        raise NotUnderstood(f"Rounds are written with an x: write {_ROUNDS_EXAMPLE}.")
    return _steady(pieces)


@dataclass(slots=True)
class _Said:
    """What stands in a session of one piece, as it is found."""

    times: list[int]
    distances: list[int]
    paces: list[float]
    named: list[str]
    #: A time such as 6:30 without "in" before it, which beside a distance may be a pace.
    unclear: str = ""


def _steady(pieces: list[str]) -> TypedSteady:
    said = _said(Pieces(pieces))
    _refuse_unknown(said.named)
    distance, minutes = _minutes(said)
    if "strength" in said.named:
        return _strength(minutes, said.named)
    mode, is_uphill, rest = _mode(said.named)
    shape = _shape(rest)
    if mode is None:
        raise NotUnderstood(f"Say how: walk, run, ride, indoor ride, row, swim, {_EXAMPLE}.")
    if distance is not None and shape not in _WITH_DISTANCE:
        raise NotUnderstood(f"A distance goes with easy sessions here; write {SHAPE_NAMES[shape]} in minutes.")
    return TypedSteady(minutes, shape, mode, is_uphill, distance)


def _refuse_unknown(named: list[str]) -> None:
    """Raises: NotUnderstood with the words not known, before anything is asked that they may have meant to say."""
    known = _SHAPE_WORDS | _MODE_WORDS.keys() | {_UPHILL, *_INSIDE_WORDS}
    unknown = [f"“{word}”" for word in dict.fromkeys(named) if word not in known]
    if not unknown or "strength" in named:
        return
    are = "is not a word" if len(unknown) == 1 else "are not words"
    raise NotUnderstood(f"{', '.join(unknown[:_MOST_UNKNOWN])} {are} known here; write it {_EXAMPLE}.")


def _said(taken: Pieces) -> _Said:
    said, before = _Said([], [], [], []), ""
    while (piece := taken.look()) is not None:
        if before == AT and piece[0].isdigit():
            said.paces.append(pace_s_per_m(taken))
        elif is_distance(taken):
            said.distances.append(distance_m(taken))
        elif piece[0].isdigit():
            if ":" in piece and before != WITHIN:
                said.unclear = piece
            said.times.append(duration_s(taken))
        else:
            taken.take()
            if piece not in _QUIET_WITHOUT_DISTANCE:
                said.named.append(piece)
        before = piece
    return said


def _minutes(said: _Said) -> tuple[int | None, int]:
    """The distance, if there is one, and the minutes: said, or reckoned by the pace said."""
    if not said.distances:
        if said.paces:
            raise NotUnderstood(f"A pace needs a distance; write how long, {_EXAMPLE}.")
        return None, _one_time(said.times)
    if len(said.distances) > 1 or len(said.paces) + len(said.times) > 1:
        raise NotUnderstood("More than one distance or time stands here; put ; between two sessions of a day.")
    distance = said.distances[0]
    if said.paces:
        seconds = distance * said.paces[0]
        return distance, _in_range(minutes_for(distance, seconds))
    if not said.times:
        raise asks_pace(distance)
    if said.unclear:
        raise NotUnderstood(
            f"“{said.unclear}” may be hours or a pace; write in {said.unclear}, or at {said.unclear} a km."
        )
    minutes = _one_time(said.times)
    minutes_for(distance, minutes * SECONDS_A_MINUTE)
    return distance, minutes


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
    return _in_range(minutes)


def _in_range(minutes: int) -> int:
    if not 1 <= minutes <= LONGEST_MIN:
        raise NotUnderstood(f"A session takes 1 to {LONGEST_MIN} minutes.")
    return minutes


def _shape(named: list[str]) -> Shape:
    if not named:
        raise NotUnderstood(f"Say how hard: easy or middle, {_EXAMPLE}; hard work is written as rounds.")
    if "hard" in named:
        raise NotUnderstood(f"Hard work is written as rounds, such as {_ROUNDS_EXAMPLE}.")
    found = _BARE_SHAPES.get(frozenset(named))
    if found is None or len(set(named)) != len(named):
        raise NotUnderstood(f"“{' '.join(named)}” does not go together; write one of them, {_EXAMPLE}.")
    return found


def _mode(named: list[str]) -> tuple[Mode | None, bool, list[str]]:
    """How it is done, whether uphill, and the words left."""
    modes = [word for word in named if word in _MODE_WORDS]
    places = [word for word in named if word in _INSIDE_WORDS]
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
    taken = Pieces(pieces)
    count = taken.take() or ""
    if not re.fullmatch(r"[0-9]{1,2}", count) or taken.take() != "x":
        raise NotUnderstood(f"Write rounds as {_ROUNDS_EXAMPLE}: how many first.")
    rounds = int(count)
    if not 1 <= rounds <= MOST_ROUNDS:
        raise NotUnderstood(f"A session has 1 to {MOST_ROUNDS} rounds.")
    work_s, band = _stretch(taken, _WORK_BANDS, f"Say how hard the rounds are: {_ROUNDS_EXAMPLE}.")
    asks_rest = f"Say how long the easy time between the rounds is: {_ROUNDS_EXAMPLE}."
    recovery_s, _ = _stretch(taken, (Band.EASY,), asks_rest)
    _refuse_long(rounds, work_s, recovery_s, band)
    mode, is_uphill, rest = _mode(taken.left)
    if rest:
        raise NotUnderstood(f"“{rest[0]}” is not a word known here; write {_ROUNDS_EXAMPLE}.")
    if mode is None:
        raise NotUnderstood(f"Say how: walk, run, ride, indoor ride, row, such as {_ROUNDS_EXAMPLE}.")
    return TypedRounds(rounds, work_s, recovery_s, mode, is_uphill, band)


def _refuse_long(rounds: int, work_s: int, recovery_s: int, band: Band) -> None:
    longest_s, most_s = _LONGEST_S[band], _MOST_S[band]
    if not (0 < work_s <= longest_s and 0 < recovery_s <= LONGEST_ROUND_S and rounds * work_s <= most_s):
        raise NotUnderstood(
            f"At {band.value} effort a round takes up to {longest_s // SECONDS_A_MINUTE} min, a recovery up to "
            f"{LONGEST_ROUND_S // SECONDS_A_MINUTE}, all rounds together up to {most_s // SECONDS_A_MINUTE}."
        )


def _stretch(taken: Pieces, efforts: tuple[Band, ...], asks: str) -> tuple[int, Band]:
    """The seconds of a stretch and the effort it must name."""
    piece = taken.look()
    if piece is None or not piece[0].isdigit():
        raise NotUnderstood(asks)
    refuse_length(taken, f"such as {_ROUNDS_EXAMPLE}")
    seconds = duration_s(taken)
    effort = next((band for band in efforts if band.value == taken.look()), None)
    if effort is None:
        raise NotUnderstood(asks)
    taken.take()
    return seconds, effort
