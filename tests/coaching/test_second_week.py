"""What speaks for a second hard session a week, on both sides of each limit."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.condition import Condition, Group, State
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import Provenance, Why
from app.coaching.rules import Rules
from app.coaching.second_week import (
    ONE_IS_ENOUGH_FROM_YEARS,
    SECOND_WEEK_KEYS,
    all_speak_for_second,
    may_take_second,
    second_week_conditions,
)
from app.coaching.session_logs import Answer, Posture, SpoiltBy
from tests import factories
from tests.factories import TODAY

RULES = Rules()


def on_one(weeks: int, **changes):
    since = TODAY - timedelta(weeks=weeks)
    decisions = (
        factories.decision(),
        factories.decision(id=2, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=since),
    )
    return factories.history(decisions=decisions, **changes)


def rounds_log(weeks_ago: int, **changes):
    """Four of four rounds, effort 7, stood."""
    day = TODAY - timedelta(weeks=weeks_ago, days=1)
    given = {
        "id": 100 + weeks_ago,
        "done_on": day,
        "kind": SessionKind.INTERVALS,
        "minutes": 57.0,
        "effort": 7.0,
        "posture": Posture.STOOD,
        "rounds": tuple(factories.work_round(number=n, effort=7.0) for n in (1, 2, 3, 4)),
    }
    return factories.log(**(given | changes))


def line_of(history, key: str) -> Condition:
    return {one.key: one for one in second_week_conditions(history, TODAY, RULES)}[key]


def state_of(history, key: str) -> State:
    return line_of(history, key).state


def test_every_condition_is_looked_at() -> None:
    assert tuple(one.key for one in second_week_conditions(on_one(8), TODAY, RULES)) == SECOND_WEEK_KEYS


@pytest.mark.parametrize(("weeks", "state"), [(8, State.MET), (7, State.NOT_MET)])
def test_eight_weeks_on_one(weeks: int, state: State) -> None:
    assert state_of(on_one(weeks), "weeks_on_one") is state


@pytest.mark.parametrize(("count", "state"), [(6, State.MET), (5, State.NOT_MET)])
def test_six_sessions_done(count: int, state: State) -> None:
    logs = tuple(rounds_log(n) for n in range(count))

    assert state_of(on_one(9, logs=logs), "sessions_done") is state


def test_a_spoilt_session_counts_neither_way() -> None:
    logs = (*(rounds_log(n) for n in range(5)), rounds_log(5, spoilt_by=SpoiltBy.HEAT))

    assert state_of(on_one(9, logs=logs), "sessions_done") is State.NOT_MET


def test_three_good_ones_in_a_row() -> None:
    assert state_of(on_one(9, logs=tuple(rounds_log(n) for n in range(3))), "last_three") is State.MET


@pytest.mark.parametrize(
    ("change", "state"),
    [
        ({"posture": Posture.BENT_OR_SAT}, State.NOT_MET),
        ({"posture": Posture.HANDS_ON_KNEES}, State.NOT_MET),
        ({"posture": None}, State.UNKNOWN),
        ({"rounds": (), "effort": 9.0}, State.NOT_MET),
        ({"rounds": (), "effort": 8.0}, State.MET),
        ({"rounds": (), "effort": 7.0, "answer": Answer.PARTLY}, State.NOT_MET),
    ],
)
def test_one_that_did_not_go_well_is_seen(change: dict[str, object], state: State) -> None:
    logs = (rounds_log(0, **change), rounds_log(1), rounds_log(2))

    assert state_of(on_one(9, logs=logs), "last_three") is state


def test_a_last_round_above_eight_is_seen() -> None:
    rounds = (factories.work_round(number=1, effort=7.0), factories.work_round(number=2, effort=8.5))
    logs = (rounds_log(0, rounds=rounds), rounds_log(1), rounds_log(2))

    assert state_of(on_one(9, logs=logs), "last_three") is State.NOT_MET


@pytest.mark.parametrize(
    ("days", "born_year", "state"),
    [
        ((0, 3), 1965, State.MET),
        ((0, 2), 1965, State.NOT_MET),
        ((0, 2), 1990, State.MET),
        ((6, 0), 1990, State.NOT_MET),
        ((0, 5), 1965, State.NOT_MET),
        ((), 1990, State.UNKNOWN),
    ],
)
def test_two_days_far_enough_apart_around_the_week(days: tuple[int, ...], born_year: int, state: State) -> None:
    born = factories.client().born_on.replace(year=born_year)
    available = tuple(factories.available(weekday=day) for day in days)

    assert state_of(on_one(9, client=factories.client(born_on=born), available=available), "spacing_fits") is state


def test_volume_counts_held_weeks() -> None:
    assert state_of(on_one(9, logs=factories.base_weeks(8)), "volume_held") is State.MET
    assert state_of(on_one(9), "volume_held") is not State.MET


def all_there(**changes):
    """Nine weeks on one a week: each week held, eight sets that went well, two days far enough apart."""
    walks = tuple(replace(one, minutes=one.minutes * 1.5) for one in factories.base_weeks(9))
    given = {
        "logs": (*walks, *(rounds_log(week) for week in range(1, 9))),
        "available": (factories.available(weekday=1), factories.available(weekday=4)),
    }
    return on_one(9, **(given | changes))


def test_all_that_speaks_for_a_second_is_found_when_all_is_met() -> None:
    assert all_speak_for_second(all_there(), TODAY, RULES) == second_week_conditions(all_there(), TODAY, RULES)


@pytest.mark.parametrize(
    ("short", "changes"),
    [
        ("weeks_on_one", {"decisions": on_one(7).decisions}),
        ("sessions_done", {"logs": factories.base_weeks(9)}),
        ("spacing_fits", {"available": ()}),
        (
            "fortnight_fits",
            {"logs": all_there().logs + tuple(rounds_log(1, id=n, done_on=TODAY) for n in (90, 91, 92))},
        ),
    ],
)
def test_nothing_is_found_as_soon_as_one_is_short(short: str, changes: dict) -> None:
    history = replace(all_there(), **changes)

    assert state_of(history, short) is not State.MET
    assert all_speak_for_second(history, TODAY, RULES) == ()


def test_without_the_safety_conditions_it_is_refused() -> None:
    found = second_week_conditions(on_one(9), TODAY, RULES)

    assert may_take_second(found, "All the same.") == (
        "Not every condition was looked at; look at the whole list again.",
    )


# Whether it may begin at all: safety is never overridden, the rest with a reason that is kept.


def safety(state: State = State.MET, key: str = "pressure") -> Condition:
    return Condition(key, Group.SAFETY, "Pressure", state, "165 over 90", "under 160", _why("A new reading."))


def practice(*short: str) -> list[Condition]:
    """All of the second week, these of them not met."""
    states = {key: State.NOT_MET if key in short else State.MET for key in SECOND_WEEK_KEYS}
    return [Condition(key, Group.PRACTICE, key, state, "", "", _why(None)) for key, state in states.items()]


def _why(change: str | None) -> Why:
    return Why((), "A rule.", Provenance.HOUSE, None, change)


def test_with_everything_met_it_may_begin_without_a_reason() -> None:
    assert may_take_second([*practice(), safety(), safety(key="consent")]) == ()
    assert may_take_second([*practice(), safety(), *practice()]) == ()


@pytest.mark.parametrize("state", [State.NOT_MET, State.UNKNOWN])
def test_no_reason_overrides_a_safety_condition(state: State) -> None:
    found = may_take_second([*practice(), safety(state), safety(key="consent")], "I know this client well.")

    assert len(found) == 1
    assert found[0].startswith("Pressure: 165 over 90 (")
    assert found[0].endswith("Nobody can override this. A new reading.")


def test_a_safety_condition_that_nothing_would_change_ends_with_its_sentence() -> None:
    found = may_take_second([*practice(), replace(safety(State.NOT_MET), why=_why(None))])

    assert found[0].endswith("Nobody can override this.")


@pytest.mark.parametrize("reason", [None, "", "  ", "x"])
def test_a_practice_condition_that_is_not_met_asks_for_a_reason(reason: str | None) -> None:
    found = may_take_second([*practice("last_three", "volume_held"), safety()], reason)

    assert found == (
        "Not met: last_three, volume_held. You may go ahead all the same with a reason that is kept. At least 10 "
        "characters, so that it can be read later.",
    )


def test_a_reason_overrides_practice_conditions() -> None:
    assert may_take_second([*practice("last_three"), safety()], "Rowed for years.") == ()


@pytest.mark.parametrize("key", SECOND_WEEK_KEYS)
def test_a_list_that_lacks_one_is_looked_at_again(key: str) -> None:
    found = [one for one in practice() if one.key != key]

    assert may_take_second([*found, safety()], "Rowed for years.") == (
        "Not every condition was looked at; look at the whole list again.",
    )


def test_both_kinds_of_refusal_are_said() -> None:
    assert len(may_take_second([*practice("last_three"), safety(State.NOT_MET)])) == 2


# Each line with what it says (common practice, no published source).


@pytest.mark.parametrize(
    ("days", "value", "state", "short"),
    [(56, "8 weeks", State.MET, None), (55, "7 weeks", State.NOT_MET, 1), (0, "0 weeks", State.NOT_MET, 8)],
)
def test_weeks_on_one_are_whole_ones(days: int, value: str, state: State, short: int | None) -> None:
    since = TODAY - timedelta(days=days)
    promoted = factories.decision(id=2, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=since)
    line = line_of(factories.history(decisions=(factories.decision(), promoted)), "weeks_on_one")

    assert (line.value, line.state, line.short_weeks) == (value, state, short)
    assert [one.name for one in line.why.figures] == ["on one a week since"]
    assert line.would_change == {None: None, 1: "1 more week.", 8: "8 more weeks."}[short]


def test_longer_than_eight_weeks_is_nothing_short() -> None:
    assert line_of(on_one(20), "weeks_on_one").short_weeks is None


@pytest.mark.parametrize("phase", [Phase.AEROBIC_BASE, Phase.INTERVAL_TWO, Phase.KEEPING])
def test_in_another_phase_nothing_counts(phase: Phase) -> None:
    decided = factories.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=TODAY - timedelta(weeks=20))
    history = factories.history(decisions=(decided,), logs=tuple(rounds_log(n) for n in range(8)))
    line = line_of(history, "weeks_on_one")

    assert (line.state, line.value) == (State.NOT_MET, "not on one a week")
    assert line_of(history, "sessions_done").value == "0 sessions"


@pytest.mark.parametrize(
    ("changes", "counts"),
    [
        ({"done_on": TODAY - timedelta(weeks=9)}, True),
        ({"done_on": TODAY - timedelta(weeks=9, days=1)}, False),
        ({"done_on": TODAY}, True),
        ({"done_on": TODAY + timedelta(days=1)}, False),
        ({"kind": SessionKind.EASY}, False),
        ({"kind": SessionKind.RACE}, False),
        ({"effort": 3.0, "rounds": ()}, False),
        ({"spoilt_by": SpoiltBy.TRAFFIC}, False),
    ],
)
def test_what_counts_as_a_hard_session_done_on_one(changes: dict, counts: bool) -> None:
    line = line_of(on_one(9, logs=(rounds_log(3, **changes),)), "sessions_done")

    assert line.value == f"{int(counts)} sessions"


def test_the_last_eight_are_shown_in_their_order() -> None:
    logs = tuple(rounds_log(n, id=200 - n) for n in (3, 1, 2, 0, 8, 4, 5, 6, 7))
    same_day = rounds_log(0, id=201, rounds=(factories.work_round(effort=6.0),))
    shown = line_of(on_one(9, logs=(same_day, *logs)), "sessions_done").why.figures

    assert [one.name for one in shown] == [
        f"{one.day} {one:%B %Y}" for one in (TODAY - timedelta(weeks=n, days=1) for n in (6, 5, 4, 3, 2, 1, 0, 0))
    ]
    assert [one.text for one in shown[-2:]] == ["4 rounds, effort 7, stood", "1 rounds, effort 6, stood"]


def test_what_a_session_was_is_said() -> None:
    three = tuple(factories.work_round(number=n, effort=7.0 if n < 3 else None) for n in (3, 2, 1))
    plans = (factories.planned_hard(id=9, planned_on=TODAY - timedelta(days=1), rounds=4),)
    logs = (
        rounds_log(2, rounds=three, effort=5.0, posture=Posture.BENT_OR_SAT),
        rounds_log(1, rounds=(), effort=None, posture=None, talk=None, felt_all_out=True),
        rounds_log(0, planned_session_id=9, rounds=three[:2]),
    )

    assert [one.text for one in line_of(on_one(9, logs=logs, planned=plans), "last_three").why.figures] == [
        "3 rounds, effort 7, bent or sat",
        "as planned, effort not said, posture not said",
        "2 of 4 rounds, effort 7, stood",
    ]


@pytest.mark.parametrize(
    ("count", "state", "value"),
    [(0, State.UNKNOWN, "0 of 0"), (2, State.UNKNOWN, "2 of 2"), (3, State.MET, "3 of 3"), (5, State.MET, "3 of 3")],
)
def test_three_have_to_be_known(count: int, state: State, value: str) -> None:
    line = line_of(on_one(9, logs=tuple(rounds_log(n) for n in range(count))), "last_three")

    assert (line.state, line.value) == (state, value)


def test_one_before_the_last_three_no_longer_matters() -> None:
    logs = (rounds_log(3, posture=Posture.BENT_OR_SAT), *(rounds_log(n) for n in range(3)))

    assert state_of(on_one(9, logs=logs), "last_three") is State.MET


def _rounds(count: int, effort: float | None = 7.0):
    return tuple(factories.work_round(number=n, effort=effort) for n in range(1, count + 1))


@pytest.mark.parametrize(
    ("asked", "changes", "state"),
    [
        (4, {"rounds": _rounds(4)}, State.MET),
        (4, {"rounds": _rounds(5)}, State.MET),
        (4, {"rounds": _rounds(3)}, State.NOT_MET),
        (4, {"rounds": ()}, State.MET),
        (4, {"rounds": (), "answer": Answer.PARTLY}, State.NOT_MET),
        (4, {"rounds": _rounds(4), "answer": Answer.PARTLY}, State.MET),
        (None, {"rounds": _rounds(3), "answer": Answer.PARTLY}, State.NOT_MET),
        (None, {"rounds": _rounds(3)}, State.MET),
        (0, {"rounds": _rounds(3), "answer": Answer.PARTLY}, State.NOT_MET),
        (4, {"rounds": _rounds(4, None), "effort": None}, State.UNKNOWN),
        (4, {"rounds": _rounds(4, None), "effort": 8.0}, State.MET),
        (4, {"rounds": _rounds(4, None), "effort": 8.1}, State.NOT_MET),
        (4, {"rounds": _rounds(4, 8.0), "effort": 9.0}, State.MET),
    ],
)
def test_a_session_went_well_with_all_its_rounds_and_something_left(asked, changes: dict, state: State) -> None:
    day = TODAY - timedelta(days=1)
    plans = () if asked is None else (factories.planned_hard(id=9, planned_on=day, rounds=asked),)
    named = None if asked is None else 9
    logs = (rounds_log(0, planned_session_id=named, **changes), rounds_log(1), rounds_log(2))

    assert state_of(on_one(9, logs=logs, planned=plans), "last_three") is state


def test_the_effort_at_the_end_is_the_last_rounds() -> None:
    efforts = ((1, 9.0), (3, 7.0), (2, 9.0))
    rounds = tuple(factories.work_round(number=n, effort=effort) for n, effort in efforts)

    assert state_of(on_one(9, logs=(rounds_log(0, rounds=rounds), rounds_log(1), rounds_log(2))), "last_three") is (
        State.MET
    )


def _volume(held: int, *, unknown: int = 0, away: int = 0):
    """So many of the last eight weeks held, then of unknown effort, then away; a single walk in each of the rest."""
    mondays = [TODAY - timedelta(weeks=n) for n in range(1, 9)]
    walks = [log for monday in mondays[:held] for log in factories.base_week(monday)]
    unsaid = [
        replace(log, talk=None, effort=None)
        for monday in mondays[held : held + unknown]
        for log in factories.base_week(monday)
    ]
    first = held + unknown
    short = [log for monday in mondays[first + away :] for log in factories.base_week(monday, days=(2,))]
    leaves = tuple(
        factories.leave(from_on=monday, until_on=monday + timedelta(days=6))
        for monday in mondays[first : first + away]
    )
    return on_one(9, logs=(*walks, *unsaid, *short), leaves=leaves)


@pytest.mark.parametrize(
    ("weeks", "state", "value"),
    [
        ({"held": 6}, State.MET, "6 of 8 weeks"),
        ({"held": 5}, State.NOT_MET, "5 of 8 weeks"),
        ({"held": 5, "unknown": 1}, State.UNKNOWN, "5 of 8 weeks"),
        ({"held": 4, "unknown": 1}, State.NOT_MET, "4 of 8 weeks"),
        ({"held": 5, "away": 3}, State.MET, "5 of 5 weeks"),
        ({"held": 5, "away": 2}, State.NOT_MET, "5 of 6 weeks"),
        ({"held": 6, "away": 1}, State.MET, "6 of 7 weeks"),
        ({"held": 1, "away": 7}, State.MET, "1 of 1 weeks"),
        ({"held": 0, "away": 8}, State.UNKNOWN, "0 of 0 weeks"),
    ],
)
def test_six_of_the_last_eight_weeks_held_those_away_left_out(weeks: dict, state: State, value: str) -> None:
    line = line_of(_volume(**weeks), "volume_held")

    assert (line.state, line.value) == (state, value)
    assert len(line.why.figures) == 8


def test_each_week_says_what_it_was_and_why() -> None:
    assert line_of(_volume(7), "volume_held").why.figures[0].text.startswith("not held; ")
    assert line_of(_volume(7), "volume_held").why.figures[1].text.startswith("held; ")


@pytest.mark.parametrize(
    ("days", "born", "fits", "says"),
    [
        ((0, 3), date(1966, 10, 5), True, "fits"),
        ((0, 2), date(1966, 10, 5), False, "does not fit"),
        ((0, 2), date(1966, 10, 6), True, "fits"),
        ((0, 2), None, False, "does not fit"),
        ((0, 1, 3), None, True, "fits"),
        ((1, 6), date(1990, 1, 1), True, "fits"),
        ((2, 3), date(1990, 1, 1), False, "does not fit"),
        ((5,), date(1990, 1, 1), False, "does not fit"),
        ((), date(1990, 1, 1), None, "no days recorded"),
    ],
)
def test_the_days_there_are_have_to_lie_far_enough_apart(days, born, fits: bool | None, says: str) -> None:
    available = tuple(factories.available(weekday=day) for day in days)
    line = line_of(on_one(9, client=factories.client(born_on=born), available=available), "spacing_fits")

    assert line.state is {True: State.MET, False: State.NOT_MET, None: State.UNKNOWN}[fits]
    assert line.value == says


def test_a_day_is_twenty_four_hours() -> None:
    young = factories.client(born_on=date(1990, 1, 1))
    available = tuple(factories.available(weekday=day) for day in (0, 2))
    strict = second_week_conditions(on_one(9, client=young, available=available), TODAY, Rules(spacing_h=49))

    assert {one.key: one for one in strict}["spacing_fits"].state is State.NOT_MET


def test_the_days_and_the_age_stand_behind_it() -> None:
    available = tuple(factories.available(weekday=day) for day in (3, 0))
    known = line_of(on_one(9, available=available), "spacing_fits").why
    unknown = line_of(on_one(9, client=factories.client(born_on=None)), "spacing_fits").why

    assert [(one.name, one.text) for one in known.figures] == [("days there are", "Monday, Thursday"), ("age", "61")]
    assert [one.text for one in unknown.figures] == ["not recorded", "unknown"]
    assert known.would_change is None
    assert unknown.would_change == "The days there really are, recorded, with two far enough apart."


def test_from_seventy_one_a_week_is_a_good_end() -> None:
    assert ONE_IS_ENOUGH_FROM_YEARS == 70


# No more hard work in a fortnight than one a week allows, whether anybody planned it or not.


def hard_log(days_ago: int, **changes):
    day = TODAY - timedelta(days=days_ago)
    return rounds_log(0, **({"id": 300 + days_ago, "done_on": day} | changes))


@pytest.mark.parametrize(
    ("days_ago", "is_met", "says"),
    [
        ((), True, "0 hard sessions in 14 days"),
        ((0, 7, 13), True, "3 hard sessions in 14 days"),
        ((0, 3, 7, 13), False, "4 hard sessions in 14 days"),
        ((0, 3, 7, 14), True, "3 hard sessions in 14 days"),
        # As the morning counts: the fortnight that ends on the newest one of the last week.
        ((6, 9, 12, 19), False, "4 hard sessions in 14 days"),
        ((6, 9, 12, 20), True, "3 hard sessions in 14 days"),
        # Once a week lies behind it, the last 14 days are what counts.
        ((7, 10, 13, 20), True, "3 hard sessions in 14 days"),
        ((7, 9, 11, 13), False, "4 hard sessions in 14 days"),
    ],
)
def test_a_fortnight_holds_no_more_than_one_a_week_allows(days_ago, is_met: bool, says: str) -> None:
    line = line_of(on_one(9, logs=tuple(hard_log(one) for one in days_ago)), "fortnight_fits")

    assert (line.is_met, line.value, line.group) == (is_met, says, Group.PRACTICE)


def test_a_hard_run_nobody_planned_counts_and_is_named_so() -> None:
    run = hard_log(3, kind=SessionKind.EASY, minutes=40.0, effort=8.0, rounds=())
    planned = factories.planned(
        id=7,
        planned_on=TODAY - timedelta(days=5),
        kind=SessionKind.INTERVALS,
        rounds=4,
        is_hard=True,
        title="4 rounds",
    )
    logs = (run, hard_log(5, planned_session_id=7), hard_log(8), hard_log(12))
    line = line_of(on_one(9, planned=(planned,), logs=logs), "fortnight_fits")

    assert line.state is State.NOT_MET
    said = [one.text for one in line.why.figures]
    assert said[2] == "4 rounds"
    assert ", not planned: " in said[3]
    assert "effort 8" in said[3]


def test_an_easy_plan_done_hard_counts_and_is_named_so() -> None:
    planned = factories.planned(id=7, planned_on=TODAY - timedelta(days=3), is_hard=False)
    run = hard_log(3, kind=SessionKind.EASY, minutes=40.0, effort=8.0, rounds=(), planned_session_id=7)
    line = line_of(on_one(9, planned=(planned,), logs=(run,)), "fortnight_fits")

    assert line.value == "1 hard session in 14 days"
    assert ", planned as something else: 40 min at effort 8" in line.why.figures[0].text


def test_what_is_entered_ahead_does_not_count_yet() -> None:
    logs = tuple(hard_log(one) for one in (-1, 2, 5, 9))

    assert line_of(on_one(9, logs=logs), "fortnight_fits").value == "3 hard sessions in 14 days"


def test_the_ceiling_is_the_one_of_the_rules() -> None:
    history = on_one(9, logs=tuple(hard_log(one) for one in (1, 5, 9)))
    found = second_week_conditions(history, TODAY, Rules(fortnight_ceiling_one_a_week=2))

    assert [one.state for one in found if one.key == "fortnight_fits"] == [State.NOT_MET]
