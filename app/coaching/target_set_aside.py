"""Which targets still rest on a figure that was set aside as a mistake."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date

from app.coaching.measured import Measured, MeasuredKind
from app.coaching.reasons import DomainError
from app.coaching.session_target import SessionTarget, TargetForm, target_from_json
from app.coaching.weeks import day_words

_KINDS = {
    TargetForm.POWER: (MeasuredKind.CRITICAL_POWER, MeasuredKind.TALK_POWER),
    TargetForm.PACE: (MeasuredKind.CRITICAL_SPEED,),
    TargetForm.HEART_RATE: (MeasuredKind.HIGHEST_HEART_RATE,),
}


def from_set_aside(target_json: str | None, figures: Sequence[Measured]) -> date | None:
    """The day of the set-aside figure that a target rests on; None when it rests on none."""
    try:
        target = target_from_json(target_json)
    except DomainError:
        return None
    if target is None:
        return None
    rests_on = [one for one in figures if _rests_on(target, one)]
    is_all_aside = bool(rests_on) and all(one.set_aside_at is not None for one in rests_on)
    return rests_on[0].measured_on if is_all_aside else None


def _rests_on(target: SessionTarget, figure: Measured) -> bool:
    """By the figure it was made from; a target kept before that was noted speaks by what it says it rests on."""
    if target.figure_id is not None:
        return target.figure_id == figure.id
    basis = f"highest heart rate measured on {day_words(figure.measured_on)}"
    return figure.kind in _KINDS.get(target.form, ()) and target.basis in (figure.plainly, basis)
