"""One clock for a group: its own rounds and words for each name, off for whoever pauses."""

from __future__ import annotations

from app.coaching.effort import Band
from app.coaching.group_sheet import ALL_PAUSED, BY_EFFORT_ONLY, NOTHING_HARD, PAUSED, Member, group_sheet
from app.coaching.people import HeartRateUse
from app.coaching.steps import Part, Repeat, Step, to_json
from tests import factories


def _session(rounds=4, work_s=240, say="Few words by minute 3."):
    warm = Step(Part.WARM_UP, 900, Band.EASY, "Easily.")
    work, rest = Step(Part.WORK, work_s, Band.HARD, say), Step(Part.RECOVERY, 240, Band.EASY, "Easy.")
    steps = to_json((warm, Repeat(rounds, (work, rest))))
    return factories.planned_hard(rounds=rounds, steps_json=steps, title=f"{rounds} rounds")


def _member(name, session=None, **changes):
    person = {key: changes.pop(key) for key in ("heart_rate_use",) if key in changes}
    return Member(factories.client(name=name, **person), session, **({"is_paused": False} | changes))


def test_the_clock_begins_after_the_warm_up_and_has_the_most_rounds():
    sheet = group_sheet([_member("Ann", _session(4)), _member("Bo", _session(2))])

    assert sheet.clock is not None
    assert sheet.clock.rounds == ((900, 1140), (1380, 1620), (1860, 2100), (2340, 2580))
    assert [row.rounds for row in sheet.rows] == [4, 2]


def test_each_name_has_the_words_of_their_own_session():
    sheet = group_sheet([_member("Ann", _session(say="Never above 6.")), _member("Bo", _session(say="End at 7."))])

    assert [row.target for row in sheet.rows] == ["Never above 6.", "End at 7."]


def test_whoever_pauses_is_told_so_without_a_reason_and_sets_no_clock():
    sheet = group_sheet(
        [
            _member("Ann", _session(), is_paused=True),
            _member("Bo", _session(), is_paused=True, is_all_paused=True),
        ]
    )

    assert sheet.clock is None
    assert [(row.target, row.rounds) for row in sheet.rows] == [(PAUSED, 0), (ALL_PAUSED, 0)]


def test_whoever_has_no_hard_rounds_stays_easy():
    sheet = group_sheet([_member("Ann", _session()), _member("Bo")])

    assert (sheet.rows[1].target, sheet.rows[1].rounds) == (NOTHING_HARD, 0)


def test_rounds_in_sets_go_by_their_own_clock_and_are_not_called_easy():
    work, rest = Step(Part.WORK, 30, Band.HARD, "Brisk."), Step(Part.RECOVERY, 15, Band.EASY, "Easy.")
    long_rest = Step(Part.RECOVERY, 180, Band.EASY, "Easy.")
    steps = to_json((Repeat(2, (Repeat(12, (work, rest)), work, long_rest)),))
    in_sets = factories.planned_hard(rounds=26, steps_json=steps, title="Brisk in sets")

    sheet = group_sheet([_member("Ann", _session()), _member("Bo", in_sets)])

    assert sheet.clock is not None
    assert sheet.clock.work_s == 240
    assert sheet.rows[1].target.startswith("Not by this clock: Brisk in sets.")


def test_rounds_of_another_length_are_named_and_heart_rate_is_left_off_where_it_is_not_reliable():
    unreliable = _member("Cleo", _session(), heart_rate_use=HeartRateUse.NOT_RELIABLE)
    sheet = group_sheet([_member("Ann", _session()), unreliable, _member("Bo", _session(3, work_s=300))])

    assert sheet.rows[1].target.endswith(BY_EFFORT_ONLY)
    assert sheet.rows[2].target.startswith("Not by this clock, own rounds: 3 rounds.")
