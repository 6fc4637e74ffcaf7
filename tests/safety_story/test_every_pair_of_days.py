"""The decision over records: every state of a paper, every order of its day and a symptom's, and the transition.

The table itself is held against every combination in tests/coaching/test_screening_calculator.py; here are the days.
"""

from __future__ import annotations

from datetime import date, timedelta
from itertools import product

from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, Intensity, YesNo
from app.coaching.screening_decision import Stopped, screening_of
from tests.factories import TODAY, answers, base_weeks, clearance, history, symptom

#: Days ago, around every limit: today, yesterday, a year, and the day before it.
PAPER_AGO = (0, 1, 100, 365, 366)
SYMPTOM_AGO = (None, 0, 1, 99, 100, 101, 365, 366, 400)
GRANTED_LIGHT, GRANTED_WIDE = "granted light", "granted wide"
STATES = ("none", "requested", "refused", "by telephone", "ended", GRANTED_LIGHT, GRANTED_WIDE)
EVERY = list(product(STATES, PAPER_AGO, SYMPTOM_AGO, (True, False), (True, False), (12, 11)))


def _ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def _papers(state: str, ago: int) -> tuple:
    if state == "none":
        return ()
    if state == "requested":
        return (clearance(state=ClearanceState.REQUESTED, given_on=None, requested_on=_ago(ago)),)
    if state == "refused":
        return (clearance(state=ClearanceState.REFUSED, given_on=_ago(ago)),)
    scope = Intensity.LIGHT_MODERATE if state == GRANTED_LIGHT else Intensity.VIGOROUS
    how_seen = "telephone" if state == "by telephone" else "paper"
    ends_on = _ago(1) if state == "ended" else None
    return (clearance(scope=scope, given_on=_ago(ago), how_seen=how_seen, ends_on=ends_on),)


def _answered(case: tuple) -> tuple[Stopped, Stopped]:
    """What is stopped of light and of vigorous work."""
    state, paper_ago, symptom_ago, is_active, has_disease, weeks = case
    found = screening_of(
        history(
            screening=(
                answers(
                    answered_on=TODAY,
                    active=YesNo.YES if is_active else YesNo.NO,
                    disease=YesNo.YES if has_disease else YesNo.NO,
                ),
            ),
            symptoms=() if symptom_ago is None else (symptom(felt_on=_ago(symptom_ago)),),
            clearances=_papers(state, paper_ago),
            logs=base_weeks(weeks),
        ),
        TODAY,
        Rules(),
    )
    return found.light.stops, found.vigorous.stops


def _by_hand(case: tuple) -> tuple[Stopped, Stopped]:
    """The same from the reference: symptom, refused, scope, expired, disease, transition; the first that fits."""
    state, paper_ago, symptom_ago, is_active, has_disease, weeks = case
    is_sound = state in (GRANTED_LIGHT, GRANTED_WIDE, "ended")
    if symptom_ago is not None and not (is_sound and paper_ago < symptom_ago):
        return Stopped.ALL, Stopped.ALL
    if state == "refused":
        return Stopped.ALL, Stopped.ALL
    counts = is_sound and state != "ended" and paper_ago <= 365
    if has_disease and not is_active and not counts:
        return Stopped.ALL, Stopped.ALL
    is_short = is_sound and not (counts and state == GRANTED_WIDE)
    needs_paper = has_disease and not (counts and state == GRANTED_WIDE)
    is_new = not is_active and weeks < 12
    return Stopped.NOTHING, Stopped.VIGOROUS if is_short or needs_paper or is_new else Stopped.NOTHING


def test_every_order_of_days_is_decided_as_by_hand() -> None:
    told = {case: _answered(case) for case in EVERY}

    assert {case: found for case, found in told.items() if found != _by_hand(case)} == {}
    assert {vigorous for _, vigorous in told.values()} == {Stopped.NOTHING, Stopped.VIGOROUS, Stopped.ALL}


def test_no_order_of_days_leads_from_a_symptom_to_any_work_without_a_sound_later_paper() -> None:
    free = [case for case in EVERY if case[2] is not None and _answered(case)[0] is not Stopped.ALL]

    assert free
    assert all(case[0] in (GRANTED_LIGHT, GRANTED_WIDE, "ended") and case[1] < case[2] for case in free)
