"""Every form of target side by side: offered only by what is known, never while hard work is stopped."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.execution_values import CountsAs
from app.coaching.fitness_tests import FitnessTest
from app.coaching.holds import HoldKind
from app.coaching.measured import KnownHow, Measured, MeasuredKind
from app.coaching.people import HeartRateUse, Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import DomainError
from app.coaching.screening import YesNo
from app.coaching.session_target import TargetForm
from app.coaching.steps import Part, to_json
from app.coaching.target_plausible import over_ceiling
from app.coaching.target_values import Option, TargetScene, TargetWishes
from app.coaching.targets import (
    chosen_target,
    proposed_of,
    target_options,
    target_refused,
    tried_pace,
    tried_power,
)
from app.physiology.values import Missing
from tests import factories as make
from tests.coaching.target_scenes import ACTIVE, RULES, TODAY, ago, done, five_km, history, measured, runs, scene
from tests.coaching.test_next_step import went
from tests.coaching.test_session_target import POWER

CURVE = measured()
SPEED = measured(
    MeasuredKind.CRITICAL_SPEED, mode=Mode.RUN, value=3.5, value_error=0.05, capacity=180.0, capacity_error=20.0,
    covariance=-0.7,
)  # fmt: skip
HEART = measured(MeasuredKind.HIGHEST_HEART_RATE, value=160.0, capacity=None)
TALK = measured(MeasuredKind.TALK_POWER, value=200.0, capacity=None, how=KnownHow.TALK_TEST)
HURT = make.hold(kind=HoldKind.INJURY, began_on=ago(20), lifted_at=make.at(ago(10)))
THREE = (done(21), done(14), done(7))


def options(one: TargetScene) -> dict[str, Option]:
    return {option.key: option for option in target_options(one)}


def runner(*sessions: Any, tests: tuple[FitnessTest, ...] = (five_km(),), weeks: int = 13, **records: Any) -> Any:
    return history(*sessions, tests=tests, logs=runs(weeks), **records)


# By effort and talk


def test_effort_is_always_there_and_alone_for_whoever_began_untrained():
    new = history(client=make.client(regularly_active_confirmed_on=None))

    found = options(scene(new, CURVE, HEART, TALK))

    assert [key for key, one in found.items() if one.is_offered] == ["effort"]
    assert proposed_of(list(found.values())).key == "effort"
    assert all("paced by effort" in found[key].missing[0] for key in ("heart_rate", "power_curve", "power_talk"))


def test_after_six_hard_sessions_whoever_began_untrained_may_have_more():
    six = [done(7 * n) for n in range(1, 7)]
    known = history(*six, client=make.client(regularly_active_confirmed_on=None))

    assert options(scene(known, CURVE))["power_curve"].is_offered


def test_first_sessions_end_at_effort_six():
    early = history(decisions=(make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=ago(5)),))

    assert options(scene(early))["effort"].target.value == 6
    assert options(scene(history()))["effort"].target.value == 7


# By heart rate


def test_heart_rate_is_85_to_92_percent_of_a_measured_maximum_in_the_last_90_seconds():
    found = options(scene(history(*THREE), HEART))["heart_rate"]

    assert (found.target.low, found.target.high) == (136.0, 147.0)
    assert "last 90 seconds" in found.sentence


@pytest.mark.parametrize(
    ("known", "figures", "session", "says"),
    [
        (history(*THREE[:2]), (HEART,), {}, "recorded only in the first 3"),
        (history(*THREE), (), {}, "a formula from age"),
        (history(*THREE), (measured(MeasuredKind.HIGHEST_HEART_RATE, value=160.0, capacity=None,
                                    measured_on=ago(190)),), {}, "over half a year"),
        (history(*THREE, client=make.client(regularly_active_confirmed_on=ago(200),
                                            heart_rate_use=HeartRateUse.UNKNOWN)), (HEART,), {}, "not recorded"),
        (history(*THREE, client=make.client(regularly_active_confirmed_on=ago(200),
                                            heart_rate_use=HeartRateUse.NOT_RELIABLE)), (HEART,), {}, "not reliable"),
        (history(*THREE, medicine_changes=(ago(10),)), (HEART,), {}, "medicine"),
        (history(*THREE), (HEART,), {"mode": Mode.RUN}, "another way of moving"),
        (history(*THREE), (HEART,), {"mode": Mode.SWIM}, "no heart rate in the water"),
    ],
    ids=("early", "formula", "old", "unknown", "off", "medicine", "mode", "swim"),
)  # fmt: skip
def test_heart_rate_is_not_offered(known, figures, session, says):
    found = options(scene(known, *figures, **session))["heart_rate"]

    assert not found.is_offered
    assert any(says in one for one in found.missing)
    assert not any(one.endswith(".") for one in found.missing)


def test_heart_rate_is_not_looked_at_before_the_second_minute_is_over():
    short = to_json(tuple(_short_rounds(120)))
    three = to_json(tuple(_short_rounds(180)))

    assert not options(scene(history(*THREE), HEART, steps_json=short))["heart_rate"].is_offered
    assert "last 60 seconds" in options(scene(history(*THREE), HEART, steps_json=three))["heart_rate"].sentence


def _short_rounds(work_s: int) -> list[Any]:
    return [replace(one, duration_s=work_s) if one.part is Part.WORK else one for one in make.interval_steps(4)]


def test_heart_rate_is_never_what_is_proposed():
    found = target_options(scene(history(*THREE), HEART))

    assert proposed_of(found).key == "effort"


# By power


def test_power_leaves_a_reserve_and_names_what_decided_it():
    found = options(scene(history(*THREE), CURVE))["power_curve"]

    assert found.target.value == 280
    assert "112 %" in str(found.why)
    assert len(found.models) == 3
    assert all(len(one.left) == 4 and min(one.left) > 0.3 for one in found.models)
    assert all(len(one.left_range) == 4 for one in found.models)


def test_a_first_session_stays_within_103_percent_of_critical_power():
    assert options(scene(history(), CURVE))["power_curve"].target.value == 258


def test_the_next_power_is_at_most_one_step_above_the_last_target():
    first = chosen_target(options(scene(history(), CURVE))["power_curve"], None)

    found = options(scene(history(done(7, first)), CURVE))["power_curve"]

    assert found.target.value == round(258 * 1.025)
    assert "one step" in str(found.why)


def test_power_without_a_range_says_why():
    bare = measured(value_error=None, capacity_error=None, covariance=None, how=KnownHow.ELSEWHERE)

    found = options(scene(history(*THREE), bare))["power_curve"]

    assert "no range" in found.uncertainty
    assert found.is_offered


def test_power_beyond_the_models_reach_is_refused_in_words():
    short = to_json(tuple(_short_rounds(20)))

    found = options(scene(history(*THREE), CURVE, steps_json=short))["power_curve"]

    assert not found.is_offered
    assert any("does not describe people" in one for one in found.missing)


def test_a_recovery_at_critical_power_is_refused_in_words():
    wishes = TargetWishes(recovery_power_w=250.0)

    found = options(scene(history(*THREE), CURVE, wishes=wishes))["power_curve"]

    assert any("must be easier" in one for one in found.missing)


@pytest.mark.parametrize(
    ("figure", "says"), [((), "no critical power"), ((measured(measured_on=ago(190)),), "half a year")]
)
def test_power_needs_a_critical_power_that_still_counts(figure, says):
    assert any(says in one for one in options(scene(history(*THREE), *figure))["power_curve"].missing)


def test_unknown_power_is_the_talk_power_and_five_percent():
    found = options(scene(history(*THREE), TALK))["power_talk"]

    assert (found.target.value, found.target.low, found.target.high) == (210, 200, 220)
    assert proposed_of(target_options(scene(history(*THREE), TALK))).key == "power_talk"


def test_indoor_power_used_outdoors_says_so():
    found = options(scene(history(*THREE), CURVE, mode=Mode.RIDE))["power_curve"]

    assert "often differ" in str(found.why)
    assert found.target.value - found.target.low == pytest.approx(0.04 * found.target.value, abs=0.6)


# By pace


def test_the_first_session_by_pace_begins_15_seconds_slower():
    found = options(scene(runner(), mode=Mode.RUN))["pace_ladder"]

    assert found.target.rounds == pytest.approx((315, 310, 305, 300))


def test_later_the_ladder_is_103_100_99_and_98_percent():
    first = options(scene(runner(), mode=Mode.RUN))["pace_ladder"].target

    found = options(scene(runner(done(7, first, mode=Mode.RUN)), mode=Mode.RUN))["pace_ladder"]

    assert found.target.rounds == pytest.approx((309, 300, 297, 294))


@pytest.mark.parametrize(
    ("known", "says"),
    [
        (runner(tests=()), "no 5 km raced"),
        (runner(tests=(five_km(tested_on=ago(85)),)), "no 5 km raced"),
        (runner(tests=(five_km(mode=Mode.WALK),)), "no 5 km raced"),
        (runner(tests=(five_km(distance_m=4000.0),)), "no 5 km raced"),
        (runner(weeks=9), "Uphill walking"),
        (
            runner(holds=(HURT,)),
            "injury or pain",
        ),
    ],
    ids=("none", "old", "walked", "short", "weeks", "hurt"),
)
def test_pace_is_not_offered(known, says):
    found = options(scene(known, mode=Mode.RUN))["pace_ladder"]

    assert not found.is_offered
    assert any(says in one for one in found.missing)


def test_a_race_84_days_ago_still_counts():
    known = runner(tests=(five_km(tested_on=ago(84)),))

    assert options(scene(known, mode=Mode.RUN))["pace_ladder"].is_offered


def test_uphill_there_is_no_pace():
    found = options(scene(runner(), SPEED, mode=Mode.RUN, place="uphill"))

    assert any("flat ground" in one for one in found["pace_ladder"].missing)
    assert any("flat ground" in one for one in found["pace_curve"].missing)


def test_miles_come_after_the_first_session_by_pace_and_only_in_rounds_long_enough():
    long_rounds = to_json(tuple(_short_rounds(450)))
    first = options(scene(runner(), mode=Mode.RUN))["pace_ladder"].target
    later = runner(done(7, first, mode=Mode.RUN))

    found = options(scene(later, mode=Mode.RUN, steps_json=long_rounds))["pace_miles"]

    assert found.target.distance_m == pytest.approx(1609.344)
    assert found.target.of_round(4) * 1.609344 == pytest.approx(482.803, abs=0.01)
    assert "pace_miles" not in options(scene(later, mode=Mode.RUN))
    assert not options(scene(runner(), mode=Mode.RUN, steps_json=long_rounds))["pace_miles"].is_offered


def test_critical_speed_gives_an_even_pace_with_its_range():
    found = options(scene(runner(*THREE), SPEED, mode=Mode.RUN))["pace_curve"]

    assert 1000 / found.target.value <= 1.03 * 3.5 + 1e-9
    assert [len(one.left) for one in found.models] == [4, 4]
    assert "With the errors of the fit" in found.uncertainty


def test_rounds_may_be_run_by_distance():
    found = options(scene(runner(), mode=Mode.RUN, wishes=TargetWishes(distance_m=800.0)))["pace_ladder"]

    assert found.target.distance_m == 800.0


# Treadmill and pool


def test_the_treadmill_goes_by_incline_and_begins_with_the_last_one():
    found = options(scene(history(*THREE), mode=Mode.TREADMILL))["incline"]
    last = chosen_target(found, 6.0)

    again = options(scene(history(done(7, last, mode=Mode.TREADMILL)), mode=Mode.TREADMILL))["incline"]

    assert (found.target.value, again.target.value) == (None, 6.0)
    assert "Hands off the rails" in found.sentence


def test_the_pool_swims_whole_lengths_nearest_to_four_minutes():
    swim = measured(MeasuredKind.CRITICAL_SPEED, mode=Mode.SWIM, value=1.0, value_error=None, capacity=20.0)

    assert options(scene(history(), swim, mode=Mode.SWIM))["pool"].target.value == 250
    assert options(scene(history(), mode=Mode.SWIM))["pool"].target.value is None


# Choosing


def test_a_coach_may_type_a_gentler_figure_and_never_a_harder_one_than_allowed():
    option = options(scene(history(*THREE), CURVE))["power_curve"]

    typed = chosen_target(option, 250.0)

    assert (typed.value, typed.low, typed.high) == (250, 245, 255)
    assert "280 W offered, 250 taken" in str(typed.why)
    with pytest.raises(DomainError, match="harder than"):
        chosen_target(option, 281.0)


def test_a_quicker_pace_than_allowed_is_refused():
    option = options(scene(runner(*THREE), SPEED, mode=Mode.RUN))["pace_curve"]

    assert chosen_target(option, 330.0).value == 330.0
    with pytest.raises(DomainError, match="harder than"):
        chosen_target(option, 1000 / (3.5 * 1.05))


def test_what_is_not_offered_cannot_be_chosen_and_words_take_no_figure():
    found = options(scene(history(*THREE)))

    with pytest.raises(DomainError, match="not offered"):
        chosen_target(found["power_curve"], None)
    with pytest.raises(DomainError, match="no figure"):
        chosen_target(found["effort"], 9.0)


# The reverse


def test_a_power_tried_says_where_it_runs_out():
    known = scene(history(*THREE), CURVE)

    hard, easy = tried_power(known, 340), tried_power(known, 255)

    assert all("Runs out in round" in one.says for one in hard)
    assert all("All 4 rounds" in one.says for one in easy)
    assert all("real limits exist" in one.says for one in tried_power(known, 240))


def test_a_pace_tried_needs_a_critical_speed():
    known = runner(*THREE)

    assert isinstance(tried_pace(scene(known, mode=Mode.RUN), 260), Missing)
    assert len(tried_pace(scene(known, SPEED, mode=Mode.RUN), 260)) == 2


# Safety


def test_nothing_is_offered_while_hard_work_is_stopped():
    held = history(*THREE, holds=(make.hold(),))

    assert "stopped" in target_refused(held, make.planned_hard(), TODAY, RULES)


@pytest.mark.parametrize(
    "records",
    [
        {"screening": (make.answers(symptoms=YesNo.YES),)},
        {"screening": (make.answers(disease=YesNo.YES),)},
        {"screening": ()},
        {"pressures": (make.pressure(systolic_mmhg=190),)},
    ],
    ids=("symptom", "no paper", "unasked", "pressure"),
)
def test_what_stops_hard_work_stops_its_target(records):
    assert target_refused(history(*THREE, **records), make.planned_hard(), TODAY, RULES) is not None


def test_easy_sessions_and_uneven_rounds_have_no_target():
    fine = history(*THREE, logs=make.base_weeks(30, before=TODAY))
    race = make.planned_hard(kind=SessionKind.RACE)

    assert target_refused(fine, make.planned_hard(), TODAY, RULES) is None
    assert target_refused(fine, make.planned(), TODAY, RULES) is not None
    assert target_refused(fine, race, TODAY, RULES) is not None
    assert target_refused(fine, make.planned_hard(is_cancelled=True), TODAY, RULES) is not None


# Laws


@settings(max_examples=30, deadline=None)
@given(st.integers(2, 8), st.floats(0.1, 0.6), st.floats(150, 400), st.floats(8000, 30_000))
def test_more_rounds_and_more_reserve_never_raise_the_power(rounds, reserve, critical_w, w_prime_j):
    figure = measured(value=critical_w, capacity=w_prime_j, value_error=None, capacity_error=None, covariance=None)

    def offered(count: int, share: float) -> float:
        steps = to_json(make.interval_steps(count))
        known = scene(history(*THREE), figure, steps_json=steps, wishes=TargetWishes(reserve_fraction=share))
        return options(known)["power_curve"].target.value

    here = offered(rounds, reserve)

    assert offered(rounds + 1, reserve) <= here + 1
    assert offered(rounds, reserve + 0.1) <= here + 1
    assert here <= round(1.12 * critical_w) + 1


@settings(max_examples=30, deadline=None)
@given(st.sampled_from(list(Mode)), st.booleans(), st.integers(0, 8), st.booleans())
def test_a_proposal_is_always_offered_and_heart_rate_never_proposed(mode, is_active, count, is_run):
    client = ACTIVE if is_active else make.client(regularly_active_confirmed_on=None)
    sessions = [done(7 * (n + 1)) for n in range(count)]
    known = history(*sessions, client=client, tests=(five_km(),), logs=runs(13 if is_run else 2))
    figures: tuple[Measured, ...] = (CURVE, SPEED, HEART, TALK)

    proposed = proposed_of(target_options(scene(known, *figures, mode=mode)))

    assert proposed.is_offered
    assert proposed.form is not TargetForm.HEART_RATE
    assert is_active or count >= 6 or proposed.form in (TargetForm.EFFORT, TargetForm.POOL)


# Far above what was done


def _rode(days: int, power_w: float) -> Any:
    return done(days, done_rounds=tuple(make.work_round(number=n + 1, power_w=power_w) for n in range(4)))


def test_a_power_far_above_own_rounds_is_not_proposed_and_says_so():
    known = history(_rode(21, 186.0), _rode(14, 186.0), _rode(7, 186.0))

    found = options(scene(known, CURVE, replace(TALK, value=170.0)))

    said = found["power_curve"].far_above
    assert "186 W is the mean of 3 well-executed sessions in the last 8 weeks" in said
    assert proposed_of(list(found.values())).key == "power_talk"
    fitting = options(scene(history(_rode(21, 255.0), _rode(14, 255.0)), CURVE))["power_curve"]
    assert (fitting.is_offered, fitting.far_above) == (True, "")


def test_a_ladder_says_why_its_rounds_lie_so_far_apart():
    two = to_json(make.interval_steps(2))
    first = options(scene(runner(), mode=Mode.RUN, steps_json=two))["pace_ladder"]
    target = first.target
    later = options(scene(runner(done(7, target, mode=Mode.RUN)), mode=Mode.RUN, steps_json=two))["pace_ladder"]

    assert first.sentence.startswith("5:15, 5:00 a km, round by round: the first session by pace begins 15 s a km ")
    assert "slower than 5-km pace (5:00) and ends at it" in first.sentence
    assert later.sentence.startswith("5:09, 5:00 a km, round by round: 103, 100 % of the time at 5-km pace (5:00).")


def test_an_even_target_says_which_form_gave_it_and_which_cap_held_it():
    first = options(scene(history(), CURVE))["power_curve"].sentence
    capped = options(scene(history(*THREE), CURVE))["power_curve"].sentence
    more_left = TargetWishes(reserve_fraction=0.5)
    lowest = options(scene(history(*THREE), CURVE, wishes=more_left))["power_curve"].sentence

    assert "Decided by: a first session stays within 103 % of critical power." in first
    assert "The lowest form (half back after 234 s of rest) gives" in first
    assert "Decided by: no target above 112 % of critical power until" in capped
    assert "Decided by: the lowest of the forms that give an answer." in lowest


def test_a_target_is_over_the_ceiling_unless_own_well_executed_rounds_showed_more():
    # 112 % of 250 W are 280 W.
    raised = replace(POWER, value=282.0, low=None, high=None)
    figures = (measured(value=250.0),)
    shown = [went(CountsAs.GOOD, power_w=284.0)]

    def over(target, done=(), known=figures, day=TODAY):
        return over_ceiling(target, Mode.INDOOR_RIDE, day, done, known)

    assert "280 W" in over(raised)
    assert over(replace(raised, value=280.0)) == ""
    assert over(raised, shown) == ""
    assert over(raised, [went(CountsAs.BAD, power_w=284.0)]) != ""
    assert over(raised, known=()) == ""
    assert over(raised, day=TODAY + timedelta(days=365)) == ""


def test_a_pace_is_held_under_the_ceiling_of_critical_speed():
    # 112 % of 4 m/s are 4.48 m/s, 223 s a kilometre.
    figures = (measured(MeasuredKind.CRITICAL_SPEED, mode=Mode.RUN, value=4.0, capacity=150.0),)
    quick = replace(POWER, form=TargetForm.PACE, value=222.0, low=None, high=None)

    assert "3:43 a km" in over_ceiling(quick, Mode.RUN, TODAY, (), figures)
    assert over_ceiling(replace(quick, value=224.0), Mode.RUN, TODAY, (), figures) == ""


def test_without_own_rounds_the_talk_test_says_what_is_far_above():
    found = options(scene(history(*THREE), CURVE, replace(TALK, value=124.0)))

    assert "talk got short at 124 W" in found["power_curve"].far_above
    assert proposed_of(list(found.values())).key == "power_talk"


def test_a_pace_far_above_own_rounds_on_the_flat_is_not_proposed():
    slow = tuple(make.work_round(number=n + 1, speed_m_per_s=2.9) for n in range(4))
    days = [done(days, mode=Mode.RUN, done_rounds=slow) for days in (14, 7)]

    found = options(scene(runner(*days, tests=()), SPEED, mode=Mode.RUN))

    assert "5:45 a km is the mean of 2 well-executed sessions" in found["pace_curve"].far_above
    assert proposed_of(list(found.values())).key == "effort"


def test_nothing_above_112_percent_of_critical_power_is_proposed_by_any_form():
    shown = [_rode(days, 330.0) for days in (14, 7)]

    found = options(scene(history(*shown), replace(CURVE, capacity=40_000.0), replace(TALK, value=300.0)))

    assert (found["power_curve"].target.value, found["power_talk"].target.value) == (280, 280)
    assert found["power_talk"].hardest == 280


@pytest.mark.parametrize(("value", "capacity"), [(30.0, 20_000.0), (250.0, 50_400.0), (250.0, 4000.0)])
def test_a_critical_power_that_can_hardly_be_gives_no_target(value, capacity):
    found = options(scene(history(*THREE), replace(CURVE, value=value, capacity=capacity)))

    assert "can hardly be" in str(found["power_curve"].missing)


@pytest.mark.parametrize("typed", [None, 240.0, 250.0])
def test_the_range_about_a_power_never_ends_above_what_may_be_typed(typed):
    option = options(scene(history(), CURVE))["power_curve"]

    target = chosen_target(option, typed)

    assert target.value <= target.high <= round(option.hardest)
    assert target.low < target.value
