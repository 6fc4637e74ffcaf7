"""Whether heart rate may steer and be compared on a day, and where its series breaks."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.heart_rate_trust import heart_rate_trust, names_other_groups, since_last_break, trust_of
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import HeartRateUse
from app.coaching.questions import MEDICINE_GROUPS
from app.coaching.screening import YesNo
from app.coaching.weeks import local_day
from tests import factories as make
from tests.factories import TODAY, at

RELIABLE, UNKNOWN, OFF = HeartRateUse.RELIABLE, HeartRateUse.UNKNOWN, HeartRateUse.NOT_RELIABLE


def ago(days: int) -> date:
    return TODAY - timedelta(days=days)


def asked(days_ago: int, *groups: str, sure: str = "yes", id: int = 1):
    """Answers that name some groups of medicines."""
    slowing = {group.key for group in MEDICINE_GROUPS if group.uncouples_heart_rate}
    medicines = {group.key: sure if group.key in groups else "no" for group in MEDICINE_GROUPS}
    return make.answers(
        id=id,
        answered_on=ago(days_ago),
        heart_rate_medicine=YesNo.YES if slowing & set(groups) else YesNo.NO,
        details_json=json.dumps({"medicines": medicines}),
    )


def changed(began: int, lifted: int | None = None):
    """A hold for a medicine change, so many days ago."""
    return make.hold(
        kind=HoldKind.MEDICINE_CHANGE,
        stops=Stops.HARD,
        began_on=ago(began),
        lifted_at=None if lifted is None else at(ago(lifted), 20),
    )


def trust(use=RELIABLE, *, answers=(), holds=(), notes=(), day=TODAY):
    changed_on = [one.noted_on for one in notes if one.medicine_changed]
    return heart_rate_trust(make.client(heart_rate_use=use), day, answers=answers, holds=holds, changed_on=changed_on)


BETA, BETA_UNSURE = asked(90, "beta_blocker"), asked(90, "beta_blocker", sure="not_sure")
NONE = asked(90)
RHYTHM_LONG_AGO, BETA_LONG_AGO = asked(200, "rhythm", id=7), asked(200, "beta_blocker", id=7)
BETA_AGAIN = asked(6, "beta_blocker", id=3)
NO_DETAILS = make.answers(answered_on=ago(90), heart_rate_medicine=YesNo.YES)
BROKEN = make.answers(answered_on=ago(90), heart_rate_medicine=YesNo.YES, details_json="[]")


@pytest.mark.parametrize(
    ("use", "answers", "holds", "expected", "since"),
    [
        (RELIABLE, (), (), RELIABLE, None),
        (UNKNOWN, (), (), UNKNOWN, None),
        (OFF, (), (), OFF, None),
        (RELIABLE, (NONE,), (), RELIABLE, None),
        (RELIABLE, (asked(90, "insulin", "statin", "raises"),), (), RELIABLE, None),
        (RELIABLE, (BETA,), (), OFF, 90),
        (RELIABLE, (BETA_UNSURE,), (), OFF, 90),
        (RELIABLE, (asked(90, "rhythm"),), (), OFF, 90),
        (RELIABLE, (asked(90, "device_or_rhythm"),), (), OFF, 90),
        (RELIABLE, (NO_DETAILS,), (), OFF, 90),
        (RELIABLE, (BROKEN,), (), OFF, 90),
        (UNKNOWN, (BETA,), (), OFF, 90),
        (OFF, (BETA,), (), OFF, None),
        # Settled by later answers; and named again by later ones.
        (RELIABLE, (BETA, asked(6, id=2)), (), RELIABLE, None),
        (RELIABLE, (NONE, asked(6, "beta_blocker", id=2)), (), OFF, 6),
        # Since the first of the unbroken run that names the same; the order they are read in does not matter.
        (RELIABLE, (RHYTHM_LONG_AGO, BETA, BETA_AGAIN), (), OFF, 90),
        (RELIABLE, (BETA_AGAIN, BETA, RHYTHM_LONG_AGO), (), OFF, 90),
        (RELIABLE, (BETA_LONG_AGO, NONE, BETA_AGAIN), (), OFF, 6),
        (RELIABLE, (asked(6, "beta_blocker", id=3), asked(6, id=4)), (), RELIABLE, None),
        (RELIABLE, (asked(6, id=4), asked(6, "beta_blocker", id=3)), (), RELIABLE, None),
        # Of two reasons the earlier day counts.
        (RELIABLE, (BETA,), (changed(4),), OFF, 90),
        # Reviewed by lifting the hold, which later answers alike leave alone and others do not.
        (RELIABLE, (BETA,), (changed(90, 80),), RELIABLE, None),
        (UNKNOWN, (BETA,), (changed(90, 80),), OFF, 90),
        (RELIABLE, (BETA, asked(6, "beta_blocker", id=2)), (changed(90, 80),), RELIABLE, None),
        (RELIABLE, (BETA, asked(6, "beta_blocker", "rhythm", id=2)), (changed(90, 80),), OFF, 6),
        (RELIABLE, (BETA,), (changed(100, 95),), OFF, 90),
        # A change waits for its review whatever else is known.
        (RELIABLE, (), (changed(4),), OFF, 4),
        (RELIABLE, (BETA,), (changed(90, 80), changed(4)), OFF, 4),
        (RELIABLE, (), (changed(4, 0),), RELIABLE, None),
        (RELIABLE, (), (make.hold(kind=HoldKind.SYMPTOM),), RELIABLE, None),
    ],
)
def test_what_heart_rate_is_worth_today(use, answers, holds, expected, since):
    found = trust(use, answers=answers, holds=holds)

    assert (found.use, found.since_on) == (expected, None if since is None else ago(since))
    assert bool(found.because) is bool(found.sentence) is found.is_off is (expected is OFF)


@pytest.mark.parametrize(
    ("days_ago", "expected"), [(11, RELIABLE), (10, OFF), (3, OFF), (2, RELIABLE), (0, RELIABLE)]
)
def test_it_is_off_from_the_change_to_the_day_of_the_review(days_ago, expected):
    assert trust(holds=(changed(10, 2),), day=ago(days_ago)).use is expected


@pytest.mark.parametrize(("days_ago", "expected"), [(91, RELIABLE), (90, OFF)])
def test_answers_count_from_their_own_day(days_ago, expected):
    assert trust(answers=(BETA,), day=ago(days_ago)).use is expected


@pytest.mark.parametrize(("days_ago", "reasons"), [(90, 2), (81, 2), (80, 0), (0, 0)])
def test_answers_are_reviewed_from_the_day_the_hold_is_lifted(days_ago, reasons):
    found = trust(answers=(BETA,), holds=(changed(90, 80),), day=ago(days_ago))

    assert len(found.because) == reasons


def test_a_review_in_the_minute_of_the_answers_counts():
    lifted = replace(changed(90), lifted_at=BETA.entered_at)

    assert trust(answers=(BETA,), holds=(lifted,)).use is RELIABLE


def test_a_recorded_heart_rate_is_marked_while_it_is_off():
    assert trust(OFF).beside("140 bpm") == "140 bpm (recorded only, not compared)"
    assert trust().beside("140 bpm") == "140 bpm"
    assert trust().sentence == ""


def test_the_sentence_says_why_and_what_instead():
    found = trust(answers=(BETA,), holds=(changed(4),))

    assert found.sentence == (
        f"Heart rate is not reliable for this client: the answers of {found_day(90)} name a medicine or rhythm that "
        f"uncouples it; a medicine changed on {found_day(4)} and the source is not reviewed yet. Steer by talk and "
        "effort."
    )


def found_day(days: int) -> str:
    return f"{ago(days).day} {ago(days):%B %Y}"


@pytest.mark.parametrize(
    ("answers", "holds", "notes", "days"),
    [
        ((), (), (), ()),
        ((BETA,), (), (), ()),
        ((NONE, asked(6, "beta_blocker", id=2)), (), (), (6,)),
        ((BETA, asked(6, id=2)), (), (), (6,)),
        ((BETA, asked(6, "beta_blocker", "rhythm", id=2)), (), (), (6,)),
        ((BETA, asked(6, "beta_blocker", id=2)), (), (), ()),
        ((NONE, asked(6, "raises", id=2)), (), (), (6,)),
        ((NONE, asked(6, "statin", id=2)), (), (), ()),
        ((), (changed(9, 3),), (), (9,)),
        ((NONE, replace(NO_DETAILS, id=2, answered_on=ago(6))), (), (), (6,)),
        ((NO_DETAILS, asked(6, id=2)), (), (), (6,)),
        ((NO_DETAILS, BETA_AGAIN), (), (), (6,)),
        ((), (), (make.readiness(noted_on=ago(5), medicine_changed=True), make.readiness(noted_on=ago(4))), (5,)),
        ((NONE, asked(6, "raises", id=2)), (changed(9),), (make.readiness(medicine_changed=True),), (9, 6, 0)),
    ],
)
def test_the_days_nothing_is_compared_across(answers, holds, notes, days):
    found = trust(answers=answers, holds=holds, notes=notes)

    assert found.breaks == tuple(ago(day) for day in days)


def test_two_days_compare_unless_a_break_lies_between_or_on_one():
    found = trust(holds=(changed(10, 2),))

    assert found.may_compare(ago(20), ago(11))
    assert found.may_compare(ago(9), TODAY)
    assert not found.may_compare(ago(20), ago(10))
    assert not found.may_compare(ago(10), TODAY)
    assert not trust(OFF).may_compare(ago(9), TODAY)


def test_one_of_several_breaks_between_two_days_is_enough():
    found = trust(holds=(changed(10, 2), changed(30, 25)))

    assert found.breaks_between(ago(12), ago(9))
    assert not found.breaks_between(ago(29), ago(11))


@pytest.mark.parametrize(("day", "kept"), [(0, (3, 1, 0)), (1, (3, 1)), (4, ()), (5, (8, 5)), (9, ())], ids=str)
def test_a_baseline_is_the_notes_after_the_last_break(day, kept):
    notes = tuple(make.readiness(id=n, noted_on=ago(n)) for n in (12, 9, 8, 5, 4, 3, 1, 0))
    found = trust(notes=(make.readiness(noted_on=ago(4), medicine_changed=True),), holds=(changed(9, 9),))

    assert tuple(one.id for one in since_last_break(notes, ago(day), found)) == kept


def test_without_a_break_every_note_up_to_the_day_is_in():
    notes = tuple(make.readiness(id=n, noted_on=ago(n)) for n in (12, 4, 0))

    assert since_last_break(notes, ago(4), trust()) == notes[:2]
    assert since_last_break(notes, ago(4), trust(OFF)) == ()


def test_a_history_gives_the_same():
    one = make.history(screening=(BETA,), holds=(changed(9),), readiness=(make.readiness(medicine_changed=True),))

    assert trust_of(one, TODAY) == trust(answers=one.screening, holds=one.holds, notes=one.readiness)
    assert trust_of(replace(one, readiness=(), medicine_changes=(TODAY,)), TODAY) == trust_of(one, TODAY)


def test_other_groups_than_before_ask_for_a_review():
    assert names_other_groups(NONE, BETA)
    assert names_other_groups(NONE, NO_DETAILS)
    assert names_other_groups(BETA, asked(6, "beta_blocker", "rhythm", id=2))
    assert not names_other_groups(BETA, asked(6, "beta_blocker", id=2))
    assert not names_other_groups(BETA, asked(6, id=2))
    assert not names_other_groups(None, BETA)


DAYS = st.integers(0, 60)
NOTES = st.lists(st.tuples(DAYS, st.booleans()), max_size=25)
CHANGES = st.lists(st.tuples(DAYS, st.none() | DAYS), max_size=3)
ASKED = st.lists(st.tuples(DAYS, st.sets(st.sampled_from([group.key for group in MEDICINE_GROUPS]))), max_size=3)


@given(NOTES, CHANGES, ASKED, DAYS, st.sampled_from(HeartRateUse))
def test_no_baseline_spans_a_break(notes, changes, questions, day, use):
    written = tuple(make.readiness(id=n, noted_on=ago(d), medicine_changed=c) for n, (d, c) in enumerate(notes))
    holds = tuple(changed(began, lifted) for began, lifted in changes)
    answers = tuple(asked(d, *groups, id=n) for n, (d, groups) in enumerate(questions))

    found = trust(use, answers=answers, holds=holds, notes=written, day=ago(day))
    window = since_last_break(written, ago(day), found)

    change_days = {one.noted_on for one in written if one.medicine_changed} | {one.began_on for one in holds}
    change_days = {one for one in change_days if one <= ago(day)}
    assert not [one for one in window for change in change_days if one.noted_on <= change]
    assert not found.is_off or not window
    waiting = [one for one in holds if one.began_on <= ago(day) and _is_waiting(one, ago(day))]
    assert not waiting or found.is_off


def _is_waiting(hold, day: date) -> bool:
    return hold.lifted_at is None or local_day(hold.lifted_at, "Europe/Berlin") > day
