"""What is asked afresh before hard work: due questions, consents of a brought-in phase, consents taken back."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.asked_afresh import (
    brought_in_stop,
    newer_text_stop,
    outdated_consents,
    questions_stop,
    taken_back_stop,
    unasked_words,
)
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.hold_rules import Answer
from app.coaching.holds import Stops
from app.coaching.leave_to_train import may_train_now
from app.coaching.people import Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, ConsentKind, Intensity
from app.coaching.screening_decision import decide
from tests.factories import (
    TODAY,
    answers,
    at,
    clearance,
    client,
    consent,
    decision,
    history,
    log,
    planned_hard,
    symptom,
)

RULES = Rules()
INTERVALS, SIGNS = ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS
START_TITLE, STOP_TITLE = CONSENT_TEXTS[INTERVALS].title, CONSENT_TEXTS[SIGNS].title


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def words(**records) -> str | None:
    known = history(**records)
    return unasked_words(known, decide(known, Intensity.LIGHT_MODERATE, TODAY, RULES))


def brought_in(id: int = 2, **changes):
    given = {"kind": DecisionKind.BROUGHT_IN, "phase": Phase.INTERVAL_ONE, "confirmed_at": at(TODAY)}
    return decision(id=id, **(given | changes))


def agreed(kind: ConsentKind, **changes):
    return consent(kind, **({"text_version": CONSENT_TEXTS[kind].version} | changes))


# Taken over from elsewhere (the practice's one list): screening, symptoms and consent are asked afresh.


def test_once_the_questions_are_answered_nothing_is_said() -> None:
    assert words(screening=(answers(),)) is None


def test_who_was_added_by_hand_begins_with_the_questions() -> None:
    assert words() == (
        "The health questions were never answered here. Added by hand, with no earlier training on record: none "
        "begins until they are. Only somebody brought in with their training goes on with easy work meanwhile."
    )


@pytest.mark.parametrize("records", [{"logs": (log(origin=Origin.FILE),)}, {"decisions": (brought_in(),)}])
def test_who_was_brought_in_goes_on_easily(records: dict) -> None:
    assert words(**records) == (
        "The health questions were never answered here. Brought in with earlier training: easy work goes on, hard "
        "work waits for them."
    )


def test_a_symptom_stops_who_was_brought_in_too_and_says_what_comes_next() -> None:
    said = words(decisions=(brought_in(),), symptoms=(symptom(),))

    assert said is not None
    assert "by hand" not in said
    assert said.startswith("The health questions were never answered here. A clinician's clearance")


def test_a_wide_paper_of_somebody_added_by_hand_leaves_what_the_screening_says() -> None:
    known = history(clearances=(clearance(),))
    light = decide(known, Intensity.LIGHT_MODERATE, TODAY, RULES)

    assert unasked_words(known, light) == f"The health questions were never answered here. {light.comes_next}"


def test_a_refused_paper_stops_who_was_brought_in() -> None:
    said = words(decisions=(brought_in(),), clearances=(clearance(state=ClearanceState.REFUSED),))

    assert said is not None
    assert "Clearance was refused" in said


@pytest.mark.parametrize(("days_old", "waits"), [(84, False), (85, True)])
def test_answers_older_than_twelve_weeks_stop_hard_work(days_old: int, waits: bool) -> None:
    stop = questions_stop(history(screening=(answers(answered_on=ago(days_old)),)), TODAY, RULES)

    assert (stop is not None and stop.stops is Stops.HARD) is waits


def test_no_paper_stands_in_for_answers_that_were_never_given() -> None:
    signed = history(
        client=client(regularly_active_confirmed_on=ago(200)),
        symptoms=(symptom(felt_on=ago(1)),),
        clearances=(clearance(given_on=TODAY),),
    )

    stop = questions_stop(signed, TODAY, RULES)
    told = may_train_now(signed, planned_hard(planned_on=TODAY), TODAY, RULES)

    assert stop is not None
    assert stop.stops is Stops.HARD
    assert stop.sentence == "waiting for questions. The health questions were never answered here."
    assert told.answer is Answer.EASY_ONLY


@pytest.mark.parametrize(
    ("consents", "named"),
    [
        ((), f"{START_TITLE}, {STOP_TITLE}"),
        ((agreed(INTERVALS),), STOP_TITLE),
        ((agreed(SIGNS),), START_TITLE),
        ((agreed(SIGNS), agreed(INTERVALS)), None),
    ],
)
def test_hard_work_that_was_brought_in_waits_for_both_consents(consents: tuple, named: str | None) -> None:
    stop = brought_in_stop(history(decisions=(decision(), brought_in()), consents=consents))

    assert (None if stop is None else (stop.stops, stop.sentence)) == (
        None if named is None else (Stops.HARD, f"waiting for questions. Asked afresh before hard work: {named}.")
    )


@pytest.mark.parametrize(
    ("decisions", "waits"),
    [
        ((), False),
        ((decision(),), False),
        ((brought_in(),), True),
        ((brought_in(id=1),), True),
        ((brought_in(kind=DecisionKind.STEP_BACK, phase=Phase.KEEPING),), False),
        (
            (brought_in(id=3), *(decision(id=n, kind=DecisionKind.PROMOTE, phase=Phase.KEEPING) for n in (1, 5))),
            False,
        ),
        ((brought_in(confirmed_at=None),), False),
        ((brought_in(phase=Phase.AEROBIC_BASE),), False),
        ((brought_in(phase=Phase.KEEPING),), True),
        ((brought_in(), decision(id=3, kind=DecisionKind.STEP_BACK)), True),
        ((brought_in(), decision(id=3, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE)), False),
        ((decision(id=3, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE), brought_in()), False),
        ((decision(id=1, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE), brought_in()), True),
        ((brought_in(id=4), decision(id=3, kind=DecisionKind.PROMOTE, phase=Phase.KEEPING), brought_in(id=2)), True),
    ],
)
def test_what_was_brought_in_rests_on_itself_until_a_promotion_here(decisions: tuple, waits: bool) -> None:
    assert (brought_in_stop(history(decisions=decisions)) is not None) is waits


@pytest.mark.parametrize(
    ("consents", "named"),
    [
        ((), None),
        ((agreed(INTERVALS),), None),
        ((agreed(INTERVALS, withdrawn_on=TODAY),), START_TITLE),
        ((agreed(INTERVALS, withdrawn_on=TODAY), agreed(INTERVALS, id=2)), None),
        ((agreed(INTERVALS, withdrawn_on=TODAY), agreed(SIGNS, withdrawn_on=TODAY)), f"{START_TITLE}, {STOP_TITLE}"),
        ((agreed(ConsentKind.COACHING, withdrawn_on=TODAY),), None),
    ],
)
def test_a_consent_taken_back_stops_hard_work_until_it_is_given_again(consents: tuple, named: str | None) -> None:
    stop = taken_back_stop(history(consents=consents))

    assert (None if stop is None else (stop.stops, stop.sentence)) == (
        None
        if named is None
        else (Stops.HARD, f"consent was taken back: {named}. Hard work waits until it is given again.")
    )


# A consent is renewed when its text changes; until then the hard work it was given for waits (house choice).
PROMOTED = decision(id=3, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE)
EARLIER, EARLIER_SIGNS = agreed(INTERVALS, text_version="2025-9"), agreed(SIGNS, text_version="2025-9")


@pytest.mark.parametrize(
    ("consents", "outdated"),
    [
        ((), ()),
        ((agreed(INTERVALS), agreed(SIGNS)), ()),
        ((EARLIER, agreed(SIGNS)), (INTERVALS,)),
        ((EARLIER, EARLIER_SIGNS), (INTERVALS, SIGNS)),
        ((EARLIER,), (INTERVALS,)),
        ((EARLIER, agreed(INTERVALS, id=2)), ()),
        ((consent(INTERVALS, text_version="2025-9", withdrawn_on=TODAY),), ()),
        ((EARLIER, agreed(INTERVALS, id=2, withdrawn_on=TODAY)), ()),
        ((agreed(ConsentKind.COACHING, text_version="2025-9"),), ()),
    ],
)
def test_a_consent_to_an_earlier_text_is_outdated_until_the_new_one_is_agreed_to(consents, outdated) -> None:
    assert outdated_consents(history(decisions=(decision(), PROMOTED), consents=consents)) == outdated


@pytest.mark.parametrize(
    ("decisions", "waits"),
    [
        ((), False),
        ((decision(),), False),
        ((decision(), PROMOTED), True),
        ((PROMOTED, decision(id=4, kind=DecisionKind.STEP_BACK)), True),
        ((decision(id=3, kind=DecisionKind.PROMOTE, phase=Phase.KEEPING),), True),
        ((brought_in(),), False),
        ((brought_in(), PROMOTED), True),
    ],
    ids=["no phase", "base", "promoted", "stepped back", "keeping", "brought in: its own stop", "promoted since"],
)
def test_hard_work_waits_for_the_newer_text_of_whoever_was_let_into_it(decisions, waits) -> None:
    assert (newer_text_stop(history(decisions=decisions, consents=(EARLIER, EARLIER_SIGNS))) is not None) is waits


def test_in_base_an_earlier_text_leaves_nothing_to_renew() -> None:
    assert outdated_consents(history(decisions=(decision(),), consents=(EARLIER,))) == ()


def test_what_waits_for_the_newer_text_and_where_it_is_agreed_to_is_said() -> None:
    one = newer_text_stop(history(decisions=(PROMOTED,), consents=(EARLIER, agreed(SIGNS))))
    both = newer_text_stop(history(decisions=(PROMOTED,), consents=(EARLIER, EARLIER_SIGNS)))

    assert one is not None
    assert both is not None
    assert (one.stops, one.sentence) == (
        Stops.HARD,
        f"the text “{START_TITLE}” has changed since it was agreed to. Hard work waits until the new one is read and "
        "agreed to, on the phone under My way or with the coach; easy work goes on.",
    )
    assert both.sentence.startswith(f"the text “{START_TITLE}” and “{STOP_TITLE}” has changed")
