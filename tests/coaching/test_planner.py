"""Base blocks: totals, rises, slots and longest outings, each met or explained."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import combinations, pairwise

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from app.coaching.people import AvailableDay, Mode
from app.coaching.planner import BaseWishes, base_block, easier_every, longest_after, rise_step, starting_volume
from app.coaching.prescriptions import SessionKind
from app.coaching.reasons import DomainError
from app.coaching.rules import Rules
from app.coaching.steps import flatten, total_minutes
from app.coaching.strength_beside import has_balance, nearest_strength_days
from app.coaching.time_away import (
    NOTHING_BESIDES,
    Kept,
    Life,
    Possible,
    Stretch,
    away_words,
    possible_on,
    slots_in_week,
    ways_back,
)
from app.coaching.week_drafts import WeekDraft
from app.coaching.week_spread import back_to_back, spread_minutes

MONDAY = date(2026, 9, 7)
RULES = Rules()


def _days(**minutes: int) -> tuple[AvailableDay, ...]:
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    return tuple(AvailableDay(1, names.index(name), slot, None, None) for name, slot in minutes.items())


def _block(
    days: tuple[AvailableDay, ...],
    *,
    start: int = 90,
    target: int = 240,
    weeks: int = 8,
    every: int = 4,
    longest: int | None = None,
    starts_on: date = MONDAY,
    life: Life = NOTHING_BESIDES,
) -> tuple[WeekDraft, ...]:
    wishes = BaseWishes(
        start_volume_min=start,
        target_min=target,
        weeks=weeks,
        every=every,
        starts_on=starts_on,
        mode=Mode.WALK,
        longest_before_min=longest,
        life=life,
    )
    return base_block(wishes, days=days, rules=RULES)


@pytest.mark.parametrize(("minutes", "step"), [(60, 15), (150, 15), (180, 18), (200, 20), (300, 20)])
def test_a_week_may_add_a_tenth_or_fifteen_minutes_and_never_more_than_twenty(minutes: int, step: float) -> None:
    assert rise_step(minutes, RULES) == pytest.approx(step)


def test_a_never_trained_client_starts_with_thirty_minutes_more_than_now() -> None:
    assert starting_volume(60) == 90


@pytest.mark.parametrize(("age", "every"), [(59, 4), (60, 3), (None, 3)])
def test_easier_weeks_come_more_often_from_sixty_or_when_age_is_unknown(age: int | None, every: int) -> None:
    assert easier_every(age, RULES) == every


def test_a_base_block_rises_by_fifteen_and_eases_every_fourth_week() -> None:
    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60)

    # 120, 135, 150, easier 72 % of 150 = 108, to the nearest five 110, then on from 150
    assert [week.minutes for week in weeks] == [120, 135, 150, 110, 165, 180, 195, 140]
    assert [week.is_easier for week in weeks] == [False, False, False, True, False, False, False, True]


def test_a_test_that_stays_has_its_day_to_itself_and_its_minutes_count() -> None:
    race = Kept(MONDAY + timedelta(weeks=1, days=2), 55, "Harbour race")

    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60, life=Life(kept=(race,)))

    # 135 in the second week: 55 of the race and 80 on the other days; the third rises from 135 all the same
    assert [s.weekday for s in weeks[1].sessions] == [0, 4, 6]
    assert [week.minutes for week in weeks[:3]] == [120, 80, 150]
    assert weeks[1].said[0] == "Harbour race stays on Wed 16 Sep; its 55 min count."


def test_a_race_longer_than_its_week_leaves_nothing_beside_it() -> None:
    race = Kept(MONDAY + timedelta(weeks=1, days=6), 150, "Long march")

    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60, life=Life(kept=(race,)))

    assert weeks[1].sessions == ()
    assert weeks[2].minutes == 135


def test_an_easier_week_keeps_the_days_of_the_week_before() -> None:
    weeks = _block(_days(mon=60, wed=60, fri=60, sun=120), start=120, longest=60)

    assert [s.weekday for s in weeks[3].sessions] == [s.weekday for s in weeks[2].sessions]


def test_a_shortfall_of_the_days_is_said_with_its_minutes() -> None:
    weeks = _block(_days(tue=30, thu=30), start=120, weeks=2)

    assert weeks[0].minutes == 60
    assert weeks[0].said[0] == "60 of 120 min: 60 short, because the days given hold 60 min together."


def test_a_target_out_of_reach_is_said_in_the_last_week() -> None:
    weeks = _block(_days(mon=60, wed=60, sat=90), start=90, weeks=3)

    assert "The target of 240 min a week is not reached" in weeks[-1].said[-1]


def test_a_week_that_leaves_days_free_says_why_and_until_when() -> None:
    weeks = _block(_days(mon=45, wed=45, fri=45, sun=90), start=30, target=150, weeks=8)

    assert [(one.weekday, one.minutes) for one in weeks[0].sessions] == [(6, 30)]
    assert weeks[0].said == (
        "1 outing makes the 30 min, since one is hardly shorter than 20 min; the other days stay free until week 3.",
    )
    assert [len(week.sessions) for week in weeks[:3]] == [1, 2, 3]


def test_only_an_outing_longer_than_all_others_is_called_the_longest() -> None:
    weeks = _block(_days(mon=60, wed=60, sun=120), start=60, target=150, weeks=8)
    named = [[one.minutes for one in week.sessions if one.title == "Longest easy walk"] for week in weeks]
    longest = [sorted(one.minutes for one in week.sessions) for week in weeks]

    assert all(
        minutes == [] or (minutes == [all_of[-1]] and all_of[-1] > all_of[-2] and all_of[-1] >= 30)
        for minutes, all_of in zip(named, longest, strict=True)
    )
    assert named[0] == []
    assert named[-1] != []


def test_two_days_a_week_are_said_not_to_hold_a_week() -> None:
    weeks = _block(_days(tue=90, sat=90), start=90, target=90, weeks=2)

    assert "held from 3 days on" in weeks[0].said[-1]


def test_the_longest_outing_grows_by_no_more_than_a_tenth() -> None:
    weeks = _block(_days(wed=60, sat=180), start=90, weeks=2, longest=40)

    assert max(s.minutes for s in weeks[0].sessions) <= 44
    assert "no outing may be longer than 44 min yet" in weeks[0].said[0]


@pytest.mark.parametrize(
    ("days", "start", "weeks", "starts_on"),
    [
        ((), 90, 4, MONDAY),
        (_days(mon=60), 0, 4, MONDAY),
        (_days(mon=60), 90, 0, MONDAY),
        (_days(mon=60), 90, 4, date(2026, 9, 8)),
    ],
)
def test_nonsense_is_refused(days: tuple[AvailableDay, ...], start: int, weeks: int, starts_on: date) -> None:
    with pytest.raises(DomainError):
        _block(days, start=start, weeks=weeks, starts_on=starts_on)


def test_a_block_that_would_begin_above_its_target_is_refused() -> None:
    with pytest.raises(DomainError, match="the first week, 600 min, is above the 100 min"):
        _block(_days(mon=300, wed=300), start=600, target=100)


DAYS = st.dictionaries(st.integers(0, 6), st.integers(15, 180), min_size=1, max_size=7).map(
    lambda slots: tuple(AvailableDay(1, day, minutes, None, None) for day, minutes in slots.items())
)
STRETCHES = st.builds(
    lambda after, length, possible: Stretch(
        MONDAY + timedelta(days=after), MONDAY + timedelta(days=after + length), possible
    ),
    st.integers(-10, 80),
    st.integers(0, 20),
    st.sampled_from(Possible),
)
LIVES = st.builds(
    Life,
    away=st.lists(STRETCHES, max_size=3).map(tuple),
    mode_by_weekday=st.dictionaries(st.integers(0, 6), st.sampled_from([Mode.SWIM, Mode.RIDE])).map(
        lambda modes: tuple(modes.items())
    ),
    strength_weekdays=st.lists(st.integers(0, 6), max_size=2).map(tuple),
)


@settings(max_examples=120, deadline=None)
@given(days=DAYS, start=st.integers(20, 300), more=st.integers(0, 200), every=st.integers(2, 5), life=LIVES)
def test_any_block_meets_its_totals_or_says_why(
    days: tuple[AvailableDay, ...], start: int, more: int, every: int, life: Life
) -> None:
    weeks = _block(days, start=start, target=start + more, weeks=12, every=every, life=life)

    assert all(week.minutes == week.target_minutes or week.said for week in weeks)
    assert all(week.minutes <= week.target_minutes for week in weeks)
    assert all(total_minutes(session.steps) == session.minutes for week in weeks for session in week.sessions)


@settings(max_examples=120, deadline=None)
@given(days=DAYS, start=st.integers(20, 300), more=st.integers(0, 200), every=st.integers(2, 5), life=LIVES)
def test_no_week_rises_more_than_a_step_over_the_fullest_before_it(
    days: tuple[AvailableDay, ...], start: int, more: int, every: int, life: Life
) -> None:
    weeks = _block(days, start=start, target=start + more, weeks=12, every=every, life=life)
    before = [max([start, *(week.minutes for week in weeks[:n])]) for n in range(len(weeks))]

    assert weeks[0].minutes <= start
    assert all(
        week.minutes <= most + rise_step(most, RULES) for week, most in zip(weeks[1:], before[1:], strict=True)
    )


@settings(max_examples=60, deadline=None)
@given(days=DAYS, start=st.integers(20, 300), more=st.integers(0, 200), every=st.integers(2, 5))
def test_a_block_without_days_away_rises_from_full_week_to_full_week(
    days: tuple[AvailableDay, ...], start: int, more: int, every: int
) -> None:
    weeks = _block(days, start=start, target=start + more, weeks=10, every=every)
    full = [week for week in weeks if not week.is_easier]

    assert all(b.minutes <= a.minutes + rise_step(a.minutes, RULES) for a, b in pairwise(full))


@settings(max_examples=120, deadline=None)
@given(days=DAYS, life=LIVES, start=st.integers(20, 300))
def test_every_day_keeps_to_its_slot_with_its_strength_and_its_days_away(
    days: tuple[AvailableDay, ...], life: Life, start: int
) -> None:
    weeks = _block(days, start=start, target=start + 100, weeks=12, life=life)
    slots = {day.weekday: day.minutes for day in days}
    used: dict[date, int] = {}
    for week in weeks:
        for session in week.sessions:
            on = week.starts_on + timedelta(days=session.weekday)
            used[on] = used.get(on, 0) + session.minutes

    assert all(
        minutes <= slots_in_week(slots, on - timedelta(days=on.weekday()), life.away).get(on.weekday(), 0)
        or (possible_on(life.away, on) is Possible.LESS and on.weekday() in life.strength_weekdays)
        for on, minutes in used.items()
    )
    assert all(possible_on(life.away, on) is not Possible.NOTHING for on in used)


@settings(max_examples=60, deadline=None)
@given(days=DAYS, longest=st.integers(20, 90))
def test_no_outing_is_longer_than_a_tenth_over_the_last_thirty_days(
    days: tuple[AvailableDay, ...], longest: int
) -> None:
    weeks = _block(days, weeks=8, longest=longest)

    tops = [longest, *(max(session.minutes for session in week.sessions) for week in weeks)]
    # Up to half an hour is where everybody may begin.
    most = [max(30, max(tops[max(0, n - 3) : n + 1]) * 1.1 + 1e-6) for n in range(len(weeks))]
    assert all(top <= limit for top, limit in zip(tops[1:], most, strict=True))


@settings(max_examples=60, deadline=None)
@given(days=DAYS, life=LIVES, data=st.data())
def test_the_order_of_the_wishes_changes_nothing(
    days: tuple[AvailableDay, ...], life: Life, data: st.DataObject
) -> None:
    shuffled = Life(
        away=tuple(data.draw(st.permutations(life.away))),
        mode_by_weekday=tuple(data.draw(st.permutations(life.mode_by_weekday))),
        strength_weekdays=tuple(data.draw(st.permutations(life.strength_weekdays))),
    )
    other_days = tuple(data.draw(st.permutations(days)))

    assert _block(other_days, life=shuffled) == _block(days, life=life)


@settings(max_examples=80, deadline=None)
@given(
    total=st.integers(20, 400),
    slots=st.dictionaries(st.integers(0, 6), st.integers(20, 150), min_size=2, max_size=7),
    longest=st.integers(30, 150),
)
def test_of_as_many_days_none_others_have_fewer_minutes_side_by_side(
    total: int, slots: dict[int, int], longest: int
) -> None:
    chosen = spread_minutes(total, slots, longest)
    others = [
        spread_minutes(total, {day: slots[day] for day in some}, longest, fewest_days=some)
        for some in combinations(slots, len(chosen))
    ]
    as_full = [spread for spread in others if sum(spread.values()) >= sum(chosen.values())]

    assert back_to_back(chosen) <= min(back_to_back(spread) for spread in as_full if len(spread) == len(chosen))


# Common practice, no published source: the days-off rows.
@pytest.mark.parametrize(
    ("days_off", "minutes"),
    [
        (4, [135, 150, 165, 180]),  # under five days nothing changes but the week itself
        (7, [120, 135, 150, 165]),  # 5 to 9: no rise in the first week back
        (11, [90, 90, 120, 135]),  # 10 to 13: a week at 75 %; back on a Friday, so the part of a week takes it too
        (14, [60, 90, 105, 120]),  # 14 to 27: 50 and 75 %, then up again step by step
        (28, [60, 72, 90, 108]),  # 28 and more: at least four weeks
    ],
)
def test_days_off_change_the_weeks_after_them(days_off: int, minutes: list[int]) -> None:
    first_off = MONDAY + timedelta(weeks=1)
    away = (Stretch(first_off, first_off + timedelta(days=days_off - 1), Possible.NOTHING),)
    first_back = 1 + days_off // 7

    weeks = _block(
        _days(mon=60, wed=60, fri=60, sat=90, sun=90), start=120, weeks=10, every=10, longest=60, life=Life(away)
    )

    assert [week.target_minutes for week in weeks[first_back : first_back + 4]] == minutes


@settings(max_examples=40, deadline=None)
@given(days=DAYS, start=st.integers(20, 300), more=st.integers(0, 200), every=st.integers(2, 5), life=LIVES)
def test_an_easier_week_never_follows_the_way_back_and_never_comes_later_than_it_should(
    days: tuple[AvailableDay, ...], start: int, more: int, every: int, life: Life
) -> None:
    weeks = _block(days, start=start, target=start + more, weeks=14, every=every, life=life)
    back = ways_back(life.away)
    lighter = [week.is_easier or week.is_rest or week.starts_on in back for week in weeks]
    whole = (
        week.minutes and week.starts_on not in back and not away_words(week.starts_on, life.away) for week in weeks
    )
    begun = next((n for n, is_whole in enumerate(whole) if is_whole), len(weeks))

    assert not any(week.is_easier and before.starts_on in back for before, week in pairwise(weeks))
    assert all(any(lighter[n : n + every]) for n in range(begun, len(weeks) - every + 1))


def test_easier_weeks_are_counted_again_from_the_way_back() -> None:
    """Common practice, no published source: every fourth week; the week after days off does not rise."""
    away = (Stretch(MONDAY + timedelta(weeks=1), MONDAY + timedelta(weeks=1, days=6), Possible.NOTHING),)

    weeks = _block(_days(mon=60, wed=60, sat=90), start=90, weeks=11, life=Life(away))

    # away in the second week and back in the third: the fourth would follow right on the way back
    assert [n for n, week in enumerate(weeks, start=1) if week.is_easier] == [7, 11]


def test_a_week_away_is_empty_and_says_so() -> None:
    away = (Stretch(MONDAY + timedelta(weeks=1), MONDAY + timedelta(weeks=1, days=6), Possible.NOTHING),)

    weeks = _block(_days(mon=60, wed=60, sat=90), start=90, weeks=3, life=Life(away))

    assert weeks[1].sessions == ()
    assert weeks[1].said[0] == "Away: Mon 14 Sep to Sun 20 Sep nothing."
    assert weeks[2].said[0] == "After 7 days off: no rise this week."


def test_a_walking_holiday_walks_and_a_busy_week_takes_half_of_each_day() -> None:
    week = timedelta(weeks=1)
    away = (
        Stretch(MONDAY, MONDAY + timedelta(days=6), Possible.WALKING),
        Stretch(MONDAY + week, MONDAY + week + timedelta(days=6), Possible.LESS),
    )
    life = Life(away, mode_by_weekday=((2, Mode.SWIM),))

    weeks = _block(_days(mon=60, wed=60, sat=90), start=120, target=150, weeks=3, longest=60, life=life)

    assert {one.mode for one in weeks[0].sessions} == {Mode.WALK}
    assert [one.minutes for one in weeks[1].sessions] == [30, 30, 45]
    assert "105 of 135 min: 30 short, because the days given hold 105 min together." in weeks[1].said
    assert [one.mode for one in weeks[2].sessions] == [Mode.WALK, Mode.SWIM, Mode.WALK]


def test_strength_stands_beside_the_minutes_and_takes_its_part_of_the_day() -> None:
    life = Life(strength_weekdays=(0, 3))

    weeks = _block(_days(mon=60, wed=60, sat=90), start=90, target=90, weeks=2, life=life)

    strength = [one for one in weeks[0].sessions if one.kind is SessionKind.STRENGTH]
    assert [(one.weekday, one.minutes) for one in strength] == [(0, 30)]
    assert weeks[0].minutes == 90
    assert "Thursday has 0 min: no strength there." in weeks[0].said


# Common practice, no published source: what they do now and 30 min, in outings of 20 to 30 min; about 2 to 3 h later.
@pytest.mark.parametrize(("now", "first"), [(0, [30]), (15, [20, 25]), (30, [20, 20, 20]), (60, [30, 30, 30])])
def test_a_never_trained_client_begins_with_outings_of_twenty_to_thirty_minutes(now: int, first: list[int]) -> None:
    weeks = _block(_days(mon=45, wed=45, fri=45, sun=90), start=starting_volume(now), weeks=8)

    assert sorted(one.minutes for one in weeks[0].sessions) == first


@pytest.mark.parametrize(
    ("starts_on", "weeks"),
    [
        (date(2026, 12, 14), 6),  # ISO week 53 of 2026
        (date(2028, 2, 14), 4),  # 29 February 2028
        (date(2027, 3, 15), 4),  # clocks go forward on 28 March
        (date(2026, 10, 12), 4),  # clocks go back on 25 October
    ],
)
def test_weeks_follow_each_other_over_the_odd_days_of_the_calendar(starts_on: date, weeks: int) -> None:
    plain = _block(_days(mon=60, wed=60, sat=90), weeks=weeks)
    odd = _block(_days(mon=60, wed=60, sat=90), weeks=weeks, starts_on=starts_on)

    assert [week.starts_on for week in odd] == [starts_on + timedelta(weeks=n) for n in range(weeks)]
    assert [week.sessions for week in odd] == [week.sessions for week in plain]


def test_two_absences_side_by_side_count_as_one() -> None:
    first = Stretch(MONDAY, MONDAY + timedelta(days=5), Possible.NOTHING)
    second = Stretch(MONDAY + timedelta(days=6), MONDAY + timedelta(days=13), Possible.NOTHING)

    assert [(back.share, back.days_off) for back in ways_back((second, first)).values()] == [(0.5, 14), (0.75, 14)]


def test_a_day_that_strength_leaves_too_short_is_told_with_what_would_help() -> None:
    weeks = _block(_days(tue=45, thu=40, sat=75), start=60, life=Life(strength_weekdays=(1, 3)))

    assert weeks[0].said[-1] == (
        "Strength takes 30 min of Tuesday and Thursday and leaves 15 and 10 min there, too short for an outing of "
        "20. Strength on another day, or 50 min on that day, would keep the outing."
    )


@pytest.mark.parametrize(
    ("wished", "slots", "hard", "offered"),
    [
        ((1,), {1: 60, 3: 60}, (), ()),
        ((1,), {1: 45, 3: 60, 5: 120}, (), (3,)),
        ((1, 3), {1: 45, 3: 60, 5: 120}, (), (3, 5)),
        ((6,), {1: 60, 3: 60}, (), (3,)),
        ((1,), {1: 45, 3: 60, 5: 120}, (4,), (5,)),
        ((1,), {1: 45, 3: 40}, (), ()),
    ],
)
def test_strength_is_offered_on_the_nearest_days_that_leave_an_outing(
    wished: tuple[int, ...], slots: dict[int, int], hard: tuple[int, ...], offered: tuple[int, ...]
) -> None:
    assert nearest_strength_days(slots, Life(strength_weekdays=wished), hard) == offered


@pytest.mark.parametrize(("age", "balance"), [(64, False), (65, True), (None, True)])
def test_balance_goes_with_strength_from_sixty_five(age: int | None, balance: bool) -> None:
    life = Life(strength_weekdays=(0,), has_balance=has_balance(age))

    strength = next(
        s for s in _block(_days(mon=90, wed=60, fri=60), life=life)[0].sessions if s.kind is SessionKind.STRENGTH
    )

    assert any("one leg" in node.say for node in flatten(strength.steps)) is balance
    assert (strength.title, strength.minutes) == ("Strength and balance" if balance else "Strength", 30)


@settings(max_examples=25, deadline=None)
@given(
    st.dictionaries(st.integers(0, 6), st.integers(20, 120), min_size=2, max_size=6),
    st.integers(40, 160),
    st.integers(3, 4),
    st.integers(30, 60),
)
@example({0: 60, 2: 120, 3: 60, 5: 60}, 90, 3, 59)
def test_no_outing_is_longer_than_the_thirty_days_before_it_allow(
    slots: dict[int, int], start: int, every: int, longest: int
) -> None:
    days = tuple(AvailableDay(1, day, slot, None, None) for day, slot in slots.items())
    weeks = _block(days, start=start, target=300, weeks=12, every=every, longest=longest)
    outings = [(week.starts_on + timedelta(days=s.weekday), s.minutes) for week in weeks for s in week.outings]

    later = [one for one in outings if one[0] >= MONDAY + timedelta(days=30)]
    allowed = [
        longest_after(max((m for on, m in outings if day - timedelta(days=30) <= on < day), default=0), RULES)
        for day, _ in later
    ]
    assert [minutes for _, minutes in later if minutes > 0] == [
        min(minutes, most) for (_, minutes), most in zip(later, allowed, strict=True)
    ]
