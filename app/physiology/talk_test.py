"""The talk test: where speech gets hard, and what was measured there."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from app.physiology.values import Estimate


class TalkStage(StrEnum):
    """A stage of a test in which the load rises and a passage of 20 to 30 seconds is spoken on each."""

    ONE_BELOW_LAST_COMFORTABLE = "one_below_last_comfortable"
    LAST_COMFORTABLE = "last_comfortable"
    NOT_SURE = "not_sure"


class Threshold(StrEnum):
    """The two points at which breathing changes."""

    FIRST = "first"
    SECOND = "second"


@dataclass(frozen=True, slots=True)
class SpeechDifficulty:
    """Marks of speech difficulty at a threshold, and how far the load lay from the measured one."""

    lowest: int
    highest: int
    bias_w: float

    @property
    def words(self) -> str:
        """As a range: 2-3."""
        return f"{self.lowest}-{self.highest}"


# Means and SDs of 14 sedentary adults in steady bouts of 20 min at the load of each stage (Foster et al. 2009).
_HRMAX_PERCENT = {
    TalkStage.ONE_BELOW_LAST_COMFORTABLE: (73.0, 11.0),
    TalkStage.LAST_COMFORTABLE: (79.0, 9.0),
    TalkStage.NOT_SURE: (82.0, 9.0),
}
_EFFORT = {
    TalkStage.ONE_BELOW_LAST_COMFORTABLE: 3.6,
    TalkStage.LAST_COMFORTABLE: 4.4,
    TalkStage.NOT_SURE: 6.3,
}
_SPEECH = {
    Threshold.FIRST: SpeechDifficulty(2, 3, -1.3),
    Threshold.SECOND: SpeechDifficulty(6, 7, 11.1),
}
_GROUP = "a group's mean; heart rate still drifts upward during the bout"


def hrmax_percent_at_talk_stage_foster_2009(talk_stage: TalkStage) -> Estimate:
    """Share of maximal heart rate in a steady bout at the load of a stage of the talk test.

    talk_stage: stage, no unit, one below the last comfortable, the last comfortable, or not sure.
    Returns: share of maximal heart rate, %.
    Raises: nothing.
    Limits: 14 sedentary adults, minutes 20 to 40 of steady work. In heart patients of 65 the stages spread far wider.
    Error: SD 9 to 11 points.
    Source: [foster2009] Foster et al. 2009; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic talk_test.
    """
    mean, spread = _HRMAX_PERCENT[talk_stage]
    return Estimate(mean, "%", spread, f"SD {spread:g} points", "foster2009", (_GROUP,))


def effort_at_talk_stage_foster_2009(talk_stage: TalkStage) -> Estimate:
    """Effort felt in a steady bout at the load of a stage of the talk test.

    talk_stage: stage, no unit, one below the last comfortable, the last comfortable, or not sure.
    Returns: effort of 0 to 10, no unit.
    Raises: nothing.
    Limits: 14 sedentary adults.
    Error: not found.
    Source: [foster2009] Foster et al. 2009; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic talk_test.
    """
    return Estimate(_EFFORT[talk_stage], "no unit", None, "error not found", "foster2009", (_GROUP,))


def speech_difficulty_at_threshold_orizola_2021(threshold: Threshold) -> SpeechDifficulty:
    """How hard speech is, marked from 0 to 10, where breathing changes.

    threshold: which of the two, no unit, first or second.
    Returns: lowest and highest mark with the bias of the load in W, no unit.
    Raises: nothing.
    Limits: overweight and obese adults on a cycle.
    Error: the load lay 1.3 W below the measured first threshold and 11.1 W above the second; single spread not found.
    Source: [orizola2021] Orizola-Caceres et al. 2021; published, read.
    Checked in tests/reference/intensity_and_vo2max.csv, topic talk_test.
    """
    return _SPEECH[threshold]
