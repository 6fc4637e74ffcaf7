"""What the morning told of each client, kept while nothing it was worked out from has changed.

Kept is never what cannot be proved to stand: in doubt it is worked out again. A client's is used only when nothing
of theirs was written since it was read, on the same day of theirs and of the desk, by the same rules, with the same
heat noted. Nothing of it hangs on the hour.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from threading import Lock

from sqlalchemy.orm import Session

from app.coaching.heat import HeatNote
from app.coaching.people import Client
from app.coaching.rules import Rules
from app.coaching.weeks import local_day
from app.storage import clients, practice
from app.storage.changes import Snapshot, snapshot_of
from app.usecases.morning.hot import heat_noted
from app.usecases.morning.opening import load_all, who_is_told_of
from app.usecases.morning.told import Told, told_of


@dataclass(frozen=True, slots=True)
class Basis:
    """Everything beside a client's records that what is told of them hangs on."""

    client: Client
    #: Their own day, and the desk's, from which the days that are read are counted.
    today: date
    read_on: date
    rules: Rules
    heat: HeatNote | None


@dataclass(frozen=True, slots=True)
class _Kept:
    basis: Basis
    told: Told
    seen: Snapshot


class Remembered:
    """What was told of each client last. One for each folder that is served, for all who read it."""

    def __init__(self) -> None:
        self._lock = Lock()
        self._of: dict[int, _Kept] = {}

    def __len__(self) -> int:
        return len(self._of)

    def recall(self, snapshot: Snapshot, wanted: Iterable[Basis]) -> dict[int, Told]:
        """What still stands of some clients, by client; what does not is let go."""
        with self._lock:
            gone = [
                id_ for id_, one in self._of.items() if not snapshot.changes.is_unchanged(id_, since=one.seen.count)
            ]
            for client_id in gone:
                del self._of[client_id]
            asked = ((basis, self._of.get(basis.client.id)) for basis in wanted)
            return {
                basis.client.id: one.told
                for basis, one in asked
                if one is not None and one.basis == basis and snapshot.still_stands(basis.client.id, one.seen)
            }

    def keep(self, snapshot: Snapshot, found: Iterable[tuple[Basis, Told]]) -> None:
        """Keep what was worked out from one reading."""
        with self._lock:
            for basis, told in found:
                self._of[basis.client.id] = _Kept(basis, told, snapshot)

    def forget(self) -> None:
        """Let everything go."""
        with self._lock:
            self._of.clear()


def tell(
    db: Session,
    spoken_of: Sequence[Client],
    *,
    rules: Rules,
    now: datetime,
    remembered: Remembered | None = None,
    heat: dict[date, HeatNote | None],
) -> list[Told]:
    """What a morning tells of some clients, in their order; worked out only of those of whom nothing kept stands."""
    bases = [_basis(one, rules, now, heat) for one in spoken_of]
    snapshot = snapshot_of(db) if remembered is not None else None
    told = remembered.recall(snapshot, bases) if remembered is not None and snapshot is not None else {}
    missing = {basis.client.id: basis for basis in bases if basis.client.id not in told}
    fresh = _work_out(db, missing, now) if missing else []
    if remembered is not None and snapshot is not None:
        remembered.keep(snapshot, fresh)
    told |= {basis.client.id: found for basis, found in fresh}
    return [told[one.id] for one in spoken_of]


def tell_ahead(db: Session, *, now: datetime, remembered: Remembered, at_most: int) -> int:
    """Work some of what the next morning page needs out beforehand; returns of how many clients it was done."""
    rules, snapshot = practice.rules(db), snapshot_of(db)
    if snapshot is None:
        return 0
    spoken_of = who_is_told_of(db, clients.everybody(db), now)
    heat = heat_noted(db, (local_day(now, one.zone) for one in spoken_of))
    bases = [_basis(one, rules, now, heat) for one in spoken_of]
    stands = remembered.recall(snapshot, bases)
    missing = {one.client.id: one for one in bases if one.client.id not in stands}
    some = dict(list(missing.items())[:at_most])
    if some:
        remembered.keep(snapshot, _work_out(db, some, now))
    return len(some)


def _basis(client: Client, rules: Rules, now: datetime, heat: dict[date, HeatNote | None]) -> Basis:
    today = local_day(now, client.zone)
    return Basis(client, today, now.date(), rules, heat.get(today))


def _work_out(db: Session, missing: dict[int, Basis], now: datetime) -> list[tuple[Basis, Told]]:
    known = load_all(db, list(missing), now)
    bases = [missing[one.client.id] for one in known]
    return [(of, told_of(one, of.today, of.rules, of.heat)) for of, one in zip(bases, known, strict=True)]
