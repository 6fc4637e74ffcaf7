"""The form of one planned session: its first values, and what was typed as a wish."""

from __future__ import annotations

from datetime import date

from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession
from app.coaching.protocol_library import Library
from app.coaching.session_shapes import SHAPE_WORDS, Shape, shape_of
from app.coaching.week_spread import SHORTEST_OUTING_MIN
from app.coaching.words import short_day
from app.usecases.plan_sessions.wishes import SessionWish
from app.web.forms import Fields

SHAPE_OPTIONS = tuple((shape.value, words) for shape, words in SHAPE_WORDS.items())
LONGEST_SESSION_MIN = 600
MOST_ROUNDS = 40
PURPOSE_MOST = 400
REASON_MOST = 1000
#: What the page of a stale edit lays side by side.
COMPARED = (
    ("planned_on", "Day"),
    ("shape", "Kind"),
    ("mode", "How"),
    ("minutes", "Minutes"),
    ("rounds", "Rounds"),
    ("title", "Title"),
    ("purpose", "Purpose"),
    ("place", "Place"),
    ("easy_version", "Easy version"),
)


def initial_values(session: PlannedSession) -> dict[str, object]:
    """What the form shows first."""
    return {
        "planned_on": session.planned_on.isoformat(),
        "shape": shape_of(session),
        "mode": session.mode,
        "minutes": session.minutes,
        "rounds": session.rounds or "",
        "title": session.title,
        "purpose": session.purpose,
        "place": session.place,
        "easy_version": session.easy_version,
        "version": session.version,
    }


def easier_values(session: PlannedSession) -> dict[str, object]:
    """What the form shows first when a session is to become easy: the same minutes, words of its own."""
    easy = {"shape": Shape.EASY, "rounds": "", "title": "", "purpose": "", "easy_version": ""}
    return initial_values(session) | easy


def new_values(on: date) -> dict[str, object]:
    """What the form of a new session shows first."""
    return {"planned_on": on.isoformat(), "shape": Shape.EASY, "mode": Mode.WALK, "minutes": SHORTEST_OUTING_MIN}


def read_wish(fields: Fields, library: Library) -> SessionWish | None:
    """What was typed; None with errors beside the fields."""
    planned_on = fields.day("planned_on")
    shape = fields.choice("shape", Shape)
    mode = fields.choice("mode", Mode)
    is_rounds = shape is Shape.INTERVALS
    minutes = fields.whole_minutes("minutes", lowest=1, highest=LONGEST_SESSION_MIN, required=not is_rounds)
    rounds = fields.whole("rounds", lowest=1, highest=MOST_ROUNDS, required=False) if is_rounds else None
    protocol_key = fields.text("protocol_key", required=False)
    if protocol_key is not None and protocol_key not in library.offered:
        fields.refuse("protocol_key", "Choose one of the library.")
    title = fields.text("title", required=False)
    purpose = fields.text("purpose", most=PURPOSE_MOST, required=False)
    place = fields.text("place", required=False)
    easy_version = fields.text("easy_version", most=PURPOSE_MOST, required=False, many_lines=True)
    reason = fields.text("reason", most=REASON_MOST, required=False, many_lines=True)
    despite = fields.text("despite", most=REASON_MOST, required=False, many_lines=True)
    if fields.errors or planned_on is None or shape is None or mode is None:
        return None
    return SessionWish(
        planned_on=planned_on,
        shape=shape,
        mode=mode,
        minutes=minutes,
        protocol_key=protocol_key if is_rounds else None,
        rounds=rounds,
        title=title,
        purpose=purpose,
        place=place,
        easy_version=easy_version,
        reason=reason,
        own=library.own_entry(protocol_key) if is_rounds else None,
        despite=despite,
    )


def typed_words(fields: Fields, name: str) -> str:
    """What was typed, in the words of the page."""
    return in_words(name, fields.value(name))


def in_words(name: str, value: object) -> str:
    """A form's value in the words of the page."""
    text = "" if value is None else str(value)
    if name == "planned_on":
        return _day_in_words(text)
    options = dict(SHAPE_OPTIONS) if name == "shape" else {mode.value: mode.value.replace("_", " ") for mode in Mode}
    return options.get(text, text) if name in ("shape", "mode") else text


def _day_in_words(text: str) -> str:
    """A day of the form; what is no day stays as it was typed."""
    try:
        return short_day(date.fromisoformat(text))
    except ValueError:
        return text
