"""What a spreadsheet may hold: the three kinds of file, their fields, usual headers, and usual words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

from app.coaching.effort import TALK_WORDS, Talk
from app.coaching.people import ClientState, Mode, Sex
from app.coaching.phases import PHASE_WORDS, Phase
from app.coaching.prescriptions import KIND_WORDS, SessionKind


class FileKind(StrEnum):
    """What the rows of a file are. The order is the order they are taken in."""

    CLIENTS = "clients"
    SESSIONS = "sessions"
    READINESS = "readiness"


KIND_ORDER = tuple(FileKind)


@dataclass(frozen=True, slots=True)
class Field:
    """One thing a column may hold: its name, its label, and headers that usually mean it."""

    name: str
    label: str
    headers: frozenset[str]
    is_needed: bool = False


def _field(name: str, label: str, *headers: str, is_needed: bool = False) -> Field:
    return Field(name, label, frozenset({*headers, label.casefold(), name.replace("_", " ")}), is_needed)


_NAME_HEADERS = ("name", "full name", "client", "client name", "athlete", "who", "person", "member")
_EMAIL_HEADERS = ("email", "e-mail", "mail", "email address", "e-mail address")
_NOTE_HEADERS = ("note", "notes", "comment", "comments", "remark", "remarks", "how it went", "words")
_IN_EMERGENCY = (
    "emergency contact",
    "emergency",
    "in an emergency",
    "ice",
    "next of kin",
    "contact person",
    "if anything happens",
)
_PHONE_WORDS = ("phone", "number", "phone number", "telephone", "tel", "mobile", "cell")
_EMERGENCY_PHONE_HEADERS = ("their number", *(f"{who} {word}" for who in _IN_EMERGENCY for word in _PHONE_WORDS))
_RELATION_WORDS = ("relation", "relationship")
_RELATION_HEADERS = (*_RELATION_WORDS, *(f"{who} {word}" for who in _IN_EMERGENCY for word in _RELATION_WORDS))

FIELDS: dict[FileKind, tuple[Field, ...]] = {
    FileKind.CLIENTS: (
        _field("name", "Name", *_NAME_HEADERS, is_needed=True),
        _field("email", "E-mail", *_EMAIL_HEADERS),
        _field("phone", "Phone", "telephone", "tel", "mobile", "cell", "phone number"),
        _field("born_on", "Born on", "birth date", "date of birth", "born", "dob", "birthday"),
        _field("sex", "Sex", "gender", "f/m", "m/f"),
        _field("zone", "Time zone", "timezone", "zone", "tz"),
        _field("state", "State", "status"),
        _field("phase", "Phase", "training", "training phase", "stage"),
        _field("phase_since_on", "In this phase since", "since", "phase since", "base since", "from"),
        _field("phase_source", "Phase known from", "source", "known from", "attested by"),
        _field("joined_on", "Joined on", "joined", "with us since", "client since", "start date"),
        _field("emergency_contact", "Emergency contact", *_IN_EMERGENCY, *(f"{one} name" for one in _IN_EMERGENCY)),
        _field("emergency_phone", "Emergency phone", *_EMERGENCY_PHONE_HEADERS),
        _field("emergency_relation", "Emergency contact is their", *_RELATION_HEADERS),
    ),
    FileKind.SESSIONS: (
        _field("client", "Client", *_NAME_HEADERS, *_EMAIL_HEADERS, is_needed=True),
        _field("done_on", "Date", "day", "done on", "when", "session date", is_needed=True),
        _field("minutes", "Minutes", "duration", "time", "min", "mins", "length", "how long", is_needed=True),
        _field("kind", "Kind of session", "kind", "type", "session", "session type"),
        _field("mode", "Moved by", "mode", "sport", "activity", "what"),
        _field("effort", "Effort", "rpe", "effort 0-10", "how hard", "feeling"),
        _field("talk", "Talk answer", "talk", "talk test", "speech"),
        _field("distance", "Distance", "km", "distance km", "distance (km)", "miles", "distance (miles)", "dist"),
        _field("rounds", "Rounds", "reps", "repetitions", "intervals", "rounds done"),
        _field("note", "Note", *_NOTE_HEADERS),
    ),
    FileKind.READINESS: (
        _field("client", "Client", *_NAME_HEADERS, *_EMAIL_HEADERS, is_needed=True),
        _field("noted_on", "Date", "day", "noted on", "when", is_needed=True),
        _field("sleep", "Sleep", "sleep quality", "slept"),
        _field("fatigue", "Fatigue", "tiredness", "tired", "energy", "fresh", "freshness"),
        _field("stress", "Stress", "worry", "calm"),
        _field("soreness", "Soreness", "sore", "muscle soreness", "legs"),
        _field("mood", "Mood", "spirits"),
        _field("slept_h", "Hours slept", "hours of sleep", "sleep hours", "sleep h", "hours"),
        _field("resting_heart_rate_bpm", "Resting heart rate", "resting hr", "rhr", "resting pulse", "pulse"),
        _field("text", "Note", *_NOTE_HEADERS),
    ),
}

READINESS_ITEMS = ("sleep", "fatigue", "stress", "soreness")
READINESS_SCALED = (*READINESS_ITEMS, "mood")

DATE_FIELDS: dict[FileKind, tuple[str, ...]] = {
    FileKind.CLIENTS: ("born_on", "phase_since_on", "joined_on"),
    FileKind.SESSIONS: ("done_on",),
    FileKind.READINESS: ("noted_on",),
}


def needed(kind: FileKind) -> tuple[str, ...]:
    """The fields a kind of file cannot do without."""
    return tuple(field.name for field in FIELDS[kind] if field.is_needed)


def label_of(kind: FileKind, name: str) -> str:
    """How a field is called on screen."""
    return next((field.label for field in FIELDS[kind] if field.name == name), name)


def _by_words(words: Mapping[Any, str], **more: str) -> dict[str, str]:
    plain = {word.value.replace("_", " "): word.value for word in words}
    return plain | {said.casefold(): word.value for word, said in words.items()} | _spread(more)


def _spread(more: dict[str, str]) -> dict[str, str]:
    return {said.strip(): value for value, several in more.items() for said in several.split(",")}


#: The published equations know two sexes; every other answer is welcome and simply kept out of them.
_NO_SEX_SAID = dict.fromkeys(("x", "d", "diverse", "other", "non-binary", "nonbinary"), "")

#: Cells that say nothing, as people write them.
EMPTY_CELLS = frozenset({"", "-", "–", "—", "n/a", "?"})

#: Fields whose cells are words, with the words understood without asking.
WORDS: dict[FileKind, dict[str, dict[str, str]]] = {
    FileKind.CLIENTS: {
        "sex": _by_words({s: s.value for s in Sex}, F="female, woman, w", M="male, man") | _NO_SEX_SAID,
        "state": _by_words(
            {s: s.value.replace("_", " ") for s in ClientState},
            active="current, yes, training",
            paused="on hold, break, away",
            left="gone, former, no",
        ),
        "phase": _by_words(
            PHASE_WORDS,
            aerobic_base="base, building base, base phase",
            interval_one="intervals, intervals once a week, one a week, interval phase",
            interval_two="intervals twice a week, two a week",
            keeping="maintenance, maintaining",
            returning="return, coming back",
        ),
    },
    FileKind.SESSIONS: {
        "kind": _by_words(
            KIND_WORDS,
            easy="easy session, recovery, long, long easy, base",
            intervals="interval, rounds, hard, hard session",
            strength="weights, gym strength",
            race="competition",
        ),
        "mode": _by_words(
            {m: m.value.replace("_", " ") for m in Mode},
            walk="walking, hike, hiking, brisk walk",
            run="running, jog, jogging",
            ride="bike, bicycle, cycling, cycle, riding, bike ride",
            indoor_ride="indoor bike, stationary bike, exercise bike",
            row="rowing, rower",
            swim="swimming, pool",
            cross_train="cross-trainer, cross trainer, elliptical",
            strength="weights",
        ),
        "talk": _by_words(TALK_WORDS, sing="singing", chat="chatting, could chat", few_words="few words"),
    },
    FileKind.READINESS: {},
}

WORD_CHOICES: dict[str, tuple[tuple[str, str], ...]] = {
    "sex": tuple((s.value, {"F": "female", "M": "male"}[s.value]) for s in Sex),
    "state": tuple((s.value, s.value.replace("_", " ")) for s in ClientState),
    "phase": tuple((p.value, PHASE_WORDS[p]) for p in Phase),
    "kind": tuple((k.value, KIND_WORDS[k]) for k in SessionKind),
    "mode": tuple((m.value, m.value.replace("_", " ")) for m in Mode),
    "talk": tuple((t.value, TALK_WORDS[t]) for t in Talk),
}
