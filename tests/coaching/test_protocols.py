"""The library of interval sessions and the steps made from it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.effort import Band
from app.coaching.people import Mode
from app.coaching.protocols import PROTOCOLS, protocol_of, protocols_for, session_title, source_words
from app.coaching.reasons import DomainError, Provenance
from app.coaching.session_steps import (
    easy_steps,
    easy_version,
    measured_steps,
    standard_loop_steps,
    steps_for,
    strength_steps,
)
from app.coaching.steps import Part, flatten, from_json, minutes_in_band, to_json, total_minutes, work_rounds


def test_four_by_four_lasts_53_minutes_with_16_hard() -> None:
    steps = steps_for(protocol_of("four_by_four"), mode=Mode.INDOOR_RIDE, rounds=4, age=63, first_of_phase=False)

    # 15 warm-up + 4 x 4 work + 3 x 4 recovery + 10 cool-down
    assert total_minutes(steps) == 53
    assert minutes_in_band(steps, Band.HARD) == 16
    assert work_rounds(steps) == 4


def test_the_warm_up_holds_three_brisk_half_minutes_in_its_last_five() -> None:
    steps = list(
        flatten(steps_for(protocol_of("two_by_four"), mode=Mode.WALK, rounds=2, age=40, first_of_phase=True))
    )

    assert [step.duration_s for step in steps[:7]] == [600, 30, 70, 30, 70, 30, 70]
    assert [step.band for step in steps[1:7:2]] == [Band.MIDDLE] * 3


def test_the_last_round_goes_straight_into_the_cool_down() -> None:
    steps = list(flatten(steps_for(protocol_of("keeping"), mode=Mode.RUN, rounds=1, age=40, first_of_phase=False)))

    assert [step.duration_s for step in steps[-2:]] == [240, 600]
    assert "30 s more" in steps[-2].say


@pytest.mark.parametrize(("first", "words"), [(True, "end at 6"), (False, "end at 7")])
def test_the_target_ends_at_six_at_first_and_at_seven_later(first: bool, words: str) -> None:
    steps = list(
        flatten(steps_for(protocol_of("four_by_four"), mode=Mode.WALK, rounds=3, age=40, first_of_phase=first))
    )

    assert words in steps[7].say
    assert "never above 8" in steps[7].say


@pytest.mark.parametrize(("age", "asked"), [(60, True), (None, True), (59, False)])
def test_company_is_asked_for_in_the_first_phase_from_sixty(age: int | None, asked: bool) -> None:
    steps = list(
        flatten(steps_for(protocol_of("two_by_four"), mode=Mode.WALK, rounds=2, age=age, first_of_phase=True))
    )

    assert ("Have someone with you" in steps[0].say) is asked


@pytest.mark.parametrize(("mode", "rounds"), [(Mode.SWIM, 4), (Mode.WALK, 5), (Mode.WALK, 0)])
def test_a_wrong_way_or_number_of_rounds_is_refused(mode: Mode, rounds: int) -> None:
    with pytest.raises(DomainError):
        steps_for(protocol_of("four_by_four"), mode=mode, rounds=rounds, age=40, first_of_phase=False)


def test_an_unknown_key_is_refused() -> None:
    with pytest.raises(DomainError):
        protocol_of("nothing")


@pytest.mark.parametrize("protocol", PROTOCOLS.values(), ids=lambda p: p.key)
def test_each_entry_is_whole_and_makes_steps_that_survive_json(protocol) -> None:  # type: ignore[no-untyped-def]
    steps = steps_for(protocol, mode=protocol.modes[0], rounds=protocol.rounds, age=50, first_of_phase=False)

    assert from_json(to_json(steps)) == steps
    assert {protocol.step_up, protocol.step_down} - {None} <= set(PROTOCOLS)
    assert (protocol.source is None) == (protocol.provenance is Provenance.COMMON_PRACTICE)
    assert protocol.rounds_least <= protocol.rounds <= protocol.rounds_most


def test_what_has_no_source_says_so() -> None:
    assert source_words(protocol_of("mile_rounds")) == "common practice, no published source"
    assert "Helgerud" in source_words(protocol_of("four_by_four"))


def test_the_pool_has_its_own_rounds_only() -> None:
    assert [protocol.key for protocol in protocols_for(Mode.SWIM)] == ["pool_rounds"]


@pytest.mark.parametrize("minutes", [1, 19, 20, 45, 120])
def test_an_easy_session_is_easy_for_all_its_minutes(minutes: int) -> None:
    assert minutes_in_band(easy_steps(minutes, Mode.WALK), Band.EASY) == minutes
    assert total_minutes(standard_loop_steps(minutes, Mode.WALK)) == minutes


def test_strength_is_one_easy_stretch() -> None:
    assert minutes_in_band(strength_steps(30), Band.EASY) == 30


def test_a_ride_rolls_back_down_and_a_run_jogs_between_rounds() -> None:
    ride = list(
        flatten(steps_for(protocol_of("two_by_four"), mode=Mode.RIDE, rounds=2, age=40, first_of_phase=False))
    )
    run = list(flatten(steps_for(protocol_of("two_by_four"), mode=Mode.RUN, rounds=2, age=40, first_of_phase=False)))

    assert "at most 30 km/h" in ride[8].say
    assert run[8].say.startswith("Jog")


def test_a_session_without_minutes_is_refused() -> None:
    with pytest.raises(DomainError):
        easy_steps(0, Mode.WALK)


def test_a_measured_test_is_hard_between_warm_up_and_cool_down() -> None:
    steps = measured_steps(12, Mode.RUN, "As far as you can in 12 minutes, evenly.")

    assert minutes_in_band(steps, Band.HARD) == 12
    assert total_minutes(steps) == 37


def test_the_easy_version_says_its_minutes() -> None:
    assert "30 minutes" in easy_version(30, Mode.WALK)


@pytest.mark.parametrize(
    ("rounds", "title"), [(4, "4 × 4 min, 4 min off"), (2, "2 × 4 min, 4 min off"), (1, "1 × 4 min, 4 min off")]
)
def test_a_session_is_named_by_its_own_rounds(rounds: int, title: str) -> None:
    protocol = next(p for p in PROTOCOLS.values() if p.name == "4 × 4 min, 4 min off")

    assert session_title(protocol, rounds) == title


def test_a_session_without_a_count_in_its_name_says_its_rounds() -> None:
    plain = next(p for p in PROTOCOLS.values() if "×" not in p.name)

    assert session_title(plain, 3).endswith(": 3 rounds")


def test_a_longer_rest_stands_between_sets_and_every_round_is_counted() -> None:
    steps = steps_for(protocol_of("thirty_fifteen_sets"), mode=Mode.RUN, rounds=39, age=30, first_of_phase=False)
    main = [step for step in flatten(steps) if step.part in (Part.WORK, Part.RECOVERY)]

    # 39 x 30 s of work; 36 short rests of 15 s, two of 180 s between three sets, none after the last
    assert [sum(step.duration_s for step in main if step.part is part) for part in (Part.WORK, Part.RECOVERY)] == [
        39 * 30,
        36 * 15 + 2 * 180,
    ]
    assert [n for n, step in enumerate(main) if step.duration_s == 180] == [25, 51]
    assert from_json(to_json(steps)) == steps


@pytest.mark.parametrize(("rounds", "long_rests"), [(1, 0), (13, 0), (14, 1), (20, 1), (26, 1), (27, 2)])
def test_fewer_rounds_leave_whole_sets_first(rounds: int, long_rests: int) -> None:
    steps = steps_for(protocol_of("thirty_fifteen_sets"), mode=Mode.RUN, rounds=rounds, age=30, first_of_phase=False)

    assert work_rounds(steps) == rounds
    assert sum(step.duration_s == 180 for step in flatten(steps)) == long_rests


def test_the_library_reaches_from_fifteen_seconds_to_a_mile() -> None:
    assert {15, 30, 60, 180, 240, 300, 450, 480} <= {one.work_s for one in PROTOCOLS.values()}


@pytest.mark.parametrize("protocol", PROTOCOLS.values(), ids=lambda p: p.key)
def test_each_entry_says_its_target_with_a_top_and_when_it_is_over(protocol) -> None:  # type: ignore[no-untyped-def]
    steps = steps_for(protocol, mode=protocol.modes[0], rounds=1, age=50, first_of_phase=True)
    [said] = [step.say for step in flatten(steps) if step.part is Part.WORK]

    assert protocol.finish_rule.endswith(".")
    assert protocol.round_words or "never above" in said


def test_words_of_the_practice_come_after_the_target_and_never_in_its_place() -> None:
    own = replace(protocol_of("four_by_four"), also_words="By the old mill.")
    steps = steps_for(own, mode=Mode.WALK, rounds=1, age=50, first_of_phase=True)
    [said] = [step.say for step in flatten(steps) if step.part is Part.WORK]

    assert said.index("never above 8") < said.index("By the old mill.")


def test_short_rounds_of_the_practices_own_are_not_told_what_happens_in_the_third_minute() -> None:
    own = replace(protocol_of("short_thirty"), round_words=None)
    steps = steps_for(own, mode=Mode.WALK, rounds=2, age=50, first_of_phase=True)

    assert all("minute 3" not in step.say for step in flatten(steps) if step.part is Part.WORK)
    assert all("never above effort 8" in step.say for step in flatten(steps) if step.part is Part.WORK)
