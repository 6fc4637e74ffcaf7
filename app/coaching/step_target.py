"""What becomes of a session's own target when the next step is written into it.

Source: common practice, no published source.
"""

from __future__ import annotations

from dataclasses import replace

from app.coaching.next_step import BY_EFFORT, OLD_TARGET, NextStep, Way
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.target_words import short_target


def with_own_target(step: NextStep, own: SessionTarget | None) -> NextStep:
    """A step as it is written into a session that has a target of its own; nothing of it goes without a word.

    Where the rounds before had no figure, the session's own one stays, unless the step is easier; a step with a
    figure takes its place.
    """
    if step.asks is None or own is None or not _has_figure(own):
        return step
    asked = step.asks.target
    said = short_target(own, step.asks.work_s)
    if asked is not None and _has_figure(asked):
        new = short_target(asked, step.asks.work_s)
        takes = f"In the planned session {new} takes the place of {said}."
        return step if new == said else replace(step, sentence=f"{step.sentence} {takes}")
    if step.way is Way.EASIER:
        gone = f"Its own target, {said}, is taken out: the rounds before were steered by effort."
        return replace(step, sentence=f"{step.sentence} {gone}")
    kept = f"{step.sentence.replace(BY_EFFORT, OLD_TARGET)} Its own target stays: {said}."
    return replace(step, sentence=kept, asks=replace(step.asks, target=own))


def _has_figure(target: SessionTarget) -> bool:
    return target.has_figures and target.form is not TargetForm.EFFORT
