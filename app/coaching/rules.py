"""Practice settings: every threshold with its default, its limits, its provenance and which way is stricter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, fields
from enum import StrEnum
from typing import Any

from app.coaching.reasons import DomainError, Provenance


class Stricter(StrEnum):
    """For a setting that guards safety: the only direction in which it may be moved from its default."""

    LOWER = "lower"
    HIGHER = "higher"


@dataclass(frozen=True, slots=True)
class SettingCard:
    """What the Practice page shows of one setting."""

    name: str
    sentence: str
    unit: str
    default: float
    lowest: float
    highest: float
    provenance: Provenance
    stricter: Stricter | None
    #: Off (0) or on (1), a choice between two published ways.
    is_switch: bool = False


def _setting(
    default: float,
    sentence: str,
    *,
    unit: str = "",
    within: tuple[float, float],
    provenance: Provenance = Provenance.COMMON_PRACTICE,
    stricter: Stricter | None = None,
    is_switch: bool = False,
) -> Any:
    metadata = {
        "sentence": sentence,
        "unit": unit,
        "within": within,
        "provenance": provenance,
        "stricter": stricter,
        "is_switch": is_switch,
    }
    return field(default=default, metadata=metadata)


@dataclass(frozen=True, slots=True)
class Rules:
    """The settings a practice works by. Each default is a rule of thumb unless its provenance says otherwise."""

    easy_effort_highest: float = _setting(4, "Effort up to this number is easy", within=(3, 5))
    hard_effort_lowest: float = _setting(7, "Effort from this number on is hard", within=(6, 8))
    transition_weeks: int = _setting(
        12,
        "Weeks of all easy work before anything hard, unless regularly active at intake",
        unit="weeks",
        within=(12, 26),
        provenance=Provenance.FROM_MEMORY,
        stricter=Stricter.HIGHER,
    )
    base_weeks: int = _setting(26, "Held base weeks before the first hard session", unit="weeks", within=(13, 52))
    easy_share: float = _setting(0.80, "Share of weekly minutes at easy effort", within=(0.6, 1.0))
    easy_share_unknown_most: float = _setting(
        0.25, "Share of unknown minutes above which the easy share is not defined", within=(0.1, 0.5)
    )
    hard_session_minutes: float = _setting(
        8,
        "Minutes of hard steps that make a session hard",
        unit="min",
        within=(4, 8),
        stricter=Stricter.LOWER,
    )
    hard_effort_minutes: float = _setting(
        20,
        "Minutes at hard session effort that make a done session hard",
        unit="min",
        within=(10, 20),
        stricter=Stricter.LOWER,
    )
    held_planned_share: float = _setting(0.75, "Share of planned minutes that holds a week", within=(0.5, 1))
    held_days: int = _setting(3, "Days with a session that hold a week", unit="days", within=(2, 5))
    held_minutes: float = _setting(90, "Minutes that hold a week", unit="min", within=(60, 180))
    held_minutes_easier: float = _setting(75, "Minutes that hold a planned easier week", unit="min", within=(45, 150))
    held_of_last_eight: int = _setting(6, "Held weeks among the last eight", unit="weeks", within=(4, 8))
    base_recent_sessions: int = _setting(
        3, "Sessions on different days in each of the last four weeks", unit="sessions", within=(2, 5)
    )
    base_recent_minutes: float = _setting(
        120, "Average weekly minutes over the last four weeks", unit="min", within=(90, 300)
    )
    base_gap_days: int = _setting(14, "Longest gap in the last six weeks stays under", unit="days", within=(7, 14))
    adherence_least: float = _setting(0.75, "Adherence over eight weeks", within=(0.6, 0.9))
    adherence_normal_highest: float = _setting(
        0.80,
        "Upper end of normal adherence",
        within=(0.7, 0.95),
        provenance=Provenance.PUBLISHED_READ,
    )
    easy_minutes_without_distress: float = _setting(
        45, "Minutes of easy work without distress", unit="min", within=(30, 90)
    )
    fortnight_ceiling: int = _setting(
        5,
        "Hard sessions in any 14 days; the next asks for a reason",
        unit="sessions",
        within=(1, 5),
        stricter=Stricter.LOWER,
    )
    fortnight_ceiling_one_a_week: int = _setting(
        3, "The same while on one a week", unit="sessions", within=(1, 3), stricter=Stricter.LOWER
    )
    spacing_h: float = _setting(
        48,
        "Hours between the starts of two hard sessions",
        unit="h",
        within=(48, 96),
        stricter=Stricter.HIGHER,
    )
    spacing_first_weeks_h: float = _setting(
        72,
        "The same in the first eight interval weeks or from 60",
        unit="h",
        within=(72, 120),
        stricter=Stricter.HIGHER,
    )
    hard_gap_days: int = _setting(7, "Longest gap between hard sessions in plans", unit="days", within=(5, 14))
    rise_fraction: float = _setting(
        0.10, "Rise of weekly minutes from one week to the next", within=(0.0, 0.10), stricter=Stricter.LOWER
    )
    rise_minutes: float = _setting(
        15, "Or this many minutes, whichever is more", unit="min", within=(0, 15), stricter=Stricter.LOWER
    )
    rise_minutes_most: float = _setting(
        20, "Never more than this many minutes", unit="min", within=(0, 20), stricter=Stricter.LOWER
    )
    longest_fraction: float = _setting(
        1.10,
        "Longest outing against the longest of the last 30 days",
        within=(1.0, 1.10),
        stricter=Stricter.LOWER,
    )
    large_step_fraction: float = _setting(
        0.15, "A week this much longer than the one before is a large step", within=(0.10, 0.30)
    )
    target_minutes: float = _setting(240, "Usual target of a week", unit="min", within=(120, 600))
    easier_every: int = _setting(4, "Every how many weeks an easier one", unit="weeks", within=(2, 6))
    easier_every_from_60: int = _setting(3, "The same from 60", unit="weeks", within=(2, 4))
    easier_fraction: float = _setting(0.72, "Minutes of an easier week against the one before", within=(0.5, 0.9))
    quiet_days: int = _setting(
        7, "Days without entry or contact before someone counts as quiet", unit="days", within=(5, 21)
    )
    contact_days: int = _setting(14, "Contact at least every", unit="days", within=(7, 28))
    backup_days: int = _setting(7, "A copy of the practice's file at least every", unit="days", within=(1, 31))
    symptoms_asked_days: int = _setting(
        84,
        "Days after which the symptom questions are asked again",
        unit="days",
        within=(28, 84),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    screening_for_hard_days: int = _setting(
        30,
        "Screening for hard work was asked at most this many days ago",
        unit="days",
        within=(7, 30),
        stricter=Stricter.LOWER,
    )
    pressure_days: int = _setting(
        90,
        "Blood pressure reading at most this many days old",
        unit="days",
        within=(30, 90),
        stricter=Stricter.LOWER,
    )
    pressure_systolic_hard: int = _setting(
        160,
        "No hard work from this systolic pressure on",
        unit="mmHg",
        within=(130, 160),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    pressure_diastolic_hard: int = _setting(
        100,
        "No hard work from this diastolic pressure on",
        unit="mmHg",
        within=(80, 100),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    pressure_systolic_all: int = _setting(
        180,
        "No session at all from this systolic pressure on",
        unit="mmHg",
        within=(140, 180),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    pressure_diastolic_all: int = _setting(
        100,
        "No session at all from this diastolic pressure on",
        unit="mmHg",
        within=(90, 100),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    clearance_days: int = _setting(
        365,
        "A clearance counts for at most this many days",
        unit="days",
        within=(90, 365),
        provenance=Provenance.FROM_MEMORY,
        stricter=Stricter.LOWER,
    )
    consent_days: int = _setting(
        365,
        "A consent is asked for again after",
        unit="days",
        within=(90, 365),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    diabetes_alternative: int = _setting(
        0,
        "Whose only disease is diabetes, without symptoms, may begin light to moderate work without a clearance",
        within=(0, 1),
        provenance=Provenance.PUBLISHED_READ,
        is_switch=True,
    )
    current_answer_days: int = _setting(
        84,
        "Pregnancy answer and emergency contact are current for",
        unit="days",
        within=(28, 84),
        provenance=Provenance.HOUSE,
        stricter=Stricter.LOWER,
    )
    readiness_spread: float = _setting(
        1.5, "Spreads worse than the own usual that count as down", unit="SD", within=(1.0, 2.5)
    )
    readiness_notes_least: int = _setting(14, "Notes needed for an own usual", unit="notes", within=(10, 28))
    retest_weeks: int = _setting(12, "Weeks between tests while in intervals", unit="weeks", within=(6, 26))
    even_indoor_power_fraction: float = _setting(
        0.04, "Best to worst round that is still even: power indoors", within=(0.02, 0.10)
    )
    even_road_power_fraction: float = _setting(
        0.08, "Best to worst round that is still even: power on a road or hill", within=(0.03, 0.15)
    )
    even_track_fraction: float = _setting(
        0.04, "Best to worst round that is still even: pace on a track", within=(0.02, 0.10)
    )
    even_satellite_fraction: float = _setting(
        0.08, "Best to worst round that is still even: pace by satellite", within=(0.03, 0.15)
    )
    even_pool_fraction: float = _setting(
        0.04, "Best to worst round that is still even: in the pool", within=(0.02, 0.10)
    )
    technique_fraction: float = _setting(
        0.05, "Strokes or cadence of the last round against the second that still are the same", within=(0.02, 0.10)
    )
    end_effort_highest: float = _setting(8, "Effort at the end of a well-executed set is at most", within=(7, 9))
    loop_weeks: int = _setting(4, "Weeks between standard loops", unit="weeks", within=(3, 8))
    easy_not_easy_sessions: int = _setting(
        2, "Easy sessions done harder in two weeks that are spoken of", unit="sessions", within=(1, 6)
    )
    year_share: float = _setting(
        0.75, "Share of the hard sessions planned for the year so far, under which it is spoken of", within=(0.5, 1)
    )
    load_watched: int = _setting(0, "Speak of a week that was heavy and even at once", within=(0, 1), is_switch=True)
    monotony_highest: float = _setting(
        2.0,
        "Mean daily load over its spread above which a heavy week counts as even",
        within=(1.5, 3.0),
        provenance=Provenance.PUBLISHED_SECOND_HAND,
    )
    heart_rate_variability_watched: int = _setting(
        0, "Speak of heart-rate variability below the own usual range", within=(0, 1), is_switch=True
    )

    def __post_init__(self) -> None:
        for card in cards():
            _refuse_outside(card, getattr(self, card.name))


def _refuse_outside(card: SettingCard, value: float) -> None:
    if not card.lowest <= value <= card.highest:
        raise DomainError(
            f"{card.sentence}: {value:g} is outside {card.lowest:g} to {card.highest:g} {card.unit}".rstrip()
        )
    loosened = (card.stricter is Stricter.LOWER and value > card.default) or (
        card.stricter is Stricter.HIGHER and value < card.default
    )
    if loosened:
        raise DomainError(f"{card.sentence}: guards safety and can only be made stricter than {card.default:g}")


def cards() -> tuple[SettingCard, ...]:
    """All settings in the order they are shown."""
    return tuple(
        SettingCard(
            name=f.name,
            sentence=f.metadata["sentence"],
            unit=f.metadata["unit"],
            default=float(f.default),  # type: ignore[arg-type]  # every field here has a number as default
            lowest=float(f.metadata["within"][0]),
            highest=float(f.metadata["within"][1]),
            provenance=f.metadata["provenance"],
            stricter=f.metadata["stricter"],
            is_switch=f.metadata["is_switch"],
        )
        for f in fields(Rules)
    )


def rules_from(changes: Mapping[str, float]) -> Rules:
    """The practice's rules: the defaults with its changes.

    Raises: DomainError for an unknown name, a value outside its limits or a loosened guard.
    """
    known = {f.name: f for f in fields(Rules)}
    unknown = sorted(set(changes) - set(known))
    if unknown:
        raise DomainError(f"no setting is called {unknown[0]}")
    whole = {
        name: int(v) if isinstance(known[name].default, int) and v == int(v) else v for name, v in changes.items()
    }
    return Rules(**whole)  # type: ignore[arg-type]  # names were checked above, values are numbers
