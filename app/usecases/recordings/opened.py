"""What there is of an entry's recording: the one that stands, those that can be brought back, and what it says."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Client
from app.coaching.prescriptions import PlannedSession
from app.coaching.recording_about import About, edges_from_json, from_json
from app.coaching.recordings import Recording
from app.coaching.rounds_values import RoundEdges
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import local_day
from app.files.kept_series import unpack
from app.files.to_recording_csv import recording_csv
from app.storage import accounts, recordings, session_logs
from app.storage.recordings import KeptRecording, PlaceChoice
from app.usecases.gate import NotYours, allowed_actions
from app.usecases.recordings.keeping import is_over
from app.usecases.recordings.looking import open_log, planned_of


@dataclass(frozen=True, slots=True)
class RecordingPage:
    """An entry with what is recorded of it."""

    client: Client
    log: SessionLog
    #: The version of the plan that the entry answers.
    planned: PlannedSession | None
    may_add: bool
    standing: KeptRecording | None
    about: About | None
    #: Taken away or replaced, and still there, the newest first.
    earlier: tuple[KeptRecording, ...]
    places: PlaceChoice | None
    names: Mapping[int, str]

    def name_of(self, person_id: int) -> str:
        """Who it was."""
        return self.names.get(person_id, "somebody who has left")


@dataclass(frozen=True, slots=True, eq=False)
class OpenedRecording:
    """A recording with its series, and the rounds that were set by hand."""

    kept: KeptRecording
    recording: Recording
    #: None while the reading's own rounds count.
    edges: tuple[RoundEdges, ...] | None


@dataclass(frozen=True, slots=True)
class TableFile:
    """A table to save, with a name that says nothing about a person."""

    name: str
    content: bytes


def recording_page(db: Session, *, actor: Actor, log_id: int, now: datetime) -> RecordingPage:
    """An entry's recordings. Raises: NotYours."""
    client, log = open_log(db, actor=actor, log_id=log_id, action=Action.READ, now=now)
    found = recordings.of_log(db, session_log_id=log_id)
    standing = next((one for one in found if one.removed_at is None), None)
    is_allowed = Action.LOG in allowed_actions(db, actor=actor, client=client, now=now)
    return RecordingPage(
        client=client,
        log=log,
        planned=planned_of(db, log),
        may_add=is_allowed and log.answer is not Answer.NOT_DONE,
        standing=standing,
        about=from_json(standing.about_json) if standing else None,
        earlier=tuple(one for one in found if one.removed_at is not None and not is_over(one, now)),
        places=recordings.choice_of(db, client_id=client.id),
        names=accounts.names_of(db, person_ids={one.person_id for one in found}),
    )


def logs_of_start(
    db: Session, *, actor: Actor, log_id: int, started_at: datetime | None, now: datetime
) -> tuple[SessionLog, ...]:
    """The entries a recording may belong to: those of the day it began on, and the one it was added to, first.

    Raises: NotYours.
    """
    client, log = open_log(db, actor=actor, log_id=log_id, action=Action.READ, now=now)
    if started_at is None:
        return (log,)
    day = local_day(started_at, client.zone)
    found = session_logs.between(db, client_ids=[client.id], from_on=day, until_on=day)
    return (log, *(one for one in found if one.id != log_id and one.answer is not Answer.NOT_DONE))


def open_recording(db: Session, *, actor: Actor, log_id: int, now: datetime) -> OpenedRecording | None:
    """The recording of an entry with its series; None when there is none. Raises: NotYours."""
    open_log(db, actor=actor, log_id=log_id, action=Action.READ, now=now)
    standing = recordings.standing(db, session_log_id=log_id)
    if standing is None:
        return None
    series = recordings.series_of(db, recording_id=standing.id)
    recording, _ = unpack(series, about=from_json(standing.about_json), started_at=standing.started_at)
    return OpenedRecording(
        standing, recording, edges_from_json(standing.edges_json) if standing.edges_json is not None else None
    )


def as_table(db: Session, *, actor: Actor, log_id: int, now: datetime) -> TableFile:
    """The recording of an entry as a table. Places go to the client alone, and only where the client keeps them.

    Raises: NotYours when there is none.
    """
    client, _ = open_log(db, actor=actor, log_id=log_id, action=Action.READ, now=now)
    standing = recordings.standing(db, session_log_id=log_id)
    if standing is None:
        raise NotYours("There is no recording here.")
    series = recordings.series_of(db, recording_id=standing.id)
    recording, places = unpack(series, about=from_json(standing.about_json), started_at=standing.started_at)
    is_own = actor.client_id == client.id
    return TableFile(f"recording-{standing.id}.csv", recording_csv(recording, places if is_own else {}))
