"""The pre-participation table: what a person may do now, from activity, disease, symptoms, wish and papers.

Source: Riebe et al. 2015, Med Sci Sports Exerc 47(11):2473-2479 (published, second-hand: the abstract was read, the
table through another document). Rows 13 to 18 and the reading of unknown answers are house choices.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date
from enum import StrEnum

from app.coaching.reasons import Provenance
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo

#: Rows of the table from here on are the practice's own reading.
_HOUSE_ROWS_FROM = 13
#: The card that decides by this table.
CARD = "screening_decision"
SOURCE = "Riebe et al. 2015, Med Sci Sports Exerc 47(11):2473-2479"


class Outcome(StrEnum):
    """What the table says of a wish."""

    OK = "ok"
    #: Allowed later, after a gradual build-up.
    DEFER = "defer"
    #: Needs a clinician's clearance (or an answer) first.
    HOLD = "hold"
    #: Cease all training and seek clearance.
    STOP = "stop"


class Stopped(StrEnum):
    """How much is stopped by a decision, mildest first."""

    NOTHING = "nothing"
    #: Middle and hard work; easy work goes on.
    VIGOROUS = "vigorous"
    #: Questions are open: nothing beyond light, so easy work only.
    BEYOND_LIGHT = "beyond_light"
    ALL = "all"


STOPPED_WORDS = {
    Stopped.NOTHING: "nothing is stopped",
    Stopped.VIGOROUS: "middle and hard work is stopped, easy work goes on",
    Stopped.BEYOND_LIGHT: "nothing beyond light, easy effort until the questions are answered",
    Stopped.ALL: "all training is stopped",
}


class Standing(StrEnum):
    """Where the papers stand today; expiry is already worked in."""

    NONE = "none"
    REQUESTED = "requested"
    GRANTED = "granted"
    REFUSED = "refused"
    EXPIRED = "expired"


@dataclass(frozen=True, slots=True)
class ClearanceFacts:
    """What the decision needs to know of a clearance. Without dates it counts as older than any symptom."""

    standing: Standing = Standing.NONE
    scope: Intensity | None = None
    is_after_symptom: bool = False


@dataclass(frozen=True, slots=True)
class ScreeningInputs:
    """Everything the table looks at."""

    active: YesNo
    symptoms: YesNo
    disease: YesNo
    wanted: Intensity
    clearance: ClearanceFacts = ClearanceFacts()
    transition_done: bool = False
    #: The practice follows the diabetes association; diabetes is the only disease, and no heart medicine is taken.
    diabetes_alone_may_begin: bool = False


@dataclass(frozen=True, slots=True)
class Decision:
    """The answer: outcome, what it stops, the row that fired, what was not answered, and what comes next."""

    wanted: Intensity
    outcome: Outcome
    stops: Stopped
    branch: int
    missing: tuple[str, ...]
    comes_next: str

    @property
    def is_ok(self) -> bool:
        """Whether the wish may be followed now."""
        return self.outcome is Outcome.OK


_NEXT = {
    1: "Start at light to moderate effort.",
    2: "Start light to moderate and progress gradually; hard work after the transition weeks.",
    3: "A clinician's clearance is needed before any training.",
    4: "A clinician's clearance for vigorous work and the transition weeks come first.",
    5: "A clinician's clearance, dated after the symptom, is needed before any training.",
    6: "A clinician's clearance for vigorous work, dated after the symptom, and the transition weeks come first.",
    7: "Continue at light to moderate effort.",
    8: "Continue, or progress gradually.",
    9: "Continue at light to moderate effort.",
    10: "A clinician's clearance for vigorous work, not older than it may be, comes first; easy work goes on.",
    11: "Stop training and see a doctor. Return only after a clearance dated after the symptom.",
    12: "Stop training and see a doctor. Return only after a clearance for vigorous work dated after the symptom.",
    13: "Ask about activity; until then it counts as not active and hard work waits for the transition weeks.",
    14: "Ask the nine symptom questions; nothing beyond light effort until they are answered.",
    15: "Ask about heart, metabolic and kidney disease; until then it counts as present.",
    16: "Clearance was refused: the whole plan is suspended. Speak with the client and the clinician.",
    17: "The clearance is for light to moderate work only; vigorous work needs a wider one.",
    18: "The clearance has run out or something new came since: ask for a new one before vigorous work.",
}
_CLEARED = {
    3: "Cleared: light to moderate effort, progress as tolerated.",
    4: "Cleared and past the transition: progress gradually, as tolerated.",
    5: "Cleared after the symptom: light to moderate effort, progress as tolerated.",
    6: "Cleared after the symptom and past the transition: progress gradually.",
    10: "Cleared for vigorous work: progress as tolerated.",
    11: "Cleared after the symptom: light to moderate effort, progress as tolerated.",
    12: "Cleared after the symptom: progress gradually.",
    13: "Ask about activity; until then the person counts as not active.",
    15: "Ask about heart, metabolic and kidney disease; until then it counts as present.",
}
_AFTER_TRANSITION = "The transition weeks come first: easy work, progressing gradually."
_PAST_TRANSITION = "The transition weeks are done: progress gradually."


BY_DIABETES_ALTERNATIVE = (
    "By the practice's own choice: diabetes alone, no symptoms, so light to moderate work may begin without a "
    "clearance. Harder work still needs one."
)
DIABETES_SOURCE = "Colberg 2017, Front Endocrinol 8:33"


def branches() -> tuple[tuple[int, str, str | None], ...]:
    """Every row of the table: its number, what comes next, and what is said once it is cleared."""
    return tuple((number, said, _CLEARED.get(number)) for number, said in sorted(_NEXT.items()))


def provenance_of_row(branch: int) -> Provenance:
    """How far a row of the table can be trusted."""
    return Provenance.HOUSE if branch >= _HOUSE_ROWS_FROM else Provenance.PUBLISHED_SECOND_HAND


def covers(clearance: ClearanceFacts, wanted: Intensity) -> bool:
    """Whether a clearance is granted, in date and wide enough for a wish."""
    wide_enough = clearance.scope is Intensity.VIGOROUS or clearance.scope is wanted
    return clearance.standing is Standing.GRANTED and wide_enough


def screen(inputs: ScreeningInputs) -> Decision:
    """The table as a total function.

    The first row that fits wins: symptoms while active, symptoms, refused, scope, expired, disease, unknowns, rest.
    A wish for vigorous work that is not granted stops everything when light to moderate is not granted either.
    Source: Riebe et al. 2015 (published, second-hand); rows 13-18 house choice. Where the practice chose it, row 3 is
    read as the diabetes association does (Colberg 2017, published, read) for diabetes alone.
    """
    decision = _first_row(inputs)
    if inputs.wanted is Intensity.VIGOROUS and decision.outcome is not Outcome.OK:
        milder = _first_row(replace(inputs, wanted=Intensity.LIGHT_MODERATE))
        stops = Stopped.VIGOROUS if milder.is_ok else milder.stops
        return replace(decision, stops=stops)
    return decision


def clearance_facts(
    *,
    state: ClearanceState | None,
    scope: Intensity | None,
    given_on: date | None,
    ends_on: date | None,
    symptom_on: date | None,
    is_new_since: bool,
    today: date,
    rules: Rules,
) -> ClearanceFacts:
    """Where a paper stands on a day, from its dates, the symptom's day and what came since."""
    if state is None:
        return ClearanceFacts()
    if state is not ClearanceState.GRANTED:
        return ClearanceFacts(Standing(state.value), scope)
    is_after = given_on is not None and (symptom_on is None or given_on > symptom_on)
    is_current = (
        given_on is not None
        and 0 <= (today - given_on).days <= rules.clearance_days
        and (ends_on is None or today <= ends_on)
    )
    if is_current and is_after and not is_new_since:
        return ClearanceFacts(Standing.GRANTED, scope, is_after)
    return ClearanceFacts(Standing.EXPIRED, scope, is_after)


def _first_row(inputs: ScreeningInputs) -> Decision:
    for rule in (_symptoms, _papers, _disease, _unknowns, _transition):
        found = rule(inputs)
        if found is not None:
            return found
    if _begins_by_diabetes_alternative(inputs):
        return replace(_decision(inputs, Outcome.OK, 3), comes_next=BY_DIABETES_ALTERNATIVE)
    return _decision(inputs, Outcome.OK, _plain_row(inputs))


def _begins_by_diabetes_alternative(inputs: ScreeningInputs) -> bool:
    """Row 3 read the other published way: light to moderate only, no symptom, and nothing a paper already covers."""
    return (
        inputs.diabetes_alone_may_begin
        and inputs.wanted is Intensity.LIGHT_MODERATE
        and inputs.active is not YesNo.YES
        and inputs.symptoms is YesNo.NO
        and inputs.disease is YesNo.YES
        and not covers(inputs.clearance, inputs.wanted)
    )


def _symptoms(inputs: ScreeningInputs) -> Decision | None:
    if inputs.symptoms is not YesNo.YES:
        return None
    if covers(inputs.clearance, inputs.wanted) and inputs.clearance.is_after_symptom:
        return None
    is_active = inputs.active is YesNo.YES
    return _decision(inputs, Outcome.STOP if is_active else Outcome.HOLD, _symptom_row(inputs))


def _papers(inputs: ScreeningInputs) -> Decision | None:
    paper = inputs.clearance
    if paper.standing is Standing.REFUSED:
        return _decision(inputs, Outcome.HOLD, 16)
    if inputs.wanted is not Intensity.VIGOROUS or paper.standing not in (Standing.GRANTED, Standing.EXPIRED):
        return None
    if paper.scope is not Intensity.VIGOROUS:
        return _decision(inputs, Outcome.HOLD, 17)
    return _decision(inputs, Outcome.HOLD, 18) if paper.standing is Standing.EXPIRED else None


def _disease(inputs: ScreeningInputs) -> Decision | None:
    if inputs.disease is not YesNo.YES or not _disease_needs_paper(inputs):
        return None
    if _begins_by_diabetes_alternative(inputs):
        return None
    return _decision(inputs, Outcome.HOLD, _disease_row(inputs))


def _unknowns(inputs: ScreeningInputs) -> Decision | None:
    disease_unknown = inputs.disease is YesNo.UNKNOWN and _disease_needs_paper(inputs)
    if disease_unknown and inputs.active is not YesNo.YES:
        return _decision(inputs, Outcome.HOLD, 15)
    if inputs.symptoms is YesNo.UNKNOWN:
        return _decision(inputs, Outcome.HOLD, 14)
    return _decision(inputs, Outcome.HOLD, 15) if disease_unknown else None


def _transition(inputs: ScreeningInputs) -> Decision | None:
    if inputs.wanted is not Intensity.VIGOROUS or inputs.active is YesNo.YES or inputs.transition_done:
        return None
    return _decision(inputs, Outcome.DEFER, _plain_row(inputs))


def _disease_needs_paper(inputs: ScreeningInputs) -> bool:
    is_asked_for = inputs.active is not YesNo.YES or inputs.wanted is Intensity.VIGOROUS
    return is_asked_for and not covers(inputs.clearance, inputs.wanted)


def _symptom_row(inputs: ScreeningInputs) -> int:
    first = 11 if inputs.active is YesNo.YES else 5
    return first + (1 if inputs.wanted is Intensity.VIGOROUS else 0)


def _disease_row(inputs: ScreeningInputs) -> int:
    if inputs.active is YesNo.YES:
        return 10 if inputs.wanted is Intensity.VIGOROUS else 9
    return 4 if inputs.wanted is Intensity.VIGOROUS else 3


def _plain_row(inputs: ScreeningInputs) -> int:
    if inputs.symptoms is YesNo.YES:
        return _symptom_row(inputs)
    if inputs.disease is YesNo.UNKNOWN:
        return 15
    if inputs.active is YesNo.UNKNOWN:
        return 13
    if inputs.disease is YesNo.YES:
        return _disease_row(inputs)
    first = 7 if inputs.active is YesNo.YES else 1
    return first + (1 if inputs.wanted is Intensity.VIGOROUS else 0)


def _decision(inputs: ScreeningInputs, outcome: Outcome, branch: int) -> Decision:
    return Decision(
        wanted=inputs.wanted,
        outcome=outcome,
        stops=_stops(outcome, branch),
        branch=branch,
        missing=_missing(inputs),
        comes_next=_comes_next(outcome, branch),
    )


def _stops(outcome: Outcome, branch: int) -> Stopped:
    if outcome is Outcome.OK:
        return Stopped.NOTHING
    if outcome is Outcome.DEFER:
        return Stopped.VIGOROUS
    return Stopped.BEYOND_LIGHT if branch == 14 else Stopped.ALL


def _comes_next(outcome: Outcome, branch: int) -> str:
    if outcome is Outcome.DEFER:
        return _NEXT[branch] if branch in (2, 13) else _AFTER_TRANSITION
    if outcome is Outcome.OK and branch == 2:
        return _PAST_TRANSITION
    return _CLEARED.get(branch, _NEXT[branch]) if outcome is Outcome.OK else _NEXT[branch]


def _missing(inputs: ScreeningInputs) -> tuple[str, ...]:
    asked = (("activity", inputs.active), ("symptoms", inputs.symptoms), ("disease", inputs.disease))
    return tuple(name for name, answer in asked if answer is YesNo.UNKNOWN)
