"""What publishing would break: refused, asked for a reason, or said."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.lookahead import Breach, Level, as_if_sent, breaches, may_publish, needs_reason
from app.coaching.lookahead_hard import interval_weeks_until
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from tests import factories as make

TODAY = make.TODAY
RULES = Rules()


def _on(days: int) -> date:
    return TODAY + timedelta(days=days)


def _client(phase: Phase = Phase.INTERVAL_TWO, weeks: int = 20, born: int = 1985, **records: Any) -> History:
    """Someone regularly active, screened and promoted: everything in the way is what a test adds."""
    decided = make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=TODAY - timedelta(weeks=weeks))
    given: dict[str, Any] = {
        "client": make.client(born_on=date(born, 3, 2), regularly_active_confirmed_on=TODAY - timedelta(weeks=40)),
        "decisions": (decided,),
        "screening": (make.answers(),),
    }
    return make.history(**(given | records))


def _hard(days: int, **changes: Any) -> PlannedSession:
    return make.planned_hard(id=100 + days, planned_on=_on(days), published_at=None, **changes)


def _done(*days: int) -> tuple[Any, ...]:
    return tuple(make.log(id=50 + n, done_on=_on(n), talk=Talk.FEW_WORDS) for n in days)


def _found(history: History, *drafts: PlannedSession, kind: str) -> tuple[Breach, ...]:
    return tuple(b for b in breaches(history, drafts, TODAY, RULES) if b.kind == kind)


def test_five_in_a_fortnight_is_full_and_says_nothing() -> None:
    history = _client(logs=_done(-12, -9, -6, -3))

    assert _found(history, _hard(0), kind="ceiling") == ()


def test_the_sixth_in_fourteen_days_asks_for_a_reason() -> None:
    found = _found(_client(logs=_done(-13, -10, -7, -5, -3)), _hard(0), kind="ceiling")

    assert [breach.level for breach in found] == [Level.ASKS]
    assert "14 days with 6 hard sessions" in found[0].sentence
    assert "the 6th" in found[0].sentence


def test_the_seventh_is_refused() -> None:
    found = _found(_client(logs=_done(-13, -11, -9, -7, -5, -3)), _hard(0), kind="ceiling")

    assert [breach.level for breach in found] == [Level.REFUSES]
    assert not may_publish(found)


def test_the_ceiling_counts_windows_that_begin_with_the_draft() -> None:
    standing = tuple(make.planned_hard(id=n, planned_on=_on(n)) for n in (4, 6, 8, 11, 13))

    assert _found(_client(planned=standing), _hard(1), kind="ceiling")[0].level is Level.ASKS


@pytest.mark.parametrize(("done", "level"), [((-13, -6), None), ((-13, -9, -4), Level.ASKS)])
def test_the_personal_ceiling_is_three_on_one_a_week(done: tuple[int, ...], level: Level | None) -> None:
    found = _found(_client(Phase.INTERVAL_ONE, logs=_done(*done)), _hard(0), kind="ceiling")

    assert next((breach.level for breach in found), None) is level


def test_a_draft_replaces_the_published_session_with_its_id() -> None:
    published = make.planned_hard(id=102, planned_on=_on(1))

    assert _found(_client(planned=(published,)), _hard(2), kind="spacing") == ()


@pytest.mark.parametrize(
    ("weeks", "born", "apart", "fires"),
    [(20, 1985, 2, False), (20, 1985, 1, True), (3, 1985, 2, True), (20, 1960, 2, True), (20, 1960, 3, False)],
)
def test_spacing_is_48_hours_or_72_early_and_from_sixty(weeks: int, born: int, apart: int, fires: bool) -> None:
    history = _client(weeks=weeks, born=born, logs=_done(-apart))

    assert bool(_found(history, _hard(0), kind="spacing")) is fires


@pytest.mark.parametrize(("ahead", "fires"), [(2, False), (3, True)])
def test_more_than_seven_days_between_hard_sessions_are_said(ahead: int, fires: bool) -> None:
    found = _found(_client(logs=_done(-5)), _hard(ahead), kind="gap")

    assert bool(found) is fires


def test_a_gap_at_the_end_of_what_is_drafted_is_said() -> None:
    draft = make.planned(id=9, planned_on=_on(6), published_at=None)

    assert _found(_client(logs=_done(-5)), draft, kind="gap")[0].sentence.startswith("12 days without")


def test_leave_explains_a_gap() -> None:
    history = _client(logs=_done(-5), leaves=(make.leave(from_on=_on(0), until_on=_on(2)),))

    assert _found(history, _hard(4), kind="gap") == ()


@pytest.mark.parametrize("phase", [Phase.AEROBIC_BASE, Phase.RETURNING])
def test_hard_work_outside_its_phases_is_refused(phase: Phase) -> None:
    assert _found(_client(phase), _hard(1), kind="phase")[0].level is Level.REFUSES


def test_hard_work_without_leave_for_vigorous_is_refused() -> None:
    history = _client(screening=(make.answers(disease=YesNo.YES),))

    assert _found(history, _hard(1), kind="no_leave")[0].level is Level.REFUSES


def test_middle_work_needs_leave_too_and_easy_does_not() -> None:
    history = _client(screening=(make.answers(disease=YesNo.YES),))
    middle = make.planned(id=8, kind=SessionKind.MIDDLE, planned_on=_on(1))
    easy = make.planned(id=9, planned_on=_on(2))

    assert [breach.on for breach in _found(history, middle, easy, kind="no_leave")] == [_on(1)]


@pytest.mark.parametrize(("stops", "kinds"), [(Stops.ALL, 2), (Stops.HARD, 1), (Stops.MODE_AND_HARD, 2)])
def test_an_open_hold_refuses_what_it_stops(stops: Stops, kinds: int) -> None:
    history = _client(holds=(make.hold(stops=stops, kind=HoldKind.COACH),))

    found = _found(history, _hard(1), make.planned(id=9, planned_on=_on(2)), kind="hold")

    assert len(found) == kinds
    assert {breach.level for breach in found} == {Level.REFUSES}


def test_a_lifted_hold_refuses_nothing() -> None:
    history = _client(holds=(make.hold(lifted_at=make.at(TODAY)),))

    assert _found(history, _hard(1), kind="hold") == ()


def test_nothing_is_published_into_the_past() -> None:
    assert _found(_client(), make.planned(planned_on=_on(-1)), kind="past")[0].level is Level.REFUSES


@pytest.mark.parametrize(("minutes", "fires"), [(150, False), (151, True)])
def test_a_week_that_rises_faster_than_the_rule_asks(minutes: int, fires: bool) -> None:
    # 3 x 45 = 135 done in each week before; 15 more is the most
    history = _client(logs=make.base_weeks(3))

    found = _found(history, make.planned(id=9, planned_on=_on(1), minutes=minutes), kind="step")

    assert bool(found) is fires


def test_the_week_after_an_easier_one_is_compared_with_the_week_before_it() -> None:
    full = make.base_week(_on(-14), minutes=60)
    easier = make.base_week(_on(-7), minutes=40)

    assert _found(_client(logs=full + easier), make.planned(id=9, planned_on=_on(1), minutes=190), kind="step") == ()


@pytest.mark.parametrize(("minutes", "fires"), [(49, False), (50, True)])
def test_the_longest_outing_grows_by_a_tenth_at_most(minutes: int, fires: bool) -> None:
    history = _client(logs=make.base_weeks(3))

    assert bool(_found(history, make.planned(id=9, planned_on=_on(1), minutes=minutes), kind="longest")) is fires


@pytest.mark.parametrize(("weekday", "minutes", "kind"), [(2, 30, "day"), (1, 61, "slot")])
def test_a_day_or_slot_the_client_has_not_is_said(weekday: int, minutes: int, kind: str) -> None:
    history = _client(available=(make.available(),))

    found = _found(history, make.planned(id=9, planned_on=_on(weekday), minutes=minutes), kind=kind)

    assert [breach.level for breach in found] == [Level.SAYS]


def test_agreed_time_off_is_said() -> None:
    assert _found(_client(leaves=(make.leave(),)), make.planned(planned_on=_on(1)), kind="leave")


def test_strength_the_day_before_a_hard_session_is_said() -> None:
    strength = make.planned(id=9, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH, planned_on=_on(1))

    assert _found(_client(planned=(strength,)), _hard(2), kind="strength")


def test_a_hard_session_without_its_easy_version_asks() -> None:
    found = _found(_client(), _hard(1, easy_version=None), kind="easy_version")

    assert needs_reason(found)


@pytest.mark.parametrize(("good", "fires"), [(5, True), (6, False)])
def test_a_maximal_test_waits_for_six_good_hard_sessions(good: int, fires: bool) -> None:
    rounds = tuple(make.work_round(number=n) for n in range(1, 5))
    logs = tuple(
        make.log(id=n, done_on=_on(-7 * n), kind=SessionKind.INTERVALS, rounds=rounds) for n in range(1, good + 1)
    )

    assert bool(_found(_client(logs=logs), _hard(1, kind=SessionKind.TEST), kind="early_test")) is fires


def test_nothing_goes_out_while_the_screening_stops_everything() -> None:
    history = _client(screening=(make.answers(symptoms=YesNo.YES),))

    found = _found(history, make.planned(id=9, planned_on=_on(1)), kind="no_leave")

    assert [breach.level for breach in found] == [Level.REFUSES]


def test_a_plan_that_keeps_every_rule_is_silent() -> None:
    history = _client(logs=(*make.base_weeks(4, minutes=60), *_done(-3)))
    easy = make.planned(id=9, planned_on=_on(0), minutes=45)

    assert breaches(history, (easy, _hard(3)), TODAY, RULES) == ()


def test_what_refuses_comes_first() -> None:
    history = _client(Phase.AEROBIC_BASE, available=(make.available(),))

    levels = [breach.level for breach in breaches(history, (_hard(2), _hard(3)), TODAY, RULES)]

    assert levels == sorted(levels, key=[Level.REFUSES, Level.ASKS, Level.SAYS].index)
    assert levels[0] is Level.REFUSES


def test_interval_weeks_start_again_after_a_return_to_base() -> None:
    decisions = (
        make.decision(id=1, phase=Phase.INTERVAL_ONE, since_on=_on(-200)),
        make.decision(id=2, phase=Phase.AEROBIC_BASE, since_on=_on(-100)),
        make.decision(id=3, phase=Phase.INTERVAL_ONE, since_on=_on(-21)),
    )

    assert interval_weeks_until(make.history(decisions=decisions), TODAY) == 3


def test_nothing_at_all_is_published_while_the_screening_stops_all_training() -> None:
    history = _client(Phase.AEROBIC_BASE, screening=(make.answers(symptoms=YesNo.YES),))
    easy = make.planned(id=7, planned_on=_on(1), published_at=None)

    found = _found(history, easy, kind="no_leave")

    assert [breach.level for breach in found] == [Level.REFUSES]
    assert "no leave to train yet" in found[0].sentence


def test_a_week_is_held_against_the_weeks_drafted_before_it() -> None:
    published = make.planned(id=1, planned_on=_on(0), minutes=40)
    drafted = tuple(make.planned(id=n, planned_on=_on(5 + n), minutes=55, published_at=None) for n in (2, 3))
    going = tuple(make.planned(id=n, planned_on=_on(5 + n), minutes=60, published_at=None) for n in (9, 10))
    history = _client(Phase.AEROBIC_BASE, planned=(published,), drafts=drafted)

    assert _found(history, *going, kind="step")
    assert _found(as_if_sent(history, TODAY), *going, kind="step") == ()


def test_a_draft_stands_for_its_published_version_and_a_cancelled_one_takes_it_away() -> None:
    published = (make.planned(id=1, minutes=40), make.planned(id=2, planned_on=_on(1)))
    drafts = (
        make.planned(id=1, minutes=50, published_at=None),
        make.planned(id=2, planned_on=_on(1), is_cancelled=True, published_at=None),
        make.planned(id=3, planned_on=_on(-1), published_at=None),
    )

    standing = as_if_sent(_client(planned=published, drafts=drafts), TODAY).planned

    assert [(one.id, one.minutes) for one in standing] == [(1, 50)]
