"""The safety conditions one by one: what each says, on which figures, and what would change it."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from app.coaching.condition import Condition, Group, State
from app.coaching.consents import CONSENT_TEXTS
from app.coaching.facts import facts_of
from app.coaching.hold_rules import HOLD_WORDS, LIFTED_BY
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Sex
from app.coaching.promotion_safety import DOES_NOT_APPLY, safety_conditions
from app.coaching.reasons import Provenance
from app.coaching.rules import Rules
from app.coaching.screening import ClearanceState, ConsentKind, Intensity, YesNo
from app.coaching.screening_table import CARD, SOURCE
from app.coaching.weeks import day_words
from tests.factories import (
    TODAY,
    answers,
    at,
    base_weeks,
    clearance,
    client,
    consent,
    decision,
    history,
    hold,
    log,
    pressure,
    pressure_limit,
    told_away,
    unsent,
)

RULES = Rules()
MET, NOT_MET, UNKNOWN = State.MET, State.NOT_MET, State.UNKNOWN
ASK, AGAIN = "Ask the screening questions.", "Ask the screening questions again."


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def line(key: str, **records) -> Condition:
    return {one.key: one for one in safety_conditions(history(**records), TODAY, RULES)}[key]


def said(one: Condition) -> tuple[State, str, str | None]:
    return one.state, one.value, one.would_change


def figures(one: Condition) -> list[tuple[str, str]]:
    return [(figure.name, figure.text) for figure in one.why.figures]


def test_there_are_nine_in_this_order_and_all_are_safety() -> None:
    found = safety_conditions(history(), TODAY, RULES)

    assert [one.key for one in found] == [
        "screening",
        "clearance",
        "no_open_hold",
        "transition",
        "pressure",
        "interval_consent",
        "stop_signs",
        "pregnancy",
        "emergency_contact",
    ]
    assert {one.group for one in found} == {Group.SAFETY}


def test_each_says_how_far_it_can_be_trusted() -> None:
    of = {one.key: one.why.provenance for one in safety_conditions(history(pressures=(pressure(),)), TODAY, RULES)}

    assert of.pop("screening") is Provenance.PUBLISHED_SECOND_HAND
    assert (of.pop("clearance"), of.pop("transition")) == (Provenance.FROM_MEMORY, Provenance.FROM_MEMORY)
    assert set(of.values()) == {Provenance.HOUSE}
    assert line("pressure").why.provenance is Provenance.HOUSE


def test_facts_that_are_known_are_used() -> None:
    done = facts_of(history(logs=base_weeks(12)), TODAY, RULES)
    found = safety_conditions(history(), TODAY, RULES, facts=done)

    assert [one.value for one in found if one.key == "transition"] == ["12 weeks"]


# The practice's own list of conditions, "From base to hard work".


@pytest.mark.parametrize(
    ("asked", "expected"),
    [
        ((), (UNKNOWN, "never asked", ASK)),
        ((answers(answered_on=TODAY),), (MET, "the screening table has no objection, asked 0 days ago", None)),
        ((answers(answered_on=ago(30)),), (MET, "the screening table has no objection, asked 30 days ago", None)),
        ((answers(answered_on=ago(31)),), (NOT_MET, "asked 31 days ago", AGAIN)),
        ((answers(symptoms=YesNo.UNKNOWN),), (UNKNOWN, "not all questions answered", AGAIN)),
        ((answers(disease=YesNo.UNKNOWN, answered_on=ago(31)),), (UNKNOWN, "not all questions answered", AGAIN)),
    ],
)
def test_the_screening_is_asked_within_thirty_days(asked: tuple, expected: tuple) -> None:
    assert said(line("screening", screening=asked)) == expected


def test_a_screening_that_objects_says_what_comes_next() -> None:
    one = line("screening", screening=(answers(active=YesNo.NO),))

    assert said(one) == (
        NOT_MET,
        "later, after a gradual build-up, asked 10 days ago",
        "Start light to moderate and progress gradually; hard work after the transition weeks.",
    )


def test_answers_older_than_a_symptom_are_asked_again() -> None:
    felt = hold(began_on=ago(8), lifted_at=at(ago(6)))
    records = {"holds": (felt,), "clearances": (clearance(given_on=ago(7)),)}
    state, value, change = said(line("screening", screening=(answers(answered_on=ago(9)),), **records))

    assert (state, value) == (NOT_MET, "asked 9 days ago")
    assert str(change).startswith("Something felt wrong on 27 September 2026, after the last answers")
    assert line("screening", screening=(answers(answered_on=ago(7)),), **records).state is MET


def test_the_screening_opens_to_the_table() -> None:
    one = line("screening", screening=(answers(symptoms=YesNo.UNKNOWN),))

    assert figures(one) == [
        ("asked on", "25 September 2026"),
        ("decision", "hold, row 14 of the table"),
        ("not answered", "symptoms"),
    ]
    assert figures(line("screening"))[0] == ("asked on", "never")
    assert figures(line("screening", screening=(answers(),)))[2] == ("not answered", "nothing")
    assert (one.why.provenance, one.why.source) == (Provenance.PUBLISHED_SECOND_HAND, SOURCE)
    assert one.why.formulae == (CARD,)


ILL = answers(disease=YesNo.YES)
PAPER = "A clinician's written clearance for vigorous work."


@pytest.mark.parametrize(
    ("records", "expected"),
    [
        ({}, (UNKNOWN, "disease not answered", ASK)),
        ({"screening": (answers(disease=YesNo.UNKNOWN),)}, (UNKNOWN, "disease not answered", AGAIN)),
        ({"screening": (answers(),)}, (MET, "no known disease", None)),
        ({"screening": (ILL,)}, (NOT_MET, "none", PAPER)),
        (
            {"screening": (ILL,), "clearances": (clearance(given_on=ago(5)),)},
            (MET, "granted, 30 September 2026, for vigorous", None),
        ),
        (
            {"screening": (ILL,), "clearances": (clearance(scope=Intensity.LIGHT_MODERATE),)},
            (NOT_MET, "granted, 30 September 2026, for light to moderate", PAPER),
        ),
        (
            {
                "screening": (ILL,),
                "clearances": (
                    clearance(state=ClearanceState.REFUSED, given_on=None, scope=None, recorded_at=at(ago(3))),
                ),
            },
            (NOT_MET, "refused, no date, for nothing stated", PAPER),
        ),
    ],
)
def test_a_known_disease_needs_a_wide_paper(records: dict, expected: tuple) -> None:
    assert said(line("clearance", **records)) == expected


def test_the_clearance_opens_to_answer_and_paper() -> None:
    assert figures(line("clearance", screening=(ILL,))) == [("known disease", "yes"), ("newest paper", "none")]
    assert figures(line("clearance")) == [("known disease", "never asked"), ("newest paper", "none")]
    assert line("clearance").why.formulae == (CARD,)


@pytest.mark.parametrize(
    ("records", "known"),
    [
        ({"screening": (answers(),)}, "no"),
        ({"screening": (answers(disease=YesNo.UNKNOWN),)}, "unknown"),
        ({"unsent": (unsent(question="heart"),)}, "yes"),
        ({"screening": (answers(),), "unsent": (unsent(question="heart"),)}, "yes"),
    ],
)
def test_the_known_disease_is_the_one_sent_or_named_since(records: dict, known: str) -> None:
    one = line("clearance", **records)

    assert figures(one)[0] == ("known disease", known)
    assert one.state is {"no": MET, "unknown": UNKNOWN, "yes": NOT_MET}[known]


def test_any_open_hold_stands_in_the_way() -> None:
    two = (
        hold(kind=HoldKind.HEAT, stops=Stops.HARD, cause="Hot week", began_on=ago(2)),
        hold(id=2, kind=HoldKind.COACH, cause="Exam", began_on=ago(4)),
    )
    one = line("no_open_hold", holds=(*two, hold(id=3, lifted_at=at(TODAY))))

    assert said(one) == (
        NOT_MET,
        "2 open",
        f"Heat: lifted by {LIFTED_BY[HoldKind.HEAT]}. "
        f"{HOLD_WORDS[HoldKind.COACH].capitalize()}: lifted by {LIFTED_BY[HoldKind.COACH]}.",
    )
    assert figures(one) == [
        ("heat", "since 3 October 2026: Hot week"),
        (HOLD_WORDS[HoldKind.COACH], "since 1 October 2026: Exam"),
    ]
    assert said(line("no_open_hold")) == (MET, "0 open", None)


ACTIVE = {"client": client(regularly_active_confirmed_on=ago(100))}


@pytest.mark.parametrize(
    ("records", "expected"),
    [
        ({}, (NOT_MET, "no week yet", "12 more all-easy weeks, logged.")),
        ({"logs": base_weeks(1)}, (NOT_MET, "1 week", "11 more all-easy weeks, logged.")),
        ({"logs": base_weeks(11)}, (NOT_MET, "11 weeks", "1 more all-easy week, logged.")),
        ({"logs": base_weeks(12)}, (MET, "12 weeks", None)),
        ({"logs": base_weeks(3), **ACTIVE}, (MET, "regularly active at intake", None)),
        (
            {"logs": (log(done_on=ago(300)), *base_weeks(14)), "client": client(), "decisions": (decision(),)},
            (MET, "14 weeks", None),
        ),
        (
            {"logs": (log(id=1, done_on=ago(200)), *base_weeks(2)), **ACTIVE},
            (NOT_MET, "2 weeks", "10 more all-easy weeks, logged."),
        ),
    ],
)
def test_twelve_easy_weeks_or_active_at_intake(records: dict, expected: tuple) -> None:
    assert said(line("transition", **records)) == expected


def test_after_a_long_break_the_weeks_are_counted_anew() -> None:
    long_ago = base_weeks(14, before=TODAY - timedelta(weeks=20))

    assert said(line("transition", logs=long_ago))[1:] == ("no week yet", "12 more all-easy weeks, logged.")


def test_the_transition_opens_to_both_of_its_ways() -> None:
    assert figures(line("transition", logs=base_weeks(3), **ACTIVE)) == [
        ("complete all-easy weeks with an outing", "3"),
        ("regularly active at intake", "confirmed 27 June 2026"),
    ]
    assert figures(line("transition"))[1] == ("regularly active at intake", "not confirmed")


def test_the_transition_says_from_when_it_is_counted_again() -> None:
    off = told_away(from_on=ago(100), until_on=ago(8))

    again = ("counted again after over twelve weeks off, from", day_words(ago(7)))
    assert figures(line("transition", logs=base_weeks(20), told_away=(off,)))[2:] == [again]
    assert figures(line("transition", logs=base_weeks(20)))[2:] == []


FRESH = "A new reading, seated and rested."


@pytest.mark.parametrize(
    ("records", "expected"),
    [
        ({}, (UNKNOWN, "no reading", "A reading, seated and rested.")),
        ({"pressures": (pressure(measured_on=ago(-1)),)}, (UNKNOWN, "no reading", "A reading, seated and rested.")),
        ({"pressures": (pressure(measured_on=TODAY),)}, (MET, "128 over 78 mmHg, 0 days old", None)),
        ({"pressures": (pressure(measured_on=ago(90)),)}, (MET, "128 over 78 mmHg, 90 days old", None)),
        ({"pressures": (pressure(measured_on=ago(91)),)}, (NOT_MET, "128 over 78 mmHg, 91 days old", FRESH)),
    ],
)
def test_a_reading_of_the_last_ninety_days(records: dict, expected: tuple) -> None:
    assert said(line("pressure", **records)) == expected


@pytest.mark.parametrize(
    ("reading", "own", "state"),
    [
        ((159, 99), (), MET),
        ((160, 99), (), NOT_MET),
        ((159, 100), (), NOT_MET),
        ((150, 99), (pressure_limit(),), MET),
        ((150, 92), (pressure_limit(systolic_mmhg=140, diastolic_mmhg=90),), NOT_MET),
    ],
)
def test_the_reading_is_under_the_limits_that_count(reading: tuple[int, int], own: tuple, state: State) -> None:
    readings = (pressure(systolic_mmhg=reading[0], diastolic_mmhg=reading[1]),)
    one = line("pressure", pressures=readings, pressure_limits=own)

    assert one.state is state
    assert ("Speak to your doctor" in str(one.would_change)) is (state is NOT_MET)


def test_the_reading_opens_to_its_day_and_its_limits() -> None:
    one = line("pressure", pressures=(pressure(),))

    assert figures(one) == [("28 September 2026", "128 over 78 mmHg, 7 days old"), ("where from", "client")]
    assert one.limit == "at most 90 days old, under 160 over 100 mmHg"


@pytest.mark.parametrize(
    ("key", "kind"),
    [("interval_consent", ConsentKind.INTERVAL_PHASE), ("stop_signs", ConsentKind.STOP_SIGNS)],
)
def test_each_consent_is_in_force_to_the_text_as_it_is(key: str, kind: ConsentKind) -> None:
    version = CONSENT_TEXTS[kind].version
    given = line(key, consents=(consent(kind, text_version=version),))
    missing = "not given, withdrawn, or to an older text"

    assert said(given) == (MET, "given 28 September 2026", None)
    assert figures(given) == [("text version", version), ("consent", "given 28 September 2026")]
    assert said(line(key)) == (NOT_MET, missing, "The client reads the text and agrees.")
    assert line(key, consents=(consent(kind, text_version="0"),)).value == missing


YOUNG = {"client": client(born_on=date(1990, 1, 1))}
WORD = "The maternity provider's written word, dated after the answer."


@pytest.mark.parametrize(
    ("asked", "papers", "expected"),
    [
        ((), (), (UNKNOWN, "not answered", ASK)),
        ((answers(pregnant=YesNo.UNKNOWN),), (), (UNKNOWN, "not answered", AGAIN)),
        ((answers(answered_on=ago(84)),), (), (MET, "no", None)),
        ((answers(answered_on=ago(85)),), (), (NOT_MET, "answered 12 July 2026", AGAIN)),
        ((answers(pregnant=YesNo.YES),), (), (NOT_MET, "yes", WORD)),
        ((answers(pregnant=YesNo.YES),), (clearance(),), (MET, "yes", None)),
        (
            (answers(pregnant=YesNo.YES, answered_on=ago(85)),),
            (clearance(),),
            (NOT_MET, "answered 12 July 2026", AGAIN),
        ),
    ],
)
def test_the_pregnancy_answer_is_current(asked: tuple, papers: tuple, expected: tuple) -> None:
    assert said(line("pregnancy", screening=asked, clearances=papers, **YOUNG)) == expected


@pytest.mark.parametrize(
    ("who", "asked", "expected"),
    [
        ({"sex": Sex.MALE}, (), (MET, DOES_NOT_APPLY, None)),
        ({"sex": Sex.MALE}, (answers(answered_on=ago(200)),), (MET, DOES_NOT_APPLY, None)),
        ({"sex": Sex.MALE}, (answers(pregnant=YesNo.YES),), (NOT_MET, "yes", WORD)),
        ({"born_on": date(1950, 1, 1)}, (), (MET, DOES_NOT_APPLY, None)),
        ({"born_on": date(1950, 1, 1)}, (answers(pregnant=YesNo.YES),), (NOT_MET, "yes", WORD)),
    ],
)
def test_who_is_not_asked_need_not_answer_and_a_yes_counts_all_the_same(who, asked: tuple, expected: tuple) -> None:
    assert said(line("pregnancy", client=client(**who), screening=asked)) == expected


def test_the_pregnancy_answer_opens_to_its_day() -> None:
    assert figures(line("pregnancy", screening=(answers(),), **YOUNG)) == [
        ("asked on", "25 September 2026"),
        ("answer", "no"),
    ]
    assert figures(line("pregnancy", **YOUNG)) == [("asked on", "never"), ("answer", "unknown")]


CONFIRM = "Confirm name and phone with the client."


@pytest.mark.parametrize(
    ("changes", "expected"),
    [
        ({}, (MET, "confirmed 15 September 2026", None)),
        ({"emergency_confirmed_on": TODAY}, (MET, "confirmed 5 October 2026", None)),
        ({"emergency_confirmed_on": ago(84)}, (MET, "confirmed 13 July 2026", None)),
        ({"emergency_confirmed_on": ago(85)}, (NOT_MET, "confirmed 12 July 2026", CONFIRM)),
        ({"emergency_confirmed_on": ago(-1)}, (NOT_MET, "confirmed 6 October 2026", CONFIRM)),
        ({"emergency_confirmed_on": None}, (UNKNOWN, "never confirmed", CONFIRM)),
        ({"emergency_phone": None}, (UNKNOWN, "missing", CONFIRM)),
        ({"emergency_contact": ""}, (UNKNOWN, "missing", CONFIRM)),
    ],
)
def test_somebody_to_call_is_known_and_confirmed(changes: dict, expected: tuple) -> None:
    one = line("emergency_contact", client=client(**changes))

    assert said(one) == expected
    assert figures(one) == [("contact", expected[1])]
