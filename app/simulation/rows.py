"""Rows of the desk's tables, gathered to be written together: their order, and the audit trail beside them."""

from __future__ import annotations

import json
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, fields
from datetime import date, datetime
from operator import attrgetter
from typing import Any

from app.coaching.rules import Rules
from app.coaching.session_logs import SessionLog
from app.simulation.world.record import Numbers
from app.storage.tables import Base, desk, illness, people, safety, training

Row = dict[str, Any]

#: In the order in which foreign keys allow them to be written.
TABLES: tuple[type[Base], ...] = (
    people.ClientRow,
    people.PersonRow,
    people.AvailableDayRow,
    people.GoalRow,
    people.ContactRow,
    people.LeaveRow,
    safety.ScreeningRow,
    safety.ClearanceRow,
    safety.ConsentRow,
    safety.BloodPressureRow,
    safety.HoldRow,
    safety.SymptomRow,
    illness.IllnessReturnRow,
    training.PhaseDecisionRow,
    training.BlockRow,
    training.PlannedWeekRow,
    training.PlannedSessionRow,
    training.PlannedVersionRow,
    training.SessionLogRow,
    training.RoundRow,
    training.ReadinessNoteRow,
    training.FitnessTestRow,
    desk.AuditRow,
)


@dataclass(slots=True)
class Rows:
    """Rows by table, and who is entering whose record."""

    numbers: Numbers
    rules: Rules
    by_table: defaultdict[type[Base], list[Row]] = field(default_factory=lambda: defaultdict(list))

    def trace(
        self,
        *,
        at: datetime,
        person_id: int,
        client_id: int,
        action: str,
        subject: str,
        subject_id: int | None,
        change: Mapping[str, object] | None = None,
        reason: str | None = None,
    ) -> None:
        """One entry of the audit trail."""
        self.by_table[desk.AuditRow].append(
            {
                "id": self.numbers.next("audit"),
                "at": at,
                "person_id": person_id,
                "client_id": client_id,
                "action": action,
                "subject": subject,
                "subject_id": subject_id,
                "change_json": json.dumps(change or {}, default=_plain, ensure_ascii=False),
                "reason": reason,
            }
        )


def _plain(value: object) -> str:
    return value.isoformat() if isinstance(value, date) else str(value)


_NAMES: dict[type, tuple[str, ...]] = {}
_GETTERS: dict[type, Callable[[Any], tuple[Any, ...]]] = {}


def row_of(kind: type[Any], value: Any) -> Row:
    """A value's fields as a row."""
    if kind not in _NAMES:
        _NAMES[kind] = tuple(one.name for one in fields(kind) if one.name != "rounds" or kind is not SessionLog)
        _GETTERS[kind] = attrgetter(*_NAMES[kind])
    return dict(zip(_NAMES[kind], _GETTERS[kind](value), strict=True))
