"""A recording kept beside an entry, replaced, taken away, brought back; where its rounds were set; what of places."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import datetime, timedelta
from typing import TypeGuard

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.people import Origin
from app.coaching.reasons import Refused
from app.coaching.recording_about import About, edges_to_json, from_json, to_json
from app.coaching.recording_series import READING_VERSION
from app.coaching.rounds_values import RoundEdges, rounds_by_hand
from app.coaching.session_logs import Answer, SessionLog
from app.coaching.weeks import day_words
from app.files.kept_series import SERIES_FORMAT, pack, unpack
from app.storage import recordings, session_logs
from app.storage.audit import leave_trace
from app.storage.recordings import KeptRecording, PlaceChoice
from app.usecases.gate import NotAllowed, NotYours, open_record
from app.usecases.recordings.looking import Draft, open_log
from app.usecases.recordings.rounds_again import read_rounds

#: How long what was taken away can be brought back (house choice); after that it is dropped.
BRING_BACK_WITHIN = timedelta(days=2)
_SUBJECT = "session log"


def keep(db: Session, *, actor: Actor, log_id: int, draft: Draft, now: datetime) -> int:
    """Keep what was understood of a file in place of what stood beside an entry; the same file changes nothing.

    Raises: NotYours, NotAllowed; Refused when it is kept with another entry, or nothing was done.
    """
    client, log = open_log(db, actor=actor, log_id=log_id, action=Action.LOG, now=now)
    if log.answer is Answer.NOT_DONE:
        raise Refused("This entry says that the session was not done. Correct the entry first.")
    if draft.about is None:
        raise Refused("Answer the questions about the file first.")
    recordings.drop_removed(db, before=now - BRING_BACK_WITHIN)
    standing = recordings.standing(db, session_log_id=log_id)
    has_places = draft.has_places and _keeps_places(db, client.id)
    if _is_kept(standing, draft, has_places=has_places):
        return standing.id
    _refuse_kept_elsewhere(db, client.id, log_id, draft.file_sha256)
    _make_room(db, standing, actor=actor, now=now)
    recording = _as_kept(draft, log, draft.about, actor=actor, has_places=has_places, now=now)
    series = draft.series if has_places or not draft.has_places else _without_places(draft.series, recording)
    recording_id = recordings.add(db, recording=recording, series=series)
    read_rounds(db, log, recording_id)
    after = {"recording": recording_id, "duration_s": draft.duration_s, "channels": list(draft.about.channels)}
    _trace(db, recording, "kept a recording", {"after": after}, actor=actor, now=now)
    return recording_id


def _is_kept(standing: KeptRecording | None, draft: Draft, *, has_places: bool) -> TypeGuard[KeptRecording]:
    """Whether the very same file stands there already; not when its places were dropped and are wanted now."""
    is_same = standing is not None and standing.file_sha256 == draft.file_sha256
    return is_same and standing is not None and (standing.has_places or not has_places)


def _as_kept(
    draft: Draft, log: SessionLog, about: About, *, actor: Actor, has_places: bool, now: datetime
) -> KeptRecording:
    return KeptRecording(
        id=0,
        client_id=log.client_id,
        session_log_id=log.id,
        origin=Origin.FILE if actor.is_coach else Origin.CLIENT,
        file_kind=draft.file_kind,
        file_sha256=draft.file_sha256,
        file_bytes=draft.file_bytes,
        started_at=draft.started_at,
        duration_s=draft.duration_s,
        has_places=has_places,
        about_json=to_json(about),
        series_bytes=0,
        series_format=SERIES_FORMAT,
        reading_version=READING_VERSION,
        edges_json=None,
        edges_at=None,
        edges_by=None,
        added_at=now,
        person_id=actor.person_id,
        removed_at=None,
        removed_by=None,
    )


def _make_room(db: Session, standing: KeptRecording | None, *, actor: Actor, now: datetime) -> None:
    if standing is not None:
        recordings.take_away(db, recording_id=standing.id, person_id=actor.person_id, at=now)


def _refuse_kept_elsewhere(db: Session, client_id: int, log_id: int, sha256: str) -> None:
    for one in recordings.of_client(db, client_id=client_id):
        if one.file_sha256 == sha256 and one.removed_at is None and one.session_log_id != log_id:
            other = session_logs.one(db, log_id=one.session_log_id)
            on = f" of {day_words(other.done_on)}" if other else ""
            raise Refused(f"This recording is kept already, with the entry{on}. Take it away there first.")


def take_away(db: Session, *, actor: Actor, log_id: int, now: datetime) -> None:
    """Take the recording of an entry away; it can be brought back for two days. Raises: NotYours, NotAllowed."""
    open_log(db, actor=actor, log_id=log_id, action=Action.LOG, now=now)
    recordings.drop_removed(db, before=now - BRING_BACK_WITHIN)
    standing = recordings.standing(db, session_log_id=log_id)
    if standing is None:
        return
    recordings.take_away(db, recording_id=standing.id, person_id=actor.person_id, at=now)
    _trace(db, standing, "took a recording away", {"before": {"recording": standing.id}}, actor=actor, now=now)


def bring_back(db: Session, *, actor: Actor, log_id: int, recording_id: int, now: datetime) -> None:
    """Let an earlier recording stand again, in place of the one there is.

    Raises: NotYours, also for one that was dropped meanwhile; NotAllowed.
    """
    _, log = open_log(db, actor=actor, log_id=log_id, action=Action.LOG, now=now)
    found = recordings.one(db, recording_id=recording_id)
    if found is None or found.session_log_id != log_id or is_over(found, now):
        raise NotYours("This recording is not here any more.")
    if found.removed_at is None:
        return
    _refuse_kept_elsewhere(db, found.client_id, log_id, found.file_sha256)
    standing = recordings.standing(db, session_log_id=log_id)
    _make_room(db, standing, actor=actor, now=now)
    recordings.bring_back(db, recording_id=recording_id)
    read_rounds(db, log, recording_id)
    _trace(db, found, "brought a recording back", {"after": {"recording": recording_id}}, actor=actor, now=now)


def is_over(one: KeptRecording, now: datetime) -> bool:
    """Whether what was taken away can be brought back no more."""
    return one.removed_at is not None and one.removed_at < now - BRING_BACK_WITHIN


def set_edges(db: Session, *, actor: Actor, log_id: int, edges: Sequence[RoundEdges] | None, now: datetime) -> None:
    """Keep where the coach put the rounds, over any reading; None lets the reading's own count again.

    Raises: NotYours; NotAllowed for a client; DomainError when the rounds cannot be.
    """
    _, log = open_log(db, actor=actor, log_id=log_id, action=Action.LOG, now=now)
    if not actor.is_coach:
        raise NotAllowed("Where the rounds lie is the coach's to set.")
    standing = recordings.standing(db, session_log_id=log_id)
    if standing is None:
        raise NotYours("There is no recording here.")
    if edges is None:
        recordings.set_edges(db, recording_id=standing.id, edges_json=None, person_id=None, at=None)
    else:
        rounds_by_hand(edges, duration_s=float(standing.duration_s), asked=None)
        said = edges_to_json(edges)
        recordings.set_edges(db, recording_id=standing.id, edges_json=said, person_id=actor.person_id, at=now)
    read_rounds(db, log, standing.id)
    change = {"before": {"rounds": standing.edges_json}, "after": {"rounds": edges_to_json(edges) if edges else None}}
    _trace(db, standing, "set the rounds of a recording", change, actor=actor, now=now)


def choose_places(
    db: Session, *, actor: Actor, client_id: int, keeps_places: bool, origin: Origin, now: datetime
) -> None:
    """Keep what a client says about places. A no also takes them out of everything kept so far.

    A yes is the client's own, or written down by whoever decides about the client. Raises: NotYours, NotAllowed.
    """
    action = Action.DECIDE if keeps_places and actor.is_coach else Action.LOG
    client = open_record(db, actor=actor, client_id=client_id, action=action, now=now)
    before = recordings.choice_of(db, client_id=client.id)
    choice = PlaceChoice(client.id, keeps_places, origin, now, actor.person_id)
    recordings.add_choice(db, choice=choice)
    if not keeps_places:
        _strip_places(db, client.id)
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="keeps the places of recordings" if keeps_places else "drops the places of recordings",
        subject="recordings",
        change={
            "before": {"keeps_places": before is not None and before.keeps_places},
            "after": {"keeps_places": keeps_places, "origin": origin},
        },
    )


def _strip_places(db: Session, client_id: int) -> None:
    for one in recordings.of_client(db, client_id=client_id):
        if one.has_places:
            series = _without_places(recordings.series_of(db, recording_id=one.id), one)
            recordings.set_series(db, recording_id=one.id, series=series, has_places=False)


def _without_places(series: bytes, one: KeptRecording) -> bytes:
    recording, _ = unpack(series, about=from_json(one.about_json), started_at=one.started_at)
    return pack(recording, {})


def _keeps_places(db: Session, client_id: int) -> bool:
    choice = recordings.choice_of(db, client_id=client_id)
    return choice is not None and choice.keeps_places


def _trace(
    db: Session, one: KeptRecording, action: str, change: Mapping[str, object], *, actor: Actor, now: datetime
) -> None:
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=one.client_id,
        action=action,
        subject=_SUBJECT,
        subject_id=one.session_log_id,
        change=change,
    )
