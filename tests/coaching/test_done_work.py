"""One done session on its own: minutes by band, every clause that makes it hard, and what counts for progress.

Common practice, no published source, as the practice's own list of definitions says.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.done_work import (
    HardDone,
    MinutesByBand,
    complete_rounds,
    done_minutes,
    is_endurance,
    is_hard,
    is_hard_done,
    minutes_by_band,
    planned_minutes_by_band,
)
from app.coaching.effort import Band, Talk
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SpoiltBy
from app.coaching.steps import Part, Step, to_json
from tests.factories import log, planned, planned_hard, work_round

RULES = Rules()


def bands(done, plan=None, *, after_transition: bool = True) -> MinutesByBand:
    return minutes_by_band(done, plan, after_transition=after_transition, rules=RULES)


def hard(plan=None, **changes) -> HardDone | None:
    return is_hard_done(log(**changes), plan, RULES)


def rounds(*complete: bool, **changes):
    return tuple(work_round(number=n, is_complete=done, **changes) for n, done in enumerate(complete, 1))


def of_steps(*parts: tuple[int, Band]):
    """A plan of stretches of so many minutes in a band."""
    return planned(steps_json=to_json(tuple(Step(Part.MAIN, minutes * 60, band, "On.") for minutes, band in parts)))


def test_minutes_add_up_band_by_band() -> None:
    some, more = MinutesByBand(1, 10, 100, 1000), MinutesByBand(2, 20, 200, 2000)

    assert some + more == MinutesByBand(3, 30, 300, 3000)
    assert (some.known, some.total) == (111, 1111)
    assert MinutesByBand() == MinutesByBand(0, 0, 0, 0)


@pytest.mark.parametrize(
    ("kind", "mode", "is_one"),
    [
        (SessionKind.EASY, Mode.WALK, True),
        (SessionKind.STRENGTH, Mode.WALK, False),
        (SessionKind.EASY, Mode.STRENGTH, False),
        (SessionKind.STRENGTH, Mode.STRENGTH, False),
    ],
)
def test_strength_is_no_endurance_by_its_kind_or_its_mode(kind: SessionKind, mode: Mode, is_one: bool) -> None:
    assert is_endurance(log(kind=kind, mode=mode)) is is_endurance(planned(kind=kind, mode=mode)) is is_one


@pytest.mark.parametrize(
    ("changes", "minutes"),
    [({}, 45), ({"minutes": None}, 0), ({"answer": Answer.NOT_DONE}, 0), ({"minutes": 0.5}, 0.5)],
)
def test_what_was_not_done_has_no_minutes(changes: dict, minutes: float) -> None:
    assert done_minutes(log(**changes)) == minutes


# From rounds; else the plan's steps scaled to what was done; else the whole by talk, then effort.


@pytest.mark.parametrize(
    ("effort", "found"),
    [
        (None, MinutesByBand(easy=26, hard=4)),
        (7, MinutesByBand(easy=26, hard=4)),
        (6, MinutesByBand(easy=26, middle=4)),
        (4, MinutesByBand(easy=30)),
    ],
)
def test_a_rounds_effort_says_its_band_and_the_rest_is_easy(effort: float | None, found: MinutesByBand) -> None:
    assert bands(log(minutes=30, rounds=(work_round(effort=effort),))) == found


def test_rounds_of_different_efforts_are_kept_apart() -> None:
    three = tuple(work_round(number=n, effort=n + 3) for n in (1, 2, 4))

    assert bands(log(minutes=12, rounds=three)) == MinutesByBand(easy=4, middle=4, hard=4)


def test_rounds_longer_than_the_whole_leave_nothing_around_them() -> None:
    assert bands(log(minutes=3, rounds=(work_round(),))) == MinutesByBand(hard=4)


def test_half_a_minute_has_its_band_and_none_has_none() -> None:
    assert bands(log(minutes=0.5)) == MinutesByBand(easy=0.5)
    assert bands(log(minutes=0, rounds=(work_round(),))) == MinutesByBand()
    assert bands(log(answer=Answer.NOT_DONE, rounds=(work_round(),))) == MinutesByBand()


MIXED = of_steps((30, Band.EASY), (6, Band.MIDDLE), (4, Band.HARD))


@pytest.mark.parametrize(
    ("answer", "found"),
    [
        (Answer.AS_PLANNED, MinutesByBand(15, 3, 2)),
        (Answer.PARTLY, MinutesByBand(15, 3, 2)),
        (Answer.EASY_VERSION, MinutesByBand(easy=20)),
        (Answer.SOMETHING_ELSE, MinutesByBand(easy=20)),
    ],
)
def test_the_plan_is_scaled_only_to_what_was_done_of_it(answer: Answer, found: MinutesByBand) -> None:
    assert bands(log(answer=answer, minutes=20, talk=Talk.CHAT), MIXED) == found


@pytest.mark.parametrize(
    ("plan", "effort", "found"),
    [
        (of_steps((40, Band.EASY)), 6, MinutesByBand(middle=40)),
        (of_steps((40, Band.EASY)), 8, MinutesByBand(hard=40)),
        (of_steps((40, Band.EASY)), 3, MinutesByBand(easy=40)),
        (of_steps((20, Band.EASY), (20, Band.MIDDLE)), 6, MinutesByBand(easy=20, middle=20)),
        (of_steps((20, Band.EASY), (20, Band.MIDDLE)), 8, MinutesByBand(hard=40)),
        (of_steps((20, Band.EASY), (20, Band.HARD)), 8, MinutesByBand(easy=20, hard=20)),
        (of_steps((20, Band.EASY), (20, Band.HARD)), 3, MinutesByBand(easy=20, hard=20)),
        (of_steps((20, Band.EASY), (20, Band.HARD)), None, MinutesByBand(easy=20, hard=20)),
        (of_steps((40, Band.MIDDLE)), 6, MinutesByBand(middle=40)),
        (of_steps((39, Band.EASY), (1, Band.HARD)), 6, MinutesByBand(easy=39, hard=1)),
        (of_steps((1, Band.EASY)), None, MinutesByBand(easy=40)),
        (of_steps(), 6, MinutesByBand(middle=40)),
        (of_steps(), None, MinutesByBand(unknown=40)),
    ],
)
def test_felt_harder_than_anything_planned_it_is_counted_by_the_answer(plan, effort, found: MinutesByBand) -> None:
    assert bands(log(minutes=40, talk=None, effort=effort), plan) == found


def test_the_third_talk_answer_counts_by_the_transition_with_a_plan_too() -> None:
    done = log(minutes=40, talk=Talk.SENTENCES)

    assert bands(done, of_steps((40, Band.EASY)), after_transition=False) == MinutesByBand(middle=40)
    assert bands(done, of_steps((40, Band.EASY)), after_transition=True) == MinutesByBand(easy=40)


@pytest.mark.parametrize(
    ("plan", "found"),
    [
        (of_steps((30, Band.EASY), (9, Band.MIDDLE), (6, Band.HARD)), MinutesByBand(30, 9, 6)),
        (of_steps(), MinutesByBand(unknown=45)),
        (planned(steps_json="{"), MinutesByBand(unknown=45)),
    ],
)
def test_a_planned_session_has_its_minutes_by_its_steps(plan, found: MinutesByBand) -> None:
    assert planned_minutes_by_band(plan) == found


# Hard session, done: each clause at its limit and just short of it.


@pytest.mark.parametrize(
    ("changes", "because"),
    [
        ({}, None),
        ({"rounds": rounds(True)}, ("1 complete work rounds",)),
        ({"rounds": rounds(True, True, effort=6)}, ("2 complete work rounds",)),
        ({"rounds": rounds(False)}, None),
        ({"rounds": rounds(False, False)}, ("8 min of hard work",)),
        ({"rounds": rounds(False, False, duration_s=239)}, None),
        ({"minutes": 8, "talk": None, "effort": 7}, ("8 min of hard work",)),
        ({"minutes": 7.9, "talk": None, "effort": 7}, None),
        ({"minutes": 20, "effort": 7}, ("20 min at effort 7",)),
        ({"minutes": 19.9, "effort": 7}, None),
        ({"minutes": 20, "effort": 6.9}, None),
        ({"minutes": 20, "effort": None}, None),
        ({"minutes": 5, "talk": Talk.FEW_WORDS}, ("main part: only a few words",)),
        ({"minutes": 5, "felt_all_out": True}, ("a race, a test or felt all-out",)),
        ({"minutes": 5, "kind": SessionKind.RACE}, ("a race, a test or felt all-out",)),
        ({"minutes": 5, "kind": SessionKind.TEST}, None),
        ({"answer": Answer.NOT_DONE, "felt_all_out": True, "rounds": rounds(True)}, None),
        ({"kind": SessionKind.STRENGTH, "felt_all_out": True}, None),
        ({"mode": Mode.STRENGTH, "felt_all_out": True}, None),
    ],
)
def test_each_clause_alone_makes_a_session_hard(changes: dict, because: tuple[str, ...] | None) -> None:
    found = hard(**changes)

    assert (None if found is None else found.because) == because


def test_a_test_is_hard_when_its_plan_is() -> None:
    done = {"kind": SessionKind.TEST, "minutes": 5}

    assert hard(planned_hard(kind=SessionKind.TEST), **done) is not None
    assert hard(planned(kind=SessionKind.TEST), **done) is None
    assert hard(planned_hard(), minutes=5, answer=Answer.SOMETHING_ELSE) is None
    # 20 of 57 min: five and a half hard ones, by the plan's steps.
    assert hard(planned_hard(), minutes=20, kind=SessionKind.INTERVALS, answer=Answer.PARTLY) is None


def test_a_test_without_hard_steps_is_hard_all_the_same_when_its_plan_says_so() -> None:
    found = hard(planned(kind=SessionKind.TEST, is_hard=True), kind=SessionKind.TEST)

    assert found == HardDone(("a race, a test or felt all-out",), counts_for_progress=False)


SAID_NOTHING = {"talk": None, "effort": None}
EIGHT_HARD = of_steps((30, Band.EASY), (8, Band.HARD))


@pytest.mark.parametrize(
    ("plan", "changes", "because"),
    [
        (EIGHT_HARD, {"minutes": 38}, ("8 min of hard work",)),
        (EIGHT_HARD, {"minutes": 37}, None),
        (EIGHT_HARD, {"minutes": 38, "talk": Talk.CHAT, "effort": 3}, ("8 min of hard work",)),
        (EIGHT_HARD, {"minutes": 38, "answer": Answer.PARTLY}, ("8 min of hard work",)),
        (EIGHT_HARD, {"minutes": 38, "answer": Answer.SOMETHING_ELSE}, None),
        (EIGHT_HARD, {"minutes": None}, None),
        (of_steps((4, Band.EASY), (1, Band.HARD)), {"minutes": 60}, ("12 min of hard work",)),
        (of_steps((10, Band.HARD)), {"minutes": 10}, ("10 min of hard work",)),
        (of_steps((10, Band.EASY), (30, Band.MIDDLE)), {"minutes": 40}, None),
        (None, {"answer": Answer.SOMETHING_ELSE}, None),
        (planned(steps_json="no steps"), {"answer": Answer.SOMETHING_ELSE}, None),
    ],
)
def test_a_plan_that_was_followed_makes_it_hard_whatever_was_said(plan, changes: dict, because) -> None:
    found = hard(plan, **(SAID_NOTHING | changes))

    assert (None if found is None else found.because) == because


def test_a_race_is_hard_and_no_progress() -> None:
    found = hard(kind=SessionKind.RACE)

    assert found == HardDone(("a race, a test or felt all-out",), counts_for_progress=False)


@given(
    plan=st.sampled_from((None, planned(), planned_hard(), EIGHT_HARD, planned(kind=SessionKind.TEST, is_hard=True))),
    changes=st.fixed_dictionaries(
        {
            "answer": st.sampled_from(Answer),
            "kind": st.sampled_from(SessionKind),
            "minutes": st.sampled_from((None, 5, 8, 20, 38, 57)),
            "effort": st.sampled_from((None, 3, 6, 7, 10)),
            "talk": st.sampled_from((None, *Talk)),
            "felt_all_out": st.booleans(),
            "rounds": st.lists(st.booleans(), max_size=4).map(lambda done: rounds(*done)),
        }
    ),
)
def test_whatever_is_hard_says_why_and_nothing_else_does(plan, changes: dict) -> None:
    found = hard(plan, **changes)

    assert is_hard(log(**changes), plan, RULES) is (found is not None)
    assert found is None or found.because


def test_the_third_talk_answer_makes_no_session_hard() -> None:
    assert hard(minutes=60, talk=Talk.SENTENCES, effort=None) is None


def test_only_rounds_done_in_full_are_counted() -> None:
    assert complete_rounds(log(rounds=rounds(True, False, True))) == 2
    assert complete_rounds(log()) == 0


FOUR = planned_hard(rounds=4)


@pytest.mark.parametrize(
    ("plan", "changes", "counts"),
    [
        (FOUR, {"rounds": rounds(True, True, True, True)}, True),
        (FOUR, {"rounds": rounds(True, True, True)}, True),
        (FOUR, {"rounds": rounds(True, True)}, False),
        (FOUR, {"rounds": rounds(True)}, False),
        (planned_hard(rounds=2), {"rounds": rounds(True, True)}, True),
        (planned_hard(rounds=2), {"rounds": rounds(True, False)}, False),
        (planned_hard(rounds=1), {"rounds": rounds(True)}, True),
        (planned_hard(rounds=0), {"rounds": rounds(False, False)}, False),
        (planned_hard(rounds=0), {"rounds": rounds(True)}, True),
        (None, {"rounds": rounds(True, True, True)}, True),
        (None, {"rounds": rounds(True, True)}, False),
        (FOUR, {"rounds": ()}, True),
        (FOUR, {"rounds": (), "answer": Answer.PARTLY}, False),
        (FOUR, {"rounds": rounds(True, True, True, True), "spoilt_by": SpoiltBy.KIT}, False),
        (FOUR, {"rounds": rounds(True, True, True, True), "kind": SessionKind.MIDDLE}, False),
    ],
)
def test_one_or_two_rounds_then_stopped_are_no_progress(plan, changes: dict, counts: bool) -> None:
    found = hard(plan, **({"kind": SessionKind.INTERVALS, "minutes": 57, "talk": Talk.FEW_WORDS} | changes))

    assert found is not None
    assert found.counts_for_progress is counts
