"""Playing many stories with settings of one kind."""

from __future__ import annotations

from collections import Counter

from hypothesis import HealthCheck, Phase, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.safety_story.stage import Stage
from tests.safety_story.story import SafetyStory


def new_story(stage: Stage) -> SafetyStory:
    """A story to be told by hand."""
    story: SafetyStory = type("Story", (SafetyStory,), {"stage": stage, "seen": Counter()})()
    return story


def told_alike(*, stories: int, steps: int, shrinks: bool = True) -> settings:
    """Settings under which the same stories are told each time; shrinks: whether one that goes wrong is shortened."""
    phases = (Phase.explicit, Phase.generate, Phase.shrink)
    return settings(
        max_examples=stories,
        stateful_step_count=steps,
        derandomize=True,
        database=None,
        deadline=None,
        phases=phases if shrinks else phases[:2],
        report_multiple_bugs=False,
        suppress_health_check=list(HealthCheck),
    )


def play(stage: Stage, *, stories: int, steps: int, pages_every: int = 1) -> Counter[str]:
    """Play some stories, the same ones each time; returns what came up.

    Raises: AssertionError with the story that went wrong, told as short as it can be.
    """
    seen: Counter[str] = Counter()
    story = type("Story", (SafetyStory,), {"stage": stage, "seen": seen, "pages_every": pages_every})
    run_state_machine_as_test(story, settings=told_alike(stories=stories, steps=steps))
    return seen
