"""Rows about sessions and readiness: their identity, and the entries they become."""

from __future__ import annotations

import hashlib
import json
from collections import Counter
from dataclasses import asdict, dataclass
from datetime import date, datetime

from sqlalchemy.orm import Session

from app.coaching.access import Actor
from app.coaching.people import Client, Mode, Origin
from app.coaching.prescriptions import KIND_WORDS
from app.coaching.readiness import Illness, ReadinessNote
from app.coaching.session_logs import Answer, RoundDone, SessionLog
from app.coaching.weeks import day_words, local_day
from app.files.csv_fields import FileKind
from app.files.from_csv import ReadinessLine, SessionLine
from app.storage import readiness, session_logs
from app.usecases.bring_in.roster import Known, Roster
from app.usecases.bring_in.values import Becomes, RowRefused

RecordLine = SessionLine | ReadinessLine


@dataclass(frozen=True, slots=True)
class RecordStep:
    """What one row does: about whom, under which identity."""

    row: RecordLine
    becomes: Becomes
    known: Known
    import_key: str
    detail: str


def day_of(row: RecordLine) -> date:
    """The day a row is about."""
    return row.done_on if isinstance(row, SessionLine) else row.noted_on


def find_client(row: RecordLine, *, roster: Roster, now: datetime) -> Known:
    """Whom a row is about. Raises: RowRefused for a stranger or a day that has not come."""
    known = roster.meant_by(row.client, "client")
    today = local_day(now, known.client.zone if known.client else roster.zone)
    if day_of(row) > today:
        raise RowRefused(
            "done_on" if isinstance(row, SessionLine) else "noted_on", f"{day_words(day_of(row))} has not come yet."
        )
    return known


def plan_record(row: RecordLine, known: Known, *, seen: Counter[str], known_keys: frozenset[str]) -> RecordStep:
    """What a row would do; `seen` counts equal rows of the file, so that two alike on a day are two."""
    detail = _words(row)
    if known.client is None:
        return RecordStep(row, Becomes.ADDED, known, "", detail)
    said = _content(row, known.client)
    seen[said] += 1
    key = hashlib.sha256(f"{said}#{seen[said]}".encode()).hexdigest()
    becomes = Becomes.ALREADY_HERE if key in known_keys else Becomes.ADDED
    return RecordStep(row, becomes, known, key, detail)


#: So much of a note is shown in a preview.
NOTE_SHOWN = 60
_NOT_CONTENT = frozenset({"line", "client", "felt_all_out"})


def _content(row: RecordLine, client: Client) -> str:
    """Client, kind, day and values as one text; the line, the client's name and what follows from the rest do not."""
    values = {name: value for name, value in asdict(row).items() if name not in _NOT_CONTENT}
    kind = FileKind.SESSIONS if isinstance(row, SessionLine) else FileKind.READINESS
    return json.dumps([client.id, kind, values], default=str, sort_keys=True)


def _words(row: RecordLine) -> str:
    if isinstance(row, SessionLine):
        way = "" if row.mode is Mode.OTHER else f" {row.mode.value.replace('_', ' ')}"
        effort = "" if row.effort is None else f", effort {row.effort:g}"
        return f"{day_words(row.done_on)}: {KIND_WORDS[row.kind]}{way}, {row.minutes:g} min{effort}"
    return f"{day_words(row.noted_on)}: {', '.join(_readiness_words(row)) or 'a note'}"


def _readiness_words(row: ReadinessLine) -> list[str]:
    """Everything a row about readiness says, hours, heart rate and own words included."""
    items = {name: getattr(row, name) for name in ("sleep", "fatigue", "stress", "soreness", "mood")}
    said = [f"{name} {value}" for name, value in items.items() if value is not None]
    said += [f"slept {row.slept_h:g} h"] if row.slept_h is not None else []
    said += [f"resting heart rate {row.resting_heart_rate_bpm}"] if row.resting_heart_rate_bpm is not None else []
    return said + ([f"“{_short(row.text)}”"] if row.text else [])


def _short(text: str) -> str:
    words = " ".join(text.split())
    return words if len(words) <= NOTE_SHOWN else f"{words[:NOTE_SHOWN].rstrip()}…"


def keep_record(db: Session, step: RecordStep, *, actor: Actor, now: datetime) -> None:
    """Write the entry a row becomes; the caller leaves one trace a client."""
    client = step.known.client
    if client is None or step.becomes is not Becomes.ADDED:
        return
    if isinstance(step.row, SessionLine):
        log = _log(step.row, client, actor=actor, now=now)
        session_logs.add(db, log=log, import_key=step.import_key)
    else:
        note = _note(step.row, client, actor=actor, now=now)
        readiness.add(db, note=note, import_key=step.import_key)


def _log(row: SessionLine, client: Client, *, actor: Actor, now: datetime) -> SessionLog:
    return SessionLog(
        id=0,
        client_id=client.id,
        planned_session_id=None,
        done_on=row.done_on,
        # There was no plan here that it could have followed.
        answer=Answer.SOMETHING_ELSE,
        kind=row.kind,
        mode=row.mode,
        minutes=row.minutes,
        effort=row.effort,
        talk=row.talk,
        felt_all_out=row.felt_all_out,
        posture=None,
        why_not=None,
        spoilt_by=None,
        note=row.note,
        origin=Origin.FILE,
        entered_at=now,
        person_id=actor.person_id,
        from_memory=False,
        rounds=_rounds(row),
        revision=1,
    )


def _rounds(row: SessionLine) -> tuple[RoundDone, ...]:
    count, duration_s = row.rounds or (0, 0)
    return tuple(RoundDone(number, duration_s, True, None, None, None, None, None) for number in range(1, count + 1))


def _note(row: ReadinessLine, client: Client, *, actor: Actor, now: datetime) -> ReadinessNote:
    return ReadinessNote(
        id=0,
        client_id=client.id,
        noted_on=row.noted_on,
        sleep=row.sleep,
        fatigue=row.fatigue,
        stress=row.stress,
        soreness=row.soreness,
        mood=row.mood,
        slept_h=row.slept_h,
        resting_heart_rate_bpm=row.resting_heart_rate_bpm,
        ln_rmssd=None,
        # Illness, medicines and symptoms are asked afresh and never taken from a file.
        illness=Illness.NONE,
        medicine_changed=False,
        not_right_today=False,
        text=row.text,
        origin=Origin.FILE,
        entered_at=now,
        person_id=actor.person_id,
    )
