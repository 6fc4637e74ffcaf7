"""Written and recorded rounds of different lengths are named, each with both."""

from __future__ import annotations

from dataclasses import replace

import pytest

from app.coaching.round_figures import figures_of_log
from app.coaching.rounds_differ import rounds_that_differ
from tests import factories as make

WRITTEN = [make.work_round(number=n, duration_s=240) for n in (1, 2, 3, 4)]


def _recorded(last_s: int) -> tuple[str, ...]:
    _, recorded = figures_of_log([*WRITTEN[:3], replace(WRITTEN[3], duration_s=last_s)])
    return rounds_that_differ(WRITTEN, recorded)


def test_a_round_cut_short_in_the_recording_only_is_named() -> None:
    assert _recorded(200) == ("Round 4: 4:00 in your entry, 3:20 in the recording.",)


@pytest.mark.parametrize(("last_s", "count"), [(225, 0), (224, 1), (255, 0), (256, 1)])
def test_a_slip_of_the_finger_is_no_difference(last_s: int, count: int) -> None:
    assert len(_recorded(last_s)) == count


def test_a_round_only_one_of_them_has_is_not_compared() -> None:
    _, recorded = figures_of_log(WRITTEN[:2])

    assert rounds_that_differ(WRITTEN, recorded) == ()
