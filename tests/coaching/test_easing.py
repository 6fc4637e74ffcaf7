"""One figure after a bad session, wherever it is said: on its page, as the next step, when a target is made.

Common practice, no published source.
"""

from __future__ import annotations

from datetime import date

import pytest

from app.coaching.easing import eased_by, row_words, stepped_back
from app.coaching.execution_next import Went, next_time
from app.coaching.execution_values import Blame, CountsAs, NextTime, Verdict
from app.coaching.next_step import next_step
from app.coaching.people import Mode
from app.coaching.round_figures import figures_of_log
from app.coaching.session_target import SessionTarget, TargetForm
from app.coaching.set_figures import figures_of_set
from app.coaching.target_eased import eased_after
from tests import factories as make
from tests.coaching.test_next_step import went
from tests.coaching.test_session_target import WHY

AIM = SessionTarget(TargetForm.POWER, 200.0, None, None, (), None, "aimed at", WHY)


def _on_its_page(blame: Blame, *, bent: bool) -> NextTime | None:
    rounds = [make.work_round(number=n, power_w=power) for n, power in enumerate((214.0, 207.0, 197.0, 184.0), 1)]
    output, figures = figures_of_log(rounds)
    how = Went(Verdict.FADED, CountsAs.BAD, blame, bent, Mode.INDOOR_RIDE)
    return next_time(figures_of_set(output, figures), how, targets=(200.0,) * 4, rounds_asked=4)


@pytest.mark.parametrize(
    ("blame", "bent", "watts"),
    [
        (Blame.NOT_HELD, False, 190),
        (Blame.NOTHING, False, 190),
        (Blame.NOT_HELD, True, 180),
        (Blame.TARGET_WRONG, False, 180),
        (Blame.TARGET_WRONG, True, 180),
    ],
)
def test_every_page_says_the_same_figure_after_one_bad_session(blame, bent, watts):
    one = went(CountsAs.BAD, target=AIM, blame=blame, had_to_bend=bent)
    step, eased = next_step([one]), eased_after([one], one.mode, one.work_s, date.min)
    page = _on_its_page(blame, bent=bent)

    assert (page.power_w, step.asks.target.value, eased.figure) == (watts, watts, watts)


@pytest.mark.parametrize(
    ("in_a_row", "rounds", "work_s", "says"),
    [
        (1, 4, 240, ""),
        (2, 4, 240, "Two in a row were not held: back to 3 rounds of 4 min."),
        (2, 4, 300, "Two in a row were not held: back to 4 rounds of 4 min."),
        (2, 5, 240, "Two in a row were not held: back to 4 rounds of 4 min."),
        (2, 2, 240, "Two in a row were not held: back to 2 rounds of 4 min."),
        (2, 10, 30, "Two in a row were not held: back to 8 rounds of 30 s."),
        (3, 4, 240, "3 sessions in a row were not held: base for two to four weeks."),
    ],
)
def test_several_in_a_row_go_back_in_rounds_and_then_to_base(
    in_a_row: int, rounds: int, work_s: int, says: str
) -> None:
    assert row_words(in_a_row, rounds, work_s) == says


@pytest.mark.parametrize(("rounds", "work_s"), [(r, w) for r in range(2, 21) for w in (30, 120, 240, 300, 480)])
def test_a_step_back_is_never_more_work(rounds: int, work_s: int) -> None:
    fewer, shorter = stepped_back(rounds, work_s)

    assert fewer * shorter <= rounds * work_s
    assert eased_by(Blame.NOT_HELD, had_to_bend=True, in_a_row=2) == 0
