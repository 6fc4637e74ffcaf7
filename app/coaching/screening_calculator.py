"""The screening table asked by hand: plain answers in, the decision with its row, gaps and next step out."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_table import (
    STOPPED_WORDS,
    ClearanceFacts,
    Decision,
    ScreeningInputs,
    Standing,
    clearance_facts,
    provenance_of_row,
    screen,
)
from app.physiology.values import OutOfRange


class ClearanceWord(StrEnum):
    """Where a clearance stands, as it is typed."""

    NONE = "none"
    REQUESTED = "requested"
    REFUSED = "refused"
    EXPIRED = "expired"
    GRANTED_LIGHT_MODERATE = "granted_light_moderate"
    GRANTED_VIGOROUS = "granted_vigorous"


_SCOPES = {
    ClearanceWord.GRANTED_LIGHT_MODERATE: Intensity.LIGHT_MODERATE,
    ClearanceWord.GRANTED_VIGOROUS: Intensity.VIGOROUS,
}
#: What the table calls by a longer word than the key it is typed under.
_KEYS = {"activity": "active"}
_REMINDS = "It reminds a person and clears nobody; licensed practice and local rules come first."
_NO_DAYS = "Without the days of both, the clearance counts as older than the symptom."
_NOT_DATED = "The clearance has no day here, so it counts as in date."
_NOT_GRANTED = "The day of a clearance is looked at only when one was granted."
_NO_TRANSITION = "The transition weeks count as not done."


@dataclass(frozen=True, slots=True)
class ScreeningAnswer:
    """The decision as told: OK, DEFER, HOLD or STOP, what that stops, its row, the gaps, and what comes next."""

    outcome: str
    stops: str
    branch: int
    missing: tuple[str, ...]
    next: str
    provenance: str
    notes: tuple[str, ...]


def screening_decision(
    *,
    active: YesNo,
    symptoms: YesNo,
    disease: YesNo,
    wanted: Intensity,
    clearance: ClearanceWord,
    symptom_on: date | None = None,
    clearance_on: date | None = None,
    transition_done: bool = False,
    asked_on: date | None = None,
) -> ScreeningAnswer:
    """What a person may do now by the pre-participation table: activity, symptoms, known disease, wish and papers.

    active: active now, no unit, yes, no or unknown; yes is 30 min of planned moderate effort on 3 days a week for 3
        months.
    symptoms: signs or symptoms, no unit, yes, no or unknown; any of the nine, and not sure counts as yes.
    disease: known disease, no unit, yes, no or unknown; of heart and vessels, of the kidneys, or diabetes.
    wanted: effort wanted, no unit, light_moderate or vigorous (middle and hard).
    clearance: a clinician's clearance, no unit, none, requested, refused, expired (over a year old, or something new
        came since), granted_light_moderate or granted_vigorous.
    symptom_on: day of the latest symptom, date, not after the day of asking; without it a clearance counts as older.
    clearance_on: day of the granted clearance, date, not after the day of asking; without it one counts as in date.
    transition_done: transition over, no unit, yes or no; the weeks of all easy work count as not done without it.
    asked_on: day of asking, date, needed only with another day; where this is typed it is today unless given.
    Returns: outcome, no unit: OK, DEFER, HOLD or STOP, with the row of the table, what is not answered, what is next.
    Raises: OutOfRange for a day after the day of asking, or one that cannot be counted from.
    Limits: reads answers, no person; a clearance counts for 365 days, fewer where the practice set fewer.
    Error: no error in numbers; about half of adults over 40 are sent to a clinician first.
    Source: [riebe2015] rows 1 to 12, published, second-hand; rows 13 to 18 are a house choice.
    Checked in tests/coaching/test_screening_calculator.py, every combination against the table.
    """
    _check_days(asked_on, {"symptom": symptom_on, "clearance": clearance_on})
    paper = _paper(clearance, symptom_on, clearance_on, asked_on)
    inputs = ScreeningInputs(active, symptoms, disease, wanted, paper, transition_done)
    return _told(screen(inputs), _notes(inputs, clearance, symptom_on, clearance_on))


def _check_days(asked_on: date | None, days: dict[str, date | None]) -> None:
    given = {name: day for name, day in days.items() if day is not None}
    if given and asked_on is None:
        raise OutOfRange("The day of asking (asked_on) is needed to count from.")
    late = [name for name, day in given.items() if asked_on is not None and day > asked_on]
    if late:
        raise OutOfRange(f"The day of the {late[0]} lies after the day of asking.")


def _paper(
    word: ClearanceWord, symptom_on: date | None, clearance_on: date | None, asked_on: date | None
) -> ClearanceFacts:
    scope = _SCOPES.get(word)
    if scope is None:
        # How far a paper went that has run out is not asked: as the widest one it fires the row of its own.
        return ClearanceFacts(Standing(word.value), Intensity.VIGOROUS if word is ClearanceWord.EXPIRED else None)
    if clearance_on is None or asked_on is None:
        return ClearanceFacts(Standing.GRANTED, scope)
    facts = clearance_facts(
        state=ClearanceState.GRANTED,
        scope=scope,
        given_on=clearance_on,
        ends_on=None,
        symptom_on=symptom_on,
        is_new_since=False,
        today=asked_on,
        rules=Rules(),
    )
    return facts if symptom_on is not None else replace(facts, is_after_symptom=False)


def _notes(
    inputs: ScreeningInputs, word: ClearanceWord, symptom_on: date | None, clearance_on: date | None
) -> tuple[str, ...]:
    is_granted = word in _SCOPES
    said = (
        (is_granted and inputs.symptoms is YesNo.YES and None in (symptom_on, clearance_on), _NO_DAYS),
        (is_granted and clearance_on is None, _NOT_DATED),
        (not is_granted and clearance_on is not None, _NOT_GRANTED),
        (inputs.wanted is Intensity.VIGOROUS and not inputs.transition_done, _NO_TRANSITION),
        (True, _REMINDS),
    )
    return tuple(note for applies, note in said if applies)


def _told(decision: Decision, notes: tuple[str, ...]) -> ScreeningAnswer:
    return ScreeningAnswer(
        outcome=decision.outcome.value.upper(),
        stops=STOPPED_WORDS[decision.stops],
        branch=decision.branch,
        missing=tuple(_KEYS.get(name, name) for name in decision.missing),
        next=decision.comes_next,
        provenance=provenance_of_row(decision.branch).value,
        notes=notes,
    )
