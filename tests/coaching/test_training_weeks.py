"""Training weeks: minutes by band, hard sessions done, held weeks, breaks, adherence, transition."""

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.base_weeks import adherence, count_held
from app.coaching.done_work import MinutesByBand, is_hard_done, minutes_by_band
from app.coaching.effort import Talk
from app.coaching.facts import facts_of
from app.coaching.holds import Stops
from app.coaching.people import Mode, Origin
from app.coaching.phases import DecisionKind, Phase
from app.coaching.prescriptions import SessionKind
from app.coaching.rules import Rules
from app.coaching.session_logs import Answer, SpoiltBy
from app.coaching.training_weeks import Held, easy_share_of, logged_mondays, week_facts
from tests.factories import (
    TODAY,
    at,
    base_week,
    base_weeks,
    client,
    decision,
    history,
    hold,
    leave,
    log,
    planned,
    planned_hard,
    planned_week,
    work_round,
)

RULES = Rules()
MONDAY = TODAY - timedelta(weeks=1)
H, N, U, A = Held.HELD, Held.NOT_HELD, Held.UNKNOWN, Held.AWAY


def _bands(done, plan=None, *, after_transition=True):
    return minutes_by_band(done, plan, after_transition=after_transition, rules=RULES)


def _plans(*days: int, minutes: int = 45):
    return tuple(
        planned(id=n + 1, planned_on=MONDAY + timedelta(days=day), minutes=minutes) for n, day in enumerate(days)
    )


def _answering(*days: int, minutes: float = 45, **changes):
    return tuple(
        log(id=n + 1, planned_session_id=n + 1, done_on=MONDAY + timedelta(days=day), minutes=minutes, **changes)
        for n, day in enumerate(days)
    )


def _facts(**changes):
    return week_facts(history(**changes), MONDAY, TODAY, RULES)


# Minutes by band (common practice, no published source).


def test_rounds_come_first():
    done = log(kind=SessionKind.INTERVALS, minutes=57, rounds=(work_round(), work_round(number=2)), talk=Talk.CHAT)

    assert _bands(done, planned_hard()) == MinutesByBand(easy=49, hard=8)


def test_a_rounds_own_effort_says_its_band():
    done = log(kind=SessionKind.INTERVALS, minutes=30, rounds=(work_round(effort=6),))

    assert _bands(done) == MinutesByBand(easy=26, middle=4)


def test_the_plans_steps_are_scaled_to_the_minutes_done():
    done = log(kind=SessionKind.INTERVALS, answer=Answer.PARTLY, minutes=28.5, talk=None, effort=None)

    assert _bands(done, planned_hard()) == MinutesByBand(easy=20.5, hard=8)


def test_an_easy_plan_felt_hard_is_counted_by_the_answer():
    assert _bands(log(talk=Talk.FEW_WORDS), planned()) == MinutesByBand(hard=45)


def test_an_extra_is_counted_by_talk_then_effort():
    assert _bands(log(talk=Talk.CHAT, effort=8)) == MinutesByBand(easy=45)
    assert _bands(log(talk=None, effort=5)) == MinutesByBand(middle=45)


def test_without_any_answer_it_is_unknown():
    assert _bands(log(talk=None, effort=None)) == MinutesByBand(unknown=45)


def test_speaking_in_sentences_is_middle_before_the_transition_is_over():
    assert _bands(log(talk=Talk.SENTENCES), after_transition=False) == MinutesByBand(middle=45)
    assert _bands(log(talk=Talk.SENTENCES), after_transition=True) == MinutesByBand(easy=45)


def test_not_done_is_no_minutes():
    assert _bands(log(answer=Answer.NOT_DONE)) == MinutesByBand()


@given(st.floats(min_value=1, max_value=400), st.sampled_from([None, *Talk]), st.sampled_from([None, 3, 6, 8]))
def test_bands_add_up_to_the_minutes_done(minutes, talk, effort):
    done = log(minutes=minutes, talk=talk, effort=effort)

    assert _bands(done, planned_hard()).total == pytest.approx(minutes)


def test_easy_share_is_of_known_minutes():
    share = easy_share_of(MinutesByBand(easy=60, middle=15, unknown=25), RULES)

    assert (share.fraction, share.unknown_fraction) == (0.8, 0.25)


def test_easy_share_is_not_defined_over_a_quarter_unknown():
    share = easy_share_of(MinutesByBand(easy=74, unknown=26), RULES)

    assert share.fraction is None
    assert share.missing == "effort unknown for 26 % of the minutes"


# Hard session, done (common practice, no published source).


@pytest.mark.parametrize(
    "changes",
    [
        {"rounds": (work_round(),)},
        {"rounds": tuple(work_round(number=n, is_complete=False, duration_s=160) for n in (1, 2, 3))},
        {"minutes": 20, "effort": 7, "talk": None},
        {"talk": Talk.FEW_WORDS},
        {"felt_all_out": True},
        {"kind": SessionKind.RACE},
    ],
    ids=["one round", "8 min hard", "20 min at 7", "few words", "all out", "race"],
)
def test_each_clause_makes_a_session_hard(changes):
    assert is_hard_done(log(**changes), None, RULES) is not None


@pytest.mark.parametrize(
    "changes",
    [
        {},
        {"rounds": tuple(work_round(number=n, is_complete=False, duration_s=159) for n in (1, 2, 3))},
        {"minutes": 7.9, "effort": 7, "talk": None},
        {"minutes": 60, "effort": 6.9, "talk": None},
        {"answer": Answer.NOT_DONE, "felt_all_out": True},
        {"kind": SessionKind.STRENGTH, "mode": Mode.STRENGTH, "effort": 9},
    ],
    ids=["easy", "under 8 min", "short", "effort under 7", "not done", "strength"],
)
def test_just_short_of_each_clause_is_not_hard(changes):
    assert is_hard_done(log(**changes), None, RULES) is None


def _rounds(count: int):
    return tuple(work_round(number=n + 1) for n in range(count))


@pytest.mark.parametrize(
    ("done", "asked", "counts"), [(1, 4, False), (2, 4, False), (3, 4, True), (4, 4, True), (2, 2, True)]
)
def test_one_or_two_rounds_then_stopped_are_hard_and_no_progress(done, asked, counts):
    session = log(kind=SessionKind.INTERVALS, minutes=50, rounds=_rounds(done))

    found = is_hard_done(session, planned_hard(rounds=asked), RULES)

    assert found.counts_for_progress is counts


def test_a_race_is_hard_and_no_progress():
    found = is_hard_done(log(kind=SessionKind.RACE), None, RULES)

    assert found.counts_for_progress is False


def test_spoilt_by_heat_is_no_progress():
    session = log(kind=SessionKind.INTERVALS, minutes=57, rounds=_rounds(4), spoilt_by=SpoiltBy.HEAT)

    assert not is_hard_done(session, planned_hard(), RULES).counts_for_progress


# Week held (common practice, no published source): every clause, met and just not.


def test_a_planned_week_done_is_held():
    facts = _facts(planned=_plans(0, 2, 5), logs=_answering(0, 2, 5))

    assert (facts.held, facts.planned_minutes, facts.done_minutes, facts.days) == (Held.HELD, 135, 135, 3)


@pytest.mark.parametrize(("minutes", "held"), [(45, Held.HELD), (44.9, Held.NOT_HELD)])
def test_three_quarters_of_the_plan(minutes, held):
    assert _facts(planned=_plans(0, 2, 5, minutes=60), logs=_answering(0, 2, 5, minutes=minutes)).held is held


def test_two_days_do_not_hold_a_week():
    assert _facts(planned=_plans(0, 2), logs=_answering(0, 2, minutes=60)).held is Held.NOT_HELD


@pytest.mark.parametrize(("minutes", "held"), [(30, Held.HELD), (29.9, Held.NOT_HELD)])
def test_ninety_minutes(minutes, held):
    assert _facts(planned=_plans(0, 2, 5, minutes=30), logs=_answering(0, 2, 5, minutes=minutes)).held is held


@pytest.mark.parametrize(("minutes", "held"), [(25, Held.HELD), (24.9, Held.NOT_HELD)])
def test_seventy_five_in_a_planned_easier_week(minutes, held):
    facts = _facts(
        planned=_plans(0, 2, 5, minutes=25),
        logs=_answering(0, 2, 5, minutes=minutes),
        weeks=(planned_week(starts_on=MONDAY, is_easier=True),),
    )

    assert facts.held is held


def test_the_easy_share_has_to_be_kept():
    logs = (*_answering(0, 2), log(id=9, done_on=MONDAY + timedelta(days=5), talk=None, effort=6))

    assert _facts(logs=logs).held is Held.NOT_HELD


def test_too_much_unknown_effort_is_unknown():
    logs = (*_answering(0, 2), log(id=9, done_on=MONDAY + timedelta(days=5), talk=None, effort=None))

    assert _facts(logs=logs).held is Held.UNKNOWN


def test_anything_hard_before_promotion_breaks_it():
    logs = (*_answering(0, 2, 4), log(id=9, done_on=MONDAY + timedelta(days=5), minutes=8, talk=Talk.FEW_WORDS))

    assert _facts(logs=logs).held is Held.NOT_HELD
    promoted = decision(kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=MONDAY)
    assert _facts(logs=logs, decisions=(promoted,)).held is Held.HELD


def test_not_logged_is_unknown_and_missed_is_not():
    plans = _plans(0, 2, 5)
    missed = log(id=9, planned_session_id=3, answer=Answer.NOT_DONE, minutes=None, done_on=MONDAY + timedelta(days=5))

    assert _facts(planned=plans, logs=_answering(0, 2)).held is Held.UNKNOWN
    assert _facts(planned=plans, logs=(*_answering(0, 2), missed)).held is Held.NOT_HELD


@pytest.mark.parametrize(("days", "held"), [(3, Held.NOT_HELD), (4, Held.AWAY)])
def test_leave_over_three_days_neither_counts_nor_breaks(days, held):
    away = leave(from_on=MONDAY, until_on=MONDAY + timedelta(days=days - 1))

    assert _facts(logs=_answering(5), leaves=(away,)).held is held


def test_a_hold_on_all_training_over_three_days_counts_as_away():
    paused = hold(began_on=MONDAY, lifted_at=at(MONDAY + timedelta(days=4)))

    assert _facts(logs=_answering(5), holds=(paused,)).held is Held.AWAY


def test_a_hold_on_hard_work_does_not():
    assert _facts(logs=base_week(MONDAY), holds=(hold(began_on=MONDAY, stops=Stops.HARD),)).held is Held.HELD


def test_a_week_that_is_not_over_is_open():
    assert week_facts(history(logs=base_week(TODAY)), TODAY, TODAY + timedelta(days=6), RULES).held is Held.OPEN


def test_a_brought_in_week_is_judged_without_a_plan_and_says_so():
    facts = _facts(logs=_answering(0, 2, 5, origin=Origin.FILE))

    assert facts.held is Held.HELD
    assert "nothing was planned here; judged on what was done" in facts.because
    assert "brought in from a file" in facts.because


def test_strength_is_kept_apart():
    strength = log(id=9, kind=SessionKind.STRENGTH, mode=Mode.STRENGTH, done_on=MONDAY, minutes=40)

    facts = _facts(logs=(*_answering(0, 2, 5), strength))

    assert (facts.done_minutes, facts.strength_minutes) == (135, 40)


def test_mondays_run_from_the_first_entry_to_the_last_whole_week():
    assert logged_mondays(history(logs=base_week(MONDAY - timedelta(weeks=2))), TODAY) == (
        MONDAY - timedelta(weeks=2),
        MONDAY - timedelta(weeks=1),
        MONDAY,
    )


# Weeks not held (common practice, no published source).


@pytest.mark.parametrize(
    ("weeks", "count", "owed"),
    [
        ([H] * 5, 5, 0),
        ([H, H, N, N, H], 3, 0),
        ([H, H, N, N, N], 2, 2),
        ([H, H, N, N, N, H], 2, 1),
        ([H, H, N, N, N, H, H], 2, 0),
        ([H, H, N, N, N, H, H, H], 3, 0),
        ([H] * 10 + [N] * 7, 10, 2),
        ([H] * 10 + [N] * 8, 5, 2),
        ([H] * 10 + [N] * 11, 5, 2),
        ([H] * 10 + [N] * 12, 0, 0),
        ([H] * 10 + [N] * 12 + [H], 1, 0),
        ([H, H, N, N, A, A, H], 3, 0),
        ([H, H, N, A, N, A, N], 2, 2),
        ([H, H, U, U, U], 2, 2),
    ],
)
def test_breaks(weeks, count, owed):
    found = count_held(weeks)

    assert (found.weeks, found.owed) == (count, owed)


@given(st.lists(st.sampled_from([H, N, U, A]), max_size=60))
def test_the_count_never_exceeds_the_held_weeks(weeks):
    assert 0 <= count_held(weeks).weeks <= weeks.count(H)


@given(st.lists(st.sampled_from([H, N, U, A]), max_size=60), st.integers(min_value=0, max_value=60))
def test_a_week_away_changes_nothing(weeks, place):
    assert count_held([*weeks[:place], A, *weeks[place:]]) == count_held(weeks)


# Adherence (common practice, no published source).


def test_done_is_capped_at_planned():
    found = adherence(history(planned=_plans(0, 2, 5), logs=_answering(0, 2, 5, minutes=90)), (MONDAY,), TODAY)

    assert found.fraction == 1.0


def test_adherence_is_done_against_planned():
    found = adherence(history(planned=_plans(0, 2, 5), logs=_answering(0, 2)), (MONDAY,), TODAY)

    assert found.fraction == pytest.approx(90 / 135)
    assert (found.not_logged_minutes, found.best_fraction) == (45, 1.0)


def test_days_on_leave_are_left_out():
    away = leave(from_on=MONDAY + timedelta(days=5), until_on=MONDAY + timedelta(days=6))

    found = adherence(history(planned=_plans(0, 2, 5), logs=_answering(0, 2), leaves=(away,)), (MONDAY,), TODAY)

    assert found.fraction == 1.0


def test_without_a_plan_there_is_no_adherence():
    assert adherence(history(logs=_answering(0, 2)), (MONDAY,), TODAY).fraction is None


# Transition: two to three months of easy work first (from memory, unchecked).


def transition(given):
    return facts_of(given, TODAY, RULES).transition


def test_the_transition_counts_easy_weeks_with_an_outing():
    gaps = tuple(entry for entry in base_weeks(13) if entry.done_on != TODAY - timedelta(weeks=5))

    assert transition(history(logs=gaps)).weeks_done == 13
    assert transition(history(logs=base_weeks(12))).is_done
    assert not transition(history(logs=base_weeks(11))).is_done


def test_a_week_with_something_hard_does_not_count():
    hard = log(id=1, done_on=MONDAY, felt_all_out=True)

    assert transition(history(logs=(*base_weeks(12), hard))).weeks_done == 11


def test_it_is_over_from_the_monday_after_the_twelfth_week():
    assert transition(history(logs=base_weeks(14))).over_from == TODAY - timedelta(weeks=2)


def test_over_twelve_weeks_off_it_starts_again():
    back = TODAY - timedelta(weeks=3)
    logs = (*base_weeks(20, before=back - timedelta(weeks=13)), *base_weeks(3))

    assert transition(history(logs=logs)).weeks_done == 3


def test_confirmed_activity_needs_none():
    active = client(regularly_active_confirmed_on=date(2026, 1, 5))

    assert transition(history(client=active)).is_done


def test_what_was_brought_in_as_a_phase_does_not_end_the_transition():
    brought_in = decision(kind=DecisionKind.BROUGHT_IN, phase=Phase.INTERVAL_ONE, confirmed_at=at(MONDAY))

    assert not transition(history(decisions=(brought_in,))).is_done


# One pairing with the comparison: an entry that answers a session loosely answers it here too.


def _plan(days: int, **changes):
    return planned(id=900 + days, planned_on=MONDAY + timedelta(days=days), **changes)


def test_a_session_done_on_another_day_is_not_called_not_logged():
    sessions = (_plan(0), _plan(2), _plan(4))
    moved = tuple(log(id=day, done_on=MONDAY + timedelta(days=day)) for day in (1, 3, 5))

    facts = week_facts(history(planned=sessions, logs=moved), MONDAY, TODAY, RULES)

    assert facts.not_logged == ()


def test_an_entry_that_names_last_weeks_session_answers_it():
    late = log(id=1, planned_session_id=906, done_on=MONDAY + timedelta(days=7))

    facts = week_facts(history(planned=(_plan(6),), logs=(late,)), MONDAY, TODAY, RULES)

    assert facts.not_logged == ()


def test_a_loosely_paired_hard_session_is_hard_by_its_plan():
    session = planned_hard(id=900, planned_on=MONDAY)
    done = log(id=1, done_on=MONDAY, kind=session.kind, mode=session.mode, talk=None, effort=None)

    facts = week_facts(history(planned=(session,), logs=(done,)), MONDAY, TODAY, RULES)

    assert facts.hard_sessions == 1


def test_adherence_and_held_weeks_agree_on_what_was_not_logged():
    given = history(planned=(_plan(0), _plan(2)), logs=(log(id=1, done_on=MONDAY + timedelta(days=1)),))

    facts = week_facts(given, MONDAY, TODAY, RULES)

    assert [one.id for one in facts.not_logged] == [902]
    assert adherence(given, (MONDAY,), TODAY).not_logged_minutes == facts.not_logged[0].minutes
