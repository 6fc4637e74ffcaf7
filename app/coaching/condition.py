"""One condition on the way from base to hard work: its state, its figures, and what would change it."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any

from app.coaching.reasons import DomainError, Figure, Provenance, Why


class Group(StrEnum):
    """Safety conditions cannot be overridden; practice conditions can, with a reason that is kept."""

    SAFETY = "safety"
    PRACTICE = "practice"


class State(StrEnum):
    """Where a condition stands. Unknown is not met."""

    MET = "met"
    NOT_MET = "not_met"
    UNKNOWN = "unknown"


STATE_WORDS = {State.MET: "met", State.NOT_MET: "not met", State.UNKNOWN: "unknown, so not met"}


@dataclass(frozen=True, slots=True)
class Condition:
    """One line of the list, with what opens behind it."""

    key: str
    group: Group
    title: str
    state: State
    value: str
    limit: str
    why: Why
    #: How far short, as a share of the limit; None when it cannot be said so.
    short_fraction: float | None = None
    #: How many weeks short; None when it is not a matter of weeks.
    short_weeks: int | None = None

    @property
    def is_met(self) -> bool:
        """Whether it is met; unknown is not."""
        return self.state is State.MET

    @property
    def would_change(self) -> str | None:
        """What would change it."""
        return self.why.would_change


def evidence_json(conditions: Sequence[Condition]) -> str:
    """The conditions as they stand, as JSON text to keep with a decision."""
    return json.dumps({"conditions": [asdict(one) for one in conditions]}, ensure_ascii=False, sort_keys=True)


def evidence_from(text: str) -> tuple[Condition, ...]:
    """The conditions kept with a decision; empty when none were looked at.

    Raises: DomainError when the text is not such evidence.
    """
    try:
        return tuple(_condition_in(raw) for raw in json.loads(text or "{}").get("conditions", []))
    except (ValueError, KeyError, TypeError, AttributeError) as problem:
        raise DomainError("this evidence cannot be read") from problem


def _condition_in(raw: dict[str, Any]) -> Condition:  # JSON has no narrower type
    why = raw["why"]
    return Condition(
        key=raw["key"],
        group=Group(raw["group"]),
        title=raw["title"],
        state=State(raw["state"]),
        value=raw["value"],
        limit=raw["limit"],
        why=Why(
            figures=tuple(Figure(one["name"], one["text"]) for one in why["figures"]),
            rule=why["rule"],
            provenance=Provenance(why["provenance"]),
            source=why["source"],
            would_change=why["would_change"],
            formulae=tuple(why.get("formulae", ())),
        ),
        short_fraction=raw["short_fraction"],
        short_weeks=raw["short_weeks"],
    )
