"""Sessions side by side: work by hand, time near VO2max with its assumptions, and nothing a client may not do."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.coaching.execution_values import Blame, CountsAs, Execution, Verdict
from app.coaching.holds import HoldKind, Stops
from app.coaching.people import Mode
from app.coaching.phases import DecisionKind, Phase
from app.coaching.protocols import PROTOCOLS, protocol_of
from app.coaching.rules import Rules
from app.coaching.side_by_side import ASSUMED, USUALLY_ASSUMED, Asker, beside_four_minutes, near_time, side_of
from app.coaching.target_values import TargetWishes
from tests import factories as make
from tests.coaching.target_scenes import done, history

RULES = Rules()
USUAL = ASSUMED[USUALLY_ASSUMED]
NOON = make.at(make.TODAY)
NOT_HELD = Execution(
    verdict=Verdict.FADED,
    counts_as=CountsAs.BAD,
    blame=Blame.NOT_HELD,
    sentence="Not held.",
    reasons=(),
    checks=(),
    next_time=None,
    rounds_done=4,
    rounds_asked=4,
    bent_or_sat=False,
    technique_lost=False,
)


def _asker(mode: Mode = Mode.INDOOR_RIDE, **records) -> Asker:
    promoted = make.decision(
        kind=DecisionKind.PROMOTE, phase=Phase.INTERVAL_ONE, since_on=make.TODAY - timedelta(days=70)
    )
    known = make.history(**({"decisions": (promoted,), "screening": (make.answers(),)} | records))
    return Asker(known, (), mode, TargetWishes())


def _side(key: str, asker: Asker | None = None):
    return side_of(protocol_of(key), USUAL, asker, RULES, NOON)


@pytest.mark.parametrize(
    ("key", "work_s", "rest_s"),
    [
        ("four_by_four", 4 * 240, 3 * 240),
        ("short_fifteen", 24 * 15, 23 * 15),
        ("eight_minutes", 4 * 480, 3 * 120),
        # three sets of 13: 12 short rests in each, two of 3 min between them
        ("thirty_fifteen_sets", 39 * 30, 36 * 15 + 2 * 180),
    ],
)
def test_work_and_rest_are_what_the_session_holds(key, work_s, rest_s):
    side = _side(key)

    assert (side.work_s, side.rest_s) == (work_s, rest_s)
    assert side.of_client is None


def test_a_round_of_four_minutes_is_reckoned_as_by_hand():
    # One round: 90 % is passed 26.6 ln((1 - 0.35) / (1 - 0.9)) = 49.8 s after a delay of 17.5 s; the end cuts the
    # delay off again, so 240 - 17.5 - 49.8 = 172.7 s are left of the round.
    one = near_time(replace(protocol_of("half_dose"), rounds=1), USUAL)

    assert one.seconds == pytest.approx(172.7, abs=0.05)
    assert one.share_of_work == pytest.approx(172.7 / 240, abs=0.001)
    assert one.low_s < one.seconds < one.high_s
    assert any("26.6 s" in figure.text for figure in one.why.figures)
    assert one.why.formulae == ("time_near_vo2max",)


@pytest.mark.parametrize("protocol", PROTOCOLS.values(), ids=lambda p: p.key)
def test_the_range_holds_the_value_and_stays_within_the_session(protocol):
    side = side_of(protocol, USUAL, None, RULES, NOON)

    assert 0 <= side.near.low_s <= side.near.seconds <= side.near.high_s <= side.work_s + side.rest_s
    assert 0 <= side.near.share_of_work <= 1.5


@pytest.mark.parametrize(
    ("work_s", "share"),
    # As printed: 93, 88, 86 % of the speed of VO2max for 1, 2, 4 min; 117, 106, 95 % of 40-min power for 4, 8, 16.
    [(15, 93 / 86), (60, 93 / 86), (120, 88 / 86), (240, 1.0), (480, 106 / 117), (960, 95 / 117), (1200, 95 / 117)],
)
def test_rounds_ask_for_what_people_held_in_rounds_of_their_length(work_s, share):
    assert beside_four_minutes(work_s) == pytest.approx(share)


@given(st.integers(10, 1200), st.integers(10, 1200))
def test_a_longer_round_never_asks_for_more(one_s, other_s):
    shorter, longer = sorted((one_s, other_s))

    assert beside_four_minutes(shorter) >= beside_four_minutes(longer)


def test_the_rounds_of_eight_minutes_ask_for_less_and_their_range_says_how_little_is_known():
    eight = near_time(protocol_of("eight_minutes"), USUAL)

    assert any("91 % of VO2max" in figure.text for figure in eight.why.figures)
    assert eight.low_s == 0


def test_who_is_trained_is_longer_near_vo2max():
    quick, slow = (
        near_time(protocol_of("three_minutes"), ASSUMED[who]) for who in ("older, trained", "older, inactive")
    )

    assert quick.seconds > slow.seconds


def test_sets_are_reckoned_one_by_one():
    whole = near_time(protocol_of("thirty_fifteen_sets"), USUAL)

    one_set = near_time(replace(protocol_of("thirty_fifteen_sets"), rounds=13), USUAL)

    assert whole.seconds == pytest.approx(3 * one_set.seconds)
    assert one_set.seconds > 0


def test_a_client_at_the_beginning_is_told_what_comes_first():
    fits, too_many = (_side(key, _asker()).of_client for key in ("two_by_four", "four_by_four"))

    assert fits.found == ()
    assert "the practice begins with 2" in too_many.found[0].sentence
    assert too_many.target is not None


def test_a_client_in_the_base_is_told_that_hard_work_waits_for_its_phase():
    side = _side("two_by_four", _asker(decisions=())).of_client

    assert "phase" in {one.kind for one in side.found}
    assert side.against
    assert side.target is None


def test_who_is_held_is_offered_no_target_and_told_why():
    held = _asker(holds=(make.hold(kind=HoldKind.SYMPTOM, stops=Stops.ALL),))

    side = _side("two_by_four", held).of_client

    assert side.target is None
    assert "paused" in side.against


def test_another_way_of_moving_is_said_and_nothing_is_reckoned():
    side = _side("pool_rounds", _asker(Mode.RUN)).of_client

    assert (side.session, side.target, side.against) == (None, None, "Not done as run.")


def test_a_judgement_from_a_recording_counts_here_as_on_every_other_page():
    """Entered, 200 W were well executed and 250 W lie far above; by the recording nothing was held: it is eased."""
    rounds = tuple(make.work_round(number=n, power_w=200.0) for n in range(1, 5))
    known = history(*(done(days, done_rounds=rounds) for days in (14, 7)))
    asker = replace(_asker(), known=known, measured=(make.measured(),))
    (first, second) = (one.id for one in known.logs)

    as_entered = _side("four_by_four", asker).of_client.target
    as_judged = _side("four_by_four", replace(asker, judged={first: NOT_HELD, second: NOT_HELD})).of_client.target

    assert (as_entered.key, as_judged.key) == ("effort", "eased")


def test_sets_have_no_even_target():
    assert _side("thirty_fifteen_sets", _asker(Mode.RUN)).of_client.target is None
