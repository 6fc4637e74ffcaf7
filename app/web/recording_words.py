"""What a recording holds, and whether it fits the entry, as the phone and the coach's side say it."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from zoneinfo import ZoneInfo

from app.coaching.recording_about import About
from app.coaching.recordings import FaultKind, SpeedSource
from app.coaching.session_logs import SessionLog
from app.coaching.session_renderings import clock_words
from app.coaching.weeks import local_day
from app.coaching.words import counted, done_minutes_words
from app.usecases.recordings.looking import Draft
from app.usecases.recordings.opened import RecordingPage
from app.web.filters import day, day_year
from app.web.log_words import title_of

KILOBYTE = 1024
SECONDS_A_MINUTE = 60
#: So many faults stand on the page at once; the others open.
FIRST_FAULTS = 6
#: A recording this much longer or shorter than the entry says is pointed out (house choice).
DIFFERS_BY_FRACTION, DIFFERS_BY_MIN = 0.25, 5.0

CHANNEL_WORDS: Mapping[str, str] = {
    "power_w": "power",
    "heart_rate_bpm": "heart rate",
    "speed_m_per_s": "speed",
    "cadence_per_min": "cadence or stroke rate",
    "altitude_m": "altitude",
    "distance_m": "distance",
}
KIND_WORDS = {
    FaultKind.GAP: "gap",
    FaultKind.PAUSE: "pause",
    FaultKind.DROP_OUT: "drop-out",
    FaultKind.SPIKE: "spike",
}
SOURCE_WORDS = {
    SpeedSource.SATELLITE: "satellites",
    SpeedSource.WHEEL: "a wheel or a machine",
    SpeedSource.TRACK: "a measured track or pool",
    SpeedSource.TYPED: "typed figures",
}


@dataclass(frozen=True, slots=True)
class What:
    """What was understood of a recording, ready to print."""

    facts: tuple[tuple[str, str], ...]
    faults: tuple[str, ...]
    more_faults: tuple[str, ...]
    notes: tuple[str, ...]


def what(about: About, *, duration_s: int, started_at: datetime | None, zone: str) -> What:
    """A recording in a few lines, its faults, and what was left out."""
    began = "not known"
    if started_at is not None:
        local = started_at.astimezone(ZoneInfo(zone))
        began = f"{local:%a} {day_year(local.date())}, {local:%H:%M}"
    facts = [
        ("Began", began),
        ("Length", clock_words(duration_s)),
        ("Holds", ", ".join(CHANNEL_WORDS[name] for name in about.channels)),
    ]
    if about.speed_source is not None:
        facts.append(("Speed from", SOURCE_WORDS[about.speed_source]))
    said = tuple(one.sentence for one in about.faults)
    facts.append(("Faults", _kinds(about) or "none found"))
    return What(tuple(facts), said[:FIRST_FAULTS], said[FIRST_FAULTS:], about.notes)


def _kinds(about: About) -> str:
    """How many faults of each kind there are."""
    counts = Counter(one.kind for one in about.faults)
    return ", ".join(counted(counts[kind], KIND_WORDS[kind]) for kind in FaultKind if counts[kind])


def kept_line(page: RecordingPage) -> str:
    """Who kept the recording that stands, when, and how large it is."""
    one = page.standing
    if one is None:
        return ""
    size = f"{max(1, round(one.series_bytes / KILOBYTE))} kB of figures"
    places = "with its places" if one.has_places else "without places"
    who, at = page.name_of(one.person_id), _at(one.added_at, page.client.zone)
    return f"Kept by {who}, {at}: {size}, {places}, not the file."


def waits_line(draft: Draft, zone: str) -> str:
    """Until when a file waits, and with what of it."""
    until = f"{draft.until_at.astimezone(ZoneInfo(zone)):%H:%M}"
    if draft.about is not None and not draft.has_places:
        return f"It waits until {until}, two hours at most, and is then forgotten."
    places = "its places included" if draft.has_places else "with its places if it has any"
    return f"It waits until {until}, two hours at most, {places}, where only the desk reads it; then it is forgotten."


def earlier_lines(page: RecordingPage) -> list[tuple[int, str]]:
    """Recordings that can be brought back, each in a line."""
    zone = page.client.zone
    return [
        (
            one.id,
            f"{clock_words(one.duration_s)} long, kept {_at(one.added_at, zone)}, "
            f"taken away {_at(one.removed_at, zone) if one.removed_at else ''}",
        )
        for one in page.earlier
    ]


def belongs_to(draft: Draft, logs: Sequence[SessionLog], zone: str) -> list[tuple[int, str]]:
    """The entries a recording may belong to, the likeliest first."""
    started_on = local_day(draft.started_at, zone) if draft.started_at else None
    ordered = sorted(logs, key=lambda one: started_on is not None and one.done_on != started_on)
    return [(one.id, f"{day(one.done_on)}: {title_of(one)}") for one in ordered]


def doubts(draft: Draft, log: SessionLog, zone: str) -> list[str]:
    """What does not fit between a recording and the entry it was added to."""
    found = []
    if draft.started_at is None:
        found.append("The recording does not say when it began. Look whether it is the one of this entry.")
    elif (started_on := local_day(draft.started_at, zone)) != log.done_on:
        year = "" if started_on.year == log.done_on.year else f" {started_on.year}"
        found.append(f"This entry is for {day(log.done_on)}; the recording began on {day(started_on)}{year}.")
    recorded_min = draft.duration_s / SECONDS_A_MINUTE
    if log.minutes is not None and _differs(recorded_min, log.minutes):
        said, recorded = done_minutes_words(log.minutes), clock_words(draft.duration_s)
        found.append(f"The entry says {said}; the recording is {recorded} long.")
    return found


def _differs(recorded_min: float, said_min: float) -> bool:
    apart = abs(recorded_min - said_min)
    return apart > DIFFERS_BY_MIN and apart > DIFFERS_BY_FRACTION * said_min


def _at(instant: datetime, zone: str) -> str:
    local = instant.astimezone(ZoneInfo(zone))
    return f"{day(local.date())}, {local:%H:%M}"
