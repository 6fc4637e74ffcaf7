"""What a month reads, and that nothing from later changes it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from app.coaching.history import History
from app.coaching.month import month_lines, month_summary
from app.coaching.month_inputs import belongs_to_month, fingerprint, month_inputs, month_window, of_all
from app.coaching.month_words import month_sentence, month_title
from app.coaching.people import ClientState
from app.coaching.phases import DecisionKind, Phase
from app.coaching.rules import Rules
from tests import factories as make

RULES = Rules()
MONTH = "2026-10"
AFTER = date(2026, 11, 9)
LONG_AFTER = date(2028, 2, 1)


def _history(**records: object) -> History:
    logs = make.base_weeks(20, before=date(2026, 11, 2))
    return make.history(**({"logs": logs} | records))


def _fingerprint(history: History, today: date = AFTER, rules: Rules = RULES) -> str:
    return fingerprint(month_inputs(history, MONTH, today), MONTH, today, rules).inputs_sha256


def test_the_window_is_whole_weeks_with_the_base_before():
    window = month_window(MONTH, AFTER)

    assert (window.from_on.weekday(), window.until_on) == (0, date(2026, 11, 1))
    assert window.from_on == date(2026, 9, 28) - timedelta(weeks=60)


def test_a_month_that_is_over_is_read_as_of_its_last_weeks_end():
    assert month_window(MONTH, LONG_AFTER).as_of == month_window(MONTH, AFTER).as_of == date(2026, 11, 2)


def test_a_month_that_runs_is_read_as_of_today():
    assert month_window(MONTH, date(2026, 10, 14)).as_of == date(2026, 10, 14)


def test_what_happened_long_after_changes_neither_figures_nor_fingerprint():
    then = _history()
    later = make.log(id=99, done_on=date(2027, 5, 3))
    promotion = make.decision(id=9, kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=date(2027, 5, 3))
    now = _history(logs=(*then.logs, later), decisions=(promotion,), notes=(make.note(),))

    assert _fingerprint(now, LONG_AFTER) == _fingerprint(then)
    assert _sum(now, LONG_AFTER) == _sum(then, AFTER)


def _sum(history: History, today: date) -> object:
    return month_summary(month_inputs(history, MONTH, today), MONTH, month_window(MONTH, today).as_of, RULES)


def test_a_late_entry_about_the_month_changes_the_fingerprint():
    late = make.log(id=99, done_on=date(2026, 10, 30))
    then = _history()

    assert _fingerprint(replace(then, logs=(*then.logs, late))) != _fingerprint(then)


def test_a_hold_lifted_later_counts_as_open_at_the_time():
    lifted = make.hold(began_on=date(2026, 10, 20), lifted_at=make.at(date(2026, 12, 1)), lifted_because="Paper.")
    still = make.hold(began_on=date(2026, 10, 20))

    assert _fingerprint(_history(holds=(lifted,))) == _fingerprint(_history(holds=(still,)))
    assert month_inputs(_history(holds=(lifted,)), MONTH, AFTER).holds[0].lifted_because is None


def test_other_rules_have_another_fingerprint_of_rules():
    inputs = month_inputs(_history(), MONTH, AFTER)

    made = [fingerprint(inputs, MONTH, AFTER, rules) for rules in (RULES, Rules(easy_share=0.85))]

    assert made[0].settings_sha256 != made[1].settings_sha256
    assert made[0].inputs_sha256 == made[1].inputs_sha256


def test_a_phone_number_is_no_input():
    moved = make.client(phone="0151 999", revision=8)

    assert _fingerprint(_history(client=moved)) == _fingerprint(_history())


def test_the_fingerprint_over_several_depends_on_each():
    one = fingerprint(month_inputs(_history(), MONTH, AFTER), MONTH, AFTER, RULES)
    other = replace(one, inputs_sha256="0" * 64)

    both = of_all([one, other])

    assert both is not None
    assert both.inputs_sha256 not in {one.inputs_sha256, other.inputs_sha256}
    assert of_all([]) is None


@pytest.mark.parametrize(("state", "is_in"), [(ClientState.ACTIVE, True), (ClientState.LEFT, False)])
def test_a_client_without_records_belongs_to_the_month_while_here(state, is_in):
    nothing = make.history(client=make.client(state=state))

    assert belongs_to_month(nothing, MONTH) is is_in


def test_one_who_left_stays_in_the_months_of_their_training():
    assert belongs_to_month(_history(client=make.client(state=ClientState.LEFT)), MONTH)


def test_a_session_moved_over_the_edge_stands_in_both_months():
    planned = (make.planned(id=1, planned_on=date(2026, 10, 31)),)
    done = (make.log(id=1, planned_session_id=1, done_on=date(2026, 11, 1)),)
    history = make.history(planned=planned, logs=done)

    assert len(month_lines(history, "2026-10", AFTER, RULES)) == 1
    assert len(month_lines(history, "2026-11", AFTER, RULES)) == 1


def test_a_month_has_a_name():
    assert month_title(MONTH) == "October 2026"


def test_the_sentence_says_what_was_done_against_what_was_planned():
    history = make.history(
        client=make.client(regularly_active_confirmed_on=date(2026, 1, 1)),
        planned=(make.planned(planned_on=date(2026, 10, 6)),),
        logs=(make.log(planned_session_id=1, done_on=date(2026, 10, 6), minutes=75.0),),
    )

    sentence = month_sentence(month_summary(history, MONTH, AFTER, RULES))

    assert sentence == "1 session done, 1 planned; 1 h 15 against 45 min; 100 % of it easy; no hard session."


def test_the_sentence_of_an_empty_month_scolds_nobody():
    sentence = month_sentence(month_summary(make.history(), MONTH, AFTER, RULES))

    assert sentence == "Nothing was planned or logged in this month."


def test_a_client_whose_month_has_not_begun_yet_has_an_empty_one():
    summary = month_summary(_history(), "2026-12", date(2026, 11, 30), RULES)

    assert (summary.counts.done_sessions, summary.hard_sessions, summary.weeks) == (0, 0, ())
