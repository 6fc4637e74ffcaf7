"""The whole library a coach chooses from: the entries that come with the desk, and the practice's own."""

from __future__ import annotations

import json
from dataclasses import dataclass
from datetime import datetime

from app.coaching.people import Mode
from app.coaching.protocol_values import COMMON, OWN_KEY, IntervalProtocol
from app.coaching.protocols import PROTOCOLS
from app.coaching.reasons import DomainError

#: What is known about an entry nobody wrote evidence for.
OWN_EVIDENCE = "Written by this practice; nothing published speaks of it as it stands here."


@dataclass(frozen=True, slots=True)
class OwnDraft:
    """What a coach writes of an entry of the practice's own."""

    name: str
    purpose: str
    suits: str
    work_s: int
    recovery_s: int
    rounds: int
    rounds_least: int
    rounds_most: int
    #: Rounds before a longer recovery; 0: none is longer.
    set_of: int
    set_recovery_s: int
    modes_json: str
    finish_rule: str
    #: Said of a round after the target.
    also_words: str | None
    evidence: str | None
    step_up: str | None
    step_down: str | None

    @property
    def modes(self) -> tuple[Mode, ...]:
        """The ways it may be done."""
        return tuple(Mode(word) for word in json.loads(self.modes_json))


@dataclass(frozen=True, slots=True)
class OwnProtocol:
    """An entry of the practice's own, with where it is from and whether it is still offered."""

    id: int
    name: str
    purpose: str
    suits: str
    work_s: int
    recovery_s: int
    rounds: int
    rounds_least: int
    rounds_most: int
    set_of: int
    set_recovery_s: int
    modes_json: str
    finish_rule: str
    also_words: str | None
    evidence: str | None
    step_up: str | None
    step_down: str | None
    #: The entry it began as; None for one written from nothing.
    copied_from: str | None
    created_at: datetime
    person_id: int
    revision: int
    retired_at: datetime | None

    @property
    def key(self) -> str:
        """What it is chosen by, wherever entries are chosen."""
        return f"{OWN_KEY}{self.id}"

    @property
    def protocol(self) -> IntervalProtocol:
        """The entry as any other of the library; it is common practice, whatever it was copied from."""
        return IntervalProtocol(
            key=self.key,
            name=self.name,
            purpose=self.purpose,
            suits=self.suits,
            work_s=self.work_s,
            recovery_s=self.recovery_s,
            rounds=self.rounds,
            rounds_least=self.rounds_least,
            rounds_most=self.rounds_most,
            modes=tuple(Mode(word) for word in json.loads(self.modes_json)),
            evidence=self.evidence or OWN_EVIDENCE,
            source=None,
            provenance=COMMON,
            round_words=None,
            step_up=self.step_up,
            step_down=self.step_down,
            finish_rule=self.finish_rule,
            set_of=self.set_of,
            set_recovery_s=self.set_recovery_s,
            also_words=self.also_words,
        )


@dataclass(frozen=True, slots=True)
class Library:
    """Every entry, those that come with the desk first."""

    own: tuple[OwnProtocol, ...] = ()

    @property
    def offered(self) -> dict[str, IntervalProtocol]:
        """What may be chosen now, by key."""
        return PROTOCOLS | {one.key: one.protocol for one in self.own if one.retired_at is None}

    def of(self, key: str) -> IntervalProtocol:
        """An entry that may be chosen. Raises: DomainError when there is none, or it is retired."""
        found = self.offered.get(key)
        if found is None:
            raise DomainError("choose one of the library; this session is not offered any more")
        return found

    def named(self, key: str | None) -> IntervalProtocol | None:
        """An entry by key, retired ones too; None when there is none."""
        kept = self.own_of(key or "")
        return kept.protocol if kept is not None else PROTOCOLS.get(key or "")

    def own_entry(self, key: str | None) -> IntervalProtocol | None:
        """An entry that may be chosen, where it is one of the practice's own."""
        found = self.offered.get(key or "")
        return found if found is not None and found.is_own else None

    def own_of(self, key: str) -> OwnProtocol | None:
        """One of the practice's own, retired ones too."""
        return next((one for one in self.own if one.key == key), None)


def own_draft(protocol: IntervalProtocol, *, name: str) -> OwnDraft:
    """A copy of an entry to begin from; what was published about it stays with the entry it was published about."""
    return OwnDraft(
        name=name,
        purpose=protocol.purpose,
        suits=protocol.suits,
        work_s=protocol.work_s,
        recovery_s=protocol.recovery_s,
        rounds=protocol.rounds,
        rounds_least=protocol.rounds_least,
        rounds_most=protocol.rounds_most,
        set_of=protocol.set_of,
        set_recovery_s=protocol.set_recovery_s,
        modes_json=modes_json(protocol.modes),
        finish_rule=protocol.finish_rule,
        also_words=protocol.also_words or protocol.round_words,
        evidence=None,
        step_up=protocol.step_up,
        step_down=protocol.step_down,
    )


def modes_json(modes: tuple[Mode, ...]) -> str:
    """The ways of moving as they are kept."""
    return json.dumps([mode.value for mode in modes])
