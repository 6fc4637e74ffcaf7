"""Planned sessions that each say a word of their own, to be looked for on whatever a client gets."""

from __future__ import annotations

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Provenance, Why
from app.coaching.session_target import SessionTarget, TargetForm, target_to_json
from app.coaching.steps import Part, Repeat, Step, to_json
from tests import factories as make

#: Stand in the steps of planned sessions and nowhere else.
VIGOROUS, EASY = "Lupin word of hard work", "Sorrel word of easy work"

_TARGET = SessionTarget(
    TargetForm.POWER, 260.0, 250.0, 270.0, (), None, VIGOROUS, Why((), "A rule.", Provenance.HOUSE)
)


def vigorous_sessions() -> tuple[PlannedSession, ...]:
    """Middle and hard work in every disguise, each saying the word of hard work."""
    hard = Step(Part.WORK, 240, Band.HARD, VIGOROUS)
    middle = Step(Part.MAIN, 1200, Band.MIDDLE, VIGOROUS)
    rest = Step(Part.RECOVERY, 240, Band.EASY, "Easy again.")
    return (
        make.planned_hard(steps_json=to_json((Repeat(4, (hard, rest)),)), target_json=target_to_json(_TARGET)),
        make.planned(kind=SessionKind.MIDDLE, title="Brisk", steps_json=to_json((middle,))),
        make.planned(kind=SessionKind.RACE, title="Race", is_hard=True, steps_json=to_json((hard,))),
        make.planned(kind=SessionKind.TEST, title="Test", is_hard=True, steps_json=to_json((hard,))),
        make.planned(title="Walk with one hard hill", steps_json=to_json((rest, hard))),
        make.planned(title="Walk, mostly brisk", mode=Mode.RUN, steps_json=to_json((rest, middle))),
    )


def easy_session() -> PlannedSession:
    """A walk that says the word of easy work."""
    return make.planned(steps_json=to_json((Step(Part.MAIN, 2700, Band.EASY, EASY),)))
