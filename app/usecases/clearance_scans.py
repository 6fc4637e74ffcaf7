"""Scans of clinicians' papers: kept beside the clearance they show, and handed out only as a file to save."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy.orm import Session

from app.coaching.access import Action, Actor
from app.coaching.clearance_papers import has_paper
from app.coaching.people import Client
from app.coaching.screening import Clearance
from app.files.scans import ENDINGS, NoScan, ScanKind, kind_of
from app.storage import safety, scans
from app.storage.audit import leave_trace
from app.storage.scans import Scan
from app.usecases.gate import NotYours, allowed_actions, open_record

#: A paper of more pages than this is one PDF (house choice).
MOST_SCANS = 6


@dataclass(frozen=True, slots=True)
class ScanFile:
    """A scan to save, with a name that says nothing about the client's health."""

    name: str
    media_type: str
    content: bytes


def keep_scan(
    db: Session, *, actor: Actor, client_id: int, clearance_id: int, name: str, content: bytes, now: datetime
) -> str | None:
    """Keep a scan beside a clearance; returns why not, or None. The same file again changes nothing.

    Raises: NotYours for a stranger or a paper of somebody else; NotAllowed.
    """
    client = open_record(db, actor=actor, client_id=client_id, action=Action.DECIDE, now=now)
    if not has_paper(_paper(db, client.id, clearance_id)):
        return "There is no paper to scan yet: record the clinician's answer first, then keep the scan beside it."
    try:
        kind = kind_of(content)
    except NoScan as refusal:
        return str(refusal)
    sha256 = hashlib.sha256(content).hexdigest()
    there = [scan for scan in scans.of_client(db, client_id=client.id) if scan.clearance_id == clearance_id]
    if sha256 in {scan.sha256 for scan in there}:
        return None
    if len(there) >= MOST_SCANS:
        return f"This paper has {MOST_SCANS} scans already; put more pages into one PDF."
    scan_id = scans.add(
        db,
        client_id=client.id,
        clearance_id=clearance_id,
        media_type=kind.value,
        name=_tidy(name) or f"scan.{ENDINGS[kind]}",
        sha256=sha256,
        content=content,
        person_id=actor.person_id,
        at=now,
    )
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=client.id,
        action="kept_scan",
        subject="clearance",
        subject_id=clearance_id,
        change={"after": {"scan": scan_id, "sha256": sha256, "bytes": len(content)}},
    )
    return None


@dataclass(frozen=True, slots=True)
class PaperFile:
    """One paper with its scans, as far as somebody may open them."""

    client: Client
    paper: Clearance
    scans: tuple[Scan, ...]
    may_open: bool
    may_add: bool
    #: Whether there is a paper to scan: a request is none, nor is a word by telephone.
    has_paper: bool


def paper_file(db: Session, *, actor: Actor, client_id: int, clearance_id: int, now: datetime) -> PaperFile:
    """A paper and its scans. Raises: NotYours for a stranger or a paper of somebody else."""
    client = open_record(db, actor=actor, client_id=client_id, action=Action.READ, now=now)
    may = allowed_actions(db, actor=actor, client=client, now=now)
    paper = _paper(db, client.id, clearance_id)
    return PaperFile(
        client,
        paper,
        tuple(one for one in scans.of_client(db, client_id=client.id) if one.clearance_id == clearance_id),
        may_open=Action.READ_PRIVATE in may,
        may_add=Action.DECIDE in may,
        has_paper=has_paper(paper),
    )


def _paper(db: Session, client_id: int, clearance_id: int) -> Clearance:
    found = [paper for paper in safety.clearances_of(db, client_id=client_id) if paper.id == clearance_id]
    if not found:
        raise NotYours("There is no such paper here.")
    return found[0]


def open_scan(db: Session, *, actor: Actor, scan_id: int, now: datetime) -> ScanFile:
    """A scan to save. Raises: NotYours; NotAllowed where private notes were not handed over."""
    scan = scans.one(db, scan_id=scan_id)
    if scan is None:
        raise NotYours("There is no such scan here.")
    open_record(db, actor=actor, client_id=scan.client_id, action=Action.READ_PRIVATE, now=now)
    ending = ENDINGS[ScanKind(scan.media_type)]
    return ScanFile(f"paper-{scan.id}.{ending}", scan.media_type, scans.content(db, scan_id=scan_id))


def note_opened(db: Session, *, actor: Actor, scan_id: int, now: datetime) -> None:
    """Leave in the trail that a scan was opened: reading somebody's papers is an act of its own."""
    scan = scans.one(db, scan_id=scan_id)
    if scan is None:
        return
    leave_trace(
        db,
        at=now,
        person_id=actor.person_id,
        client_id=scan.client_id,
        action="opened_scan",
        subject="clearance",
        subject_id=scan.clearance_id,
        change={"scan": scan.id},
    )


def _tidy(name: str) -> str:
    """The last part of a file name without control characters, as the sender called it."""
    last = name.replace("\\", "/").rsplit("/", 1)[-1]
    return "".join(letter for letter in last if letter.isprintable()).strip()[:200]
