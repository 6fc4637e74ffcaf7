"""Looking ahead at hard work, rule by rule: what is refused, asked or said, on which day, and on which figures.

Common practice, no published source, unless a rule is named as a house choice.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from app.coaching.effort import Talk
from app.coaching.history import History
from app.coaching.holds import HoldKind, Stops
from app.coaching.lookahead_hard import hard_breaches, hard_days_with, interval_weeks_until, is_vigorous
from app.coaching.lookahead_values import Breach, Level
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import PlannedSession, SessionKind
from app.coaching.reasons import Provenance
from app.coaching.rules import Rules
from app.coaching.screening import YesNo
from app.coaching.session_logs import Answer
from tests import factories as make
from tests.factories import TODAY

RULES = Rules()
REFUSES, ASKS, SAYS = Level.REFUSES, Level.ASKS, Level.SAYS


def on(days: int) -> date:
    return TODAY + timedelta(days=days)


def somebody(phase: Phase = Phase.INTERVAL_TWO, weeks: int = 20, born: int = 1985, **records: Any) -> History:
    """Screened, regularly active and promoted: everything in the way is what a test adds."""
    given: dict[str, Any] = {
        "client": make.client(born_on=date(born, 10, 7), regularly_active_confirmed_on=on(-280)),
        "decisions": (make.decision(kind=DecisionKind.PROMOTE, phase=phase, since_on=on(-7 * weeks)),),
        "screening": (make.answers(),),
    }
    return make.history(**(given | records))


def hard(days: int, **changes: Any) -> PlannedSession:
    return make.planned_hard(**({"id": 100 + days, "planned_on": on(days), "published_at": None} | changes))


def easy(days: int, **changes: Any) -> PlannedSession:
    return make.planned(**({"id": 200 + days, "planned_on": on(days), "published_at": None} | changes))


def done(*days: int, **changes: Any) -> tuple[Any, ...]:
    return tuple(make.log(id=500 + n, done_on=on(n), **({"talk": Talk.FEW_WORDS} | changes)) for n in days)


def found(history: History, *drafts: PlannedSession, kind: str, standing=()) -> list[Breach]:
    return [one for one in hard_breaches(history, standing, drafts, TODAY, RULES) if one.kind == kind]


def figures(breach: Breach) -> list[tuple[str, str]]:
    return [(one.name, one.text) for one in breach.why.figures]


def test_a_plan_that_keeps_every_rule_is_silent() -> None:
    assert hard_breaches(somebody(logs=done(-3)), (), (easy(0), hard(3)), TODAY, RULES) == []
    assert hard_breaches(somebody(), (), (), TODAY, RULES) == []


def test_in_the_base_easy_drafts_are_silent_and_middle_ones_still_need_leave() -> None:
    base = {"phase": Phase.AEROBIC_BASE}
    middle = easy(1, kind=SessionKind.MIDDLE)

    assert hard_breaches(somebody(**base), (), (easy(0),), TODAY, RULES) == []
    ill = somebody(**base, screening=(make.answers(disease=YesNo.YES),))
    assert [one.kind for one in hard_breaches(ill, (), (middle,), TODAY, RULES)] == ["no_leave"]


def test_hard_days_are_those_done_in_four_weeks_and_those_still_ahead() -> None:
    answered = make.log(id=9, done_on=on(-1), planned_session_id=101)
    client = somebody(logs=(*done(-29, -28, -3), answered))

    assert hard_days_with(client, (hard(4), hard(-2), hard(1), easy(5), hard(0)), TODAY, RULES) == (
        on(-28),
        on(-3),
        on(0),
        on(4),
    )


# Phase, leave and holds.


@pytest.mark.parametrize(
    ("phase", "said"),
    [(Phase.AEROBIC_BASE, "aerobic base"), (Phase.RETURNING, "returning"), (None, "no phase yet")],
)
def test_hard_work_outside_its_phases_is_refused(phase: Phase | None, said: str) -> None:
    history = somebody(decisions=()) if phase is None else somebody(phase)
    breaches = found(history, hard(1), easy(2), hard(4), kind="phase")

    assert [(one.level, one.on) for one in breaches] == [(REFUSES, on(1)), (REFUSES, on(4))]
    assert breaches[0].sentence == f"Rounds on Tue 6 Oct is hard; the client is in: {said}."
    assert breaches[0].shared == f"hard work, and the client is in: {said}."
    assert figures(breaches[0]) == [("phase", said)]
    assert breaches[0].why.would_change == "The decision to promote."
    assert breaches[0].why.provenance is Provenance.COMMON_PRACTICE


@pytest.mark.parametrize("phase", [Phase.INTERVAL_ONE, Phase.INTERVAL_TWO, Phase.KEEPING])
def test_in_its_phases_it_is_not(phase: Phase) -> None:
    assert found(somebody(phase), hard(1), kind="phase") == []


def test_without_leave_for_vigorous_work_middle_and_hard_are_refused() -> None:
    sick = somebody(screening=(make.answers(disease=YesNo.YES),))
    drafts = (easy(1, kind=SessionKind.MIDDLE), easy(2), hard(3))
    breaches = found(sick, *drafts, kind="no_leave")

    assert [(one.level, one.on) for one in breaches] == [(REFUSES, on(1)), (REFUSES, on(3))]
    assert breaches[0].shared.startswith("no leave for hard work. A clinician's clearance")
    assert found(sick, easy(2), kind="no_leave") == []


def test_who_was_never_asked_is_refused_for_that() -> None:
    brought_in = make.decision(id=2, kind=DecisionKind.BROUGHT_IN, phase=Phase.INTERVAL_ONE)
    breaches = found(somebody(screening=(), decisions=(brought_in,)), hard(1), kind="unasked")

    assert [one.shared for one in breaches] == ["the safety questions are not answered yet."]


def test_where_everything_is_stopped_the_leave_for_hard_work_is_not_said_again() -> None:
    assert found(somebody(screening=(make.answers(symptoms=YesNo.YES),)), hard(1), kind="no_leave") == []


def test_what_an_open_hold_stops_is_refused() -> None:
    paused = make.hold(kind=HoldKind.COACH, stops=Stops.HARD, cause="Exam week", began_on=on(-2))
    breaches = found(somebody(holds=(paused,)), hard(1), easy(2), easy(4, kind=SessionKind.MIDDLE), kind="hold")

    assert [(one.level, one.on) for one in breaches] == [(REFUSES, on(1)), (REFUSES, on(4))]
    assert breaches[0].sentence == "Rounds on Tue 6 Oct: paused since Sat 3 Oct. Exam week."
    assert breaches[0].shared == "paused since Sat 3 Oct. Exam week."
    assert figures(breaches[0]) == [("hold", "Exam week, since Sat 3 Oct")]
    assert breaches[0].why.provenance is Provenance.HOUSE
    assert breaches[0].why.would_change == "The hold being lifted by whom it may be lifted."


def test_each_hold_and_each_session_it_stops_is_named() -> None:
    two = (make.hold(began_on=on(-1)), make.hold(id=2, kind=HoldKind.ILLNESS, cause="Fever", began_on=on(3)))

    assert len(found(somebody(holds=two), easy(1), easy(4), kind="hold")) == 4
    assert found(somebody(holds=(make.hold(lifted_at=make.at(TODAY)),)), easy(1), kind="hold") == []


def test_a_hold_on_one_way_of_moving_leaves_another() -> None:
    knee = (make.hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN),)

    assert found(somebody(holds=knee), easy(1, mode=Mode.WALK), kind="hold") == []
    assert len(found(somebody(holds=knee), easy(1, mode=Mode.RUN), kind="hold")) == 1


def test_middle_work_is_vigorous_and_easy_work_is_not() -> None:
    assert is_vigorous(hard(1)) is True
    assert is_vigorous(easy(1, kind=SessionKind.MIDDLE)) is True
    assert is_vigorous(easy(1)) is False


# The ceiling: five in any fourteen days is full (three on one a week), the next asks, one more is refused.


@pytest.mark.parametrize(
    ("phase", "before", "level"),
    [
        (Phase.INTERVAL_TWO, (-12, -9, -6, -3), None),
        (Phase.INTERVAL_TWO, (-13, -9, -7, -5, -3), ASKS),
        (Phase.INTERVAL_TWO, (-14, -9, -7, -5, -3), None),
        (Phase.INTERVAL_TWO, (-13, -11, -9, -7, -5, -3), REFUSES),
        (Phase.INTERVAL_ONE, (-10, -5), None),
        (Phase.INTERVAL_ONE, (-12, -8, -4), ASKS),
        (Phase.INTERVAL_ONE, (-13, -10, -7, -4), REFUSES),
        (Phase.KEEPING, (-12, -8, -4), ASKS),
    ],
)
def test_the_ceiling_of_a_fortnight(phase: Phase, before: tuple[int, ...], level: Level | None) -> None:
    breaches = found(somebody(phase, logs=done(*before)), hard(0), kind="ceiling")

    assert next((one.level for one in breaches), None) is level


def test_the_ceiling_names_the_days_and_the_place_in_the_row() -> None:
    asked = found(somebody(Phase.INTERVAL_ONE, logs=done(-9, -6, -3)), hard(0), kind="ceiling")[0]
    refused = found(somebody(Phase.INTERVAL_ONE, logs=done(-12, -9, -6, -3)), hard(0), kind="ceiling")[0]
    days = "Sat 26 Sep, Tue 29 Sep, Fri 2 Oct, Mon 5 Oct"

    assert asked.sentence == (
        f"Mon 5 Oct lies in 14 days with 4 hard sessions ({days}); 3 is full, this would be the 4th. "
        "A reason is asked for and kept."
    )
    assert asked.shared == f"4 hard sessions in 14 days ({days}); 3 is full."
    assert (asked.on, figures(asked)) == (TODAY, [("hard sessions", days), ("ceiling", "3 in any 14 days")])
    assert refused.sentence.endswith("3 is full, this would be the 5th. It is not published.")


def test_the_fullest_of_all_fortnights_that_hold_the_day_counts() -> None:
    standing = tuple(hard(n, id=n, published_at=make.at(TODAY)) for n in (4, 6, 8, 11, 14))
    later = found(somebody(), hard(1), kind="ceiling", standing=standing)
    both_sides = found(somebody(logs=done(-6, -4, -2)), hard(1), kind="ceiling", standing=standing[:2])

    assert [one.level for one in later] == [ASKS]
    assert [one.level for one in both_sides] == [ASKS]
    assert found(somebody(), hard(0), kind="ceiling", standing=standing) == []


def test_each_drafted_day_is_looked_at_in_order() -> None:
    breaches = found(somebody(Phase.INTERVAL_ONE, logs=done(-8, -6, -4)), hard(3), hard(0), kind="ceiling")

    assert [(one.on, one.level) for one in breaches] == [(on(0), REFUSES), (on(3), REFUSES)]


def test_what_was_done_long_before_and_what_was_answered_do_not_count_twice() -> None:
    answered = hard(2, id=7, published_at=make.at(TODAY))
    entry = make.log(id=1, planned_session_id=7, done_on=on(0), talk=Talk.FEW_WORDS)
    before = somebody(Phase.INTERVAL_ONE, logs=(entry, *done(-6)))
    missed = somebody(Phase.INTERVAL_ONE, logs=(make.log(id=1, planned_session_id=7, answer=Answer.NOT_DONE),))
    past = hard(-2, id=8, published_at=make.at(TODAY))

    assert found(before, hard(3), kind="ceiling", standing=(answered,)) == []
    assert found(missed, hard(3), kind="spacing", standing=(answered,)) == []
    assert found(somebody(), hard(-1), kind="spacing", standing=(past,)) == []
    assert found(somebody(), hard(1), kind="spacing", standing=(hard(0, id=9),)) != []
    assert found(somebody(), hard(1), kind="spacing", standing=(easy(0),)) == []


# Spacing: 48 h between starts; 72 h in the first eight interval weeks or from sixty (or with no birth date).


@pytest.mark.parametrize(
    ("weeks", "born", "apart", "asks"),
    [
        (20, 1985, 2, False),
        (20, 1985, 1, True),
        (8, 1985, 2, False),
        (7, 1985, 2, True),
        (7, 1985, 3, False),
        (20, 1966, 2, False),
        (20, 1965, 2, True),
        (20, 1965, 3, False),
    ],
)
def test_hard_sessions_lie_two_or_three_days_apart(weeks: int, born: int, apart: int, asks: bool) -> None:
    breaches = found(somebody(weeks=weeks, born=born, logs=done(0 - apart)), hard(0), kind="spacing")

    assert [one.level for one in breaches] == ([ASKS] if asks else [])


def test_the_age_counts_on_the_later_day() -> None:
    # Born on 7 October 1966: sixty from Wednesday on.
    born = {"born": 1966}

    assert found(somebody(**born, logs=done(-1)), hard(1), kind="spacing") == []
    assert len(found(somebody(**born, logs=done(0)), hard(2), kind="spacing")) == 1


def test_spacing_names_both_days() -> None:
    one = found(somebody(logs=done(-1)), hard(0), kind="spacing")[0]

    assert one.sentence == "Hard on Sun 4 Oct and Mon 5 Oct: 24 h apart, 48 h are needed."
    assert (one.on, figures(one)) == (TODAY, [("apart", "24 h"), ("needed", "48 h")])


def test_only_pairs_with_a_drafted_day_are_looked_at() -> None:
    assert found(somebody(logs=done(-9, -8)), hard(0), kind="spacing") == []
    assert len(found(somebody(logs=done(-2)), hard(-1), hard(0), kind="spacing")) == 2
    assert len(found(somebody(), hard(3), kind="spacing", standing=(hard(4, id=9),))) == 1
    assert len(found(somebody(), hard(1, id=1), hard(1, id=2), kind="spacing")) == 1


@pytest.mark.parametrize(
    ("decisions", "weeks"),
    [
        ((), 0),
        (((1, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, -21, True),), 3),
        (((1, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, -20, True),), 2),
        (((1, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, 5, True),), 0),
        (((1, DecisionKind.START, Phase.AEROBIC_BASE, -90, True),), 0),
        (
            (
                (1, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, -70, True),
                (2, DecisionKind.PROMOTE, Phase.INTERVAL_TWO, -14, True),
            ),
            10,
        ),
        (
            (
                (3, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, -14, True),
                (1, DecisionKind.PROMOTE, Phase.INTERVAL_ONE, -70, True),
                (2, DecisionKind.STEP_BACK, Phase.AEROBIC_BASE, -30, True),
            ),
            2,
        ),
        (((1, DecisionKind.BROUGHT_IN, Phase.INTERVAL_ONE, -70, True),), 10),
        (((1, DecisionKind.BROUGHT_IN, Phase.INTERVAL_ONE, -70, False),), 0),
    ],
)
def test_interval_weeks_are_those_of_the_last_unbroken_run(decisions: tuple, weeks: int) -> None:
    made = tuple(
        make.decision(id=n, kind=kind, phase=phase, since_on=on(day), confirmed_at=make.at(TODAY) if is_so else None)
        for n, kind, phase, day, is_so in decisions
    )

    assert interval_weeks_until(make.history(decisions=made), TODAY) == weeks


# What is said or asked of a hard session itself.


@pytest.mark.parametrize(("before", "is_said"), [(0, True), (1, True), (2, False), (-1, False)])
def test_strength_on_the_day_or_the_day_before_is_said(before: int, is_said: bool) -> None:
    strength = easy(3 - before, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH)
    as_draft = found(somebody(), hard(3), strength, kind="strength")
    standing = found(somebody(), hard(3), kind="strength", standing=(strength,))

    assert [one.level for one in as_draft] == [one.level for one in standing] == ([SAYS] if is_said else [])


def test_strength_is_said_of_the_hard_session() -> None:
    strength = easy(2, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH)
    one = found(somebody(), hard(3), easy(4), strength, kind="strength")[0]

    assert one.on == on(3)
    assert one.sentence == "Strength within a day before Rounds on Thu 8 Oct: keep heavy leg work away."


@pytest.mark.parametrize(("words", "asks"), [(None, True), ("", True), ("30 min easy.", False)])
def test_a_hard_session_carries_its_easy_version(words: str | None, asks: bool) -> None:
    breaches = found(somebody(), hard(1, easy_version=words), easy(2), kind="easy_version")

    assert [(one.level, one.sentence, one.shared) for one in breaches] == (
        [(ASKS, "Rounds on Tue 6 Oct: no easy version.", "no easy version.")] if asks else []
    )


ROUNDS = tuple(make.work_round(number=n) for n in range(1, 5))


@pytest.mark.parametrize(("good", "asks"), [(0, True), (5, True), (6, False)])
def test_a_maximal_test_waits_for_six_good_hard_sessions(good: int, asks: bool) -> None:
    logs = done(*(-7 * n for n in range(1, good + 1)), kind=SessionKind.INTERVALS, rounds=ROUNDS)
    breaches = found(somebody(logs=logs), hard(1, kind=SessionKind.TEST, title="Test"), hard(4), kind="early_test")

    assert [(one.level, one.on) for one in breaches] == ([(ASKS, on(1))] if asks else [])


def test_an_early_test_says_how_many_there_were() -> None:
    logs = (*done(-7, kind=SessionKind.INTERVALS, rounds=ROUNDS), *done(-3))
    one = found(somebody(logs=logs), hard(1, kind=SessionKind.TEST, title="Test"), kind="early_test")[0]

    assert one.sentence == "Test on Tue 6 Oct after 1 good hard session; 6 come first."
    assert figures(one) == [("good hard sessions", "1"), ("asked", "6")]


def test_a_session_that_is_no_test_waits_for_nothing() -> None:
    assert found(somebody(), hard(1), kind="early_test") == []


# The longest gap in plans, once in the interval phase, is seven days.


@pytest.mark.parametrize(
    ("phase", "before", "ahead", "is_said"),
    [
        (Phase.INTERVAL_TWO, -5, 2, False),
        (Phase.INTERVAL_TWO, -5, 3, True),
        (Phase.INTERVAL_ONE, -5, 3, True),
        (Phase.KEEPING, -5, 3, False),
        (Phase.AEROBIC_BASE, -5, 3, False),
    ],
)
def test_more_than_seven_days_between_hard_sessions_are_said(phase, before, ahead, is_said: bool) -> None:
    breaches = found(somebody(phase, logs=done(before)), hard(ahead), kind="gap")

    assert [one.level for one in breaches] == ([SAYS] if is_said else [])


def test_a_gap_names_where_it_begins_and_how_long_it_is() -> None:
    one = found(somebody(logs=done(-5)), hard(3), kind="gap")[0]

    assert one.sentence == "8 days without a hard session from Wed 30 Sep; 7 is the limit."
    assert (one.on, figures(one)) == (on(3), [("days", "8"), ("limit", "7 days in plans")])


@pytest.mark.parametrize(("last", "is_said"), [(1, False), (2, True)])
def test_a_gap_that_runs_on_to_the_end_of_the_drafts_is_said(last: int, is_said: bool) -> None:
    # The day after the last drafted one ends it: seven days from Wednesday before are Wednesday.
    assert bool(found(somebody(logs=done(-5)), easy(last), kind="gap")) is is_said


def test_gaps_before_the_drafts_are_over_and_done() -> None:
    assert found(somebody(logs=done(-20, -5)), hard(2), kind="gap") == []
    assert found(somebody(), easy(9), kind="gap") == []
    assert len(found(somebody(logs=done(-5)), hard(3), hard(12), kind="gap")) == 2


def test_a_gap_that_ends_on_the_first_drafted_day_is_said() -> None:
    assert len(found(somebody(logs=done(-9)), hard(0), easy(1), kind="gap")) == 1


@pytest.mark.parametrize(("away", "is_said"), [(-5, True), (-4, False), (2, False), (3, True)])
def test_agreed_leave_between_them_explains_a_gap(away: int, is_said: bool) -> None:
    leave = make.leave(from_on=on(away), until_on=on(away))

    assert bool(found(somebody(logs=done(-5), leaves=(leave,)), hard(3), kind="gap")) is is_said


@pytest.mark.parametrize(("away", "is_said"), [(-5, True), (-4, False), (2, False), (3, True)])
def test_days_told_as_away_between_them_explain_a_gap(away: int, is_said: bool) -> None:
    told = make.told_away(from_on=on(away), until_on=on(away))

    assert bool(found(somebody(logs=done(-5), told_away=(told,)), hard(3), kind="gap")) is is_said


def test_hard_days_of_the_last_four_weeks_are_looked_back_on() -> None:
    assert len(found(somebody(logs=done(-28)), hard(0), kind="gap")) == 1
    assert found(somebody(logs=done(-29)), hard(0), kind="gap") == []


# What is looked at first never hides what comes after it.


def test_a_hold_that_leaves_a_session_hides_no_other_hold() -> None:
    knee = make.hold(kind=HoldKind.INJURY, stops=Stops.MODE_AND_HARD, mode=Mode.RUN)

    assert len(found(somebody(holds=(knee, make.hold(id=2))), easy(1), kind="hold")) == 1


def test_a_day_under_the_ceiling_hides_no_later_one() -> None:
    drafts = [hard(n) for n in (0, 16, 18, 20, 22)]

    assert [one.on for one in found(somebody(Phase.INTERVAL_ONE), *drafts, kind="ceiling")] == [
        on(16),
        on(18),
        on(20),
        on(22),
    ]


@pytest.mark.parametrize("before", [(-9, -8), (-9,)], ids=["close, not drafted", "far apart"])
def test_a_pair_that_is_fine_hides_no_later_one(before: tuple[int, ...]) -> None:
    assert len(found(somebody(logs=done(*before)), hard(0), hard(1), kind="spacing")) == 1


def test_a_short_gap_hides_no_later_one() -> None:
    assert len(found(somebody(logs=done(-7, -5)), hard(4), kind="gap")) == 1


def test_a_gap_runs_to_the_last_drafted_day_or_to_the_next_hard_one() -> None:
    to_the_end = found(somebody(logs=done(-5)), easy(1), easy(9), kind="gap")
    to_the_next = found(somebody(logs=done(-5)), easy(1), kind="gap", standing=(hard(6, id=9),))

    assert [one.sentence[:7] for one in to_the_end] == ["15 days"]
    assert [one.sentence[:7] for one in to_the_next] == ["11 days"]


def test_each_rule_says_where_it_is_from() -> None:
    drafts = (
        *(hard(n, easy_version=None) for n in (0, 1, 2, 3)),
        hard(12, kind=SessionKind.TEST),
        easy(0, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH),
    )
    breaches = hard_breaches(somebody(Phase.INTERVAL_ONE), (), drafts, TODAY, RULES)
    of = {one.kind: one.why.provenance for one in breaches}

    assert of.pop("easy_version") is Provenance.HOUSE
    assert set(of) == {"ceiling", "spacing", "strength", "early_test", "gap", "rounds"}
    assert set(of.values()) == {Provenance.COMMON_PRACTICE}


def test_heavy_work_for_the_legs_the_day_before_asks() -> None:
    heavy = somebody(logs=(make.log(done_on=TODAY, heavy_legs=True),))

    assert [(one.level, one.on) for one in found(heavy, hard(1), hard(5), kind="legs")] == [(ASKS, on(1))]
