"""What belongs together among the signals, and the settings each one uses: to count them and to try a setting."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Group(StrEnum):
    """What a signal is about."""

    SAFETY = "safety"
    LOAD = "load"
    READINESS = "readiness"
    EXECUTION = "execution"
    KEEPING = "keeping to the plan"
    PROGRESS = "progress"
    HOUSEKEEPING = "housekeeping"


@dataclass(frozen=True, slots=True)
class SignalCard:
    """One signal: what it is about, and the settings whose change may change it."""

    name: str
    group: Group
    settings: tuple[str, ...] = ()


_PRESSURE = ("pressure_systolic_hard", "pressure_diastolic_hard", "pressure_systolic_all", "pressure_diastolic_all")
_HARD = ("hard_session_minutes", "hard_effort_minutes", "hard_effort_lowest")
_BASE = (
    "base_weeks", "easy_share", "held_planned_share", "held_days", "held_minutes", "held_of_last_eight",
    "base_recent_sessions", "base_recent_minutes", "base_gap_days", "adherence_least",
)  # fmt: skip
_GIVEN: dict[Group, dict[str, tuple[str, ...]]] = {
    Group.SAFETY: {
        "symptom": (),
        "named_not_sent": (),
        "paper_while_held": ("clearance_days",),
        "hold_with_training": (),
        "trained_while_paused": (),
        "hard_without_leave": ("symptoms_asked_days", "clearance_days", "diabetes_alternative"),
        "hard_out_of_phase": _HARD,
        "illness": (),
        "pressure_high": _PRESSURE,
        "medicine_changed": (),
        "clearance_missing": ("clearance_days", "diabetes_alternative"),
        "questions_due": ("symptoms_asked_days",),
        "waiting_for_questions": (),
        "clearance_ending": ("clearance_days",),
        "consent_ending": ("consent_days",),
        "pressure_due": ("pressure_days",),
        "incident_open": (),
    },
    Group.LOAD: {
        "legs_heavy": (),
        "spacing": ("spacing_h", "spacing_first_weeks_h"),
        "ceiling": ("fortnight_ceiling", "fortnight_ceiling_one_a_week", *_HARD),
        "hard_gap": ("hard_gap_days", *_HARD),
        "volume_step": ("large_step_fraction", "rise_fraction", "rise_minutes", "rise_minutes_most"),
        "long_outing": ("longest_fraction",),
        "heavy_even_week": ("load_watched", "monotony_highest"),
        "year_course": ("year_share", *_HARD),
    },
    Group.READINESS: {
        "hard_today_in_doubt": ("readiness_spread", "readiness_notes_least"),
        "readiness_down": ("readiness_spread", "readiness_notes_least"),
        "resting_heart_rate_up": ("readiness_notes_least",),
        "variability_low": ("heart_rate_variability_watched",),
        "short_nights": (),
    },
    Group.EXECUTION: {
        "folded_over": (),
        "started_hot": (),
        "faded": (),
        "technique_lost": (),
        "easy_not_easy": ("easy_not_easy_sessions", "easy_effort_highest"),
        "easy_drifting_up": (),
    },
    Group.KEEPING: {
        "change_not_seen": (),
        "days_away_told": (),
        "missed_key_session": (),
        "second_may_be_left_out": (),
        "reason_given": (),
        "low_share": ("adherence_least", "adherence_normal_highest"),
        "quiet": ("quiet_days",),
        "contact_overdue": ("contact_days",),
        "identical_to_plan": (),
        "week_told": (),
    },
    Group.PROGRESS: {
        "not_started": (),
        "base_met": _BASE,
        "base_near": _BASE,
        "second_due": ("held_of_last_eight", "spacing_h", "spacing_first_weeks_h"),
        "gain_clear": (),
        "retest_due": ("retest_weeks", "loop_weeks"),
        "block_ending": (),
    },
    Group.HOUSEKEEPING: {"note_unread": (), "waits_for_confirmation": ()},
}

CARDS = {
    name: SignalCard(name, group, settings) for group, given in _GIVEN.items() for name, settings in given.items()
}


def touched_by(setting: str) -> tuple[str, ...]:
    """The signals a setting may change."""
    return tuple(card.name for card in CARDS.values() if setting in card.settings)
