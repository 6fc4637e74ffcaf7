"""Long random stories of one client, and every fault that can be sown into the rules."""

from __future__ import annotations

import os
import time
from collections import Counter

import pytest
from fastapi import FastAPI

from tests.conftest import Browser, FixedClock
from tests.prove import report
from tests.safety_story.faults import FAULTS, come_upon
from tests.safety_story.play import new_story, play
from tests.safety_story.stage import Stage

STORIES = int(os.environ.get("FOOTHILL_STORIES", "400"))
STEPS = 40
PAGES_EVERY = 4
TOLD = ("moments", "free", "stopped", "pages looked at", "hard work shown on every page", "hard draft may be sent")
MORE = ("easy work shown beside a stop", "promoted", "refused", "intakes begun and not sent")
#: Reasons to stop that a good many stories have to come upon.
HAVE_TO_COME_UP = {
    "a hold",
    "fever",
    "on the way back from illness",
    "a gap",
    "a symptom and no later paper",
    "a refused paper",
    "consent taken back",
    "a fast heart at rest",
}


@pytest.fixture
def stage(app: FastAPI, clock: FixedClock, nobody: Browser) -> Stage:
    """The desk to play on."""
    return Stage(app, clock, nobody.http)


def test_long_stories_offer_nothing_that_is_stopped(stage: Stage) -> None:
    began = time.monotonic()

    seen = play(stage, stories=STORIES, steps=STEPS, pages_every=PAGES_EVERY)

    assert set(seen) >= HAVE_TO_COME_UP, HAVE_TO_COME_UP - set(seen)
    assert seen["hard work shown on every page"] >= STORIES // 4, seen
    print()
    print(figures(seen, stage.played, time.monotonic() - began))


@pytest.mark.parametrize("fault", FAULTS)
def test_without_the_fault_its_story_goes_well(fault: str, stage: Stage) -> None:
    come_upon(FAULTS[fault], new_story(stage))


def figures(seen: Counter[str], played: int, seconds: float) -> str:
    """The table for the console and docs/proof.md."""
    alone = "nothing but "
    reasons = sorted(reason for reason in seen if f"{alone}{reason}" in seen or reason in HAVE_TO_COME_UP)
    lifted = sum(count for name, count in seen.items() if name.startswith("lifted: "))
    rows = [
        ("stories", played),
        *((name, seen[name]) for name in (*TOLD, *MORE)),
        ("holds lifted on their evidence", lifted),
        *((f"moments stopped by {one}, and by it alone", f"{seen[one]}, {seen[alone + one]}") for one in reasons),
        ("moments at which stopped work was offered or published", 0),
        ("faults sown into the rules one at a time, each found (tests/safety_story)", len(FAULTS)),
        ("time", f"{seconds:.0f} s"),
    ]
    return report.keep(
        "Safety over time",
        command=f"make prove (FOOTHILL_STORIES={STORIES}, tests/prove/test_safety_story.py, {STEPS} steps a story)",
        sentence="Random stories of one client, told through the use-cases on a real file with a moving clock: "
        "answers, half-filled intakes, symptoms, fever and the way back, readings and a clinician's two numbers, "
        "holds, papers, consents, promotions, plans, entries and months of silence. After "
        "each step rules written a second time say what is surely stopped; then the rules may not give it, "
        f"publishing may not send it, and (every {PAGES_EVERY} steps, and at the end) no page, print or file of the "
        "list of outputs may show it.",
        columns=("figure", "value"),
        rows=rows,
    )
