"""Rounds read from a recording feed what rounds typed into an entry feed: minutes by band, hard work, the morning."""

import numpy as np
import pytest

from app.coaching.done_work import is_hard_done, minutes_by_band
from app.coaching.people import Mode
from app.coaching.prescriptions import SessionKind
from app.coaching.recorded_rounds import from_json, rounds_recorded, to_json, together
from app.coaching.recordings import Recording
from app.coaching.rounds_values import RoundEdges, RoundsAsked
from app.coaching.rules import Rules, rules_from
from app.coaching.session_logs import Posture
from app.coaching.signals import signals
from tests import factories as make
from tests.coaching.signal_scenes import TODAY, calm, easy_done, hard_done_on, names
from tests.recorded_sessions import Seen, easy

RULES = Rules()
FOUR = RoundsAsked.alike(4, 240, 240)


def recorded(*powers_w):
    """Rounds of four minutes at these powers, found by the plan."""
    parts = [np.full(600, 110.0)]
    for watts in powers_w:
        parts += [np.full(240, float(watts)), np.full(240, 100.0)]
    power = np.concatenate(parts)
    recording = Recording(time_s=np.arange(len(power), dtype=float), power_w=power)
    return rounds_recorded(recording, mode=Mode.INDOOR_RIDE, asked=FOUR)


def test_the_rounds_of_a_recording_come_as_an_entry_keeps_them():
    rounds = recorded(200, 202, 199, 201)

    assert [(one.number, one.duration_s, one.is_complete, round(one.power_w)) for one in rounds] == [
        (1, 240, True, 200),
        (2, 240, True, 202),
        (3, 240, True, 199),
        (4, 240, True, 201),
    ]
    assert from_json(to_json(rounds)) == rounds


def test_an_easy_recording_has_none_and_edges_by_hand_count():
    session = easy(np.random.default_rng(2), Seen.POWER)

    assert rounds_recorded(session.recording, mode=Mode.RIDE, asked=None) == ()

    by_hand = (RoundEdges(300, 540),)
    assert len(rounds_recorded(session.recording, mode=Mode.RIDE, asked=None, by_hand=by_hand)) == 1


def test_minutes_by_band_and_hard_work_come_from_the_recording():
    log = make.log(
        kind=SessionKind.INTERVALS, minutes=60.0, effort=None, talk=None, rounds=recorded(200, 200, 200, 200)
    )

    minutes = minutes_by_band(log, None, after_transition=True, rules=RULES)

    assert (minutes.easy, minutes.hard, minutes.unknown) == (44, 16, 0)
    assert is_hard_done(log, None, RULES).because[0] == "4 complete work rounds"


def test_what_was_typed_stays_and_only_gaps_are_filled():
    typed = (
        make.work_round(number=1, power_w=None, effort=8.0),
        make.work_round(number=2, power_w=190.0, effort=8.0),
    )

    found = together(typed, recorded(200, 202)[:2])

    assert [(round(one.power_w), one.effort) for one in found] == [(200, 8), (190, 8)]
    assert together(typed[:1], recorded(200, 202)) == typed[:1]
    assert together((), recorded(200, 202)) == recorded(200, 202)


@pytest.mark.parametrize(
    ("powers_w", "name", "speaks"),
    [
        ((205, 202, 199, 194), "faded", True),
        ((205, 203, 202, 201.5), "faded", False),
        ((215, 200, 200, 200), "started_hot", True),
        ((204, 200, 200, 200), "started_hot", False),
    ],
)
def test_the_morning_speaks_of_what_a_recording_shows(powers_w, name, speaks):
    log = hard_done_on(-1, mode=Mode.INDOOR_RIDE, posture=Posture.STOOD, rounds=recorded(*powers_w))

    found = names(calm(logs=(easy_done(-3), log)))

    assert (name in found) is speaks


def test_the_practice_says_how_far_apart_even_rounds_may_lie():
    log = hard_done_on(-1, mode=Mode.INDOOR_RIDE, posture=Posture.STOOD, rounds=recorded(205, 202, 199, 196))
    wide = rules_from({"even_indoor_power_fraction": 0.10})

    history = calm(logs=(easy_done(-3), log))

    assert "faded" in names(history)
    assert "faded" not in {one.name for one in signals(history, TODAY, wide)}
