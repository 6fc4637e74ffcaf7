"""How a hard session counts, from what its log holds."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from app.coaching.executed import Executed, executed_sessions
from app.coaching.execution_values import Blame, Check, CountsAs, Execution, Verdict
from app.coaching.people import Mode
from app.coaching.session_logs import Answer, Posture, RoundDone, SpoiltBy
from app.coaching.session_target import SessionTarget, TargetForm
from tests import factories as make
from tests.coaching.target_scenes import RULES, TODAY, ago, done, history
from tests.coaching.test_session_target import WHY


def executed(target: SessionTarget | None = None, **changes: Any) -> Executed:
    (found,) = executed_sessions(history(done(7, target, **changes)), TODAY, RULES)
    return found


def rounds(**each: Any) -> tuple[RoundDone, ...]:
    """Four complete rounds; each keyword holds one value a round."""
    return tuple(
        make.work_round(number=n + 1, **{name: values[n] for name, values in each.items()}) for n in range(4)
    )


def test_all_rounds_effort_under_eight_and_standing_is_well_executed():
    found = executed()

    assert (found.counts_as, found.blame) == (CountsAs.GOOD, Blame.NOTHING)
    assert found.words == "well executed"
    assert (found.rounds, found.work_s, found.recovery_s) == (4, 240, 240)


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"effort": 8.5}, "effort 8.5 at the end"),
        ({"posture": Posture.HANDS_ON_KNEES}, "hands on knees"),
        ({"done_rounds": rounds()[:3]}, "3 of 4 rounds"),
        ({"done_rounds": (), "answer": Answer.PARTLY}, "partly"),
        ({"done_rounds": rounds(power_w=(260, 258, 252, 249))}, "rounds 4 % apart"),
        ({"done_rounds": rounds(cadence_per_min=(88, 90, 86, 84))}, "cadence 7 % from the second round's"),
    ],
    ids=("effort", "posture", "rounds", "partly", "even", "technique"),
)
def test_one_thing_short_is_not_held(changes, says):
    found = executed(**changes)

    assert (found.counts_as, found.blame) == (CountsAs.BAD, Blame.NOT_HELD)
    assert says in found.words


def test_a_first_half_minute_that_hurt_is_a_wrong_target_and_one_that_did_not_changes_nothing():
    hurt, not_hurt = executed(first_30_hurt=True), executed(first_30_hurt=False)

    assert (hurt.counts_as, hurt.blame) == (CountsAs.BAD, Blame.TARGET_WRONG)
    assert (not_hurt.counts_as, not_hurt.blame) == (CountsAs.GOOD, Blame.NOTHING)


def test_rounds_within_four_per_cent_are_even_and_outside_within_eight():
    powers = (250, 255, 252, 250)

    assert executed(done_rounds=rounds(power_w=powers)).counts_as is CountsAs.GOOD
    assert executed(done_rounds=rounds(power_w=(250, 268, 260, 250))).counts_as is CountsAs.BAD
    outside = executed(mode=Mode.RIDE, done_rounds=rounds(power_w=(250, 268, 260, 250)))
    assert outside.counts_as is CountsAs.GOOD


def test_a_fade_of_more_than_half_the_even_band_is_not_held():
    faded = executed(done_rounds=rounds(power_w=(255, 253, 250, 248)))

    assert faded.counts_as is CountsAs.BAD


def test_a_ladder_is_held_against_its_own_paces():
    ladder = SessionTarget(TargetForm.PACE, None, None, None, (340.0, 300.0, 297.0, 294.0), None, "a race", WHY)
    speeds = tuple(1000 / pace for pace in ladder.rounds)
    ran = {"mode": Mode.RUN, "done_rounds": rounds(speed_m_per_s=speeds)}

    assert executed(ladder, **ran).counts_as is CountsAs.GOOD
    assert executed(None, **ran).counts_as is CountsAs.BAD


@pytest.mark.parametrize("efforts", [(7.5, 7, 7, 7), (7, 8.5, 8, 8)])
def test_too_hard_in_the_first_two_rounds_is_the_targets_fault(efforts):
    found = executed(done_rounds=rounds(effort=efforts))

    assert (found.counts_as, found.blame) == (CountsAs.BAD, Blame.TARGET_WRONG)
    assert found.words.startswith("target wrong")


def test_heat_kit_and_traffic_count_neither_way():
    found = executed(spoilt_by=SpoiltBy.HEAT, effort=10.0)

    assert found.counts_as is CountsAs.NEITHER


@pytest.mark.parametrize("missing", [{"effort": None}, {"posture": None}])
def test_what_was_not_said_is_not_good(missing):
    found = executed(**missing)

    assert found.counts_as is CountsAs.UNKNOWN
    assert "not said" in found.words


def test_readiness_down_within_two_days_is_not_well_executed():
    usual = tuple(
        make.readiness(id=n, noted_on=ago(8 + n), sleep=2, fatigue=2 + n % 2, stress=2, soreness=2)
        for n in range(1, 31)
    )
    worn = tuple(
        make.readiness(id=90 + n, noted_on=ago(7) + timedelta(days=n), sleep=6, fatigue=7, stress=6, soreness=6)
        for n in (0, 1, 2)
    )
    known = history(done(7), readiness=(*usual, *worn))

    found = executed_sessions(known, TODAY, RULES)[0]
    assert (found.counts_as, found.blame) == (CountsAs.BAD, Blame.NOTHING)
    assert found.words == "held, and not well executed: readiness was down within two days"


def test_sessions_come_oldest_first_and_easy_versions_are_left_out():
    easy = done(5, answer=Answer.EASY_VERSION, done_rounds=(), effort=3.0, minutes=30.0)

    found = executed_sessions(history(done(3), easy, done(14, rounds=3)), TODAY, RULES)

    assert [(one.on, one.rounds) for one in found] == [(ago(14), 3), (ago(3), 4)]


def test_power_of_a_session_is_the_mean_of_its_whole_rounds():
    assert executed(done_rounds=rounds(power_w=(250, 252, 250, 252))).power_w == pytest.approx(251)
    assert executed().power_w is None


def test_a_judgement_of_the_recording_takes_the_place_of_what_the_log_says():
    plan, log = done(7)
    judged = Execution(
        verdict=Verdict.FADED,
        counts_as=CountsAs.BAD,
        blame=Blame.NOT_HELD,
        sentence="It faded.",
        reasons=(),
        checks=(Check("even", False, "last 6 % under the first"),),
        next_time=None,
        rounds_done=4,
        rounds_asked=4,
        bent_or_sat=True,
        technique_lost=False,
    )

    (found,) = executed_sessions(history((plan, log)), TODAY, RULES, judged={log.id: judged})

    assert (found.counts_as, found.had_to_bend) == (CountsAs.BAD, True)
    assert found.words == "not held: last 6 % under the first"
