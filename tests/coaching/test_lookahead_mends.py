"""One-click mends: what each kind of finding is offered, and the law that a mend mends and hides no cost."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.coaching.history import History
from app.coaching.holds import Stops
from app.coaching.lookahead_gathered import gathered
from app.coaching.lookahead_mend_hard import GAP_WAYS
from app.coaching.lookahead_mend_values import Ahead, Mend, Way, ahead_of
from app.coaching.lookahead_mends import mends
from app.coaching.lookahead_values import Breach, Level
from app.coaching.people import AvailableDay, Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.steps import to_json
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
#: Monday to Sunday, an hour and a half each day.
ALL_WEEK = tuple(make.available(weekday=n, minutes=90) for n in range(7))


def on(days: int) -> date:
    return TODAY + timedelta(days=days)


def somebody(phase: Phase = Phase.INTERVAL_TWO, **records: Any) -> History:
    """Screened, regularly active and promoted, with a steady month of walks behind."""
    given: dict[str, Any] = {
        "client": make.client(born_on=date(1985, 10, 7), regularly_active_confirmed_on=on(-280)),
        "decisions": (make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=on(-140)),),
        "screening": (make.answers(),),
        "available": ALL_WEEK,
        "logs": make.base_weeks(6, minutes=60),
        "until_on": on(60),
    }
    return make.history(**(given | records))


def easy(day: int, minutes: int = 45, **changes: Any) -> PlannedSession:
    return make.planned(
        id=1000 + day, version_id=1000 + day, planned_on=on(day), minutes=minutes, published_at=None, **changes
    )


def hard(day: int, **changes: Any) -> PlannedSession:
    return make.planned_hard(id=1000 + day, version_id=1000 + day, planned_on=on(day), published_at=None, **changes)


def strength(day: int) -> PlannedSession:
    return easy(day, 30, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH, title="Strength and balance")


def plan_of(history: History, *drafts: PlannedSession, fixed: frozenset[int] = frozenset()) -> Ahead:
    known = make.history(**{name: getattr(history, name) for name in _FIELDS} | {"drafts": drafts})
    return ahead_of(known, frozenset(one.id for one in drafts) - fixed, TODAY, RULES)


_FIELDS = ("client", "decisions", "screening", "available", "logs", "until_on", "leaves", "holds", "weeks")


def offered(plan: Ahead, kind: str) -> list[Mend]:
    whole = plan.found()
    groups = [one.of for one in gathered(whole, len(plan.sessions)) if one.kind == kind]
    return [mend for group in groups for mend in mends(plan, group, whole)]


def told(found: list[Mend]) -> list[tuple[str, str]]:
    return [(one.words, one.costs) for one in found]


def test_hard_days_too_near_are_moved_swapped_made_easy_or_taken_out() -> None:
    plan = plan_of(somebody(), hard(1), hard(2), easy(4))

    assert told(offered(plan, "spacing")) == [
        ("Move Rounds on Wed 7 Oct to Thu 8 Oct", "No minutes are lost."),
        ("Swap Rounds on Wed 7 Oct with Easy walk on Fri 9 Oct", "No minutes are lost."),
        ("Make Rounds on Wed 7 Oct easy", "No minutes are lost. 1 hard session fewer."),
        ("Take out Rounds on Wed 7 Oct", "57 min fewer: 57 in the week of Mon 5 Oct. 1 hard session fewer."),
    ]


def test_a_day_that_is_not_the_clients_is_left_for_the_nearest_that_is() -> None:
    days = (make.available(weekday=0), make.available(weekday=3))
    plan = plan_of(somebody(Phase.AEROBIC_BASE, available=days), easy(1), easy(3))

    assert told(offered(plan, "day")) == [
        ("Move Easy walk on Tue 6 Oct to Mon 12 Oct", "No minutes are lost; 45 go from the week of Mon 5 Oct to that "
         "of Mon 12 Oct."),
        ("Take out Easy walk on Tue 6 Oct", "45 min fewer: 45 in the week of Mon 5 Oct."),
    ]  # fmt: skip


def test_a_slot_too_short_is_met_by_another_day_or_fewer_minutes() -> None:
    days = (make.available(weekday=1, minutes=37), make.available(weekday=4, minutes=60))
    plan = plan_of(somebody(Phase.AEROBIC_BASE, available=days), easy(1), easy(4, 37))

    assert [one.words for one in offered(plan, "slot")] == [
        "Move Easy walk on Tue 6 Oct to Fri 16 Oct",
        "Swap Easy walk on Tue 6 Oct with Easy walk on Fri 9 Oct",
        "Shorten Easy walk on Tue 6 Oct to 35 min",
    ]


def test_agreed_time_off_is_kept_free() -> None:
    leave = make.leave(from_on=on(1), until_on=on(2))
    plan = plan_of(somebody(Phase.AEROBIC_BASE, leaves=(leave,)), easy(1), easy(2, 30))

    assert [one.words for one in offered(plan, "leave")][:2] == [
        "Move Easy walk on Tue 6 Oct to Thu 8 Oct",
        "Take out Easy walk on Tue 6 Oct",
    ]


def test_a_week_that_grows_too_fast_is_shortened_and_says_by_how_much() -> None:
    plan = plan_of(somebody(Phase.AEROBIC_BASE), easy(1, 66), easy(3, 66), easy(5, 66), easy(6, 20))

    shorter = offered(plan, "step")[0]

    assert shorter.way is Way.SHORTEN
    assert told([shorter]) == [
        ("Shorten Easy walk on Tue 6 Oct to 45 min", "21 min fewer: 21 in the week of Mon 5 Oct.")
    ]


def test_weeks_that_rise_one_from_the_other_are_shortened_together() -> None:
    weeks = [easy(7 * week + day, 66 + 9 * week) for week in (0, 1) for day in (1, 3, 5)]
    plan = plan_of(somebody(Phase.AEROBIC_BASE), *weeks, easy(6, 10))

    shorter = offered(plan, "step")[0]

    assert sorted({one.after.planned_on for one in shorter.changes}) == [on(1), on(8)]
    assert "in the week of Mon 5 Oct and" in shorter.costs


def test_the_longest_outing_is_made_as_long_as_it_may_be() -> None:
    plan = plan_of(somebody(Phase.AEROBIC_BASE), easy(1, 80))

    assert [one.words for one in offered(plan, "longest")] == ["Shorten Easy walk on Tue 6 Oct to 65 min"]


def test_hard_work_before_its_phase_becomes_the_agreed_easy_version() -> None:
    plan = plan_of(somebody(Phase.AEROBIC_BASE), hard(1), hard(4))

    (mend,) = offered(plan, "phase")

    assert mend.words == "Make Rounds on Tue 6 Oct and Rounds on Fri 9 Oct easy"
    assert mend.costs == "54 min fewer: 54 in the week of Mon 5 Oct. 2 hard sessions fewer."
    assert [one.after.minutes for one in mend.changes] == [30, 30]


def test_a_fortnight_too_full_loses_one_hard_session_or_moves_it_out() -> None:
    plan = plan_of(somebody(), *(hard(day) for day in (1, 4, 7, 10, 12, 14)))

    found = offered(plan, "ceiling")

    assert [one.way for one in found][-2:] == [Way.EASE, Way.TAKE_OUT]
    assert found[-2].costs.startswith("No minutes are lost. 1 hard session fewer.")


def test_too_much_above_easy_is_said_and_mended_without_losing_minutes() -> None:
    plan = plan_of(somebody(), hard(1), hard(3), easy(5, 30))

    (mend,) = offered(plan, "easy_share")

    assert mend.way is Way.EASE
    assert mend.costs.startswith("No minutes are lost.")


def test_a_week_just_easy_enough_is_not_spoken_of() -> None:
    plan = plan_of(somebody(), hard(1), easy(3, 45), easy(5, 45))

    assert [one for one in plan.found() if one.kind == "easy_share"] == []


def test_a_hard_session_without_its_easy_version_gets_one() -> None:
    (mend,) = offered(plan_of(somebody(), hard(1, easy_version=None)), "easy_version")

    assert mend.words == "Write its easy version into Rounds on Tue 6 Oct"
    assert (mend.changes[0].after.easy_version or "").startswith("Easy version: ")


def test_what_no_change_of_a_day_mends_is_offered_nothing() -> None:
    hold = make.hold(began_on=on(0))
    plan = plan_of(somebody(Phase.AEROBIC_BASE, holds=(hold,)), easy(1))

    assert "hold" in {one.kind for one in plan.found()}
    assert offered(plan, "hold") == []


def test_a_session_the_client_has_today_is_never_touched() -> None:
    plan = plan_of(somebody(), hard(0), hard(1))

    touched = {one.after.id for mend in offered(plan, "spacing") for one in mend.changes}

    assert touched == {1001}


def test_a_session_that_may_not_be_changed_stays() -> None:
    plan = plan_of(somebody(), hard(1), hard(2), fixed=frozenset({1002}))

    assert {one.after.id for mend in offered(plan, "spacing") for one in mend.changes} == {1001}


def test_steps_a_coach_wrote_keep_their_words_when_a_session_is_shortened() -> None:
    own = make.easy_steps(80)
    plan = plan_of(somebody(Phase.AEROBIC_BASE), easy(1, 80, steps_json=to_json(own)))

    (mend,) = offered(plan, "longest")

    assert "Easy enough to chat." in mend.changes[0].after.steps_json


def test_too_many_rounds_at_first_become_two_then_three_then_four() -> None:
    walks = [easy(day, 60) for day in (0, 2, 4)]
    plan = plan_of(somebody(Phase.INTERVAL_ONE), *walks, hard(1), hard(8), hard(15))

    mend = offered(plan, "rounds")[0]

    assert mend.words == "Fewer rounds: 2 instead of 4 on Tue 6 Oct and 3 instead of 4 on Tue 13 Oct"
    assert [(one.after.rounds, one.after.minutes) for one in mend.changes] == [(2, 41), (3, 49)]
    assert mend.costs.startswith("24 min fewer: 16 in the week of Mon 5 Oct and 8 in the week of Mon 12 Oct.")
    assert mend.reason == "Made fewer rounds so that rounds grow one at a time."


def test_a_session_of_two_rounds_with_no_smaller_one_is_made_easy() -> None:
    plan = plan_of(somebody(Phase.INTERVAL_ONE), hard(1, steps_json="[]", title="As agreed"))

    assert [one.way for one in offered(plan, "rounds")] == [Way.EASE]


@pytest.mark.parametrize(
    "stopped",
    [{"holds": (make.hold(stops=Stops.HARD),)}, {"screening": (make.answers(disease=YesNo.YES),)}],
    ids=["on hold", "no leave"],
)
def test_no_mend_leaves_hard_work_while_hard_work_is_stopped(stopped: dict[str, Any]) -> None:
    plan = plan_of(somebody(Phase.INTERVAL_ONE, **stopped), easy(0, 60), easy(2, 60), hard(1), hard(3))

    for kind in ("rounds", "spacing"):
        left = [one.after for mend in offered(plan, kind) for one in mend.changes]
        assert [one for one in left if one.is_hard and not one.is_cancelled] == []


def test_a_week_without_rest_is_freed_by_what_costs_least_first() -> None:
    week = [easy(7 + n, 20 + 5 * (n == 3)) for n in range(6)]
    plan = plan_of(somebody(Phase.AEROBIC_BASE), *week, strength(13))

    assert told(offered(plan, "rest")) == [
        ("Move Strength and balance on Sun 18 Oct to Sat 17 Oct", "No minutes are lost."),
        (
            "Free Sat 17 Oct: its minutes go to Mon 12 Oct, Tue 13 Oct, Wed 14 Oct, Fri 16 Oct",
            "No minutes are lost.",
        ),
        ("Take out Easy walk on Sat 17 Oct", "20 min fewer: 20 in the week of Mon 12 Oct."),
    ]


def test_two_weeks_without_rest_are_freed_together() -> None:
    plan = plan_of(somebody(Phase.AEROBIC_BASE), *[easy(7 + n, 20) for n in range(14)])

    shared = next(one for one in offered(plan, "rest") if one.way is Way.SHARE)

    assert shared.words == "Free Sun 18 Oct, Sun 25 Oct: the minutes go to other days of each week"
    assert shared.costs == "No minutes are lost."


def test_strength_is_not_put_beside_hard_work_to_free_a_day() -> None:
    week = [hard(8), *[easy(7 + n, 25) for n in (0, 2, 3, 4, 5)], strength(13)]
    plan = plan_of(somebody(), *week, *[hard(day) for day in (1, 4)])

    moved = [one.changes[0].after for one in offered(plan, "rest") if one.way is Way.MOVE]

    assert [one.planned_on for one in moved] == [on(12)]


def test_a_gap_is_closed_by_a_hard_session_in_place_of_an_easy_one_or_one_more() -> None:
    week = [hard(1), easy(6, 60), hard(13)]
    plan = plan_of(somebody(), *week)

    found = [one for one in offered(plan, "gap") if one.way in (Way.HARDEN, Way.ADD)]

    assert told(found) == [
        (
            "Rounds in place of Easy walk on Sun 11 Oct",
            "3 min fewer: 3 in the week of Mon 5 Oct. 1 hard session more.",
        ),
        ("Add Rounds on Mon 12 Oct", "57 min more: 57 in the week of Mon 12 Oct. 1 hard session more."),
    ]
    assert found[0].reason == "Made a hard session so that hard days do not lie too far apart."


def test_nothing_hard_is_put_into_a_gap_a_hold_explains_or_forbids() -> None:
    hold = make.hold(began_on=on(0))
    plan = plan_of(somebody(holds=(hold,)), hard(1), easy(6, 60), hard(13))

    assert [one.way for one in offered(plan, "gap") if one.way in (Way.HARDEN, Way.ADD)] == []


ROUNDS_DONE = make.log(
    id=900,
    done_on=on(-6),
    kind=SessionKind.INTERVALS,
    mode=Mode.INDOOR_RIDE,
    minutes=57.0,
    effort=8.0,
    rounds=tuple(make.work_round(number=n) for n in range(1, 5)),
)
NEW_HERE = make.decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=on(-10))
BROUGHT = replace(NEW_HERE, kind=DecisionKind.BROUGHT_IN, confirmed_at=make.at(on(-10)))
CLASS_DONE = make.log(id=901, done_on=on(-20), mode=Mode.OTHER, effort=8.0, talk=None)


@pytest.mark.parametrize(
    ("decision", "done", "is_tried"),
    [
        (NEW_HERE, (), False),
        (NEW_HERE, (CLASS_DONE,), False),
        (NEW_HERE, (ROUNDS_DONE,), True),
        (BROUGHT, (), True),
    ],
)
def test_no_more_hard_work_is_offered_before_the_first_of_one_a_week_is_done(decision, done, is_tried) -> None:
    client = somebody(decisions=(decision,), logs=(*make.base_weeks(6, minutes=60), *done))
    plan = plan_of(client, hard(1), easy(8, 60), hard(15))

    gaps = [one.of for one in gathered(plan.found(), 3) if one.kind == "gap"]

    assert gaps
    assert any(list(tries(plan, gap)) for gap in gaps for _way, tries in GAP_WAYS) is is_tried
    assert is_tried or {one.way for one in offered(plan, "gap")} <= {Way.MOVE, Way.SWAP}


def test_an_easier_week_takes_half_the_rounds_to_close_a_gap() -> None:
    easier = make.planned_week(starts_on=on(7), is_easier=True)
    plan = plan_of(somebody(weeks=(easier,)), hard(4), easy(11, 45), hard(17))

    found = next(one for one in offered(plan, "gap") if one.way is Way.HARDEN)

    assert found.changes[0].after.rounds == 2


# The law, over plans nobody thought of.

SESSIONS = st.lists(
    st.tuples(st.integers(0, 27), st.sampled_from(("easy", "hard", "strength")), st.integers(20, 110)),
    min_size=1,
    max_size=9,
    unique_by=lambda one: one[0],
)
#: A week with something on each of its days, and perhaps more after it.
FULL_WEEKS = st.tuples(
    st.lists(
        st.tuples(st.sampled_from(("easy", "easy", "hard", "strength")), st.integers(20, 60)), min_size=7, max_size=7
    ),
    SESSIONS,
).map(
    lambda both: [
        *((7 + n, *one) for n, one in enumerate(both[0])),
        *(one for one in both[1] if not 7 <= one[0] < 14),
    ]
)
MAKERS: dict[str, Any] = {
    "easy": easy,
    "hard": lambda day, _minutes: hard(day),
    "strength": lambda day, _minutes: strength(day),
}
DAYS = st.lists(
    st.tuples(st.integers(0, 6), st.sampled_from((30, 45, 60, 120))), max_size=7, unique_by=lambda d: d[0]
)
PHASES = st.sampled_from((Phase.AEROBIC_BASE, Phase.INTERVAL_ONE, Phase.INTERVAL_TWO, Phase.KEEPING))


def _plan(sessions: Any, days: Any, phase: Phase, leave: int) -> Ahead:
    drafts = [MAKERS[kind](day, minutes) for day, kind, minutes in sessions]
    available = tuple(AvailableDay(make.CLIENT_ID, weekday, minutes, None, None) for weekday, minutes in days)
    leaves = (make.leave(from_on=on(leave), until_on=on(leave + 2)),)
    return plan_of(somebody(phase, available=available, leaves=leaves), *drafts)


def _all_offered(plan: Ahead) -> list[tuple[tuple[Breach, ...], Mend]]:
    whole = plan.found()
    return [(one.of, mend) for one in gathered(whole, len(plan.sessions)) for mend in mends(plan, one.of, whole)]


def _refused(found: tuple[Breach, ...]) -> Counter[str]:
    return Counter(one.kind for one in found if one.level is Level.REFUSES)


def _kinds(found: tuple[Breach, ...]) -> Counter[str]:
    return Counter(one.kind for one in found)


def _minutes(plan: Ahead) -> int:
    return sum(one.minutes for one in plan.sessions if not one.is_cancelled)


def _faults(plan: Ahead, group: tuple[Breach, ...], mend: Mend) -> list[str]:
    """What a mend does that it must not."""
    before, changed = plan.found(), plan.changed(mend.changes)
    after, lost = changed.found(), _minutes(plan) - _minutes(changed)
    wrong = []
    if any(one.sentence == gone.sentence and one.kind == gone.kind for one in after for gone in group):
        wrong.append("the finding is still there")
    if _refused(after) - _refused(before):
        wrong.append("something new refuses")
    if lost and f"{abs(lost)} min" not in mend.costs:
        wrong.append(f"{lost} min are lost unsaid")
    if lost and mend.way in (Way.MOVE, Way.SWAP, Way.SHARE):
        wrong.append("moving loses minutes")
    if mend.way in (Way.HARDEN, Way.ADD) and _kinds(after) - _kinds(before):
        wrong.append("hard work that is put in breaks something")
    if mend.way in (Way.HARDEN, Way.ADD) and plan.history.phase is Phase.INTERVAL_ONE:
        wrong.append("more hard work before the first is done")
    if mend.way is Way.ROUNDS and any(one.after.rounds < 2 for one in mend.changes):
        wrong.append("fewer rounds than two")
    if any(not plan.may_change(one.before) for one in mend.changes if one.before):
        wrong.append("it touches what may not be changed")
    return wrong


def _all_faults(plan: Ahead) -> list[tuple[str, list[str]]]:
    tried = [(mend.words, _faults(plan, group, mend)) for group, mend in _all_offered(plan)]
    return [(words, faults) for words, faults in tried if faults]


@settings(max_examples=60, deadline=None)
@given(SESSIONS, DAYS, PHASES, st.integers(0, 30))
def test_every_mend_offered_mends_adds_no_refusal_and_loses_no_minute_unsaid(
    sessions: Any, days: Any, phase: Phase, leave: int
) -> None:
    assert _all_faults(_plan(sessions, days, phase, leave)) == []


@settings(max_examples=20, deadline=None)
@given(FULL_WEEKS, PHASES)
def test_every_mend_of_full_weeks_keeps_the_same_law(sessions: Any, phase: Phase) -> None:
    assert _all_faults(_plan(sessions, [(n, 90) for n in range(7)], phase, 30)) == []


@settings(max_examples=15, deadline=None)
@given(SESSIONS, DAYS, PHASES, st.randoms(use_true_random=False))
def test_the_same_plan_is_offered_the_same_mends_however_it_is_read(
    sessions: Any, days: Any, phase: Phase, random: Any
) -> None:
    shuffled = random.sample(sessions, len(sessions))

    assert _all_offered(_plan(sessions, days, phase, 20)) == _all_offered(_plan(shuffled, days, phase, 20))


@pytest.mark.parametrize("kind", ["unasked", "nonsense"])
def test_a_kind_with_no_way_is_offered_nothing(kind: str) -> None:
    plan = plan_of(somebody(), hard(1), hard(2))
    found = [Breach(Level.REFUSES, kind, on(1), "Something.", plan.found()[0].why)]

    assert mends(plan, found, plan.found()) == ()
    assert mends(plan, (), plan.found()) == ()
