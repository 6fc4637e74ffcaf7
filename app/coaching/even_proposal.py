"""What an even target for rounds rests on, by power or by speed: every form shown, the lowest proposed, a ceiling."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.physiology.even_targets import EvenEffort
from app.physiology.provenance import Provenance
from app.physiology.values import Missing
from app.physiology.w_balance import RecoveryModel

USUAL_RESERVE_FRACTION = 0.30
#: House choices: no target above these shares of critical power or speed, the first for a first session, until the
#: client's own rounds show more.
CEILING_FIRST, CEILING = 1.03, 1.12
_LOWEST_WORDS = "the lowest of the forms that give an answer"
_NOTES = ("the coach decides; a target that turns out wrong on the day is lowered at once",)


@dataclass(frozen=True, slots=True)
class FormSays:
    """What one form gives, in the unit of the proposal, or why it gives nothing."""

    model: RecoveryModel
    value: float | None
    range: tuple[float, float] | None
    reserve_after_rounds: tuple[float, ...]
    says: str


@dataclass(frozen=True, slots=True)
class Proposed:
    """What is offered, which rule decided it, and what every form says; no value when no form gives one."""

    value: float | None
    unit: str
    decided_by: str
    #: In the same unit.
    ceiling: float
    forms: tuple[FormSays, ...]
    provenance: Provenance = Provenance.HOUSE
    notes: tuple[str, ...] = _NOTES

    @property
    def lowest(self) -> FormSays | None:
        """The form that gives the least; None when none gives anything."""
        given = [one for one in self.forms if one.value is not None]
        return min(given, key=lambda one: one.value or 0.0, default=None)


def lowest_under(
    answers: Mapping[RecoveryModel, EvenEffort | Missing], *, ceiling: float, why: str, unit: str
) -> Proposed:
    """The lowest of the answers, or the ceiling where it lies above it; `why` says what the ceiling is."""
    forms = tuple(_says(model, answer) for model, answer in answers.items())
    lowest = min((one.value for one in forms if one.value is not None), default=None)
    if lowest is None:
        none_words = next((one.says for one in forms), "")
        return Proposed(None, unit, none_words, ceiling, forms)
    if lowest > ceiling:
        return Proposed(ceiling, unit, why, ceiling, forms)
    return Proposed(lowest, unit, _LOWEST_WORDS, ceiling, forms)


def _says(model: RecoveryModel, answer: EvenEffort | Missing) -> FormSays:
    if isinstance(answer, Missing):
        return FormSays(model, None, None, (), answer.reason)
    return FormSays(model, answer.value, answer.range, answer.reserve_after_rounds, answer.notes[1])
