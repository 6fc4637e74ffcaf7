"""At no moment of a client's story is hard work offered that the record stops, on any page, print or file."""

from __future__ import annotations

import pytest
from fastapi import FastAPI

from app.coaching.phases import DecisionKind, Phase
from app.coaching.screening import ConsentKind
from tests.conftest import Browser, FixedClock
from tests.safety_story.faults import FAULTS, come_upon, sow
from tests.safety_story.play import new_story, play
from tests.safety_story.stage import Stage
from tests.safety_story.story import SafetyStory


@pytest.fixture
def stage(app: FastAPI, clock: FixedClock, nobody: Browser) -> Stage:
    """The desk to play on."""
    return Stage(app, clock, nobody.http)


@pytest.fixture
def story(stage: Stage) -> SafetyStory:
    """A story to be told by hand, of somebody promoted to hard work."""
    found = new_story(stage)
    found.begin("promoted", is_active=True)
    return found


def test_no_story_offers_what_is_stopped(stage: Stage) -> None:
    seen = play(stage, stories=5, steps=16)

    # Each side has to come up often enough for this to mean something.
    assert seen["stopped"] >= 20, seen
    assert seen["hard work shown on every page"] >= 10, seen
    assert seen["easy work shown beside a stop"] >= 5, seen
    assert seen["hard draft may be sent"] >= 5, seen


@pytest.mark.parametrize("fault", FAULTS)
def test_a_sown_fault_is_found(fault: str, stage: Stage, monkeypatch: pytest.MonkeyPatch) -> None:
    sow(FAULTS[fault], monkeypatch)

    with pytest.raises(AssertionError):
        come_upon(FAULTS[fault], new_story(stage))


# Stories that were found once


def test_a_gap_longer_than_any_page_looks_back_stops_hard_work(story: SafetyStory) -> None:
    story.stage.clock.move(days=425)
    story.answers_no_to_everything()
    story.measures_pressure((124, 76), 62, 0)

    assert story.told.no_hard_because(story.cast.today) == ["a gap"]
    story.nothing_stopped_is_offered()


def test_declining_two_weeks_off_brings_no_hard_work_back(story: SafetyStory) -> None:
    story.tells_days_off(14, 1, is_declined=True)
    story.answers_no_to_everything()

    assert story.told.no_hard_because(story.cast.today) == ["two weeks told as off"]
    story.nothing_stopped_is_offered()


def test_hard_work_sent_before_a_step_back_stays_stopped_without_consent(story: SafetyStory) -> None:
    story.decides_about_the_phase((DecisionKind.STEP_BACK, Phase.AEROBIC_BASE))
    story.takes_a_consent_back(ConsentKind.STOP_SIGNS)

    assert story.told.no_hard_because(story.cast.today) == ["consent taken back"]
    story.nothing_stopped_is_offered()


def test_a_step_back_does_not_free_brought_in_hard_work(stage: Stage) -> None:
    story = new_story(stage)
    story.begin("brought_in", is_active=True)

    story.decides_about_the_phase((DecisionKind.STEP_BACK, Phase.AEROBIC_BASE))

    assert story.told.no_hard_because(story.cast.today) == ["brought in without consent"]
    story.nothing_stopped_is_offered()


def test_lifting_the_hold_does_not_bring_the_consent_back(story: SafetyStory) -> None:
    story.takes_a_consent_back(ConsentKind.INTERVAL_PHASE)
    story.stage.clock.move(days=1)
    story.lifts_a_hold(
        which=0,
        has_password=True,
        talk=None,
        easy_back=None,
        well_days=None,
        is_reviewed=False,
        because="All well again.",
    )

    assert not story.told.holds
    assert story.told.no_hard_because(story.cast.today) == ["consent taken back"]
    story.nothing_stopped_is_offered()


def test_a_symptom_stays_until_a_paper_dated_later(story: SafetyStory) -> None:
    story.heart_chest_breath_or_head("chest", 0, by_client=True)
    story.stage.clock.move(days=40)
    story.answers_no_to_everything()
    story.nothing_stopped_is_offered()
    before = story.told.nothing_because(story.cast.today)

    story.sees_a_doctor_and_all_is_settled()

    assert before == ["a hold on everything", "a symptom and no later paper"]
    assert story.told.nothing_because(story.cast.today) == []
    story.nothing_stopped_is_offered()
