"""The one list on the way to hard work: each condition met, just not met, unknown; near; refusals; evidence."""

from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.consents import CONSENT_TEXTS, missing_consents, sha256_of
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import HeartRateUse, Origin, Sex
from app.coaching.promotion import (
    CONDITION_KEYS,
    PRACTICE_KEYS,
    SAFETY_KEYS,
    Group,
    State,
    all_met,
    base_weeks_for,
    conditions,
    evidence_from,
    evidence_json,
    is_near,
    may_promote,
)
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.screening import ConsentKind, Intensity, YesNo
from app.coaching.session_logs import SessionLog
from app.coaching.weeks import week_start
from tests.factories import (
    TODAY,
    answers,
    at,
    base_week,
    base_weeks,
    clearance,
    client,
    consent,
    decision,
    history,
    hold,
    leave,
    log,
    planned,
    pressure,
    readiness,
    standard_loop,
    symptom,
)

RULES = Rules()
AGED_55, AGED_56 = date(1970, 10, 6), date(1970, 10, 5)
YOUNG = client(born_on=AGED_55)
NOT_ASKED, PREGNANT = answers(id=2, pregnant=YesNo.UNKNOWN), answers(pregnant=YesNo.YES)
MET, NOT_MET, UNKNOWN = State.MET, State.NOT_MET, State.UNKNOWN


def _days_ago(days: int):
    return TODAY - timedelta(days=days)


#: A symptom eight days ago, a paper the day after, and its hold lifted.
_LIFTED = {
    "symptoms": (symptom(felt_on=_days_ago(8)),),
    "holds": (hold(began_on=_days_ago(8), lifted_at=at(_days_ago(6))),),
    "clearances": (clearance(scope=Intensity.VIGOROUS, given_on=_days_ago(7)),),
}


def _weeks_ago(weeks: int):
    return TODAY - timedelta(weeks=weeks)


def _consents(**changes: Any):
    kinds = (ConsentKind.INTERVAL_PHASE, ConsentKind.STOP_SIGNS)
    return tuple(consent(kind, **({"text_version": CONSENT_TEXTS[kind].version} | changes)) for kind in kinds)


def _planned(logs: tuple[SessionLog, ...], weeks: int = 8) -> dict[str, Any]:
    """Plans for the entries of the last weeks, and the entries answering them."""
    recent = [entry for entry in logs if entry.done_on >= _weeks_ago(weeks)]
    older = tuple(entry for entry in logs if entry.done_on < _weeks_ago(weeks))
    plans = tuple(planned(id=entry.id, planned_on=entry.done_on) for entry in recent)
    return {"planned": plans, "logs": older + tuple(replace(entry, planned_session_id=entry.id) for entry in recent)}


def _ready(**changes: Any) -> History:
    """Thirty held weeks, everything asked, read, measured and agreed."""
    given_: dict[str, Any] = {
        "decisions": (decision(),),
        "screening": (answers(),),
        "pressures": (pressure(),),
        "consents": _consents(),
        "readiness": (readiness(noted_on=_days_ago(1)),),
        "tests": (standard_loop(id=1, tested_on=_days_ago(30)), standard_loop(id=2, tested_on=_days_ago(3))),
        **_planned(base_weeks(30)),
    }
    return history(**(given_ | changes))


def _state(key: str, **changes: Any) -> State:
    return {one.key: one for one in conditions(_ready(**changes), TODAY, RULES)}[key].state


def _without_week(weeks_ago: int, count: int = 30) -> tuple[SessionLog, ...]:
    return tuple(entry for entry in base_weeks(count) if week_start(entry.done_on) != _weeks_ago(weeks_ago))


def test_everything_in_place_is_all_met():
    found = conditions(_ready(), TODAY, RULES)

    assert [one.key for one in found if not one.is_met] == []
    assert all_met(found)
    assert may_promote(found) == ()


def test_nothing_known_meets_nothing_but_what_cannot_fail():
    found = conditions(history(client=YOUNG), TODAY, RULES)

    met = {one.key for one in found if one.is_met}

    assert met == {"no_open_hold", "heart_rate", "emergency_contact"}  # the last two come with the factory's client


def test_the_list_is_complete_and_in_order():
    found = conditions(history(), TODAY, RULES)

    assert tuple(one.key for one in found) == CONDITION_KEYS
    assert {one.key for one in found if one.group is Group.SAFETY} == set(SAFETY_KEYS)


def test_every_condition_says_its_rule_and_what_would_change_it():
    found = conditions(history(holds=(hold(),)), TODAY, RULES)

    assert all(one.why.rule and one.limit and one.value for one in found)
    assert all(one.would_change for one in found if not one.is_met)


@pytest.mark.parametrize(
    ("key", "changes", "state"),
    [
        ("screening", {"screening": (answers(answered_on=_days_ago(30)),)}, MET),
        ("screening", {"screening": (answers(answered_on=_days_ago(31)),)}, NOT_MET),
        ("screening", {"screening": ()}, UNKNOWN),
        ("screening", {"screening": (answers(symptoms=YesNo.UNKNOWN),)}, UNKNOWN),
        ("screening", {"screening": (answers(symptoms=YesNo.YES),)}, NOT_MET),
        ("screening", {"symptoms": (symptom(),)}, NOT_MET),
        ("screening", {"screening": (answers(answered_on=_days_ago(9)),), **_LIFTED}, NOT_MET),
        ("screening", {"screening": (answers(answered_on=_days_ago(7)),), **_LIFTED}, MET),
        ("clearance", {"screening": (answers(disease=YesNo.YES),)}, NOT_MET),
        ("clearance", {"screening": (answers(disease=YesNo.UNKNOWN),)}, UNKNOWN),
        ("clearance", {"screening": (answers(disease=YesNo.YES),), "clearances": (clearance(),)}, MET),
        (
            "clearance",
            {"screening": (answers(disease=YesNo.YES),), "clearances": (clearance(scope=Intensity.LIGHT_MODERATE),)},
            NOT_MET,
        ),
        (
            "clearance",
            {"screening": (answers(disease=YesNo.YES),), "clearances": (clearance(given_on=_days_ago(365)),)},
            MET,
        ),
        (
            "clearance",
            {"screening": (answers(disease=YesNo.YES),), "clearances": (clearance(given_on=_days_ago(366)),)},
            NOT_MET,
        ),
        ("no_open_hold", {"holds": (hold(kind=HoldKind.HEAT, stops=Stops.HARD),)}, NOT_MET),
        ("transition", {"logs": base_weeks(12)}, MET),
        ("transition", {"logs": base_weeks(11)}, NOT_MET),
        ("transition", {"logs": (), "client": client(regularly_active_confirmed_on=_days_ago(9))}, MET),
        ("pressure", {"pressures": (pressure(measured_on=_days_ago(90)),)}, MET),
        ("pressure", {"pressures": (pressure(measured_on=_days_ago(91)),)}, NOT_MET),
        ("pressure", {"pressures": (pressure(systolic_mmhg=159, diastolic_mmhg=99),)}, MET),
        ("pressure", {"pressures": (pressure(systolic_mmhg=160),)}, NOT_MET),
        ("pressure", {"pressures": (pressure(diastolic_mmhg=100),)}, NOT_MET),
        ("pressure", {"pressures": ()}, UNKNOWN),
        ("interval_consent", {"consents": ()}, NOT_MET),
        ("interval_consent", {"consents": _consents(text_version="0")}, NOT_MET),
        ("interval_consent", {"consents": _consents(withdrawn_on=_days_ago(1))}, NOT_MET),
        ("stop_signs", {"consents": ()}, NOT_MET),
        ("pregnancy", {"screening": (answers(answered_on=_days_ago(84)),), "client": YOUNG}, MET),
        ("pregnancy", {"screening": (answers(answered_on=_days_ago(85)),), "client": YOUNG}, NOT_MET),
        ("pregnancy", {"screening": (answers(pregnant=YesNo.UNKNOWN),), "client": YOUNG}, UNKNOWN),
        ("pregnancy", {"screening": (answers(pregnant=YesNo.YES),)}, NOT_MET),
        ("pregnancy", {"screening": (answers(pregnant=YesNo.YES),), "clearances": (clearance(),)}, MET),
        ("pregnancy", {"screening": (), "client": client(sex=Sex.MALE)}, MET),
        ("pregnancy", {"screening": (NOT_ASKED,), "client": YOUNG}, UNKNOWN),
        ("pregnancy", {"screening": (NOT_ASKED,), "client": client(born_on=AGED_56)}, MET),
        ("pregnancy", {"screening": (NOT_ASKED,), "client": client(born_on=None)}, UNKNOWN),
        ("pregnancy", {"screening": (PREGNANT,), "client": client(born_on=AGED_56)}, NOT_MET),
        ("pregnancy", {"screening": (PREGNANT, NOT_ASKED), "client": client(born_on=AGED_56)}, UNKNOWN),
        ("emergency_contact", {"client": client(emergency_confirmed_on=_days_ago(84))}, MET),
        ("emergency_contact", {"client": client(emergency_confirmed_on=_days_ago(85))}, NOT_MET),
        ("emergency_contact", {"client": client(emergency_phone=None)}, UNKNOWN),
    ],
)
def test_safety_conditions(key, changes, state):
    assert _state(key, **changes) is state


_TWO_DAYS = base_week(_weeks_ago(2), minutes=60, days=(0, 2))
_HARDER = tuple(
    log(id=day.toordinal(), done_on=day, talk=None, effort=6.0)
    for day in (_days_ago(7), _days_ago(14), _days_ago(21))
)


def _with_last_of(harder: int) -> tuple[SessionLog, ...]:
    replaced = {entry.done_on for entry in _HARDER[:harder]}
    return tuple(entry for entry in base_weeks(30) if entry.done_on not in replaced) + _HARDER[:harder]


def _unsaid(weeks: int) -> tuple[SessionLog, ...]:
    return tuple(replace(one, talk=None, effort=None) for one in base_weeks(weeks))


@pytest.mark.parametrize(
    ("key", "changes", "state"),
    [
        ("base_weeks", {"logs": base_weeks(26), "planned": ()}, MET),
        ("base_weeks", {"logs": base_weeks(25), "planned": ()}, NOT_MET),
        ("base_weeks", {"logs": base_weeks(13), "planned": (), "client": client(base_weeks_asked=13)}, MET),
        ("base_weeks", {"logs": base_weeks(12), "planned": (), "client": client(base_weeks_asked=13)}, NOT_MET),
        ("base_weeks", {"logs": _without_week(3, 26), "planned": ()}, UNKNOWN),
        ("held_of_eight", {"logs": base_weeks(6), "planned": ()}, MET),
        ("held_of_eight", {"logs": base_weeks(5), "planned": ()}, NOT_MET),
        ("held_of_eight", {"logs": _unsaid(8), "planned": ()}, UNKNOWN),
        ("recent_weeks", {"logs": base_weeks(4, minutes=40), "planned": ()}, MET),
        ("recent_weeks", {"logs": base_weeks(4, minutes=39), "planned": ()}, NOT_MET),
        ("recent_weeks", {"logs": (*_without_week(2), *_TWO_DAYS), "planned": ()}, NOT_MET),
        ("recent_weeks", {"logs": base_weeks(3), "planned": ()}, UNKNOWN),
        ("no_gap", {"logs": (*base_weeks(5), *base_weeks(1))}, MET),
        ("no_gap", {"logs": _without_week(2), "planned": ()}, MET),
        ("no_gap", {"logs": base_weeks(8, before=_weeks_ago(2)), "planned": ()}, NOT_MET),
        ("no_gap", {"logs": ()}, UNKNOWN),
        ("easy_share", {"logs": _with_last_of(2), "planned": ()}, MET),
        ("easy_share", {"logs": _with_last_of(3), "planned": ()}, NOT_MET),
        ("easy_share", {"logs": _unsaid(8), "planned": ()}, UNKNOWN),
        ("adherence", {"planned": ()}, UNKNOWN),
        ("adherence", {"logs": base_weeks(5), "planned": _ready().planned}, UNKNOWN),
        ("easy_outing", {"logs": base_weeks(30, minutes=45)}, MET),
        ("easy_outing", {"logs": base_weeks(30, minutes=44)}, NOT_MET),
        ("easy_outing", {"logs": _unsaid(8)}, UNKNOWN),
        ("readiness", {"readiness": (readiness(not_right_today=True),)}, NOT_MET),
        ("readiness", {"readiness": ()}, UNKNOWN),
        ("standard_loop", {"tests": (standard_loop(),)}, UNKNOWN),
        ("heart_rate", {"client": client(heart_rate_source=" ")}, NOT_MET),
        ("heart_rate", {"client": client(heart_rate_use=HeartRateUse.UNKNOWN)}, UNKNOWN),
        ("heart_rate", {"client": client(heart_rate_use=HeartRateUse.NOT_RELIABLE)}, NOT_MET),
        (
            "heart_rate",
            {"client": client(heart_rate_use=HeartRateUse.NOT_RELIABLE, effort_plan="By talk and effort.")},
            MET,
        ),
    ],
)
def test_practice_conditions(key, changes, state):
    assert _state(key, **changes) is state


@pytest.mark.parametrize(("minutes", "state"), [(33.75, MET), (33.7, NOT_MET)])
def test_adherence_of_three_quarters(minutes, state):
    logs = tuple(replace(entry, minutes=minutes) for entry in _ready().logs)

    assert _state("adherence", logs=logs) is state


def test_adherence_just_short_does_not_read_as_met():
    logs = tuple(replace(entry, minutes=33.6) for entry in _ready().logs)

    found = {one.key: one for one in conditions(_ready(logs=logs), TODAY, RULES)}

    assert found["adherence"].value == "74.7 %"


@pytest.mark.parametrize(
    ("newer", "state"),
    [
        ({}, MET),
        ({"heart_rate_bpm": 123}, MET),
        ({"heart_rate_bpm": 124}, NOT_MET),
        ({"heart_rate_bpm": 124, "duration_s": 2600.0}, MET),
        ({"duration_s": 2700.0 * 1.05}, MET),
        ({"duration_s": 2700.0 * 1.051}, NOT_MET),
        ({"heart_rate_bpm": None}, UNKNOWN),
        ({"distance_m": 5000.0}, UNKNOWN),
        ({"tested_on": _days_ago(27)}, MET),
    ],
)
def test_standard_loop(newer, state):
    loops = (
        standard_loop(id=1, tested_on=_days_ago(40)),
        standard_loop(id=2, **({"tested_on": _days_ago(1)} | newer)),
    )

    assert _state("standard_loop", tests=loops) is state


def _medicine(began: int, lifted: int | None):
    lifted_at = None if lifted is None else at(_days_ago(lifted))
    return hold(kind=HoldKind.MEDICINE_CHANGE, stops=Stops.HARD, began_on=_days_ago(began), lifted_at=lifted_at)


@pytest.mark.parametrize(
    ("change", "state"), [(_medicine(41, 39), NOT_MET), (_medicine(20, 15), MET), (_medicine(0, None), MET)]
)
def test_the_loop_compares_no_heart_rate_across_a_medicine_change(change, state):
    loops = (
        standard_loop(id=1, tested_on=_days_ago(40)),
        standard_loop(id=2, tested_on=_days_ago(1), heart_rate_bpm=140),
    )

    assert _state("standard_loop", tests=loops, holds=(change,)) is state


@pytest.mark.parametrize(("plan", "state"), [(None, NOT_MET), ("By talk and effort.", MET)])
def test_a_change_that_waits_for_its_review_asks_for_an_effort_plan(plan, state):
    assert _state("heart_rate", client=client(effort_plan=plan), holds=(_medicine(3, None),)) is state


def test_an_old_loop_is_unknown():
    loops = (standard_loop(id=1, tested_on=_days_ago(90)), standard_loop(id=2, tested_on=_days_ago(57)))

    assert _state("standard_loop", tests=loops) is UNKNOWN


def test_a_symptom_spoils_the_easy_outing_of_its_day():
    only = (log(done_on=_days_ago(2)),)

    assert _state("easy_outing", logs=only, symptoms=(symptom(felt_on=_days_ago(2)),)) is NOT_MET


def test_imported_weeks_count_and_keep_their_origin():
    imported = tuple(replace(entry, origin=Origin.FILE) for entry in base_weeks(26))

    found = {one.key: one for one in conditions(_ready(logs=imported, planned=()), TODAY, RULES)}["base_weeks"]

    assert found.is_met
    assert ("brought in from a file", "26") in [(figure.name, figure.text) for figure in found.why.figures]


def test_a_week_on_leave_is_passed_over_in_the_last_eight():
    away = leave(from_on=_weeks_ago(3), until_on=_weeks_ago(3) + timedelta(days=6))

    assert _state("held_of_eight", logs=_without_week(3), planned=(), leaves=(away,)) is MET


@pytest.mark.parametrize(
    ("born_on", "asked", "weeks"),
    [
        (TODAY.replace(year=TODAY.year - 60), 13, 13),
        (TODAY.replace(year=TODAY.year - 60), 10, 13),
        (None, 20, 20),
        (TODAY.replace(year=TODAY.year - 60, day=TODAY.day + 1), 13, 26),
        (TODAY.replace(year=TODAY.year - 40), 30, 30),
        (TODAY.replace(year=TODAY.year - 70), None, 26),
    ],
)
def test_base_weeks_asked(born_on, asked, weeks):
    assert base_weeks_for(client(born_on=born_on, base_weeks_asked=asked), TODAY, RULES) == weeks


# Near: one practice condition short by under 10 % or at most 2 weeks (common practice, no published source).


@pytest.mark.parametrize(("weeks", "near"), [(26, False), (25, True), (24, True), (23, False)])
def test_near_by_weeks(weeks, near):
    assert is_near(conditions(_ready(**_planned(base_weeks(weeks))), TODAY, RULES)) is near


def test_not_near_when_a_safety_condition_is_open():
    assert not is_near(conditions(_ready(pressures=(), **_planned(base_weeks(25))), TODAY, RULES))


def test_not_near_when_the_one_condition_is_unknown():
    assert not is_near(conditions(_ready(readiness=()), TODAY, RULES))


# Refusals.


@pytest.mark.parametrize("key", SAFETY_KEYS)
def test_no_reason_overrides_a_safety_condition(key):
    found = tuple(
        replace(one, state=NOT_MET) if one.key == key else one for one in conditions(_ready(), TODAY, RULES)
    )

    assert any("Nobody can override this" in sentence for sentence in may_promote(found, "I know her well."))


@pytest.mark.parametrize("key", SAFETY_KEYS)
def test_calling_a_safety_condition_practice_does_not_help(key):
    found = tuple(
        replace(one, state=NOT_MET, group=Group.PRACTICE) if one.key == key else one
        for one in conditions(_ready(), TODAY, RULES)
    )

    assert may_promote(found, "I know her well.")


@pytest.mark.parametrize("key", PRACTICE_KEYS)
@pytest.mark.parametrize(
    ("reason", "may"), [(None, False), ("  ", False), ("x", False), ("Trained for years before.", True)]
)
def test_a_practice_condition_yields_to_a_reason(key, reason, may):
    found = tuple(
        replace(one, state=UNKNOWN) if one.key == key else one for one in conditions(_ready(), TODAY, RULES)
    )

    assert (may_promote(found, reason) == ()) is may


def test_a_list_with_a_condition_left_out_is_refused():
    assert may_promote(conditions(_ready(), TODAY, RULES)[1:], "A reason that is kept.")
    assert may_promote((), "A reason that is kept.")


@given(st.sets(st.sampled_from(CONDITION_KEYS)), st.sampled_from([State.NOT_MET, State.UNKNOWN]))
def test_only_practice_conditions_ever_yield(keys, state):
    found = tuple(replace(one, state=state if one.key in keys else MET) for one in _FOUND)

    assert (may_promote(found, "A reason that is kept.") == ()) is not bool(keys & set(SAFETY_KEYS))


_FOUND = conditions(_ready(), TODAY, RULES)


# Evidence and consents.


def test_evidence_comes_back_as_it_was():
    found = conditions(history(), TODAY, RULES)

    assert evidence_from(evidence_json(found)) == found


def test_no_evidence_is_an_empty_list():
    assert evidence_from("{}") == ()


@pytest.mark.parametrize("text", ["not json", '{"conditions": [{}]}', "[]"])
def test_broken_evidence_is_refused(text):
    with pytest.raises(DomainError, match="cannot be read"):
        evidence_from(text)


def test_each_consent_has_a_text_with_version_and_hash():
    assert set(CONSENT_TEXTS) == set(ConsentKind)
    assert all(one.sha256 == sha256_of(one.text) and len(one.sha256) == 64 for one in CONSENT_TEXTS.values())


def test_missing_consents_are_named():
    assert missing_consents(_consents(), tuple(ConsentKind)) == (ConsentKind.COACHING, ConsentKind.HEALTH_DATA)


def test_nothing_at_all_is_said_as_none_yet() -> None:
    fresh = history(decisions=(decision(),))

    found = {one.key: one.value for one in conditions(fresh, TODAY, RULES)}

    assert "none held yet" in found.values()
    assert not any(
        value.startswith(("at least 0", "only 0", "0 week", "0 held", "0 day")) for value in found.values()
    )
