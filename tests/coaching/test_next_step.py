"""What comes next: two good make one step, one bad is lowered, two go back, three go to base."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.executed import Executed
from app.coaching.execution_values import Blame, Check, CountsAs
from app.coaching.next_step import Asked, Dimension, Looks, NextStep, Way, next_step, raised
from app.coaching.people import Mode
from app.coaching.session_target import SessionTarget, TargetForm
from tests.coaching.test_session_target import POWER, WHY

GOOD, BAD, NEITHER, UNKNOWN = CountsAs.GOOD, CountsAs.BAD, CountsAs.NEITHER, CountsAs.UNKNOWN


def went(counts_as: CountsAs, number: int = 1, **changes: Any) -> Executed:
    given: dict[str, Any] = {
        "on": date(2026, 9, 1) + timedelta(days=7 * number),
        "mode": Mode.INDOOR_RIDE,
        "title": "Rounds",
        "rounds": 4,
        "work_s": 240,
        "recovery_s": 240,
        "target": None,
        "counts_as": counts_as,
        "blame": Blame.NOT_HELD if counts_as is BAD else Blame.NOTHING,
        "had_to_bend": False,
        "checks": (Check("stood afterwards", counts_as is GOOD, "hands on knees"),),
    }
    return Executed(**(given | changes))


def after(*counts: CountsAs, **changes: Any) -> NextStep:
    return next_step([went(one, n, **changes) for n, one in enumerate(counts)])


def asked(step: NextStep) -> tuple[int, int, int]:
    assert isinstance(step.asks, Asked)
    return step.asks.rounds, step.asks.work_s, step.asks.recovery_s


def test_nothing_done_yet_stays_as_planned():
    step = after()

    assert (step.way, step.asks) == (Way.SAME, None)


def test_two_then_three_then_four_rounds_while_they_are_learnt():
    assert asked(after(GOOD, rounds=2)) == (3, 240, 240)
    step = next_step([went(GOOD, 0, rounds=2), went(GOOD, 1, rounds=3)])
    assert asked(step) == (4, 240, 240)


def test_one_good_one_is_repeated():
    step = after(BAD, BAD, GOOD, target=POWER)

    assert (step.way, step.dimension) == (Way.SAME, Dimension.NOTHING)
    assert step.asks.target == POWER


def test_two_good_ones_at_four_rounds_raise_the_target_by_two_and_a_half_percent():
    step = after(GOOD, GOOD, target=POWER)

    assert (step.way, step.dimension) == (Way.HARDER, Dimension.TARGET)
    assert asked(step) == (4, 240, 240)
    assert step.asks.target.value == round(260 * 1.025)


def test_a_step_above_the_ceiling_is_none_and_longer_rounds_follow_at_the_same_target():
    looks = Looks(over_ceiling=lambda target: "nothing above 112 %: 260 W" if target.value > 260 else "")

    step = next_step([went(GOOD, 0, target=POWER), went(GOOD, 1, target=POWER)], looks=looks)

    assert (step.dimension, step.asks.target) == (Dimension.LONGER_ROUNDS, POWER)
    assert step.sentence.startswith("The target stays: nothing above 112 %: 260 W. Longer rounds")


def test_a_step_far_above_what_was_done_is_not_proposed_and_nothing_else_gets_harder():
    looks = Looks(far_above=lambda _target: "Far above what was done. Sure?")

    step = next_step([went(GOOD, 0, target=POWER), went(GOOD, 1, target=POWER)], looks=looks)

    assert (step.way, step.asks.target) == (Way.SAME, POWER)
    assert "266 W, is not proposed. Far above what was done" in step.sentence


def test_after_the_raised_target_come_longer_rounds_at_the_old_one():
    harder = raised(POWER)
    done = [went(GOOD, 0, target=POWER), went(GOOD, 1, target=POWER)]

    step = next_step([*done, went(GOOD, 2, target=harder), went(GOOD, 3, target=harder)])

    assert step.dimension is Dimension.LONGER_ROUNDS
    assert asked(step) == (4, 300, 180)
    assert step.asks.target == POWER


def test_one_good_one_at_the_raised_target_is_repeated_first():
    done = [went(GOOD, 0, target=POWER), went(GOOD, 1, target=POWER), went(GOOD, 2, target=raised(POWER))]

    assert next_step(done).way is Way.SAME


def test_without_figures_longer_rounds_follow_four_good_rounds():
    assert asked(after(GOOD, GOOD)) == (4, 300, 180)


def test_the_fifth_round_comes_last_and_then_nothing_more():
    assert asked(after(GOOD, GOOD, work_s=300, recovery_s=180)) == (5, 240, 240)
    step = after(GOOD, GOOD, rounds=5)
    assert (step.way, asked(step)) == (Way.SAME, (5, 240, 240))
    assert "Rest is shortened last" in step.sentence


def test_one_bad_one_is_five_percent_lower_and_ten_after_bending():
    assert after(GOOD, BAD, target=POWER).asks.target.value == pytest.approx(247)
    assert after(GOOD, BAD, target=POWER, had_to_bend=True).asks.target.value == pytest.approx(234)


def test_lowered_and_then_good_twice_is_raised_from_there():
    low = SessionTarget(TargetForm.POWER, 247.0, None, None, (), None, "lowered", WHY)

    step = next_step([went(BAD, 0, target=POWER), went(GOOD, 1, target=low), went(GOOD, 2, target=low)])

    assert step.dimension is Dimension.TARGET
    assert step.asks.target.value == round(247 * 1.025)


def test_two_bad_ones_go_back_a_round_and_ask_about_life():
    step = after(BAD, BAD)

    assert (step.way, asked(step)) == (Way.EASIER, (3, 240, 240))
    assert any("sleep" in one for one in step.beside)
    assert asked(after(BAD, BAD, work_s=300, recovery_s=180)) == (4, 240, 240)
    assert asked(after(BAD, BAD, rounds=2)) == (2, 240, 240)


def test_three_bad_ones_go_to_base_and_nothing_is_written_by_a_click():
    step = after(BAD, BAD, BAD)

    assert (step.way, step.dimension, step.asks) == (Way.EASIER, Dimension.PHASE, None)
    assert "base for two to four weeks" in step.sentence


def test_a_wrong_target_is_a_tenth_lower_and_nobodys_failure():
    wrong = [went(BAD, n, target=POWER, blame=Blame.TARGET_WRONG) for n in range(3)]

    step = next_step(wrong)

    assert step.asks.target.value == pytest.approx(234)
    assert "wrong, not the client" in step.sentence


def test_a_spoilt_session_neither_breaks_nor_makes_a_row():
    assert after(GOOD, NEITHER, GOOD, target=POWER).dimension is Dimension.TARGET
    assert after(BAD, NEITHER, BAD).dimension is Dimension.ROUNDS


def test_an_unknown_end_is_asked_about_before_anything_is_raised():
    step = after(GOOD, UNKNOWN, target=POWER)

    assert (step.way, step.asks.target) == (Way.SAME, POWER)
    assert "Ask how it ended" in step.sentence


def test_nothing_moves_while_hard_work_is_stopped():
    step = next_step([went(GOOD, 0), went(GOOD, 1)], stopped=("fever",))

    assert (step.way, step.asks) == (Way.HOLD, None)
    assert "fever" in step.sentence


def test_two_missed_or_bad_in_four_weeks_on_two_a_week_go_back_to_one():
    done = [went(GOOD, 0), went(BAD, 1), went(GOOD, 2)]

    assert next_step(done, is_on_two=True, missed_lately=1).dimension is Dimension.PHASE
    assert next_step(done, is_on_two=True).dimension is not Dimension.PHASE
    assert next_step(done, missed_lately=1).dimension is not Dimension.PHASE


@pytest.mark.parametrize(
    ("target", "figure"),
    [
        (SessionTarget(TargetForm.PACE, None, None, None, (309.0, 300.0), None, "a race", WHY), (306.0, 297.0)),
        (SessionTarget(TargetForm.INCLINE, 6.0, None, None, (), None, "found", WHY), 7.0),
    ],
)
def test_a_step_is_three_seconds_a_kilometre_or_one_percent_of_incline(target, figure):
    assert figure in (raised(target).value, raised(target).rounds)


def test_words_and_heart_rate_are_not_raised():
    assert raised(SessionTarget(TargetForm.EFFORT, 7.0, None, None, (), None, "effort", WHY)) is None
    assert raised(SessionTarget(TargetForm.HEART_RATE, None, 136.0, 147.0, (), None, "a test", WHY)) is None


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.sampled_from(list(CountsAs)), min_size=1, max_size=8),
    st.integers(2, 5),
    st.sampled_from(((240, 240), (300, 180))),
    st.sampled_from((None, POWER)),
)
def test_at_most_one_thing_gets_harder_and_after_a_bad_one_nothing_does(counts, rounds, shape, target):
    work_s, recovery_s = shape
    step = after(*counts, rounds=rounds, work_s=work_s, recovery_s=recovery_s, target=target)

    if step.asks is not None:
        is_longer = (step.asks.work_s, step.asks.recovery_s) == (300, 180) != shape
        harder = (step.asks.rounds > rounds, is_longer, target is not None and step.asks.target.value > target.value)
        assert sum(harder) <= 1
        relevant = [one for one in counts if one is not NEITHER]
        assert not any(harder) or relevant[-1] is GOOD
