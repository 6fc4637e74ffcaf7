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


def play(stage: Stage, *, stories: int, steps: int, pages_every: int = 1) -> Counter[str]:
    """Play some stories, the same ones each time; returns what came up.

    Raises: AssertionError with the story that went wrong, told as short as it can be.
    """
    seen: Counter[str] = Counter()
    story = type("Story", (SafetyStory,), {"stage": stage, "seen": seen, "pages_every": pages_every})
    how = settings(
        max_examples=stories,
        stateful_step_count=steps,
        derandomize=True,
        database=None,
        deadline=None,
        phases=(Phase.explicit, Phase.generate, Phase.shrink),
        report_multiple_bugs=False,
        suppress_health_check=list(HealthCheck),
    )
    run_state_machine_as_test(story, settings=how)
    return seen
