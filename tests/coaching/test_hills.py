"""Which hill fits which round: by hand for each reason, and laws that hold for any rider and any hill."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.easy_version import eased
from app.coaching.effort import Band
from app.coaching.fitness_tests import Protocol
from app.coaching.hill_choice import HillQuestion, held_against, mode_on_hills
from app.coaching.hill_effort import Aim, Sources, body_mass, power_for, standing_aim, uptake_for
from app.coaching.hill_fit import Fit, RideAsked, RoundAsked, instead_words, ride_fit, round_of
from app.coaching.hill_fit_on_foot import FootAsked, foot_fit
from app.coaching.hills import Hill, Surface, told_of_hill, unknown_rider
from app.coaching.measured import KnownHow, Measured, MeasuredKind
from app.coaching.people import Mode, Origin
from app.coaching.plan_changes import day_changes, new_session
from app.coaching.prescriptions import PlannedSession
from app.coaching.reasons import Provenance, Why
from app.coaching.rules import Rules
from app.coaching.session_renderings import calendar_text, client_text
from app.coaching.session_steps import recovery_said
from app.coaching.session_target import SessionTarget, TargetForm, target_to_json
from app.coaching.steps import Part, Step, to_json
from app.coaching.typed_content import place_of, typed_content, typed_of
from app.coaching.typed_session import parse_day
from app.coaching.week_templates import said_to_another
from app.physiology.oxygen_cost import vo2_running_bushman_2020
from app.physiology.values import Missing
from tests import factories
from tests.factories import TODAY

FOUR = RoundAsked(work_s=240, recovery_s=240, rounds=4)
RIDE = RideAsked(FOUR, power_w=180.0, total_mass_kg=85.0, front_teeth=34, rear_teeth=30, wheel_circumference_m=2.1)
RANKS = list(Fit)


def hill(**changes) -> Hill:
    given_ = {
        "id": 7,
        "name": "Quarry hill",
        "length_m": 900.0,
        "slope_fraction": 0.06,
        "surface": Surface.ORDINARY,
        "has_room_to_turn": True,
        "is_exposed": False,
        "is_lit": False,
        "for_riding": True,
        "for_running": True,
        "for_walking": True,
        "note": None,
        "created_at": factories.at(TODAY),
        "person_id": 1,
        "retired_at": None,
        "revision": 1,
    }
    return Hill(**(given_ | changes))


# 180 W move 85 kg up 6 % at 11.3 km/h: 750 m in four minutes, 814 at the far end of the range.
@pytest.mark.parametrize(("length_m", "fit"), [(900, Fit.FITS), (815, Fit.FITS), (780, Fit.JUST), (740, Fit.SHORT)])
def test_a_hill_is_long_enough_only_at_the_far_end_of_the_range(length_m, fit):
    assert ride_fit(hill(length_m=length_m), RIDE).fit is fit


def test_a_short_hill_says_which_round_it_has_room_for():
    found = ride_fit(hill(length_m=450.0), RIDE)

    # 240 s x 450 m / 814 m is 132 s, in steps of ten seconds.
    assert found.against == ("Too short: rounds up to 2:10 min fit.",)


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"has_room_to_turn": False}, "No room to turn."),
        ({"slope_fraction": 0.02, "length_m": 3000.0}, "Under 3 %: the resistance lets go."),
        ({"slope_fraction": 0.1}, "Seated up to 8.2 %."),
    ],
)
def test_a_hill_without_room_too_gentle_or_too_steep_does_not_fit(changes, words):
    found = ride_fit(hill(**changes), RIDE)

    assert found.fit is Fit.NO
    assert words in " ".join(found.against)


def test_a_way_back_longer_than_the_recovery_names_the_rest_it_takes():
    short_rest = replace(RIDE, round=RoundAsked(240, 60, 4))

    found = ride_fit(hill(), short_rest)

    # 751 m at 30 km/h are 90 s, and 20 s for both turns.
    assert found.fit is Fit.NO
    assert "takes 1:50 min: rest 2 min, or rounds of 1:40 min at most." in " ".join(found.against)


def test_an_open_hill_is_tried_with_the_wind_from_both_sides():
    found = ride_fit(hill(is_exposed=True), RIDE)

    assert any("Open to wind" in words and "from behind a round needs" in words for words in found.mind)


def test_when_nothing_fits_a_gentler_hill_is_named_or_indoors():
    assert "3-4 % of at least 1200 m" in instead_words(RIDE)
    assert instead_words(replace(RIDE, power_w=60.0)).startswith("Indoors")


riders = st.builds(
    RideAsked,
    round=st.builds(RoundAsked, st.integers(60, 600), st.integers(60, 600), st.integers(2, 6)),
    power_w=st.floats(70, 420),
    total_mass_kg=st.floats(50, 130),
    front_teeth=st.just(34),
    rear_teeth=st.integers(24, 40),
    wheel_circumference_m=st.floats(1.9, 2.3),
)
hills = st.builds(
    lambda length_m, slope: hill(length_m=length_m, slope_fraction=slope), st.floats(60, 4000), st.floats(0.03, 0.15)
)


@settings(max_examples=40)
@given(hills, riders, st.floats(1, 1500))
def test_a_longer_hill_never_fits_worse(one, asked, more):
    usual, longer = ride_fit(one, asked), ride_fit(replace(one, length_m=one.length_m + more), asked)

    assert RANKS.index(longer.fit) <= RANKS.index(usual.fit)
    assert longer.longest_round_s >= usual.longest_round_s


@settings(max_examples=40)
@given(hills, riders, st.integers(1, 300))
def test_a_longer_recovery_never_fits_worse_and_a_longer_round_never_better(one, asked, more):
    usual = ride_fit(one, asked)
    rested = ride_fit(one, replace(asked, round=replace(asked.round, recovery_s=asked.round.recovery_s + more)))
    longer = ride_fit(one, replace(asked, round=replace(asked.round, work_s=asked.round.work_s + more)))

    assert RANKS.index(rested.fit) <= RANKS.index(usual.fit)
    assert RANKS.index(longer.fit) >= RANKS.index(usual.fit)


@settings(max_examples=40)
@given(hills, riders, st.floats(1, 100))
def test_more_power_is_never_less_seated_and_more_mass_never_more(one, asked, more):
    def is_seated(changed):
        return not any("Too steep" in words for words in ride_fit(one, changed).against)

    assert is_seated(replace(asked, power_w=asked.power_w + more)) >= is_seated(asked)
    assert is_seated(replace(asked, total_mass_kg=asked.total_mass_kg + more)) <= is_seated(asked)


@settings(max_examples=40)
@given(hills, riders)
def test_the_longest_round_named_does_fit_for_length(one, asked):
    longest_s = ride_fit(one, asked).longest_round_s

    if longest_s >= 10:
        shorter = replace(asked, round=replace(asked.round, work_s=min(longest_s, 1200)))
        assert ride_fit(one, shorter).range_m[1] <= one.length_m * (1 + 1e-9)


def test_on_foot_each_round_may_begin_higher_when_the_hill_goes_on():
    walk = FootAsked(RoundAsked(240, 180, 4), Mode.WALK, 25.0)

    # 329 m up at most, 240 m down in three minutes: 89 m higher each time, 597 m for four.
    higher = foot_fit(hill(slope_fraction=0.12, length_m=610.0), walk)
    assert higher.fit is Fit.PARTLY
    assert "Only part of the way back: walking down for 3 min covers about 240 m." in higher.against[0]
    assert "begins about 90 m higher, and 4 rounds go up 600 m in all" in higher.against[0]
    assert foot_fit(hill(slope_fraction=0.12, length_m=580.0), walk).fit is Fit.NO


@settings(max_examples=40)
@given(st.floats(60, 4000), st.floats(0.03, 0.2), st.integers(60, 600), st.sampled_from([Mode.WALK, Mode.RUN]))
def test_no_hill_fits_on_foot_whose_way_back_is_longer_than_the_recovery(length_m, slope, recovery_s, mode):
    found = foot_fit(
        hill(length_m=length_m, slope_fraction=slope), FootAsked(RoundAsked(240, recovery_s, 4), mode, 32.0)
    )

    assert found.fit not in (Fit.FITS, Fit.JUST) or found.back_s <= recovery_s


def test_a_walk_too_steep_for_the_equation_is_tried_by_effort_and_one_too_gentle_is_not():
    walk = FootAsked(FOUR, Mode.WALK, 25.0)

    assert foot_fit(hill(slope_fraction=0.2), walk).fit is Fit.TRY
    assert foot_fit(hill(slope_fraction=0.01), walk).fit is Fit.NO


def test_without_any_effort_known_a_hill_is_to_be_tried():
    held = held_against(
        [hill(), hill(has_room_to_turn=False)],
        HillQuestion(Mode.RIDE, FOUR, None),
        known=factories.history(),
        measured=(),
        rider=unknown_rider(1),
        today=TODAY,
    )

    assert [one.fit for one in held.fits] == [Fit.TRY, Fit.NO]
    assert isinstance(held.effort, Missing)


def test_only_hills_in_use_and_for_that_way_of_moving_are_held_against_it():
    offered = [
        hill(name="out", retired_at=factories.at(TODAY)),
        hill(name="feet", for_riding=False),
        hill(name="wheels"),
    ]

    held = held_against(
        offered,
        HillQuestion(Mode.RIDE, FOUR, 180.0),
        known=factories.history(tests=(factories.standard_loop(weight_kg=70.0),)),
        measured=(),
        rider=unknown_rider(1),
        today=TODAY,
    )

    assert [one.hill.name for one in held.fits] == ["wheels"]
    assert held.mass.value == 84.0
    assert "nobody weighed" in held.mass.comes_from


def measured(kind, value, mode=Mode.RIDE, days_ago=20) -> Measured:
    is_curve = kind in (MeasuredKind.CRITICAL_POWER, MeasuredKind.CRITICAL_SPEED)
    return Measured(
        id=1, client_id=1, kind=kind, mode=mode, measured_on=TODAY - timedelta(days=days_ago), value=value,
        value_error=None, capacity=15000.0 if is_curve else None, capacity_error=None, covariance=None,
        how=KnownHow.LABORATORY, fitted_form=None, trials_json="[]", note=None, origin=Origin.CLINIC,
        entered_at=factories.at(TODAY), person_id=1, set_aside_at=None, set_aside_by=None,
    )  # fmt: skip


def target(form, value) -> SessionTarget:
    why = Why((), "As the coach chose.", Provenance.COMMON_PRACTICE)
    return SessionTarget(form, value, None, None, (), None, "typed", why)


def aim(form, value, on=TODAY) -> Aim:
    return Aim(target(form, value), on, "the target of the session")


def given_on(day, value=240.0, **changes) -> PlannedSession:
    kept = replace(target(TargetForm.POWER, value), figure_id=changes.pop("figure_id", None))
    return factories.planned_hard(planned_on=day, mode=Mode.RIDE, target_json=target_to_json(kept), **changes)


def test_every_page_holds_hills_against_the_target_that_stands():
    own, past = given_on(TODAY, 250.0), given_on(TODAY - timedelta(days=5), 230.0)
    ahead = [given_on(TODAY + timedelta(days=5 * n), 240.0 + n) for n in (1, 2)]

    def value(sessions, own_one=None):
        return standing_aim(sessions, own_one, Mode.RIDE, (), TODAY).target.value

    assert value([past, *ahead], own) == 250.0
    assert value([past, *ahead]) == 241.0
    assert value([past]) == 230.0
    assert standing_aim([given_on(TODAY - timedelta(days=60))], None, Mode.RIDE, (), TODAY) is None
    assert standing_aim(ahead, None, Mode.RUN, (), TODAY) is None


def test_a_target_from_a_figure_set_aside_is_no_aim():
    figure = replace(measured(MeasuredKind.CRITICAL_POWER, 185.0), set_aside_at=factories.at(TODAY))

    assert standing_aim([given_on(TODAY, figure_id=figure.id)], None, Mode.RIDE, (figure,), TODAY) is None


def test_nothing_from_before_four_weeks_off_says_how_long_a_hill_has_to_be():
    rounds = (factories.work_round(power_w=200.0),)
    away = factories.told_away(from_on=TODAY - timedelta(days=30), until_on=TODAY - timedelta(days=2))
    known = factories.history(
        logs=(factories.log(mode=Mode.RIDE, done_on=TODAY - timedelta(days=31), rounds=rounds),), told_away=(away,)
    )
    before = aim(TargetForm.POWER, 205.0, on=TODAY - timedelta(days=32))
    asked = Sources(known, (measured(MeasuredKind.CRITICAL_POWER, 185.0, days_ago=40),), before, None, TODAY)

    found = power_for(asked, Missing("not weighed"))

    assert isinstance(found, Missing)
    assert "before 29 days off until Sat 3 Oct" in found.reason
    fresh = replace(asked, measured=(measured(MeasuredKind.CRITICAL_POWER, 170.0, days_ago=1),))
    assert power_for(fresh, Missing("not weighed")).value == 170.0


def test_a_hill_is_gone_up_as_the_next_rounds_go_or_as_the_client_moves_most():
    runner = factories.history(logs=tuple(factories.log(id=n, mode=Mode.RUN) for n in range(2)))

    assert mode_on_hills(runner, [Mode.INDOOR_RIDE]) is Mode.RIDE
    assert mode_on_hills(runner, [Mode.ROW]) is Mode.RUN
    assert mode_on_hills(factories.history(), []) is Mode.WALK


def test_the_power_is_taken_from_what_stands_nearest_to_the_session():
    rounds = (factories.work_round(power_w=190.0), factories.work_round(power_w=210.0, number=2))
    known = factories.history(logs=(factories.log(mode=Mode.RIDE, done_on=TODAY - timedelta(days=7), rounds=rounds),))
    everything = Sources(
        known, (measured(MeasuredKind.CRITICAL_POWER, 185.0),), aim(TargetForm.POWER, 205.0), 150.0, TODAY
    )
    nothing = Missing("not weighed")

    def value(asked):
        return power_for(asked, nothing).value

    assert value(everything) == 150.0
    assert value(replace(everything, typed=None)) == 205.0
    assert value(replace(everything, typed=None, aim=None)) == 200.0
    before = aim(TargetForm.POWER, 205.0, on=TODAY - timedelta(days=8))
    assert value(replace(everything, typed=None, aim=before)) == 200.0
    bare = Sources(factories.history(), everything.measured, None, None, TODAY)
    assert value(bare) == 185.0
    talk = replace(bare, measured=(measured(MeasuredKind.TALK_POWER, 100.0),))
    assert value(talk) == pytest.approx(105.0)
    old = replace(bare, measured=(measured(MeasuredKind.CRITICAL_POWER, 185.0, days_ago=300),))
    assert isinstance(power_for(old, nothing), Missing)


def test_a_runners_uptake_follows_the_pace_on_the_flat():
    asked = Sources(factories.history(), (), aim(TargetForm.PACE, 300.0), None, TODAY)

    assert uptake_for(asked, Mode.RUN).value == pytest.approx(vo2_running_bushman_2020(200.0).value)
    assert uptake_for(replace(asked, typed=240.0), Mode.RUN).value == pytest.approx(
        vo2_running_bushman_2020(250.0).value
    )


def test_without_rounds_a_walker_goes_by_a_share_of_vo2max():
    lab = factories.standard_loop(protocol=Protocol.LABORATORY, value=40.0, unit="mL/kg/min", error=2.0)
    asked = Sources(factories.history(tests=(lab,)), (), None, None, TODAY)

    assert uptake_for(asked, Mode.WALK).value == pytest.approx(34.0)


def test_the_newer_of_two_masses_counts():
    rider = replace(unknown_rider(1), body_mass_kg=71.0, body_mass_on=TODAY - timedelta(days=3))
    known = factories.history(tests=(factories.standard_loop(weight_kg=74.0, tested_on=TODAY - timedelta(days=9)),))

    assert body_mass(rider, known).value == 71.0
    assert body_mass(unknown_rider(1), known).value == 74.0
    assert isinstance(body_mass(unknown_rider(1), factories.history()), Missing)


def test_a_client_reads_how_a_hill_is_done_safely_and_nothing_of_one_out_of_use():
    ridden = " ".join(told_of_hill(hill(note="Turn in the yard."), Mode.RIDE))
    walked = " ".join(told_of_hill(hill(is_lit=True), Mode.WALK))

    assert "Turn in the yard." in ridden
    assert "daylight" in ridden
    assert "room to turn" in ridden
    assert "30 km/h at most" in ridden
    assert "pedal easily there until the next" in ridden
    assert "begin the next round where you are" in walked
    assert "Never stand still after the last round" in ridden
    assert "Ice, smoke or thunder: indoors" in walked
    assert "lamps" in walked
    out = told_of_hill(hill(retired_at=factories.at(TODAY), note="Turn in the yard."), Mode.RIDE)
    assert len(out) == 1
    assert "out of use" in out[0]


@pytest.mark.parametrize(
    ("mode", "words"),
    [(Mode.RIDE, "roll back to where it began"), (Mode.RUN, "walk or jog down"), (Mode.WALK, "walk down calmly")],
)
def test_rounds_on_a_hill_say_where_the_recovery_is_taken(mode, words):
    typed = parse_day(f"4 x 4 min hard, 4 easy, uphill {mode.value}")[0]
    content = typed_content(typed, age=40, first_of_phase=False, rules=Rules())
    session = new_session(content, client_id=1, number=1, on=TODAY, mode=mode, place="uphill", at=factories.at(TODAY))

    assert words in client_text(session).body
    assert words in calendar_text(session).body
    elsewhere = recovery_said(content.steps_json, mode, is_uphill=False)
    assert words not in elsewhere
    assert recovery_said(elsewhere, mode, is_uphill=True) == content.steps_json


def test_recovery_words_of_the_coachs_own_stay_on_a_hill():
    own = to_json((Step(Part.RECOVERY, 240, Band.EASY, "Round the chapel, slowly."),))

    assert recovery_said(own, Mode.RUN, is_uphill=True) == own


UPHILL_RIDE = factories.planned_hard(mode=Mode.RIDE, place="uphill on Quarry hill", hill_id=7)


def test_a_hill_stays_when_the_rounds_change_and_goes_with_the_way_of_moving():
    on_hill = replace(_made("4 x 4 min hard, 4 easy, uphill ride"), hill_id=7, place="uphill on Quarry hill")
    before = [(typed_of(on_hill), on_hill)]

    fewer = day_changes(before, parse_day("3 x 4 min hard, 4 easy, uphill ride"), _made_of)[0].after
    indoors = day_changes(before, parse_day("3 x 4 min hard, 4 easy, indoor ride"), _made_of)[0].after

    assert (fewer.place, fewer.hill_id) == ("uphill on Quarry hill", 7)
    assert (indoors.place, indoors.hill_id) == (None, None)


def test_another_client_gets_the_word_uphill_and_not_the_hill():
    said = said_to_another(UPHILL_RIDE)

    assert (said.place, said.hill_id) == ("uphill", None)


def test_the_easy_version_leaves_the_hill():
    assert (eased(UPHILL_RIDE).place, eased(UPHILL_RIDE).hill_id) == (None, None)


def test_the_round_of_a_session_is_its_longest_with_the_shortest_recovery():
    assert round_of(factories.planned_hard()) == RoundAsked(240, 240, 4)
    assert round_of(factories.planned()) is None


def _made(words):
    return _made_of(parse_day(words)[0])


def _made_of(typed):
    content = typed_content(typed, age=40, first_of_phase=False, rules=Rules())
    place = place_of(typed)
    return new_session(content, client_id=1, number=1, on=TODAY, mode=typed.mode, place=place, at=factories.at(TODAY))
